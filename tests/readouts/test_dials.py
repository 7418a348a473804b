"""Part ring and drive disc, read from finished pages: which is which, how large their words are, what each says."""

from __future__ import annotations

import functools
import math
from xml.etree import ElementTree

import pytest
from shapely.geometry import Point, Polygon

from kit.collisions import collisions, placed_items, shape
from kit.each import each
from kit.measure import MM_PER_PT, SVG, a_job, document_of, drawn_groups, of_role, strokes, svg_root
from kit.pdf_reading import pdf_pages
from marking import OUTPUTS
from marking.drawing.fonts import CAP_EM
from marking.drawing.primitives import Arc, Document, Line, Polyline, Text
from marking.errors import LayoutError
from marking.figures.bent import Row, block_of, in_rows
from marking.files.pdf import pdf_bytes
from marking.outputs.job.band_plan import plan_job
from marking.quantities.shown import shown_degrees
from marking.readouts.part_ring.error import ring_budget
from marking.readouts.part_ring.figure import draw_ring
from marking.readouts.part_ring.readout import pieces

STAGES = {
    "60 N·m + 120° ±30": 1, "60 N·m + 120°": 1, "60 N·m + 60° ±14 + 120° ±14 + 200° ±14": 3,
    "60 N·m + 90° ±20 + 90° ±20": 1,
}  # fmt: skip
"""Specs, and how many different turns they have."""


@functools.lru_cache
def job_with_disc(spec: str, **more: str) -> Document:
    """A job with its part ring and a disc."""
    asked = {"od": "60 mm", "ring": "full", "extras": ["disc"]}
    return document_of("job", spec=spec, points=6, drive="1/2", **asked | more)


def words_of(group: ElementTree.Element) -> str:
    return " ".join(str(text.text) for text in group.iter(f"{SVG}text"))


def cap_mm(group: ElementTree.Element, word: str) -> float:
    """Height of the capitals of the smallest such word."""
    return min(float(t.get("font-size", "nan")) for t in group.iter(f"{SVG}text") if t.text == word) * CAP_EM


# -- one window at a time


@each("spec", STAGES)
def test_windows_are_hatched_on_the_socket_side_alone(spec: str) -> None:
    """One hatched window a turn on the band and one on the disc, none on anything that lies on the part."""
    document = job_with_disc(spec)
    windows = STAGES[spec] if "±" in spec else 0
    for name in ("band", "drive-disc"):
        found = [
            e.get("data-stage")
            for group in drawn_groups(document, name)
            for e in group.iter()
            if e.get("class") == "hatch"
        ]
        assert len(set(found)) == windows, name
    for group in drawn_groups(document, "part-ring", "witness-pointer"):
        assert not [e for e in group.iter() if e.get("class") == "hatch"]


@each("asked", [{}, {"ring": "sector"}])
@each("spec", STAGES)
def test_on_the_ring_start_ends_and_nothing_says_stop(spec: str, asked: dict[str, str]) -> None:
    (group,) = drawn_groups(job_with_disc(spec, **asked), "part-ring")
    lines, words = strokes(group), words_of(group)
    assert "STOP" not in words
    assert words.count("START ends here") == STAGES[spec]
    assert not of_role(lines, "stop-low", "stop-high", "stop", "start")
    brackets = [e for e in group.iter() if e.get("class") == "ends-bracket"]
    if "±" in spec:
        assert len(of_role(lines, "ends-low")) == len(of_role(lines, "ends-high")) == STAGES[spec]
        assert len(brackets) == 2 * STAGES[spec], "a hook at either edge"
    else:
        assert len(of_role(lines, "ends")) == 1
        assert brackets == []


@each(
    ("spec", "ends", "at"),
    [("60 N·m + 120° ±30", "ends in the bracket, 90–150°.", "bracket"),
     ("60 N·m + 120°", "ends at the line, 120°.", "line"),
     ("60 N·m + 60° ±14, then 150°", "ends in stage 1 in the bracket, 46–74°; in stage 2 at the line, 150°.",
      "bracket and line")],
)  # fmt: skip
def test_the_captions_keep_the_sockets_stop_off_the_ring(spec: str, ends: str, at: str) -> None:
    document = job_with_disc(spec)
    words = " ".join(item.text for page in document.pages for item in placed_items(page) if isinstance(item, Text))
    assert f"START travels over it clockwise and {ends}" in words
    assert f"the socket's STOP has no business at the {at}." in words


