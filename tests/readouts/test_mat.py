"""The mat and the marks that a socket gets on it: directions, ink, reading error, and the command."""

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

from kit.collisions import check, placed_items, specs
from kit.commands import Run
from kit.measure import (
    MM_PER_PT,
    SVG,
    Stroke,
    a_job,
    assert_refused,
    drawn_groups,
    of_role,
    only,
    placed_texts,
    strokes,
)
from kit.pdf_reading import pdf_pages
from kit.sets import a_set, an_item
from kit.turning import SPECS, Vector, tightened
from marking import MarkingError
from marking.drawing.fonts import CAP_EM
from marking.drawing.primitives import Arc, Document, Line, Text
from marking.errors import LayoutError
from marking.fastening.spec import Window
from marking.fastening.spec_grammar import parse_spec
from marking.files.pdf import pdf_bytes
from marking.marks.reading_error import ErrorModel
from marking.outputs.job.plan import plan_extra
from marking.quantities.shown import shown_degrees
from marking.readouts import READOUTS, Unproved
from marking.readouts.mat.error import MatErrorModel, mat_budget, mat_contributions
from marking.readouts.mat.plan import MatPlan
from marking.readouts.mat.plan import plan as plan_mat
from marking.readouts.mat.request import read as read_mat
from marking.readouts.mat.sheet import draw as mat_document

SPEC = "110 N·m + 90° +10/-0"
UP = np.array([0.0, 0.0, 1.0])


def a_plan(spec: str = SPEC, drive: str = "1/2", **more: Any) -> MatPlan:
    return plan_mat(read_mat(spec, drive, **more))


def the_mat(plan: MatPlan) -> ElementTree.Element:
    document = mat_document(plan)
    (mat,) = drawn_groups(document, "mat")
    return mat


def printed(plan: MatPlan) -> str:
    """All words of the sheet without the numbers of the steps, which stand behind their first line."""
    texts = [text.text for page in mat_document(plan).pages for text in placed_texts(page)]
    return " ".join(text for text in texts if not text.isdigit())


def number(element: ElementTree.Element, name: str) -> float:
    return float(element.get(name, "nan"))


def circles(mat: ElementTree.Element, role: str) -> list[tuple[float, float, float, float]]:
    """Middle (y upwards), radius and OD of whole circles."""
    return [
        (
            float(e.get("cx", "nan")),
            -float(e.get("cy", "nan")),
            float(e.get("r", "nan")),
            float(e.get("data-od", "nan")),
        )
        for e in mat.iter(f"{SVG}circle")
        if e.get("class") == role
    ]


def carried_up(ray: Stroke, mat: ElementTree.Element, od_mm: float) -> Vector:
    """Where a ray is on the wall of a socket that stands mouth down, centred: 20 mm up from the paper.

    The paper lies in the plane z = 0, print up, as seen from above; the socket's axis is z, its drive end up.
    """
    (x, y, _, _), *_ = circles(mat, "reading-edge")
    far = max((np.array([px - x, py - y]) for px, py in ((ray.x1, ray.y1), (ray.x2, ray.y2))), key=np.linalg.norm)
    foot = far / np.linalg.norm(far) * od_mm / 2
    return np.array([*foot, 20.0])


# -- directions


@pytest.mark.parametrize("thread", ["right", "left"])
@pytest.mark.parametrize("spec", SPECS)
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


@pytest.mark.parametrize("thread", ["right", "left"])
def test_the_words_name_the_side_of_start_on_which_stop_stands_on_the_wall(thread: str) -> None:
    """For somebody who looks at START on the wall from the side, drive end up, right is up × towards the viewer."""
    plan = a_plan("60 N·m + 30° ±8", od="28 mm", thread=thread)
    mat = the_mat(plan)
    start, stop = (carried_up(only(strokes(mat), role), mat, 28.0) for role in ("start", "stop-low"))
    right = float(np.dot(stop - start, np.cross(UP, start * [1, 1, 0]))) > 0
    words = printed(plan)
    side, around = ("right", "counterclockwise") if right else ("left", "clockwise")
    assert f"degrees count {around} from START; on the wall, drive end up, to the {side}" in words
    assert f"drive end up, the degrees run from START to the {side}" in words
    assert right is (thread == "right")


