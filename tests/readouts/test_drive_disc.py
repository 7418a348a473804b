"""The drive disc and the dial it shares with the part ring: directions, ink, reading error, and the command."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from shapely import LineString, Polygon

from kit.collisions import check, collisions, placed_items, specs
from kit.commands import Run
from kit.measure import SVG, a_job, assert_refused, drawn_groups, of_role, only, placed_texts, strokes
from kit.pdf_reading import pdf_pages
from kit.turning import SPECS, polygon_middle, tightened
from marking import MarkingError
from marking.drawing.primitives import Arc, Document, Line, Text
from marking.errors import LayoutError, RangeError
from marking.fastening.socket import DRIVES, parse_drive
from marking.fastening.spec import Window
from marking.fastening.spec_grammar import parse_spec
from marking.files.pdf import pdf_bytes
from marking.marks.reading_error import Budget, DiscErrorModel, ErrorModel
from marking.marks.seam import seam_deg
from marking.marks.stage_marks import StageMarks, stage_arc
from marking.outputs.job import words as words
from marking.outputs.job.band_plan import plan_job
from marking.outputs.job.plan import plan_extra
from marking.outputs.job.request import read_job
from marking.outputs.job.sheet import draw as job_document
from marking.readouts.drive_disc.error import (
    disc_budget,
    disc_contributions,
    disc_play_mm,
    disc_slip_deg,
    sufficient_disc_mm,
)
from marking.readouts.drive_disc.figure import draw_disc, left_out
from marking.readouts.drive_disc.plan import DiscPlan
from marking.readouts.drive_disc.plan import plan as plan_discs
from marking.readouts.drive_disc.request import read as read_disc
from marking.readouts.drive_disc.sheet import draw as disc_document
from marking.readouts.drive_disc.sheet import put_disc
from marking.readouts.drive_disc.words import use_steps
from marking.readouts.part_ring.figure import draw_ring
from marking.readouts.part_ring.layout import RingLayout
from marking.sheets.blocks import captioned
from marking.sheets.paper import SIZES, Paper
from marking.sheets.sheet import Sheet

Vector = NDArray[np.float64]

SPEC = "110 N·m + 90° +10/-0"
LARGEST_MALE_MM = {"1/4": 6.35, "3/8": 9.525, "1/2": 12.7, "3/4": 19.05, "1": 25.4, "1-1/2": 38.1}
"""The largest driver's squares of ISO 1174-1, typed from the standard's values."""


def a_plan(spec: str = SPEC, drive: str = "1/2", **more: Any) -> DiscPlan:
    return plan_discs(read_disc(spec, drive, **more))


def disc_groups(plan: DiscPlan) -> list[ElementTree.Element]:
    document = disc_document(plan)
    return drawn_groups(document, "drive-disc")


def centre_of(disc: ElementTree.Element) -> Vector:
    """The middle of the cut circle, y turned upwards."""
    (edge,) = [e for e in disc.iter(f"{SVG}circle") if e.get("class") == "outer-edge"]
    return np.array([float(edge.get("cx", "nan")), -float(edge.get("cy", "nan")), 0.0])


def reading_end(line: Any, centre: Vector) -> Vector:
    """Where a radial line meets the edge, from the disc's centre, as seen from above."""
    ends = [np.array([line.x1, line.y1, 0.0]) - centre, np.array([line.x2, line.y2, 0.0]) - centre]
    return max(ends, key=lambda end: float(np.linalg.norm(end)))


# -- directions


@pytest.mark.parametrize("thread", ["right", "left"])
@pytest.mark.parametrize("spec", SPECS)
def test_the_mark_of_the_turn_arrives_where_start_was(spec: str, thread: str) -> None:
    """The disc lies on the drive end, print up; it is seen from above and turned the way the thread tightens."""
    plan = a_plan(spec, thread=thread)
    (disc,) = disc_groups(plan)
    lines, centre = strokes(disc), centre_of(disc)
    pointer = reading_end(only(lines, "start"), centre)
    stage = parse_spec(spec).stages[0]
    turns = {"stop": stage.turn_deg} if stage.window is None else {
        "stop-low": stage.window.low_deg, "stop-high": stage.window.high_deg,
    }  # fmt: skip
    for role, deg in turns.items():
        assert np.allclose(tightened(reading_end(only(lines, role), centre), deg, thread), pointer, atol=3e-4), role
    for tick in of_role(lines, "degree"):
        arrived = tightened(reading_end(tick, centre), float(tick.data["deg"]), thread)
        assert np.allclose(arrived, pointer, atol=3e-4), tick


def test_the_window_of_a_right_hand_thread_lies_counterclockwise_of_start() -> None:
    for thread, sign in (("right", 1), ("left", -1)):
        (disc,) = disc_groups(a_plan("60 N·m + 60° ±10", thread=thread))
        lines, centre = strokes(disc), centre_of(disc)
        start, low = (reading_end(only(lines, role), centre) for role in ("start", "stop-low"))
        assert start[0] == pytest.approx(0, abs=1e-3), "START points up"
        assert start[1] > 0
        assert sign * np.cross(start, low)[2] > 0


