"""What a tightening spec is: its steps in order, and what follows from them. `spec_grammar` reads one from text.

A spec is a sequence of torque passes, loosenings, hand tight steps and turns. Turns that follow one another without
another step between them make a run. The last torque (or hand tight) before a run is its snug; the total from snug
of a turn is counted from there, so every torque, also one after a turn, and every loosening begins a new total.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import accumulate, chain
from typing import NamedTuple

from ..errors import RangeError, shown
from ..quantities.shown import plain_number, rounded, shown_degrees, trimmed
from ..quantities.torque import Torque
from ..quantities.units import NM_PER_LBF_FT
from .hand import THREADS

NEW_MARK, FROM_SNUG = "new mark", "snug"
COUNTED_FROM = (NEW_MARK, FROM_SNUG)
"""How stages count: each from a witness mark made for it, or in all from the snug torque of its run."""

MAX_STAGES = 6
MAX_STEPS = 12
MAX_TURN_DEG = 3600.0
MAX_TORQUE_NM = 100_000.0
"""Limits of our own choosing: far above any real spec, near enough to catch a slip of the keyboard."""

WIDE_TORQUE_TOLERANCE = 0.25
"""Part of a torque from which +a/-b behind it needs a unit: it may be a turn without its degree sign (our choice)."""

_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{3}")


def unmistakable(value: float) -> str:
    """Write a float so that it reads back exactly and never looks like thousands: 27.8, 110, 1.1250."""
    text = plain_number(value)
    return f"{text}0" if _THOUSANDS.fullmatch(text) else text


def shown_tolerance(plus: float | None, minus: float | None, unit: str = "") -> str:
    """Write a tolerance as it follows its value: " ±5", " +10/−0", with a `unit` " ±5°"; "" for none."""
    if plus is None or minus is None:
        return ""
    high, low = unmistakable(plus), unmistakable(minus)
    if high == low:
        return f" ±{high}{unit}"
    return f" +{high}°/−{low}°" if unit == "°" else f" +{high}/−{low}{unit}"


def shown_torque_tolerance(value: float, unit: str, plus: float | None, minus: float | None) -> str:
    """Write the tolerance of a torque; a wide one with its unit, lest it be taken for a turn."""
    wide = max(plus or 0, minus or 0) > WIDE_TORQUE_TOLERANCE * value
    return shown_tolerance(plus, minus, f" {unit}" if wide else "")


class Window(NamedTuple):
    """The allowed turn, `low_deg..high_deg`, in degrees of tightening."""

    low_deg: float
    high_deg: float

    @property
    def text(self) -> str:
        """The window as printed: "90–100°"."""
        return f"{trimmed(self.low_deg, 2)}–{shown_degrees(self.high_deg)}"


@dataclass(frozen=True)
class Stage:
    """One turn: `turn_deg` degrees in the tightening direction and its tolerance, None when the manual gives none.

    `shown` is the turn in the manual's own measure, in canonical form: "2/3 turn (240°) ±30", "85–95°".
    Raises RangeError for a turn outside 0 .. 3600°, half a tolerance, a window that begins at 0 or below, is 360° wide
    or more, or a plus tolerance that is as large as the turn itself.
    """

    turn_deg: float
    plus_deg: float | None = None
    minus_deg: float | None = None
    shown: str = field(default="", compare=False)

    def __post_init__(self) -> None:
        turn, plus, minus = self.turn_deg, self.plus_deg, self.minus_deg
        if not 0 < turn <= MAX_TURN_DEG:
            raise RangeError(
                f"the turn is {plain_number(turn)}°", f"more than 0° and at most {MAX_TURN_DEG:.0f}°", "", turn
            )
        if plus is None and minus is None:
            return
        if plus is None or minus is None:
            raise RangeError("the turn has half a tolerance", "both plus and minus", "write +10/-0")
        if not (0 <= plus < math.inf and 0 <= minus < math.inf):
            raise RangeError("the tolerance is negative or endless", "plus and minus of 0 or more", "write +10/-0")
        if max(plus, minus) >= turn:
            raise RangeError(
                f"the tolerance of {plain_number(max(plus, minus))}° is not smaller than the turn",
                f"less than {plain_number(turn)}°",
                "check turn and tolerance",
                max(plus, minus),
            )
        if plus + minus >= 360:
            raise RangeError(f"the window is {plain_number(plus + minus)}° wide", "less than 360°", "", plus + minus)

    @cached_property
    def window(self) -> Window | None:
        """The allowed turn, or None without a tolerance. A tolerance of +0/-0 is a window of no width."""
        if self.plus_deg is None or self.minus_deg is None:
            return None
        return Window(self.turn_deg - self.minus_deg, self.turn_deg + self.plus_deg)

    @property
    def read_as(self) -> str:
        """The turn as it was read: "90° +10/−0", "2 flats (120°)"."""
        return self.shown or self.in_degrees

    @property
    def in_degrees(self) -> str:
        """The turn in degrees, whatever measure the manual has: "120°"."""
        return f"{unmistakable(self.turn_deg)}°{shown_tolerance(self.plus_deg, self.minus_deg)}"


@dataclass(frozen=True)
class TorqueStep:
    """A torque pass of `value` in `unit` ("N·m", "lbf·ft" …), with its tolerance in the same unit or None.

    Raises RangeError for a torque outside 0 .. 100 000 N·m and a tolerance that is half, negative or not smaller.
    """

    value: float
    unit: str = "N·m"
    plus: float | None = None
    minus: float | None = None
    typed: str = field(default="", compare=False)
    shown: str = field(default="", compare=False)

    def __post_init__(self) -> None:
        if not 0 < self.nm <= MAX_TORQUE_NM:
            raise RangeError(
                f"the torque is {plain_number(self.value)} {self.unit}",
                f"more than 0 and at most {MAX_TORQUE_NM:.0f} N·m",
                'check the torque, or write "hand tight"',
                self.value,
            )
        if self.plus is None and self.minus is None:
            return
        if self.plus is None or self.minus is None or self.plus < 0 or self.minus < 0:
            raise RangeError("the torque has half a tolerance", "plus and minus of 0 or more", "write +5/-0")
        if not max(self.plus, self.minus) < self.value:
            raise RangeError("the tolerance is not smaller than the torque", "a smaller one", "check the tolerance")

    @property
    def torque(self) -> Torque:
        """The torque in the unit of the manual."""
        return Torque(self.value, self.unit)

    @property
    def nm(self) -> float:
        """The torque in newton metres; of a range, its middle."""
        return self.torque.nm

    @property
    def low_nm(self) -> float | None:
        """The least torque allowed, or None without a tolerance."""
        return None if self.minus is None else Torque(self.value - self.minus, self.unit).nm

    @property
    def high_nm(self) -> float | None:
        """The largest torque allowed, or None without a tolerance."""
        return None if self.plus is None else Torque(self.value + self.plus, self.unit).nm

    @property
    def read_as(self) -> str:
        """The torque as it was read: "110 N·m ±5", "20–25 N·m"."""
        tolerance = shown_torque_tolerance(self.value, self.unit, self.plus, self.minus)
        return self.shown or f"{unmistakable(self.value)} {self.unit}{tolerance}"

    @property
    def both(self) -> str:
        """The torque as read with the other system beside it: "20–25 N·m (14.8–18.4 lbf·ft)"."""
        if self.low_nm is None or self.high_nm is None or "(" in self.read_as:
            return self.read_as if "(" in self.read_as else self.torque.both
        unit, per_nm = ("N·m", 1.0) if self.unit in ("lbf·ft", "lbf·in") else ("lbf·ft", 1 / NM_PER_LBF_FT)
        return f"{self.read_as} ({rounded(self.low_nm * per_nm)}–{rounded(self.high_nm * per_nm)} {unit})"


@dataclass(frozen=True)
class LoosenStep:
    """Backing the fastener off by `deg` degrees, or fully (None)."""

    deg: float | None = None
    typed: str = field(default="", compare=False)
    shown: str = field(default="", compare=False)

    def __post_init__(self) -> None:
        if self.deg is not None and not 0 < self.deg <= MAX_TURN_DEG:
            raise RangeError(f"the loosening is {plain_number(self.deg)}°", f"0 to {MAX_TURN_DEG:.0f}°", "", self.deg)

    @property
    def read_as(self) -> str:
        """The step as it was read: "loosen", "loosen 180°"."""
        return self.shown or ("loosen" if self.deg is None else f"loosen {unmistakable(self.deg)}°")


@dataclass(frozen=True)
class HandTightStep:
    """Tightening without a stated torque: "hand tight", "finger tight" or "snug tight"."""

    words: str = "hand tight"
    typed: str = field(default="", compare=False)

    @property
    def read_as(self) -> str:
        """The step as it was read."""
        return self.words


@dataclass(frozen=True)
class TurnStep:
    """The step that turns: stage `number` (from 1) of the spec."""

    number: int
    stage: Stage
    typed: str = field(default="", compare=False)

    @property
    def read_as(self) -> str:
        """The step as it was read."""
        return self.stage.read_as


Snug = TorqueStep | HandTightStep | None
Step = TorqueStep | LoosenStep | HandTightStep | TurnStep
Hint = tuple[str, float]


class Run(NamedTuple):
    """Turns that follow one another, and the step that they start from, None where nothing is stated."""

    snug: Snug
    turns: list[TurnStep]


def runs_of(steps: Iterable[Step]) -> list[Run]:
    """Return the runs of turns among the steps of a spec, in order."""
    runs = [Run(None, [])]
    for step in steps:
        if isinstance(step, TurnStep):
            runs[-1].turns.append(step)
        else:
            runs.append(Run(None if isinstance(step, LoosenStep) else step, []))
    return [run for run in runs if run.turns]


@dataclass(frozen=True)
class TighteningSpec:
    """A whole spec for a right- or left-hand thread; see the module for runs and totals from snug.

    `text` keeps the words as typed, `title` the part's name before a colon. `hints` are codes for what is readable
    but worth a warning: ("growing-turns", total of the run in degrees) when turns grow and nothing says whether they
    are totals; ("falling-torque", step number) for a pass below the one before it; ("second-fastener", step
    number) for a torque after a turn that tightens no further; ("left-hand-title", 0) when the
    title speaks of left-hand and the thread is right.
    Raises RangeError, with the index of the step at fault as `value`.
    """

    steps: tuple[Step, ...]
    thread: str = "right"
    counted_from: str = NEW_MARK
    title: str = ""
    text: str = field(default="", compare=False)
    hints: tuple[Hint, ...] = field(default=(), compare=False)

    def __post_init__(self) -> None:
        if self.thread not in THREADS:
            raise RangeError(f"the thread is {shown(self.thread)}", " or ".join(THREADS), "", self.thread, "thread")
        if self.counted_from not in COUNTED_FROM:
            raise RangeError(f"the stages count from {self.counted_from!r}", " or ".join(COUNTED_FROM))
        if not 1 <= len(self.stages) <= MAX_STAGES or len(self.steps) > MAX_STEPS:
            raise RangeError(
                f"the spec has {len(self.steps)} steps with {len(self.stages)} turns",
                f"1 to {MAX_STAGES} turns in at most {MAX_STEPS} steps", "split the job", max(0, len(self.steps) - 1),
            )  # fmt: skip
        self._check_order()

    def _check_order(self) -> None:
        before: Step | None = None
        number = 0
        for index, step in enumerate(self.steps):
            if isinstance(step, HandTightStep) and not isinstance(before, LoosenStep | None):
                raise RangeError(
                    f"“{step.words}” follows a tightening", "hand tight first of all or after a loosening", "", index
                )
            if isinstance(step, TurnStep):
                number += 1
                if step.number != number:
                    raise RangeError(f"stage {number} is numbered {step.number}", "stages numbered from 1", "", index)
                if isinstance(before, LoosenStep):
                    raise RangeError(
                        "a turn follows a loosening", "a torque or “hand tight” to count the turn from", "", index
                    )
                grows = not isinstance(before, TurnStep) or step.stage.turn_deg > before.stage.turn_deg
                if self.counted_from == FROM_SNUG and before and not grows:
                    raise RangeError(
                        f"{step.read_as} from snug comes after {before.read_as} from snug",
                        "turns that grow, as each is counted from snug in all",
                        "",
                        index,
                    )
            before = step

    @cached_property
    def stages(self) -> tuple[Stage, ...]:
        """The turns in order; stage n is `stages[n - 1]`."""
        return tuple(step.stage for step in self.steps if isinstance(step, TurnStep))

    @cached_property
    def totals_from_snug_deg(self) -> tuple[float, ...]:
        """For every stage, the turn in all since the snug of its run, at the turns' nominal values.

        Without a stated snug it counts from where the fastener stands at the start.
        """
        runs = ([turn.stage.turn_deg for turn in run.turns] for run in runs_of(self.steps))
        return tuple(chain.from_iterable(map(accumulate, runs) if self.counted_from == NEW_MARK else runs))

    @cached_property
    def snugs(self) -> tuple[Snug, ...]:
        """For every stage, the step its run starts from: a torque, hand tight, or None where nothing is stated."""
        return tuple(run.snug for run in runs_of(self.steps) for _ in run.turns)

    def begins_run(self, number: int) -> bool:
        """Tell whether a stage is the first of its run: no mark made before the torque or loosening counts for it."""
        return any(run.turns[0].number == number for run in runs_of(self.steps))

    def marked_anew(self, number: int) -> bool:
        """Tell whether a stage begins with a mark of its own: the first of a run, and all not counted from snug."""
        return self.counted_from == NEW_MARK or self.begins_run(number)

    def last_run(self) -> TighteningSpec:
        """Return the spec of the last run of turns alone, from its snug on; what lies before it, it makes void."""
        snug, turns = runs_of(self.steps)[-1]
        numbered = (replace(step, number=number) for number, step in enumerate(turns, 1))
        return replace(self, steps=(*([snug] if snug else []), *numbered))

    @property
    def snug(self) -> Torque | None:
        """The snug torque before the first turn, or None."""
        first = self.snugs[0]
        return first.torque if isinstance(first, TorqueStep) else None

    @property
    def hand_tight(self) -> bool:
        """True when the first turn starts from hand tight."""
        return isinstance(self.snugs[0], HandTightStep)

    @property
    def clockwise(self) -> bool:
        """True when tightening turns clockwise, seen from the drive end: right-hand threads."""
        return self.thread == "right"

    @property
    def typed(self) -> str:
        """The words as typed, on one line; "" where they are those of `read_as`."""
        words = " ".join(self.text.split())
        return "" if words == self.read_as else words

    @cached_property
    def read_as(self) -> str:
        """The spec as it was read, in canonical form; reads back to the same spec.

        "20 N·m, then 60 N·m, then 90° +10/−0", "hand tight, then 90° from snug, then 180° from snug".
        """
        suffix = " from snug" if self.counted_from == FROM_SNUG else ""
        return ", then ".join(step.read_as + (suffix if isinstance(step, TurnStep) else "") for step in self.steps)
