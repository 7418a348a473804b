"""How a job lies on its pages: one page where it fits, what is cut out above the card's edge, no page nearly empty."""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from typing import Any

import pytest
from shapely import box

from kit.collisions import check, placed_items, shape
from kit.each import each
from kit.pdf_reading import pdf_pages
from marking import OUTPUTS, MarkingError
from marking.drawing.primitives import Document, Line, Page, Text
from marking.drawing.strokes import CUT, STROKES
from marking.files.pdf import pdf_bytes
from marking.readouts.witness_pointer import LETTERS, NUMBER_PT
from marking.sheets.furniture import RULER_NOTE, content_bottom_mm
from marking.sheets.paper import Paper, parse_sheet

STAGES = {1: "110 N·m + 90° +10/-0", 2: "60 N·m, 90° +10/-0, 45° ±5", 3: "60 N·m, 90° +10/-0, 90° +10/-0, 45° ±5"}
DRIVES = {7: "1/4", 12: "1/4", 28: "1/2", 45: "3/4", 60: "3/4", 96: "1", 140: "1"}
CUT_OUT = {role for role, stroke in STROKES.items() if stroke == CUT}

ONE_PAGE = [
    *((od, fasteners, 1, paper) for od, fasteners in ((7, 8), (28, 1), (45, 8)) for paper in ("a4", "letter")),
    (7, 8, 2, "a4"), (45, 8, 2, "a4"), (28, 8, 2, "letter"), (12, 1, 3, "letter"), (28, 20, 1, "a4"),
    (45, 8, 3, "a4"), (45, 20, 3, "a3"), (96, 8, 2, "a3"), (140, 8, 1, "a3"), (12, 1, 1, "a5"),
]  # fmt: skip
MORE_PAGES = [
    (96, 4, 1, "a4", 2), (140, 8, 1, "letter", 2), (28, 40, 3, "a4", 4), (60, 40, 1, "letter", 3),
    (140, 40, 3, "letter", 4), (28, 20, 2, "a5", 6), (7, 40, 1, "a4", 2), (28, 40, 1, "letter", 2),
    (28, 40, 1, "a5", 4),
]  # fmt: skip
Case = tuple[int, int, int, str]
ALL: list[Case] = [*ONE_PAGE, *(case[:4] for case in MORE_PAGES)]


@cache
def a_job(case: Case) -> Document:
    od, fasteners, stages, paper = case
    job = OUTPUTS["job"]
    return job.draw(job.plan(job.read(STAGES[stages], 6, DRIVES[od], od=f"{od} mm", fasteners=fasteners, paper=paper)))


def lower_ends(page: Page, roles: set[str]) -> list[float]:
    """How high on a page everything of some roles begins."""
    return [shape(item).bounds[1] for item in placed_items(page) if item.role in roles]


def filled(page: Page) -> float:
    """The share of a page's height down to its lowest block."""
    content = [placed for placed in page.placed if placed.drawing.content.name != "page-furniture"]
    paper = Paper(page.width_mm, page.height_mm)
    return (paper.top_mm - min(placed.y for placed in content)) / (
        paper.top_mm - content_bottom_mm(paper, RULER_NOTE, "")
    )


@each("case", ONE_PAGE)
def test_a_small_job_is_one_page_with_a_card_to_cut_off(case: Case) -> None:
    (page,) = a_job(case).pages
    assert len(lower_ends(page, {"card-edge"})) == 1


@each(("od", "drive", "fasteners", "paper"), [
    (28, "1/2", 8, "a4"), (28, "1/2", 8, "letter"), (36, "1/2", 8, "a4"), (36, "1/2", 8, "letter"),
    (45, "3/4", 4, "a4"), (45, "3/4", 1, "letter"),
])  # fmt: skip
def test_a_ring_that_is_asked_for_goes_on_the_same_page(od: int, drive: str, fasteners: int, paper: str) -> None:
    job = OUTPUTS["job"]
    read = job.read("60 N·m + 90° ±20", 6, drive, od=f"{od} mm", fasteners=fasteners, paper=paper, ring="full")
    document = job.draw(job.plan(read))
    (page,) = document.pages
    assert lower_ends(page, {"inner-edge"})
    check(document)


