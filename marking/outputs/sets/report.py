"""Where every piece of a set lies, as JSON-ready data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from .plan import SetPlan, lying_mm


def set_data(plan: SetPlan, front_pages: int, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return a set as JSON-ready data: every piece with its page and place."""
    pieces = []
    for spot in plan.spots:
        part = plan.parts[spot.part]
        width, height = lying_mm(part, spot)
        pieces.append(
            {
                "id": part.item.id,
                "name": part.name,
                "kind": part.item.kind if part.number else "tag",
                "spec": part.item.spec,
                "socket": part.socket_line,
                "page": front_pages + spot.page + 1,
                "place": spot.place,
                "x_mm": spot.x,
                "y_mm": spot.y,
                "width_mm": width,
                "height_mm": height,
                "turned": spot.turned,
            }
        )
    return {
        "pieces": pieces,
        "pages": front_pages + len(plan.papers),
        "area_use": plan.area_use,
        "warnings": [*map(str, plan.warnings)],
        "faults": [fault.text for fault in plan.faults],
        "files": list(files),
    }
