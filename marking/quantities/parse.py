"""Lengths, percentages and angles read strictly from texts with units, or taken from quantities of pint."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from ..errors import RangeError
from .scanner import ANY_CASE, Scanner, subject_of
from .shown import plain_number, shown_length
from .units import Given, Measured, factor, measured, quantity


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


_LENGTH_UNITS = {unit: unit for unit in ("mm", "cm", "m")} | dict.fromkeys(
    ("in", "inch", "inches", "in.", '"', "″", "”", "''", "′′"), "in"
)

_LENGTH_UNIT = re.compile("|".join(re.escape(u) for u in sorted(_LENGTH_UNITS, key=len, reverse=True)), ANY_CASE)


def parse_length(text: Given | Length, field: str = "length", zero: bool = False, subject: str = "") -> Length:
    """Read a length: `27.8 mm`, `27,8 mm`, `1-3/32 in`, `1 3/32"`, `¾ in`; or take a pint quantity.

    A length is returned as it is. Errors name `field`, and call the text `subject` where that is more than the field's
    usual name. Raises TextInputError for what cannot be read, RangeError for zero unless `zero` allows it, and what
    `measured` raises.
    """
    if isinstance(text, Length):
        return text
    if isinstance(text, str):
        return _read_length(text, field, zero, subject)
    value, unit = measured(text, ("mm", "cm", "m", "in"), subject_of(field, subject), "27.8 mm", field)
    return _length(value, plain_number(value), unit, text, field, subject, zero)


@lru_cache(maxsize=4096)
def _read_length(text: str, field: str, zero: bool, subject: str) -> Length:
    scan = Scanner(text, field, subject)
    value, tidy = scan.number("a length such as 27.8 mm or 3/4 in")
    found = scan.take(_LENGTH_UNIT)
    if not found:
        what = "has no unit" if scan.at_end() else "has an unknown unit"
        raise scan.failure(what, "mm, cm, m or in", f"write {tidy} mm or {tidy} in")
    scan.expect_end()
    return _length(float(value), tidy, _LENGTH_UNITS[found[0].lower()], text, field, subject, zero)


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
