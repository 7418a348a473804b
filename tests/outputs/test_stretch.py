"""What the turn does to the fastener: the mechanics, the report, the charts and the command."""

from __future__ import annotations

import json
import math
import re
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.collisions import check
from kit.commands import Run
from kit.measure import groups, of_role, only, placed_lines, placed_texts, strokes, svg_root
from kit.pdf_reading import pdf_pages
from marking import MarkingError
from marking.drawing.primitives import Document
from marking.errors import RangeError, TextInputError
from marking.fastening.elastic import STEEL_MPA
from marking.figures.plot import ticks
from marking.files.pdf import pdf_bytes
from marking.outputs.stretch.plan import StretchPlan
from marking.outputs.stretch.plan import plan as plan_stretch
from marking.outputs.stretch.report import data as stretch_data
from marking.outputs.stretch.report import text as as_stretch_text
from marking.outputs.stretch.request import parse_friction, parse_modulus
from marking.outputs.stretch.request import read as read_stretch
from marking.outputs.stretch.sheet import draw as stretch_document
from marking.outputs.stretch.words import findings
from marking.sheets.paper import LEFT_MM

ELASTIC = ("40 N·m + 45° ±3", "M12", "10.9", "120 mm")
BEYOND = ("110 N·m + 90° +10/-0", "M12", "10.9", "60 mm")


def a_plan(*texts: str, **more: Any) -> StretchPlan:
    return plan_stretch(read_stretch(*(texts or ELASTIC), **more))


def a_sheet(*texts: str, **more: Any) -> Document:
    return stretch_document(a_plan(*texts, **more))


def mid_n(plan: StretchPlan) -> float:
    tension = plan.stages[-1].tensions.mid_n
    assert tension is not None
    return tension


# -- the mechanics


def test_the_screw_is_as_stiff_as_its_shank_and_its_thread_in_series() -> None:
    """Elongations of the two lengths under 1 kN, worked by hand: F l / (A E)."""
    fastening = a_plan(shank="80 mm").job.fastening
    elongation_mm = 1000 * 80 / (math.pi * 36 * STEEL_MPA) + 1000 * 40 / (84.3 * STEEL_MPA)
    assert fastening.screw_n_per_mm == pytest.approx(1000 / elongation_mm, rel=1e-9)


def test_the_joint_is_as_stiff_as_two_cones_summed_slice_by_slice() -> None:
    """A cone widens by 30° to each side from the bearing face on to the middle of the grip; the hole is the screw's."""
    fastening = a_plan(joint_modulus="70 GPa", bearing="22 mm").job.fastening
    depth = (np.arange(200_000) + 0.5) * 60 / 200_000
    areas = math.pi / 4 * ((22 + 2 * depth * math.tan(math.radians(30))) ** 2 - 12**2)
    elongation_mm = 2 * np.sum(60 / 200_000 / (70_000 * areas))
    assert fastening.joint_n_per_mm == pytest.approx(1 / elongation_mm, rel=1e-6)


def test_stretch_and_squeeze_are_what_the_gained_tension_makes_of_two_springs() -> None:
    plan = a_plan()
    fastening, stage = plan.job.fastening, plan.stages[0]
    assert plan.snug.mid_n is not None
    gained = mid_n(plan) - plan.snug.mid_n
    assert stage.stretch_mm == pytest.approx(gained / fastening.screw_n_per_mm, rel=1e-9)
    assert stage.squeeze_mm == pytest.approx(gained / fastening.joint_n_per_mm, rel=1e-9)
    assert stage.advance_mm == pytest.approx(1.75 * 45 / 360, rel=1e-12)


def test_the_snug_torque_turns_against_the_threads_slope_and_both_frictions() -> None:
    """The work of one turn: tension times pitch, and two frictions along their ways (ISO 16047)."""
    plan = a_plan(friction="0.12")
    torque_nmm, d2, bearing = 40_000.0, 12 - 0.6495 * 1.75, (18 + 13.2) / 2
    work_per_newton = 1.75 + 0.12 * math.pi * d2 / math.cos(math.radians(30)) + 0.12 * math.pi * bearing
    assert plan.snug.mid_n == pytest.approx(torque_nmm * math.tau / work_per_newton, rel=1e-4)


