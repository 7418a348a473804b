"""What a turn does to a screw, as JSON-ready data and as text."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Any

from ...fastening.elastic import Fastening
from ...fastening.spec import Window
from ...reports import COLUMNS, pair, spec_data
from .plan import Reached, Scatter, StretchPlan, Tensions
from .words import (
    TEACHING,
    assumptions,
    comparison_heading,
    comparison_rows,
    facts,
    findings,
    stage_rows,
    stage_titles,
    way_to_proof,
)


def data(plan: StretchPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return all the numbers as JSON-ready data, not rounded; tensions beyond the proof load are null.

    Low and high tensions belong to high and low friction, and to the ends of the window.
    """
    job, fastening, comparison = plan.job, plan.job.fastening, plan.comparison
    at_low, at_mid, at_high = plan.proof_turns_deg
    return {
        "spec": spec_data(job.spec),
        "screw": _screw_data(fastening),
        "joint": {
            "grip_mm": fastening.grip_mm, "shank_mm": fastening.shank_mm, "modulus_mpa": fastening.joint_mpa,
            "stiffness_n_per_mm": fastening.joint_n_per_mm, "bearing_mm": fastening.bearing_mm,
            "hole_mm": fastening.hole_mm,
        },
        "friction": {
            "thread": fastening.thread_friction._asdict(), "head": fastening.head_friction._asdict(),
            "torque_over_tension_mm": dict(zip(("low", "mid", "high"), fastening.arms_mm, strict=True)),
        },
        "elastic": {
            "n_per_degree": fastening.n_per_deg,
            "stretch_share": fastening.stretch_share,
            "proof_load_turn_deg": {"low_friction": at_low, "mid_friction": at_mid, "high_friction": at_high},
        },
        "snug": _tension_data(plan.snug, fastening),
        "stages": [_stage_data(reached, fastening) for reached in plan.stages],
        "comparison": {
            "aim_n": comparison.aim_n,
            "torque_nm": comparison.torque_nm,
            "torque_only": _scatter_data(comparison.torque_only),
            "torque_then_turn": comparison.then_turn and _scatter_data(comparison.then_turn),
            "snug_share": comparison.snug_share,
            "snug_percent": comparison.snug_percent,
            "window_percent": comparison.window_percent,
        },
        "beyond_proof": plan.passes_proof,
        "notes": findings(plan),
        "warnings": [*map(str, plan.warnings)],
        "files": list(files),
    }  # fmt: skip


def _screw_data(fastening: Fastening) -> dict[str, Any]:
    thread, strength = fastening.thread, fastening.strength
    return {
        "thread": thread.name, "diameter_mm": thread.diameter_mm, "pitch_mm": thread.pitch_mm,
        "threads_per_inch": thread.tpi, "stress_area_mm2": thread.area_mm2, "stress_area_from": thread.area_source,
        "class": strength.name, "proof_mpa": strength.proof_mpa, "yield_mpa": strength.yield_mpa,
        "tensile_mpa": strength.tensile_mpa, "proof_load_n": fastening.proof_n, "yield_load_n": fastening.yield_n,
        "stiffness_n_per_mm": fastening.screw_n_per_mm,
    }  # fmt: skip


def _stage_data(reached: Reached, fastening: Fastening) -> dict[str, Any]:
    window: Window | None = reached.window
    return {
        "stage": reached.stage,
        "turn_deg": reached.turn_deg,
        "low_deg": window.low_deg if window else None,
        "high_deg": window.high_deg if window else None,
        "advance_mm": reached.advance_mm,
        "stretch_mm": reached.stretch_mm,
        "squeeze_mm": reached.squeeze_mm,
        **_tension_data(reached.tensions, fastening),
    }


def _tension_data(tensions: Tensions, fastening: Fastening) -> dict[str, Any]:
    mid = tensions.mid_n
    return {
        **{f"tension_{name}": value for name, value in tensions._asdict().items()},
        "of_proof_load": None if mid is None else mid / fastening.proof_n,
        "of_yield_load": None if mid is None else mid / fastening.yield_n,
    }


def _scatter_data(scatter: Scatter) -> dict[str, Any]:
    return {
        "tension_low_n": scatter.low_n,
        "tension_high_n": scatter.high_n,
        "scatter_percent": scatter.percent,
        "at_most": scatter.at_most,
    }


def text(plan: StretchPlan) -> str:
    """Return the numbers as lines of at most 80 columns."""
    widths = (8, 10, 10, 10, 11, 11, 11)
    lines = [*(line for name, words in facts(plan) for line in pair(name, words)), ""]
    for first, *rest in (stage_titles(plan), *stage_rows(plan)):
        lines.append(first.ljust(8) + "".join(cell.rjust(w) for cell, w in zip(rest, widths, strict=True)))
    compared = comparison_rows(plan)
    width, second = (max(len(row[k]) for row in compared) for k in (0, 1))
    lines += [
        "", *_paragraphs([*way_to_proof(plan), *findings(plan)]),
        "", *_paragraphs([f"{comparison_heading(plan)}:"]),
        *(f"{method:<{width}}  {scatter:>{second}}  {tensions}".rstrip() for method, scatter, tensions in compared),
        "", *_paragraphs(assumptions(plan)),
        "", *_paragraphs([TEACHING]),
    ]  # fmt: skip
    return "\n".join(lines)


def _paragraphs(sentences: list[str]) -> list[str]:
    return [line for sentence in sentences for line in textwrap.wrap(sentence, COLUMNS)]
