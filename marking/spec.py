"""The tightening spec, and the grammar that reads it from the text of a manual.

    spec      = [snug joiner] turn-stage {joiner turn-stage}
    snug      = torque | "hand tight"
    joiner    = "+" | "then" | "and" | ","
    stage     = number angle-unit [tolerance]
    angle-unit = "°" | "deg" | "degrees" | "turn" | "turns" | "flat" | "flats"
    tolerance = "±" amount | "+" amount ["/"] "-" amount | "-" amount ["/"] "+" amount
    amount    = number [angle-unit]

A "+" may join two stages or begin a tolerance, a comma may join stages or be a decimal comma, and a hyphen may begin a
minus tolerance or join a fraction to a whole number. All readings are tried; a text with two different readings is
refused. Before one digit, or digits that begin with 0, a comma is a decimal comma: no manual has turns of 5° or 05°.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import product
from typing import NamedTuple

from .errors import RangeError, TextInputError, shown
from .quantities import ANY_CASE, MINUS_SIGNS, SPACES, Scanner, Torque, factor, plain_number, shown_degrees

THREADS = ("right", "left")

MAX_STAGES = 6
MAX_TURN_DEG = 3600.0
MAX_TORQUE_NM = 100_000.0
"""Limits of our own choosing: far above any real spec, near enough to catch a slip of the keyboard."""


class Window(NamedTuple):
    """The allowed turn, `low_deg..high_deg`, in degrees of tightening."""

    low_deg: float
    high_deg: float

    @property
    def text(self) -> str:
        """The window as printed: "90–100°"."""
        return f"{shown_degrees(self.low_deg)[:-1]}–{shown_degrees(self.high_deg)}"


@dataclass(frozen=True)
class Stage:
    """One turn: `turn_deg` degrees in the tightening direction and its tolerance, None when the manual gives none.

    Raises RangeError for a turn outside 0 .. 3600°, a window whose low end is not above 0, or one of 360° or more.
    """

    turn_deg: float
    plus_deg: float | None = None
    minus_deg: float | None = None

    def __post_init__(self) -> None:
        if not 0 < self.turn_deg <= MAX_TURN_DEG:
            raise RangeError(
                f"the turn is {shown_degrees(self.turn_deg)}",
                f"more than 0° and at most {MAX_TURN_DEG:.0f}°",
                "check the turn",
                self.turn_deg,
            )
        if (self.plus_deg is None) != (self.minus_deg is None):
            raise RangeError("the turn has half a tolerance", "both plus and minus", "write +10/-0")
        if self.plus_deg is None or self.minus_deg is None:
            return
        if not (0 <= self.plus_deg < math.inf and 0 <= self.minus_deg < math.inf):
            raise RangeError("the tolerance is negative or endless", "plus and minus of 0 or more", "write +10/-0")
        if self.minus_deg >= self.turn_deg:
            raise RangeError(
                f"the window of {shown_degrees(self.turn_deg)} begins at "
                f"{shown_degrees(self.turn_deg - self.minus_deg)}",
                "a window that begins above 0°",
                "check the minus tolerance",
                self.minus_deg,
            )
        if self.plus_deg + self.minus_deg >= 360:
            raise RangeError(
                f"the window is {shown_degrees(self.plus_deg + self.minus_deg)} wide",
                "less than 360°",
                "check the tolerance",
                self.plus_deg + self.minus_deg,
            )

    @property
    def window(self) -> Window | None:
        """The allowed turn, or None without a tolerance. A tolerance of +0/-0 is a window of no width."""
        if self.plus_deg is None or self.minus_deg is None:
            return None
        return Window(self.turn_deg - self.minus_deg, self.turn_deg + self.plus_deg)

    @property
    def text(self) -> str:
        """The stage as text that reads back to the same stage: "90° +10/-0"."""
        turn = f"{plain_number(self.turn_deg)}°"
        if self.plus_deg is None or self.minus_deg is None:
            return turn
        if self.plus_deg == self.minus_deg:
            return f"{turn} ±{plain_number(self.plus_deg)}"
        return f"{turn} +{plain_number(self.plus_deg)}/-{plain_number(self.minus_deg)}"

    @property
    def printed(self) -> str:
        """The stage as printed on paper, rounded for reading: "90° +10/−0"."""
        turn = shown_degrees(self.turn_deg)
        if self.plus_deg is None or self.minus_deg is None:
            return turn
        plus, minus = (shown_degrees(value)[:-1] for value in (self.plus_deg, self.minus_deg))
        return f"{turn} ±{plus}" if plus == minus else f"{turn} +{plus}/−{minus}"


@dataclass(frozen=True)
class TighteningSpec:
    """Snug torque (or hand tight, or neither stated), then one or more turns, for a right- or left-hand thread."""

    stages: tuple[Stage, ...]
    snug: Torque | None = None
    hand_tight: bool = False
    thread: str = "right"

    def __post_init__(self) -> None:
        if not 1 <= len(self.stages) <= MAX_STAGES:
            raise RangeError(f"the spec has {len(self.stages)} turns", f"1 to {MAX_STAGES}", "split the job")
        if self.thread not in THREADS:
            raise RangeError(f"the thread is {shown(self.thread)}", "right or left", "check --thread", self.thread)
        if self.snug and not 0 < self.snug.nm <= MAX_TORQUE_NM:
            raise RangeError(
                f"the snug torque is {self.snug.text}",
                f"more than 0 and at most {MAX_TORQUE_NM:.0f} N·m",
                'check the torque, or write "hand tight"',
                self.snug.value,
            )

    @property
    def text(self) -> str:
        """The spec as text that reads back to the same spec: "110 N·m + 90° +10/-0"."""
        return " + ".join([*self._snug_text(), *(stage.text for stage in self.stages)])

    @property
    def printed(self) -> str:
        """The spec as printed on paper: "110 N·m + 90° +10/−0"."""
        return " + ".join([*self._snug_text(), *(stage.printed for stage in self.stages)])

    def _snug_text(self) -> list[str]:
        if self.hand_tight:
            return ["hand tight"]
        return [self.snug.text] if self.snug else []

    @property
    def clockwise(self) -> bool:
        """True when tightening turns clockwise, seen from the drive end: right-hand threads."""
        return self.thread == "right"


_ANGLE_UNIT = re.compile(
    r"°|º|˚|deg(?:ree)?s?\b\.?|(?:of[ \u00a0]a[ \u00a0])?turns?\b|flats?\b", ANY_CASE
)  # º and ˚ are what keyboards without ° offer
_HAND_TIGHT = re.compile(rf"hand[{SPACES}-]?tight\b", ANY_CASE)
_JOINER = re.compile(rf",?[{SPACES}]*(?:and[{SPACES}]+then|then|and)\b|,|\+", ANY_CASE)
_PLUS_MINUS = re.compile(rf"±|\+/?[{MINUS_SIGNS}]")
_PLUS = re.compile(r"\+")
_MINUS = re.compile(f"[{MINUS_SIGNS}]")
_SLASH = re.compile("/")
_COMMA = re.compile("([0-9]+),([1-9][0-9])(?![0-9])")
_FIRST_PART = re.compile("[0-9]+(?=-|,[1-9][0-9](?![0-9]))")
"""What a hyphen or a comma may part from the rest of a number."""


@lru_cache(maxsize=1024)
def parse_spec(text: str, thread: str = "right") -> TighteningSpec:
    """Read a tightening spec such as "110 N·m + 90° +10/-0", "hand tight then 2 flats", "1/4 turn ±5°".

    Raises TextInputError with a caret for what cannot be read and for a text with two readings; RangeError for
    values outside their limits.
    """
    return _Reader(text).spec(thread)


class _Amount(NamedTuple):
    """An amount of a tolerance: its degrees, the name of its unit, and the position behind it."""

    deg: float
    unit: str
    end: int


class _Reader:
    """One pass over a spec text that follows every reading and keeps the farthest failure for the message."""

    def __init__(self, text: str) -> None:
        self.scan = Scanner(text, "spec")
        self.farthest: TextInputError | None = None

    def spec(self, thread: str) -> TighteningSpec:
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
            unit = scan.torque_unit()
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
        torque = self.scan.torque_unit()
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
        unit = _unit(found[0])
        turns: list[tuple[float, ...]] = [(_degrees(value, unit),)]
        pair = _COMMA.match(self.scan.text, start)
        if pair:
            turns.append(tuple(_degrees(Fraction(part), unit) for part in pair.groups()))
        return turns, self.scan.position

    def _refuse_unit(self, number: str) -> None:
        at = self.scan.position
        self.scan.skip_spaces()
        if self.scan.torque_unit():
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
                if one.unit != two.unit and not any(a.unit == "degree" and not a.deg for a in (one, two)):
                    what = f"has a tolerance in two units, {one.unit} and {two.unit},"
                    self._note(scan.failure(what, "one", "write the unit behind both amounts", at=two.end))
                    continue
                yield ((one.deg, two.deg) if plus_first else (two.deg, one.deg)), two.end

    def _amounts(self) -> list[_Amount]:
        """Return every way to read an amount at the cursor: in full, and as far as a hyphen or a comma."""
        scan = self.scan
        scan.skip_spaces()
        start = scan.position
        value, _ = scan.number("a tolerance such as +10/-0 or ±5")
        found = scan.take(_ANGLE_UNIT)
        unit = _unit(found[0]) if found else "degree"
        amounts = [_Amount(_degrees(value, unit), unit, scan.position)]
        part = _FIRST_PART.match(scan.text, start)
        if part and part.end() < scan.position:
            amounts.append(_Amount(float(part[0]), "degree", part.end()))
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
            f"in the spec, {failure.what}:",
            failure.expected,
            failure.advice,
        )


def _unit(text: str) -> str:
    word = text.lower().rsplit(" ", 1)[-1].rsplit("\u00a0", 1)[-1]
    return "turn" if word.startswith("turn") else "flat" if word.startswith("flat") else "degree"


def _degrees(value: Fraction, unit: str) -> float:
    return float(value * Fraction(factor(unit, "degree")))