@pytest.mark.parametrize("thread", ["right", "left"])
@pytest.mark.parametrize("spec", ["60 N·m + 90° ±20", "60 N·m + 330° ±10", "60 N·m + 360° ±20"])
def test_the_arrow_points_the_way_the_socket_turns(spec: str, thread: str) -> None:
    (disc,) = disc_groups(a_plan(spec, thread=thread))
    (head,) = [e for e in disc.iter() if e.get("class") == "arrow-head"]
    centre = centre_of(disc)
    tip_x, tip_y = (float(value) for value in str(head.get("points")).split()[0].split(","))
    middle = np.array([*polygon_middle(head), 0.0]) - centre
    tip = np.array([tip_x, -tip_y, 0.0]) - centre
    assert np.dot(tightened(middle, 1.0, thread) - middle, tip - middle) > 0


@pytest.mark.parametrize(("thread", "turn", "count"), [
    ("right", "clockwise", "counterclockwise"), ("left", "counterclockwise", "clockwise"),
])  # fmt: skip
def test_the_words_name_the_way_that_the_drawing_shows(thread: str, turn: str, count: str) -> None:
    words = " ".join(text.text for text in placed_texts(disc_document(a_plan(thread=thread)).pages[0]))
    steps = " ".join(steps_of(a_plan(thread=thread)))
    assert f", {turn}, seen from the drive end" in steps
    assert f"smooth pull, {turn}" in steps
    assert f"counted {count} from START" in words
    assert ("left-hand" in words) is (thread == "left")


def steps_of(plan: DiscPlan) -> list[str]:
    return use_steps(plan.job.spec, plan.budgets, plan.job.disc_model.gap_mm)


@pytest.mark.parametrize(("spec", "words"), [
    ("1 N·m + 90° ±5", "Turn in one smooth pull, clockwise, until the pointer stands in the window “STOP”, 85–95°"),
    ("1 N·m + 450° ±5", "Turn in smooth pulls, clockwise, 1 full turn, then on until the pointer"),
    ("1 N·m + 360° ±20", "Turn in smooth pulls, clockwise, about 1 full turn, until the pointer"),
    ("1 N·m + 355° ±8", "nearly 1 full turn, until the pointer stands in the window “STOP”, 347–363°. Aim at the aim"),
    ("1 N·m + 450°", "1 full turn, then on until the pointer stands at the line “STOP” (450°)"),
    ("1 N·m + 360°", "1 full turn, until the pointer stands at the line “STOP” again (360°)"),
    ("1 N·m + 720°", "clockwise, 2 full turns, until the pointer stands at the line “STOP”, 2 times round (720°)"),
])  # fmt: skip
def test_the_steps_say_the_whole_turns(spec: str, words: str) -> None:
    assert any(words in step for step in steps_of(a_plan(spec)))
    assert ("☐" in " ".join(steps_of(a_plan(spec)))) is ("nearly" not in words and "90°" not in spec)


def test_the_steps_say_how_to_pull_and_read_before_the_turn() -> None:
    words = " ".join(steps_of(a_plan("110 N·m + 90° ±5 + 60° ±5")))
    assert words.count("take up the slack") == 2, "before the pointer is set for each stage"
    order = (
        "Hold the other end, nut or bolt head, so that it cannot turn.", "Then change to a bar: the wrench is not for",
        "take up the slack, and hold it. The fastener must not move.", "set the pointer's tip at START while you hold",
        "Turn in one smooth pull", "Read while you still pull lightly", "take up the slack again, and hold it.",
        "set the pointer's tip at START anew", "Turn in one smooth pull", "Read it in the same way.",
        "Short of the window: turn on, do not begin anew.", "Past it: stop", "Never repeat the angle",
    )  # fmt: skip
    place = 0
    for said in order:
        place = words.find(said, place) + len(said)
        assert place >= len(said), said


# -- ink


def hole_points(disc: ElementTree.Element) -> list[tuple[float, float]]:
    (hole,) = [e for e in disc.iter(f"{SVG}polygon") if e.get("class") == "square-hole"]
    pairs = [pair.split(",") for pair in str(hole.get("points")).split()]
    return [(float(x), -float(y)) for x, y in pairs]


@pytest.mark.parametrize(("drive", "male_mm"), LARGEST_MALE_MM.items())
def test_the_hole_is_the_largest_driver_and_a_little(drive: str, male_mm: float) -> None:
    plan = a_plan(drive=drive, diameter="120 mm")
    (disc,) = disc_groups(plan)
    corners = hole_points(disc)
    assert len(corners) == 4
    sides = [math.dist(corners[k], corners[k - 1]) for k in range(4)]
    assert sides == pytest.approx([male_mm + 0.3] * 4, abs=0.0003)
    diagonals = [math.dist(corners[0], corners[2]), math.dist(corners[1], corners[3])]
    assert diagonals == pytest.approx([(male_mm + 0.3) * math.sqrt(2)] * 2, abs=0.0005)
    assert np.mean(corners, axis=0) == pytest.approx(centre_of(disc)[:2], abs=0.0002)
    ((left, bottom, right, top),) = pdf_pages(pdf_bytes(disc_document(plan)))[0].rectangles
    assert right - left == pytest.approx(male_mm + 0.3, abs=0.001)
    assert top - bottom == pytest.approx(male_mm + 0.3, abs=0.001)


