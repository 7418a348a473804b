"""The grammar of tightening specs: from the words of a manual to steps."""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from itertools import product

from ..errors import RangeError, TextInputError
from ..quantities.scanner import ANY_CASE, MINUS_SIGNS, SPACES, Scanner
from ..quantities.torque import Torque, take_torque_unit
from ..quantities.units import factor
from .spec import COMMA, FIRST_PART, MAX_STAGES, Amount, Stage, Thread, TighteningSpec, unit_of

_ANGLE_UNIT = re.compile(
    r"°|º|˚|deg(?:ree)?s?\b\.?|(?:of[ \u00a0]a[ \u00a0])?turns?\b|flats?\b", ANY_CASE
)  # º and ˚ are what keyboards without ° offer

_HAND_TIGHT = re.compile(rf"hand[{SPACES}-]?tight\b", ANY_CASE)

_JOINER = re.compile(rf",?[{SPACES}]*(?:and[{SPACES}]+then|then|and)\b|,|\+", ANY_CASE)

_PLUS_MINUS = re.compile(rf"±|\+/?[{MINUS_SIGNS}]")

_PLUS = re.compile(r"\+")

_MINUS = re.compile(f"[{MINUS_SIGNS}]")

_SLASH = re.compile("/")


@lru_cache(maxsize=1024)
def parse_spec(text: str, thread: Thread = "right") -> TighteningSpec:
    """Read a tightening spec such as "110 N·m + 90° +10/-0", "hand tight then 2 flats", "1/4 turn ±5°".

    Raises TextInputError with a caret for what cannot be read and for a text with two readings; RangeError for
    values outside their limits.
    """
    return _Reader(text).spec(thread)


