"""What report and sheet tell of a plan: its values, handed to the words."""

from __future__ import annotations

from ...quantities.shown import shown_degrees
from ...sheets.words import led
from .given_words import (
    bearing_fact,
    bolt_fact,
    friction_fact,
    joint_fact,
    reading_fact,
    settling_fact,
    spring_rows,
    spring_titles,
    strength_facts,
    wrench_fact,
)
from .plan import Scatter, StretchPlan
from .units import Units, units_of
from .words import (
    AFTER_TURN,
    BY_TURN,
    LAST_RUN,
    MAY_BREAK,
    NONE_HERE,
    PART_TITLES,
    SAME_KIND,
    SAME_KIND_BOUNDED,
    SNUG_PASSES_YIELD,
    STAINLESS,
    USE_AGAIN,
    USE_ONCE,
    beyond_yield,
    breaks,
    by_torque,
    comparison_heading,
    each_degree,
    elastic_result,
    gain,
    harder,
    if_rigid,
    interval,
    maybe_plastic,
    part_rows,
    plastic_stretch,
    spread,
    stage_name,
    stage_titles,
    where_it_yields,
    where_proof_is,
)

Rows = list[tuple[str, ...]]


def facts(plan: StretchPlan) -> list[tuple[str, str]]:
    """What went in and what follows from it alone, as (name, words)."""
    job, fastening, units, snug = plan.job, plan.job.fastening, units_of(plan), plan.job.run.snug
    settling = settling_fact(
        units.small(fastening.settling_mm), units.force(fastening.settling_n), fastening.given_settling_mm is not None
    )
    given = job.given_reading_deg is not None
    several = len(plan.stages) > 1
    return [
        ("spec", job.spec.read_as),
        ("snug torque", snug.both if snug else "hand tight" if job.run.hand_tight else "none"),
        ("bolt (screw)", bolt_fact(fastening, units)),
        ("joint", joint_fact(fastening, units)),
        ("friction", friction_fact(fastening)),
        ("bearing", bearing_fact(fastening, units)),
        ("wrench", wrench_fact(plan.wrench_percent, job.given_wrench_percent is not None)),
        ("reading", reading_fact(plan.last.reading_deg, job.readout, units.given(job.od_mm), given, several)),
        ("settling", settling),
        *strength_facts(fastening, units),
    ]


def spring_table(plan: StretchPlan) -> tuple[tuple[str, ...], Rows]:
    """What each part adds, under its titles."""
    units = units_of(plan)
    return spring_titles(units), spring_rows(plan.job.fastening, units)


def stage_table(plan: StretchPlan) -> tuple[tuple[str, ...], Rows]:
    """A row for snug and one for each stage, under their titles."""
    units, several = units_of(plan), len(plan.stages) > 1
    rows: Rows = [("snug", *[NONE_HERE] * 4, *_forces(plan.snug, units))]
    for reached in plan.stages:
        moved = (reached.stretch_mm, reached.squeeze_mm)
        rows.append(
            (
                stage_name(reached.stage, several),
                shown_degrees(reached.turn_deg, 1),
                units.length(reached.advance_mm),
                *(NONE_HERE if mm is None else units.length(mm) for mm in moved),
                *_forces(reached.tensions, units),
            )
        )
    return stage_titles(several), rows


def _forces(tensions: tuple[float | None, ...], units: Units) -> list[str]:
    return [NONE_HERE if newtons is None else units.force(newtons) for newtons in tensions]


def way_to_yield(plan: StretchPlan) -> list[str]:
    """What a degree does, and when the bolt yields."""
    fastening, units = plan.job.fastening, units_of(plan)
    rigid, textbook = map(fastening.per_degree, (fastening.rigid_ends_n_per_mm, fastening.textbook_n_per_mm))
    soonest, at_mid, latest = (shown_degrees(deg, 1) for deg in plan.yield_turns_deg)
    found = [
        each_degree(units.both(fastening.n_per_deg), fastening.stretch_share),
        if_rigid(units.force(rigid), units.force(textbook)),
        where_it_yields(units.both(fastening.yields_n[1]), at_mid, soonest, latest),
    ]
    if plan.proof_turn_deg is not None:
        before = plan.proof_turn_deg <= plan.yield_turns_deg[1]
        found.append(where_proof_is(shown_degrees(plan.proof_turn_deg, 1), before))
    return found


