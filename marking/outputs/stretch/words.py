"""What the turn does to the fastener, as text: the numbers for a terminal, and the sentences that the sheet shares."""

from __future__ import annotations

from collections.abc import Iterable

from ...fastening.elastic import Fastening
from ...quantities.shown import rounded, shown_degrees, trimmed
from ...quantities.units import factor
from ...sheets.words import CAUTIONS
from .plan import Comparison, Scatter, StretchPlan
from .units import Units, units_of

LIMITED, THREADED = "limited by the screw", "thread through the whole grip"

BEYOND = "beyond"
"""What stands in place of a tension beyond the proof load."""

TEACHING = (
    "These are teaching numbers, not tightening instructions. The manufacturer's manual decides: torque, angle, order, "
    "lubricant and reuse."
)

STRETCH_CAUTIONS = (TEACHING, *CAUTIONS[1:])

LITTLE_GAIN = 0.75
"""A scatter above this part of that of torque alone counts as little gained (our choice)."""


def percent(part: float) -> str:
    """A part of 1 as a whole percentage: "87 %"."""
    return f"{trimmed(100.0 * part, 0)} %"


def spread(scatter: Scatter) -> str:
    """A scatter as printed: "±20 %", "up to ±12 %", or "not stated" where the spec gives none."""
    if scatter.percent is None:
        return "not stated"
    return f"{'up to ' if scatter.at_most else ''}±{trimmed(scatter.percent, 1)} %"


def tension_range(scatter: Scatter, units: Units) -> str:
    """The ends of a range of tensions: "56 kN to 69 kN", "58.3 kN to beyond"."""
    low, high = _forces((scatter.low_n, scatter.high_n), units)
    return low if low == high else f"{low} to {high}"


def facts(plan: StretchPlan) -> list[tuple[str, str]]:
    """What went in and what follows from it alone, as (name, words)."""
    fastening, units = plan.job.fastening, units_of(plan)
    thread, strength, snug = fastening.thread, fastening.strength, plan.job.run.snug
    shank = f"of it {units.given(fastening.shank_mm)} unthreaded shank" if fastening.shank_mm else THREADED
    area = "" if thread.area_source == "table" else " (by formula: not in the tables)"
    return [
        ("spec", plan.job.spec.read_as),
        ("snug torque", snug.both if snug else "hand tight" if plan.job.run.hand_tight else "none"),
        ("screw", f"{thread.name}, {strength.name}, stress area {units.area(thread.area_mm2)}{area}"),
        (
            "joint",
            f"grip {units.given(fastening.grip_mm)}, {shank}; {_parts(fastening, units)}",
        ),
        ("friction", _friction(fastening)),
        ("bearing", f"face {units.given(fastening.bearing_mm)} round a hole of {units.given(fastening.hole_mm)}"),
        (
            "stiffness",
            f"screw {units.stiffness(fastening.screw_n_per_mm)}, joint {units.stiffness(fastening.joint_n_per_mm)}",
        ),
        ("proof load", f"{units.both(fastening.proof_n)}, at {units.stress(strength.proof_mpa)}"),
        ("yield", f"{units.both(fastening.yield_n)}, at {units.stress(strength.yield_mpa)}"),
    ]


def _parts(fastening: Fastening, units: Units) -> str:
    """The joint's modulus in words, with the unit of the thread's system."""
    gpa = f"{rounded(fastening.joint_mpa / 1000.0)} GPa"
    mpsi = fastening.joint_mpa / factor("Mpsi")
    return f"parts of {rounded(mpsi)} Mpsi ({gpa})" if units.inch else f"parts of {gpa}"


def _friction(fastening: Fastening) -> str:
    thread, head = fastening.thread_friction, fastening.head_friction
    if thread == head:
        return f"{thread.text} in the thread and under the head"
    return f"{thread.text} in the thread, {head.text} under the head"


