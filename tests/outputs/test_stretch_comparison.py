"""Torque and turn beside torque alone."""

from __future__ import annotations

import math
from typing import Any

import pytest

from kit.each import each
from kit.stretch import BEYOND, ELASTIC, FLAWLESS, a_plan, mid_n, said
from marking.outputs.stretch.report import text as as_stretch_text


def test_torque_alone_is_aimed_at_the_same_tension_and_scatters_with_friction() -> None:
    """The torque is set for mid friction; at each limit another screw gets another tension from it."""
    plan = a_plan(**FLAWLESS)
    found = plan.comparison
    assert found.aim_n == mid_n(plan)
    ends = (("0.10", found.torque_only.high_n), ("0.13", found.aim_n), ("0.16", found.torque_only.low_n))
    for friction, tension in ends:
        alone = a_plan(f"{found.torque_nm:.9f} N·m + 0.001°", *ELASTIC[1:], friction=friction)
        assert alone.snug.mid_n == pytest.approx(tension, rel=1e-8)


def test_both_methods_leave_half_the_width_of_their_interval_over_its_middle() -> None:
    comparison = a_plan().comparison
    for scatter in (comparison.torque_only, comparison.then_turn):
        low, high = scatter.low_n, scatter.high_n
        assert high is not None
        assert scatter.percent == pytest.approx(100 * (high - low) / (high + low), rel=1e-9)


def test_the_parts_of_a_scatter_add_up_to_it_and_each_is_what_it_alone_leaves() -> None:
    comparison = a_plan().comparison
    sources = {"friction", "wrench"}, {"friction", "wrench", "window", "reading", "settling"}
    for scatter, names in zip((comparison.torque_only, comparison.then_turn), sources, strict=True):
        assert {part.source for part in scatter.parts} == names
        assert math.fsum(part.percent for part in scatter.parts) == pytest.approx(scatter.percent, rel=1e-9)
    without = a_plan(reading_error="0°").comparison.then_turn
    (low, high), rate = (without.low_n, without.high_n), a_plan().job.fastening.n_per_deg
    reading = next(part.percent for part in comparison.then_turn.parts if part.source == "reading")
    assert high is not None
    assert reading == pytest.approx(100 * 2 * a_plan().stages[0].reading_deg * rate / (high + low), rel=1e-9)


def test_a_turn_that_is_read_worse_than_it_is_long_leaves_parts_that_still_add_up() -> None:
    scatter = a_plan("hand tight + 2° ±1", *ELASTIC[1:]).comparison.then_turn
    assert scatter.low_n == 0
    assert scatter.percent == pytest.approx(100)
    assert math.fsum(part.percent for part in scatter.parts) == pytest.approx(100)


def test_a_small_snug_torque_leaves_less_scatter_than_torque_alone() -> None:
    found = a_plan("10 N·m + 60° ±2", *ELASTIC[1:]).comparison
    assert found.then_turn.percent < 0.6 * found.torque_only.percent


def test_it_says_when_the_snug_torque_is_so_large_that_the_turn_gains_little() -> None:
    words = said(a_plan("70 N·m + 5° ±1", *BEYOND[1:], **FLAWLESS))
    assert "the turn gains little over torque alone: the snug torque makes 88 % of the tension" in words
    assert "The turn cuts the scatter" in said(a_plan(**FLAWLESS))


@each(
    ("spec", "more", "why"),
    [
        ("10 N·m + 20° ±12", {}, "the window is wide"),
        ("10 N·m + 10° ±1", {}, "read too coarsely"),
        ("10 N·m + 10° ±1", {"reading_error": "0°", "settling": "0.05 mm"}, "loses much of its tension"),
    ],
)
def test_it_says_why_the_turn_gains_nothing(spec: str, more: dict[str, Any], why: str) -> None:
    words = said(a_plan(spec, *ELASTIC[1:], **more))
    assert "the turn gains nothing over torque alone" in words
    assert why in words


def test_one_value_of_friction_scatters_nothing_and_is_said_so() -> None:
    plan = a_plan(friction="0.12")
    assert plan.comparison.torque_only.percent == pytest.approx(4)
    assert "give limits" in said(plan)
    assert "give limits" not in said(a_plan())


def test_torque_alone_that_may_break_the_screw_has_no_upper_end() -> None:
    plan = a_plan(*BEYOND, friction="0.08..0.2")
    assert plan.comparison.torque_only.high_n is None
    assert "a bolt may break" in said(plan)
    assert "until it breaks" in as_stretch_text(plan)
    assert "a bolt may break" not in said(a_plan())
