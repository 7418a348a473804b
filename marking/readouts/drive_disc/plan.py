"""A drive disc as numbers: from spec and drive to plans, budgets and warnings, before anything is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from typing import NamedTuple

from ...fastening.sanity import torque_remarks
from ...marks.one_mark import check_apart, check_start_is_kept, one_turn
from ...marks.reading_error import Budget
from ...marks.stage_marks import Mark, StageMarks, all_marks, place_in_words, stage_marks
from ...quantities.angles import arc_mm
from ...quantities.shown import shown_length
from ...remarks import Remark
from ...sheets.words import left_open
from ..advice import left_without_aim
from .error import disc_budget, sufficient_disc_mm
from .figure import shares
from .layout import MAX_DIAMETER_MM, DiscLayout
from .request import DiscRequest
from .words import DISC_A_STAGE, LARGER_DISC, NARROW, NO_DISC_CAN, TOO_LARGE_A_DISC, UNPROVED


class DiscPlan(NamedTuple):
    """All the numbers of a disc job; `discs` holds one plan, or one a stage when they cannot share it.

    `remedies` tell, one a stage, which disc leaves an aim where this one leaves none; else None.
    """

    job: DiscRequest
    discs: tuple[DiscLayout, ...]
    budgets: tuple[Budget, ...]
    warnings: tuple[Remark, ...]
    remedies: tuple[Remark | None, ...]

    @property
    def marks(self) -> tuple[Mark, ...]:
        """START, then each stage's stop marks and aim line, in the order of the stages."""
        return all_marks(self.job.spec, self.budgets)

    def along_mm(self, mark: Mark) -> float:
        """Return how far a mark lies from START along the edge, against the tightening direction."""
        return arc_mm(math.pi * self.job.size_mm, mark.deg)

    def where(self, mark: Mark) -> str | None:
        """Say where a mark falls on the socket when START stands over its corner 1; None without its points."""
        return None if self.job.points is None else place_in_words(mark, self.job.points)


def plan(job: DiscRequest) -> DiscPlan:
    """Return all the numbers of a disc job.

    Raises RangeError for a diameter outside its limits, and LayoutError when discs would have to be changed between
    stages that count from one mark.
    """
    spec = job.spec
    check_apart(spec)
    budgets = tuple(
        disc_budget(number, stage.turn_deg, stage.window, job.size_mm, job.drive, job.model, job.disc_model)
        for number, stage in enumerate(spec.stages, 1)
    )
    warnings = [*left_open(spec), *torque_remarks(spec, job.drive)]
    marks = stage_marks(spec, budgets)
    together = _disc(job, marks)
    discs: tuple[DiscLayout, ...] = (together,)
    if len(marks) > 1 and not shares(together):
        discs = tuple(_disc(job, [stage]) for stage in marks)
        if not all(map(spec.marked_anew, range(1, len(spec.stages) + 1))):
            check_start_is_kept(spec, [disc.stages for disc in discs], ("disc", "discs"), _advice(job))
        warnings.append(DISC_A_STAGE())
    remedies = tuple(_remedy(job, budget) for budget in budgets)
    warnings += left_without_aim(budgets, remedies, UNPROVED, NARROW)
    return DiscPlan(job, discs, budgets, tuple(warnings), remedies)


def sharing_disc_mm(job: DiscRequest, most_mm: float = MAX_DIAMETER_MM) -> float | None:
    """Return the smallest diameter in whole 10 mm from the asked one on whose disc all stages share; None without."""
    marks = stage_marks(job.spec)
    tens = range(math.ceil(job.size_mm / 10) * 10, math.floor(most_mm) + 1, 10)
    return next((mm for mm in tens if shares(_disc(replace(job, diameter_mm=mm), marks))), None)


def _advice(job: DiscRequest) -> str:
    larger_mm = sharing_disc_mm(job, job.paper.content_width_mm)
    if larger_mm is not None:
        return f"a disc of {shown_length(larger_mm, job.unit)} across carries all of them"
    if sum(map(job.spec.begins_run, range(1, len(job.spec.stages) + 1))) > 1:
        return "give what comes before and after a loosening or a torque as specs of their own"
    return one_turn(job.spec)


def _disc(job: DiscRequest, stages: Iterable[StageMarks]) -> DiscLayout:
    words = (job.spec.read_as, *([job.title] if job.title else []))
    return DiscLayout(job.size_mm, job.drive, job.spec.clockwise, tuple(stages), words, job.unit)


def _remedy(job: DiscRequest, budget: Budget) -> Remark | None:
    """Say which disc leaves an aim in a window in which this one leaves none."""
    if budget.window is None or budget.verdict == "aim":
        return None
    turn_deg = job.spec.stages[budget.stage - 1].turn_deg
    least_mm = sufficient_disc_mm(budget.window, turn_deg, job.drive, job.model, job.disc_model)
    if least_mm is None:
        return NO_DISC_CAN()
    least_mm = math.ceil(least_mm)
    return (TOO_LARGE_A_DISC if least_mm > MAX_DIAMETER_MM else LARGER_DISC)(size=(least_mm, job.unit))
