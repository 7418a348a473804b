"""The numbers of a mat as JSON-ready data, and as a table for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import Any

from ...marks.stage_marks import Mark
from ...quantities.shown import shown_degrees, shown_length
from ...reports import COLUMNS, budget_data, budget_lines, mark_data, pair, spec_data, spec_lines
from ...sheets.words import direction
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


def text(plan: MatPlan) -> str:
    """Return the numbers of a mat as lines of at most 80 columns."""
    job, layout = plan.job, plan.layout
    lines = [*spec_lines(job.spec), *pair("tighten", direction(job.spec)), *pair("socket", job.socket_line), ""]
    lines += [f"{'mark':<11} {'stage':>5} {'turn':>8} {'on the wall' if layout.known else '':>12}  on the socket"]
    for mark in plan.marks:
        lines += _mark_lines(plan, mark)
    for od_mm, budgets in ((layout.low_od_mm, plan.budgets), (layout.high_od_mm, plan.largest)):
        for budget in budgets:
            on = [] if layout.known else [f"on OD {shown_length(od_mm, layout.unit)}"]
            lines += ["", *on, *budget_lines("mat", budget, len(budgets) > 1)]
    return "\n".join(line.rstrip() for line in lines)


def _mark_lines(plan: MatPlan, mark: Mark) -> Iterator[str]:
    """A mark's turn, its place round the wall where the OD is known, and in words where the points are."""
    mm = plan.along_mm(mark)
    along = "" if mm is None else shown_length(mm, plan.layout.unit)
    head = f"{mark.kind:<11} {mark.stage or '':>5} {shown_degrees(mark.turn_deg, 1):>8} {along:>12}  "
    first, *rest = textwrap.wrap(plan.where(mark) or "–", COLUMNS - len(head))
    yield head + first
    yield from (" " * len(head) + line for line in rest)
