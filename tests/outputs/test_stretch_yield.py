"""What is known where the turn reaches yield, and what is warned of."""

from __future__ import annotations

import itertools
import math
import re

import pytest

from kit.collisions import check
from kit.each import each
from kit.measure import placed_texts
from kit.stretch import BEYOND, ELASTIC, FLAWLESS, a_plan, a_sheet, mid_n, said
from marking.errors import RangeError
from marking.outputs.stretch.report import data as stretch_data
from marking.outputs.stretch.report import text as as_stretch_text
from marking.outputs.stretch.sheet import draw as stretch_document


def test_tension_and_twist_together_reach_the_yield_strength() -> None:
    """Von Mises over a section that yields all through: σ = F/A, τ = M / (π d³/12), M from the thread alone."""
    fastening = a_plan(friction="0.13").job.fastening
    force, d2 = fastening.yields_n[1], 12 - 0.649519 * 1.75
    twist_nmm = force * (1.75 / math.tau + 0.13 / math.cos(math.radians(30)) * d2 / 2)
    diameter = math.sqrt(4 * 84.3 / math.pi)
    sigma, tau = force / 84.3, twist_nmm / (math.pi * diameter**3 / 12)
    assert math.sqrt(sigma**2 + 3 * tau**2) == pytest.approx(940, rel=1e-5)


def test_yield_is_reached_where_the_elastic_line_meets_it() -> None:
    low, mid, high = a_plan(*BEYOND).yield_turns_deg
    assert low < mid < high
    almost, past = (a_plan(f"110 N·m + {mid + step:.9f}°", *BEYOND[1:]) for step in (-1e-6, 1e-6))
    assert mid_n(almost) == pytest.approx(almost.job.fastening.yields_n[1], rel=1e-6)
    assert past.passes_yield


@each("spec", ["20 N·m + 90°", "110 ±5 N·m + 90°"])
def test_the_soonest_and_the_latest_yield_hold_those_of_every_friction_in_thread_and_under_the_head(spec: str) -> None:
    """The wrench may be off by 4 % as well; thread and head need not rub alike."""
    plan = a_plan(spec, *BEYOND[1:])
    off = 1.04 * 115 / 110 if "±" in spec else 1.04
    every = (0.10, 0.13, 0.16)
    found = [
        (fastening.yield_n(thread) - snug * by * 1000 / fastening.torque_arm_mm(thread, head)) / fastening.n_per_deg
        for fastening, snug in [(plan.job.fastening, 110 if "±" in spec else 20)]
        for thread, head, by in itertools.product(every, every, (off, 1, 0.96 * (2 - off / 1.04)))
    ]
    soonest, _, latest = plan.yield_turns_deg
    assert (soonest, latest) == pytest.approx((min(found), max(found)), rel=1e-9)
    assert f"({soonest:.1f}° to {latest:.1f}° over all limits)" in " ".join(as_stretch_text(plan).split())


def test_harder_bolts_of_the_class_scatter_more_than_those_of_just_its_strength() -> None:
    plan = a_plan(*BEYOND)
    low, high = plan.last.tensions.low_n, 1220 * 84.3
    wanted = 100 * (high - low) / (high + low)
    assert plan.comparison.harder_percent == pytest.approx(wanted)
    assert f"to ±13.6 %, up to its limit of hardness ±{wanted:.1f} %. By torque alone" in said(plan)
    assert "for a bolt of just its class's strength" in " ".join(as_stretch_text(plan).split())
    stainless = a_plan("20 N·m + 360°", "M12", "A2-70", "60 mm")
    assert stainless.comparison.harder_percent is None
    assert "up to its limit" not in said(stainless)


@each("turn", ["53° ±1", "22° ±3"])
def test_near_to_yield_friction_still_matters_and_the_bolts_strength_is_not_said_to_bound_alone(turn: str) -> None:
    far, near = a_plan(*BEYOND), a_plan(f"{'110' if turn < '3' else '40'} N·m + {turn}", *BEYOND[1:])
    assert (far.all_yield, near.all_yield, near.comparison.then_turn.parts) == (True, False, ())
    assert "the friction at snug matters little" in said(far)
    assert "matters little" not in said(near)
    assert "own strength bounds" not in said(near)
    assert "together they leave" in said(near)
    assert ("friction at snug still matters" in said(near)) is near.passes_yield is (turn < "3")
    assert "all limits together" in as_stretch_text(near)


def test_beyond_yield_there_are_bounds_and_no_middle() -> None:
    plan = a_plan(*BEYOND)
    fastening, last = plan.job.fastening, plan.last
    assert last.tensions[:2] == (fastening.yields_n[2], None)
    assert last.tensions.high_n == pytest.approx(1040 * 84.3)
    assert (last.stretch_mm, last.squeeze_mm) == (None, None)
    assert plan.comparison.aim_n == fastening.yields_n[1]
    assert plan.comparison.then_turn.parts == ()
    words = said(plan)
    for told in ("there is no curve, only bounds", "Once: a bolt that may have yielded", "103 kN"):
        assert told in words
    row = next(line for line in as_stretch_text(plan).splitlines() if line.startswith("turn  "))
    assert row.split() == ["turn", "90°", "0.438", "mm", "–", "–", "66.7", "kN", "–", "87.7", "kN"]