class _Reader:
    """One pass over a spec text that follows every reading and keeps the farthest failure for the message."""

    def __init__(self, text: str) -> None:
        self.scan = Scanner(text, "spec", example="110 N·m + 90°")
        self.farthest: TextInputError | None = None

    def spec(self, thread: Thread) -> TighteningSpec:
        snug, hand_tight = self._snug()
        start = self.scan.position
        readings: list[tuple[Stage, ...]] = []
        for stages in self._stages(start, 1):
            if stages not in readings:
                readings.append(stages)
        if not readings:
            raise self.farthest or self.scan.failure("cannot be read")
        specs = [TighteningSpec(stages, snug, hand_tight, thread) for stages in readings]
        if len(specs) > 1:
            raise self.scan.failure(
                f"can be read in two ways, “{specs[0].text}” and “{specs[1].text}”",
                "one meaning",
                "join the stages with “then” and write tolerances as +10/-0",
                at=start,
            )
        return specs[0]

    def _snug(self) -> tuple[Torque | None, bool]:
        scan = self.scan
        hand_tight = scan.take(_HAND_TIGHT) is not None
        snug = None
        if not hand_tight:
            back = scan.position
            value, _ = scan.number("a torque such as 110 N·m, a turn such as 90°, or “hand tight”")
            unit = take_torque_unit(scan)
            if unit is None:
                scan.position = back
                return None, False
            snug = Torque(float(value), unit)
        if scan.at_end():
            raise scan.failure("has no turn", "a turn behind the snug torque", "such as + 90° +10/-0")
        if not scan.take(_JOINER):
            raise scan.failure("cannot be read", "“+”, “then”, “and” or a comma before the turn")
        return snug, hand_tight

    def _stages(self, position: int, count: int) -> Iterator[tuple[Stage, ...]]:
        """Yield every reading of the text from `position` on as stages."""
        try:
            turns, after_turn = self._turns(position)
        except TextInputError as failure:
            self._note(failure)
            return
        for (*before, turn_deg), (tolerance, end) in product(turns, self._tolerances(after_turn)):
            self.scan.position = end
            at_end = self.scan.at_end()
            if not at_end and not self._joiner_follows():
                continue
            try:
                stages = (*map(Stage, before), Stage(turn_deg, *(tolerance or (None, None))))
            except RangeError as failure:
                if before:  # "1,50 turns" is not 1 and 50 turns
                    continue
                raise self._at(position, failure) from None
            last = count + len(before)
            if at_end and last <= MAX_STAGES:
                yield stages
            elif not at_end and last < MAX_STAGES:
                for rest in self._stages(self.scan.position, last + 1):
                    yield (*stages, *rest)
            else:
                self._note(self.scan.failure("has too many turns", f"at most {MAX_STAGES}"))

    def _joiner_follows(self) -> bool:
        if self.scan.take(_JOINER):
            return True
        torque = take_torque_unit(self.scan)
        expected = "the end, “then”, or a tolerance such as +10/-0"
        self._note(self.scan.failure("cannot be read", "a turn, not a torque" if torque else expected))
        return False

    def _turns(self, position: int) -> tuple[list[tuple[float, ...]], int]:
        """Return every way to read a turn, and the position behind it: "60,90°" is 60.9°, or 60° and then 90°."""
        self.scan.position = position
        self.scan.skip_spaces()
        start = self.scan.position
        value, tidy = self.scan.number("a turn such as 90°, 1/4 turn or 2 flats")
        found = self.scan.take(_ANGLE_UNIT)
        if found is None:
            self._refuse_unit(tidy)
            raise AssertionError  # _refuse_unit always raises
        unit = unit_of(found[0])
        turns: list[tuple[float, ...]] = [(_degrees(value, unit),)]
        pair = COMMA.match(self.scan.text, start)
        if pair:
            turns.append(tuple(_degrees(Fraction(part), unit) for part in pair.groups()))
        return turns, self.scan.position

    def _refuse_unit(self, number: str) -> None:
        at = self.scan.position
        self.scan.skip_spaces()
        if take_torque_unit(self.scan):
            raise self.scan.failure(
                "has a torque where a turn is expected", "one snug torque, then turns",
                "give only the last torque before the turn", at=at,
            )  # fmt: skip
        what = "has no unit" if self.scan.at_end() else "has no angle unit here"
        raise self.scan.failure(
            what, "°, deg, turn or flats", f"write {number}° for a turn, or +{number}/-0 for a tolerance"
        )

    def _tolerances(self, position: int) -> Iterator[tuple[tuple[float, float] | None, int]]:
        """Yield (plus, minus) and the position behind, for every way to read a tolerance; last, none."""
        scan = self.scan
        scan.position = position
        try:
            if scan.take(_PLUS_MINUS):
                for both in self._amounts():
                    yield (both.deg, both.deg), both.end
                return
            first = scan.take(_PLUS) or scan.take(_MINUS)
            if first:
                yield from self._pairs(first[0] == "+")
        except TextInputError as failure:
            self._note(failure)
        yield None, position

    def _pairs(self, plus_first: bool) -> Iterator[tuple[tuple[float, float], int]]:
        """Yield (plus, minus) and the position behind, for every way to read two amounts from the cursor on."""
        scan = self.scan
        for one in self._amounts():
            scan.position = one.end
            scan.take(_SLASH)
            if not scan.take(_MINUS if plus_first else _PLUS):
                if not plus_first:
                    self._note(scan.failure("has half a tolerance", "both plus and minus", "such as -0/+10"))
                continue
            for two in self._amounts():
                if one.unit != two.unit and not any(a.unit == "°" and not a.deg for a in (one, two)):
                    what = f"has a tolerance in two units, {one.unit} and {two.unit},"
                    self._note(scan.failure(what, "one", "write the unit behind both amounts", at=two.end))
                    continue
                yield ((one.deg, two.deg) if plus_first else (two.deg, one.deg)), two.end

    def _amounts(self) -> list[Amount]:
        """Return every way to read an amount at the cursor: in full, and as far as a hyphen or a comma."""
        scan = self.scan
        scan.skip_spaces()
        start = scan.position
        value, _ = scan.number("a tolerance such as +10/-0 or ±5")
        found = scan.take(_ANGLE_UNIT)
        unit = unit_of(found[0]) if found else "°"
        amounts = [Amount(_degrees(value, unit), unit, scan.position)]
        part = FIRST_PART.match(scan.text, start)
        if part and part.end() < scan.position:
            amounts.append(Amount(float(part[0]), "°", part.end()))
        return amounts

    def _note(self, failure: TextInputError) -> None:
        if self.farthest is None or failure.position > self.farthest.position:
            self.farthest = failure

    def _at(self, position: int, failure: RangeError) -> TextInputError:
        self.scan.position = position
        self.scan.skip_spaces()
        return TextInputError(
            self.scan.text,
            self.scan.position,
            f"in the spec, {failure.what}",
            failure.expected,
            failure.advice,
            "spec",
        )


def _degrees(value: Fraction, unit: str) -> float:
    return float(value * Fraction(factor(unit)))
