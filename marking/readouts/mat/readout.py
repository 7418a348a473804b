"""What the table of readouts asks of the mat."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any

from ...fastening.sanity import SOCKET_CODES
from ...remarks import Remark, Template
from .. import Outline, Unproved
from . import report
from .error import mat_budget
from .figure import draw_mat
from .plan import MatPlan, plan
from .request import MatRequest
from .sheet import put_mat

MAT = Template("mat", "the mat (±{error:deg1})", ", which {@turnband mat} prints")

put = put_mat


def pieces(plan: MatPlan) -> Iterator[Outline]:
    """Yield the mat."""
    job = plan.job
    width, height, _ = draw_mat(plan.layout)
    yield Outline(job.spec.read_as, job.socket_line, width, height, partial(draw_mat, plan.layout), size=job.ods_text)


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
    return found._replace(warnings=tuple(remark for remark in found.warnings if remark.code not in SOCKET_CODES))


def data(plan: MatPlan) -> dict[str, Any]:
    """Return the mat's own numbers, without those of the job that it goes with."""
    found = report.data(plan)
    return {**found["mat"], **{name: found[name] for name in ("budgets", "budgets_at_largest", "warnings")}}