@pytest.mark.parametrize("thread", ["right", "left"])
@pytest.mark.parametrize("spec", [SPEC, "60 N·m + 340° ±10", "60 N·m + 20° ±5 + 340° ±5"])
def test_the_arrow_points_the_way_the_socket_turns(spec: str, thread: str) -> None:
    mat = the_mat(a_plan(spec, od="28 mm", thread=thread))
    (x, y, _, _), *_ = circles(mat, "reading-edge")
    (head,) = [e for e in mat.iter() if e.get("class") == "arrow-head"]
    corners = np.array(
        [[float(a) - x, -float(b) - y] for a, b in (p.split(",") for p in str(head.get("points")).split())]
    )
    neck, tip = np.array([*corners[1:].mean(axis=0), 0.0]), np.array([*corners[0], 0.0])
    assert np.dot(tightened(neck, 1.0, thread) - neck, tip - neck) > 0


@pytest.mark.parametrize("thread", ["right", "left"])
@pytest.mark.parametrize("points", [4, 6, 8, 12])
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


# -- ink


SHEETS = [(SPEC, "1/2", "27.8 mm", "right"), ("20 N·m + 30° ±8", "1/4", "12 mm", "left"),
          ("900 N·m + 450° ±15", "1", "96 mm", "right"), ("90 N·m + 200°", "3/4", "1-1/2 in", "left")]  # fmt: skip


def expected_turns(spec: str) -> dict[str, float]:
    stage = parse_spec(spec).stages[0]
    if stage.window is None:
        return {"start": 0.0, "stop": stage.turn_deg}
    return {"start": 0.0, "stop-low": stage.window.low_deg, "stop-high": stage.window.high_deg}


def od_mm(text: str) -> float:
    return {"27.8 mm": 27.8, "12 mm": 12.0, "96 mm": 96.0, "1-1/2 in": 38.1}[text]


@pytest.mark.parametrize(("spec", "drive", "od", "thread"), SHEETS)
def test_rays_and_circles_in_the_svg_lie_where_the_numbers_say(spec: str, drive: str, od: str, thread: str) -> None:
    mat = the_mat(a_plan(spec, drive, od=od, thread=thread))
    ((x, y, radius, named),) = circles(mat, "own-circle")
    assert radius == pytest.approx(od_mm(od) / 2, abs=1e-3)
    assert named == pytest.approx(od_mm(od), abs=1e-3)
    assert sorted(r for _, _, r, _ in circles(mat, "od-circle-fine")) == pytest.approx(
        [radius + 1, radius + 2], abs=1e-3
    )
    for role, deg in expected_turns(spec).items():
        line = only(strokes(mat), role)
        way = math.radians(90 + (deg if thread == "right" else -deg))
        along = np.array([math.cos(way), math.sin(way)])
        ends = sorted((np.array(end) - [x, y] for end in ((line.x1, line.y1), (line.x2, line.y2))), key=np.linalg.norm)
        for end in ends:
            assert end == pytest.approx(along * float(np.linalg.norm(end)), abs=3e-3), role
        assert np.linalg.norm(ends[0]) < radius - 2, "it begins under the socket"
        assert np.linalg.norm(ends[1]) > radius + 15, "it is seen far beside the socket"


@pytest.mark.parametrize(("spec", "drive", "od", "thread"), SHEETS)
def test_rays_and_circles_in_the_pdf_lie_where_the_numbers_say(spec: str, drive: str, od: str, thread: str) -> None:
    """Heavy strokes are told by their width: the socket's own circle and the rays."""
    page = pdf_pages(pdf_bytes(mat_document(a_plan(spec, drive, od=od, thread=thread))))[0]
    (circle,) = [circle for circle in page.circles if abs(circle.width_mm - 0.35) < 1e-3]
    knots = circle.points[:-1]
    middle = knots.mean(axis=0)
    assert np.linalg.norm(knots - middle, axis=1) == pytest.approx(od_mm(od) / 2, abs=3e-3)
    heavy = [line for line in page.lines if abs(line.width_mm - 0.35) < 1e-3]
    found = [max(np.array([[x1, y1], [x2, y2]]) - middle, key=np.linalg.norm) for x1, y1, x2, y2, _ in heavy]
    turns = expected_turns(spec)
    assert len(found) == len(turns)
    sign = 1 if thread == "right" else -1
    drawn = sorted((sign * math.degrees(math.atan2(-far[0], far[1]))) % 360 for far in found)
    for deg in turns.values():
        assert min(abs((deg - other + 180) % 360 - 180) for other in drawn) < 0.02