SHEETS = [(SPEC, "1/2", "70 mm", "right"), ("20 N·m + 30° ±8", "1/4", "60 mm", "left"),
          ("900 N·m + 450° ±15", "1", "120 mm", "right"), ("90 N·m + 200°", "3/4", "7 in", "left")]  # fmt: skip


def expected_ends(spec: str, diameter: str, thread: str) -> dict[str, tuple[float, float]]:
    """Where the marks meet the edge, from the centre, straight from the angles."""
    size, unit = diameter.split()
    radius = float(size) * (25.4 if unit == "in" else 1.0) / 2
    sign = 1 if thread == "right" else -1
    stage = parse_spec(spec).stages[0]
    turns = {"start": 0.0}
    if stage.window is None:
        turns["stop"] = stage.turn_deg
    else:
        turns |= {"stop-low": stage.window.low_deg, "stop-high": stage.window.high_deg}
    return {
        role: (-sign * radius * math.sin(math.radians(deg)), radius * math.cos(math.radians(deg)))
        for role, deg in turns.items()
    }


@pytest.mark.parametrize(("spec", "drive", "diameter", "thread"), SHEETS)
def test_marks_in_the_svg_meet_the_edge_where_the_angles_say(spec: str, drive: str, diameter: str, thread: str) -> None:
    (disc,) = disc_groups(a_plan(spec, drive, diameter=diameter, thread=thread))
    lines, centre = strokes(disc), centre_of(disc)
    for role, end in expected_ends(spec, diameter, thread).items():
        line = only(lines, role)
        assert reading_end(line, centre)[:2] == pytest.approx(end, abs=0.0003), role
        other = np.array([line.x1 + line.x2, line.y1 + line.y2, 0.0]) / 2 - centre
        assert abs(np.cross(other, [*end, 0.0])[2]) < 0.02, f"{role} is radial"
    (edge,) = [e for e in disc.iter(f"{SVG}circle") if e.get("class") == "outer-edge"]
    assert float(edge.get("r", "nan")) == pytest.approx(math.hypot(*expected_ends(spec, diameter, thread)["start"]))


@pytest.mark.parametrize(("spec", "drive", "diameter", "thread"), SHEETS)
def test_marks_in_the_pdf_meet_the_edge_where_the_angles_say(spec: str, drive: str, diameter: str, thread: str) -> None:
    """Heavy lines are told by their width; the centre is the middle of the square hole."""
    document = disc_document(a_plan(spec, drive, diameter=diameter, thread=thread))
    page = pdf_pages(pdf_bytes(document))[0]
    ((left, bottom, right, top),) = (box for box in page.rectangles if abs(box[2] - box[0] - box[3] + box[1]) < 1e-3)
    cx, cy = (left + right) / 2, (bottom + top) / 2
    heavy = [line for line in page.lines if abs(line.width_mm - 0.35) < 0.001]
    ends = [(x - cx, y - cy) for line in heavy for x, y in ((line.x1, line.y1), (line.x2, line.y2))]
    expected = expected_ends(spec, diameter, thread)
    assert len(heavy) == len(expected)
    for role, end in expected.items():
        assert min(math.dist(end, found) for found in ends) < 0.005, role


def test_the_aim_line_stands_in_the_middle_of_the_window() -> None:
    (disc,) = disc_groups(a_plan("110 N·m + 90° +20/-0"))
    lines, centre = strokes(disc), centre_of(disc)
    aim = tightened(reading_end(only(lines, "aim"), centre), 100.0, "right")
    assert np.allclose(aim, reading_end(only(lines, "start"), centre), atol=3e-4)


# -- layout


@pytest.mark.parametrize("thread", ["right", "left"])
@pytest.mark.parametrize("diameter", ["60 mm", "70 mm", "120 mm"])
@pytest.mark.parametrize("drive", ["1/4", "1/2", "1"])
@pytest.mark.parametrize("spec", [*SPECS, "200 N·m + 360° ±20 + 90° ±5 + 90° ±5", "9 N·m + 60° ±10 + 120° ±10"])
def test_no_text_touches_anything(spec: str, drive: str, diameter: str, thread: str) -> None:
    plan = a_plan(spec, drive, diameter=diameter, thread=thread, title="demo data, not for real equipment")
    check(disc_document(plan))
    assert all(left_out(disc) == () for disc in plan.discs), "every label has room"


