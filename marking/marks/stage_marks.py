"""The marks of a spec: START, and the stop window and aim line of each stage."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import chain
from typing import Literal, NamedTuple

from ..fastening.spec import FROM_SNUG, Stage, TighteningSpec, Window
from ..quantities.angles import full_turns, position_deg
from ..quantities.shown import shown_degrees, trimmed
from .places import Start, turns_in_words, where
from .reading_error import Budget


def stage_marks(spec: TighteningSpec, budgets: Sequence[Budget] = ()) -> list[StageMarks]:
    """The stop marks, one entry for all stages that are alike; without budgets they have no aims."""
    totals, count = spec.totals_from_snug_deg, len(spec.stages)
    counted = "" if count == 1 else "from snug" if spec.counted_from == FROM_SNUG else "new mark"
    found = []
    for stage in dict.fromkeys(spec.stages):
        numbers = tuple(n for n, other in enumerate(spec.stages, 1) if other == stage)
        in_all = tuple(totals[n - 1] for n in numbers)
        aim_deg = budgets[numbers[0] - 1].aim_deg if budgets else None
        found.append(StageMarks(stage, numbers, aim_deg, count, counted, in_all))
    return found


class Mark(NamedTuple):
    """A mark on the socket: `deg` its place from START in 0 .. 360, reached after `full_turns` whole turns more.

    `stage` counts from 1, None for START.
    """

    kind: MarkKind
    stage: int | None
    deg: float
    full_turns: int = 0

    @property
    def turn_deg(self) -> float:
        """The whole turn from START to the mark, full turns included."""
        return self.deg + 360.0 * self.full_turns


def mark_at(kind: MarkKind, stage: int | None, turn_deg: float) -> Mark:
    """Return the mark reached after `turn_deg` degrees of tightening."""
    return Mark(kind, stage, position_deg(turn_deg), full_turns(turn_deg))


def stop_marks(stage: Stage, number: int) -> tuple[Mark, ...]:
    """Return the stop marks of one stage: the window's two edges, or one stop line without a tolerance."""
    if stage.window is None:
        return (mark_at("stop", number, stage.turn_deg),)
    low, high = stage.window.low_deg, stage.window.high_deg
    return mark_at("stop-low", number, low), mark_at("stop-high", number, high)


def stage_arc(stage: Stage) -> tuple[float, float]:
    """Return (begin_deg, span_deg) of the arc that a stage's stop marks take on the circle."""
    if stage.window is None:
        return position_deg(stage.turn_deg), 0.0
    return position_deg(stage.window.low_deg), stage.window.high_deg - stage.window.low_deg


MarkKind = Literal["start", "stop-low", "stop-high", "stop", "aim"]


def all_marks(spec: TighteningSpec, budgets: Sequence[Budget]) -> tuple[Mark, ...]:
    """Return START, then each stage's stop marks and aim line, in the order of the stages."""
    stages = (
        StageMarks(stage, (number,), budget.aim_deg, False).marks
        for number, (stage, budget) in enumerate(zip(spec.stages, budgets, strict=True), 1)
    )
    return (mark_at("start", None, 0.0), *chain.from_iterable(stages))


@lru_cache(maxsize=1024)  # tables of marks are tried in several widths
def place_in_words(mark: Mark, points: int, start: Start = "corner") -> str:
    """Say where a mark lies on the socket: "1 full turn, then on corner 4"."""
    place = where(mark.deg, points, start)
    return f"{turns_in_words(mark.full_turns)}, then {place}" if mark.full_turns else place


def stages_of(stages: Sequence[Stage]) -> tuple[StageMarks, ...]:
    """Return the marks of a spec's stages, for a view."""
    return tuple(StageMarks(stage, (number,), None, len(stages)) for number, stage in enumerate(stages, 1))


class StageMarks(NamedTuple):
    """The stop marks that one or more stages share: `numbers` are the stages' numbers, from 1, `of` how many in all.

    `counted` tells how they count, "new mark" or "from snug"; "" for a single stage, which counts both ways alike.
    `totals_deg` are the turns in all since the snug of their run, one a number.
    """

    stage: Stage
    numbers: tuple[int, ...]
    aim_deg: float | None
    of: int
    counted: str = ""
    totals_deg: tuple[float, ...] = ()

    @property
    def name(self) -> str:
        """The label: "STOP"; of several stages "STOP 2", "STOP 1 and 3", or "STOP, each stage" for all of them."""
        if self.of == 1:
            return "STOP"
        return "STOP, each stage" if len(self.numbers) == self.of else f"STOP {self.numbered}"

    @property
    def stage_name(self) -> str:
        """The stages: "stage 2", "stages 1 and 3", "each stage"; "" where there is only one."""
        if self.of == 1:
            return ""
        if len(self.numbers) == self.of:
            return "each stage"
        return f"stage{'s' if len(self.numbers) > 1 else ''} {self.numbered}"

    @property
    def numbered(self) -> str:
        """The stages' numbers: "2", "1, 2 and 4"."""
        *first, last = map(str, self.numbers)
        return f"{', '.join(first)} and {last}" if first else last

    @property
    def counted_label(self) -> tuple[str, ...]:
        """How the stages count, to stand with the label: "new mark", "270° from snug in all"."""
        if not self.counted:
            return ()
        if all(total == self.stage.turn_deg for total in self.totals_deg):
            return (self.counted,)
        totals = [shown_degrees(total) for total in self.totals_deg]
        return self.counted, f"{', '.join(totals)} from snug in all"

    @property
    def marks(self) -> tuple[Mark, ...]:
        """The stop marks and the aim line."""
        aim = () if self.aim_deg is None else (mark_at("aim", self.numbers[0], self.aim_deg),)
        return (*stop_marks(self.stage, self.numbers[0]), *aim)

    @property
    def label(self) -> tuple[str, ...]:
        """What stands beside the window, line by line."""
        turns = full_turns(self.stage.turn_deg)
        around = [f"{turns_in_words(turns)} +"] if turns else []
        window = self.stage.window
        if window is None:
            rest_deg = self.stage.turn_deg - 360.0 * turns
            return (
                (self.name, turns_in_words(turns)) if rest_deg == 0 else (self.name, *around, shown_degrees(rest_deg))
            )
        rest = Window(window.low_deg - 360.0 * turns, window.high_deg - 360.0 * turns)
        if rest.low_deg >= 0:
            return (self.name, *around, rest.text)
        # a window on both sides of a whole turn: "1 full turn", "−20 to +20°"
        return (
            self.name,
            turns_in_words(turns),
            f"−{trimmed(-rest.low_deg, 2)} to +{shown_degrees(rest.high_deg)}",
        )

    @property
    def aim_label(self) -> tuple[str, ...]:
        """The aim in words, its full turns like the label's: "aim 95°", "aim 1 full turn + 90°", "aim 2 full turns"."""
        if self.aim_deg is None:
            return ()
        turns = full_turns(self.stage.turn_deg)
        rest_deg = round(self.aim_deg - 360.0 * turns, 1)
        if not turns:
            return (f"aim {shown_degrees(rest_deg, 1)}",)
        past = f" {'+' if rest_deg > 0 else '−'} {shown_degrees(abs(rest_deg), 1)}" if rest_deg else ""
        return (f"aim {turns_in_words(turns)}{past}",)