def arcs_of(plan: MatPlan) -> list[Arc]:
    return [item for item in placed_items(mat_document(plan).pages[0]) if isinstance(item, Arc)]


def test_a_mat_without_an_od_has_a_circle_every_mm_and_a_number_every_5() -> None:
    plan = a_plan()
    radii = sorted(2 * arc.radius for arc in arcs_of(plan) if arc.role.startswith("od-circle"))
    assert radii == pytest.approx(range(12, 49)), "the usual ODs of 1/2 in drive, 12.5 to 48 mm"
    strong = sorted(2 * arc.radius for arc in arcs_of(plan) if arc.role == "od-circle")
    assert strong == pytest.approx(range(15, 50, 5))
    numbers = [item.text for item in placed_items(mat_document(plan).pages[0])
               if isinstance(item, Text) and item.role == "od-number"]  # fmt: skip
    assert numbers == ["15", "20", "25", "30", "35", "40", "45"]
    assert not [arc for arc in arcs_of(plan) if arc.role == "own-circle"]
    inches = a_plan(od_range="3/4 in..1 in")
    radii = sorted(2 * arc.radius / 25.4 for arc in arcs_of(inches) if arc.role.startswith("od-circle"))
    assert radii == pytest.approx([k / 32 for k in range(24, 33)])


def test_a_number_stands_on_its_circle() -> None:
    items = list(placed_items(mat_document(a_plan()).pages[0]))
    (scale,) = [item for item in items if isinstance(item, Arc) and item.role == "reading-edge"]
    for item in items:
        if isinstance(item, Text) and item.role == "od-number":
            x, y = np.mean(item.box, axis=0)
            assert math.hypot(x - scale.cx, y - scale.cy) == pytest.approx(int(item.text) / 2, abs=0.1)


def test_corners_that_are_others_upside_down_are_underlined() -> None:
    items = list(placed_items(mat_document(a_plan(points=12, od="28 mm")).pages[0]))
    texts = {item.text: item for item in items if isinstance(item, Text) and item.role == "corner-number"}
    assert set(texts) == {str(k) for k in range(1, 13)}
    lines = [item for item in items if isinstance(item, Line) and item.role == "underline"]
    under = {text for text, item in texts.items() for line in lines
             if abs(line.x1 + line.x2 - 2 * item.x) < 0.01 and 0 < item.y - line.y1 < 1}  # fmt: skip
    assert under == {"6", "9"}
    assert len(lines) == 2


@pytest.mark.parametrize("more", [{"od": "12 mm", "drive": "1/4"}, {"od": "96 mm", "drive": "1"}, {}])
def test_words_and_hatch_are_clear_of_where_the_socket_stands(more: dict[str, Any]) -> None:
    items = list(placed_items(mat_document(a_plan(points=12, **more)).pages[0]))
    rings = [item for item in items if isinstance(item, Arc) and "-circle" in item.role]
    most, x, y = max(ring.radius for ring in rings), rings[0].cx, rings[0].cy
    for item in items:
        if isinstance(item, Text) and item.role != "od-number":
            assert min(math.hypot(px - x, py - y) for px, py in item.box) > most + 1, item
        elif getattr(item, "role", "") == "hatch":
            assert min(math.hypot(px - x, py - y) for px, py in item.points) > most + 1  # type: ignore[union-attr]


def test_start_and_stop_are_large_and_no_number_is_below_6_points() -> None:
    for plan in (a_plan(points=12, od="12 mm", drive="1/4"), a_plan("600 N·m + 60° ±5 + 90°", "1", od="96 mm")):
        texts = [item for item in placed_items(mat_document(plan).pages[0]) if isinstance(item, Text)]
        assert all(text.size_pt * CAP_EM * MM_PER_PT >= 2.4 for text in texts if text.role == "label")
        assert {text.text.split()[0] for text in texts if text.role == "label"} >= {"START", "STOP"}
        assert all(text.size_pt >= 6 for text in texts if text.role.endswith("number"))