def test_low_friction_gives_the_highest_tension() -> None:
    low, mid, high = (a_plan(friction=value).snug.mid_n for value in ("0.10", "0.13", "0.16"))
    snug = a_plan(friction="0.10..0.16").snug
    assert (snug.high_n, snug.mid_n, snug.low_n) == pytest.approx((low, mid, high), rel=1e-12)


def test_thread_and_head_friction_may_differ() -> None:
    plan = a_plan(thread_friction="0.09", head_friction="0.15..0.20")
    low, _, high = plan.job.fastening.arms_mm
    d2 = 12 - 0.6495 * 1.75
    for arm, head in ((low, 0.15), (high, 0.20)):
        assert arm == pytest.approx(1.75 / math.tau + 0.57735 * 0.09 * d2 + head * 15.6 / 2, rel=1e-4)


def test_the_ends_of_the_window_add_to_the_limits_of_friction() -> None:
    plan = a_plan()
    rate, after, snug = plan.job.fastening.n_per_deg, plan.stages[0].tensions, plan.snug
    assert snug.low_n is not None
    assert snug.high_n is not None
    assert after.low_n == pytest.approx(snug.low_n + 42 * rate, rel=1e-12)
    assert after.high_n == pytest.approx(snug.high_n + 48 * rate, rel=1e-12)


def test_turns_that_begin_anew_add_and_totals_from_snug_do_not() -> None:
    spec = "20 N·m + 20° ±2 + 35° +3/-1"
    fresh = a_plan(spec, *ELASTIC[1:])
    first = a_plan(spec, *ELASTIC[1:], witness="first")
    assert [(s.turn_deg, s.window) for s in fresh.stages] == [(20, (18, 22)), (55, (52, 60))]
    assert [(s.turn_deg, s.window) for s in first.stages] == [(20, (18, 22)), (35, (34, 38))]


def test_a_range_that_lacks_a_window_is_said_to_be_too_narrow() -> None:
    assert "less than there will be" in " ".join(findings(a_plan("40 N·m + 20° ±2 + 10°", *ELASTIC[1:])))
    assert "less than there will be" not in " ".join(findings(a_plan("40 N·m + 20° ±2 + 10° ±2", *ELASTIC[1:])))


def test_one_stage_without_a_tolerance_leaves_no_window_at_the_end() -> None:
    plan = a_plan("20 N·m + 20° + 35° ±3", *ELASTIC[1:])
    assert [stage.window for stage in plan.stages] == [None, None]
    assert any("no tolerance" in str(warning) for warning in plan.warnings)
    assert plan.comparison.window_percent is None


@pytest.mark.parametrize("spec", ["hand tight + 45° ±3", "45° ±3"])
def test_without_a_snug_torque_the_tension_after_snug_is_zero_and_said_so(spec: str) -> None:
    plan = a_plan(spec, *ELASTIC[1:])
    assert plan.snug == (0, 0, 0)
    assert any("taken as zero" in str(warning) for warning in plan.warnings)
    assert mid_n(plan) == pytest.approx(45 * plan.job.fastening.n_per_deg, rel=1e-12)


def test_a_left_hand_thread_has_the_same_numbers() -> None:
    right, left = (stretch_data(a_plan(thread=hand)) for hand in ("right", "left"))
    assert right.pop("spec")["thread"] != left.pop("spec")["thread"]
    assert right == left


# -- the comparison


def test_torque_alone_is_aimed_at_the_same_tension_and_scatters_with_friction() -> None:
    """The torque is set for mid friction; at each limit another screw gets another tension from it."""
    plan = a_plan()
    found = plan.comparison
    assert found.aim_n == mid_n(plan)
    ends = (("0.10", found.torque_only.high_n), ("0.13", found.aim_n), ("0.16", found.torque_only.low_n))
    for friction, tension in ends:
        alone = a_plan(f"{found.torque_nm:.9f} N·m + 0.001°", *ELASTIC[1:], friction=friction)
        assert alone.snug.mid_n == pytest.approx(tension, rel=1e-8)
    low, high = found.torque_only.low_n, found.torque_only.high_n
    assert low is not None
    assert high is not None
    assert found.torque_only.percent == pytest.approx(100 * (high - low) / (high + low), rel=1e-9)