@settings(max_examples=60)
@given(
    spec=specs,
    drive=st.sampled_from(["1/4", "1/2", "1", "1-1/2"]),
    size=st.integers(60, 170),
    thread=st.sampled_from(["right", "left"]),
    copies=st.integers(1, 2),
)
def test_no_text_touches_anything_on_any_disc(spec: str, drive: str, size: int, thread: str, copies: int) -> None:
    try:
        plan = a_plan(spec, drive, diameter=f"{size} mm", thread=thread, copies=copies)
    except MarkingError:
        return  # refused, with a reason: other tests look at those
    check(disc_document(plan))


@pytest.mark.parametrize("turn", range(140, 330, 10))
def test_a_crowded_disc_keeps_arrow_and_words_apart(turn: int) -> None:
    check(disc_document(a_plan(f"60 N·m + {turn}° ±{min(turn - 5, 355 - turn)}", "1/4", diameter="40 mm")))


def labels(plan: DiscPlan) -> str:
    items = placed_items(disc_document(plan).pages[0])
    return " ".join(item.text for item in items if isinstance(item, Text) and item.role == "label")


@pytest.mark.parametrize("thread", ["right", "left"])
@pytest.mark.parametrize("spec", ["60 N·m + 300° ±20", "60 N·m + 360° ±20", "60 N·m + 355° ±8 + 60° ±8"])
def test_the_word_start_stands_at_its_own_line_and_no_other_reaches_it(spec: str, thread: str) -> None:
    (disc,) = a_plan(spec, thread=thread).discs
    items = draw_disc(disc).content.items
    (word,) = [item for item in items if isinstance(item, Text) and item.text == "START"]
    lines = [item for item in items if isinstance(item, Line) and item.role in ("start", "stop-low", "stop-high")]
    shape = Polygon(word.box)
    nearest = min(lines, key=lambda line: shape.distance(LineString([(line.x1, line.y1), (line.x2, line.y2)])))
    assert nearest.role == "start"


def test_a_label_without_room_is_said_in_the_caption() -> None:
    plan = a_plan("60 N·m + 300° ±175")
    assert left_out(plan.discs[0]) == ("STOP 125–475°", "1/2 in drive")
    words = " ".join(text.text for text in placed_texts(disc_document(plan).pages[0]))
    assert "Without a label for lack of room: STOP 125–475°, 1/2 in drive." in words


def test_ticks_are_longest_at_the_tens() -> None:
    (disc,) = disc_groups(a_plan())
    lengths: dict[bool, set[float]] = {True: set(), False: set()}
    for tick in of_role(strokes(disc), "degree"):
        length = round(math.hypot(tick.x2 - tick.x1, tick.y2 - tick.y1), 2)
        lengths[int(tick.data["deg"]) % 10 == 0].add(length)
    assert lengths[True] == {2.0}
    assert max(lengths[False]) < 2.0


@pytest.mark.parametrize("paper", ["a4", "letter", "a5", "a3", "legal", "200x240"])
def test_the_sheet_fits_every_paper(paper: str) -> None:
    for more in ({"points": 12, "copies": 3}, {"drive": "1-1/2"}):
        check(disc_document(a_plan("110 N·m + 60° ±10 + 70° ±10", paper=paper, **more)))


@pytest.mark.parametrize("drive", [drive.inch for drive in DRIVES])
def test_the_smallest_disc_of_every_drive_is_legible(drive: str) -> None:
    least = (LARGEST_MALE_MM[drive] + 0.3) * math.sqrt(2) + 23.0
    plan = a_plan(drive=drive, diameter=f"{least + 0.01:.2f} mm")
    check(disc_document(plan))
    assert left_out(plan.discs[0]) == ()
    with pytest.raises(RangeError, match="check diameter"):
        a_plan(drive=drive, diameter=f"{least - 0.1:.2f} mm")


def test_texts_stay_between_hole_and_edge() -> None:
    for spec, drive, diameter, thread in SHEETS:
        plan = a_plan(spec, drive, diameter=diameter, thread=thread)
        items = list(placed_items(disc_document(plan).pages[0]))
        (edge,) = [item for item in items if isinstance(item, Arc) and item.role == "outer-edge"]
        for item in items:
            if isinstance(item, Text) and item.role in ("label", "number", "words"):
                far = [math.hypot(x - edge.cx, y - edge.cy) for x, y in item.box]
                assert max(far) < edge.radius - 0.3, item
                assert min(far) > plan.discs[0].hole_mm / 2, item


def test_stages_that_fit_share_a_disc_and_equal_windows_share_marks() -> None:
    plan = a_plan("60 N·m + 60° ±5 + 120° ±5 + 60° ±5")
    assert [[stage.numbers for stage in disc.stages] for disc in plan.discs] == [[(1, 3), (2,)]]
    (disc,) = disc_groups(plan)
    assert [line.data["stage"] for line in of_role(strokes(disc), "stop-low")] == ["1 3", "2"]