def test_every_ten_degrees_have_their_number_but_where_a_ray_is() -> None:
    texts = [item.text for item in placed_items(mat_document(a_plan(od="12 mm", drive="1/4")).pages[0])
             if isinstance(item, Text) and item.role == "number"]  # fmt: skip
    assert texts == [f"{deg}°" for deg in range(10, 360, 10) if deg not in (90, 100)]


def test_a_stop_without_a_tolerance_is_a_line_with_a_flag() -> None:
    mat = the_mat(a_plan("110 N·m + 90°", od="28 mm"))
    roles = [e.get("class") for e in mat.iter()]
    assert (roles.count("stop"), roles.count("stop-flag"), roles.count("hatch")) == (1, 1, 0)


def test_a_range_has_an_aim_line_only_where_its_smallest_od_has_an_aim() -> None:
    for ods, times in (("28 mm..40 mm", 1), ("24 mm..40 mm", 0)):
        plan = a_plan(od_range=ods)
        assert [e.get("class") for e in the_mat(plan).iter()].count("aim") == times
        assert [budget.verdict == "aim" for budget in plan.budgets] == [bool(times)]
        assert [budget.verdict for budget in plan.largest] == ["aim"]
        assert [remark.code for remark in plan.warnings] == ([] if times else ["unproved"])


def test_sheet_terminal_and_json_agree_from_which_od_on_there_is_an_aim(run: Run) -> None:
    ranged = (*MAT, "--thread", "left", "-o", "m.pdf")
    done, data = run(*ranged), json.loads(run(*ranged, "--json").stdout)
    (from_mm,) = data["mat"]["aim_from_od_mm"]
    below, above = (mat_budget(1, 90, Window(90, 100), od, ErrorModel()).verdict for od in (from_mm - 0.2, from_mm))
    assert (below != "aim", above) == (True, "aim")
    assert [data[name][0]["verdict"] for name in ("budgets", "budgets_at_largest")] == ["unproved", "aim"]
    said = f"from an OD of {from_mm:g} mm on aim at 95° (no aim line is drawn: smaller sockets have no aim"
    plan = a_plan(thread="left", points=None)
    for words in (done.stdout, done.stderr, data["warnings"][0], printed(plan).replace("From an", "from an")):
        assert said in " ".join(words.split())
    known = json.loads(run(*MAT, "--od", "48 mm", "-o", "m.pdf", "--json").stdout)
    assert (known["mat"]["aim_from_od_mm"], known["budgets"][0]["verdict"]) == ([None], "aim")


# -- layout


CASES: list[dict[str, Any]] = [
    {"od": "12 mm", "drive": "1/4", "points": 6}, {"od": "27.8 mm", "points": 12, "opening": "19 mm"},
    {"od": "96 mm", "drive": "1", "points": 8, "start": "flat"}, {"points": 12}, {"od_range": "1/2 in..1-1/4 in"},
]  # fmt: skip


@pytest.mark.parametrize("more", CASES, ids=str)
@pytest.mark.parametrize("spec", [*SPECS[2:], "200 N·m + 360° ±20", "40 N·m + 90° ±5, then to 180° ±5 in all",
                                  "9 N·m + 60° ±3 + 120° ±3 + 340° ±3"])  # fmt: skip
def test_no_text_touches_anything(spec: str, more: dict[str, Any]) -> None:
    thread = "left" if "od" in more else "right"
    check(mat_document(a_plan(spec, thread=thread, title="demo data, not for real equipment", **more)))


@settings(max_examples=12)
@given(
    spec=specs,
    drive=st.sampled_from(["1/4", "1/2", "1"]),
    od=st.none() | st.integers(8, 110).map("{} mm".format),
    thread=st.sampled_from(["right", "left"]),
    points=st.sampled_from([None, 6, 12]),
    paper=st.sampled_from(["a4", "letter", "a5", "a3"]),
)
def test_no_text_touches_anything_on_any_mat(spec: str, drive: str, **more: Any) -> None:
    try:
        document = mat_document(a_plan(spec, drive, **more))
    except MarkingError:
        return  # refused, with a reason: other tests look at those
    check(document)