@each("thread", ["right", "left"])
def test_a_line_without_a_tolerance_bears_a_pennant_beyond_it(thread: str) -> None:
    document = job_with_disc("60 N·m + 120°", thread=thread)
    for name, role in (("drive-disc", "stop"), ("part-ring", "ends")):
        (group,) = drawn_groups(document, name)
        (line,) = of_role(strokes(group), role)
        (flag,) = [e for e in group.iter() if e.get("class") == f"{role}-flag"]
        corners = [(float(x), -float(y)) for x, y in (pair.split(",") for pair in str(flag.get("points")).split())]
        length = math.hypot(line.x2 - line.x1, line.y2 - line.y1)
        off = [((line.x2 - line.x1) * (y - line.y1) - (line.y2 - line.y1) * (x - line.x1)) / length for x, y in corners]
        assert off[:2] == pytest.approx([0, 0], abs=0.01), "two corners on the line"
        beyond = 1 if (thread == "right") == (name == "drive-disc") else -1  # counterclockwise is to the left
        assert beyond * off[2] > 1.0, name


# -- how large


def test_start_and_stop_are_the_largest_words_of_a_disc() -> None:
    for diameter, least in (("70 mm", 3.0), ("140 mm", 6.0), ("50 mm", 2.1)):
        document = document_of("disc", spec="60 N·m + 90° ±10", drive="1/4", diameter=diameter)
        (group,) = drawn_groups(document, "drive-disc")
        for word in ("START", "STOP", "80–100°"):
            assert cap_mm(group, word) >= least, word
        others = [t for t in group.iter(f"{SVG}text") if t.text not in ("START", "STOP", "80–100°")]
        assert max(float(t.get("font-size", "nan")) for t in others) * CAP_EM < 0.75 * cap_mm(group, "STOP")


@each(("od", "width", "least"), [("28 mm", "12 mm", 2.1), ("96 mm", "12 mm", 2.4), ("60 mm", "24 mm", 4.8)])
def test_the_window_is_the_largest_on_a_ring_and_grows_with_its_width(od: str, width: str, least: float) -> None:
    (group,) = drawn_groups(job_with_disc("60 N·m + 120° ±30", od=od, ring_width=width), "part-ring")
    assert cap_mm(group, "90–150°") >= least
    assert cap_mm(group, "ZERO") >= least
    assert cap_mm(group, "ends") < cap_mm(group, "90–150°")


@each("socket", [{}, {"od": "12 mm"}])
def test_degree_numbers_are_six_points_or_more(socket: dict[str, str]) -> None:
    document = job_with_disc("60 N·m + 120° ±30", **socket)
    for group in drawn_groups(document, "part-ring", "drive-disc"):
        sizes = [float(t.get("font-size", "nan")) for t in group.iter(f"{SVG}text") if t.get("class") == "number"]
        assert sizes
        assert min(sizes) >= 6 * MM_PER_PT - 1e-3


# -- what each piece says by itself


@each(("ring", "thread"), [("full", "right"), ("full", "left"), ("sector", "left")])
@each("od", ["12 mm", "28 mm", "140 mm"])
@each("spec", STAGES)
def test_a_cut_out_ring_tells_thread_od_and_what_it_is_for(spec: str, od: str, ring: str, thread: str) -> None:
    """Inside its cut lines; its own turns at least, on the roomy ones the whole spec and the reading error."""
    plan = plan_job(a_job(spec, 6, "1/4", od=od, ring=ring, thread=thread))
    for part in plan.rings:
        if part is None:
            continue
        (outline,) = list(pieces(plan._replace(rings=(part,))))
        items = outline.draw().content.items
        words = " ".join(item.text for item in items if isinstance(item, Text))
        assert f"OD {od}" in words
        assert ("LEFT-HAND" in words) is (thread == "left")
        assert "ZERO at START" in words
        assert all(marks.stage.read_as in words for marks in part.stages)
        assert "give or take" in words or od == "12 mm"
        if od == "140 mm" and part.closed:
            assert "60 N·m, then" in words
            assert "give or take" in words
            assert ("new mark each stage" in words) is (len(plan.job.spec.stages) > 1)
        inner, outer = (
            next(i for i in items if isinstance(i, Arc) and i.role == r) for r in ("inner-edge", "outer-edge")
        )
        centre = Point(inner.cx, inner.cy)
        paper = centre.buffer(outer.radius, 128).difference(centre.buffer(inner.radius, 128))
        assert all(paper.contains(Polygon(item.box)) for item in items if isinstance(item, Text))
        assert (
            outer.radius
            - max(
                math.dist(corner, (inner.cx, inner.cy))
                for item in items
                if isinstance(item, Text)
                for corner in item.box
            )
            > 0.5
        )