def test_friction_at_snug_and_the_window_make_up_the_scatter_of_the_turn() -> None:
    found = a_plan().comparison
    assert found.then_turn is not None
    assert found.then_turn.percent is not None
    assert found.snug_percent is not None
    assert found.window_percent is not None
    assert found.snug_percent + found.window_percent == pytest.approx(found.then_turn.percent, rel=1e-9)
    low, high = found.then_turn.low_n, found.then_turn.high_n
    assert low is not None
    assert high is not None
    assert found.then_turn.percent == pytest.approx(100 * (high - low) / (high + low), rel=1e-9)


def test_a_small_snug_torque_leaves_less_scatter_than_torque_alone() -> None:
    found = a_plan("10 N·m + 60° ±2", *ELASTIC[1:]).comparison
    assert found.then_turn is not None
    assert found.then_turn.percent is not None
    assert found.torque_only.percent is not None
    assert found.then_turn.percent < 0.5 * found.torque_only.percent


def test_it_says_when_the_snug_torque_is_so_large_that_the_turn_gains_little() -> None:
    said = " ".join(findings(a_plan("90 N·m + 5° ±1", *BEYOND[1:])))
    assert "the turn gains little over torque alone: the snug torque makes 87 % of the tension" in said
    assert "gains little" not in " ".join(findings(a_plan()))


def test_it_says_when_the_window_is_so_wide_that_the_turn_gains_nothing() -> None:
    said = " ".join(findings(a_plan("10 N·m + 20° ±12", *ELASTIC[1:])))
    assert "the turn gains nothing over torque alone: the window is wide" in said


def test_one_value_of_friction_has_no_scatter_to_compare() -> None:
    plan = a_plan(friction="0.12")
    assert plan.comparison.torque_only.percent == 0
    assert "give limits" in " ".join(findings(plan))


# -- the proof load


def test_the_proof_load_is_reached_where_the_elastic_line_meets_it() -> None:
    low, mid, high = a_plan(*BEYOND).proof_turns_deg
    assert low < mid < high
    almost, past = (a_plan(f"110 N·m + {mid + step:.9f}°", *BEYOND[1:]) for step in (-1e-6, 1e-6))
    assert mid_n(almost) == pytest.approx(830 * 84.3, rel=1e-6)
    assert past.passes_proof


def tensions_in(data: Any) -> list[float]:
    """Every tension in JSON data, however deep."""
    if isinstance(data, list):
        return [tension for item in data for tension in tensions_in(item)]
    if not isinstance(data, dict):
        return []
    own = [value for key, value in data.items() if key.startswith("tension_") and isinstance(value, float)]
    return own + [tension for value in data.values() for tension in tensions_in(value)]


def test_beyond_proof_there_is_no_tension_in_json_and_text() -> None:
    plan = a_plan(*BEYOND)
    data = stretch_data(plan, findings(plan))
    stage = data["stages"][0]
    assert [stage[f"tension_{name}_n"] for name in ("low", "mid", "high")] == [None, None, None]
    assert (stage["stretch_mm"], stage["squeeze_mm"], stage["of_proof_load"]) == (None, None, None)
    assert stage["advance_mm"] == pytest.approx(0.4375)
    assert data["beyond_proof"] is True
    assert data["comparison"]["torque_then_turn"] is None
    assert data["comparison"]["aim_n"] == data["screw"]["proof_load_n"] == pytest.approx(830 * 84.3)
    assert max(tensions_in(data)) <= 830 * 84.3
    text = as_stretch_text(plan)
    assert text.splitlines()[12].split() == ["turn", "90°", "0.438", "mm", *["beyond"] * 5]
    assert "the elastic formulas stop" in " ".join(text.split())
    assert "what then limits the tension is the screw itself" in " ".join(text.split())


def test_only_the_highest_tension_beyond_proof_makes_the_scatter_an_upper_bound() -> None:
    plan = a_plan("40 N·m + 70° ±3", *ELASTIC[1:])
    scatter = plan.comparison.then_turn
    assert scatter is not None
    assert not plan.passes_proof
    assert (scatter.high_n, scatter.at_most) == (None, True)
    assert "up to ±" in as_stretch_text(plan)
    assert "an upper bound" in " ".join(findings(plan))


