"""A whole job: from spec and socket to all the numbers, before anything is drawn."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import partial
from typing import Any, NamedTuple

from ...errors import LayoutError
from ...fastening.sanity import socket_remarks, torque_remarks
from ...fastening.spec import Stage, TighteningSpec
from ...marks.one_mark import check_apart, check_start_is_kept
from ...marks.places import Feature, features
from ...marks.reading_error import Budget
from ...marks.stage_marks import Mark, StageMarks, all_marks, place_in_words, stage_marks
from ...quantities.shown import shown_length
from ...readouts import Unproved
from ...readouts.advice import left_without_aim, what_can
from ...readouts.band.error import band_budget
from ...readouts.band.layout import HEIGHTS_MM, BandLayout, band_seams, carries, has_room, splices, splices_between
from ...readouts.drive_disc.plan import sharing_disc_mm
from ...readouts.drive_disc.request import DiscRequest
from ...readouts.mat.layout import touch_on_wall
from ...readouts.part_ring.aims import with_own_aims
from ...readouts.part_ring.error import ring_budget
from ...readouts.part_ring.layout import RingLayout
from ...readouts.trim_band.layout import TrimBandLayout
from ...readouts.witness_pointer import POINTER_HEIGHT_MM
from ...remarks import Remark
from ...sheets.words import left_open
from ..record.plan import RecordPlan
from ..record.plan import plan as plan_record
from .request import JobRequest
from .words import BAND_A_STAGE, BANDS_ALONE, BANDS_ONLY, NARROW, RING_SECTOR, RING_TOO_LARGE, RING_UNPROVED, UNPROVED


class JobPlan(NamedTuple):
    """All the numbers of a job. `bands` holds one plan, or one a stage; `rings` goes with it, None where left out.

    `budgets` are those of the bands, one a stage, and `remedies` what can prove a window that its band cannot, None
    where that has an aim or no window. `extras` are the plans of the other readouts that the job asks for, in order,
    `order` is the plan of the fasteners.
    """

    job: JobRequest
    features: tuple[Feature, ...]
    bands: tuple[BandLayout, ...]
    cuts: tuple[tuple[float, ...], ...]
    rings: tuple[RingLayout | None, ...]
    budgets: tuple[Budget, ...]
    warnings: tuple[Remark, ...]
    remedies: tuple[Remark | None, ...] = ()
    extras: tuple[Any, ...] = ()
    order: RecordPlan | None = None

    @property
    def copies(self) -> int:
        """How many copies of each band are printed; one of two that nobody asked for is a spare one."""
        return self.job.copies or (2 if len(self.bands) == 1 else 1)

    @property
    def ring_budgets(self) -> tuple[Budget, ...]:
        """The budgets of the rings that are printed, by stage."""
        job, bores = self.job, {n: ring.bore_mm for ring in self.rings if ring for s in ring.stages for n in s.numbers}
        return tuple(
            ring_budget(number, stage.turn_deg, stage.window, bores[number], job.socket.od_mm, job.model)
            for number, stage in enumerate(job.spec.stages, 1)
            if number in bores
        )

    @property
    def marks(self) -> tuple[Mark, ...]:
        """START, then each stage's stop marks and aim line, in the order of the stages."""
        return all_marks(self.job.spec, self.budgets)

    def from_start_mm(self, mark: Mark) -> float:
        """Return where a mark lies on its flat band: mm from START, less than 0 against the way the degrees run."""
        return band_of(self.bands, mark.stage or 1).from_start_mm(mark.deg)

    def where(self, mark: Mark) -> str:
        """Say where a mark lies on the socket."""
        return place_in_words(mark, self.job.socket.points, self.job.start)