@each("thread", ["right", "left"])
@each(
    ("spec", "ring"),
    [("60 N·m + 90° ±5, 60° ±5, 45° ±5", "full"), ("60 N·m + 90° ±15", "sector"), ("60 N·m + 20° ±6", "full"),
     ("60 N·m + 360° ±20", "full"), ("60 N·m + 360°", "full"), ("60 N·m + 300° ±20", "sector")],
)  # fmt: skip
def test_a_rings_arrow_runs_from_zero_towards_the_nearest_bracket(spec: str, ring: str, thread: str) -> None:
    """Where there is an arrow; every ring says its own stage, turns, how they count, and its reading error."""
    plan = plan_job(a_job(spec, 6, "1/2", od="28 mm", ring=ring, thread=thread))
    assert any(plan.rings)
    for part in filter(None, plan.rings):
        items = draw_ring(part).content.items
        words = " ".join(item.text for item in items if isinstance(item, Text))
        for marks in part.stages:
            assert marks.stage.read_as in words
            assert marks.of == 1 or (f"stage {marks.numbers[0]}: START ends here" in words and "new mark" in words)
        assert "give or take" in words
        (centre,) = {(i.cx, i.cy) for i in items if isinstance(i, Arc) and i.role == "outer-edge"}
        way = -1 if thread == "right" else 1

        def turn_deg(point: tuple[float, float], centre: tuple[float, float] = centre, way: int = way) -> float:
            return (way * (math.degrees(math.atan2(point[1] - centre[1], point[0] - centre[0])) - 90)) % 360

        lines = [i for i in items if isinstance(i, Line) and i.role in ("ends", "ends-low")]
        nearest = min(deg if 0.1 < (deg := turn_deg((i.x2, i.y2))) < 359.9 else 360 for i in lines)
        tips = [turn_deg(i.points[0]) for i in items if isinstance(i, Polyline) and i.role == "arrow-head"]
        backs = [turn_deg(i.points[1]) for i in items if isinstance(i, Polyline) and i.role == "arrow-head"]
        assert len(tips) == (spec != "60 N·m + 20° ±6"), "no arrow where there is no room before the bracket"
        assert all(0 < back < tip < nearest for back, tip in zip(backs, tips, strict=True))


def test_a_title_that_is_a_number_is_underlined_on_ring_and_disc_where_it_is_another_upside_down() -> None:
    for title, lined in (("66", 1), ("99", 1), ("88", 0), ("A-66", 0)):
        document = job_with_disc("60 N·m + 120° ±30", title=title)
        for group in drawn_groups(document, "part-ring", "drive-disc"):
            assert title in words_of(group)
            assert len(of_role(strokes(group), "underline")) == lined, (title, group.get("class"))
    assert collisions(job_with_disc("60 N·m + 120° ±30", title="66").pages[-1]) == []


def test_the_rings_reading_error_and_aim_are_its_own() -> None:
    plan = plan_job(a_job("60 N·m + 90° +30/-0", 6, "1/2", od="40 mm", ring_bore="44 mm"))
    job, (ring,) = plan.job, plan.rings
    budget = ring_budget(1, 90, job.spec.stages[0].window, 44, 40, job.model)
    assert ring is not None
    assert ring.error_deg == budget.expanded_deg > 1.2 * plan.budgets[0].expanded_deg
    (outline,) = pieces(plan)
    words = " ".join(item.text for item in outline.draw().content.items if isinstance(item, Text))
    assert f"give or take {shown_degrees(budget.expanded_deg, 1)}" in words
    assert "aim 105°" in words


@each("size", [{"od": "40 mm"}, {"od_range": "38 mm..42 mm"}])
@each(("asked", "drawn"), [
    ({}, 0), ({"ring": "full"}, 1), ({"ring": "sector"}, 1), ({"ring_width": "14 mm"}, 1), ({"ring_bore": "41 mm"}, 1),
])  # fmt: skip
def test_a_ring_is_printed_where_it_or_its_size_is_asked_for(
    size: dict[str, str], asked: dict[str, str], drawn: int
) -> None:
    document = document_of("job", spec="60 N·m + 120° ±40", points=6, drive="1/2", **size, **asked)
    assert len(drawn_groups(document, "part-ring")) == drawn
    words = " ".join(item.text for page in document.pages for item in placed_items(page) if isinstance(item, Text))
    assert ("tape on the ring" in words) is bool(drawn)


