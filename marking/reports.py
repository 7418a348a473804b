"""What the JSON and the terminal reports of several outputs share."""

from __future__ import annotations

import textwrap
from typing import Any

from .fastening.spec import TighteningSpec
from .marks.reading_error import COVERAGE_FACTOR, Budget
from .marks.stage_marks import Mark
from .quantities.shown import shown_degrees, trimmed

COLUMNS = 80


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


def pair(name: str, text: str) -> list[str]:
    """Return a name and what it has, wrapped beside it."""
    return textwrap.wrap(text, COLUMNS, initial_indent=f"{name:<13}", subsequent_indent=" " * 13)


def budget_lines(budget: Budget, several: bool) -> list[str]:
    """Yield the contributions of a budget as lines of a table."""
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