def test_stages_whose_disc_would_not_tell_its_thread_get_a_disc_each() -> None:
    plan = a_plan("60 N·m + 109° ±7 + 196° ±10 + 152° ±8", thread="left")
    assert len(plan.discs) == 3
    for disc in disc_groups(plan):
        assert [text.text for text in disc.iter(f"{SVG}text") if text.get("class") == "left-hand"] == ["LEFT-HAND"]


def test_windows_that_touch_get_a_disc_each() -> None:
    plan = a_plan("60 N·m + 60° ±10 + 450° ±20")
    assert [[stage.numbers for stage in disc.stages] for disc in plan.discs] == [[(1,)], [(2,)]]
    assert any("one disc a stage" in str(warning) for warning in plan.warnings)
    assert len(disc_groups(plan)) == 2


def test_copies_are_copies() -> None:
    assert len(disc_groups(a_plan(copies=3))) == 3


# -- reading error


def test_contributions_are_those_of_the_method() -> None:
    """Worked by hand for θ = 100°, 70 mm, 1/2 in drive: play (13.0 − 12.59)/2, sin 50° = 0.7660, sin 100° = 0.9848."""
    found = {
        c.name: (c.half_width, c.sensitivity)
        for c in disc_contributions(100, 70, parse_drive("1/2"), ErrorModel(), DiscErrorModel())
    }
    expected = {
        "witness mark": (0.25, 1.63702), "stop reading": (0.25, 1.63702),
        "parallax at START": (0.52898, 1.63702), "parallax at the stop": (0.52898, 1.63702),
        "sway at START": (0.5, 1.63702), "sway at the stop": (0.5, 1.63702),
        "play in the square": (0.205, 2.50806), "unequal print scale": (0.2, 0.564253),
    }  # fmt: skip
    assert found.keys() == expected.keys()
    for name, values in expected.items():
        assert found[name] == pytest.approx(values, rel=2e-5), name


def test_the_expanded_error_is_worked_by_hand() -> None:
    """√(2·0.23628² + 2·0.49996² + 2·0.47257² + 0.29685² + 0.06515²) = 1.07265, doubled 2.14530."""
    assert a_budget().expanded_deg == pytest.approx(2.14530, abs=3e-5)


def a_budget(low: float = 90, high: float = 100, diameter_mm: float = 70, **more: Any) -> Budget:
    return disc_budget(1, low, Window(low, high), diameter_mm, parse_drive("1/2"), ErrorModel(), **more)


def test_the_edge_with_the_larger_error_counts() -> None:
    """At 270° a mark suffers more from the scale and less from the centring than at 200°."""
    for low, high in ((90, 100), (170, 190), (250, 290), (340, 380)):
        at = [disc_contributions(edge % 360, 70, parse_drive("1/2"), ErrorModel(), DiscErrorModel())
              for edge in (low, high)]  # fmt: skip
        sums = [math.sqrt(sum(c.u_deg**2 for c in contributions)) for contributions in at]
        assert a_budget(low, high).u_deg == pytest.approx(max(sums))


def test_whole_turns_add_nothing() -> None:
    assert a_budget(450, 460).u_deg == pytest.approx(a_budget(90, 100).u_deg)


def test_where_the_smallest_driver_is_unknown_the_largest_stands_for_it() -> None:
    assert disc_play_mm(parse_drive("1-1/2")) == pytest.approx(0.15)
    assert disc_play_mm(parse_drive("1/4")) == pytest.approx((6.65 - 6.26) / 2)


def test_a_loose_disc_slips_until_its_corners_meet_the_hole() -> None:
    """The corner of a 12.59 mm square, 8.9025 mm from the centre, meets the hole's side, 6.5 mm from it."""
    turned = math.degrees(math.acos(6.5 / (12.59 / math.sqrt(2))))
    assert disc_slip_deg(parse_drive("1/2")) == pytest.approx(45 - turned)
    assert any("1.9° each way" in text.text for text in placed_texts(disc_document(a_plan()).pages[0]))


@pytest.mark.parametrize("theta", [60.0, 95.0, 180.0, 270.0])
@pytest.mark.parametrize(("diameter", "drive"), [(50.0, "1/4"), (70.0, "1/2"), (200.0, "1")])
def test_the_expanded_error_covers_what_would_happen(theta: float, diameter: float, drive: str) -> None:
    """The chain itself: print, cut out, put on off centre, set the pointer, turn until the stop seems to be there."""
    rng = np.random.default_rng(20240511)
    count, radius, model = 200_000, diameter / 2, ErrorModel()
    play = disc_play_mm(parse_drive(drive))

    def even(half: float) -> Vector:
        return rng.uniform(-half, half, count)

    parallax = 3.0 * math.tan(math.radians(10.0))
    start_at = rng.uniform(0.0, 2 * math.pi, count)  # where START lies on the page
    stretch = 1.0 + even(0.002)  # along the page against across
    shift_x, shift_y = even(play), even(play)  # of the disc's middle from the socket's axis

    def seen_from_the_axis(deg: float) -> Vector:
        drawn = start_at + math.radians(deg)
        return np.asarray(np.arctan2(radius * np.sin(drawn) * stretch + shift_y, radius * np.cos(drawn) + shift_x))

    pointer = seen_from_the_axis(0.0) + (even(0.25) + even(parallax)) / radius
    stopped = seen_from_the_axis(theta) - pointer + (even(0.25) + even(parallax)) / radius
    stopped += (even(0.5) + even(0.5)) / radius  # the drive end sways, at either reading
    off = np.degrees((stopped - math.radians(theta) + math.pi) % (2 * math.pi) - math.pi)
    expanded = disc_budget(1, theta, None, diameter, parse_drive(drive), model).expanded_deg
    assert 0.94 <= np.mean(np.abs(off) <= expanded) <= 0.98