def test_a_snug_torque_that_alone_reaches_the_proof_load_is_refused() -> None:
    with pytest.raises(RangeError, match=r"alone takes M12 × 1.75, .* to its proof load; expected less than 103.1 N·m"):
        a_plan("120 N·m + 30°", "M12", "8.8", "60 mm")


def test_the_snug_torque_that_would_do_is_told_in_the_units_of_the_spec() -> None:
    with pytest.raises(RangeError) as caught:
        a_plan("120 lbf·ft + 30°", "M12", "8.8", "60 mm")
    told = re.search(r"expected less than ([\d.]+) lbf·ft at mid friction", str(caught.value))
    assert told
    assert float(told[1]) * 1.355818 == pytest.approx(103.1, abs=0.06)
    assert a_plan(f"{float(told[1]) - 0.1:.2f} lbf·ft + 30°", "M12", "8.8", "60 mm").passes_proof


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
    assert plan.snug.high_n is None
    assert any("at low friction the snug torque alone" in str(warning) for warning in plan.warnings)
    check(stretch_document(plan))


# -- texts


@pytest.mark.parametrize(
    ("text", "mpa"),
    [
        ("70 GPa", 70_000), ("70 kN/mm²", 70_000), ("210000 N/mm2", 210_000), ("210000 MPa", 210_000),
        ("0,7 GPa", 700), ("10e6 psi", 68_947.57), ("10 × 10^6 psi", 68_947.57), ("10 Mpsi", 68_947.57),
        ("10000 ksi", 68_947.57), ("14 MPSI", 96_526.60),
    ],
)  # fmt: skip
def test_moduli_are_read(text: str, mpa: float) -> None:
    assert parse_modulus(text) == pytest.approx(mpa, rel=1e-6)


BAD_MODULI = {
    "": 0,
    "70": 2,
    "70 GP": 3,
    "70 mm": 3,
    "-70 GPa": 0,
    "nan GPa": 0,
    "70 GPa!": 6,
    "1e999 psi": 1,
    "1 Mpſi": 2,
}


@pytest.mark.parametrize(("text", "position"), BAD_MODULI.items())
def test_unreadable_moduli_are_refused_with_a_caret_under_the_fault(text: str, position: int) -> None:
    with pytest.raises(TextInputError) as caught:
        parse_modulus(text)
    assert caught.value.position == position


@pytest.mark.parametrize("text", ["0.10..0.16", "0,1 to 0,16", "0.1-0.16", "0.1 – .16", "1/10…0.16"])
def test_limits_of_friction_are_read(text: str) -> None:
    assert parse_friction(text) == (0.10, 0.16)


@pytest.mark.parametrize(
    ("text", "position"), {"": 0, "0.1..": 5, "..0.2": 0, "0.1.0.2": 3, "0.1 %": 4, "µ": 0}.items()
)
def test_unreadable_frictions_are_refused_with_a_caret_under_the_fault(text: str, position: int) -> None:
    with pytest.raises(TextInputError) as caught:
        parse_friction(text)
    assert caught.value.position == position


REFUSED = [
    ({"grip": "2 mm"}, "the grip is 2 mm; expected 2.4 mm to 1200 mm"),
    ({"grip": "5 m"}, "the grip is 5000 mm"),
    ({"shank": "121 mm"}, "shank within the grip is 121 mm; expected 0 mm to 120 mm"),
    ({"friction": "0.16..0.10"}, "rising limits"),
    ({"friction": "0.001..0.10"}, "within 0.01 to 1"),
    ({"head_friction": "0.1..1.5"}, "the head friction is 0.1 to 1.5"),
    ({"joint_modulus": "70 MPa"}, "modulus is 0.07 GPa; expected 1 to 1000 GPa"),
    ({"joint_modulus": "10e99 psi"}, "expected 1 to 1000 GPa"),
    ({"hole": "11 mm"}, "the hole is 11 mm; expected 12 mm"),
    ({"bearing": "13 mm"}, "the bearing face is 13 mm; expected 13.86 mm"),
    ({"bearing": "100 mm"}, "expected 13.86 mm to 72 mm"),
    ({"witness": "first", "spec": "10 N·m + 20° + 20°"}, "turns that grow"),
]


