"""A whole job: from spec and socket to all the numbers, before anything is drawn."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from .advice import what_can
from .band import (
    DEFAULT_HEIGHT_MM,
    MAX_HEIGHT_MM,
    MIN_HEIGHT_MM,
    BandPlan,
    band_seam,
    carries,
    splices,
)
from .budget import Budget, ErrorModel, band_budget
from .errors import LayoutError, RangeError, shown
from .geometry import (
    STARTS,
    Feature,
    Mark,
    closed_length_mm,
    features,
    mark_at,
    stop_marks,
    turns_in_words,
    where,
)
from .paper import SIZES, LabelStock, Paper
from .part import DEFAULT_RING_WIDTH_MM, RING_CLEARANCE_MM, RingPlan
from .quantities import shown_degrees, shown_length
from .socket import DEFAULT_STOCK_MM, Socket
from .spec import Stage, TighteningSpec
from .strip import StageMarks

WITNESSES = ("fresh", "first")
MAX_COPIES, MAX_FASTENERS = 50, 200

HEADER_ROOM_MM = 45.0
"""Height kept free on a page for its header and a ring's caption."""


@dataclass(frozen=True)
class Job:
    """What is asked for: spec, socket, how to mark it, and what to print it on.

    `witness` "fresh" starts every turn from a witness mark of its own; "first" is for manuals that state each turn as
    a total from snug. `height_mm` None takes the drive's usual height, `ring_bore_mm` None the OD + 1 mm.
    """

    spec: TighteningSpec
    socket: Socket
    stock_mm: float = DEFAULT_STOCK_MM
    start: str = "corner"
    witness: str = "fresh"
    model: ErrorModel = field(default_factory=ErrorModel)
    height_mm: float | None = None
    paper: Paper | LabelStock = field(default_factory=lambda: Paper(*SIZES["a4"]))
    copies: int = 2
    fasteners: int = 4
    ring_width_mm: float = DEFAULT_RING_WIDTH_MM
    ring_bore_mm: float | None = None
    sector: bool = False
    title: str = ""

    def __post_init__(self) -> None:
        if self.start not in STARTS:
            raise RangeError(f"the start is {shown(self.start)}", " or ".join(STARTS), "check --start", self.start)
        for name, count, most in (
            ("copies", self.copies, MAX_COPIES), ("fasteners", self.fasteners, MAX_FASTENERS),
        ):  # fmt: skip
            if not 1 <= count <= most:
                raise RangeError(f"{count} {name}", f"1 to {most}", f"check --{name}", count)
        if not MIN_HEIGHT_MM <= self.band_height_mm <= MAX_HEIGHT_MM:
            raise RangeError(
                f"the band is {self.band_height_mm:g} mm high",
                f"{MIN_HEIGHT_MM:g} to {MAX_HEIGHT_MM:g} mm",
                "check --height",
                self.height_mm,
            )
        if not self.bore_mm >= self.socket.od_mm:
            raise RangeError(
                f"a ring with a bore of {shown_length(self.bore_mm, self.socket.unit)} does not go round the socket",
                f"at least the {self.socket.od_text}",
                "check --ring-bore",
                self.bore_mm,
            )
        if not self.bore_mm <= 2 * self.socket.od_mm:
            raise RangeError(
                f"a ring with a bore of {shown_length(self.bore_mm, self.socket.unit)} lies too far from the socket",
                f"at most twice the {self.socket.od_text}",
                "check --ring-bore",
                self.bore_mm,
            )
        check_witness(self.spec, self.witness)

    @property
    def band_height_mm(self) -> float:
        """Height of the band: as asked for, or the drive's usual one as far as label stock holds it."""
        if self.height_mm is not None:
            return self.height_mm
        usual = DEFAULT_HEIGHT_MM[self.socket.drive.inch]
        return min(usual, self.paper.inner_width_mm) if isinstance(self.paper, LabelStock) else usual

    @property
    def bore_mm(self) -> float:
        """Bore of the part ring."""
        return self.socket.od_mm + RING_CLEARANCE_MM if self.ring_bore_mm is None else self.ring_bore_mm

    @property
    def length_mm(self) -> float:
        """Closed length of the band."""
        return closed_length_mm(self.socket.od_mm, self.stock_mm)


