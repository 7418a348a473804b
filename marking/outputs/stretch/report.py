"""What a turn does to a screw, as JSON-ready data and as text."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import Any

from ...fastening.elastic import Fastening
from ...fastening.spec import Window
from ...reports import COLUMNS, pair, spec_data
from .plan import Reached, Scatter, StretchPlan, Tensions
from .told import (
    compared,
    comparison_head,
    facts,
    findings,
    part_table,
    same_kind,
    spring_table,
    stage_table,
    way_to_yield,
)
from .words import TEACHING, assumptions


def data(plan: StretchPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return all the numbers as JSON-ready data, not rounded; a middle tension beyond yield is null.

    Low and high tensions are bounds: every limit on its worse side at once. Scatter is in percent of the middle.
    """
    job, fastening, comparison = plan.job, plan.job.fastening, plan.comparison
    soonest, at_mid, latest = plan.yield_turns_deg
    return {
        "spec": spec_data(job.spec),
        "screw": _screw_data(fastening),
        "joint": {
            "held_by": fastening.joint, "grip_mm": fastening.grip_mm, "clamped_mm": fastening.clamped_mm,
            "washers": fastening.washers._asdict(), "seams": fastening.seams, "modulus_mpa": fastening.joint_mpa,
            "stiffness_n_per_mm": fastening.joint_n_per_mm, "bearing_mm": fastening.bearing_mm,
            "hole_mm": fastening.hole_mm, "settling_mm": fastening.settling_mm, "settling_n": fastening.settling_n,
        },
        "friction": {
            "thread": fastening.thread_friction._asdict(), "head": fastening.head_friction._asdict(),
            "torque_over_tension_mm": dict(zip(("low", "mid", "high"), fastening.arms_mm, strict=True)),
        },
        "wrench_percent": plan.wrench_percent,
        "reading": {"readout": job.readout, "od_mm": job.od_mm, "U_deg": plan.last.reading_deg},
        "elastic": {
            "n_per_degree": fastening.n_per_deg,
            "n_per_degree_rigid_ends": fastening.per_degree(fastening.rigid_ends_n_per_mm),
            "n_per_degree_textbook": fastening.per_degree(fastening.textbook_n_per_mm),
            "stretch_share": fastening.stretch_share,
            "yield_turn_deg": {"soonest": soonest, "mid_friction": at_mid, "latest": latest},
            "proof_load_turn_deg": plan.proof_turn_deg,
        },
        "snug": _tension_data(plan.snug, fastening),
        "stages": [_stage_data(reached, fastening) for reached in plan.stages],
        "comparison": {
            "aim_n": comparison.aim_n,
            "torque_nm": comparison.torque_nm,
            "torque_only": _scatter_data(comparison.torque_only),
            "torque_then_turn": _scatter_data(comparison.then_turn),
            "snug_share": comparison.snug_share,
            "harder_scatter_percent": comparison.harder_percent,
        },
        "beyond_yield": plan.passes_yield,
        "may_yield": plan.may_yield,
        "notes": findings(plan),
        "warnings": [*map(str, plan.warnings)],
        "files": list(files),
    }  # fmt: skip


def _screw_data(fastening: Fastening) -> dict[str, Any]:
    thread, strength = fastening.thread, fastening.strength
    yields = dict(zip(("low_friction", "mid_friction", "high_friction"), fastening.yields_n, strict=True))
    return {
        "thread": thread.name, "diameter_mm": thread.diameter_mm, "pitch_mm": thread.pitch_mm,
        "threads_per_inch": thread.tpi, "stress_area_mm2": thread.area_mm2, "stress_area_from": thread.area_source,
        "shank_mm": fastening.shank_mm, "sections": [section._asdict() for section in fastening.waist],
        "weakest_area_mm2": fastening.weakest_mm2, "weakest_length_mm": fastening.weakest_mm,
        "class": strength.name, "class_from_memory": strength.from_memory, "proof_mpa": strength.proof_mpa,
        "yield_mpa": strength.yield_mpa, "tensile_mpa": strength.tensile_mpa, "hardest_mpa": strength.hardest_mpa,
        "proof_load_n": fastening.proof_n, "yield_load_n": strength.yield_mpa * fastening.weakest_mm2,
        "yield_with_twist_n": yields, "tensile_load_n": fastening.tensile_n, "hardest_load_n": fastening.hardest_n,
        "springs": [spring._asdict() | {"mm_per_n": spring.mm_per_n} for spring in fastening.springs],
        "stiffness_n_per_mm": fastening.screw_n_per_mm,
    }  # fmt: skip


def _stage_data(reached: Reached, fastening: Fastening) -> dict[str, Any]:
    window: Window | None = reached.window
    return {
        "stage": reached.stage,
        "turn_deg": reached.turn_deg,
        "low_deg": window.low_deg if window else None,
        "high_deg": window.high_deg if window else None,
        "reading_U_deg": reached.reading_deg,
        "advance_mm": reached.advance_mm,
        "stretch_mm": reached.stretch_mm,
        "squeeze_mm": reached.squeeze_mm,
        "plastic": reached.plastic._asdict(),
        **_tension_data(reached.tensions, fastening),
    }


def _tension_data(tensions: Tensions, fastening: Fastening) -> dict[str, Any]:
    mid, proof = tensions.mid_n, fastening.proof_n
    return {
        **{f"tension_{name}": value for name, value in tensions._asdict().items()},
        "of_proof_load": None if mid is None or proof is None else mid / proof,
        "of_yield_with_twist": None if mid is None else mid / fastening.yields_n[1],
    }


def _scatter_data(scatter: Scatter) -> dict[str, Any]:
    return {
        "tension_low_n": scatter.low_n,
        "tension_high_n": scatter.high_n,
        "scatter_percent": scatter.percent,
        "from": {part.source: part.percent for part in scatter.parts},
    }


def text(plan: StretchPlan) -> str:
    """Return the numbers as lines of at most 80 columns."""
    return "\n".join([
        *(line for name, words in facts(plan) for line in pair(name, words)),
        "", *_columns(*spring_table(plan)),
        "", *_columns(*stage_table(plan)),
        "", *_paragraphs([*way_to_yield(plan), *findings(plan)]),
        "", *_paragraphs([f"{comparison_head(plan)}. {same_kind(plan)}"]),
        *_columns((), compared(plan)),
        "", *_columns(*part_table(plan)),
        "", *_paragraphs(assumptions(plan.job.fastening.thread.unit == "in")),
        "", *_paragraphs([TEACHING]),
    ])  # fmt: skip


def _columns(titles: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """Rows below their titles, the first column at the left and the others at the right of their width."""
    lines = [titles, *rows] if titles else list(rows)
    widths = [max(len(line[k]) for line in lines) for k in range(len(lines[0]))]
    return [
        "  ".join(cell.rjust(w) if k else cell.ljust(w) for k, (cell, w) in enumerate(zip(line, widths, strict=True)))
        for line in lines
    ]


def _paragraphs(sentences: list[str]) -> list[str]:
    return [line for sentence in sentences for line in textwrap.wrap(sentence, COLUMNS)]
