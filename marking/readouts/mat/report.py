"""The numbers of a mat as JSON-ready data, and as a table for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Any

from ...quantities.shown import shown_length
from ...remarks import Remark
from ...reports import (
    COLUMNS,
    aim_lines,
    budget_data,
    budget_lines,
    mark_data,
    mark_lines,
    pair,
    socket_data,
    spec_data,
    spec_lines,
)
from ...sheets.words import direction
from .plan import MatPlan


def data(plan: MatPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return everything about a mat as JSON-ready data; numbers are not rounded.

    `deg` and `mm` (round the wall, None without an OD) are counted from START against the tightening direction.
    `budgets` are those at the smallest OD, `budgets_at_largest` those at the largest where the OD is not known, and
    `aim_from_od_mm` tells from which OD on a stage has an aim where the smallest has none.
    """
    job, layout = plan.job, plan.layout
    unknown = {} if layout.known else {"od_mm": None, "od_source": "range"}
    return {
        "spec": spec_data(job.spec),
        "socket": {**socket_data(job.socket), "points": job.points, **unknown},
        "mat": {
            "low_od_mm": layout.low_od_mm,
            "high_od_mm": layout.high_od_mm,
            "circles_mm": [circle.od_mm for circle in layout.circles],
            "aim_from_od_mm": [said.values["od"][0] if said else None for said in plan.aim_from],
        },
        "marks": [mark_data(mark, plan.along_mm(mark), plan.where(mark)) for mark in plan.marks],
        "budgets": [budget_data(budget, "mat") for budget in plan.budgets],
        "budgets_at_largest": [budget_data(budget, "mat") for budget in plan.largest],
        "warnings": [*map(str, plan.warnings)],
        "files": list(files),
    }


def text(plan: MatPlan) -> str:
    """Return the numbers of a mat as lines of at most 80 columns: where to aim first, the reading errors last."""
    job, layout, several = plan.job, plan.layout, len(plan.budgets) > 1
    along = (
        ("on the wall", lambda mark: shown_length(plan.along_mm(mark) or 0.0, layout.unit)) if layout.known else None
    )
    ends = [(layout.low_od_mm, plan.budgets), *([(layout.high_od_mm, plan.largest)] if plan.largest else [])]
    readouts = {f"mat{'' if layout.known else f' on OD {shown_length(od, layout.unit)}'}": found for od, found in ends}
    lines = [
        *(
            line
            for name, budgets in readouts.items()
            for line in aim_lines(f"the {name}", budgets, _remedies(plan), several)
        ),
        "",
        *spec_lines(job.spec),
        *pair("tighten", direction(job.spec)),
        "",
        *mark_lines(plan.marks, plan.where, along),
        "",
        *pair("socket", job.socket_line),
        *(line for said in filter(None, plan.aim_from) for line in textwrap.wrap(str(said), COLUMNS)),
        *(line for name, budgets in readouts.items() for line in budget_lines(name, budgets, several)),
    ]
    return "\n".join(lines)


def _remedies(plan: MatPlan) -> list[Remark | None]:
    """What can prove a window that marks from the mat cannot, one a stage; nothing where that depends on the OD."""
    ways = iter([remark.values["can"] for remark in plan.warnings if "can" in remark.values])
    return [next(ways, None) if b.window is not None and b.verdict != "aim" else None for b in plan.budgets]