def pages_of(document: Document) -> int:
    return len(document.pages)


def test_a_table_of_few_marks_is_as_wide_as_its_heading() -> None:
    check(mat_document(a_plan("110 N·m + 28°", "1/4", paper="a5")))


def test_a_mat_for_a_usual_socket_is_one_page() -> None:
    document = mat_document(a_plan(od="28 mm", points=12))
    assert pages_of(document) == 1
    words = {text.text for text in placed_texts(document.pages[0])}
    assert {"Record", "part", "date", "technician", "wrench no."} <= words
    assert pages_of(mat_document(a_plan())) == 1


def test_equal_stages_share_their_rays() -> None:
    mat = the_mat(a_plan("60 N·m + 60° ±5 + 60° ±5", od="28 mm"))
    assert only(strokes(mat), "stop-low").data["stage"] == "1 2"
    words = [e.text for e in mat.iter(f"{SVG}text")]
    assert {"STOP, each stage", "new mark", "60°, 120° from snug in all"} <= set(words)


def test_stages_that_would_touch_on_the_wall_are_refused() -> None:
    with pytest.raises(LayoutError, match="STOP 1 and STOP 2 would touch on the socket's wall"):
        a_plan("60 N·m + 60° ±10 + 75° ±10", od="28 mm")


# -- reading error


def test_contributions_are_those_of_the_method() -> None:
    """Worked by hand for θ = 100°, OD 28 mm: 360/(π 28) = 4.09255, times 2 sin 50° = 6.27013, sin 100° = 0.9848."""
    found = {c.name: (c.half_width, c.sensitivity) for c in mat_contributions(100, 28, ErrorModel(), MatErrorModel())}
    expected = {
        "centring": (0.25, 6.27013), "unequal print scale": (0.2, 0.564253),
        "pen line at START": (0.25, 4.09255), "pen line at the stop": (0.25, 4.09255),
        "witness mark": (0.25, 4.09255), "stop reading": (0.25, 4.09255),
        "sideways play at START": (0.2, 4.09255), "sideways play at the stop": (0.2, 4.09255),
        "parallax at START": (0.176327, 4.09255), "parallax at the stop": (0.176327, 4.09255),
    }  # fmt: skip
    assert found.keys() == expected.keys()
    for name, values in expected.items():
        assert found[name] == pytest.approx(values, rel=2e-5), name


def test_sideways_play_is_half_the_largest_gap_of_the_tables() -> None:
    """19 mm: the widest opening 19.36, the slimmest hexagon 18.67; without an opening 0.2 mm."""
    assert a_job(opening="19 mm").model.play_mm == pytest.approx((19.36 - 18.67) / 2)
    assert a_job().model.play_mm == 0.2


@pytest.mark.parametrize("window", [(85.0, 95.0), (170.0, 190.0)])
@pytest.mark.parametrize("od", [12.0, 28.0, 96.0])
def test_the_expanded_error_covers_what_would_happen(od: float, window: tuple[float, float]) -> None:
    """The chain itself: print, stand the socket beside the centre, carry two rays up, set the mark, turn, look."""
    rng = np.random.default_rng(20240617)
    count, radius = 60_000, od / 2
    budget = mat_budget(1, sum(window) / 2, Window(*window), od, ErrorModel())

    def even(half: float) -> Vector:
        return rng.uniform(-half, half, count)

    parallax = math.tan(math.radians(10.0)) * 1.0
    on_page = rng.uniform(0.0, 2 * math.pi, count)
    stretch, shift_x, shift_y = 1.0 + even(0.002), even(0.25), even(0.25)

    def on_the_wall(deg: float) -> Vector:
        """The azimuth about the socket's axis where a printed ray meets its wall, and the pen's line beside it."""
        way = np.arctan2(np.sin(on_page + math.radians(deg)) * stretch, np.cos(on_page + math.radians(deg)))
        ux, uy = np.cos(way), np.sin(way)
        along = -(shift_x * ux + shift_y * uy)
        far = -along + np.sqrt(along**2 - (shift_x**2 + shift_y**2 - radius**2))
        return np.asarray(np.arctan2(far * uy + shift_y, far * ux + shift_x) + even(0.25) / radius)

    covered = []
    for edge in window:
        # what shifts the eye, the mark or the whole socket sideways by so much along the wall
        shifts = even(0.25) + even(0.25) + even(0.2) + even(0.2) + even(parallax) + even(parallax)
        marked = np.degrees(on_the_wall(edge) - on_the_wall(0.0))
        error = (marked + np.degrees(shifts / radius) - edge + 180.0) % 360.0 - 180.0
        assert abs(error.mean()) < 0.05 * error.std()
        covered.append(float(np.mean(np.abs(error) <= budget.expanded_deg)))
    assert 0.94 < min(covered) < 0.98


