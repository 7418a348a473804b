"""What the turn does to the fastener, from the texts of a command line to numbers, and the numbers as JSON data."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from .quantities import ANY_CASE, Scanner, factor, parse_length
from .reading import read_sheet
from .report import spec_data
from .spec import Window, parse_spec
from .strength import MPA, PSI, parse_strength
from .stretch import (
    BEARING_OVER_DIAMETER,
    HOLE_OVER_DIAMETER,
    STEEL_MPA,
    USUAL_FRICTION,
    Fastening,
    Friction,
    Reached,
    Scatter,
    StretchJob,
    StretchPlan,
    Tensions,
)
from .threads import parse_thread

_MODULI = {
    "gpa": (MPA, 1e3), "kn/mm²": (MPA, 1e3), "kn/mm2": (MPA, 1e3), "mpa": (MPA, 1.0), "n/mm²": (MPA, 1.0),
    "n/mm2": (MPA, 1.0), "psi": (PSI, 1.0), "ksi": (PSI, 1e3), "kpsi": (PSI, 1e3), "msi": (PSI, 1e6),
    "mpsi": (PSI, 1e6),
}  # fmt: skip
_MODULUS_UNIT = re.compile("|".join(sorted(map(re.escape, _MODULI), key=len, reverse=True)), ANY_CASE)
_EXPONENT = re.compile(r"[eE]\+?([0-9]{1,2})(?![0-9])|[ ]?[x×·*][ ]?10\^([0-9]{1,2})(?![0-9])")
_TO = re.compile(r"\.{2,3}|…|to\b|[-−–]")


def read_stretch_job(
    spec: str,
    screw: str,
    strength: str,
    grip: str,
    *,
    shank: str | None = None,
    joint_modulus: str | None = None,
    friction: str | None = None,
    thread_friction: str | None = None,
    head_friction: str | None = None,
    bearing: str | None = None,
    hole: str | None = None,
    thread: str = "right",
    witness: str = "fresh",
    paper: str = "a4",
    margin: str | None = None,
    printer: str | None = None,
    title: str = "",
) -> StretchJob:
    """Return the job described by texts as a user writes them: "M12x1.75", "10.9", "60 mm", "0.10..0.16", "70 GPa".

    `friction` gives the limits for thread and bearing face alike; the other two replace them for one of both. Raises a
    MarkingError that says which text is at fault.
    """
    sheet, _ = read_sheet(paper, margin, printer)
    found = parse_thread(screw)
    grip_length = parse_length(grip, "grip")
    both = USUAL_FRICTION if friction is None else parse_friction(friction)
    fastening = Fastening(
        thread=found,
        strength=parse_strength(strength, found),
        grip_mm=grip_length.mm,
        bearing_mm=_mm_or(bearing, "bearing face", BEARING_OVER_DIAMETER * found.diameter_mm),
        hole_mm=_mm_or(hole, "hole", HOLE_OVER_DIAMETER * found.diameter_mm),
        shank_mm=0.0 if shank is None else parse_length(shank, "shank", zero=True).mm,
        joint_mpa=STEEL_MPA if joint_modulus is None else parse_modulus(joint_modulus),
        thread_friction=both if thread_friction is None else parse_friction(thread_friction, "thread friction"),
        head_friction=both if head_friction is None else parse_friction(head_friction, "head friction"),
    )
    return StretchJob(parse_spec(spec, thread), fastening, witness, grip_length.unit, sheet, title)


def _mm_or(text: str | None, subject: str, usual_mm: float) -> float:
    return usual_mm if text is None else parse_length(text, subject).mm


def parse_friction(text: str, subject: str = "friction") -> Friction:
    """Read the limits of a coefficient of friction: "0.10..0.16", "0,1 to 0,16", or one value.

    Raises TextInputError.
    """
    scan = Scanner(text, subject)
    low, _ = scan.number("a coefficient such as 0.10, or limits such as 0.10..0.16")
    high = low
    if scan.take(_TO):
        high, _ = scan.number("the upper limit, such as 0.16")
    scan.expect_end()
    return Friction(float(low), float(high))


def parse_modulus(text: str, subject: str = "joint modulus") -> float:
    """Read a modulus of elasticity and return it in MPa: "70 GPa", "210000 N/mm²", "10e6 psi", "14 Mpsi".

    Raises TextInputError.
    """
    scan = Scanner(text, subject)
    value, tidy = scan.number("a modulus such as 70 GPa")
    power = scan.take(_EXPONENT)
    found = scan.take(_MODULUS_UNIT)
    if not found:
        what = "has no unit" if scan.at_end() else "has an unknown unit"
        raise scan.failure(what, "GPa, MPa, N/mm², psi, ksi or Mpsi", f"write {tidy} GPa or {tidy} Mpsi")
    scan.expect_end()
    unit, times = _MODULI[found[0].lower()]
    exponent = int(power[1] or power[2]) if power else 0
    return float(value) * 10.0**exponent * times * factor(unit, MPA)


def stretch_data(plan: StretchPlan, notes: Sequence[str] = (), files: Sequence[str] = ()) -> dict[str, Any]:
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
        "notes": list(notes),
        "warnings": list(plan.warnings),
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
