"""What the table of readouts asks of the mat."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from typing import Any

from ...drawing.primitives import Drawing
from ...fastening.sanity import SOCKET_CODES
from ...figures.room import Box
from ...marks.stage_marks import Mark
from ...quantities.shown import shown_length
from ...remarks import Remark, Template
from ...sheets.blocks import in_circle
from .. import Joined, Outline, Unproved
from . import report
from .error import mat_budget
from .figure import draw_in_rows, draw_mat
from .layout import JOINED_CLEAR_MM, JOINED_SCALE_MM, MatLayout
from .plan import MatPlan, plan
from .request import MatRequest
from .sheet import marking
from .words import (
    INSTEAD,
    ITS_EDGE,
    KEEPS_MARKS,
    MARK_THE_SOCKET,
    MARKED,
    RULERS,
    marked_within,
    round_the_wall,
    short_caption,
)

INSIDE_MM = 1.5
"""Least paper between the rays and words in the middle."""

MAT = Template("mat", "the mat (±{error:deg1})", ", which {@turnband mat} prints")


def pieces(plan: MatPlan) -> Iterator[Outline]:
    """Yield the mat, which bears its title here, as no header stands above it."""
    job, layout = plan.job, plan.layout
    if job.title:
        spec, *words = layout.words
        layout = replace(layout, words=(spec, job.title, *words))
    width, height, _ = draw_mat(layout)
    ods_mm = layout.low_od_mm, layout.high_od_mm
    draw = partial(draw_mat, layout)
    yield Outline(job.spec.read_as, job.socket_line, width, height, draw, size=job.ods_text, lengths_mm=ods_mm)


def remedy(unproved: Unproved) -> Remark | None:
    """Say how well the mat reads, if that proves the window."""
    stage, turn_deg, window, _, socket, _, _, model = unproved
    budget = mat_budget(stage, turn_deg, window, socket.od_mm, model)
    return MAT(error=budget.expanded_deg) if budget.verdict == "aim" else None


def plan_for(job: Any, ods: tuple[float, float] | None) -> MatPlan:
    """Return the mat that goes with a job; what it says of the socket is left to the job."""
    high = None if ods is None else ods[1]
    found = plan(
        MatRequest(
            job.spec, job.socket, job.socket.points, high, start=job.start, model=job.model, paper=job.paper,
            fasteners=job.fasteners, title=job.title,
        )
    )  # fmt: skip
    return found._replace(
        layout=replace(found.layout, least_scale_mm=JOINED_SCALE_MM, clear_mm=JOINED_CLEAR_MM),
        warnings=tuple(remark for remark in found.warnings if remark.code not in SOCKET_CODES),
    )


def joined(plan: MatPlan) -> Joined:
    """Return the mat as it stands among the pieces of a job. Raises LayoutError for labels that find no room."""
    job, layout = plan.job, plan.layout

    def along(mark: Mark) -> str:
        return shown_length(plan.along_mm(mark) or 0.0, layout.unit)

    figure, taken, captions = _lettered(layout)
    instead = INSTEAD.format(rulers=RULERS, heading=MARK_THE_SOCKET)
    ends = {layout.low_od_mm: plan.budgets, **({layout.high_od_mm: plan.largest} if plan.largest else {})}
    judged = {
        f"{MARKED}{'' if layout.known else f', OD {shown_length(od_mm, layout.unit)}'}": (budgets, ())
        for od_mm, budgets in ends.items()
    }
    return Joined(
        figure, taken, captions, MARK_THE_SOCKET, marking(plan),
        round_the_wall(plan.marks, along) if layout.known else "", instead,
        MARKED, ITS_EDGE, KEEPS_MARKS, judged, marked_within(job.mat_model),
    )  # fmt: skip


def _lettered(layout: MatLayout) -> tuple[Drawing, list[Box], list[str]]:
    """Return a mat with as many of its words in its middle as find room there, what it takes of its drawing, and the
    words that are left to stand beside it.
    """
    spec, socket, stand_here = layout.words
    whole, captions = f"{spec} · {socket}", [short_caption(layout.clockwise, bool(layout.corners))]
    for words, below, beside in (
        ([stand_here, f"{spec}.", f"{socket}.", *captions], (), []),
        ([stand_here], (whole,), captions),
    ):
        inside = in_circle(" ".join(words), layout.lanes.marks[0] - INSIDE_MM)
        if inside is not None:
            return *draw_in_rows(replace(layout, words=below), inside), beside
    return *draw_in_rows(replace(layout, words=(whole, stand_here))), captions


def data(plan: MatPlan) -> dict[str, Any]:
    """Return the mat's own numbers, without those of the job that it goes with."""
    found = report.data(plan)
    return {**found["mat"], **{name: found[name] for name in ("budgets", "budgets_at_largest", "warnings")}}