def test_the_mat_is_advice_only_where_it_proves_the_window() -> None:
    socket = a_job(od="96 mm", drive="1").socket
    for half, proves in ((5.0, True), (0.8, False)):
        unproved = Unproved(1, 90.0, Window(90 - half, 90 + half), 270.0, socket, 0.1, 97.0, ErrorModel())
        remedy = READOUTS["mat"].remedy(unproved)
        budget = mat_budget(1, 90.0, unproved.window, 96.0, ErrorModel())
        assert (remedy is not None) is proves is (budget.verdict == "aim")
        if remedy:
            assert str(remedy) == f"the mat (±{shown_degrees(budget.expanded_deg, 1)})"


# -- with jobs and in lists


def test_a_mat_goes_with_a_job_for_its_own_od_or_its_range() -> None:
    known = plan_extra("mat", a_job(thread="left"))
    assert (known.layout.low_od_mm, known.layout.high_od_mm, known.layout.clockwise) == (27.8, 27.8, False)
    ranged = plan_extra("mat", a_job(), (24.0, 32.0))
    assert (ranged.layout.low_od_mm, ranged.layout.high_od_mm) == (27.8, 32.0), "from the job's own smallest OD"
    with pytest.raises(LayoutError, match="a mat does not go on label stock"):
        plan_extra("mat", a_job(paper="62mm x roll"))


@pytest.mark.parametrize(
    ("socket", "ods"), [(("--od", "27.8 mm"), (27.8, 27.8)), (("--od-range", "24 mm..32 mm"), (24, 32))]
)
def test_a_mat_comes_with_the_job_when_asked_for(
    run: Run, tmp_path: Path, socket: tuple[str, ...], ods: tuple[float, float]
) -> None:
    done = run("job", SPEC, "--points", "12", "--drive", "1/2", *socket, "--with", "mat", "-o", "x.svg", "--json")
    found = json.loads(done.stdout)["mat"]
    assert (found["low_od_mm"], found["high_od_mm"]) == pytest.approx(ods)
    assert [budget["readout"] for budget in found["budgets"]] == ["mat"]
    assert sum('class="mat"' in path.read_text("utf-8") for path in tmp_path.glob("x-*.svg")) == 1


def test_a_list_has_mats_with_and_without_an_od() -> None:
    items = [an_item(id="A", kind="mat"), an_item(id="B", kind="mat", od=None, points=None, row=3)]
    plan = a_set(items)
    assert [part.socket_line for part in plan.parts] == [
        "6-point · 1/2 in drive · OD 28 mm", "1/2 in drive · OD 12.5–48 mm",
    ]  # fmt: skip


# -- the command


MAT = ("mat", SPEC, "--drive", "1/2")