class Plan(NamedTuple):
    """All the numbers of a job. `bands` holds one plan, or one a stage; `rings` goes with it, None where too large."""

    job: Job
    features: tuple[Feature, ...]
    bands: tuple[BandPlan, ...]
    cuts: tuple[tuple[float, ...], ...]
    rings: tuple[RingPlan | None, ...]
    budgets: tuple[Budget, ...]
    warnings: tuple[str, ...]

    @property
    def marks(self) -> tuple[Mark, ...]:
        """START, then each stage's stop marks and aim line, in the order of the stages."""
        return all_marks(self.job.spec, self.budgets)

    def where(self, mark: Mark) -> str:
        """Say where a mark lies on the socket."""
        return place_in_words(mark, self.job.socket.points, self.job.start)


def check_witness(spec: TighteningSpec, witness: str) -> None:
    """Raise RangeError for an unknown way to set witness marks, or totals from snug that do not grow."""
    if witness not in WITNESSES:
        raise RangeError(f"the witness is {shown(witness)}", " or ".join(WITNESSES), "check --witness", witness)
    turns = [stage.turn_deg for stage in spec.stages]
    if witness == "first" and any(b <= a for a, b in itertools.pairwise(turns)):
        raise RangeError(
            f"the turns {', '.join(shown_degrees(turn) for turn in turns)} do not grow",
            "turns that each state the total from snug",
            "with turns that each begin anew, leave --witness at fresh",
            turns,
        )


def all_marks(spec: TighteningSpec, budgets: Sequence[Budget]) -> tuple[Mark, ...]:
    """Return START, then each stage's stop marks and aim line, in the order of the stages."""
    found = [mark_at("start", None, 0.0)]
    for number, (stage, budget) in enumerate(zip(spec.stages, budgets, strict=True), 1):
        found += stop_marks(stage, number)
        if budget.aim_deg is not None:
            found.append(mark_at("aim", number, budget.aim_deg))
    return tuple(found)


def place_in_words(mark: Mark, points: int, start: str = "corner") -> str:
    """Say where a mark lies on the socket: "1 full turn, then on corner 4"."""
    place = where(mark.deg, points, start)
    return f"{turns_in_words(mark.full_turns)}, then {place}" if mark.full_turns else place


def plan_job(job: Job) -> Plan:
    """Return all the numbers of a job.

    Raises LayoutError when the marks leave no room for the seam, a label or a splice, and RangeError for values
    outside their limits.
    """
    points = features(job.socket.points, job.start)
    warnings = spec_warnings(job.spec)
    together = _band(job, points, range(len(job.spec.stages)), ignore_room=False)
    bands: tuple[BandPlan, ...]
    if together is not None:
        bands = (together,)
    else:
        distinct = [i for i, stage in enumerate(job.spec.stages) if stage not in job.spec.stages[:i]]
        alone = [_band(job, points, [i], ignore_room=True) for i in distinct]
        bands = tuple(band for band in alone if band is not None)
        warnings.append("the windows of the stages do not fit on one band: one band a stage is printed")
    budgets = tuple(
        _budget(job, number, next(b for b in bands if any(number in s.numbers for s in b.stages)).seam)
        for number in range(1, len(job.spec.stages) + 1)
    )
    warnings += _budget_warnings(job, budgets, bands)
    if isinstance(job.paper, LabelStock):
        warnings.append("label stock takes bands and pointers only: print the part sheet on a page, with --paper a4")
    cuts = tuple(splices(band, widest_mm(job.paper)) for band in bands)
    rings = tuple(_ring(job, band, warnings) for band in bands)
    return Plan(job, points, bands, cuts, rings, budgets, tuple(warnings))


def widest_mm(paper: Paper | LabelStock) -> float:
    """Return the longest strip that one page takes, turned to landscape if need be."""
    return paper.inner_length_mm if isinstance(paper, LabelStock) else paper.wide.content_width_mm


