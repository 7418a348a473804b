"""A job as numbers, whether its socket's diameter is known or not, with the other readouts that go with it."""

from __future__ import annotations

from typing import Any

from ...errors import LayoutError
from ...readouts import READOUTS
from ...remarks import once
from .band_plan import JobPlan, plan_job
from .request import JobRequest, TrimRequest
from .trim_plan import TrimJobPlan, plan_trim


def plan(request: JobRequest | TrimRequest) -> JobPlan | TrimJobPlan:
    """Return all the numbers of a job. Raises what `plan_job`, `plan_trim` and its other readouts raise."""
    planned = plan_trim(request) if isinstance(request, TrimRequest) else plan_job(request)
    ods = (request.low_od_mm, request.high_od_mm) if isinstance(request, TrimRequest) else None
    extras = tuple(plan_extra(kind, planned.job, ods) for kind in planned.job.extras)
    warnings = once([*planned.warnings, *(warning for extra in extras for warning in extra.warnings)])
    return planned._replace(extras=extras, warnings=warnings)


def plan_extra(kind: str, job: JobRequest, ods: tuple[float, float] | None = None) -> Any:
    """Return another readout that goes with a job. Raises LayoutError for label stock, which is no page."""
    if not job.paper.is_sheet:
        what = f"{READOUTS[kind].extra} does not go on label stock"
        raise LayoutError(what, "a page", "choose {@paper} a4 or letter", field="paper")
    return READOUTS[kind].plan_for(job, ods)
