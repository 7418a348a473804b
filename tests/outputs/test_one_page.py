"""A small job is one page as shops ask for it: a title, an opening, a left-hand thread, a command of two lines.

The cases are those with the least room of OD 7 to 45 mm, both hands, 1 and 8 fasteners, 1 and 2 stages, A4 and letter,
with and without a plan of the fasteners, a ring, a mat, and a band for each of two stages. What takes two pages with 8
fasteners: three different stages; a mat with two different stages, and on letter with two stages that need much to be
said; of OD 45 mm a ring for each of two stages, a mat with two stages on letter, and with a plan a mat or a ring where
there are two stages.
"""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import pytest

from kit.collisions import check, placed_items
from kit.each import each
from kit.pdf_reading import pdf_pages
from marking import OUTPUTS
from marking.drawing.fonts import SEMIBOLD
from marking.drawing.primitives import Arc, Document, Line, Text, groups
from marking.files.pdf import pdf_bytes

ONE, TWO, THREE = "110 N·m + 90° +10/-0", "60 N·m, 90° +10/-0, 45° ±5", "60 N·m, 90° +10/-0, 60° ±5, 45° ±5"
BANDS, WIDE = "60 N·m + 60° ±5 + 70° ±5", "60 N·m + 90° ±20"
ALIKE = "60 N·m + 90° ±4 then 90° ±4"
APART = "60 N·m + 90° +10/-0 then 60° +10/-0"
IN_ALL = "40 N·m + 90°, then to 180° in all"
SOCKETS = {7: ("1/4", "4 mm"), 12: ("1/4", "8 mm"), 28: ("1/2", "19 mm"), 36: ("1/2", "24 mm"), 45: ("3/4", "30 mm")}
COMMAND = f"turnband job '{TWO}' " + "--option 'as long as it takes' " * 5

Case = tuple[str, int, str, str, int, tuple[tuple[str, Any], ...]]
CIRCLE, ROWS, RING = (("pattern", "circle"),), (("pattern", "rows"),), (("ring", "full"),)
MAT = (("extras", ("mat",)),)
MARKED_TWICE: Case = (ALIKE, 28, "letter", "right", 8, MAT)
LONG_SAID: Case = (IN_ALL, 28, "letter", "left", 8, (("pattern", "rows"), ("ring", "full")))
RINGS: Case = (BANDS, 36, "letter", "left", 8, RING)
CASES: list[Case] = [
    *((TWO, od, "letter", "left", 8, ()) for od in (7, 12, 28, 45)),
    (TWO, 45, "a4", "left", 8, ()), (TWO, 45, "letter", "right", 8, ()),
    (TWO, 12, "letter", "left", 8, CIRCLE), (TWO, 28, "letter", "left", 8, CIRCLE),
    (TWO, 45, "a4", "left", 8, CIRCLE), (TWO, 45, "letter", "left", 8, CIRCLE), (TWO, 45, "letter", "right", 8, ROWS),
    (BANDS, 45, "a4", "left", 8, CIRCLE), (BANDS, 45, "a4", "left", 8, ROWS),
    (ONE, 45, "letter", "left", 8, CIRCLE), (ONE, 45, "letter", "left", 8, ROWS),
    (WIDE, 28, "letter", "left", 8, RING), (WIDE, 45, "a4", "left", 8, RING), (WIDE, 45, "letter", "left", 8, RING),
    (BANDS, 45, "letter", "left", 8, CIRCLE),
    (BANDS, 28, "letter", "left", 8, ()), (BANDS, 45, "a4", "left", 8, ()), (BANDS, 45, "letter", "left", 8, ()),
    (TWO, 45, "a4", "left", 8, RING), (ONE, 45, "a4", "left", 8, RING + CIRCLE), (ONE, 45, "letter", "left", 8, RING),
    (TWO, 45, "letter", "left", 1, RING + CIRCLE), (TWO, 28, "letter", "left", 8, RING),
    (BANDS, 28, "a4", "left", 8, RING), (BANDS, 28, "letter", "left", 8, RING),
    (BANDS, 12, "a4", "left", 8, RING + CIRCLE),
    (THREE, 45, "letter", "left", 1, ()), (THREE, 45, "a4", "left", 4, ()), (THREE, 28, "letter", "left", 4, ()),
    (ONE, 7, "letter", "left", 8, MAT), (ONE, 12, "letter", "left", 8, MAT), (ONE, 28, "a4", "left", 4, MAT),
    (ONE, 45, "a4", "left", 1, MAT),
    (TWO, 45, "letter", "left", 8, RING), (TWO, 45, "letter", "right", 8, RING), (TWO, 12, "letter", "left", 8, RING),
    (TWO, 45, "a4", "left", 8, RING + CIRCLE), (TWO, 45, "a4", "right", 8, RING + CIRCLE),
    (ONE, 45, "letter", "left", 8, RING + CIRCLE), (TWO, 28, "a4", "left", 8, RING + CIRCLE),
    (BANDS, 45, "letter", "left", 4, RING), (ONE, 28, "a4", "left", 8, MAT),
    (ONE, 28, "letter", "left", 8, MAT + CIRCLE),
    (ONE, 45, "a4", "left", 8, MAT), (ONE, 45, "letter", "left", 8, MAT), (ONE, 45, "letter", "right", 8, MAT),
    (ALIKE, 7, "letter", "left", 8, MAT), (ALIKE, 28, "a4", "left", 8, MAT), MARKED_TWICE,
    (TWO, 12, "a4", "left", 8, MAT),
    (BANDS, 36, "a4", "left", 8, RING), RINGS,
    (ONE, 45, "letter", "left", 8, MAT + CIRCLE), (ONE, 45, "letter", "left", 8, (*MAT, ("copies", 2))),
]  # fmt: skip
CLOSEST: Case = (TWO, 45, "letter", "left", 8, CIRCLE)
TALLEST: Case = (WIDE, 45, "letter", "left", 8, RING)
FULLEST: Case = (TWO, 45, "a4", "left", 8, RING + CIRCLE)
MARKED: Case = (ONE, 45, "letter", "left", 8, MAT)


