"""The error that ruins an engine: the marks must arrive at the witness mark when the socket is tightened.

Nothing here uses the library's own idea of left and right. The finished SVG is wrapped round a cylinder in space, the
cylinder is turned the way the thread tightens, and the test looks which mark stands where START was.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from kit.each import each
from kit.measure import Stroke, a_document, a_job, drawn_groups, groups, of_role, only, placed_texts, strokes, svg_root
from kit.turning import SPECS, Vector, polygon_middle, ring_centre, tightened
from marking.errors import LayoutError
from marking.outputs.job.band_plan import plan_job


def wrapped(line: Stroke, seam_x: float, length: float) -> Vector:
    """The foot of a band's line in space: the axis is z with the drive end up, the print faces outwards.

    Somebody who stands outside, in front of the strip's point x, sees larger x to the right. With z up, the right of a
    viewer who looks at the axis is z × (direction towards the viewer), which is the way of growing azimuth.
    """
    azimuth = 2 * math.pi * (line.x1 - seam_x) / length
    towards_viewer = np.array([math.cos(azimuth), math.sin(azimuth), 0.0])
    return towards_viewer


def test_right_of_a_viewer_is_growing_azimuth() -> None:
    """The one fact of space that the proof rests on: up × towards-the-viewer points to the viewer's right."""
    towards_viewer, up = np.array([1.0, 0.0, 0.0]), np.array([0.0, 0.0, 1.0])
    looking = -towards_viewer
    assert np.allclose(np.cross(looking, up), np.cross(up, towards_viewer))
    step = np.array([math.cos(0.01), math.sin(0.01), 0.0]) - towards_viewer
    assert np.dot(step, np.cross(looking, up)) > 0


def band_strokes(spec: str, points: int, thread: str) -> list[Stroke]:
    document = a_document(spec, points, thread=thread)
    root = svg_root(document.pages[0], document, "band")
    return strokes(groups(root, "band")[0])


@each("thread", ["right", "left"])
@each("points", [4, 6, 8, 12])
@each("spec", SPECS)
def test_the_mark_of_the_turn_arrives_at_the_witness_mark(spec: str, points: int, thread: str) -> None:
    lines = band_strokes(spec, points, thread)
    seam, closure, start = only(lines, "seam"), only(lines, "closure"), only(lines, "start")
    length = closure.x1 - seam.x1
    witness = wrapped(start, seam.x1, length)
    stage = a_job(spec, points).spec.stages[0]
    turns = (
        {"stop": stage.turn_deg}
        if stage.window is None
        else {"stop-low": stage.window.low_deg, "stop-high": stage.window.high_deg}
    )
    for role, deg in turns.items():
        arrived = tightened(wrapped(only(lines, role), seam.x1, length), deg, thread)
        assert np.allclose(arrived, witness, atol=1e-4), f"{role} is not at the witness mark"


@each("thread", ["right", "left"])
def test_the_reading_edge_is_at_the_fastener(thread: str) -> None:
    lines = band_strokes(SPECS[0], 12, thread)
    fastener, drive = only(lines, "fastener-edge"), only(lines, "drive-edge")
    assert fastener.y1 < drive.y1, "with the drive end up, the fastener edge is the lower one"
    for corner in of_role(lines, "corner", "mid-flat", "degree"):
        assert math.isclose(min(corner.y1, corner.y2), fastener.y1, abs_tol=1e-3)


@each("thread", ["right", "left"])
@each("points", [4, 6, 8, 12])
def test_corners_of_the_opening_come_by_in_the_order_of_their_numbers(points: int, thread: str) -> None:
    lines = band_strokes(SPECS[0], points, thread)
    seam, closure, start = only(lines, "seam"), only(lines, "closure"), only(lines, "start")
    length = closure.x1 - seam.x1
    witness = wrapped(start, seam.x1, length)
    corners = of_role(lines, "corner")
    assert len(corners) == points
    for corner in corners:
        turn = (int(corner.data["index"]) - 1) * 360 / points
        assert np.allclose(tightened(wrapped(corner, seam.x1, length), turn, thread), witness, atol=1e-4)


@each("ring", ["full", "sector"])
@each("thread", ["right", "left"])
@each("spec", SPECS)
def test_start_arrives_in_the_bracket_of_the_part_ring(spec: str, thread: str, ring: str) -> None:
    """The ring lies still and is seen from above; START begins at its zero and travels with the socket."""
    document = a_document(spec, thread=thread, ring=ring, od="60 mm")
    (ring_drawn,) = drawn_groups(document, "part-ring")
    lines = strokes(ring_drawn)
    centre = ring_centre(lines)

    def outwards(line: Stroke) -> Vector:
        far = max(((line.x1, line.y1), (line.x2, line.y2)), key=lambda p: float(np.hypot(*(np.array(p) - centre))))
        away = np.array(far) - centre
        return np.array([*away / np.linalg.norm(away), 0.0])

    start = outwards(only(lines, "zero"))
    stage = a_job(spec).spec.stages[0]
    if stage.window is None:
        assert np.allclose(tightened(start, stage.turn_deg, thread), outwards(only(lines, "ends")), atol=1e-4)
        return
    low, high = outwards(only(lines, "ends-low")), outwards(only(lines, "ends-high"))
    assert np.allclose(tightened(start, stage.window.low_deg, thread), low, atol=1e-4)
    assert np.allclose(tightened(start, stage.window.high_deg, thread), high, atol=1e-4)


