"""Strict text to quantities: lengths, torques and numbers as manuals write them, and the one unit registry.

A strict grammar reads the number and the unit first; pint then only converts between units that are known by name.
Nothing that a user types reaches an expression parser.
"""

from __future__ import annotations

import math
import re
import unicodedata
from decimal import Decimal
from fractions import Fraction
from functools import cache, lru_cache
from importlib import resources
from typing import TYPE_CHECKING, NamedTuple

from .errors import RangeError, TextInputError

if TYPE_CHECKING:
    import pint

MAX_TEXT = 200
"""Longest quantity or spec text read, in characters (our choice: the longest real spec has some 60)."""

MAX_DIGITS = 30
"""Most digits in one whole number, decimal part, numerator or denominator (our choice; a float needs some 20)."""

ANY_CASE = re.ASCII | re.IGNORECASE
"""How units and words are matched in either case: without re.ASCII, re.IGNORECASE takes ı, İ, ſ and K for i, s and k,
and what is looked up by its lower case is not found."""

SPACES = " \t\u00a0\u2007\u2009\u202f"
MINUS_SIGNS = "-\u2212\u2010\u2011\u2013"


@cache
def unit_registry() -> pint.UnitRegistry[float]:
    """Return the project's one unit registry, holding only the units of `tables/units.txt`."""
    import pint

    with resources.as_file(resources.files("marking.tables") / "units.txt") as path:
        return pint.UnitRegistry(str(path))


@cache
def factor(unit: str, to: str) -> float:
    """Return how many `to` make one `unit`, both named as in the unit registry: factor("inch", "mm") = 25.4."""
    return float(unit_registry().Quantity(1.0, unit).to(to).magnitude)


class Length(NamedTuple):
    """A length in millimetres that remembers how it was written.

    `unit` is "mm" for metric and "in" for inch texts; `text` is the tidy form of what was typed: "27.8 mm",
    "1-3/32 in".
    """

    mm: float
    unit: str
    text: str


class Torque(NamedTuple):
    """A torque as written: `value` in `unit`, one of the canonical symbols such as "N·m" or "lbf·ft"."""

    value: float
    unit: str

    @property
    def nm(self) -> float:
        """The torque in newton metres."""
        return self.value * factor(_TORQUE_UNITS[self.unit], "newton * metre")

    @property
    def text(self) -> str:
        """The torque as one reads it, to the last digit typed: "110 N·m"."""
        return f"{plain_number(self.value)} {self.unit}"

    @property
    def both(self) -> str:
        """The torque as typed with the other system beside it: "110 N·m (81.1 lbf·ft)"."""
        lbf_ft = f"{rounded(self.nm / factor('pound_force * foot', 'newton * metre'))} lbf·ft"
        in_nm = f"{rounded(self.nm)} N·m"
        others = [in_nm] if self.unit in ("lbf·ft", "lbf·in") else [lbf_ft]
        if self.unit not in ("N·m", "lbf·ft", "lbf·in"):
            others = [in_nm, lbf_ft]
        return f"{self.text} ({', '.join(others)})"


_TORQUE_UNITS = {
    "N·m": "newton * metre",
    "kN·m": "kilonewton * metre",
    "daN·m": "decanewton * metre",
    "dN·m": "decinewton * metre",
    "cN·m": "centinewton * metre",
    "N·cm": "newton * centimetre",
    "kgf·m": "kilogram_force * metre",
    "kgf·cm": "kilogram_force * centimetre",
    "lbf·ft": "pound_force * foot",
    "lbf·in": "pound_force * inch",
}

_FORCES = {
    "n": "N",
    "kn": "kN",
    "dan": "daN",
    "dn": "dN",
    "cn": "cN",
    "kg": "kgf",
    "kgf": "kgf",
    "kp": "kgf",
} | dict.fromkeys(("lb", "lbs", "lbf", "pound", "pounds"), "lbf")
_ARMS = {"m": "m", "cm": "cm"} | {
    "ft": "ft", "foot": "ft", "feet": "ft", "in": "in", "inch": "in", "inches": "in"
}  # fmt: skip
_FORCE = "|".join(sorted(_FORCES, key=len, reverse=True))
_WEIGHT = "|".join(sorted((name for name in _FORCES if not name.endswith("n")), key=len, reverse=True))
_ARM = "|".join(sorted(_ARMS, key=len, reverse=True))
_JOINT = rf"\.?[{SPACES}]?[·⋅•∙.*\-\u2010\u2011]?[{SPACES}]?"
_TORQUE_UNIT = re.compile(  # the arm comes first in ft-lb and mkg only: mN and MN are millinewtons and meganewtons
    rf"(?:(?P<force1>{_FORCE}){_JOINT}(?P<arm1>{_ARM})|(?P<arm2>{_ARM}){_JOINT}(?P<force2>{_WEIGHT}))(?![^\W\d_])",
    ANY_CASE,
)
_LENGTH_UNITS = {
    "mm": "millimetre", "cm": "centimetre", "m": "metre", "in": "inch", "inch": "inch", "inches": "inch",
    "in.": "inch", '"': "inch", "″": "inch", "”": "inch", "''": "inch", "′′": "inch",
}  # fmt: skip
_LENGTH_UNIT = re.compile("|".join(re.escape(u) for u in sorted(_LENGTH_UNITS, key=len, reverse=True)), ANY_CASE)
_DIGITS = re.compile("[0-9]+")