def test_a_disc_too_small_says_which_would_do() -> None:
    spec = "110 N·m + 90° +4/-0"
    plan = a_plan(spec)
    (warning,) = map(str, plan.warnings)
    assert "cannot prove the window 90–94°" in warning
    assert not [mark for mark in plan.marks if mark.kind == "aim"]
    size = float(warning.split("at least ")[1].split(" mm")[0])
    assert a_plan(spec, diameter=f"{size} mm").warnings == ()
    assert a_plan(spec, diameter=f"{size - 1.1} mm").budgets[0].verdict == "narrow"
    assert "what this disc leaves of the window 90–95° is too narrow to hit" in str(
        a_plan("110 N·m + 90° +5/-0").warnings[0]
    )
    assert "too large to print" in str(a_plan("110 N·m + 90° +2.8/-0").warnings[0])
    assert sufficient_disc_mm(Window(90, 92.2), 90, parse_drive("1/2"), ErrorModel()) is None
    assert "no larger disc leaves enough of it to hit" in str(a_plan("110 N·m + 90° +2.2/-0").warnings[0])


def test_a_wider_gap_or_scale_error_counts() -> None:
    usual = a_budget().u_deg
    assert a_budget(disc=DiscErrorModel(gap_mm=4)).u_deg > usual > a_budget(disc=DiscErrorModel(gap_mm=1)).u_deg
    assert a_budget(disc=DiscErrorModel(unequal_scale_percent=1)).u_deg > usual
    with pytest.raises(RangeError):
        DiscErrorModel(gap_mm=-1)


def test_the_sheet_names_its_assumptions() -> None:
    texts = [text.text for text in placed_texts(disc_document(a_plan()).pages[0])]
    words = " ".join(text for text in texts if len(text) > 2)
    for value in ("orking assumptions", "95 of 100 readings", "±0.25 mm", "10°",
                  "at most 3 mm between pointer and disc", "±0.205 mm",
                  "drive end ±0.5 mm", "alike within 0.2 mm"):  # fmt: skip
        assert value in words
    assert "Measure both check rulers: both alike within 0.2 mm, or do not use it." in words
    assert "Steady the drive end with one hand and set the pointer's tip at START" in words
    assert "Read while you still pull lightly, the drive end steadied again" in words


# -- with a job


def test_a_jobs_disc_goes_on_the_jobs_sheets() -> None:
    plan = plan_extra("disc", a_job(thread="left"))
    assert (plan.job.size_mm, plan.job.spec.thread, plan.job.points) == (70, "left", 12)
    sheet = Sheet(plan.job.paper, ("Title",))
    sheet.new_page()
    put_disc(sheet, plan)
    check(Document(sheet.pages()))
    with pytest.raises(LayoutError, match="label stock"):
        plan_extra("disc", a_job(paper="62mm x roll"))


# -- a ring for several diameters


def ring_page(spec: str, bores: tuple[float, ...], thread: str = "right", sector: bool = False) -> Document:
    stages = parse_spec(spec).stages
    marks = tuple(StageMarks(s, (n,), s.turn_deg, len(stages) > 1) for n, s in enumerate(stages, 1))
    seam = seam_deg([stage_arc(stage) for stage in stages], math.pi * max(bores))
    sheet = Sheet(Paper(*SIZES["a4"]), ("Ring",))
    plan = RingLayout(max(bores), 12.0, thread == "right", marks, seam, sector, bores)
    sheet.put(captioned(draw_ring(plan), ["A ring."], 50.0))
    return Document(sheet.pages())


BORES = [(9.0, 11.0, 13.0, 15.0), tuple(23.0 + 2 * k for k in range(9)), tuple(30.0 + 2.5 * k for k in range(20))]


