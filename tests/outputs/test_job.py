"""No text touches another text or a mark, and everything stays inside its part and off the paper's edge."""

from __future__ import annotations

import re

import pytest
from hypothesis import example, given
from shapely.geometry import Point, Polygon

from kit.collisions import check, collisions, placed_items, sockets, specs
from kit.each import each
from kit.examples import examples
from kit.measure import a_document, placed_texts
from marking import OUTPUTS, MarkingError
from marking.drawing.primitives import Arc, Document, Group, Text
from marking.errors import LayoutError
from marking.outputs.job.band_plan import plan_job
from marking.outputs.job.request import read_job
from marking.outputs.job.sheet import draw as job_document

SHORT_LAST_PIECE: dict[str, object] = {
    "points": 4, "drive": "1/4", "od": "55 mm", "thread": "left", "start": "corner", "ring": "full", "paper": "a5",
}  # fmt: skip
"""LEFT-HAND finds no room on its lane beside the closure scale."""

ROUND_START: dict[str, object] = {"points": 4, "drive": "1/4", "od": "10 mm", "ring": "full"}
"""The ring's zero stands over its aim line."""

SHORTER_THAN_ITS_SCALE: dict[str, object] = {
    "points": 8, "drive": "1/4", "od": "127 mm", "thread": "left", "start": "corner", "paper": "200x240",
}  # fmt: skip
"""A cut half way between the last marks would leave a piece shorter than the closure scale."""

LOW: dict[str, object] = {"points": 6, "drive": "1/2", "od": "28 mm", "height": "14 mm"}
"""STOP, its full turn and its angle find no room below one another, nor in one line."""


@pytest.mark.long
@examples(120, shrink=False)
@example("110 N·m + 233°", SHORT_LAST_PIECE)
@example("110 N·m + 310° +51/-0", ROUND_START)
@example("110 N·m + 61° +0/-0 then 180° +60/-0", SHORTER_THAN_ITS_SCALE)
@example("1234.5 lbf·ft + 648°, then 150 N·m", LOW)
@given(spec=specs, socket=sockets)
def test_no_text_touches_anything_on_any_sheet(spec: str, socket: dict[str, object]) -> None:
    try:
        plan = plan_job(read_job(spec, **socket))  # type: ignore[arg-type]
    except MarkingError:
        return  # refused, with a reason: other tests look at those
    try:
        document = job_document(plan)
    except LayoutError:
        assert plan.job.socket.od_mm < 16 or len(plan.job.spec.stages) > 1, "only crowded bands may be refused"
        return
    check(document)


@each("paper", ["a4", "letter", "a5", "a3", "legal", "200x240"])
@each(("od", "drive"), [("12 mm", "1/4"), ("28 mm", "1/2"), ("96 mm", "1"), ("120 mm", "1")])
@each("thread", ["right", "left"])
def test_small_middle_and_large_sockets_fit_every_paper(od: str, drive: str, paper: str, thread: str) -> None:
    check(a_document("110 N·m + 90° +25/-0", 12, drive, od=od, paper=paper, thread=thread))


def test_the_longest_title_fits_every_page() -> None:
    title = "Ŵiiiide M " * 12
    for paper in ("a5", "a4"):
        document = a_document(title=title.strip(), paper=paper)
        check(document)
        for page in document.pages:
            words = " ".join(text.text for text in placed_texts(page) if text.role != "lane")
            assert words.count("Ŵiiiide") == 12
            lanes = [text.text for text in placed_texts(page) if text.role == "lane"]
            assert all(lane.startswith("Ŵiiiide") and lane.endswith("… · OD 27.8 mm") for lane in lanes)


def test_the_check_sees_a_collision() -> None:
    """The measure itself: a text on a line, and one on another text, are both found."""
    page = a_document().pages[0]
    spoiled = next(placed_texts(page))
    group = Group("spoiled", (spoiled, spoiled._replace(x=spoiled.x + 0.1)))
    drawing = page.placed[0].drawing._replace(content=group)
    assert collisions(page._replace(placed=(page.placed[0]._replace(drawing=drawing, x=0, y=0),)))


def test_rings_texts_stay_on_the_ring() -> None:
    for od in ("12 mm", "28 mm", "96 mm"):
        document = a_document("20 N·m + 450° ±15", 6, "1/4", od=od, ring="full")
        pages = (list(placed_items(page)) for page in document.pages)
        items = next(items for items in pages if any(item.role == "inner-edge" for item in items))
        inner = next(item for item in items if isinstance(item, Arc) and item.role == "inner-edge")
        outer = next(item for item in items if isinstance(item, Arc) and item.role == "outer-edge")
        centre = Point(inner.cx, inner.cy)
        ring = centre.buffer(outer.radius, 256).difference(centre.buffer(inner.radius, 256))
        for item in items:
            if isinstance(item, Text) and item.role in ("label", "number", "words") and item.rotation_deg:
                assert ring.contains(Polygon(item.box)), item