@each("ods", ["12 mm..18 mm", "24 mm..32 mm"])
def test_a_trim_job_is_one_page_too(ods: str) -> None:
    job = OUTPUTS["job"]
    document = job.draw(job.plan(job.read("60 N·m + 90° ±20", 6, "1/2", od_range=ods, fasteners=8)))
    assert len(document.pages) == 1


@each("case", MORE_PAGES)
def test_a_larger_job_takes_no_more_pages_than_its_pieces_and_its_card(case: tuple[int, int, int, str, int]) -> None:
    assert 1 < len(a_job(case[:4]).pages) <= case[4]


@each("case", ALL)
def test_what_is_cut_out_lies_above_the_cards_edge(case: Case) -> None:
    for page in a_job(case).pages:
        pieces, edges = lower_ends(page, CUT_OUT), lower_ends(page, {"card-edge"})
        assert len(edges) <= 1
        assert all(edge < min(pieces) for edge in edges)
        assert bool(lower_ends(page, {"ruler-x"})) == bool(pieces), "rulers where something is to scale, else none"


@each("case", ALL)
def test_pointers_stand_in_the_order_of_their_numbers(case: Case) -> None:
    """Each right of the one before it or below it, on its page or a later one: who looks for 1 looks there first."""
    places = {
        item.text: (number, item.x, -item.y)
        for number, page in enumerate(a_job(case).pages)
        for item in placed_items(page)
        if isinstance(item, Text) and item.size_pt == NUMBER_PT and item.text.rstrip(LETTERS).isdigit()
    }
    in_order = sorted(places, key=lambda name: (name.lstrip("0123456789"), int(name.rstrip(LETTERS))))
    assert len(in_order) == case[1] * case[2]
    for (page, x, down), after in pairwise(places[name] for name in in_order):
        assert after[0] > page or (after[0] == page and (after[1] > x or after[2] > down))


@each("case", ALL)
def test_no_text_touches_anything_and_no_page_but_the_last_is_nearly_empty(case: Case) -> None:
    document = a_job(case)
    check(document)
    assert all(filled(page) >= 1 / 3 for page in document.pages[:-1])


@each("thread", ["right", "left"])
def test_the_parts_of_a_record_stand_together_on_narrow_paper(thread: str) -> None:
    job, spec = OUTPUTS["job"], "20 N·m, loosen 180°, 30 N·m, 90° +10/-0, 60° ±4, 45° ±5"
    read = job.read(spec, 6, "1/4", od="7 mm", fasteners=1, paper="a5", thread=thread, witness="fresh")
    pages = job.draw(job.plan(read)).pages
    said = [{item.text for item in placed_items(page) if isinstance(item, Text)} for page in pages]
    parts = {"Record, part 1 of 2", "Record, part 2 of 2"}
    assert [words & parts for words in said if words & parts] == [parts]


def test_a_record_begins_on_a_page_that_would_be_nearly_empty_else() -> None:
    job, spec = OUTPUTS["job"], "20 N·m, loosen 180°, 30 N·m, 90° +10/-0, a further 60° ±4, a further 45° ±5"
    read = job.read(spec, 6, "1/4", od="7 mm", fasteners=40, thread="left", extras=("disc",))
    pages = job.draw(job.plan(read), "--option as long as it takes " * 8).pages
    assert all(filled(page) >= 1 / 3 for page in pages)


def test_a_wide_record_is_one_table_a_page() -> None:
    """Where it begins on a new page, the room left on the one before does not matter."""
    job = OUTPUTS["job"]
    spec = "30 N·m + 90° +20/-0 + 150° ±10 + 400° ±10"
    asked = {"od": "100 mm", "fasteners": 40, "paper": "letter", "witness": "first", "ring": "sector", "start": "flat"}
    read = job.read(spec, 12, "1", **asked)
    pages = job.draw(job.plan(read), "--option as long as it takes " * 8).pages
    said = [[item.text for item in placed_items(page) if isinstance(item, Text)] for page in pages]
    assert [sum(text.startswith("Record") for text in words) for words in said][-2:] == [1, 1]