@pytest.mark.parametrize("sector", [False, True])
@pytest.mark.parametrize("thread", ["right", "left"])
@pytest.mark.parametrize("bores", BORES)
@pytest.mark.parametrize("spec", [*SPECS, "5 N·m + 360° ±20", "300° ±40", "20° ±1 + 200° ±10"])
def test_every_bore_has_its_number_in_a_gap_of_its_own_circle(
    spec: str, bores: tuple[float, ...], thread: str, sector: bool
) -> None:
    (page,) = ring_page(spec, bores, thread, sector).pages
    assert collisions(page) == []
    items = list(placed_items(page))
    circles = [item for item in items if isinstance(item, Arc) and item.role == "inner-edge"]
    numbers = {item.text: item for item in items if isinstance(item, Text) and item.role == "number"}
    assert {round(2 * c.radius, 6) for c in circles} == set(bores)
    for circle in circles:
        od = f"{2 * circle.radius - 1:g}"
        assert dict(circle.data)["od"] == od
        number = numbers[od]
        middle = np.mean(number.box, axis=0)
        assert math.dist(middle, (circle.cx, circle.cy)) == pytest.approx(circle.radius, abs=0.15)
        assert number.size_pt == 5.0


def test_marks_run_to_the_smallest_bore_and_the_scale_stays_outside_the_largest() -> None:
    (page,) = ring_page(SPEC, BORES[1]).pages
    items = list(placed_items(page))
    circle = next(item for item in items if isinstance(item, Arc) and item.role == "inner-edge")
    nearest: dict[str, float] = {}
    for item in items:
        if isinstance(item, Line) and item.role in ("zero", "ends-low", "ends-high", "aim", "slit", "degree"):
            ends = [math.dist((x, y), (circle.cx, circle.cy)) for x, y in ((item.x1, item.y1), (item.x2, item.y2))]
            nearest[item.role] = min(*ends, nearest.get(item.role, math.inf))
    assert nearest.pop("degree") >= max(BORES[1]) / 2
    assert nearest == pytest.approx(dict.fromkeys(nearest, min(BORES[1]) / 2))
    assert {"zero", "ends-low", "ends-high", "aim", "slit"} == nearest.keys()


@pytest.mark.parametrize("bores", [(20.0, 21.5), (30.0, 20.0), (0.5, 20.0)])
def test_bores_that_cannot_be_cut_are_refused(bores: tuple[float, ...]) -> None:
    stage = StageMarks(parse_spec("90°").stages[0], (1,), None, False)
    with pytest.raises(RangeError, match="bores"):
        RingLayout(bores[-1], 12.0, True, (stage,), 225.0, bores_mm=bores)


def test_a_ring_with_one_bore_is_the_ring_without_the_choice() -> None:
    stage = StageMarks(parse_spec("90° ±5").stages[0], (1,), 90.0, False)
    ring = draw_ring(RingLayout(28.8, 12.0, True, (stage,), 225.0))
    lines = [item for item in ring.content.items if isinstance(item, Line)]
    middle = ring.width_mm / 2
    ends = {role: [math.dist((item.x1, item.y1), (middle, middle)) for item in lines if item.role == role]
            for role in ("zero", "degree")}  # fmt: skip
    assert ends["zero"] == pytest.approx([14.4])
    assert ends["degree"] == pytest.approx([14.4] * len(ends["degree"]))
    (bore,) = [item for item in ring.content.items if isinstance(item, Arc) and item.role == "inner-edge"]
    assert (bore.sweep_deg, bore.data) == (360.0, ())


# -- the command

DISC = ("disc", SPEC, "--drive", "1/2")


def test_the_command_writes_the_sheet_and_says_so(run: Run, tmp_path: Path) -> None:
    told = run(*DISC).stdout
    assert list(tmp_path.iterdir()) == [], "without -o the numbers alone"
    done = run(*DISC, "-o", "disc.pdf")
    wrote = "wrote disc.pdf: 1 page, A4. Print at 100 %, then measure both rulers.\n"
    assert (done.returncode, done.stdout, done.stderr) == (0, told + wrote, "")
    assert (tmp_path / "disc.pdf").read_bytes().startswith(b"%PDF")


def test_json_is_one_object_with_every_number(run: Run) -> None:
    data = json.loads(run(*DISC, "--points", "12", "--diameter", "80 mm", "-o", "disc.svg", "--json").stdout)
    assert set(data) == {"format", "spec", "disc", "discs", "marks", "budgets", "warnings", "files"}
    assert data["disc"] == pytest.approx({"diameter_mm": 80, "drive_in": 0.5, "hole_mm": 13.0})
    assert {m["kind"]: m["deg"] for m in data["marks"]} == pytest.approx(
        {"start": 0, "stop-low": 90, "stop-high": 100, "aim": 95}
    )
    assert data["marks"][1]["where"] == "on corner 4"
    assert data["marks"][1]["mm"] == pytest.approx(math.pi * 20)
    (budget,) = data["budgets"]
    squares = sum((c["half_width"] * c["sensitivity"]) ** 2 / 3 for c in budget["contributions"])
    assert budget["U_deg"] == pytest.approx(2 * math.sqrt(squares))
    assert data["files"] == ["disc.svg"]
    assert data["warnings"] == []


