"""What the JSON and the terminal reports of several outputs share."""

from __future__ import annotations

import textwrap
from typing import Any

from .fastening.spec import NEW_MARK, HandTightStep, LoosenStep, Step, TighteningSpec, TorqueStep, TurnStep
from .marks.reading_error import COVERAGE_FACTOR, Budget
from .marks.stage_marks import Mark
from .quantities.shown import shown_degrees, trimmed

COLUMNS = 80


def spec_data(spec: TighteningSpec) -> dict[str, Any]:
    """Return a spec as JSON-ready data; degrees and N·m, unrounded."""
    stages = [
        {
            "turn_deg": stage.turn_deg,
            "low_deg": stage.window.low_deg if stage.window else None,
            "high_deg": stage.window.high_deg if stage.window else None,
            "total_from_snug_deg": total,
        }
        for stage, total in zip(spec.stages, spec.totals_from_snug_deg, strict=True)
    ]
    return {
        "text": spec.text,
        "read_as": spec.read_as,
        "thread": spec.thread,
        "counted_from": spec.counted_from,
        "snug_torque_nm": spec.snug.nm if spec.snug else None,
        "hand_tight": spec.hand_tight,
        "steps": [_step_data(step) for step in spec.steps],
        "stages": stages,
    }


def _step_data(step: Step) -> dict[str, Any]:
    match step:
        case TorqueStep():
            return {"kind": "torque", "torque_nm": step.nm, "low_nm": step.low_nm, "high_nm": step.high_nm}
        case LoosenStep():
            return {"kind": "loosen", "deg": step.deg}
        case HandTightStep():
            return {"kind": "hand tight", "words": step.words}
        case TurnStep():
            return {"kind": "turn", "stage": step.number}


def mark_data(mark: Mark, mm: float | None, place: str | None) -> dict[str, Any]:
    """Return a mark as JSON-ready data: `mm` along the band or edge from START, `place` in words."""
    return mark._asdict() | {"mm": mm, "where": place}


def budget_data(budget: Budget, readout: str) -> dict[str, Any]:
    """Return the budget of a readout, "band", "ring", "disc" or "mat", as JSON-ready data."""
    zone = budget.aim_zone
    return {
        "readout": readout,
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
        "expanded_deg": budget.expanded_deg,
        "k": COVERAGE_FACTOR,
        "verdict": budget.verdict,
        "aim_low_deg": zone.low_deg if zone else None,
        "aim_high_deg": zone.high_deg if zone else None,
        "aim_deg": budget.aim_deg,
    }


def pair(name: str, text: str) -> list[str]:
    """Return a name and what it has, wrapped beside it."""
    return textwrap.wrap(text, COLUMNS, initial_indent=f"{name:<13}", subsequent_indent=" " * 13)


def spec_lines(spec: TighteningSpec) -> list[str]:
    """Return a spec as it was read and typed, and how its turns count."""
    counts = "each from a mark of its own" if spec.counted_from == NEW_MARK else "in all from the snug torque"
    totals = (f"stage {n} {shown_degrees(deg)}" for n, deg in enumerate(spec.totals_from_snug_deg, 1))
    typed = pair("as typed", spec.typed) if spec.typed else []
    several = len(spec.stages) > 1
    return [
        *pair("spec", spec.read_as), *typed,
        *(pair("turns count", f"{counts}; from snug in all: {', '.join(totals)}") if several else []),
    ]  # fmt: skip


def budget_lines(readout: str, budget: Budget, several: bool) -> list[str]:
    """Return the contributions of a readout's budget as lines of a table, and where to aim."""
    stage = f", stage {budget.stage}" if several else ""
    return [
        f"{'reading error, ' + readout + stage:<30}{'half-width':>12}{'deg per unit':>15}{'u':>9}",
        *(
            f"{c.name:<30}{trimmed(c.half_width, 4) + ' ' + c.unit:>12}{trimmed(c.sensitivity, 3):>15}"
            f"{shown_degrees(c.u_deg):>9}"
            for c in budget.contributions
        ),
        f"{'expanded, U (k = 2)':<30}{'':>27}{shown_degrees(budget.expanded_deg):>9}",
        aim_line(budget),
    ]


def aim_line(budget: Budget) -> str:
    """Return where to aim by a budget, "aim at 95°, between 92.5° and 97.5°", or why nowhere."""
    zone = budget.aim_zone
    if zone is not None and budget.aim_deg is not None:
        low, high = shown_degrees(zone.low_deg, 1), shown_degrees(zone.high_deg, 1)
        return f"aim at {shown_degrees(budget.aim_deg, 1)}, between {low} and {high}"
    if budget.window is None:
        return "no aim: the manual gives no tolerance"
    return f"no aim: the window {'cannot be proved' if budget.verdict == 'unproved' else 'is left too narrow to hit'}"
