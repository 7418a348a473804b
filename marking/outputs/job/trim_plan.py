"""A job whose socket has no known diameter: trim bands for a range of ODs, from the numbers to the sheets."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from itertools import chain
from typing import Any, NamedTuple, TypeVar

from ...errors import LayoutError
from ...fastening.sanity import SOCKET_CODES, range_remarks
from ...figures.strip import lettered
from ...marks.one_mark import check_apart
from ...marks.reading_error import Budget
from ...quantities.shown import shown_length, shown_lengths
from ...quantities.units import MM_PER_IN
from ...readouts import Unproved
from ...readouts.advice import what_can
from ...readouts.band.error import sufficient_od_mm
from ...readouts.part_ring.aims import with_own_aims
from ...readouts.part_ring.error import ring_budget
from ...readouts.part_ring.layout import RING_CLEARANCE_MM, RingLayout
from ...readouts.trim_band.layout import (
    LEAST_OD_MM,
    MM_PER_MM_OF_OD,
    SMALL_HEAD_MM,
    TrimBandLayout,
    ranges,
    trim_width_mm,
)
from ...remarks import Remark, Template
from .band_plan import JobPlan, band_of, check_bands_keep_start, may_change, plan_job
from .request import JobRequest, TrimRequest
from .words import (
    NARROW,
    OD_RANGE,
    ODS_LEFT_OUT,
    ODS_TOO_SLIM,
    RING_TOO_LARGE,
    RINGS_UNPROVED,
    UNPROVED,
    UNPROVED_ANYWHERE,
    UNPROVED_BELOW,
)

WIDEST_RANGE_MM = 12.0
"""Most mm of OD on one trim band (our choice: 30 mm of rows)."""

LEAST_RANGE_MM = 4.0
"""Fewest mm of OD that a trim band on label stock has to serve (our choice)."""

BORE_STEP_MM, BORE_STEP_IN = 2.0, 0.08
"""Step of OD between two bores of a ring (our choice: 1 mm of paper between two cuts)."""


class TrimPart(NamedTuple):
    """One range of ODs: the numbers at its smallest OD (the worst case), its trim bands and its ring."""

    low_od_mm: float
    high_od_mm: float
    plan: JobPlan
    bands: tuple[TrimBandLayout, ...]
    ring: RingLayout | None
    remarks: tuple[Remark, ...] = ()

    @property
    def ring_budgets(self) -> tuple[Budget, ...]:
        """The budgets of the ring, if it is printed, by stage: in the bore that reads worst, on its smallest OD."""
        if self.ring is None:
            return ()
        bores, job = self.ring.bores, self.plan.job
        smallest = [self.low_od_mm, *(bore - self.ring.clearance_mm for bore in bores[:-1])]
        found = []
        for number, stage in enumerate(job.spec.stages, 1):
            budgets = [
                ring_budget(number, stage.turn_deg, stage.window, bore_mm, od_mm, job.model)
                for bore_mm, od_mm in zip(bores, smallest, strict=True)
            ]
            found.append(max(budgets, key=lambda budget: budget.u_deg))
        return tuple(found)


class TrimJobPlan(NamedTuple):
    """A job without a diameter: its parts from the smallest range up, in the user's unit, and what to say.

    `remedies` are those of the warnings that tell which bands leave no aim, and what does.
    """

    parts: tuple[TrimPart, ...]
    unit: str
    warnings: tuple[Remark, ...]
    remedies: tuple[Remark, ...] = ()
    extras: tuple[Any, ...] = ()

    @property
    def job(self) -> JobRequest:
        """The job at the smallest OD."""
        return self.parts[0].plan.job


def plan_trim(request: TrimRequest) -> TrimJobPlan:
    """Return the numbers of trim bands for a range of ODs, as many bands as that takes.

    Of the request's job, everything but the socket's OD counts. ODs whose labels find no room, and parts that are wider
    than the paper, are left out with a warning. Raises LayoutError when nothing fits, and whatever `plan_job` raises.
    """
    job, unit = request.job, request.job.socket.unit
    check_apart(job.spec)  # no OD would help
    widest_range_mm = WIDEST_RANGE_MM
    if not job.paper.is_sheet:
        widest_range_mm = min(widest_range_mm, (job.paper.highest_mm - SMALL_HEAD_MM) / MM_PER_MM_OF_OD)
        if widest_range_mm < LEAST_RANGE_MM:
            least = SMALL_HEAD_MM + LEAST_RANGE_MM * MM_PER_MM_OF_OD
            what = f"stock {job.paper.highest_mm:g} mm high is too narrow for trim bands"
            raise LayoutError(what, f"at least {least:g} mm, or a sheet", "choose another {@paper}", field="paper")
    parts, left_out = cut_up(
        (request.low_od_mm, request.high_od_mm), unit, job.paper.widest_mm, partial(_part, job),
        lambda part: max(map(trim_width_mm, part.bands)), (ODS_TOO_SLIM, ODS_LEFT_OUT),
        ("give {@od}, or print a drive disc", "choose a larger {@paper}, or measure the socket and give {@od}"),
        widest_range_mm,
    )  # fmt: skip
    remedies = tuple(_remedies(parts[0].plan, unit))
    codes = {UNPROVED.code, NARROW.code, *SOCKET_CODES}
    warnings = (
        *range_remarks(job.socket, replace(job.socket, od_mm=request.high_od_mm), request.usual),
        *(remark for remark in parts[0].plan.warnings if remark.code not in codes),
        *chain.from_iterable(part.remarks for part in parts),
        *remedies,
        *left_out,
    )
    return TrimJobPlan(tuple(parts), unit, warnings, remedies)


Part = TypeVar("Part", TrimPart, TrimBandLayout)


def cut_up(
    ods_mm: tuple[float, float],
    unit: str,
    widest_mm: float,
    part_of: Callable[[float, float], Part],
    width_mm: Callable[[Part], float],
    left_out: tuple[Template, Template],
    advice: tuple[str, str],
    widest_range_mm: float = WIDEST_RANGE_MM,
) -> tuple[list[Part], list[Remark]]:
    """Return what `part_of` makes of each piece of a range of ODs that one trim band serves, and what to say of others.

    Left out are ODs up to the first for which it raises no LayoutError, and parts wider than `widest_mm`: of `left_out`
    and of `advice` the first is for the slim ones, the second for the wide ones. Raises LayoutError when none is left.
    """
    least = max(ods_mm[0], LEAST_OD_MM)
    if least >= ods_mm[1]:
        raise LayoutError(
            f"ODs up to {shown_length(ods_mm[1], unit)} are too slim for trim bands",
            f"more than {shown_length(LEAST_OD_MM, unit)}", advice[0], field="od_range",
        )  # fmt: skip
    parts: list[Part] = []
    slim, wide = [], []
    for low, high in ranges(least, ods_mm[1], widest_range_mm):
        part = _roomy(part_of, low, high)
        begin = low if low > least else ods_mm[0]
        if part.low_od_mm > begin:
            slim.append(OD_RANGE(low=(begin, unit), high=(part.low_od_mm, unit)))
        if width_mm(part) > widest_mm:
            wide.append(OD_RANGE(low=(part.low_od_mm, unit), high=(high, unit)))
        else:
            parts.append(part)
    if not parts:
        what = f"trim bands for ODs of {wide[0]} are wider than the paper"
        raise LayoutError(what, "wider paper", advice[1], field="paper")
    return parts, [template(ranges=ods) for template, ods in zip(left_out, (slim, wide), strict=True) if ods]


def _roomy(part_of: Callable[[float, float], Part], low: float, high: float) -> Part:
    """Return the part from the smallest OD on whose labels find room. Raises LayoutError when none has any."""
    while True:
        try:
            return part_of(low, high)
        except LayoutError:
            low = math.floor(low) + 1.0
            if low >= high:
                raise


def _part(job: JobRequest, low: float, high: float) -> TrimPart:
    """The part of one range. Raises LayoutError where its labels find no room."""
    plan = plan_job(replace(job, socket=replace(job.socket, od_mm=low), ring=None))
    bands = tuple(_trim_plans(plan, low, high))
    check_bands_keep_start(plan.job, bands)
    return TrimPart(low, high, plan, bands, *_ring(job, bands[0], low, high))


def _trim_plans(plan: JobPlan, low: float, high: float) -> Iterator[TrimBandLayout]:
    """The trim bands of one range: one, or one for each set of stop marks that does not fit with the others."""
    job, unit = plan.job, plan.job.socket.unit
    opening = f" · {job.socket.opening.text}" if job.socket.opening else ""
    ends = shown_lengths(low, high, unit)
    words = f"{job.socket.points}-point · {job.socket.drive.inch} in drive{opening} · OD {ends}"
    for band in plan.bands:
        together = TrimBandLayout(
            low, high, job.stock_mm, band.seam, band.clockwise, band.features, band.stages, band.spec_line, words, unit,
            band.ident, f"OD {ends}", job.model.closure_mm,
        )  # fmt: skip
        try:
            lettered(together, whole=len(band.stages) > 1 and may_change(job.spec), smallest=True)
            yield together
        except LayoutError:
            if len(band.stages) == 1:
                raise
            for alone in (together._replace(stages=(stage,)) for stage in band.stages):
                lettered(alone, smallest=True)  # refuses one whose labels find no room, before anything is drawn
                yield alone


def _bore_step_mm(unit: str) -> float:
    return BORE_STEP_IN * MM_PER_IN if unit == "in" else BORE_STEP_MM


def _ring(
    job: JobRequest, band: TrimBandLayout, low: float, high: float
) -> tuple[RingLayout | None, tuple[Remark, ...]]:
    """One ring with a bore for every other mm of OD, or every 0.08 in, where one is asked for.

    None with a warning if it reads too coarsely or does not fit the paper.
    """
    if job.ring is None or not job.paper.is_sheet:
        return None, ()
    unit = job.socket.unit
    step = _bore_step_mm(unit)
    bores = [high + RING_CLEARANCE_MM - step * k for k in range(int((high - low) / step) + 1)]
    asked_for = RingLayout(
        bores[0], job.ring_width_mm, band.clockwise, band.stages, band.seam, job.ring == "sector", tuple(bores),
        unit=unit, od=f"OD {shown_lengths(bores[-1] - RING_CLEARANCE_MM, high, unit)}", spec_line=job.spec.read_as,
        title=job.title,
    )  # fmt: skip
    ring, coarse = with_own_aims(asked_for, low + RING_CLEARANCE_MM + step, low, job.model)
    if coarse is not None and coarse.window is not None:
        ods = OD_RANGE(low=(low, unit), high=(high, unit))
        return None, (RINGS_UNPROVED(ods=ods, window=coarse.window.text, error=coarse.expanded_deg),)
    return (ring, ()) if ring.fits(job.paper) else (None, (RING_TOO_LARGE(),))


def _remedies(plan: JobPlan, unit: str) -> Iterator[Remark]:
    """From which OD on a trim band leaves an aim in a window, and what else does; `plan` is that of the smallest OD."""
    job = plan.job
    for budget, stage in zip(plan.budgets, job.spec.stages, strict=True):
        if budget.window is None or budget.verdict == "aim":
            continue
        seam, window, bore_mm = (
            band_of(plan.bands, budget.stage).seam,
            budget.window,
            job.socket.od_mm + RING_CLEARANCE_MM + _bore_step_mm(unit),
        )
        od_mm = sufficient_od_mm(window, stage.turn_deg, seam, job.stock_mm, job.model)
        can = what_can(
            Unproved(budget.stage, stage.turn_deg, window, seam, job.socket, job.stock_mm, bore_mm, job.model),
            besides=("band",),
        )
        if od_mm is None:
            yield UNPROVED_ANYWHERE(window=window.text, can=can)
        else:
            yield UNPROVED_BELOW(od=(od_mm, unit), window=window.text, can=can)
