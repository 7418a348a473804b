"""Hole, marks and words of a drive disc, measured in finished files."""

from __future__ import annotations

import math
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon

from kit.collisions import check, placed_items, specs
from kit.drive_disc import LARGEST_MALE_MM, SHEETS, a_plan, centre_of, disc_groups, reading_end
from kit.each import each
from kit.examples import examples
from kit.measure import SVG, of_role, only, placed_texts, strokes
from kit.pdf_reading import pdf_pages
from kit.turning import SPECS, tightened
from marking import MarkingError
from marking.drawing.primitives import Arc, Line, Text
from marking.errors import RangeError
from marking.fastening.socket import DRIVES
from marking.fastening.spec_grammar import parse_spec
from marking.files.pdf import pdf_bytes
from marking.readouts.drive_disc.figure import draw_disc, left_out
from marking.readouts.drive_disc.plan import DiscPlan
from marking.readouts.drive_disc.sheet import draw as disc_document

# -- ink


def hole_points(disc: ElementTree.Element) -> list[tuple[float, float]]:
    (hole,) = [e for e in disc.iter(f"{SVG}polygon") if e.get("class") == "square-hole"]
    pairs = [pair.split(",") for pair in str(hole.get("points")).split()]
    return [(float(x), -float(y)) for x, y in pairs]


@each(("drive", "male_mm"), LARGEST_MALE_MM.items())
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


@each(("spec", "drive", "diameter", "thread"), SHEETS)
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


@each(("spec", "drive", "diameter", "thread"), SHEETS)
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


@each("thread", ["right", "left"])
@each("diameter", ["60 mm", "70 mm", "120 mm"])
@each("drive", ["1/4", "1/2", "1"])
@each("spec", [*SPECS, "200 N·m + 360° ±20 + 90° ±5 + 90° ±5", "9 N·m + 60° ±10 + 120° ±10"])
def test_no_text_touches_anything(spec: str, drive: str, diameter: str, thread: str) -> None:
    plan = a_plan(spec, drive, diameter=diameter, thread=thread, title="demo data, not for real equipment")
    check(disc_document(plan))
    assert all(left_out(disc) == () for disc in plan.discs), "every label has room"


@examples(60, shrink=False)
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


@each("turn", range(140, 330, 10))
def test_a_crowded_disc_keeps_arrow_and_words_apart(turn: int) -> None:
    check(disc_document(a_plan(f"60 N·m + {turn}° ±{min(turn - 5, 355 - turn)}", "1/4", diameter="40 mm")))


def labels(plan: DiscPlan) -> str:
    items = placed_items(disc_document(plan).pages[0])
    return " ".join(item.text for item in items if isinstance(item, Text) and item.role == "label")


@each("thread", ["right", "left"])
@each("spec", ["60 N·m + 300° ±20", "60 N·m + 360° ±20", "60 N·m + 355° ±8 + 60° ±8"])
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


@each("paper", ["a4", "letter", "a5", "a3", "legal", "200x240"])
def test_the_sheet_fits_every_paper(paper: str) -> None:
    for more in ({"points": 12, "copies": 3}, {"drive": "1-1/2"}):
        check(disc_document(a_plan("110 N·m + 60° ±10 + 70° ±10", paper=paper, **more)))


@each("drive", [drive.inch for drive in DRIVES])
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