@each("case", ALL)
def test_every_record_says_which_part_when_and_who(case: Case) -> None:
    said = [[item.text for item in placed_items(page) if isinstance(item, Text)] for page in a_job(case).pages]
    (words,) = [words for words in said if any(text in ("Record", "Record, part 1 of 2") for text in words)][:1]
    boxes = {"part", "date", "technician", "wrench no."}
    assert boxes <= set(words)
    if len(said) > 1:
        assert {"lubricant", "calibration due", "manual's reference", "joint no."} <= set(words)


def test_only_pages_that_need_the_width_are_turned() -> None:
    for case in ALL:
        width = parse_sheet(case[3]).width_mm
        for page in a_job(case).pages:
            wide = any(shape(item).bounds[2] > width for item in placed_items(page) if item.role in CUT_OUT)
            assert (page.width_mm > page.height_mm) is wide


@each("case", [ONE_PAGE[0], (45, 8, 2, "a4"), (12, 1, 3, "letter"), MORE_PAGES[0][:4]])
def test_steps_are_set_in_9_and_a_half_to_10_point_in_the_file(case: Case) -> None:
    words = [word for page in pdf_pages(pdf_bytes(a_job(case))) for word in page.words]
    (size,) = {round(word.size_pt, 2) for word in words if word.text == "torque"}
    assert 9.5 <= size <= 10.0


@each("case", [(28, 1, 1, "a3"), (140, 8, 1, "a3")])
def test_steps_are_larger_on_a_sheet_that_is_read_from_farther_away(case: Case) -> None:
    document = a_job(case)
    check(document)
    (page,) = pdf_pages(pdf_bytes(document))
    (size,) = {round(word.size_pt, 2) for word in page.words if word.text == "torque"}
    assert size >= 11.5


def test_the_edge_is_the_heaviest_dashed_line_on_the_page() -> None:
    (page,) = a_job(ONE_PAGE[0]).pages
    drawn = {item.role for item in placed_items(page) if isinstance(item, Line) and STROKES[item.role].dash_mm}
    assert max(drawn, key=lambda role: STROKES[role].dash_mm[0]) == "card-edge"
    assert all(STROKES[role].width_mm <= STROKES["card-edge"].width_mm for role in drawn)


@each("size", [{"od": "28 mm"}, {"od_range": "24 mm..32 mm"}])
@each(("asked", "order"), [
    ({"pattern": "circle"}, "1 5 3 7 2 6 4 8"), ({"rows": 2}, "2 7 3 6 1 8 4 5"),
    ({"pattern": "rows", "rows": 1}, "4 5 3 6 2 7 1 8"), ({}, ""),
])  # fmt: skip
def test_the_card_tells_the_order_of_tightening_where_a_pattern_is_asked_for(
    size: dict[str, str], asked: dict[str, Any], order: str
) -> None:
    """The plan lies on the card and shows every place; the record's rows are in that order."""
    job, places = OUTPUTS["job"], order.split()
    plan = job.plan(job.read("60 N·m + 90° ±10", 6, "1/2", fasteners=8, **size, **asked))
    document = job.draw(plan)
    check(document)
    items = [item for page in document.pages for item in placed_items(page)]
    shown = [item.text for item in items if item.role == "place-number" and isinstance(item, Text)]
    assert sorted(shown) == sorted(places)
    words = [item for item in items if isinstance(item, Text)]
    assert any("The manual's order comes first." in item.text for item in words) is bool(order)
    titles = {item.text: item.x for item in words if item.text in ("order", "place", "manual's")}
    assert len(titles) == (3 if order else 0)
    if order:
        column = [item for item in words if item.x == pytest.approx(titles["place"]) and item.text.isdigit()]
        assert [item.text for item in sorted(column, key=lambda item: -item.y)] == places
        (page,) = [page for page in document.pages if lower_ends(page, {"part-outline"})]
        tops = [shape(item).bounds[3] for item in placed_items(page) if item.role in ("fastener", "part-outline")]
        edges = lower_ends(page, {"card-edge"})
        assert max(tops) < edges[0] if edges else not lower_ends(page, CUT_OUT), "on the card"
        assert [place["position"] for place in job.data(plan)["fasteners"]] == [*map(int, places)]