class Scanner:
    """A cursor over one text that reads numbers and units and fails with a caret at the right place."""

    def __init__(self, text: str, subject: str) -> None:
        self.text = text
        self.subject = subject
        self.position = 0
        if len(text) > MAX_TEXT:
            raise self.failure("is too long", f"at most {MAX_TEXT} characters", at=MAX_TEXT)
        if not text.strip(SPACES):
            raise self.failure("is empty", at=0)

    def failure(self, what: str, expected: str = "", advice: str = "", at: int | None = None) -> TextInputError:
        """Return (not raise) the error that points at `at`, or at the cursor."""
        place = self.position if at is None else at
        return TextInputError(self.text, place, f"the {self.subject} {what}:", expected, advice)

    def skip_spaces(self) -> None:
        """Move the cursor past spaces."""
        while self.position < len(self.text) and self.text[self.position] in SPACES:
            self.position += 1

    def at_end(self) -> bool:
        """Tell whether only spaces are left."""
        self.skip_spaces()
        return self.position == len(self.text)

    def take(self, pattern: re.Pattern[str]) -> re.Match[str] | None:
        """Move past `pattern` if it stands at the cursor (after spaces) and return the match."""
        self.skip_spaces()
        found = pattern.match(self.text, self.position)
        if found:
            self.position = found.end()
        return found

    def number(self, expected: str = "a number") -> tuple[Fraction, str]:
        """Read an unsigned number and return its exact value and its tidy text.

        Read: `27.8`, `.5`, `27,8` (decimal comma), `3/4`, `1-3/32`, `1 3/32`, `¾`, `1¾`.
        """
        self.skip_spaces()
        start = self.position
        whole = self._digits()
        if whole is None:
            glyph = self._vulgar()
            if glyph is not None:
                return glyph, f"{glyph.numerator}/{glyph.denominator}"
            decimals = self._decimals() if self._peek(".") else None
            if decimals is None:
                sign = self.text[start : start + 1] in tuple(MINUS_SIGNS)
                raise self.failure(
                    "cannot be negative" if sign else "cannot be read",
                    "a positive number" if sign else expected,
                )
            return Fraction("0." + decimals), f"0.{decimals}"
        decimals = self._decimals()
        if decimals is not None:
            return Fraction(f"{whole}.{decimals}"), f"{int(whole)}.{decimals}"
        if self._peek("/") and self.text[self.position + 1 : self.position + 2].isdigit():
            return self._fraction(whole, start)
        part = self._mixed_part() if int(whole) else None  # "-0 1/4 turn" lacks a word, it is no mixed number
        if part is not None:
            return int(whole) + part, f"{int(whole)}-{part.numerator}/{part.denominator}"
        return Fraction(int(whole)), str(int(whole))

    def _digits(self) -> str | None:
        found = _DIGITS.match(self.text, self.position)
        if not found:
            return None
        if len(found[0]) > MAX_DIGITS:
            raise self.failure("has too long a number", f"at most {MAX_DIGITS} digits")
        self.position = found.end()
        return found[0]

    def _decimals(self) -> str | None:
        mark = self.text[self.position : self.position + 1]
        found = _DIGITS.match(self.text, self.position + 1) if mark in (".", ",") and mark else None
        if not found:
            return None
        if mark == "," and len(found[0]) > 2:
            raise self.failure(
                "has an ambiguous comma",
                "a decimal comma followed by one or two digits",
                "write a decimal point",
            )
        self.position += 1
        return self._digits()

    def _vulgar(self) -> Fraction | None:
        char = self.text[self.position : self.position + 1]
        if not char or not unicodedata.decomposition(char).startswith("<fraction>"):
            return None
        value = Fraction(unicodedata.numeric(char)).limit_denominator(100)
        if unicodedata.decomposition(char).endswith("2044") or not value:  # "⅟" and "↉" are no amounts
            return None
        self.position += 1
        return value

    def _fraction(self, numerator: str, start: int) -> tuple[Fraction, str]:
        self.position += 1
        denominator = self._digits() or "0"
        if int(denominator) == 0:
            raise self.failure("divides by zero", "a fraction such as 3/4", at=start)
        return Fraction(int(numerator), int(denominator)), f"{int(numerator)}/{int(denominator)}"

    def _mixed_part(self) -> Fraction | None:
        """Read the `-3/32`, ` 3/32` or `¾` behind a whole number; leave the cursor where it was if there is none."""
        back = self.position
        glyph = self._vulgar()
        if glyph is None and self.text[back : back + 1] in ("-", *SPACES):
            self.position += 1
            glyph = self._vulgar()
            if glyph is None:
                found = re.compile("([0-9]{1,4})/([0-9]{1,4})").match(self.text, self.position)
                if found and 0 < int(found[1]) < int(found[2]):
                    self.position = found.end()
                    return Fraction(int(found[1]), int(found[2]))
        if glyph is None:
            self.position = back
        return glyph

    def _peek(self, char: str) -> bool:
        return self.text[self.position : self.position + 1] == char

    def torque_unit(self) -> str | None:
        """Read a torque unit, if one stands at the cursor, and return its canonical symbol."""
        back = self.position
        found = self.take(_TORQUE_UNIT)
        if not found:
            return None
        force = _FORCES[(found["force1"] or found["force2"]).lower()]
        arm = _ARMS[(found["arm1"] or found["arm2"]).lower()]
        if f"{force}·{arm}" not in _TORQUE_UNITS:
            self.position = back
            return None
        return f"{force}·{arm}"

    def expect_end(self) -> None:
        """Fail unless only spaces are left."""
        if not self.at_end():
            raise self.failure("cannot be read", "nothing more here")