@cache
def a_job(case: Case) -> Document:
    spec, od, paper, thread, fasteners, more = case
    drive, opening = SOCKETS[od]
    given = {"od": f"{od} mm", "opening": opening, "title": "Bogie bracket, left side", "thread": thread}
    job = OUTPUTS["job"]
    read = job.read(spec, 6, drive, fasteners=fasteners, paper=paper, **given, **dict(more))
    return job.draw(job.plan(read), COMMAND)


@pytest.mark.long
@each("case", CASES)
def test_it_is_one_page_whose_card_tells_where_the_marks_lie_and_no_note_is_parted_by_its_edge(case: Case) -> None:
    (page,) = a_job(case).pages
    items = list(placed_items(page))
    (edge,) = (item.y1 for item in items if isinstance(item, Line) and item.role == "card-edge")
    texts = [item for item in items if isinstance(item, Text)]
    (marks,) = (text for text in texts if text.text == "Where the marks lie")
    assert marks.y < edge
    ends = [text.y < edge for text in texts if text.text == "Reading error and aim" or text.text.endswith("again.")]
    assert len(ends) == 2
    assert len({*ends}) == 1


@each("case", [CASES[0], CLOSEST, TALLEST, FULLEST, MARKED, MARKED_TWICE, RINGS, LONG_SAID])
def test_however_close_it_is_set_nothing_touches_and_a_hand_can_write(case: Case) -> None:
    check(a_job(case))
    (page,) = pdf_pages(pdf_bytes(a_job(case)))
    assert min(word.size_pt for word in page.words if word.text in ("Tighten", "pull")) >= 9.5 - 1e-6
    items = list(placed_items(a_job(case).pages[0]))
    (head,) = [item for item in items if isinstance(item, Text) and item.text == "snug" and item.weight == SEMIBOLD]
    lines = [item for item in items if isinstance(item, Line) and item.role == "rule" and item.x1 == item.x2]
    heights = {round(abs(line.y2 - line.y1), 3) for line in lines if max(line.y1, line.y2) < head.y}
    assert heights == {48.0}, "8 rows of 6 mm"


def bands(document: Document) -> list[int]:
    """How many bands each page bears."""
    placed = ([item.drawing.content for item in page.placed] for page in document.pages)
    return [sum(group.name == "band" for content in page for group in groups(content)) for page in placed]


def test_the_spare_band_is_given_up_before_the_page_but_no_copy_that_is_asked_for() -> None:
    assert bands(a_job(CLOSEST)) == [2]
    assert bands(a_job(FULLEST)) == [1]
    assert bands(a_job((*FULLEST[:5], (*FULLEST[5], ("copies", 2))))) == [2, 0]


