"""Where every piece of a set lies, as JSON-ready data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from .pieces import spec_of
from .plan import SetPlan, SetsPlan, lying_mm


def data(plan: SetsPlan, files: Sequence[str] | Mapping[str, Sequence[str]] = ()) -> dict[str, Any]:
    """Return a set as JSON-ready data, or under `sets` those that it is split into; `files` are then by their keys."""
    by_key = files if isinstance(files, Mapping) else {"": files}
    sets = [set_data(one, by_key.get(key, ())) for key, one in plan.plans.items()]
    return sets[0] if list(plan.plans) == [""] else {"sets": sets}


def set_data(plan: SetPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return one set as JSON-ready data: every piece with its page and place."""
    front = plan.front.pages
    pieces = []
    for spot in plan.spots:
        part = plan.parts[spot.part]
        width, height = lying_mm(part, spot)
        pieces.append(
            {
                "id": part.label.id if part.label else part.item.id,
                "name": part.name,
                "kind": part.item.kind if part.label is None else "card" if part.label.steps else "tag",
                "spec": part.item.spec,
                "read_as": spec_of(part.item).read_as,
                "row": part.item.row,
                "socket": part.socket_line,
                "size": part.size,
                "page": front + spot.page + 1,
                "place": spot.place,
                "x_mm": spot.x,
                "y_mm": spot.y,
                "width_mm": width,
                "height_mm": height,
                "turned": spot.turned,
            }
        )
    return {
        "format": 2,
        "pieces": pieces,
        "pages": plan.pages,
        "index_pages": front,
        "area_use": plan.area_use,
        "warnings": [*map(str, plan.warnings)],
        "faults": [fault.text for fault in plan.faults],
        "files": list(files),
    }
