"""Reads the measures in tightening specs: amounts with ranges, tolerances and second units in brackets."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

from ..errors import TextInputError
from ..quantities.shown import trimmed
from ..quantities.torque import Torque
from . import spec_words as words
from .spec import WIDE_TORQUE_TOLERANCE, shown_tolerance, shown_torque_tolerance
from .spec_amounts import ANY_STEP, Amount, SpecScanner, is_torque, written

_AGREE_TORQUE = 0.02
_AGREE_DEG = Fraction(1, 2)
"""How near a second unit in brackets must be: torques to 2 % (tables round), turns to half a degree (our choice)."""

_WIDEST_RANGE = {"°": Fraction(5, 3), "turn": Fraction(2), "flat": Fraction(2)}
_WIDEST_OTHER_RANGE = Fraction(3, 2)
"""Largest upper end of a range over its lower end, for turns with one unit for both ends, and for all others.

Our choice: wider than published ones (90–150°, 1/2–3/4 turn), and below what two steps would be (45°, then 90°).
"""


class Tolerance(NamedTuple):
    """What may be added and taken off."""

    plus: Amount
    minus: Amount

    @property
    def unit(self) -> str | None:
        """The unit that stands with either amount, if any."""
        return self.minus.unit or self.plus.unit


class Measure(NamedTuple):
    """A torque in its `unit`, or a turn in degrees (whatever its unit), with tolerance and canonical text.

    `from_to` tells of a range written as two turns with "to" between them: "90° to 100°".
    """

    unit: str
    value: Fraction
    plus: Fraction | None
    minus: Fraction | None
    shown: str
    first: Amount
    from_to: bool = False

    @property
    def is_torque(self) -> bool:
        """True for torques, False for turns."""
        return is_torque(self.unit)


class MeasureScanner(SpecScanner):
    """A scanner that reads whole measures."""

    # --- measures -------------------------------------------------------------------------------------------------

    def repeated_measure(self, between: bool, most: int) -> tuple[int, Measure]:
        """Read a torque or turn, as often as "2 x" before it says; `between` when that word stood before it."""
        first = self.amount(ANY_STEP)
        if first.unit is not None or not self.take(words.TIMES):
            return 1, self._measure(first, between)
        if first.value not in range(2, most + 1):
            raise self.failure("repeats a turn too often or not at all", f"2 to {most} times", at=first.at)
        measure = self._measure(self.amount("a turn such as 90°"), between)
        if measure.is_torque:
            raise self.failure("repeats a torque", "a turn behind the “x”", at=measure.first.at)
        return int(first.value), measure

    def _measure(self, first: Amount, between: bool) -> Measure:
        last = self._range_end(first, between)
        if last:
            unit = last.unit or ""
            return self._ranged(self.checked(first, unit), self.checked(last, unit), unit)
        second = self._second_unit()
        tolerance = self._tolerance(first)
        unit = first.unit or (tolerance.unit if tolerance else None) or ""
        if not unit:
            raise self.no_unit(first)
        second = second or self._second_unit()
        return self._tolerated(self.checked(first, unit), tolerance, unit, second)

    def simple_turn(self) -> Measure:
        """Read a turn without tolerance."""
        first = self.amount("a turn such as 180°")
        if first.unit is None or is_torque(first.unit):
            raise self.unexpected("a unit of turn (°, deg, turn, flats)", at=first.unit_at)
        return self._tolerated(self.checked(first, first.unit), None, first.unit, self._second_unit())

    def _ranged(self, first: Amount, last: Amount, unit: str) -> Measure:
        second = self._second_unit()
        scale = self._agreed_scale((first.value, last.value), unit, second, last.unit_at)
        low, high = first.value * scale, last.value * scale
        shown = f"{written(first.tidy, first.value, '')}–{written(last.tidy, last.value, unit)}"
        if unit in ("turn", "flat"):
            shown += f" ({trimmed(float(low), 2)}–{trimmed(float(high), 2)}°)"
        elif second and second[-1].unit != "flat":
            shown += f" ({_bracket(second)})"
        half = (high - low) / 2
        return Measure(unit, low + half, half, half, shown, first, first.unit is not None)

    def _tolerated(self, first: Amount, tolerance: Tolerance | None, unit: str, second: list[Amount] | None) -> Measure:
        scale = self._agreed_scale((first.value,), unit, second, first.unit_at)
        bracket = f"{trimmed(float(first.value * scale), 2)}°" if unit in ("turn", "flat") else ""
        if second and not bracket and second[-1].unit != "flat":  # a flat would need the points to be read again
            bracket = _bracket(second)
        shown = written(first.tidy, first.value, unit) + (f" ({bracket})" if bracket else "")
        if not tolerance:
            return Measure(unit, first.value * scale, None, None, shown, first)
        plus, minus = (self._side(amount, unit, first.value) for amount in tolerance)
        if is_torque(unit):
            shown += shown_torque_tolerance(float(first.value), unit, float(plus), float(minus))
        else:  # "2 flats ±1" would be degrees or flats
            shown += shown_tolerance(float(plus), float(minus), "" if unit == "°" else "°")
        return Measure(unit, first.value * scale, plus, minus, shown, first)

    def _side(self, amount: Amount, unit: str, turn: Fraction) -> Fraction:
        """Return one side of a tolerance in the torque's unit, or in degrees."""
        own = amount.unit or (unit if is_torque(unit) else "°")
        if is_torque(own) != is_torque(unit) or (is_torque(unit) and own != unit):
            raise self.unexpected(f"a tolerance in the unit of what it belongs to, {unit}", at=amount.unit_at)
        self.checked(amount, own)
        if amount.unit is None and unit in ("turn", "flat") and 0 < amount.value < turn:
            raise self.two_ways(amount.at, f"{amount.tidy}°", f"{amount.tidy} {unit}", "write the tolerance's unit")
        if own == "flat" and self.flat_deg is None:
            raise self._flats_of_what(amount.unit_at)
        return amount.value if is_torque(unit) else self.degrees(amount.value, own)

    def _agreed_scale(self, values: tuple[Fraction, ...], unit: str, second: list[Amount] | None, at: int) -> Fraction:
        """Return degrees per unit of a turn (1 for torques), once the second unit in brackets is found to agree."""
        scales = self._scales(unit)
        if second is None:
            if len(scales) > 1:
                raise self._flats_of_what(at)
            return scales[0]
        other = second[-1].unit or ""
        if is_torque(other) != is_torque(unit) or len(second) != len(values):
            raise self.failure("has something else in brackets", "the same in another unit", at=second[0].at)
        for amount in second:
            self.checked(amount, other)
        for trial in scales:
            if all(self._agree(a * trial, unit, b, other) for a, b in zip(values, second, strict=True)):
                return trial
        raise self.failure(
            "has another value in brackets than before them", "the same in another unit, to 2 % (turns: 0.5°)",
            "look up which of the two is meant, and leave the other out", second[0].at,
        )  # fmt: skip

    def _agree(self, value: Fraction, unit: str, other: Amount, other_unit: str) -> bool:
        if is_torque(unit):
            nm = Torque(float(value), unit).nm
            return abs(Torque(float(other.value), other_unit).nm - nm) <= _AGREE_TORQUE * nm
        return any(abs(other.value * scale - value) <= _AGREE_DEG for scale in self._scales(other_unit))

    def _scales(self, unit: str) -> list[Fraction]:
        """The degrees that a unit of turn may be, 1 for torques: both kinds of flat without the number of points."""
        unknown = unit == "flat" and self.flat_deg is None
        return [Fraction(60), Fraction(90)] if unknown else [self.degrees(Fraction(1), unit)]

    def _flats_of_what(self, at: int) -> TextInputError:
        return self.failure(
            "counts in flats",
            "the number of points (a flat is 60° at 6 and 12, 90° at 4 and 8)",
            "give {@points}, or the degrees in brackets behind the flats",
            at,
        )

    def _second_unit(self) -> list[Amount] | None:
        """Read the same measure in another unit, in brackets: "(44 lb·ft)", "(120°)", "(15–18 lbf·ft)"."""
        self.skip_spaces()
        if words.STEP_NUMBER.match(self.text, self.position) or words.OPEN_TOLERANCE.match(self.text, self.position):
            return None
        if not self.take(words.OPEN):
            return None
        first = self.amount("the same in another unit")
        last = self._range_end(first, judged=False)
        amounts = [first, last] if last else [first]
        if amounts[-1].unit is None:
            raise self.no_unit(amounts[-1])
        if not self.take(words.CLOSE):
            raise self.unexpected("a closing bracket")
        return amounts

    # --- ranges ---------------------------------------------------------------------------------------------------

    def _range_end(self, first: Amount, between: bool = False, judged: bool = True) -> Amount | None:
        """Read the upper end of a range behind its lower end; leave the cursor where it was if there is none.

        A range so wide that two steps may be meant is refused, unless it is not to be `judged`.
        """
        back = self.position
        sign = None if between else self.take(words.DASH)
        if not sign and not self.take(words.AND if between else words.RANGE_WORD):
            if between:
                raise self.unexpected("“and” and the upper end of the range")
            return None
        try:
            last = self.amount("the upper end of the range")
        except TextInputError:
            if not sign:
                raise
            last = None
        if last is None or (sign and not self._is_range(first, last)):
            self.position = back
            return None
        if last.unit is None:
            raise self.no_unit(last)
        if first.unit not in (None, last.unit):
            raise self.unexpected(f"{first.unit}, as at the lower end", at=last.unit_at)
        low, high = first.value, last.value
        if low >= high:
            raise self.failure("has a range that falls", "a lower end, then a higher one", at=last.at)
        widest = _WIDEST_RANGE.get(last.unit, _WIDEST_OTHER_RANGE) if first.unit is None else _WIDEST_OTHER_RANGE
        if judged and high > widest * low:
            raise self.two_ways(
                len(self.text) - len(self.text[back:].lstrip(" ")),
                f"a range {first.text} to {last.text}", f"{first.text}, then {last.text}",
                "write a range as turn and tolerance, and steps with “then”",
            )  # fmt: skip
        return last

    def _is_range(self, first: Amount, last: Amount) -> bool:
        """Tell "85-95°" and "90°-100°" from the tolerance in "90° -5", "90 -0/+10°"."""
        return last.unit is not None and first.unit in (None, last.unit) and last.value > first.value

    # --- tolerances -----------------------------------------------------------------------------------------------

    def _tolerance(self, main: Amount) -> Tolerance | None:
        """Read the tolerance of `main`, if one stands at the cursor; otherwise leave the cursor where it was."""
        bracketed = self.take(words.OPEN_TOLERANCE) is not None
        self.skip_spaces()
        at = self.position
        found = self._sides(main, bracketed)
        if found and found.plus is not found.minus and not bracketed:
            self._refuse_turn_as_tolerance(main, found, at)
        if bracketed and not found:
            raise self.unexpected("a tolerance such as ±5 or +10/-0")
        if bracketed and not self.take(words.CLOSE):
            raise self.unexpected("a closing bracket")
        return found

    def _sides(self, main: Amount, bracketed: bool) -> Tolerance | None:
        if self.take(words.PLUS_MINUS):
            both = self.amount("a tolerance such as ±5")
            return Tolerance(both, both)
        self.skip_spaces()
        at = self.position
        if found := self.take(words.OVER_ZERO):
            one = Fraction(found["amount"].replace(",", "."))
            unit = self.unit() or ("°" if "°" in found[0] else None)
            return _one_sided(found["sign"], Amount(one, str(one), unit, at + 1, self.position, found["amount"]))
        nought_first = self.take(words.ZERO_OVER)
        for sign, signs, opposite in (("+", words.PLUS, words.MINUS), ("-", words.MINUS, words.PLUS)):
            if self.take(signs):
                if not nought_first:
                    return self._both_sides(main, sign, opposite, at, bracketed)
                return _one_sided(sign, self.amount("the other side of the tolerance"))
        return None

    def _both_sides(
        self, main: Amount, sign: str, opposite: re.Pattern[str], at: int, bracketed: bool
    ) -> Tolerance | None:
        """Read +a/-b, -b/+a, +a -b behind its first sign; None, the cursor at `at`, for a "+" that joins steps."""
        try:
            one = self.amount("a turn such as 90°, or a tolerance such as +10/-0")
        except TextInputError:
            if sign == "-" or bracketed:
                raise
            self.position = at
            return None
        if sign == "+" and not bracketed and self._joins(main, one):
            self.position = at
            return None
        slash = self.take(words.SLASH) is not None
        if not slash:
            self.take(words.COMMA_BEFORE_SIGN)
        self.skip_spaces()
        other_at = self.position
        clear = slash or bracketed
        if not self.take(opposite):
            if main.unit is None:
                raise self.no_unit(main)
            if (sign == "-" and not is_torque(main.unit)) or clear:
                raise self.failure("has half a tolerance", "both plus and minus, such as +10/-0", at=at)
            self.position = at
            return None
        if sign == "+" and not clear and (is_torque(main.unit) or self._is_tolerance_of(one, other_at)):
            self.position = at
            return None
        two = self.amount("the other side of the tolerance")
        if not clear:
            self._refuse_unclear(main, sign, one, two, at if sign == "-" else other_at)
        return Tolerance(one, two) if sign == "+" else Tolerance(two, one)

    def _joins(self, main: Amount, one: Amount) -> bool:
        """Tell whether the "+" before `one` surely joins two steps, as `one` is a turn or begins a range."""
        if is_torque(main.unit):
            return one.unit is not None and not is_torque(one.unit)
        self.skip_spaces()
        at = self.position
        last = self._range_end(one)
        if last and main.unit and last.value < self.degrees(main.value, main.unit) / 2:
            raise self.two_ways(
                at, f"{main.text}, then {one.text}–{last.text}", f"{main.text} +{one.text}/−{last.text}",
                "join steps with “then”, and write tolerances as +10/-0",
            )  # fmt: skip
        return last is not None

    def _is_tolerance_of(self, main: Amount, at: int) -> bool:
        """Tell whether the "-" at `at` begins a whole tolerance of `main`: "90° + 60° -0/+10"."""
        back, self.position = self.position, at
        try:
            return self._sides(main, bracketed=False) is not None
        except TextInputError:
            return False
        finally:
            self.position = back

    def _refuse_unclear(self, main: Amount, sign: str, one: Amount, two: Amount, at: int) -> None:
        """Without a slash, only plain numbers well below the turn are a tolerance."""
        plus, minus = (one, two) if sign == "+" else (two, one)
        least = self.degrees(main.value, main.unit or "°") / 2
        if main.unit and not is_torque(main.unit) and plus.unit is None and max(one.value, two.value) < least:
            return
        if sign == "+":
            other = f"{main.text}, then {plus.text} with half a tolerance −{minus.text}"
        else:
            other = f"{main.text} with half a tolerance −{minus.text}, then {plus.text}"
        raise self.two_ways(
            at, f"{main.text} +{plus.text}/−{minus.text}", other,
            "join steps with “then”, and write tolerances as +10/-0",
        )  # fmt: skip

    def _refuse_turn_as_tolerance(self, main: Amount, found: Tolerance, at: int) -> None:
        widest = max(found.plus.value, found.minus.value)
        if is_torque(main.unit) and found.unit is None and widest > main.value * Fraction(WIDE_TORQUE_TOLERANCE):
            raise self.two_ways(
                at, f"{main.text} +{found.plus.text}/−{found.minus.text}", f"{main.text}, then {found.plus.text}",
                "write the unit of every amount",
            )  # fmt: skip


def _one_sided(sign: str, side: Amount) -> Tolerance:
    nought = side._replace(value=Fraction(0), tidy="0", raw="0")
    return Tolerance(side, nought) if sign == "+" else Tolerance(nought, side)


def _bracket(amounts: list[Amount]) -> str:
    last = amounts[-1]
    end = written(last.tidy, last.value, last.unit or "")
    return end if len(amounts) == 1 else f"{written(amounts[0].tidy, amounts[0].value, '')}–{end}"