@each("spec", SPECS)
def test_a_left_hand_band_is_the_mirror_image_of_a_right_hand_one(spec: str) -> None:
    right, left = band_strokes(spec, 6, "right"), band_strokes(spec, 6, "left")
    seam, closure = only(right, "seam").x1, only(right, "closure").x1
    for role in ("start", "stop-low", "stop-high", "stop", "aim", "corner", "mid-flat"):
        mirrored = sorted(seam + closure - line.x1 for line in of_role(right, role))
        drawn = sorted(line.x1 for line in of_role(left, role))
        length = closure - seam
        # A line exactly on the seam may be drawn at either end of the strip: they are the same place.
        assert [round((x - seam) % length, 3) % round(length, 3) for x in mirrored] == pytest.approx(
            [round((x - seam) % length, 3) % round(length, 3) for x in drawn], abs=2e-3
        ), role


def test_the_plan_says_the_same_seam_for_both_threads() -> None:
    right, left = (plan_job(a_job(thread=thread)) for thread in ("right", "left"))
    assert right.bands[0].seam == left.bands[0].seam
    assert right.bands[0].clockwise is not left.bands[0].clockwise


@each("thread", ["right", "left"])
@each("od", ["9.6 mm", "28 mm", "70 mm"])
def test_the_bands_arrow_points_the_way_its_near_side_moves(thread: str, od: str) -> None:
    """The near side is the one in front of the viewer: azimuth 0, viewer's right is +y."""
    document = a_document("60 N·m + 90° ±20", 6, "1/4", thread=thread, od=od)
    (band, *_) = groups(svg_root(document.pages[0], document, "band"), "band")
    heads = [e for e in band.iter() if e.get("class") == "arrow-head"]
    lines = of_role(strokes(band), "arrow")
    assert len(heads) == len(lines) == 1
    near_side = np.array([1.0, 0.0, 0.0])
    moves_right = (tightened(near_side, 1.0, thread) - near_side)[1]
    points_right = polygon_middle(heads[0])[0] - (lines[0].x1 + lines[0].x2) / 2
    assert moves_right * points_right > 0


@each("thread", ["right", "left"])
@each("od", ["12 mm", "28 mm", "90 mm"])
def test_the_rings_arrow_points_the_way_start_travels(thread: str, od: str) -> None:
    document = a_document("60 N·m + 90° ±20", 6, "1/4", thread=thread, od=od, ring="full")
    (ring,) = drawn_groups(document, "part-ring")
    lines = strokes(ring)
    centre = ring_centre(lines)
    (head,) = [e for e in ring.iter() if e.get("class") == "arrow-head"]
    (arc,) = [e for e in ring.iter() if e.get("class") == "arrow"]
    corners = np.array([[float(x), -float(y)] for x, y in (p.split(",") for p in str(head.get("points")).split())])
    tip, neck = corners[0] - centre, corners[1:].mean(axis=0) - centre
    assert str(arc.get("d")).startswith("M")
    start = np.array([*neck, 0.0])
    travel = tightened(start, 1.0, thread) - start
    assert np.dot(travel[:2], tip - neck) > 0


@each(("thread", "turn", "side"), [("right", "clockwise", "right"), ("left", "counterclockwise", "left")])
def test_the_words_name_the_way_that_the_drawing_shows(thread: str, turn: str, side: str) -> None:
    document = a_document(thread=thread, od="60 mm", ring="full")
    words = " ".join(text.text for page in document.pages for text in placed_texts(page) if not text.text.isdigit())
    assert f"numbered to the {side}" in words
    assert f", {turn}, seen from the drive end" in words
    assert f"START travels over it {turn}" in words
    assert ("left-hand" in words) is (thread == "left")
    marks = band_strokes(SPECS[0], 12, thread)
    first, second = (next(c for c in of_role(marks, "corner") if c.data["index"] == k) for k in ("1", "2"))
    length = only(marks, "closure").x1 - only(marks, "seam").x1
    step = (second.x1 - first.x1 + length / 2) % length - length / 2
    assert (step > 0) is (side == "right")


@given(
    st.floats(5, 330),
    st.floats(0, 40),
    st.floats(15, 120),
    st.sampled_from([4, 6, 8, 12]),
    st.sampled_from(["corner", "flat"]),
)
def test_marks_come_in_order_and_left_hand_is_the_mirror_image(
    turn: float, half: float, od: float, points: int, start: str
) -> None:
    """Along the drawn strip, from START in the direction of the marks: low edge, aim, high edge; mirrored, the same."""
    assume(half < turn)
    found = {}
    for thread in ("right", "left"):
        try:
            plan = plan_job(
                a_job(
                    f"{turn:.4f}° ±{half:.4f}",
                    points,
                    "1/4",
                    od=f"{od:.3f} mm",
                    thread=thread,
                    start=start,
                    paper="900x900",  # in one piece
                )
            )
        except LayoutError:
            return
        band, length = plan.bands[0], plan.job.length_mm
        sign = 1 if thread == "right" else -1
        xs = [sign * (band.x_of(mark.deg) - band.x_of(0.0)) % length for mark in plan.marks]
        kinds = [mark.kind for mark in plan.marks]
        order = [xs[kinds.index(kind)] for kind in ("start", "stop-low", "aim", "stop-high") if kind in kinds]
        if turn + half < 360:
            assert order == sorted(order)
        found[thread] = [band.x_of(mark.deg) for mark in plan.marks]
    for a, b in zip(found["right"], found["left"], strict=True):
        assert (a + b) % length == pytest.approx(0, abs=1e-6) or (a + b) % length == pytest.approx(length, abs=1e-6)