@pytest.mark.parametrize(("given_texts", "said"), REFUSED)
def test_fastenings_that_cannot_be_are_refused(given_texts: dict[str, Any], said: str) -> None:
    texts = {"spec": ELASTIC[0], "screw": ELASTIC[1], "strength": ELASTIC[2], "grip": ELASTIC[3], **given_texts}
    with pytest.raises((RangeError, TextInputError)) as caught:
        read_stretch(**texts)
    assert said in str(caught.value)


SPECS = st.builds(
    "{}{}".format,
    st.sampled_from(["", "hand tight + ", "5 N·m + ", "40 N·m + ", "80 N·m + ", "300 N·m + ", "30 lbf·ft + "]),
    st.sampled_from(["5° ±2", "45° ±3", "60° + 30° ±5", "90° +10/-0", "3600°", "1° ±0.5 + 2° ±1", "70° ±5"]),
)
SCREWS = st.sampled_from(
    [
        ("M3", "12.9"),
        ("M8x1", "8.8"),
        ("M12", "10.9"),
        ("M20", "8.8"),
        ("M39", "10.9"),
        ("1/4-20", "5"),
        ("1-1/2-6", "8"),
    ]
)
OPTIONS = st.fixed_dictionaries(
    {
        "shank": st.sampled_from([None, "0 mm", "10 mm", "1/2 in"]),
        "joint_modulus": st.sampled_from([None, "1 GPa", "70 GPa", "600 GPa"]),
        "friction": st.sampled_from([None, "0.12", "0.01..1", "0.08..0.16"]),
    }
)
GRIPS = st.sampled_from(["10 mm", "33.3 mm", "1-3/32 in", "300 mm"])


@settings(max_examples=150, deadline=None)
@given(spec=SPECS, screw=SCREWS, grip=GRIPS, options=OPTIONS)
def test_whatever_is_asked_no_tension_passes_the_proof_load(
    spec: str, screw: tuple[str, str], grip: str, options: dict[str, Any]
) -> None:
    try:
        plan = a_plan(spec, *screw, grip, **options)
    except RangeError:
        return  # refused, with a reason: other tests look at those
    data = stretch_data(plan, findings(plan))
    json.dumps(data, allow_nan=False)
    proof = data["screw"]["proof_load_n"]
    assert all(0 <= tension <= proof * (1 + 1e-9) for tension in tensions_in(data))
    for stage in [data["snug"], *data["stages"]]:
        known = [t for name in ("low", "mid", "high") if (t := stage[f"tension_{name}_n"]) is not None]
        assert known == sorted(known)
    for stage in data["stages"]:
        if stage["stretch_mm"] is not None:
            assert stage["stretch_mm"] + stage["squeeze_mm"] == pytest.approx(stage["advance_mm"], rel=1e-9)
    assert max(map(len, as_stretch_text(plan).splitlines())) <= 80


# -- the text


def test_the_text_is_in_the_units_of_thread_and_grip() -> None:
    metric = as_stretch_text(a_plan())
    assert "proof load   70 kN (15700 lbf), at 830 MPa" in metric
    assert "0.219 mm" in metric
    inch = as_stretch_text(a_plan("30 lbf·ft + 30° ±3", "1/2-13", "8", "4 in"))
    assert "proof load   17000 lbf (75.7 kN), at 120 ksi (827 MPa)" in inch
    assert "0.0064 in" in inch
    mixed = as_stretch_text(a_plan("30 lbf·ft + 30° ±3", "1/2-13", "8", "100 mm"))
    assert "grip 100 mm" in mixed
    assert "17000 lbf" in mixed


def test_the_text_states_what_was_assumed_and_that_the_manual_decides() -> None:
    text = " ".join(as_stretch_text(a_plan()).split())
    for words in ("thread through the whole grip", "our choice", "Left out: stretch within head and nut", "eq. 8-17",
                  "ISO 16047", "teaching numbers, not tightening instructions", "manual decides"):  # fmt: skip
        assert words in text
    unlisted = as_stretch_text(a_plan("40 N·m + 45°", "M12x1", "10.9", "120 mm"))
    assert "(by formula: not in the tables)" in " ".join(unlisted.split())


# -- the charts


