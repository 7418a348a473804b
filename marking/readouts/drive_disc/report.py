"""The numbers of drive discs as JSON-ready data, and as a table for a terminal."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ...quantities.shown import shown_length
from ...reports import aim_lines, budget_data, budget_lines, mark_data, mark_lines, pair, spec_data, spec_lines
from ...sheets.words import direction
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


def text(plan: DiscPlan) -> str:
    """Return the numbers of a disc as lines of at most 80 columns: where to aim first, the reading errors last."""
    job, several = plan.job, len(plan.budgets) > 1
    points = f"{job.points}-point · " if job.points else ""
    along = "on the edge", lambda mark: shown_length(plan.along_mm(mark), job.unit)
    lines = [
        *aim_lines("the disc", plan.budgets, plan.remedies, several),
        "",
        *spec_lines(job.spec),
        *pair("tighten", direction(job.spec)),
        "",
        *mark_lines(plan.marks, plan.where, along),
        "",
        *pair("socket", f"{points}{job.drive.inch} in drive"),
        *pair("disc", f"{shown_length(job.size_mm, job.unit)} across"),
        *budget_lines("disc", plan.budgets, several),
    ]
    return "\n".join(lines)