@each("size", [{"od": "12 mm"}, {"od_range": "12 mm..14 mm"}])
def test_a_step_says_when_the_band_is_changed(size: dict[str, str]) -> None:
    job = OUTPUTS["job"]
    apart = job.draw(job.plan(job.read("60 N·m + 60° ±5 + 70° ±5", 6, "1/4", **size)))
    together = job.draw(job.plan(job.read("60 N·m + 60° ±5 + 60° ±5", 6, "1/4", **size)))
    assert "Take off the band for stage 1 and fit the band for stage 2 in the same way." in printed_words(apart)
    assert "fit the band for stage 2" not in printed_words(together)


@each("size", [{"od": "12 mm"}, {"od_range": "12 mm..14 mm"}])
def test_no_band_is_changed_between_stages_that_count_from_one_mark(size: dict[str, str]) -> None:
    job = OUTPUTS["job"]
    with pytest.raises(LayoutError, match="changing bands between them would lose START") as refused:
        job.plan(job.read("60 N·m + 60° ±5 + 80° ±5", 6, "1/4", witness="first", **size))
    assert "a drive disc of 70 mm across" in refused.value.advice
    new_run = "60 N·m + 60° ±5, loosen, 60 N·m + 70° ±5"
    assert job.plan(job.read(new_run, 6, "1/4", witness="first", **size)), "a loosening begins a new mark"
    large = job.plan(job.read("60 N·m + 90° ±5 + 180° ±5 + 270° ±5", 6, "1/2", witness="first", od="45 mm"))
    assert len(large.bands) == 1


def test_the_height_that_a_refusal_names_has_room() -> None:
    with pytest.raises(LayoutError, match="no room for the label STOP 2") as refused:
        a_document("20 N·m + 90° +5/-0, then 400° ±5", 12, "3/8", od="18 mm", height="8 mm")
    found = re.search(r"a \{@height\} of (\d+ mm)", refused.value.advice)
    assert found
    assert "STOP 2" in printed_words(
        a_document("20 N·m + 90° +5/-0, then 400° ±5", 12, "3/8", od="18 mm", height=found[1])
    )


@each(("thread", "height"), [("right", "30 mm"), ("left", "30 mm"), ("left", "40 mm")])
def test_stages_whose_labels_leave_no_room_for_the_splices_get_a_band_each(thread: str, height: str) -> None:
    more = {"od": "140 mm", "paper": "a5", "thread": thread, "height": height}
    words = printed_words(a_document("900 N·m + 200° ±5, 60° ±5, 20° ±5", 12, "1-1/2", **more))
    assert all(f"STOP {number}" in words for number in (1, 2, 3))


def printed_words(document: Document) -> str:
    texts = (item.text for page in document.pages for item in placed_items(page) if isinstance(item, Text))
    return " ".join(texts)


@each(("spec", "ends"), [
    ("60 N·m + 90° ±5", "the ring with START: it ends in the ring's bracket."),
    ("60 N·m + 90°", "the ring with START: it ends at the ring's stop line."),
    ("60 N·m + 90° ±5 + 60°", "it ends in the ring's bracket or at the ring's stop line."),
])  # fmt: skip
def test_the_steps_make_true_what_the_reading_rests_on(spec: str, ends: str) -> None:
    job = OUTPUTS["job"]
    document = job.draw(job.plan(job.read(spec, 6, "1", od="96 mm", fasteners=2, ring="full")))
    texts = (text.text for page in document.pages for text in placed_texts(page))
    words = " ".join(text for text in texts if not text.isdigit())  # the steps' numbers stand among their words
    for said in (
        ends, "at most 1 mm from the band's edge", "fold it up", "not on a washer or flange that turns along",
        "looking square on the mark", "The middle of a line counts", "Read the band with the witness mark",
    ):  # fmt: skip
        assert said in words
    several = spec.count("°") > 1
    assert ("Cross out the old mark" in words) is several
    assert ("stop at the line, not short of it; ask the manual's maker" in words) is ("line" in ends)


@each("od", ["90 mm", "96 mm", "100 mm", "110 mm"])
def test_a_long_band_is_cut_where_its_labels_find_room(od: str) -> None:
    """The most even cut of 96 mm would take the room of a label."""
    plan = plan_job(read_job("600 N·m + 60° ±5 + 90° ±5", 6, "1", od=od, paper="a5"))
    assert plan.cuts[0]
    assert "STOP 2" in printed_words(job_document(plan))