def plan_job(job: JobRequest) -> JobPlan:
    """Return all the numbers of a job.

    Raises LayoutError when the marks leave no room for the seam, a label or a splice, or when bands would have
    to be changed between stages that count from one mark, and RangeError for values
    outside their limits.
    """
    check_apart(job.spec)
    points = features(job.socket.points, job.start)
    warnings = [*left_open(job.spec), *torque_remarks(job.spec, job.socket.drive), *socket_remarks(job.socket)]
    together = _band(job, points, range(len(job.spec.stages)), ignore_room=False)
    bands: tuple[BandLayout, ...] = () if together is None else (together,)
    if not bands:
        distinct = [i for i, stage in enumerate(job.spec.stages) if stage not in job.spec.stages[:i]]
        alone = (_band(job, points, [i], ignore_room=True) for i in distinct)
        bands = tuple(band for band in alone if band is not None)
        lower = replace(job, height_mm=job.usual_height_mm)  # than its tape, with smaller letters
        if job.height_mm is None and lower.band_height_mm < job.band_height_mm and not may_change(job.spec):
            return plan_job(lower)
        check_bands_keep_start(job, bands)
        warnings.append(BAND_A_STAGE())
    cuts = tuple(splices(band, job.paper.widest_mm) for band in bands)
    budgets = tuple(_spliced_budget(job, number, bands, cuts) for number in range(1, len(job.spec.stages) + 1))
    bands = tuple(_aimed(job, band, budgets) if own else band for band, own in zip(bands, cuts, strict=True))
    remedies = tuple(_remedy(job, budget, band_of(bands, budget.stage).seam) for budget in budgets)
    warnings += left_without_aim(budgets, remedies, UNPROVED, NARROW)
    if not job.paper.is_sheet:
        pointers = job.paper.inner_width_mm >= POINTER_HEIGHT_MM
        warnings.append(BANDS_ONLY() if pointers else BANDS_ALONE(width=(POINTER_HEIGHT_MM, job.socket.unit)))
    rings = tuple(_ring(job, band, warnings) for band in bands)
    order = None if job.order is None else plan_record(job.order)
    return JobPlan(job, points, bands, cuts, rings, budgets, tuple(warnings), remedies, order=order)


def may_change(spec: TighteningSpec) -> bool:
    """Tell whether bands may be changed between any two stages: not where one mark counts for several."""
    return all(spec.marked_anew(number) for number in range(1, len(spec.stages) + 1))


def check_bands_keep_start(job: JobRequest, strips: Sequence[BandLayout | TrimBandLayout]) -> None:
    """Refuse a change of bands between stages that count from one mark: it would lose START's place.

    Raises LayoutError, which names the discs and the heights of a band that carry all stages.
    """
    if not may_change(job.spec):
        check_start_is_kept(job.spec, [strip.stages for strip in strips], ("band", "bands"), _what_keeps_start(job))


def _what_keeps_start(job: JobRequest) -> str:
    spec, socket = job.spec, job.socket
    points, everything = features(socket.points, job.start), range(len(spec.stages))
    ways = []
    for mm in HEIGHTS_MM:
        if mm > job.band_height_mm and _band(replace(job, height_mm=mm), points, everything, ignore_room=False):
            ways.append(f"use a {{@height}} of {shown_length(mm, socket.unit)}")
            break
    disc_mm = sharing_disc_mm(DiscRequest(spec, socket.drive))
    if disc_mm is not None:
        ways.append(f"print a drive disc of {shown_length(disc_mm, socket.unit)} across ({{@turnband disc}})")
    if not any(touch_on_wall(one, other, socket.od_mm) for one, other in itertools.combinations({*spec.stages}, 2)):
        ways.append("print a mat")
    return ", or ".join([*ways, "take a socket of larger diameter"])


def band_of(bands: Iterable[BandLayout], stage: int) -> BandLayout:
    """Return the band that serves a stage."""
    return next(band for band in bands if any(stage in marks.numbers for marks in band.stages))