@each(("case", "said"), [(FULLEST, "From START, lengths on the band."), (CASES[2], "on the band")])
def test_lengths_are_said_to_be_on_the_band(case: Case, said: str) -> None:
    texts = [item.text for item in placed_items(a_job(case).pages[0]) if isinstance(item, Text)]
    assert any(text.startswith(said) for text in texts)


@each("paper", ["a4", "letter"])
def test_two_stages_with_a_ring_and_a_plan_are_one_page(paper: str) -> None:
    job = OUTPUTS["job"]
    asked = {"od": "45 mm", "fasteners": 8, "thread": "left", "ring": "full", "pattern": "circle", "paper": paper}
    document = job.draw(job.plan(job.read(ALIKE, 12, "1/2", **asked)), "turnband job")
    check(document)
    (page,) = document.pages
    assert [item for item in placed_items(page) if item.role == "inner-edge"]


def test_what_is_alike_in_both_stages_is_told_once_and_a_note_may_run_on_behind_its_heading() -> None:
    texts = [item for item in placed_items(a_job(MARKED_TWICE).pages[0]) if isinstance(item, Text)]
    words = " ".join(item.text for item in texts)
    assert words.count("Band, each stage: no aim") == words.count("Marked socket, each stage: no aim") == 1
    assert "STOP, low edge (1, 2): 21.01 mm; STOP, high edge" in words
    for heading in ("Where the marks lie", "Cautions"):
        (lead,) = [item for item in texts if item.text == heading]
        (behind,) = [item for item in texts if item.y == lead.y and item.size_pt == lead.size_pt and item.x > lead.x]
        assert 1.0 < behind.x - (lead.x + lead.width_mm) < 3.0


def test_what_finds_no_room_on_the_bands_of_two_stages_is_said_once_of_both() -> None:
    (page,) = a_job((APART, 12, "a4", "left", 8, MAT)).pages
    words = " ".join(item.text for item in placed_items(page) if isinstance(item, Text))
    assert words.count("▼ the edge with the scale at the fastener") == 1
    assert words.count("left-hand · 6-point · 1/4 in drive · 8 mm") == 1


def test_a_disc_takes_one_page_more() -> None:
    assert len(a_job((TWO, 45, "letter", "left", 8, (("extras", ("disc",)),))).pages) == 2


def test_on_the_fullest_page_both_rulers_stand_beside_what_is_cut_out_and_the_card_takes_the_margin() -> None:
    items = [item for item in placed_items(a_job(FULLEST).pages[0]) if isinstance(item, Line)]
    (edge,) = (item for item in items if item.role == "card-edge")
    (upright,) = (item for item in items if item.role == "ruler-y" and abs(item.y2 - item.y1) > 50.0)
    assert abs(upright.y2 - upright.y1) == pytest.approx(100.0)
    assert min(upright.y1, upright.y2) > edge.y1
    assert upright.x1 == pytest.approx(min(edge.x1, edge.x2)) == pytest.approx(210.0 - max(edge.x1, edge.x2)) == 6.5


def test_a_large_ring_bears_its_words_in_its_hole() -> None:
    items = list(placed_items(a_job(FULLEST).pages[0]))
    (edge,) = (item for item in items if isinstance(item, Arc) and item.role == "inner-edge")
    words = [item for item in items if isinstance(item, Text) and item.text.startswith(("Part ring, bore", "business"))]
    assert words, "the first and the last line"
    for word in words:
        corners = [(word.x + side * word.width_mm / 2, word.y + up) for side in (-1, 1) for up in (0.0, 2.0)]
        assert all(math.dist(corner, (edge.cx, edge.cy)) < edge.radius - 1.0 for corner in corners)


@each(("name", "more"), [
    ("disc", {}), ("mat", {"od": "45 mm", "points": 6, "fasteners": 8}),
])  # fmt: skip
@each("paper", ["a4", "letter"])
def test_steps_of_a_disc_or_a_mat_begin_in_both_columns_of_its_own_page(
    name: str, more: dict[str, Any], paper: str
) -> None:
    made = OUTPUTS[name]
    document = made.draw(made.plan(made.read(THREE, "3/4", paper=paper, **more)))
    low = [item.x for item in placed_items(document.pages[0]) if isinstance(item, Text) and 30.0 < item.y < 80.0]
    assert min(low) < 100.0 < max(low)
