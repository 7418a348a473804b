"""Lengths, percentages and angles read strictly from texts with units, or taken from quantities of pint."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple, TypeVar

from ..errors import RangeError
from .scanner import ANY_CASE, Scanner, subject_of
from .shown import plain_number, shown_length
from .units import Given, Measured, factor, measured, quantity

Usual = TypeVar("Usual", float, None)


class Length(NamedTuple):
    """A length in millimetres that remembers how it was written.

    `unit` is "mm" for metric and "in" for inch texts; `text` is the tidy form of what was typed: "27.8 mm",
    "1-3/32 in".
    """

    mm: float
    unit: str
    text: str

    @property
    def quantity(self) -> Measured:
        """The length as a quantity of pint, in its unit."""
        return quantity(self.mm / factor(self.unit), self.unit)


def computed_length(mm: float, unit: str) -> Length:
    """Return a computed length as one shown in the user's unit, "mm" or "in"."""
    return Length(mm, unit, shown_length(mm, unit))


_LENGTH_UNIT = re.compile(
    r"(?P<mm>mm|millimet(?:re|er)s?)(?![^\W\d_])|(?P<cm>cm|centimet(?:re|er)s?)(?![^\W\d_])"
    r"|(?P<m>m|met(?:re|er)s?)(?![^\W\d_])|(?P<in>in(?:ch(?:es)?)?\.?(?![^\W\d_])|\"|″|”|''|′′)",
    ANY_CASE,
)

_DIAMETER = r"[Øø⌀∅]|(?:diameter|dia\.?|o\.?d\.?)(?![^\W\d_])"

_BEFORE = re.compile(f"(?P<diameter>{_DIAMETER})", ANY_CASE)

_BEHIND = re.compile(f"(?P<diameter>{_DIAMETER})|(?P<flats>(?:a/?f|across[ -]flats)(?![^\\W\\d_]))", ANY_CASE)
"""What people write before and behind a length to say what it measures."""

_MEASURED = {"opening": ("flats",), "around": (), "length": ("diameter", "flats")}
"""What a field's length can measure, where that is more or less than a diameter."""


def parse_length(text: Given | Length, field: str = "length", zero: bool = False, subject: str = "") -> Length:
    """Read a length: `27.8 mm`, `Ø27,8 mm`, `19 mm AF`, `1-3/32 in`, `1 3/32"`, `¾ inch`; or take a pint quantity.

    A length is returned as it is. Errors name `field`, and call the text `subject` where that is more than the field's
    usual name. `zero` allows a length of nothing, as a text also without a unit: `0`. Raises TextInputError for what
    cannot be read or says that it measures something else than the field, RangeError for zero where it is not allowed,
    and what `measured` raises.
    """
    if isinstance(text, Length):
        return text
    if isinstance(text, str):
        return _read_length(text, field, zero, subject)
    value, unit = measured(text, ("mm", "cm", "m", "in"), subject_of(field, subject), "27.8 mm", field)
    return _length(value, plain_number(value), unit, text, field, subject, zero)


def mm_or(text: Given | None, field: str, usual_mm: Usual) -> float | Usual:
    """Return a length in mm, or the usual one where none is given. Raises what `parse_length` raises."""
    return usual_mm if text is None else parse_length(text, field).mm


@lru_cache(maxsize=4096)
def _read_length(text: str, field: str, zero: bool, subject: str) -> Length:
    scan = Scanner(text, field, subject)
    _take_words(scan, _BEFORE)
    value, tidy = scan.number("a length such as 27.8 mm or 3/4 in")
    found = scan.take(_LENGTH_UNIT)
    if found:
        _take_words(scan, _BEHIND)
        scan.expect_end()
        return _length(float(value), tidy, found.lastgroup or "", text, field, subject, zero)
    if zero and value == 0 and scan.at_end():
        return _length(0.0, tidy, "mm", text, field, subject, zero)
    if scan.at_end():
        raise scan.failure("has no unit", "mm, cm, m or in", f"write {tidy} mm or {tidy} in")
    raise scan.failure("has an unknown unit", "mm, cm, m or in")  # the number may be but the beginning of one


def _take_words(scan: Scanner, pattern: re.Pattern[str]) -> None:
    """Move past words that say what a length measures, and refuse those that contradict the field."""
    scan.skip_spaces()
    begin = scan.position
    found = scan.take(pattern)
    if found and found.lastgroup not in _MEASURED.get(scan.field, ("diameter",)):
        diameter = found.lastgroup == "diameter"
        advice = f"give a diameter with {{@od}}, or leave {found[0]} out" if diameter else f"leave {found[0]} out"
        raise scan.failure(f"is {'a diameter' if diameter else 'a width across flats'}", "a length", advice, begin)


def _length(value: float, tidy: str, unit: str, given: object, field: str, subject: str, zero: bool) -> Length:
    if value == 0 and not zero:
        raise RangeError(f"the {subject_of(field, subject)} is {tidy}", "more than zero", "measure again", given, field)
    return Length(value * factor(unit), "in" if unit == "in" else "mm", f"{tidy} {unit}")


_PERCENT = re.compile("%")

_DEGREE = re.compile(r"°|º|˚|deg(?:ree)?s?\b", ANY_CASE)


def parse_percent(text: Given, field: str, subject: str = "") -> float:
    """Read "0.5 %" and return 0.5. Raises TextInputError, and what `measured` raises."""
    return _parse_with(text, field, subject, _PERCENT, "%")


def parse_angle(text: Given, field: str, subject: str = "") -> float:
    """Read "10°" and return 10.0. Raises TextInputError, and what `measured` raises."""
    return _parse_with(text, field, subject, _DEGREE, "°")


def _parse_with(text: Given, field: str, subject: str, pattern: re.Pattern[str], unit: str) -> float:
    if not isinstance(text, str):
        return measured(text, (unit,), subject_of(field, subject), f"5{unit}", field)[0]
    scan = Scanner(text, field, subject)
    value, tidy = scan.number(f"a number and {unit}")
    if not scan.take(pattern):
        raise scan.failure("has no unit" if scan.at_end() else "has an unknown unit", unit, f"write {tidy}{unit}")
    scan.expect_end()
    return float(value)
