"""The numbers of drive discs as JSON-ready data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ...reports import budget_data, mark_data, spec_data
from .error import disc_hole_mm
from .plan import DiscPlan


def data(plan: DiscPlan, files: Sequence[str] = ()) -> dict[str, Any]:
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
        "budgets": [budget_data(budget, "disc") for budget in plan.budgets],
        "warnings": [*map(str, plan.warnings)],
        "files": list(files),
    }  # fmt: skip
