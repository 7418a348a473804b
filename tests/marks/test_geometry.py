"""Corners, marks, wrap, seam and words of the pure geometry."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kit.each import each
from kit.measure import a_job, apart_deg, groups, of_role, only, strokes, svg_root
from marking.errors import LayoutError, RangeError, TextInputError
from marking.fastening.opening import play_deg
from marking.fastening.spec import Stage
from marking.marks.places import Start, features, where
from marking.marks.seam import SEAM_CLEARANCE_MM, arc_along_band_deg, closure_half_mm, seam_deg
from marking.marks.stage_marks import mark_at, stage_arc, stop_marks
from marking.outputs.job.band_plan import plan_job
from marking.outputs.job.sheet import draw as job_document
from marking.quantities.angles import (
    arc_deg,
    arc_mm,
    closed_length_mm,
    full_turns,
    od_from_around_mm,
    position_deg,
    widest_gap,
)

POINTS = [4, 6, 8, 12]
ods = st.floats(8, 300)
stocks = st.floats(0, 1)


@each("points", POINTS)
@each("start", ["corner", "flat"])
def test_corners_are_evenly_spaced_and_close_the_circle(points: int, start: str) -> None:
    corners = [f.deg for f in features(points, start) if f.kind == "corner"]
    gaps = [b - a for a, b in zip(corners, [*corners[1:], corners[0] + 360], strict=True)]
    assert sum(gaps) == pytest.approx(360)
    assert gaps == pytest.approx([360 / points] * points)


@each("points", POINTS)
@each("start", ["corner", "flat"])
def test_every_mid_flat_lies_half_way_to_the_next_corner(points: int, start: str) -> None:
    corners = {f.index: f.deg for f in features(points, start) if f.kind == "corner"}
    for mid in (f for f in features(points, start) if f.kind == "mid-flat"):
        assert apart_deg(mid.deg, corners[mid.index]) == pytest.approx(180 / points)
        assert apart_deg(mid.deg, corners[mid.index % points + 1]) == pytest.approx(180 / points)


@each("points", POINTS)
def test_start_lies_on_corner_1_or_on_the_mid_flat_before_it(points: int) -> None:
    first = features(points, "corner")[0]
    assert (first.kind, first.index, first.deg) == ("corner", 1, 0)
    first = features(points, "flat")[0]
    assert (first.kind, first.index, first.deg) == ("mid-flat", points, 0)


@each("points", POINTS)
def test_a_turn_by_one_pitch_maps_the_features_onto_themselves(points: int) -> None:
    degs = [f.deg for f in features(points)]
    turned = sorted((deg + 360 / points) % 360 for deg in degs)
    assert turned == pytest.approx(degs)


WORDS = {
    (0, 12, "corner"): "on corner 1",
    (90, 12, "corner"): "on corner 4",
    (100, 12, "corner"): "10° past corner 4 (a third of the way to corner 5)",
    (45, 12, "corner"): "mid-flat between corners 2 and 3",
    (355, 12, "corner"): "25° past corner 12 (five sixths of the way to corner 1)",
    (90, 6, "corner"): "mid-flat between corners 2 and 3",
    (75, 6, "corner"): "15° past corner 2 (a quarter of the way to corner 3)",
    (90, 4, "corner"): "on corner 2",
    (0, 12, "flat"): "mid-flat between corners 12 and 1",
    (15, 12, "flat"): "on corner 1",
    (359.9999, 6, "corner"): "on corner 1",
    (62, 6, "corner"): "2° past corner 2 (just the beginning of the way to corner 3)",
    (97.86, 12, "corner"): "7.86° past corner 4 (about a quarter of the way to corner 5)",
}


@each(("case", "words"), WORDS.items())
def test_places_are_said_in_words(case: tuple[float, int, Start], words: str) -> None:
    assert where(*case) == words


@given(ods, stocks)
def test_the_length_round_a_socket_gives_its_diameter_back(od: float, stock: float) -> None:
    assert od_from_around_mm(closed_length_mm(od, stock), stock) == pytest.approx(od)


def test_a_strip_that_closes_round_nothing_is_refused() -> None:
    with pytest.raises(RangeError):
        od_from_around_mm(0.3, 0.1)


@given(st.floats(1, 2000), st.floats(0, 360))
def test_degrees_and_millimetres_convert_both_ways(length: float, deg: float) -> None:
    assert arc_deg(length, arc_mm(length, deg)) == pytest.approx(deg)


@each(
    ("turn", "deg", "turns"),
    [(90, 90, 0), (360, 0, 1), (450, 90, 1), (359.9999999999, 0, 1), (1080, 0, 3), (719, 359, 1)],
)
def test_whole_turns_are_taken_off(turn: float, deg: float, turns: int) -> None:
    assert position_deg(turn) == pytest.approx(deg)
    assert full_turns(turn) == turns


@given(st.floats(0.01, 3600))
def test_a_marks_place_and_full_turns_make_up_the_turn(turn: float) -> None:
    mark = mark_at("stop", 1, turn)
    assert 0 <= mark.deg < 360
    assert mark.turn_deg == pytest.approx(turn, abs=1e-6)


def test_stop_marks_are_in_order_of_arrival() -> None:
    low, high = stop_marks(Stage(360, 10, 10), 2)
    assert [(m.kind, m.stage, m.deg, m.full_turns) for m in (low, high)] == [
        ("stop-low", 2, 350, 0),
        ("stop-high", 2, 10, 1),
    ]


arcs = st.lists(st.tuples(st.integers(0, 360), st.integers(0, 200)), max_size=5)


@given(arcs)
def test_the_widest_gap_is_free_and_no_other_is_wider(taken: list[tuple[float, float]]) -> None:
    """Against a walk round the circle in steps of 0.05°."""
    taken = [(0.0, 0.0), *taken]
    begin, span = widest_gap(taken)
    steps = 7200

    def free(deg: Any) -> Any:
        return np.all([((deg - a) % 360 > s + 1e-9) & ((deg - a) % 360 < 360 - 1e-9) for a, s in taken], axis=0)

    closed = np.flatnonzero(~np.tile(free(360 * np.arange(steps) / steps), 2))  # two turns: a gap may hold the zero
    longest = max(np.diff(closed) - 1)
    assert span == pytest.approx(longest * 360 / steps, abs=0.15)
    if span > 0.2:
        assert all(free(begin + span * part) for part in (0.01, 0.3, 0.5, 0.99))


@given(st.floats(5, 700), st.floats(0, 60), ods)
def test_the_seam_keeps_clear_of_start_and_of_every_window_edge(turn: float, half: float, od: float) -> None:
    assume(half < turn)
    length = closed_length_mm(od, 0.1)
    begin, span = stage_arc(Stage(turn, half, half))
    try:
        seam = seam_deg([(begin, span)], length)
    except LayoutError:
        return
    for deg in (0.0, begin, begin + span):
        assert arc_mm(length, apart_deg(seam, deg)) >= SEAM_CLEARANCE_MM - 1e-6


@each("points", [4, 6, 8, 12])
@each("turn", [30, 60, 90, 120, 180, 270, 100])
@each("od", [12.0, 28.0, 96.0])
def test_no_line_of_a_corner_runs_along_the_ok_bracket(points: int, turn: float, od: float) -> None:
    """Where corners are too near to one another for that, the seam lies half way between two of their lines."""
    length, lines = closed_length_mm(od, 0.1), [feature.deg for feature in features(points)]
    seam = seam_deg([stage_arc(Stage(turn, 5.0, 5.0))], length, lines)
    apart = min(arc_mm(length, apart_deg(seam, deg)) for deg in lines)
    wanted = closure_half_mm(length) + 1.0
    assert apart >= min(wanted, 0.93 * arc_mm(length, 180.0 / points) / 2)
    for deg in (0.0, turn - 5.0, turn + 5.0):
        assert arc_mm(length, apart_deg(seam, deg)) >= SEAM_CLEARANCE_MM - 1e-6


def test_a_band_without_room_for_the_seam_is_refused() -> None:
    with pytest.raises(LayoutError, match="free for the seam"):
        seam_deg([(20, 330)], closed_length_mm(12, 0.1))


@each(("turn", "seam", "arc"), [(100, 230, 100), (270, 135, 90), (450, 230, 90), (229, 230, 229)])
def test_arcs_are_measured_along_the_band_and_not_across_its_seam(turn: float, seam: float, arc: float) -> None:
    assert arc_along_band_deg(turn, seam) == pytest.approx(arc)


def test_play_is_none_without_clearance_and_refused_when_the_fastener_is_too_wide() -> None:
    assert play_deg(6, 19, 19) == pytest.approx(0, abs=1e-9)
    with pytest.raises(RangeError, match="does not go into"):
        play_deg(6, 18, 19)
    with pytest.raises(RangeError, match="turns round"):
        play_deg(6, 19, 10)


def test_marks_of_a_plan_are_in_the_order_of_the_stages() -> None:
    plan = plan_job(a_job("60 N·m + 40° ±8 + 90° ±10", od="60 mm"))
    assert [(m.kind, m.stage) for m in plan.marks] == [
        ("start", None), ("stop-low", 1), ("stop-high", 1), ("aim", 1), ("stop-low", 2), ("stop-high", 2), ("aim", 2),
    ]  # fmt: skip


def test_stages_with_equal_windows_share_one_set_of_marks() -> None:
    plan = plan_job(a_job("60 N·m + 60° ±8 + 60° ±8"))
    assert len(plan.bands) == 1
    assert [stage.numbers for stage in plan.bands[0].stages] == [(1, 2)]


def test_stages_whose_windows_touch_get_a_band_each() -> None:
    plan = plan_job(a_job("60 N·m + 60° ±8 + 65° ±8"))
    assert len(plan.bands) == 2
    assert any("one band a stage" in str(warning) for warning in plan.warnings)


def test_totals_from_snug_have_to_grow() -> None:
    plan_job(a_job("60 N·m + 60° + 120°", witness="first", od="60 mm"))
    with pytest.raises(TextInputError, match="turns that grow"):
        a_job("60 N·m + 60° + 60°", witness="first")


LABELS = {
    "90° +10/-0": ("STOP", "90–100°"),
    "90°": ("STOP", "90°"),
    "450° ±5": ("STOP", "1 full turn +", "85–95°"),
    "720°": ("STOP", "2 full turns"),
    "360° ±20": ("STOP", "1 full turn", "−20 to +20°"),
    "350° +20/-0": ("STOP", "350–370°"),
}


@each(("spec", "label"), LABELS.items())
def test_full_turns_are_said_in_words_beside_the_window(spec: str, label: tuple[str, ...]) -> None:
    assert plan_job(a_job(spec)).bands[0].stages[0].label == label


def test_around_and_od_give_the_same_band() -> None:
    by_od = plan_job(a_job())
    by_strip = plan_job(a_job(around=f"{math.pi * 27.9:.12f} mm"))
    assert by_strip.job.length_mm == pytest.approx(by_od.job.length_mm, abs=1e-9)
    assert by_strip.job.socket.od_source == "around"


@each("unit", ["mm", "in"])
def test_the_closure_scale_reads_the_length_that_around_takes(unit: str) -> None:
    """A band printed for the wrong diameter: where its end lands, the scale's number goes straight into --around."""
    od = "27.8 mm" if unit == "mm" else "1.1 in"
    unit_mm = 1.0 if unit == "mm" else 25.4
    document = job_document(plan_job(a_job(od=od)))
    lines = strokes(groups(svg_root(document.pages[0], document, "band"), "band")[0])
    seam, closure = only(lines, "seam").x1, only(lines, "closure").x1
    scale = of_role(lines, "closure-scale")
    values = sorted(float(line.data["mm"]) for line in scale)
    assert values[0] + 8 < closure - seam < values[-1] - 8
    for line in scale:
        assert line.x1 - seam == pytest.approx(float(line.data["mm"]), abs=0.0002)
        steps = float(line.data["mm"]) / unit_mm / (0.5 if unit == "mm" else 0.02)
        assert steps == pytest.approx(round(steps), abs=0.01)
    true_od = 28.6
    landing = math.pi * (true_od + 0.1)  # the strip closes there, whatever was printed on it
    reading = min(values, key=lambda value: abs(value - landing))
    again = plan_job(a_job(around=f"{reading} mm"))
    assert again.job.socket.od_mm == pytest.approx(true_od, abs=0.26 / math.pi)


@each(
    ("spec", "aim"),
    [
        ("90° +10/-0", "aim 95°"),
        ("450° ±15", "aim 1 full turn + 90°"),
        ("720° ±15", "aim 2 full turns"),
        ("360° +10/-20", "aim 1 full turn − 5°"),
        ("350° +20/-0", "aim 360°"),
    ],
)
def test_the_aim_is_said_like_its_window(spec: str, aim: str) -> None:
    (stage,) = plan_job(a_job(f"60 N·m + {spec}", od="45 mm")).bands[0].stages
    assert stage.aim_label == (aim,)
