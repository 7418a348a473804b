"""Reads the amounts in tightening specs: numbers with units of torque or turn; refuses figures with two readings."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from ..errors import TextInputError
from ..quantities.scanner import Scanner
from ..quantities.shown import mixed
from ..quantities.torque import take_torque_unit
from . import spec_words as words
from .spec import MAX_TURN_DEG, unmistakable

MAX_SPEC_TEXT = 400
"""Longest spec read, in characters (our choice: a table row of a manual with four stages has some 150)."""

ANY_STEP = "a torque such as 110 N·m, a turn such as 90°, “hand tight” or “loosen”"
_UNITS = "a unit of torque (N·m, lbf·ft …) or of turn (°, deg, turn, flats)"
_FLATS = {4: 90, 6: 60, 8: 90, 12: 60}
"""Degrees of a flat by points of the opening: a hexagon's at 6 and 12, a square's at 4 and 8."""


class Amount(NamedTuple):
    """A number with the unit behind it, if any; where both stand; and its figures as typed."""

    value: Fraction
    tidy: str
    unit: str | None
    at: int
    unit_at: int
    raw: str

    @property
    def text(self) -> str:
        """The amount in canonical form: "90°", "2/3 turn", "110 N·m"."""
        return written(self.tidy, self.value, self.unit or "")


def is_torque(unit: str | None) -> bool:
    """Tell units of torque ("N·m") from units of turn ("°", "turn", "flat")."""
    return "·" in (unit or "")


def written(tidy: str, value: Fraction, unit: str) -> str:
    """Write an amount in canonical form; torques and degrees as decimals, turns and flats as typed."""
    if unit in ("turn", "flat"):
        return f"{tidy} {unit}{'s' if value > 1 else ''}"
    number = unmistakable(float(value)) if "/" not in tidy or unit else tidy
    return f"{number}°" if unit == "°" else f"{number} {unit}".rstrip()


class SpecScanner(Scanner):
    """A scanner over tidied text that reads measures and says what it found where something else belongs."""

    def __init__(self, text: str, points: int | None) -> None:
        self.flat_deg = _FLATS.get(points or 0)
        super().__init__(text, "spec", example="110 N·m + 90°", longest=MAX_SPEC_TEXT, blanks=None, expected=ANY_STEP)
        self.text = words.tidied(text)

    # --- failures -------------------------------------------------------------------------------------------------

    def unexpected(self, expected: str, advice: str = "", at: int | None = None) -> TextInputError:
        """Return the error that names what stands there and what kind of thing was expected."""
        if at is None:
            self.skip_spaces()
            at = self.position
        rest = self.typed[at:].split()
        if not rest:
            return self.failure("ends too early", expected, advice, at)
        word = "".join(char if char.isprintable() else "\ufffd" for char in rest[0])
        return self.failure(f"has “{word if len(word) <= 20 else word[:19] + '…'}” here", expected, advice, at)

    def two_ways(self, at: int, one: str, other: str, advice: str) -> TextInputError:
        """Return the error for a text with two readings."""
        return self.failure(f"can be read in two ways, “{one}” and “{other}”", "one meaning", advice, at)

    # --- amounts --------------------------------------------------------------------------------------------------

    def unit(self) -> str | None:
        """Read a unit of torque or turn, if one stands at the cursor: "N·m", "°", "turn", "flat"."""
        self.skip_spaces()
        torque = take_torque_unit(self)
        if torque:
            dot = self.text[self.position : self.position + 1] == "."
            self.position += dot and words.SHORTENED.search(self.text, 0, self.position) is not None
            return torque
        found = self.take(words.ANGLE_UNIT)
        return None if not found else {"degree": "°"}.get(found.lastgroup or "", found.lastgroup)

    def amount(self, expected: str) -> Amount:
        """Read a number, in figures or words, and the unit behind it if there is one."""
        self.skip_spaces()
        at = self.position
        part = words.part_of_a_turn(self.text, at)
        if part:
            self.position = part[1]
            return Amount(part[0], mixed(part[0]), "turn", at, at, "")
        count = self.take(words.COUNT)
        if count:
            value = Fraction(words.COUNTS[count["count"].lower()])
            tidy = str(value)
        elif words.FIGURE.match(self.text, at):
            value, tidy = self.number(expected)
        else:
            raise self.unexpected(expected)
        raw = self.text[at : self.position]
        self.skip_spaces()
        unit_at = self.position
        unit = self.unit()
        if unit is None:
            self.position = unit_at
        return Amount(value, tidy, unit, at, unit_at, raw)

    def no_unit(self, amount: Amount) -> TextInputError:
        """Return the error for an amount that needs a unit and has none."""
        letter = words.LETTER_AS_FIGURE.match(self.text, amount.unit_at)
        advice = "is a letter meant as a figure?" if letter and amount.raw else ""
        if self.text[amount.unit_at : amount.unit_at + 1].isdigit():
            advice = "write the number without blanks"
        if not self.text[amount.unit_at :].strip():
            return self.failure("has no unit", _UNITS, advice, amount.unit_at)
        return self.unexpected(_UNITS, advice, amount.unit_at)

    def checked(self, amount: Amount, unit: str) -> Amount:
        """Refuse figures with two readings: thousands or decimals, two numbers or a decimal comma, a fraction or +a/b.

        Thousands are refused always in torques, in turns only where both are within the limits.
        """
        if words.ANY_FRACTION.fullmatch(amount.raw) and unit not in ("turn", "flat"):
            over, under = amount.raw.split("/")
            raise self.two_ways(amount.at, f"{over} over {under}", f"{over} and {under}", "write decimals")
        two = words.TWO_NUMBERS.fullmatch(amount.raw)
        if two and int(two["other"]) > int(two["one"]):
            raise self.two_ways(
                amount.at, f"{two['one']}.{two['other']}", f"{two['one']}, then {two['other']}",
                "write a decimal point, or a unit behind either number",
            )  # fmt: skip
        if words.THOUSANDS.fullmatch(amount.raw) and (
            is_torque(unit) or self.degrees(amount.value, unit) * 1000 <= MAX_TURN_DEG
        ):
            point = amount.at + next(i for i, char in enumerate(amount.raw) if char in ".,")
            whole, part = re.split("[.,]", amount.raw)
            raise self.two_ways(point, f"{whole}{part}", f"{whole}.{part}0", "write it without thousands mark")
        return amount

    def degrees(self, value: Fraction, unit: str) -> Fraction:
        """Return a turn in degrees; flats of unknown points as those of a hexagon, the smaller ones."""
        return value * {"turn": 360, "flat": self.flat_deg or 60}.get(unit, 1)