DANGERS = {MAY_BREAK.code, SNUG_PASSES_YIELD.code, STAINLESS.code, LAST_RUN.code, AFTER_TURN.code}
"""Warnings without which the numbers would mislead, so that they stand among them on paper too."""


def findings(plan: StretchPlan) -> list[str]:
    """What the numbers say about this spec, dangers first."""
    dangers = (str(warning) for warning in plan.warnings if warning.code in DANGERS)
    return [*(f"{led('', words)}." for words in dangers), *_results(plan)]


def _results(plan: StretchPlan) -> list[str]:
    fastening, units, last, mid = plan.job.fastening, units_of(plan), plan.last, plan.last.tensions.mid_n
    weakest, plastic = units.given(fastening.weakest_mm), last.plastic
    low, high = (units.length(mm) for mm in (plastic.low_mm, plastic.high_mm))
    if mid is None:
        hardest = fastening.hardest_n
        return [
            *beyond_yield(
                shown_degrees(last.turn_deg, 1),
                shown_degrees(plan.yield_turns_deg[1], 1),
                units.both(last.tensions.low_n),
                units.both(last.tensions.high_n),
                plan.all_yield,
            ),
            plastic_stretch(low, high, plastic.low_share, plastic.high_share, weakest),
            harder(None if hardest is None else units.force(hardest)),
            USE_ONCE,
            *_worth(plan),
        ]
    proof = fastening.proof_n
    result = elastic_result(units.both(mid), mid / proof if proof else None, mid / fastening.yields_n[1])
    kept = [maybe_plastic(high, plastic.high_share, weakest), USE_ONCE] if plan.may_yield else [USE_AGAIN]
    return [result, *kept, *_worth(plan)]


def frictions_are_one(plan: StretchPlan) -> bool:
    """Tell whether low and high friction are the same."""
    low, _, high = plan.job.fastening.arms_mm
    return low == high


def _worth(plan: StretchPlan) -> list[str]:
    """What the turn gains over torque alone."""
    torque, turn = plan.comparison.torque_only, plan.comparison.then_turn
    run = plan.job.run
    said = gain(
        torque.percent,
        turn.percent,
        plan.comparison.snug_share,
        run.snug is not None,
        plan.last.window is not None,
        frictions_are_one(plan),
        turn.parts,
        plan.comparison.harder_percent,
        plan.all_yield,
    )
    return [*said, *([breaks()] if torque.high_n is None else [])]


def comparison_head(plan: StretchPlan) -> str:
    """What both methods are aimed at."""
    return comparison_heading(units_of(plan).both(plan.comparison.aim_n), plan.passes_yield)


def same_kind(plan: StretchPlan) -> str:
    """What both intervals are."""
    return SAME_KIND if plan.comparison.then_turn.parts else SAME_KIND_BOUNDED


def methods(plan: StretchPlan) -> list[tuple[str, Scatter]]:
    """Both methods by name."""
    comparison = plan.comparison
    alone = by_torque(units_of(plan).torque(comparison.torque_nm))
    return [(alone, comparison.torque_only), (BY_TURN, comparison.then_turn)]


def compared(plan: StretchPlan) -> Rows:
    """The comparison that is the point of the method: (method, scatter, interval of tension)."""
    units = units_of(plan)
    return [
        (
            name,
            spread(scatter.percent),
            interval(units.force(scatter.low_n), None if scatter.high_n is None else units.force(scatter.high_n)),
        )
        for name, scatter in methods(plan)
    ]


def part_table(plan: StretchPlan) -> tuple[tuple[str, ...], Rows]:
    """What the scatter of both methods is made of, under its titles."""
    torque, turn = plan.comparison.torque_only, plan.comparison.then_turn
    return PART_TITLES, part_rows(torque.parts, turn.parts, torque.percent, turn.percent, plan.all_yield)