def test_a_ring_that_reads_too_coarsely_is_left_out_and_that_is_said() -> None:
    plan = plan_job(a_job("60 N·m + 90° +10/-0", 6, "1/4", od="12 mm", ring="full"))
    assert plan.rings == (None,)
    (said,) = [remark for remark in plan.warnings if remark.code == "ring-unproved"]
    error = ring_budget(1, 90, plan.job.spec.stages[0].window, 13, 12, plan.job.model).expanded_deg
    assert (
        str(said)
        == f"the part ring is left out: it is read to ±{shown_degrees(error, 1)}, too coarse for the window 90–100°"
    )
    document = OUTPUTS["job"].draw(plan)
    assert drawn_groups(document, "part-ring") == []
    with pytest.raises(LayoutError, match="too coarse for the window 90–100°"):
        list(pieces(plan))


def test_a_trim_jobs_ring_that_reads_too_coarsely_is_left_out_and_that_is_said() -> None:
    job = OUTPUTS["job"]
    plan = job.plan(job.read("60 N·m + 90° +10/-0", 6, "1/2", od_range="24 mm..32 mm", ring="full"))
    assert [part.ring for part in plan.parts] == [None]
    assert ["for ODs of 24 mm to 32 mm is left out" in str(r) for r in plan.warnings if r.code == "ring-unproved"] == [
        True
    ]
    assert drawn_groups(job.draw(plan), "part-ring") == []


def test_bores_are_numbered_in_the_jobs_unit_and_underlined_where_they_are_others_upside_down() -> None:
    spec = "60 N·m + 120° ±60"
    for ods, unit, expected, underlined in (
        ("12 mm..20 mm", "mm", ["20", "18", "16", "14", "12"], 2),
        ("0.5 in..0.75 in", "in", ["0.75", "0.67", "0.59"], 0),
    ):  # fmt: skip
        document = document_of("job", spec=spec, points=6, drive="1/4", od_range=ods, ring="full")
        ring = drawn_groups(document, "part-ring")[0]
        numbers = [
            str(t.text) for t in ring.iter(f"{SVG}text") if t.get("class") == "number" and "°" not in str(t.text)
        ]
        assert numbers[: len(expected)] == expected
        assert len(of_role(strokes(ring), "underline")) == underlined
        assert {e.get("data-unit") for e in ring.iter() if e.get("class") == "bore"} == {unit}
        assert collisions(document.pages[-1]) == []


@each(("drive", "thread"), [("1/4", "right"), ("1/2", "left"), ("1", "left"), ("1-1/2", "right")])
def test_a_cut_out_disc_tells_thread_drive_spec_and_how_its_stages_count(drive: str, thread: str) -> None:
    document = document_of("disc", spec="60 N·m + 60° ±6 + 120° ±6", drive=drive, thread=thread, title="Bogie 7")
    (group,) = drawn_groups(document, "drive-disc")
    words = words_of(group)
    for said in (f"{drive} in drive", "60 N·m, then 60° ±6, then 120° ±6", "Bogie 7", "new mark", "180° from snug"):
        assert said in words, said
    assert ("LEFT-HAND" in words) is (thread == "left")
    page = document.pages[0]
    items = list(placed_items(page))
    edge = next(item for item in items if isinstance(item, Arc) and item.role == "outer-edge")
    hole = next(
        shape(item._replace(fill=0.0)) for item in items if isinstance(item, Polyline) and item.role == "square-hole"
    )
    paper = Point(edge.cx, edge.cy).buffer(edge.radius - 0.5, 128).difference(hole)
    on_disc = [
        Polygon(i.box) for i in items if isinstance(i, Text) and math.dist((i.x, i.y), (edge.cx, edge.cy)) < edge.radius
    ]
    assert len(on_disc) > 30
    assert all(paper.contains(box) for box in on_disc)