def values_to_paper(chart: Any) -> tuple[Any, Any]:
    """Functions from values to places along both axes, from the ticks as drawn."""
    found = []
    for axis, place in (("x", "x1"), ("y", "y1")):
        marks = [line for line in of_role(strokes(chart), "axis-tick") if line.data["axis"] == axis]
        values, places = [float(line.data["value"]) for line in marks], [getattr(line, place) for line in marks]
        assert len(values) >= 2
        found.append(
            lambda v, v0=values[0], v1=values[-1], p0=places[0], p1=places[-1]: p0 + (v - v0) / (v1 - v0) * (p1 - p0)
        )
    return found[0], found[1]


def chart_of(document: Document, name: str) -> Any:
    for page in document.pages:
        for group in groups(svg_root(page, document, name), name):
            return group
    raise AssertionError(name)


def test_the_drawn_lines_of_tension_begin_at_snug_and_end_at_the_proof_load() -> None:
    plan = a_plan(*BEYOND)
    chart = chart_of(stretch_document(plan), "tension-over-turn")
    x, y = values_to_paper(chart)
    for role, snug, turn in (
        ("low-friction", plan.snug.high_n, plan.proof_turns_deg[0]),
        ("high-friction", plan.snug.low_n, plan.proof_turns_deg[2]),
    ):
        line = only(strokes(chart), role)
        assert snug is not None
        ends = (x(0), y(snug / 1000), x(turn), y(69.969))
        assert (line.x1, line.y1, line.x2, line.y2) == pytest.approx(ends, abs=0.002)
    assert of_role(strokes(chart), "tension-range", "guide") == [], "nothing is drawn beyond proof"


def test_the_window_is_drawn_from_its_low_to_its_high_edge() -> None:
    chart = chart_of(a_sheet("10 N·m + 20° ±2 + 25° +3/-1", *ELASTIC[1:]), "tension-over-turn")
    x, _ = values_to_paper(chart)
    lines = strokes(chart)
    assert only(lines, "stop-low").x1 == pytest.approx(x(42), abs=0.002)
    assert only(lines, "stop-high").x1 == pytest.approx(x(50), abs=0.002)
    assert only(lines, "stage-end").x1 == pytest.approx(x(20), abs=0.002)
    hatch = of_role(lines, "hatch")
    assert hatch
    assert all(x(42) - 0.001 <= min(h.x1, h.x2) and max(h.x1, h.x2) <= x(50) + 0.001 for h in hatch)


def test_a_turn_without_a_tolerance_is_one_line() -> None:
    chart = chart_of(a_sheet("10 N·m + 45°", *ELASTIC[1:]), "tension-over-turn")
    x, _ = values_to_paper(chart)
    assert only(strokes(chart), "stop").x1 == pytest.approx(x(45), abs=0.002)
    assert of_role(strokes(chart), "stop-low", "stop-high", "hatch") == []


def test_the_range_of_tension_after_the_turn_stands_beside_its_axis() -> None:
    plan = a_plan()
    chart = chart_of(stretch_document(plan), "tension-over-turn")
    _, y = values_to_paper(chart)
    drawn, (low, _, high) = only(strokes(chart), "tension-range"), plan.stages[0].tensions
    assert low is not None
    assert high is not None
    assert sorted((drawn.y1, drawn.y2)) == pytest.approx([y(low / 1000), y(high / 1000)], abs=0.002)


def test_guides_lead_from_the_window_to_the_axis() -> None:
    """Low edge on the line of high friction, high edge on the line of low friction."""
    plan = a_plan()
    chart = chart_of(stretch_document(plan), "tension-over-turn")
    x, y = values_to_paper(chart)
    low, _, high = plan.stages[0].tensions
    assert low is not None
    assert high is not None
    ends = sorted((line.x2, line.y2) for line in of_role(strokes(chart), "guide"))
    assert np.array(ends) == pytest.approx(np.array([(x(42), y(low / 1000)), (x(48), y(high / 1000))]), abs=0.002)


