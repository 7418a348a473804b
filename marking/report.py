"""The numbers of a job as plain data for JSON, and as a table for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Any

from .budget import COVERAGE_FACTOR, Budget
from .geometry import Mark, arc_mm
from .job import Plan
from .quantities import rounded, shown_degrees, shown_length, trimmed
from .spec import TighteningSpec
from .words import direction

COLUMNS = 80


def as_data(plan: Plan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return everything about a job as JSON-ready data; numbers are not rounded.

    `deg` and `mm` are counted from START against the tightening direction. `band` describes the first band; `bands`
    all of them, with the stages that each one serves.
    """
    job, spec, socket = plan.job, plan.job.spec, plan.job.socket
    bands = [
        {
            "stages": [n for stage in band.stages for n in stage.numbers],
            "stock_mm": job.stock_mm,
            "length_mm": job.length_mm,
            "mm_per_degree": job.length_mm / 360.0,
            "seam_deg": band.seam,
            "pieces": len(cuts) + 1,
        }
        for band, cuts in zip(plan.bands, plan.cuts, strict=True)
    ]
    return {
        "spec": spec_data(spec),
        "socket": {
            "points": socket.points,
            "drive_in": socket.drive.size_in,
            "opening_mm": socket.opening.mm if socket.opening else None,
            "od_mm": socket.od_mm,
            "od_source": socket.od_source,
            "play_deg": play.deg if (play := socket.play()) else None,
        },
        "band": {key: value for key, value in bands[0].items() if key != "stages"},
        "bands": bands,
        "features": [
            {"kind": f.kind, "index": f.index, "deg": f.deg, "mm": arc_mm(job.length_mm, f.deg)} for f in plan.features
        ],
        "marks": [mark_data(mark, arc_mm(job.length_mm, mark.deg), plan.where(mark)) for mark in plan.marks],
        "budgets": [budget_data(budget) for budget in plan.budgets],
        "warnings": list(plan.warnings),
        "files": list(files),
    }


def spec_data(spec: TighteningSpec) -> dict[str, Any]:
    """Return a spec as JSON-ready data."""
    return {
        "text": spec.text,
        "snug_torque_nm": spec.snug.nm if spec.snug else None,
        "hand_tight": spec.hand_tight,
        "thread": spec.thread,
        "stages": [
            {
                "turn_deg": stage.turn_deg,
                "low_deg": stage.window.low_deg if stage.window else None,
                "high_deg": stage.window.high_deg if stage.window else None,
            }
            for stage in spec.stages
        ],
    }


def mark_data(mark: Mark, mm: float, place: str | None) -> dict[str, Any]:
    """Return a mark as JSON-ready data: `mm` along the band or edge from START, `place` in words."""
    return {
        "kind": mark.kind,
        "stage": mark.stage,
        "deg": mark.deg,
        "full_turns": mark.full_turns,
        "mm": mm,
        "where": place,
    }


def budget_data(budget: Budget) -> dict[str, Any]:
    """Return a budget as JSON-ready data."""
    zone = budget.aim_zone
    return {
        "stage": budget.stage,
        "contributions": [
            {
                "name": c.name,
                "half_width": c.half_width,
                "unit": c.unit,
                "sensitivity": c.sensitivity,
                "u_deg": c.u_deg,
            }
            for c in budget.contributions
        ],
        "u_deg": budget.u_deg,
        "U_deg": budget.expanded_deg,
        "k": COVERAGE_FACTOR,
        "aim_low_deg": zone.low_deg if zone else None,
        "aim_high_deg": zone.high_deg if zone else None,
    }