def test_json_is_one_object_with_every_number(run: Run) -> None:
    data = json.loads(run(*MAT, "--points", "12", "--od", "28 mm", "-o", "mat.svg", "--json").stdout)
    assert set(data) == {
        "format", "spec", "socket", "mat", "marks", "budgets", "budgets_at_largest", "warnings", "files",
    }  # fmt: skip
    assert {m["kind"]: m["deg"] for m in data["marks"]} == pytest.approx(
        {"start": 0, "stop-low": 90, "stop-high": 100, "aim": 95}
    )
    assert data["marks"][1]["where"] == "on corner 4"
    assert data["marks"][1]["mm"] == pytest.approx(math.pi * 7)
    assert [budget["readout"] for budget in data["budgets"]] == ["mat"]
    assert data["mat"]["circles_mm"] == [28, 30, 32]
    ranged = json.loads(run(*MAT, "-o", "mat.svg", "--json").stdout)
    assert ranged["socket"] | {"od_mm": None, "od_source": "range", "points": None} == ranged["socket"]
    assert {m["mm"] for m in ranged["marks"]} == {None}
    low, high = ranged["budgets"][0]["U_deg"], ranged["budgets_at_largest"][0]["U_deg"]
    assert low / high == pytest.approx(48 / 12.5, rel=0.01), "all but the print scale goes by the diameter"


@pytest.mark.parametrize(
    ("option", "value"),
    [("--witness-error", "1 mm"), ("--stop-error", "1 mm"), ("--view-angle", "20°"), ("--gap", "3 mm"),
     ("--unequal-scale", "3 %"), ("--centring-error", "1 mm"), ("--pen-error", "1 mm"), ("--opening", "19 mm"),
     ("--sideways-error", "1 mm")],
)  # fmt: skip
def test_every_assumption_is_an_option(run: Run, option: str, value: str) -> None:
    data = json.loads(run(*MAT, "--od", "28 mm", option, value, "-o", "x.pdf", "--json").stdout)
    usual = mat_budget(1, 90, Window(90, 100), 28.0, ErrorModel()).expanded_deg
    assert data["budgets"][0]["U_deg"] > usual + 0.05


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        (("--od", "160 mm"), "choose a larger --paper"),
        (("--od-range", "40 mm..160 mm"), "give the socket's own --od or a smaller --od-range"),
        (("--od", "28 mm", "--od-range", "24 mm..32 mm"), "an OD range is for a diameter that is not known"),
        (("--od", "28"), "has no unit"),
        (("--od", "20 mm", "--opening", "19 mm"), "cannot hold an opening"),
        (("--od-range", "20 mm..30 mm", "--opening", "19 mm"), "cannot hold an opening"),
        (("--pen-error", "11 mm"), "0 to 10"),
        (("--paper", "62mm x roll"), "label stock"),
        (("--title", "漢字"), "U+6F22"),
    ],
)
def test_refusals_say_why_and_leave_no_file(run: Run, tmp_path: Path, arguments: tuple[str, ...], reason: str) -> None:
    assert_refused(run(*MAT, *arguments, "-o", "x.pdf"), 1, reason, tmp_path)


@pytest.mark.parametrize("thread", ["right", "left"])
def test_the_steps_turn_the_right_way_and_make_every_assumption_true(thread: str) -> None:
    words = printed(a_plan(od="28 mm", thread=thread))
    way = "clockwise" if thread == "right" else "counterclockwise"
    for said in (
        f"{way}, seen from the drive end", f"Turn in one smooth pull, {way}", "both alike within 0.2 mm",
        "the same width of paper to the fine circles must show all round", "within 0.25 mm", "at most 1 mm from the",
        "between the two lines “STOP”, 90–100°", "the maker's manual decides", "mouth down, drive end up",
    ):  # fmt: skip
        assert said in words, said


def test_the_steps_hold_for_every_stage_and_for_a_socket_that_comes_off() -> None:
    words = printed(a_plan("110 N·m + 90° ±5 + 60° ±5", od="40 mm"))
    words = words[words.index("Tighten") :]
    assert words.count("to take up the slack") == 2, "before every witness mark"
    order = (
        "Hold the other end, nut or bolt head, so that it cannot turn.", "Then change to a bar",
        "not on a washer or flange that turns along", "Read while you still pull lightly, looking square on the mark",
        "Cross out the old mark and put a fresh witness mark", "Short of the window: turn on, do not begin anew.",
        "never turn back", "note the reading first and put it back so that it reads the same",
    )  # fmt: skip
    places = [words.find(said) for said in order]
    assert -1 not in places, order[places.index(-1)]
    assert places == sorted(places)
    assert "same corner" not in words