def test_torque_is_drawn_over_tension_for_both_limits_of_friction() -> None:
    plan = a_plan()
    chart = chart_of(stretch_document(plan), "torque-over-tension")
    x, y = values_to_paper(chart)
    lines, proof = strokes(chart), 69.969
    low, _, high = plan.job.fastening.arms_mm
    for role, arm in (("low-friction", low), ("high-friction", high)):
        line = only(lines, role)
        assert (line.x1, line.y1) == pytest.approx((x(0), y(0)), abs=0.002)
        assert (line.x2, line.y2) == pytest.approx((x(proof), y(proof * arm)), abs=0.002)
    assert only(lines, "torque-snug").y1 == pytest.approx(y(40), abs=0.002)
    assert only(lines, "torque-alone").y1 == pytest.approx(y(plan.comparison.torque_nm), abs=0.002)
    ranges = sorted(of_role(lines, "tension-range"), key=lambda line: line.y1)
    assert [ranges[0].x1, ranges[0].x2] == pytest.approx([x(40 / high), x(40 / low)], abs=0.002)


def test_no_line_of_tension_is_drawn_above_the_proof_load() -> None:
    for texts in (ELASTIC, BEYOND, ("hand tight + 360°", "M8", "8.8", "20 mm")):
        document = a_sheet(*texts)
        tension = chart_of(document, "tension-over-turn")
        limit = only(strokes(tension), "proof-load").y1
        drawn = of_role(strokes(tension), "low-friction", "high-friction", "guide", "tension-range")
        assert drawn
        assert all(max(line.y1, line.y2) <= limit + 0.001 for line in drawn)
        torque = chart_of(document, "torque-over-tension")
        limit = only(strokes(torque), "proof-load").x1
        drawn = of_role(strokes(torque), "low-friction", "high-friction", "tension-range")
        assert all(max(line.x1, line.x2) <= limit + 0.001 for line in drawn)


def test_frictions_that_are_one_are_drawn_once() -> None:
    chart = chart_of(a_sheet(*ELASTIC, friction="0.12"), "torque-over-tension")
    assert len(of_role(strokes(chart), "low-friction")) == 1
    assert of_role(strokes(chart), "high-friction") == []


def test_the_charts_are_in_the_pdf_where_the_drawing_has_them() -> None:
    """Read back by pdfium: the strokes of 0.4 mm are the four lines of friction, and their samples in the key."""
    document = a_sheet()
    (page,) = pdf_pages(pdf_bytes(document))
    found = sorted(line[:4] for line in page.lines if abs(line.width_mm - 0.4) < 0.001)
    words = page.text
    drawn = [line for line in placed_lines(document.pages[0]) if line.role in ("low-friction", "high-friction")]
    wanted = sorted((line.x1, line.y1, line.x2, line.y2) for line in drawn)
    assert len(wanted) == 6
    assert np.array(found) == pytest.approx(np.array(wanted), abs=0.005)
    for text in ("Tension over turn", "Torque over tension", "not tightening instructions", "not elastic"):
        assert text in words


@pytest.mark.parametrize(("limit", "most", "last"), [(85, 5, 80), (100, 5, 100), (0.34, 4, 0.3), (12345, 6, 10000)])
def test_ticks_rise_in_steps_of_one_two_or_five(limit: float, most: int, last: float) -> None:
    found = ticks(limit, most)
    step = found[1]
    assert 2 <= len(found) <= most + 1
    assert found[-1] == pytest.approx(last)
    assert np.diff(found) == pytest.approx(step)
    assert f"{step:.0e}"[0] in "125"
    assert step == pytest.approx(float(f"{step:.0e}"))


@settings(max_examples=60, deadline=None)
@given(
    spec=SPECS, screw=SCREWS, grip=GRIPS, options=OPTIONS,
    paper=st.sampled_from(["a4", "letter", "a5", "a3", "legal", "200x240", "140x297"]),
)  # fmt: skip
def test_no_text_touches_anything_on_any_sheet(
    spec: str, screw: tuple[str, str], grip: str, options: dict[str, Any], paper: str
) -> None:
    try:
        plan = a_plan(spec, *screw, grip, paper=paper, **options)
    except RangeError:
        return
    document = stretch_document(plan)
    check(document)
    for page in document.pages:
        assert min(text.size_pt for text in placed_texts(page)) >= 5.0


def test_results_and_words_of_a_usual_job_fit_one_a4_page() -> None:
    assert len(a_sheet().pages) == len(a_sheet(*BEYOND).pages) == 1
    assert min(line.x1 for line in placed_lines(a_sheet().pages[0]) if line.role == "axis") > LEFT_MM


