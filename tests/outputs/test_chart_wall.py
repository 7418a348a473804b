"""The wall chart from afar: corners large, words small, and no taking of one thread's chart for the other's."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any
from xml.etree import ElementTree

import pytest

from kit.collisions import check
from kit.commands import Run
from kit.each import each
from kit.measure import MM_PER_PT, SVG, groups, placed_texts, svg_root
from kit.pdf_reading import pdf_pages
from marking import OUTPUTS, MarkingError
from marking.drawing.fonts import CAP_EM
from marking.drawing.primitives import Document, Polyline, primitives

CHART = OUTPUTS["chart"]
POINTS = [4, 6, 8, 12]
TURNS = [30, 45, 60, 90, 120, 180]


def a_chart(**more: Any) -> Document:
    return CHART.draw(CHART.plan(CHART.read(**more)))


def texts(element: ElementTree.Element, role: str) -> list[tuple[str, float]]:
    """Texts of a role with the height of their capitals in mm."""
    found = (text for text in element.iter(f"{SVG}text") if text.get("class") == role)
    return [(str(text.text), float(str(text.get("font-size"))) * CAP_EM) for text in found]


def places(document: Document) -> dict[tuple[int, int], ElementTree.Element]:
    cells = groups(svg_root(document.pages[0], document), "place")
    return {(int(str(cell.get("data-deg"))), int(str(cell.get("data-points")))): cell for cell in cells}


def meant_deg(corner: str, past: str, points: int) -> Fraction:
    """The turn that "4", "2–3" or "1" and "+30°" mean, with corner 1 at START and corners 360°/points apart."""
    numbers = [int(number) for number in re.split("–", corner)]
    assert len(numbers) == 1 or numbers[1] == numbers[0] + 1
    pitch = Fraction(360, points)
    middle = Fraction(sum(numbers), len(numbers)) - 1
    return middle * pitch + Fraction(past.removeprefix("+").removesuffix("°") or 0)


@each("thread", ["right", "left"])
def test_what_is_read_from_afar_is_where_the_turn_ends(thread: str) -> None:
    found = places(a_chart(thread=thread))
    assert sorted(found) == [(turn, points) for turn in TURNS for points in POINTS]
    for (turn, points), cell in found.items():
        ((corner, _),) = texts(cell, "corner-number")
        past = "".join(text for text, _ in texts(cell, "turn-label"))
        assert meant_deg(corner, past, points) == turn


@each(("paper", "least_mm"), [("a4", 5.4), ("letter", 5.0), ("a3", 7.6), ("tabloid", 7.2)])
def test_corners_are_large_and_words_small_on_every_paper(paper: str, least_mm: float) -> None:
    """Capitals of a four-hundredth of the distance are read with ease (our choice): 5 mm from 2 m, 7.5 mm from 3 m."""
    for cell in places(a_chart(paper=paper)).values():
        ((_, corner_mm),) = texts(cell, "corner-number")
        assert corner_mm >= least_mm
        assert all(corner_mm > 3 * mm for _, mm in texts(cell, "text"))
        assert all(mm > 1.5 for _, mm in texts(cell, "text")), "still to be read from near by"


def test_both_threads_are_two_pages_each_that_of_its_own() -> None:
    both = a_chart(thread="both", paper="tabloid")
    single = [a_chart(thread=thread, paper="tabloid") for thread in ("right", "left")]
    for page, alone in zip(both.pages, single, strict=True):
        own = [text.text for text in placed_texts(page) if not text.text.startswith("page ")]
        assert own == [text.text for text in placed_texts(alone.pages[0]) if not text.text.startswith("page ")]
    check(both)
    assert CHART.data(CHART.plan(CHART.read(thread="both")))["thread"] == "both"


@each("paper", ["a4", "letter"])
def test_only_the_left_hand_page_has_its_statement_white_on_black_across_the_sheet(paper: str) -> None:
    right, left = a_chart(thread="both", paper=paper).pages
    for page, hand, other in ((right, "RIGHT-HAND", "LEFT-HAND"), (left, "LEFT-HAND", "RIGHT-HAND")):
        large = max(placed_texts(page), key=lambda text: text.size_pt)
        assert large.text.startswith(f"{hand} thread: turn ")
        assert large.size_pt * CAP_EM * MM_PER_PT > 4.5
        assert (large.grey == 1.0) is (hand == "LEFT-HAND")
        assert other not in " ".join(text.text for text in placed_texts(page))
        bars = [
            max(x for x, _ in item.points) - min(x for x, _ in item.points)
            for placed in page.placed
            for item in primitives(placed.drawing.content)
            if isinstance(item, Polyline) and item.role == "left-hand-box"
        ]
        assert bool(bars) is (hand == "LEFT-HAND")
        assert not bars or max(bars) > 0.85 * page.width_mm


def test_the_command_prints_both_on_tabloid(run: Run, tmp_path: Any) -> None:
    done = run("chart", "--thread", "both", "--paper", "tabloid", "-o", "charts.pdf")
    assert (done.returncode, done.stdout) == (0, "wrote charts.pdf: 2 pages, Tabloid.\n")
    pages = pdf_pages(tmp_path / "charts.pdf")
    assert [(page.width_mm, page.height_mm) for page in pages] == [pytest.approx((279.4, 431.8), abs=0.01)] * 2
    assert "--thread both --paper tabloid" in pages[1].text


def test_other_words_for_a_thread_are_read_and_others_refused() -> None:
    assert CHART.read(thread="LH").hands == (False,)
    assert CHART.read(thread="Both").hands == (True, False)
    with pytest.raises(MarkingError, match="thread"):
        CHART.read(thread="neither")
