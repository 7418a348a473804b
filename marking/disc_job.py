"""A drive disc as numbers: from spec and drive to plans, budgets and warnings, before anything is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from .budget import (
    Budget,
    DiscErrorModel,
    ErrorModel,
    disc_budget,
    disc_hole_mm,
    sufficient_disc_mm,
)
from .disc import MAX_DIAMETER_MM, DiscPlan, shares, usual_diameter_mm
from .errors import LayoutError, RangeError
from .geometry import Mark, arc_mm
from .job import MAX_COPIES, Job, all_marks, check_witness, place_in_words, spec_warnings
from .paper import SIZES, Paper
from .quantities import parse_length, shown_degrees, shown_length
from .reading import parse_percent, read_error_model, read_sheet
from .report import budget_data, mark_data, spec_data
from .socket import POINTS, Drive, parse_drive
from .spec import TighteningSpec, parse_spec
from .strip import StageMarks


@dataclass(frozen=True)
class DiscJob:
    """What is asked for: spec, drive and disc. `diameter_mm` None takes the usual one for the drive.

    `points` is only needed to say where the marks fall on the socket. Raises RangeError for what is out of limits.
    """

    spec: TighteningSpec
    drive: Drive
    diameter_mm: float | None = None
    points: int | None = None
    witness: str = "fresh"
    model: ErrorModel = field(default_factory=ErrorModel)
    disc_model: DiscErrorModel = field(default_factory=DiscErrorModel)
    paper: Paper = field(default_factory=lambda: Paper(*SIZES["a4"]))
    copies: int = 1
    title: str = ""
    unit: str = "mm"

    def __post_init__(self) -> None:
        check_witness(self.spec, self.witness)
        if self.points is not None and self.points not in POINTS:
            raise RangeError(f"a socket with {self.points} points", "4, 6, 8 or 12 points", "check --points")
        if not 1 <= self.copies <= MAX_COPIES:
            raise RangeError(f"{self.copies} copies", f"1 to {MAX_COPIES}", "check --copies", self.copies)

    @property
    def size_mm(self) -> float:
        """Diameter of the disc."""
        return usual_diameter_mm(self.drive) if self.diameter_mm is None else self.diameter_mm


class DiscJobPlan(NamedTuple):
    """All the numbers of a disc job; `discs` holds one plan, or one a stage when they cannot share it."""

    job: DiscJob
    discs: tuple[DiscPlan, ...]
    budgets: tuple[Budget, ...]
    warnings: tuple[str, ...]

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


def plan_discs(job: DiscJob) -> DiscJobPlan:
    """Return all the numbers of a disc job. Raises RangeError for a diameter outside its limits."""
    spec = job.spec
    budgets = tuple(
        disc_budget(number, stage.turn_deg, stage.window, job.size_mm, job.drive, job.model, job.disc_model)
        for number, stage in enumerate(spec.stages, 1)
    )
    warnings = spec_warnings(spec)
    marks = _stage_marks(spec, budgets)
    together = _disc(job, marks)
    discs: tuple[DiscPlan, ...] = (together,)
    if len(marks) > 1 and not shares(together):
        discs = tuple(_disc(job, [stage]) for stage in marks)
        warnings.append("the windows of the stages do not fit on one disc: one disc a stage is printed")
    warnings += [_unprovable(job, budget) for budget in budgets if not budget.provable]
    return DiscJobPlan(job, discs, budgets, tuple(warnings))


def disc_of(job: Job, diameter_mm: float | None = None, disc_model: DiscErrorModel | None = None) -> DiscJobPlan:
    """Return the drive disc that goes with the bands of a job.

    Raises LayoutError for label stock, which is no page.
    """
    if not isinstance(job.paper, Paper):
        raise LayoutError("a drive disc does not go on label stock", "a page", "choose --paper a4 or letter")
    return plan_discs(
        DiscJob(
            job.spec, job.socket.drive, diameter_mm, job.socket.points, job.witness, job.model,
            disc_model or DiscErrorModel(), job.paper, title=job.title, unit=job.socket.unit,
        )
    )  # fmt: skip


def _stage_marks(spec: TighteningSpec, budgets: Sequence[Budget]) -> list[StageMarks]:
    """The stop marks, one entry for all stages that are alike."""
    found = []
    for stage in dict.fromkeys(spec.stages):
        numbers = tuple(n for n, other in enumerate(spec.stages, 1) if other == stage)
        found.append(StageMarks(stage, numbers, budgets[numbers[0] - 1].aim_deg, len(spec.stages) > 1))
    return found


def _disc(job: DiscJob, stages: Iterable[StageMarks]) -> DiscPlan:
    thread = "" if job.spec.clockwise else " · left-hand"
    words = (f"{job.drive.inch} in drive{thread}", job.spec.printed)
    return DiscPlan(job.size_mm, job.drive, job.spec.clockwise, tuple(stages), words, job.unit)


def _unprovable(job: DiscJob, budget: Budget) -> str:
    """What to say of a window that the disc cannot prove, and which disc could."""
    window = budget.window
    assert window is not None
    turn_deg = job.spec.stages[budget.stage - 1].turn_deg
    least_mm = sufficient_disc_mm(window, turn_deg, job.drive, job.model, job.disc_model)
    if least_mm is None:
        remedy = "no larger disc could either; smaller errors might"
    elif math.ceil(least_mm) > MAX_DIAMETER_MM:
        remedy = f"it would take one of {shown_length(math.ceil(least_mm), job.unit)}, too large to print"
    else:
        remedy = f"a disc of at least {shown_length(math.ceil(least_mm), job.unit)} could"
    return (
        f"this disc cannot prove the window {window.text}: its reading error is "
        f"±{shown_degrees(budget.expanded_deg, 1)}, so no aim is printed; {remedy}"
    )


def read_disc_job(
    spec: str,
    drive: str,
    *,
    points: int | None = None,
    diameter: str | None = None,
    thread: str = "right",
    witness: str = "fresh",
    copies: int = 1,
    paper: str = "a4",
    margin: str | None = None,
    printer: str | None = None,
    title: str = "",
    errors: dict[str, str] | None = None,
    disc_gap: str | None = None,
    unequal_scale: str | None = None,
) -> DiscJob:
    """Return the disc job described by texts as a user writes them.

    `errors` replaces half-widths of the error model by the names of its fields, `disc_gap` ("3 mm") and
    `unequal_scale` ("0.2 %") those of the disc's. Raises a MarkingError that says which text is at fault.
    """
    size = None if diameter is None else parse_length(diameter, "diameter of the disc")
    sheet, _ = read_sheet(paper, margin, printer)
    return DiscJob(
        spec=parse_spec(spec, thread),
        drive=parse_drive(drive),
        diameter_mm=size.mm if size else None,
        points=points,
        witness=witness,
        model=read_error_model(errors or {}),
        disc_model=read_disc_model(disc_gap, unequal_scale),
        paper=sheet,
        copies=copies,
        title=title,
        unit=size.unit if size else "mm",
    )


def read_disc_model(disc_gap: str | None = None, unequal_scale: str | None = None) -> DiscErrorModel:
    """Return the disc's error model with some half-widths replaced: "2 mm", "0.1 %"."""
    values: dict[str, float] = {}
    if disc_gap is not None:
        values["gap_mm"] = parse_length(disc_gap, "disc gap", zero=True).mm
    if unequal_scale is not None:
        values["unequal_scale_percent"] = parse_percent(unequal_scale, "unequal scale error")
    return DiscErrorModel(**values)


def disc_data(plan: DiscJobPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return everything about a disc job as JSON-ready data; numbers are not rounded.

    `deg` and `mm` (along the edge) are counted from START against the tightening direction.
    """
    job, spec = plan.job, plan.job.spec
    return {
        "spec": spec_data(spec),
        "disc": {
            "diameter_mm": job.size_mm, "drive_in": job.drive.size_in, "hole_mm": disc_hole_mm(job.drive),
        },
        "discs": [{"stages": [n for stage in disc.stages for n in stage.numbers]} for disc in plan.discs],
        "marks": [mark_data(mark, plan.along_mm(mark), plan.where(mark)) for mark in plan.marks],
        "budgets": [budget_data(budget) for budget in plan.budgets],
        "warnings": list(plan.warnings),
        "files": list(files),
    }  # fmt: skip