def test_left_hand_is_white_on_black_in_the_finished_pdf() -> None:
    """The letters of LEFT-HAND are white on both pieces, and no other letter of the page is."""
    document = job_with_disc("60 N·m + 120° ±30", thread="left")
    *_, bands_and_ring, disc = (page.white_text for page in pdf_pages(pdf_bytes(document)) if page.white_text)
    assert bands_and_ring.replace("LEFT-HAND", "") == ""
    assert disc == "LEFT-HAND" * 2, "on the disc, and at the head of its sheet"


def test_a_title_cannot_make_a_right_hand_piece_look_left_hand() -> None:
    document = job_with_disc("60 N·m + 120° ±30", title="LEFT-HAND side")
    for group in drawn_groups(document, "part-ring", "drive-disc"):
        assert "LEFT-HAND side" in words_of(group)
        assert not [e for e in group.iter() if e.get("class") == "left-hand-box"]


@each("thread", ["right", "left"])
@each(("spec", "aims"), [("60 N·m + 60° ±5 + 90° +10/-0", "stage 1: aim 60°"), ("60 N·m + 90° ±10", "aim 90°")])
def test_an_aim_on_a_ring_of_several_brackets_names_its_stage(spec: str, aims: str, thread: str) -> None:
    (group,) = drawn_groups(document_of("job", spec=spec, points=12, drive="3/4", od="45 mm", ring="full",
            thread=thread), "part-ring")  # fmt: skip
    words = words_of(group)
    assert aims in words
    assert words.count("aim") == words.count(aims)


# -- bent rows


def test_rows_keep_to_their_lane_and_off_each_other() -> None:
    rows = (*in_rows("20 N·m, then 60 N·m, then 90° +10/−0", 2, 6.0), Row("LEFT-HAND 90–100°", 9.0, hand=True))
    assert [row.text for row in rows] == ["20 N·m, then 60 N·m,", "then 90° +10/−0", "LEFT-HAND 90–100°"]
    block = block_of(rows, 10.0, 24.0)
    assert block is not None
    items = list(block.drawn(250.0, "words"))
    far = [math.hypot(x, y) for item in items if isinstance(item, Text) for x, y in item.box]
    assert max(far) <= 24.0 + 1e-9
    shapes = [shape(item) for item in items if not (isinstance(item, Text) and item.role == "left-hand")]
    assert not any(a.intersects(b) for k, a in enumerate(shapes) for b in shapes[:k])
    ways = [math.degrees(math.atan2(y, x)) % 360 for item in items if isinstance(item, Text) for x, y in item.box]
    assert max(abs(way - 250.0) for way in ways) <= block.half_deg + 0.5
    assert block_of(rows, 19.0, 24.0) is None


def test_no_aim_line_looks_like_a_line_to_cut_along() -> None:
    """Measured on the finished pages of band, ring, disc and mat: its dashes alternate with dots, a cut's do not."""
    job = OUTPUTS["job"]
    more = {"od": "12 mm", "ring": "full", "extras": ("disc", "mat")}
    document = job.draw(job.plan(job.read("20 N·m + 90° ±30", 12, "1/4", **more)))
    dashes: dict[str, set[tuple[float, ...]]] = {}
    for page in document.pages:
        for stroke in svg_root(page, document).iter():
            pattern = tuple(map(float, stroke.get("stroke-dasharray", "").split()))
            if pattern:
                dashes.setdefault(stroke.get("class", ""), set()).add(pattern)
    ((dash, _, dot, _),) = dashes["aim"]
    assert dash > 4 * dot
    cuts = {"seam", "fastener-edge", "inner-edge", "outer-edge", "slit", "square-hole"}
    assert cuts <= dashes.keys()
    assert all(len(pattern) == 2 for role in cuts for pattern in dashes[role])


def test_the_rings_aim_line_ends_within_the_paper_and_its_slit_says_cut() -> None:
    (ring,) = filter(None, plan_job(a_job("20 N·m + 90° ±30", 12, "1/2", od="28 mm", ring="full")).rings)
    items = draw_ring(ring).content.items
    aim = next(item for item in items if isinstance(item, Line) and item.role == "aim")
    rims = [item for item in items if isinstance(item, Arc) and item.role in ("inner-edge", "outer-edge")]
    inner, outer = sorted(rim.radius for rim in rims)
    reach = max(math.dist((x, y), (rims[0].cx, rims[0].cy)) for x, y in ((aim.x1, aim.y1), (aim.x2, aim.y2)))
    assert inner < reach < outer - 0.3 * (outer - inner)
    assert "cut" in [item.text for item in items if isinstance(item, Text)]
