"""Cards of any circle and rows on any paper, and what is refused."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.collisions import check, collisions, placed_items, specs
from kit.each import each
from kit.examples import examples
from kit.measure import placed_texts, svg_root
from kit.pdf_reading import pdf_pages
from kit.record import PAPERS, ROWS, a_card, words_of
from marking.drawing.primitives import Group, Text
from marking.errors import CharacterError, LayoutError, RangeError
from marking.files.pdf import pdf_bytes


@examples(80, shrink=False)
@given(
    spec=specs,
    count=st.integers(1, 60),
    rows=st.none() | st.integers(1, 6),
    more=st.fixed_dictionaries(
        {
            "paper": st.sampled_from(["a4", "letter", "a5", "a3", "legal", "200x240"]),
            "thread": st.sampled_from(["right", "left"]),
            "title": st.sampled_from(["", "Bogie frame, demo data, not for real equipment", "Ŵide " * 20]),
        }
    ),
)
def test_no_text_touches_anything_on_any_card(spec: str, count: int, rows: int | None, more: dict[str, Any]) -> None:
    if rows is not None and (count % rows or count // rows > 30):
        rows = None
    pattern = {"pattern": "circle"} if rows is None else {"pattern": "rows", "rows": rows}
    check(a_card(spec, count, **pattern, **more))


@each("paper", PAPERS)
@each("count", [1, 4, 5, 8, 12, 24, 60])
def test_circles_fit_every_paper(count: int, paper: str) -> None:
    document = a_card(fasteners=count, paper=paper)
    check(document)
    assert all(t.size_pt >= 5.0 for page in document.pages for t in placed_texts(page))


@each("paper", PAPERS)
@each(("count", "rows"), ROWS)
def test_rows_fit_every_paper(count: int, rows: int, paper: str) -> None:
    check(a_card(fasteners=count, pattern="rows", rows=rows, paper=paper))


def test_the_most_stages_and_the_longest_numbers_fit() -> None:
    spec = "hand tight, 123.456° +12.345/-12.345" + ", 3599.123° +11.111/-11.111" * 5
    for paper in PAPERS:
        check(a_card(spec, 60, paper=paper))
        check(a_card("99999.12345678901 lbf·in + 90°", 8, paper=paper))


def test_the_check_sees_a_number_that_is_too_large_for_its_hexagon() -> None:
    document = a_card(fasteners=60)
    (number,) = [
        t
        for t in placed_items(document.pages[0])
        if isinstance(t, Text) and t.text == "59" and t.role == "place-number"
    ]
    page = document.pages[0]
    drawing = page.placed[0].drawing
    spoiled = drawing._replace(content=Group("spoiled", (number._replace(size_pt=14.0),)))
    assert collisions(page._replace(placed=(*page.placed, page.placed[0]._replace(drawing=spoiled, x=0, y=0))))


def test_eight_fasteners_take_one_page() -> None:
    assert len(a_card().pages) == 1
    assert len(a_card(paper="letter").pages) == 1


def test_paper_without_room_for_the_boxes_is_refused() -> None:
    with pytest.raises(LayoutError, match="larger paper"):
        a_card(paper="150x600", margin="30 mm")


def test_cautions_stand_before_the_record() -> None:
    for paper in PAPERS:
        words = words_of(a_card(paper=paper, fasteners=14, pattern="rows"))
        assert words.index("Cautions") < words.index("order place")


def test_paper_without_room_for_legible_numbers_is_refused() -> None:
    with pytest.raises(LayoutError, match="larger paper"):
        a_card(fasteners=60, pattern="rows", paper="a5", margin="30 mm")


@each(
    "more", [{"fasteners": 0}, {"fasteners": 201}, {"pattern": "star"}, {"rows": 2}, {"witness": "second"},
             {"pattern": "rows", "fasteners": 15}],
)  # fmt: skip
def test_the_library_refuses_what_is_out_of_limits(more: dict[str, Any]) -> None:
    with pytest.raises(RangeError):
        a_card(**more)


@each("title", ["漢字", "a\u202eb", "x\ny", "e" * 200])
def test_titles_that_cannot_be_printed_are_refused(title: str) -> None:
    with pytest.raises(CharacterError):
        a_card(title=title)


def test_markup_in_a_title_is_printed_as_typed() -> None:
    document = a_card(title="<b>A & B</b>")
    assert "<b>A & B</b>" in words_of(document)
    assert "<b>A & B</b>" in pdf_pages(pdf_bytes(document))[0].text
    assert "<b>A & B</b>" in "".join(svg_root(document.pages[0], document).itertext())