def test_it_warns_as_a_job_does(run: Run) -> None:
    done = run("disc", "90°", "--drive", "1/2", "-o", "x.pdf")
    assert done.returncode == 0
    assert "no snug torque" in done.stderr
    assert "ask the manual's maker for a tolerance" in done.stderr
    assert "a disc of at least" in run("disc", "1 N·m + 90° +5/-0", "--drive", "1/2", "-o", "x.pdf").stderr


@pytest.mark.parametrize(
    ("option", "value"),
    [("--witness-error", "1 mm"), ("--stop-error", "1 mm"), ("--view-angle", "20°"), ("--disc-gap", "5 mm"),
     ("--sway-error", "1 mm"), ("--unequal-scale", "2 %")],
)  # fmt: skip
def test_every_assumption_is_an_option(run: Run, option: str, value: str) -> None:
    data = json.loads(run(*DISC, option, value, "-o", "x.pdf", "--json").stdout)
    assert data["budgets"][0]["U_deg"] > a_budget().expanded_deg + 0.05


@pytest.mark.parametrize(
    ("code", "arguments", "reason"),
    [
        (1, (*DISC, "--diameter", "30 mm", "-o", "x.pdf"), "41.38 mm to 280 mm"),
        (1, (*DISC, "--diameter", "12 in", "-o", "x.pdf"), "check --diameter"),
        (1, (*DISC, "--diameter", "70", "-o", "x.pdf"), "has no unit"),
        (1, (*DISC, "--diameter", "250 mm", "-o", "x.pdf"), "larger --paper"),
        (1, (*DISC, "--paper", "62mm x roll", "-o", "x.pdf"), "label stock"),
        (1, (*DISC, "--disc-gap", "3", "-o", "x.pdf"), "has no unit"),
        (1, (*DISC, "--unequal-scale", "0.2", "-o", "x.pdf"), "has no unit"),
        (1, (*DISC, "--witness-error", "11 mm", "-o", "x.pdf"), "0 to 10"),
        (1, (*DISC, "-o", "x.png"), ".pdf"),
        (1, (*DISC, "--title", "漢字", "-o", "x.pdf"), "U+6F22"),
        (1, ("disc", SPEC, "--drive", "5/8", "-o", "x.pdf"), "check --drive"),
        (1, ("disc", "110 N·m", "--drive", "1/2", "-o", "x.pdf"), "110 N·m"),
        (1, ("disc", "90° + 60°", "--drive", "1/2", "--witness", "first", "-o", "x.pdf"), "turns that grow"),
        (2, ("disc", SPEC, "-o", "x.pdf"), "--drive"),
        (2, (*DISC, "--points", "5", "-o", "x.pdf"), "--points"),
        (2, (*DISC, "--copies", "0", "-o", "x.pdf"), "--copies"),
    ],
)
def test_refusals_say_why_and_leave_no_file(
    run: Run, tmp_path: Path, code: int, arguments: tuple[str, ...], reason: str
) -> None:
    assert_refused(run(*arguments), code, reason, tmp_path)


def test_help_shows_examples(run: Run) -> None:
    done = run("disc", "--help")
    assert done.returncode == 0
    assert "Examples:" in done.stdout


@pytest.mark.parametrize("thread", ["right", "left"])
def test_totals_from_snug_are_said_to_count_from_snug(thread: str) -> None:
    """After 90° START has left the mark: one more full turn from there would overshoot a total of 400°."""
    spec = "110 N·m + 90° ±5 + 400° ±10"
    plan = plan_job(read_job(spec, 12, "1/2", od="60 mm", thread=thread, witness="first"))
    job = words.use_steps(plan.job.spec, plan.budgets, None, 1, [0] * len(plan.budgets))
    disc = steps_of(plan_discs(read_disc(spec, "1/2", thread=thread, witness="first")))
    for steps, kept in ((job, "Keep the same witness mark"), (disc, "Leave the pointer as it is")):
        (stage,) = (step for step in steps if step.startswith("Stage 2:"))
        assert f"Stage 2: {kept}. Turn on" in stage
        assert "counted from snug, 1 full turn, then on until" in stage
        assert "390–410° from snug" in stage
        assert not any("START" in step for step in steps[steps.index(stage) :])
    fresh = words.use_steps(parse_spec(spec, thread), plan.budgets, None, 1, [0] * len(plan.budgets))
    assert not any("from snug" in step.replace("from snug in all", "") for step in fresh)


def test_the_record_has_no_box_for_a_mark_that_is_not_made() -> None:
    marked_by: dict[str, list[str]] = {"first": ["marked 1"], "fresh": ["marked 1", "marked 2"]}
    for witness, marked in marked_by.items():
        document = job_document(
            plan_job(read_job("110 N·m + 90° ±5 + 180° ±5", 12, "1/2", od="27.8 mm", witness=witness))
        )
        titles = {text.text for page in document.pages for text in placed_texts(page)}
        assert sorted(title for title in titles if title.startswith("marked")) == marked
        assert {"turned 1", "turned 2"} <= titles