@each(("asked", "said"), [
    ({"pattern": "rows", "fasteners": 7}, "7 fasteners do not make 2 equal rows"),
    ({"pattern": "circle", "rows": 2}, "a circle has no rows"),
    ({"pattern": "star"}, "the pattern is 'star'"), ({"rows": 9}, "9 rows"),
    ({"pattern": "rows", "rows": 6, "fasteners": 180, "paper": "a5"}, "no room for legible numbers"),
])  # fmt: skip
def test_a_pattern_that_cannot_be_is_refused_in_words(asked: dict[str, Any], said: str) -> None:
    job = OUTPUTS["job"]
    with pytest.raises(MarkingError, match=said):
        job.draw(job.plan(job.read("60 N·m + 90° ±10", 6, "1/2", od="28 mm", **asked)))


@each("asked", [
    {"pattern": "rows", "rows": 6, "fasteners": 180}, {"pattern": "circle", "fasteners": 200},
])  # fmt: skip
def test_a_plan_too_wide_for_a_column_takes_the_width_of_the_page(asked: dict[str, Any]) -> None:
    job = OUTPUTS["job"]
    document = job.draw(job.plan(job.read("60 N·m + 90° ±10", 6, "1/2", od="28 mm", **asked)))
    (page,) = [page for page in document.pages if lower_ends(page, {"part-outline"})]
    items = list(placed_items(page))
    assert sum(item.role == "fastener" for item in items) == asked["fasteners"]
    (outline,) = [shape(item).bounds for item in items if item.role == "part-outline"]
    assert outline[2] - outline[0] > page.width_mm / 2.5
    check(Document((page,)))


@each("fasteners", [2, 4, 8])
def test_fasteners_stay_inside_the_outline_of_a_plan_that_is_set_close(fasteners: int) -> None:
    job = OUTPUTS["job"]
    asked = {"od": "28 mm", "fasteners": fasteners, "pattern": "rows", "paper": "letter"}
    (page,) = job.draw(job.plan(job.read("60 N·m + 90° ±5, 90° ±5", 6, "1/2", **asked))).pages
    items = list(placed_items(page))
    (outline,) = [shape(item) for item in items if item.role == "part-outline"]
    inside = box(*outline.bounds)
    assert all(inside.contains(shape(item)) for item in items if item.role == "fastener")


@each(("spec", "said"), [
    ("60 N·m + 60° ±10 + 90° +10/-0", True), ("60 N·m + 90° +10/-0", False),
    ("60 N·m + 60° ±10, then to 150° +10/-0 in all", False),
])  # fmt: skip
def test_a_ring_is_taped_on_anew_for_every_stage_that_counts_from_a_new_mark(spec: str, said: bool) -> None:
    job = OUTPUTS["job"]
    for ring in ("full", None):
        plan = job.plan(job.read(spec, 6, "3/4", od="45 mm", fasteners=8, ring=ring))
        (page,) = job.draw(plan).pages
        words = " ".join(item.text for item in placed_items(page) if isinstance(item, Text))
        assert ("Tape the part ring on anew, ZERO at START." in words) is (said and ring is not None)
        assert ("Peel off the old pointer, stick on the next." in words) is said


@each(("od", "proved"), [("28 mm", True), ("7 mm", False)])
def test_a_step_whose_reading_cannot_prove_the_window_says_so(od: str, proved: bool) -> None:
    job = OUTPUTS["job"]
    plan = job.plan(job.read("8 N·m + 90° ±10", 6, "1/4", od=od))
    words = " ".join(
        item.text for page in job.draw(plan).pages for item in placed_items(page) if isinstance(item, Text)
    )
    assert ("No aim: this reading alone cannot prove the window." in words) is not proved
    assert ("Aim at the aim line" in words) is proved


def test_the_words_of_trim_bands_too_small_for_them_tell_of_the_cut_edge_and_stand_together() -> None:
    job = OUTPUTS["job"]
    asked = {"od_range": "6 mm..9 mm", "fasteners": 4, "extras": ("mat",), "paper": "letter"}
    document = job.draw(job.plan(job.read("60 N·m + 90° +10/-0 then 60° +10/-0", 6, "1/4", **asked)))
    words = " ".join(item.text for page in document.pages for item in placed_items(page) if isinstance(item, Text))
    assert words.count("at the fastener") == 1
    assert "cut edge at the fastener · 60 N·m, then 90° +10/−0, then 60° +10/−0" in words