@lru_cache(maxsize=4096)
def parse_length(text: str, subject: str = "length", zero: bool = False) -> Length:
    """Read a length: `27.8 mm`, `27,8 mm`, `1-3/32 in`, `1 3/32"`, `¾ in`.

    `subject` names the length in errors. Raises TextInputError for what cannot be read, and RangeError for zero
    unless `zero` allows it.
    """
    scan = Scanner(text, subject)
    value, tidy = scan.number("a length such as 27.8 mm or 3/4 in")
    found = scan.take(_LENGTH_UNIT)
    if not found:
        what = "has no unit" if scan.at_end() else "has an unknown unit"
        raise scan.failure(what, "mm, cm, m or in", f"write {tidy} mm or {tidy} in")
    scan.expect_end()
    if value == 0 and not zero:
        raise RangeError(f"the {subject} is {tidy}", "more than zero", "measure again", text)
    unit = _LENGTH_UNITS[found[0].lower()]
    mm = float(value) * factor(unit, "millimetre")
    if unit == "inch":
        return Length(mm, "in", f"{tidy} in")
    return Length(mm, "mm", f"{tidy} {found[0].lower()}")


def parse_torque(text: str, subject: str = "torque") -> Torque:
    """Read a torque: `110 N·m`, `110 Nm`, `11 daN·m`, `80 ft-lb`, `60 lbf·in`.

    Raises TextInputError for what cannot be read.
    """
    scan = Scanner(text, subject)
    value, _ = scan.number("a torque such as 110 N·m")
    unit = scan.torque_unit()
    if unit is None:
        raise scan.failure("has no torque unit here", "N·m, daN·m, kgf·m, kgf·cm, lbf·ft or lbf·in")
    scan.expect_end()
    return Torque(float(value), unit)


def plain_number(value: float) -> str:
    """Write a float so that it reads back exactly, without exponent or needless decimals: 27.8, 110, 0.0001."""
    return f"{Decimal(repr(float(value))):f}".removesuffix(".0")


def mixed(value: Fraction) -> str:
    """Write a number as workshops do: "1/4", "1-1/2", "3"."""
    whole, part = divmod(value.numerator, value.denominator)
    if not part:
        return str(whole)
    return f"{f'{whole}-' if whole else ''}{part}/{value.denominator}"


def rounded(value: float, digits: int = 3) -> str:
    """Write a float with at least `digits` significant figures and no needless decimals: 81.1, 1490, 0.417."""
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    return trimmed(value, decimals)


def trimmed(value: float, decimals: int) -> str:
    """Write a float with at most `decimals` decimals and no trailing zeros: trimmed(90.0, 1) = "90"."""
    text = f"{value:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def shown_length(mm: float, unit: str) -> str:
    """Write a computed length in the user's unit, to 0.01 mm or 0.001 in: "87.65 mm", "3.451 in"."""
    if unit == "in":
        return f"{trimmed(mm / factor('inch', 'millimetre'), 3)} in"
    return f"{trimmed(mm, 2)} mm"


def shown_degrees(deg: float, decimals: int = 2) -> str:
    """Write an angle: "90°", "97.9°"."""
    return f"{trimmed(deg, decimals)}°"