def test_many_stages_push_the_formulas_to_the_next_page_and_nothing_else() -> None:
    document = a_sheet(" + ".join(["10° ±2"] * 6), *ELASTIC[1:], paper="letter")
    first, second = ([text.text for text in placed_texts(page)] for page in document.pages)
    assert {"What the numbers say", "Cautions"} <= set(first)
    assert "Formulas and assumptions" in second


def test_the_title_is_printed_and_one_that_the_font_lacks_is_refused() -> None:
    title = "Bogie bracket, demo data, not for real equipment"
    assert title in [text.text for text in placed_texts(a_sheet(title=title).pages[0])]
    with pytest.raises(MarkingError, match=r"U\+202E"):
        a_sheet(title="\u202ebracket")


# -- the command


def command(*texts: str) -> list[str]:
    spec, screw, strength, grip = texts or ELASTIC
    return ["stretch", spec, "--screw", screw, "--class", strength, "--grip", grip]


def test_the_command_prints_the_text_and_writes_nothing(run: Run, tmp_path: Any) -> None:
    done = run(*command())
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == as_stretch_text(a_plan()) + "\n"
    assert list(tmp_path.iterdir()) == []


def test_the_command_writes_the_sheet_too(run: Run, tmp_path: Any) -> None:
    for name in ("chart.pdf", "chart.svg"):
        done = run(*command(), "-o", name)
        assert done.stdout.endswith(f"\nwrote {name}: 1 page, A4.\n")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["chart.pdf", "chart.svg"]


def test_json_is_one_object_with_every_number_unrounded(run: Run) -> None:
    done = run(*command(*BEYOND), "--json", "-o", "chart.svg")
    data = json.loads(done.stdout)
    keys = "spec screw joint friction elastic snug stages comparison beyond_proof notes warnings files"
    assert set(data) == {"format", *keys.split()}
    assert data["files"] == ["chart.svg"]
    assert data["elastic"]["n_per_degree"] == a_plan(*BEYOND).job.fastening.n_per_deg
    assert data["stages"][0]["tension_mid_n"] is None


def test_warnings_go_to_stderr(run: Run) -> None:
    done = run(*command("hand tight + 30°", *ELASTIC[1:]))
    assert done.returncode == 0
    assert "warning: hand tight: the tension after snug is taken as zero" in done.stderr


HOSTILE = [
    "",
    "nan",
    "inf",
    "-1",
    "1e999",
    "9" * 300,
    "\u202e12",
    "<b>",
    "M12;x",
    "12 mm\n",
    "½½",
    "漢",
    "\\",
    "{}",
    "0",
]


@pytest.mark.parametrize("place", range(1, 5))
def test_no_text_that_a_user_types_ends_in_a_traceback(place: int) -> None:
    for text in HOSTILE:
        texts = [*ELASTIC]
        texts[place - 1] = text
        with pytest.raises(MarkingError):
            a_plan(*texts)


@pytest.mark.parametrize(
    "name",
    ["shank", "joint_modulus", "friction", "thread_friction", "head_friction", "bearing", "hole", "paper", "margin"],
)
def test_no_option_that_a_user_types_ends_in_a_traceback(name: str) -> None:
    for text in HOSTILE:
        if (name, text) == ("shank", "0"):  # no shank at all: a plain 0 needs no unit
            continue
        with pytest.raises(MarkingError):
            a_plan(**{name: text})


def test_a_refusal_says_why_on_stderr_and_exits_with_one(run: Run) -> None:
    done = run(*command("120 N·m + 30°", "M12", "8.8", "60 mm"))
    assert done.returncode == 1
    assert done.stdout == ""
    assert done.stderr.startswith("turnband: the snug torque 120 N·m")
    assert run("stretch", "90°").returncode == 2
    assert run(*command(), "-o", "-", "--json").returncode == 2


def test_a_dash_puts_the_pdf_alone_on_stdout(run: Run, tmp_path: Any) -> None:
    done = run(*command(), "-o", "-")
    assert done.stdout.startswith("%PDF")
    assert done.stdout.rstrip().endswith("%%EOF")
    assert list(tmp_path.iterdir()) == []
