"""The numbers of a mat as JSON-ready data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ...reports import budget_data, mark_data, spec_data
from .plan import MatPlan


def data(plan: MatPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return everything about a mat as JSON-ready data; numbers are not rounded.

    `deg` and `mm` (round the wall, None without an OD) are counted from START against the tightening direction.
    `budgets` are those at the smallest OD, `budgets_at_largest` those at the largest where the OD is not known.
    """
    job, layout = plan.job, plan.layout
    socket = job.socket
    play = socket.play()
    return {
        "spec": spec_data(job.spec),
        "socket": {
            "points": job.points,
            "drive_in": socket.drive.size_in,
            "opening_mm": socket.opening.mm if socket.opening else None,
            "od_mm": layout.low_od_mm if layout.known else None,
            "od_source": socket.od_source if layout.known else "range",
            "play_deg": play.deg if play else None,
        },
        "mat": {
            "low_od_mm": layout.low_od_mm,
            "high_od_mm": layout.high_od_mm,
            "circles_mm": [circle.od_mm for circle in layout.circles],
        },
        "marks": [mark_data(mark, plan.along_mm(mark), plan.where(mark)) for mark in plan.marks],
        "budgets": [budget_data(budget, "mat") for budget in plan.budgets],
        "budgets_at_largest": [budget_data(budget, "mat") for budget in plan.largest],
        "warnings": [*map(str, plan.warnings)],
        "files": list(files),
    }
