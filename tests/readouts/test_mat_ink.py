"""Rays, circles and numbers of a mat, measured in finished files."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.collisions import check, placed_items, specs
from kit.each import each
from kit.examples import examples
from kit.mat import SPEC, a_plan, circles, od_mm, the_mat
from kit.measure import MM_PER_PT, SVG, only, placed_texts, strokes
from kit.pdf_reading import pdf_pages
from kit.turning import SPECS
from marking import MarkingError
from marking.drawing.fonts import CAP_EM
from marking.drawing.primitives import Arc, Document, Line, Text
from marking.errors import LayoutError
from marking.fastening.spec_grammar import parse_spec
from marking.files.pdf import pdf_bytes
from marking.readouts.mat.plan import MatPlan
from marking.readouts.mat.sheet import draw as mat_document

# -- ink


SHEETS = [(SPEC, "1/2", "27.8 mm", "right"), ("20 N·m + 30° ±8", "1/4", "12 mm", "left"),
          ("900 N·m + 450° ±15", "1", "96 mm", "right"), ("90 N·m + 200°", "3/4", "1-1/2 in", "left")]  # fmt: skip


def expected_turns(spec: str) -> dict[str, float]:
    stage = parse_spec(spec).stages[0]
    if stage.window is None:
        return {"start": 0.0, "stop": stage.turn_deg}
    return {"start": 0.0, "stop-low": stage.window.low_deg, "stop-high": stage.window.high_deg}


@each(("spec", "drive", "od", "thread"), SHEETS)
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


@each(("spec", "drive", "od", "thread"), SHEETS)
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
    (scale,) = [item for item in items if isinstance(item, Arc) and item.role == "scale-line"]
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


@each("more", [{"od": "12 mm", "drive": "1/4"}, {"od": "96 mm", "drive": "1"}, {}])
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


# -- layout


CASES: list[dict[str, Any]] = [
    {"od": "12 mm", "drive": "1/4", "points": 6}, {"od": "27.8 mm", "points": 12, "opening": "19 mm"},
    {"od": "96 mm", "drive": "1", "points": 8, "start": "flat"}, {"points": 12}, {"od_range": "1/2 in..1-1/4 in"},
]  # fmt: skip


@each("more", CASES)
@each("spec", [*SPECS[2:], "200 N·m + 360° ±20", "40 N·m + 90° ±5, then to 180° ±5 in all",
                                  "9 N·m + 60° ±3 + 120° ±3 + 340° ±3"])  # fmt: skip
def test_no_text_touches_anything(spec: str, more: dict[str, Any]) -> None:
    thread = "left" if "od" in more else "right"
    check(mat_document(a_plan(spec, thread=thread, title="demo data, not for real equipment", **more)))


@examples(12, shrink=False)
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
