"""A mat as numbers: from spec and socket to its layout, budgets and warnings, before anything is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from itertools import zip_longest
from typing import NamedTuple

from ...errors import LayoutError
from ...fastening.sanity import range_remarks, socket_remarks, torque_remarks
from ...fastening.socket import DEFAULT_STOCK_MM
from ...fastening.spec import Window
from ...marks.one_mark import check_apart
from ...marks.places import features
from ...marks.reading_error import Budget
from ...marks.stage_marks import Mark, all_marks, place_in_words, stage_arc, stage_marks
from ...quantities.angles import arc_mm, widest_gap
from ...remarks import Remark
from ...sheets.words import left_open
from .. import Unproved
from ..advice import left_without_aim, what_can
from ..part_ring.layout import RING_CLEARANCE_MM
from .error import mat_budget, sufficient_mat_od_mm
from .figure import draw_mat
from .layout import MatLayout
from .request import MatRequest
from .words import AIM_FROM, CIRCLES, NARROW, STAND_HERE, UNPROVED, UNPROVED_ANYWHERE, UNPROVED_BELOW

HEADER_ROOM_MM = 45.0
"""Height kept free on a page for its header and the mat's caption."""


class MatPlan(NamedTuple):
    """All the numbers of a mat: `budgets` at the smallest OD, `largest` at the largest, () where the OD is known.

    `aim_from` tell from which OD on there is an aim, one a stage; None where all ODs of the mat have one, or none has.
    """

    job: MatRequest
    layout: MatLayout
    budgets: tuple[Budget, ...]
    largest: tuple[Budget, ...]
    warnings: tuple[Remark, ...]
    aim_from: tuple[Remark | None, ...]

    @property
    def marks(self) -> tuple[Mark, ...]:
        """START, then each stage's stop marks and aim line, in the order of the stages."""
        return all_marks(self.job.spec, self.budgets)

    def along_mm(self, mark: Mark) -> float | None:
        """Return how far a mark lies from START round the wall; None where the OD is not known."""
        return arc_mm(math.pi * self.layout.low_od_mm, mark.deg) if self.layout.known else None

    def where(self, mark: Mark) -> str | None:
        """Say where a mark falls on the socket; None without its points."""
        return None if self.job.points is None else place_in_words(mark, self.job.points, self.job.start)


def plan(job: MatRequest) -> MatPlan:
    """Return all the numbers of a mat.

    Raises LayoutError for one that is larger than the paper, and for stages whose marks would touch.
    """
    spec, socket = job.spec, job.socket
    check_apart(spec)
    low = socket.od_mm
    high = low if job.high_od_mm is None else job.high_od_mm
    budgets = _budgets(job, low)
    layout = MatLayout(
        low,
        high,
        spec.clockwise,
        tuple(stage_marks(spec, budgets)),
        tuple(f for f in features(job.points, job.start) if f.kind == "corner") if job.points else (),
        (spec.read_as, _socket_line(job), STAND_HERE),
        socket.unit,
    )
    _check_size(layout, job)
    largest = _budgets(job, high) if job.high_od_mm else ()
    aim_from = tuple(_aim_from(job, *pair) for pair in zip_longest(budgets, largest))
    warnings = [
        *left_open(spec), *torque_remarks(spec, socket.drive), *_socket_remarks(job),
        *_unproved(job, budgets, aim_from),
    ]  # fmt: skip
    return MatPlan(job, layout, budgets, largest, tuple(warnings), aim_from)


def _socket_line(job: MatRequest) -> str:
    circles = [] if job.high_od_mm is None else [CIRCLES[job.socket.unit]]
    return " · ".join([job.socket_line, *circles])


def _budgets(job: MatRequest, od_mm: float) -> tuple[Budget, ...]:
    return tuple(
        mat_budget(number, stage.turn_deg, stage.window, od_mm, job.model, job.mat_model)
        for number, stage in enumerate(job.spec.stages, 1)
    )


def _check_size(layout: MatLayout, job: MatRequest) -> None:
    width, height, _ = draw_mat(layout)
    paper = job.paper
    most = paper.content_width_mm, paper.content_height_mm - HEADER_ROOM_MM
    if width > most[0] or height > most[1]:
        advice = "choose a larger {@paper}"
        advice += "" if layout.known else ", or give the socket's own {@od} or a smaller {@od_range}"
        raise LayoutError(
            f"the mat for {job.ods_text} is {width:.0f} × {height:.0f} mm",
            f"at most {most[0]:.0f} × {most[1]:.0f} mm on this paper", advice, field="paper",
        )  # fmt: skip


def _socket_remarks(job: MatRequest) -> Iterator[Remark]:
    if job.high_od_mm is None:
        yield from socket_remarks(job.socket)
    else:
        yield from range_remarks(job.socket, replace(job.socket, od_mm=job.high_od_mm), job.usual)


def _aim_from(job: MatRequest, smallest: Budget, largest: Budget | None) -> Remark | None:
    """Say from which OD on a stage has an aim, where that is true of larger sockets alone."""
    window = smallest.window
    if window is None or largest is None or smallest.verdict == "aim" or largest.verdict != "aim":
        return None
    od_mm = _least_od_mm(job, smallest.stage, window)
    return AIM_FROM(od=(od_mm, job.socket.unit), aim=largest.aim_deg, window=window.text)


def _least_od_mm(job: MatRequest, stage: int, window: Window) -> float | None:
    """Return the smallest OD with an aim, in whole tenths of a mm; None when none has."""
    od_mm = sufficient_mat_od_mm(window, job.spec.stages[stage - 1].turn_deg, job.model, job.mat_model)
    return None if od_mm is None else math.ceil(od_mm * 10) / 10


def _unproved(
    job: MatRequest, budgets: tuple[Budget, ...], aim_from: tuple[Remark | None, ...]
) -> Iterator[Remark]:  # fmt: skip
    """What to say of windows that marks from the mat leave no aim in, and what does."""
    socket, model = job.socket, job.model
    begin, span = widest_gap([(0.0, 0.0), *map(stage_arc, job.spec.stages)])
    for budget, larger_can in zip(budgets, aim_from, strict=True):
        window, turn_deg = budget.window, job.spec.stages[budget.stage - 1].turn_deg
        if window is None or budget.verdict == "aim":
            continue
        if job.high_od_mm is None:
            seam, bore_mm = (begin + span / 2) % 360.0, socket.od_mm + RING_CLEARANCE_MM
            can = what_can(Unproved(budget.stage, turn_deg, window, seam, socket, DEFAULT_STOCK_MM, bore_mm, model))
            yield from left_without_aim([budget], [can], UNPROVED, NARROW)
            continue
        od_mm = _least_od_mm(job, budget.stage, window)
        if larger_can:
            yield larger_can
        elif od_mm is None:
            yield UNPROVED_ANYWHERE(window=window.text)
        else:
            yield UNPROVED_BELOW(od=(od_mm, socket.unit), window=window.text)