def _band(job: Job, points: tuple[Feature, ...], indices: range | list[int], ignore_room: bool) -> BandPlan | None:
    """Return the band for some stages, or None when they cannot share it; alone, a stage must go."""
    stages = [job.spec.stages[i] for i in indices]
    try:
        seam = band_seam(stages, job.length_mm)
    except LayoutError:
        if ignore_room or len(set(stages)) == 1:
            raise
        return None
    several = len(job.spec.stages) > 1
    shared: list[StageMarks] = []
    for stage in dict.fromkeys(stages):
        numbers = tuple(n for n, other in enumerate(job.spec.stages, 1) if other == stage)
        aim_deg = _budget(job, numbers[0], seam).aim_deg
        shared.append(StageMarks(stage, numbers, aim_deg, several))
    spec_line = job.spec.printed if job.spec.clockwise else f"{job.spec.printed} · left-hand"
    plan = BandPlan(
        job.length_mm, job.band_height_mm, seam, job.spec.clockwise, points, tuple(shared), spec_line,
        job.socket.printed(), job.socket.unit,
    )  # fmt: skip
    return plan if ignore_room or len(shared) == 1 or carries(plan) else None


def _budget(job: Job, number: int, seam: float) -> Budget:
    stage = job.spec.stages[number - 1]
    return band_budget(
        number,
        stage.turn_deg,
        stage.window,
        seam,
        job.socket.od_mm,
        job.stock_mm,
        job.socket.od_source,
        job.model,
    )


def _ring(job: Job, band: BandPlan, warnings: list[str]) -> RingPlan | None:
    """Return the ring that goes on the paper: the one asked for, else a sector, else none with a warning."""
    if isinstance(job.paper, LabelStock):
        return None
    room = (job.paper.content_width_mm, job.paper.content_height_mm - HEADER_ROOM_MM)
    ring = RingPlan(job.bore_mm, job.ring_width_mm, job.spec.clockwise, band.stages, band.seam, job.sector)
    if _fits(ring, room):
        return ring
    part = RingPlan(job.bore_mm, job.ring_width_mm, job.spec.clockwise, band.stages, band.seam, sector=True)
    if _fits(part, room):
        warnings.append("the part ring is larger than the paper: a sector of it is printed")
        return part
    warnings.append("the part ring is larger than the paper and is left out: use the witness mark, or a larger --paper")
    return None


def _fits(ring: RingPlan, room: tuple[float, float]) -> bool:
    left, bottom, right, top = ring.box
    return right - left <= room[0] and top - bottom <= room[1]


def spec_warnings(spec: TighteningSpec) -> list[str]:
    """Return what a spec leaves unsaid: no snug torque, no tolerance."""
    warnings = []
    if spec.snug is None and not spec.hand_tight:
        warnings.append("the spec has no snug torque: take it from the manual before the turn")
    for number, stage in enumerate(spec.stages, 1):
        if stage.window is None:
            turn = shown_degrees(stage.turn_deg)
            name = f"the turn of {turn}" if len(spec.stages) == 1 else f"stage {number}, {turn},"
            warnings.append(
                f"{name} has no tolerance: the manual's tolerance is missing, so only a stop line is printed, with no "
                "window and no aim"
            )
    return warnings


def _budget_warnings(job: Job, budgets: tuple[Budget, ...], bands: tuple[BandPlan, ...]) -> list[str]:
    warnings = []
    for budget in budgets:
        if budget.provable or budget.window is None:
            continue
        stage: Stage = job.spec.stages[budget.stage - 1]
        seam = next(b for b in bands if any(budget.stage in s.numbers for s in b.stages)).seam
        can = what_can(budget, stage.turn_deg, seam, job.socket, job.stock_mm, job.bore_mm, job.model)
        warnings.append(
            f"this band cannot prove the window {budget.window.text}: its reading error is "
            f"±{shown_degrees(budget.expanded_deg, 1)}, so no aim is printed; {can}"
        )
    return warnings
