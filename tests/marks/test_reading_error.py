"""The reading error, the aim zone, and what is said when the window cannot be proved."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.measure import a_job
from marking.fastening.spec import Window
from marking.marks.reading_error import ErrorModel
from marking.outputs.job.band_plan import plan_job
from marking.outputs.job.report import data as as_data
from marking.readouts.band.error import band_contributions, sufficient_od_mm


def test_contributions_are_those_of_the_table_of_the_method() -> None:
    """Worked by hand for θ = 100°, D = 27.8 mm, t = 0.1 mm and the default half-widths."""
    found = {
        c.name: (c.half_width, c.sensitivity) for c in band_contributions(100, 27.8, 0.1, "measured", ErrorModel())
    }
    face = 360 / (math.pi * 28.0)
    expected = {
        "outside diameter": (0.05, 100 / 27.9),
        "stock thickness": (0.02, 100 / 27.9),
        "print scale": (0.5, 1.0),  # half a per cent of 100° is 0.5°
        "witness mark": (0.25, face),
        "stop reading": (0.25, face),
        "parallax at START": (math.tan(math.radians(10)), face),
        "parallax at the stop": (math.tan(math.radians(10)), face),
    }
    assert found.keys() == expected.keys()
    for name, values in expected.items():
        assert found[name] == pytest.approx(values), name


def test_a_strip_measured_round_the_socket_has_its_own_error() -> None:
    first = band_contributions(100, 27.8, 0.1, "around", ErrorModel())[0]
    assert first.half_width == pytest.approx(0.25 / math.pi)


def test_the_aim_lies_in_the_middle_of_the_window_less_the_reading_error() -> None:
    budget = plan_job(a_job()).budgets[0]
    zone = budget.aim_zone
    assert zone is not None
    assert zone.low_deg == pytest.approx(90 + budget.expanded_deg)
    assert zone.high_deg == pytest.approx(100 - budget.expanded_deg)
    assert budget.aim_deg == pytest.approx(95)
    assert budget.expanded_deg == pytest.approx(2 * math.sqrt(sum(c.u_deg**2 for c in budget.contributions)))


def test_an_aim_zone_that_is_empty_is_said_with_the_diameter_that_would_do() -> None:
    plan = plan_job(a_job("20 N·m + 90° +3/-0", 6, "1/4", od="12 mm"))
    assert plan.budgets[0].aim_zone is None
    assert not [mark for mark in plan.marks if mark.kind == "aim"]
    warning = next(w for w in map(str, plan.warnings) if "cannot prove the window 90–93°" in w)
    od = float(warning.split("band on a diameter of at least ")[1].split(" mm")[0])
    assert plan_job(a_job("20 N·m + 90° +3/-0", 6, "1/4", od=f"{od + 0.02} mm")).budgets[0].provable
    assert not plan_job(a_job("20 N·m + 90° +3/-0", 6, "1/4", od=f"{od - 0.2} mm")).budgets[0].provable


def test_no_diameter_helps_against_the_print_scale_alone() -> None:
    assert sufficient_od_mm(Window(300, 301), 300, 330, 0.1, "measured", ErrorModel()) is None
    plan = plan_job(a_job("20 N·m + 200° +0.5/-0", od="60 mm"))
    assert any("no other readout can" in str(warning) for warning in plan.warnings)


def test_without_a_tolerance_there_is_a_stop_line_and_a_warning_but_no_aim() -> None:
    plan = plan_job(a_job("110 N·m + 90°"))
    assert [mark.kind for mark in plan.marks] == ["start", "stop"]
    assert any("tolerance is missing" in str(warning) for warning in plan.warnings)
    assert as_data(plan)["budgets"][0]["aim_low_deg"] is None


def test_without_a_snug_torque_there_is_a_warning() -> None:
    assert any("no snug torque" in str(warning) for warning in plan_job(a_job("90° ±5")).warnings)
    assert not any("no snug torque" in str(warning) for warning in plan_job(a_job("hand tight + 90° ±5")).warnings)


@pytest.mark.parametrize(
    ("option", "text"),
    [
        ("od_error", "0.4 mm"), ("stock_error", "0.4 mm"), ("scale_error", "2 %"), ("witness_error", "0.5 mm"),
        ("stop_error", "0.5 mm"), ("gap", "3 mm"), ("view_angle", "20°"),
    ],
)  # fmt: skip
def test_every_default_can_be_replaced_and_counts(option: str, text: str) -> None:
    usual = plan_job(a_job()).budgets[0].u_deg
    larger: dict[str, Any] = {option: text}
    smaller: dict[str, Any] = {option: text.replace(text.split()[0].rstrip("°"), "0")}
    assert plan_job(a_job(**larger)).budgets[0].u_deg > usual
    assert plan_job(a_job(**smaller)).budgets[0].u_deg < usual


def test_an_error_of_the_length_round_the_socket_counts_only_for_such_a_length() -> None:
    wide: dict[str, Any] = {"around_error": "2 mm"}
    assert plan_job(a_job(**wide)).budgets == plan_job(a_job()).budgets
    around = "87.65 mm"
    assert plan_job(a_job(around=around, **wide)).budgets[0].u_deg > plan_job(a_job(around=around)).budgets[0].u_deg


@given(st.floats(9, 150), st.floats(20, 340))
def test_the_reading_error_falls_with_the_diameter(od: float, turn: float) -> None:
    small = band_contributions(turn, od, 0.1, "measured", ErrorModel())
    large = band_contributions(turn, od + 5, 0.1, "measured", ErrorModel())
    assert sum(c.u_deg**2 for c in large) < sum(c.u_deg**2 for c in small)


def test_whole_turns_add_nothing_to_the_reading_error() -> None:
    one, two = plan_job(a_job("90° ±10")), plan_job(a_job("450° ±10"))
    assert one.budgets[0].u_deg == pytest.approx(two.budgets[0].u_deg)


def test_the_sheet_names_its_assumptions() -> None:
    from marking.outputs.job.words import reading_error

    plan = plan_job(a_job())
    words = " ".join(reading_error(plan.budgets, plan.job.model, "measured"))
    assert "working assumptions" in words
    for value in ("±0.05 mm", "±0.02 mm", "±0.5 %", "±0.25 mm", "10°", "1 mm"):
        assert value in words


def test_the_disc_is_advised_with_its_figures_and_only_when_it_can() -> None:
    from marking.readouts.drive_disc.error import disc_budget
    from marking.readouts.part_ring.error import ring_budget

    plan = plan_job(a_job("20 N·m + 90° +4/-0", 6, "1/4", od="12 mm"))
    (warning,) = [w for w in map(str, plan.warnings) if "what can" in w]
    window = plan.budgets[0].window
    disc = disc_budget(1, 90, window, 70, plan.job.socket.drive, plan.job.model)
    assert disc.provable
    assert f"a drive disc of 70 mm (±{disc.expanded_deg:.1f}°" in warning
    ring = ring_budget(1, 90, window, plan.job.bore_mm, 12, plan.job.model)
    assert not ring.provable
    assert "the part ring" not in warning


def test_the_ring_is_advised_when_the_print_scale_rules() -> None:
    """A long way round a large socket: the band's error grows with the angle, the ring's does not."""
    plan = plan_job(a_job("200 N·m + 170° +2.2/-0", 6, "1", od="90 mm", ring_bore="90.1 mm"))
    (warning,) = [w for w in map(str, plan.warnings) if "what can" in w]
    assert "the part ring (±" in warning


def test_ring_contributions_are_those_of_a_dial_off_its_centre() -> None:
    """By hand for 100° on a bore of 28.8 mm round 27.8 mm: r = 14.4 mm, off by 0.5 mm at most."""
    from marking.readouts.part_ring.error import ring_budget

    found = {
        c.name: (c.half_width, c.sensitivity) for c in ring_budget(1, 100, None, 28.8, 27.8, ErrorModel()).contributions
    }
    per_mm = 180 / (math.pi * 14.4)
    assert found["stop reading"] == pytest.approx((0.25, per_mm))
    assert found["centring"] == pytest.approx((0.5, per_mm * 2 * math.sin(math.radians(50))))
    assert found["unequal print scale"] == pytest.approx((0.2, math.degrees(math.sin(math.radians(100))) / 100))