def stage_titles(plan: StretchPlan) -> tuple[str, ...]:
    """The titles over `stage_rows`; with several stages the turns are totals from snug, which the spec may not be."""
    turn = "turn" if len(plan.stages) == 1 else "total"
    return ("after", turn, "advance", "stretch", "squeeze", "lowest", "middle", "highest")


def stage_rows(plan: StretchPlan) -> list[tuple[str, ...]]:
    """A row for snug and one for each stage, under `stage_titles`."""
    units = units_of(plan)
    return [
        ("snug", "–", "–", "–", "–", *_forces(plan.snug, units)),
        *(
            (
                f"stage {reached.stage}" if len(plan.stages) > 1 else "turn",
                shown_degrees(reached.turn_deg, 1),
                units.length(reached.advance_mm),
                *(BEYOND if mm is None else units.length(mm) for mm in (reached.stretch_mm, reached.squeeze_mm)),
                *_forces(reached.tensions, units),
            )
            for reached in plan.stages
        ),
    ]


def _forces(tensions: Iterable[float | None], units: Units) -> list[str]:
    return [BEYOND if newtons is None else units.force(newtons) for newtons in tensions]


def way_to_proof(plan: StretchPlan) -> list[str]:
    """What a degree does, and when the proof load is reached."""
    fastening, units = plan.job.fastening, units_of(plan)
    share = fastening.stretch_share
    at_low, at_mid, at_high = (shown_degrees(deg, 1) for deg in plan.proof_turns_deg)
    reach = f"The proof load is reached {at_mid} after snug"
    if plan.job.run.snug and at_low != at_high:
        reach += f" at mid friction ({at_low} at low, {at_high} at high friction)"
    return [
        f"While everything is elastic, a degree of turn adds {units.both(fastening.n_per_deg)}: {percent(share)} of "
        f"the advance stretches the screw, {percent(1 - share)} squeezes the joint.",
        f"{reach}.",
    ]


def findings(plan: StretchPlan) -> list[str]:
    """What the numbers say about this spec."""
    if plan.passes_proof:
        return _beyond_proof(plan)
    fastening, units = plan.job.fastening, units_of(plan)
    mid = plan.comparison.aim_n
    return [
        f"After the turn the tension at mid friction is {units.both(mid)}: {percent(mid / fastening.proof_n)} of the "
        f"proof load, {percent(mid / fastening.yield_n)} of yield.",
        *_scatter_findings(plan),
    ]


def _beyond_proof(plan: StretchPlan) -> list[str]:
    at_mid = shown_degrees(plan.proof_turns_deg[1], 1)
    total = shown_degrees(plan.stages[-1].turn_deg, 1)
    return [
        f"The turn of {total} goes beyond the proof load, which is reached at {at_mid}. There the elastic formulas "
        "stop: beyond it no tension is given.",
        "Specs of torque, then turn often go there by design. Beyond it the screw begins to yield, and what then "
        "limits the tension is the screw itself: the scatter that friction left at snug matters little. A screw that "
        "has yielded keeps part of its stretch, so that it may be for single use; turned too far, it breaks.",
    ]


def _scatter_findings(plan: StretchPlan) -> list[str]:
    then_turn, torque_only = plan.comparison.then_turn, plan.comparison.torque_only
    assert then_turn is not None
    found = []
    if then_turn.at_most:
        found.append(
            "The highest tension is beyond proof, where a screw gains less than it would elastically: the scatter "
            "given is an upper bound."
        )
    if then_turn.percent is None or torque_only.percent is None:
        return [*found, "Without a snug torque and a tolerance there is no scatter to compare."]
    if plan.comparison.snug_percent is None:
        found.append("The tension after snug counts as zero, so that only the window leaves scatter here.")
    if plan.comparison.window_percent is None:
        found.append(
            "Without a tolerance for every turn there is no window: only friction at snug leaves scatter here, less "
            "than there will be."
        )
    return [*found, _gain(plan, then_turn.percent, torque_only.percent, then_turn.at_most)]


