"""A socket stands on the finished mat and turns: which way, and what the steps say of it."""

from __future__ import annotations

from xml.etree import ElementTree

import numpy as np

from kit.each import each
from kit.mat import SPEC, a_plan, circles, printed, the_mat
from kit.measure import MM_PER_PT, SVG, Stroke, of_role, only, placed_texts, strokes
from kit.turning import SPECS, Vector, tightened
from marking.drawing.fonts import CAP_EM
from marking.fastening.spec_grammar import parse_spec
from marking.readouts.mat.sheet import draw as mat_document

UP = np.array([0.0, 0.0, 1.0])


def carried_up(ray: Stroke, mat: ElementTree.Element, od_mm: float) -> Vector:
    """Where a ray is on the wall of a socket that stands mouth down, centred: 20 mm up from the paper.

    The paper lies in the plane z = 0, print up, as seen from above; the socket's axis is z, its drive end up.
    """
    (x, y, _, _), *_ = circles(mat, "scale-line")
    far = max((np.array([px - x, py - y]) for px, py in ((ray.x1, ray.y1), (ray.x2, ray.y2))), key=np.linalg.norm)
    foot = far / np.linalg.norm(far) * od_mm / 2
    return np.array([*foot, 20.0])


# -- directions


@each("thread", ["right", "left"])
@each("spec", SPECS)
def test_the_mark_on_the_wall_arrives_at_the_witness_mark(spec: str, thread: str) -> None:
    """The socket is marked on the mat, put on the fastener drive end up, and turned the way the thread tightens."""
    od = None if spec == SPECS[1] else "27.8 mm"
    mat = the_mat(a_plan(spec, od=od, thread=thread))
    lines = strokes(mat)
    witness = carried_up(only(lines, "start"), mat, 27.8)
    stage = parse_spec(spec).stages[0]
    turns = {"stop": stage.turn_deg} if stage.window is None else {
        "stop-low": stage.window.low_deg, "stop-high": stage.window.high_deg,
    }  # fmt: skip
    for role, deg in turns.items():
        arrived = tightened(carried_up(only(lines, role), mat, 27.8), deg, thread)
        assert np.allclose(arrived, witness, atol=4e-4), f"{role} is not at the witness mark"


@each("thread", ["right", "left"])
def test_the_words_name_the_side_of_start_on_which_stop_stands_on_the_wall(thread: str) -> None:
    """For somebody who looks at START on the wall from the side, drive end up, right is up × towards the viewer."""
    plan = a_plan("60 N·m + 30° ±8", od="28 mm", thread=thread)
    mat = the_mat(plan)
    start, stop = (carried_up(only(strokes(mat), role), mat, 28.0) for role in ("start", "stop-low"))
    right = float(np.dot(stop - start, np.cross(UP, start * [1, 1, 0]))) > 0
    words = printed(plan)
    side, around = ("right", "counterclockwise") if right else ("left", "clockwise")
    assert f"degrees count {around} from START; on the wall, drive end up, to the {side}" in words
    assert f"drive end up: the degrees run from START to the {side}" in words
    assert right is (thread == "right")


@each("thread", ["right", "left"])
@each("spec", [SPEC, "60 N·m + 340° ±10", "60 N·m + 20° ±5 + 340° ±5"])
def test_the_arrow_points_the_way_the_socket_turns(spec: str, thread: str) -> None:
    mat = the_mat(a_plan(spec, od="28 mm", thread=thread))
    (x, y, _, _), *_ = circles(mat, "scale-line")
    (head,) = [e for e in mat.iter() if e.get("class") == "arrow-head"]
    corners = np.array(
        [[float(a) - x, -float(b) - y] for a, b in (p.split(",") for p in str(head.get("points")).split())]
    )
    neck, tip = np.array([*corners[1:].mean(axis=0), 0.0]), np.array([*corners[0], 0.0])
    assert np.dot(tightened(neck, 1.0, thread) - neck, tip - neck) > 0


def test_the_words_at_the_arrow_make_the_mat_little_higher_where_they_find_room_a_little_farther() -> None:
    """Nearest to START the two rows of a left-hand socket would stand some 3 mm higher than START's own."""
    (page,) = mat_document(a_plan("60 N·m + 90° ±4", od="28 mm", points=12, thread="left")).pages
    from_below = sorted(placed_texts(page), key=lambda text: text.y)  # the table has a START too
    tops = {text.text: text.y + CAP_EM * text.size_pt * MM_PER_PT for text in from_below}
    assert tops["socket turns"] - tops["START"] < 2.5


@each("thread", ["right", "left"])
@each("points", [4, 6, 8, 12])
def test_corners_come_by_in_the_order_of_their_numbers(points: int, thread: str) -> None:
    mat = the_mat(a_plan(points=points, od="28 mm", thread=thread))
    lines = strokes(mat)
    witness = carried_up(only(lines, "start"), mat, 28.0)
    corners = of_role(lines, "corner")
    assert len(corners) == points
    for corner in corners:
        turn = (int(corner.data["index"]) - 1) * 360 / points
        assert np.allclose(tightened(carried_up(corner, mat, 28.0), turn, thread), witness, atol=1e-3)


def test_left_hand_stands_white_on_black_on_left_hand_mats_alone() -> None:
    for thread, times in (("left", 1), ("right", 0)):
        mat = the_mat(a_plan(od="28 mm", thread=thread))
        assert [e.get("class") for e in mat.iter()].count("left-hand-box") == times
        assert [e.text for e in mat.iter(f"{SVG}text")].count("LEFT-HAND") == times


# -- the command


@each("thread", ["right", "left"])
def test_the_steps_turn_the_right_way_and_make_every_assumption_true(thread: str) -> None:
    words = printed(a_plan(od="28 mm", thread=thread))
    way = "clockwise" if thread == "right" else "counterclockwise"
    for said in (
        f"{way}, seen from the drive end", f"Turn in one smooth pull, {way}", "both alike within 0.2 mm",
        "the same width of paper to the fine circles must show all round", "within 0.25 mm", "at most 1 mm from the",
        "between the two lines “STOP”, 90–100°", "scribe only where the socket's maker allows it",
        "mouth down, drive end up",
    ):  # fmt: skip
        assert said in words, said


def test_the_steps_hold_for_every_stage_and_for_a_socket_that_comes_off() -> None:
    words = printed(a_plan("110 N·m + 90° ±5 + 60° ±5", od="40 mm"))
    words = words[words.index("Tighten") :]
    assert words.count("to take up the slack") == 2, "before every witness mark"
    order = (
        "Hold the other end, nut or bolt head.", "Then change to a bar",
        "not on a washer or flange that turns along", "Read while you still pull lightly, looking square on the mark",
        "Cross out the old mark and put a fresh one beside START", "Short of the window: turn on.",
        "never turn back", "note the reading first; put it back to read the same",
    )  # fmt: skip
    places = [words.find(said) for said in order]
    assert -1 not in places, order[places.index(-1)]
    assert places == sorted(places)
    assert "same corner" not in words