def as_text(plan: Plan) -> str:
    """Return the numbers of a job as lines of at most 80 columns."""
    job, unit = plan.job, plan.job.socket.unit
    play = job.socket.play()
    lines = [
        *pair("spec", job.spec.printed),
        *pair(
            "snug torque",
            job.spec.snug.both if job.spec.snug else "hand tight" if job.spec.hand_tight else "-",
        ),
        *pair("tighten", direction(plan.job.spec)),
        *pair("socket", job.socket.printed()),
        *pair(
            "band",
            f"closed length {shown_length(job.length_mm, unit)}, {rounded(job.length_mm / 360)} mm a degree, "
            f"stock {trimmed(job.stock_mm, 3)} mm",
        ),
        *pair("seam", ", ".join(shown_degrees(band.seam, 1) for band in plan.bands) + " from START"),
    ]
    if play:
        lines += pair(
            "slack",
            f"up to {shown_degrees(play.deg, 1)} each way ({play.fastener} in the widest opening)",
        )
    lines += ["", *mark_lines(plan), "", *_feature_lines(plan)]
    for budget in plan.budgets:
        lines += ["", *_budget_lines(budget, len(plan.budgets) > 1)]
    return "\n".join(lines)


def pair(name: str, text: str) -> list[str]:
    """Return a name and what it has, wrapped beside it."""
    return textwrap.wrap(text, COLUMNS, initial_indent=f"{name:<13}", subsequent_indent=" " * 13)


def mark_lines(plan: Plan, along_band: bool = True) -> list[str]:
    """Return a line or more a mark: its turn, its place along the band unless that has no one length, and in words."""
    unit = plan.job.socket.unit
    lines = [f"{'mark':<11} {'stage':>5} {'turn':>8}{'  from START' if along_band else ''}  on the socket"]
    for mark in plan.marks:
        along = f" {shown_length(arc_mm(plan.job.length_mm, mark.deg), unit):>11}" if along_band else ""
        head = f"{mark.kind:<11} {mark.stage or '':>5} {shown_degrees(mark.turn_deg, 1):>8}{along}  "
        first, *rest = textwrap.wrap(plan.where(mark), COLUMNS - len(head))
        lines += [head + first, *(" " * len(head) + line for line in rest)]
    return lines


def _feature_lines(plan: Plan) -> list[str]:
    """Corners and mid-flats side by side, so that a 12-point socket takes 12 lines."""
    unit, length = plan.job.socket.unit, plan.job.length_mm
    lines = [f"{'corner':<8}{'turn':>8}{'from START':>12}    {'mid-flat':<10}{'turn':>8}{'from START':>12}"]
    corners = [f for f in plan.features if f.kind == "corner"]
    mids = [f for f in plan.features if f.kind == "mid-flat"]
    count = len(corners)
    corners.sort(key=lambda f: f.index)
    mids.sort(key=lambda f: f.index)
    for corner, mid in zip(corners, mids, strict=True):
        between = f"{mid.index}–{mid.index % count + 1}"
        left = f"{corner.index:<8}{shown_degrees(corner.deg):>8}{shown_length(arc_mm(length, corner.deg), unit):>12}"
        right = f"{between:<10}{shown_degrees(mid.deg):>8}{shown_length(arc_mm(length, mid.deg), unit):>12}"
        lines.append(f"{left}    {right}")
    return lines


def _budget_lines(budget: Budget, several: bool) -> list[str]:
    stage = f", stage {budget.stage}" if several else ""
    lines = [
        f"{'reading error' + stage:<24}{'half-width':>12}{'deg per unit':>15}{'u':>9}",
        *(
            f"{c.name:<24}{trimmed(c.half_width, 4) + ' ' + c.unit:>12}{trimmed(c.sensitivity, 3):>15}"
            f"{shown_degrees(c.u_deg):>9}"
            for c in budget.contributions
        ),
        f"{'expanded, U (k = 2)':<24}{'':>27}{shown_degrees(budget.expanded_deg):>9}",
    ]
    zone = budget.aim_zone
    if zone is not None and budget.aim_deg is not None:
        low, high = shown_degrees(zone.low_deg, 1), shown_degrees(zone.high_deg, 1)
        lines.append(f"aim at {shown_degrees(budget.aim_deg, 1)}, between {low} and {high}")
    return lines
