"""The numbers of blank bands as JSON-ready data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from .plan import BlankPlan


def data(plan: BlankPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return blank bands as JSON-ready data: for what they are, and each band's ODs and seam."""
    request = plan.request
    return {
        "points": request.points,
        "drive_in": request.drive.inch,
        "thread": "right" if request.clockwise else "left",
        "stock_mm": request.stock_mm,
        "unit": request.unit,
        "copies": request.copies,
        "bands": [
            {"low_od_mm": band.low_od_mm, "high_od_mm": band.high_od_mm, "seam_deg": band.seam} for band in plan.bands
        ],
        "warnings": [*map(str, plan.warnings)],
        "files": list(files),
    }