def _band(
    job: JobRequest, points: tuple[Feature, ...], indices: range | list[int], ignore_room: bool
) -> BandLayout | None:
    """Return the band for some stages, or None when they cannot share it; alone, a stage must go."""
    stages = [job.spec.stages[i] for i in indices]
    try:
        first, *others = band_seams(stages, job.length_mm, points)
    except LayoutError:
        if ignore_room or len(set(stages)) == 1:
            raise
        return None
    several, whole = len(set(stages)) > 1 and not ignore_room, may_change(job.spec)
    plan = _band_at(job, points, stages, first)
    for seam in others:
        if not has_room(plan, partial(splices, plan, job.paper.widest_mm), several and whole):
            plan = _band_at(job, points, stages, seam)
    return None if several and not carries(plan, job.paper.widest_mm, whole) else plan


def _band_at(job: JobRequest, points: tuple[Feature, ...], stages: Sequence[Stage], seam: float) -> BandLayout:
    budgets = [_budget(job, number, seam) for number in range(1, len(job.spec.stages) + 1)]
    spec_line = job.spec.read_as if job.spec.clockwise else f"{job.spec.read_as} · left-hand"
    return BandLayout(
        job.length_mm, job.band_height_mm, seam, job.spec.clockwise, points, _marks_of(job, stages, budgets),
        spec_line, job.socket.printed(), job.socket.unit, job.title, job.socket.od_text, job.model.closure_mm,
    )  # fmt: skip


def _marks_of(job: JobRequest, stages: Sequence[Stage], budgets: Sequence[Budget]) -> tuple[StageMarks, ...]:
    return tuple(marks for marks in stage_marks(job.spec, budgets) if marks.stage in stages)


def _aimed(job: JobRequest, band: BandLayout, budgets: Sequence[Budget]) -> BandLayout:
    """Return a band with the aim lines that its splices leave it."""
    return band._replace(stages=_marks_of(job, [marks.stage for marks in band.stages], budgets))


def _budget(job: JobRequest, number: int, seam: float, splices: int = 0) -> Budget:
    stage = job.spec.stages[number - 1]
    return band_budget(
        number, stage.turn_deg, stage.window, seam, job.socket.od_mm, job.stock_mm, job.model, splices
    )  # fmt: skip


def _spliced_budget(
    job: JobRequest, number: int, bands: Sequence[BandLayout], cuts: Sequence[tuple[float, ...]]
) -> Budget:
    """Return the budget of a stage, with the splices between START and the edge that has more of them."""
    band, stage = band_of(bands, number), job.spec.stages[number - 1]
    own = cuts[bands.index(band)]
    spliced = max(splices_between(band, own, deg) for deg in stage.window or (stage.turn_deg,))
    return _budget(job, number, band.seam, spliced)


def _ring(job: JobRequest, band: BandLayout, warnings: list[Remark]) -> RingLayout | None:
    """Return the ring that goes on the paper: the one asked for, if any, else a sector, else none with a warning.

    A ring that reads too coarsely for one of its windows is left out, with a warning as well.
    """
    if job.ring is None or not job.paper.is_sheet:
        return None
    asked_for = RingLayout(
        job.bore_mm, job.ring_width_mm, job.spec.clockwise, band.stages, band.seam, job.ring == "sector",
        unit=job.socket.unit, od=job.socket.od_text, spec_line=job.spec.read_as, title=job.title,
    )  # fmt: skip
    ring, coarse = with_own_aims(asked_for, job.bore_mm, job.socket.od_mm, job.model)
    if coarse is not None and coarse.window is not None:
        warnings.append(RING_UNPROVED(window=coarse.window.text, error=coarse.expanded_deg))
        return None
    if ring.fits(job.paper):
        return ring
    part = replace(ring, sector=True)
    fits = part.fits(job.paper)
    warnings.append(RING_SECTOR() if fits else RING_TOO_LARGE())
    return part if fits else None


def _remedy(job: JobRequest, budget: Budget, seam: float) -> Remark | None:
    """Say what can prove a window that its band leaves no aim in."""
    if budget.window is None or budget.verdict == "aim":
        return None
    turn_deg = job.spec.stages[budget.stage - 1].turn_deg
    return what_can(
        Unproved(budget.stage, turn_deg, budget.window, seam, job.socket, job.stock_mm, job.bore_mm, job.model)
    )
