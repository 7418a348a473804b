"""The numbers of a record card as JSON-ready data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ...reports import spec_data
from .plan import RecordPlan


def data(plan: RecordPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return everything about a record card as JSON-ready data; numbers are not rounded."""
    job = plan.job
    return {
        "spec": spec_data(job.spec),
        **order_data(plan),
        "warnings": [*map(str, plan.warnings)],
        "files": list(files),
    }


def order_data(plan: RecordPlan) -> dict[str, Any]:
    """Return pattern and places of the fasteners as JSON-ready data; numbers are not rounded.

    `x` and `y` are counted from the middle of the pattern, seen from the drive end, in the `unit` "radius" or "pitch".
    """
    job = plan.job
    return {
        "pattern": {
            "kind": "circle" if job.rows is None else "rows", "rows": job.rows, "count": job.fasteners,
            "unit": "radius" if job.rows is None else "pitch",
        },
        "fasteners": [
            {"order": fastener.number, "position": fastener.position, "x": fastener.place[0], "y": fastener.place[1]}
            for fastener in plan.fasteners
        ],
    }  # fmt: skip
