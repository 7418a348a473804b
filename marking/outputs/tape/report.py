"""The numbers of a diameter tape as JSON-ready data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from .plan import TapePlan


def data(plan: TapePlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return a tape as JSON-ready data: the ODs that it reads, what it is right for, and its pieces."""
    layout = plan.layout
    return {
        "low_od_mm": layout.low_mm,
        "high_od_mm": layout.high_mm,
        "unit": layout.scale.unit,
        "resolution": float(layout.scale.resolution),
        "stock_mm": layout.stock_mm,
        "pieces": len(layout.cuts) + 1,
        "warnings": [*map(str, plan.warnings)],
        "files": list(files),
    }