def test_what_of_the_advance_the_tension_does_not_take_stays_in_the_screw() -> None:
    plan = a_plan(*BEYOND, **FLAWLESS)
    fastening, plastic = plan.job.fastening, plan.last.plastic
    advance = [1.75 * deg / 360 for deg in (90, 100)]
    for snug_n, end_n, way, kept in (
        (plan.snug.low_n, fastening.tensile_n, advance[0], plastic.low_mm),
        (plan.snug.high_n, fastening.yields_n[2], advance[1], plastic.high_mm),
    ):
        taken = (end_n - snug_n) * (1 / fastening.screw_n_per_mm + 1 / fastening.joint_n_per_mm)
        assert kept == pytest.approx(way - taken, rel=1e-9)
    assert plastic.low_share == pytest.approx(plastic.low_mm / (60 + 6))
    assert plastic.high_share == pytest.approx(plastic.high_mm / (60 + 6)), "free thread and half a diameter more"


def test_a_turn_well_below_yield_keeps_nothing_and_leaves_reuse_to_the_manual() -> None:
    plan = a_plan()
    assert plan.last.plastic == (0, 0, 0, 0)
    assert not plan.may_yield
    assert "may be used again, the manual says" in said(plan)


def test_a_turn_whose_worst_case_may_yield_is_for_one_use() -> None:
    plan = a_plan("40 N·m + 50° ±3", *BEYOND[1:])
    assert (plan.passes_yield, plan.may_yield) == (False, True)
    assert 0 == plan.last.plastic.low_mm < plan.last.plastic.high_mm <= 0.002 * 66
    assert "Once: a bolt that may have yielded" in said(plan)


def test_the_least_tension_springs_back_keeps_up_to_two_parts_in_a_thousand_then_stands() -> None:
    fastening = a_plan(*BEYOND).job.fastening
    limit, yields = fastening.elastic_n, fastening.yields_n[2]
    kept_n = 0.002 * 66 / fastening.mm_per_n
    for elastic, least in (
        (0.9 * limit, 0.9 * limit), (limit, limit), (limit + kept_n, limit), (limit + kept_n + 1000, limit + 1000),
        (yields + kept_n, yields), (9 * yields, yields),
    ):  # fmt: skip
        assert fastening.least_n(elastic) == pytest.approx(least, rel=1e-9)


def test_stainless_screws_have_no_proof_load_and_a_softer_modulus() -> None:
    plan = a_plan("20 N·m + 5° ±2", "M12", "A2-70", "60 mm")
    fastening = plan.job.fastening
    assert (fastening.proof_n, plan.proof_turn_deg, fastening.springs[0].modulus_mpa) == (None, None, 200_000)
    text = " ".join(as_stretch_text(plan).split())
    for told in ("none in its standard", "strengths from memory", "its standard sets no upper limit"):
        assert told in text
    assert stretch_data(plan)["screw"]["class_from_memory"] is True


def test_a_turn_that_may_tear_the_weakest_length_is_warned_of() -> None:
    far, near = (a_plan(f"110 N·m + {turn}°", "M12", "12.9", "60 mm") for turn in (720, 100))
    assert ["may-break" in [warning.code for warning in plan.warnings] for plan in (far, near)] == [True, False]
    short = a_plan("100 N·m + 180°", "M12", "10.9", "60 mm", shank="60 mm")
    assert "may-break" in [warning.code for warning in short.warnings], "all of it in half a diameter of thread"


def test_dangers_stand_among_the_findings_on_paper_too() -> None:
    plans = {
        "The turn may break the bolt: where it is weakest": a_plan("110 N·m + 720°", "M12", "12.9", "60 mm"),
        "At low friction the snug torque alone": a_plan("95 N·m + 2°", "M12", "8.8", "60 mm"),
        "stainless steel rubs harder": a_plan("20 N·m + 5° ±2", "M12", "A4-80", "60 mm"),
    }
    for words, plan in plans.items():
        assert words in said(plan)
        assert words not in said(a_plan())
    assert "rubs harder" not in said(a_plan("20 N·m + 5° ±2", "M12", "A4-80", "60 mm", friction="0.12..0.3"))


def test_a_snug_torque_that_alone_makes_the_screw_yield_is_refused() -> None:
    with pytest.raises(RangeError, match=r"alone takes M12 × 1.75, .* to its yield; expected less than 99.7 N·m"):
        a_plan("120 N·m + 30°", "M12", "8.8", "60 mm")


def test_the_snug_torque_that_would_do_is_told_in_the_units_of_the_spec() -> None:
    with pytest.raises(RangeError) as caught:
        a_plan("120 lbf·ft + 30°", "M12", "8.8", "60 mm")
    told = re.search(r"expected less than ([\d.]+) lbf·ft at mid friction", str(caught.value))
    assert told
    assert float(told[1]) * 1.355818 == pytest.approx(99.72, abs=0.06)
    assert a_plan(f"{float(told[1]) - 0.1:.2f} lbf·ft + 30°", "M12", "8.8", "60 mm").passes_yield


def test_turns_that_add_up_are_headed_as_totals() -> None:
    lines = as_stretch_text(a_plan("40 N·m + 20° ±2 + 10° ±2", *ELASTIC[1:])).splitlines()
    title = next(number for number, line in enumerate(lines) if line.startswith("after"))
    assert lines[title].split()[1] == "total"
    assert [lines[title + k].split()[2] for k in (2, 3)] == ["20°", "30°"]
    sheet = a_sheet("40 N·m + 20° + 10°", *ELASTIC[1:])
    assert "total" in {text.text for page in sheet.pages for text in placed_texts(page)}
    assert any(line.split()[:2] == ["after", "turn"] for line in as_stretch_text(a_plan()).splitlines())


def test_a_snug_torque_that_does_so_at_low_friction_only_is_warned_of() -> None:
    plan = a_plan("95 N·m + 2°", "M12", "8.8", "60 mm")
    assert any("at low friction the snug torque alone" in str(warning) for warning in plan.warnings)
    check(stretch_document(plan))