def _gain(plan: StretchPlan, then_turn: float, torque_only: float, at_most: bool) -> str:
    share = percent(plan.comparison.snug_share)
    if torque_only == 0:
        return "With one value of friction torque alone has no scatter: give limits, such as 0.10..0.16."
    if then_turn <= LITTLE_GAIN * torque_only:
        part = f"only the {share} of the tension that the snug torque makes" if plan.job.run.snug else "nothing here"
        cut = f"from ±{trimmed(torque_only, 1)} % to {'at most ' if at_most else ''}±{trimmed(then_turn, 1)} %"
        return f"The turn cuts the scatter {cut}. It is counted, not felt: friction scatters {part}."
    why = f"the snug torque makes {share} of the tension, and friction scatters that part as it would by torque alone"
    if (plan.comparison.window_percent or 0.0) > (plan.comparison.snug_percent or 0.0):
        why = "the window is wide for so small a turn"
    gained = "nothing" if then_turn >= torque_only and not at_most else "little"
    return f"Here the turn gains {gained} over torque alone: {why}."


def comparison_rows(plan: StretchPlan) -> list[tuple[str, str, str]]:
    """The comparison that is the point of the method: (method, scatter, range of tension)."""
    comparison, units = plan.comparison, units_of(plan)
    torque = comparison.torque_only
    rows = [(f"torque alone, {units.torque(comparison.torque_nm)}", spread(torque), tension_range(torque, units))]
    then_turn = comparison.then_turn
    if then_turn is None:
        return [*rows, ("torque, then turn", "–", LIMITED)]
    parts = ((f"– of it from {name}", part, "") for name, part in _parts_of_scatter(comparison))
    return [*rows, ("torque, then turn", spread(then_turn), tension_range(then_turn, units)), *parts]


def _parts_of_scatter(comparison: Comparison) -> list[tuple[str, str]]:
    """What the scatter after the turn is made of, as far as it is known: (name, scatter)."""
    parts = (("friction at snug", comparison.snug_percent), ("the window", comparison.window_percent))
    return [(name, f"±{trimmed(part, 1)} %") for name, part in parts if part is not None]


def comparison_heading(plan: StretchPlan) -> str:
    """What the two methods are aimed at."""
    aim = units_of(plan).both(plan.comparison.aim_n)
    if plan.passes_proof:
        return f"Torque alone aimed at the proof load, {aim}, at mid friction; the turn goes beyond it"
    return f"Both aimed at the tension after the turn, {aim} at mid friction"


def scatter_note(plan: StretchPlan) -> str:
    """The aim of both methods, and what the scatter after the turn is made of."""
    parts = [f"{part} from {name}" for name, part in _parts_of_scatter(plan.comparison)]
    made_of = f" The turn leaves {' and '.join(parts)}." if parts else ""
    return f"{comparison_heading(plan)}.{made_of}"


def assumptions(plan: StretchPlan) -> list[str]:
    """Formulas, and what they leave out."""
    area = "ASME B1.1" if plan.job.fastening.thread.unit == "in" else "ISO 898-1"
    return [
        f"Advance = pitch × turn / 360. Stress area: {area}. Stiffness of screw and joint (30° frusta): Shigley's "
        "Mechanical Engineering Design, eq. 8-17 and 8-20. Torque over tension: ISO 16047 and VDI 2230, P/2π + 0.577 µ "
        "d2 + µ Db/2.",
        "Taken for granted: a through screw of steel (207 GPa) with a nut, wide parts of one material. Left out: "
        "stretch within head and nut and settling of the faces, which lower the gain of a turn; twist from the "
        "thread's friction, which makes the screw yield sooner; the error of the torque wrench.",
        "Lowest tension: high friction and the low edge of the window; highest: low friction and the high edge. "
        "Scatter is ± half the range over its middle. Unless given, limits of friction (0.10 to 0.16), bearing face "
        "(1.5 d) and hole (1.1 d) are our choice.",
    ]
