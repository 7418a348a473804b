"""What the table of readouts asks of the drive disc."""

from __future__ import annotations

import math
from collections.abc import Iterator
from functools import partial
from typing import Any

from ...quantities.shown import shown_length
from ...remarks import Remark, Template
from ...sheets.paper import SIZES, Paper
from .. import Outline, Unproved
from . import report
from .error import disc_budget, sufficient_disc_mm
from .figure import draw_disc
from .layout import MAX_DIAMETER_MM, usual_diameter_mm
from .plan import DiscPlan, plan
from .request import DiscRequest
from .sheet import put_disc

DISC = Template("disc", "a drive disc of {size:length} (±{error:deg1})", ", which {@turnband disc} prints")
LARGER_DISC = Template("larger-disc", "a drive disc of at least {size:length}", " (see {@turnband disc})")
LARGER_PAPER = Template("larger-disc", "a drive disc of at least {size:length}, on A3 paper", " (see {@turnband disc})")

EDGE_MM = 0.2
"""How much wider than the disc its drawing is."""

put = put_disc


def pieces(plan: DiscPlan) -> Iterator[Outline]:
    """Yield the discs of a disc job."""
    job = plan.job
    for disc in plan.discs:
        size = draw_disc(disc)[:2]
        across = f"Ø {shown_length(disc.diameter_mm, disc.unit)}"
        words = job.spec.read_as, f"{job.drive.inch} in drive disc"
        yield Outline(
            *words, *size, partial(draw_disc, disc), "", across, (disc.diameter_mm,) * 2, by_stage=len(plan.discs) > 1
        )


def remedy(unproved: Unproved) -> Remark | None:
    """Say whether the usual disc for the drive leaves an aim in the window, or how large it has to be."""
    stage, turn_deg, window, _, socket, _, _, model = unproved
    usual_mm = usual_diameter_mm(socket.drive)
    disc = disc_budget(stage, turn_deg, window, usual_mm, socket.drive, model)
    if disc.verdict == "aim":
        return DISC(size=(usual_mm, socket.unit), error=disc.expanded_deg)
    return _disc_of(sufficient_disc_mm(window, turn_deg, socket.drive, model), socket.unit)


def proof(unproved: Unproved) -> Remark | None:
    """Say which disc proves the window, though it leaves too little of it to hit."""
    _, turn_deg, window, _, socket, _, _, model = unproved
    least_mm = sufficient_disc_mm(window, turn_deg, socket.drive, model, verdicts=("aim", "narrow"))
    return _disc_of(None if least_mm is None else max(least_mm, usual_diameter_mm(socket.drive)), socket.unit)


def _disc_of(least_mm: float | None, unit: str) -> Remark | None:
    """A disc of at least so many mm, on a paper that carries it; None when none does."""
    if least_mm is None:
        return None
    for paper, template in (("a4", LARGER_DISC), ("a3", LARGER_PAPER)):
        if math.ceil(least_mm) <= min(Paper(*SIZES[paper]).content_width_mm - EDGE_MM, MAX_DIAMETER_MM):
            return template(size=(math.ceil(least_mm), unit))
    return None


def plan_for(job: Any, ods: tuple[float, float] | None = None) -> DiscPlan:
    """Return the drive disc that goes with the bands of a job, whatever the socket's OD."""
    socket = job.socket
    return plan(
        DiscRequest(
            job.spec, socket.drive, points=socket.points, model=job.model, paper=job.paper,
            title=job.title, unit=socket.unit,
        )
    )  # fmt: skip


def data(plan: DiscPlan) -> dict[str, Any]:
    """Return the disc's own numbers, without those of the job that it goes with."""
    found = report.data(plan)
    return {**found["disc"], "budgets": found["budgets"], "warnings": found["warnings"]}
