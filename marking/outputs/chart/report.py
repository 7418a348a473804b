"""The tables of a wall chart as JSON-ready data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ...fastening.opening import POINTS
from . import BOTH
from .plan import MEASURES, UNITS, ChartPlan


def data(plan: ChartPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return the tables of a wall chart as they are printed, each row by the names of its columns."""
    titles = ("turn", *(f"{points} points" for points in POINTS))
    return {
        "thread": BOTH if plan.request.both else "right" if plan.request.clockwise else "left",
        "places": [dict(zip(titles, row, strict=True)) for row in plan.places],
        "measures": [dict(zip(MEASURES, row, strict=True)) for row in plan.measures],
        "torques": [dict(zip(UNITS, row, strict=True)) for row in plan.torques],
        "warnings": [*map(str, plan.warnings)],
        "files": list(files),
    }
