"""The sheet of a tape: its words, pieces and worked reading."""

from __future__ import annotations

import itertools
import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.collisions import check
from kit.each import each
from kit.measure import SVG, drawn_groups, groups, of_role, placed_lines, placed_texts, strokes, svg_root
from kit.pdf_reading import lost, pdf_pages
from kit.tape import CASES, RESOLUTION_MM, Case, printed, read_wrapped, texts
from marking.files.pdf import pdf_bytes
from marking.quantities.angles import closed_length_mm


@each("paper", ["a4", "letter", "a5", "a3", "legal"])
@each("unit", ["mm", "in"])
@each(("low", "high"), [(8, 60), (8, 9), (30, 45), (95, 105), (8, 300), (299, 300)])
def test_no_text_touches_anything_on_any_paper(low: float, high: float, unit: str, paper: str) -> None:
    document = Case(low, high, unit, 0.1, paper).document
    check(document)
    assert min(text.size_pt for page in document.pages for text in placed_texts(page)) >= 5.0


@each("case", CASES)
def test_the_pdf_has_the_lines_of_the_svg(case: Case) -> None:
    document = case.document
    for page, drawn in zip(pdf_pages(pdf_bytes(document)), document.pages, strict=True):
        found = np.array([line[:4] for line in page.lines])
        svg = strokes(svg_root(drawn, document))
        wanted = np.array([(s.x1, s.y1 + drawn.height_mm, s.x2, s.y2 + drawn.height_mm) for s in svg])
        assert len(found) == len(wanted) == len(list(placed_lines(drawn)))
        assert not lost(wanted, found, 0.005).any()


@each("case", CASES)
def test_captions_state_the_first_and_last_line_of_each_piece(case: Case) -> None:
    tape, words = printed(case), texts(case)
    ends = [-1e9, *tape.splices, 1e9]
    size = 1.0 if case.unit == "mm" else 25.4
    for number, (a, b) in enumerate(itertools.pairwise(ends), 1):
        name = f"Piece {number} of {len(ends) - 1}" if tape.splices else "The tape:"
        (caption,) = [text for text in words if text.startswith(name)]
        inside = [od / size for u, od in tape.graduations if a < u < b]
        stated = re.search(rf"first line ([\d.]+) {case.unit}, last line ([\d.]+) {case.unit}", caption)
        if not inside:
            assert "no graduations" in caption
            continue
        assert stated, caption
        assert [float(stated[1]), float(stated[2])] == pytest.approx([inside[0], inside[-1]], abs=1e-9)


@each("case", CASES)
def test_the_numbers_on_the_tape_stand_at_their_graduations(case: Case) -> None:
    document = case.document
    size = 1.0 if case.unit == "mm" else 25.4
    numbers = 0
    for page in document.pages:
        for piece in groups(svg_root(page, document, "diameter-tape"), "diameter-tape"):
            lines = {round(s.x1, 3): float(s.data["od"]) for s in of_role(strokes(piece), "graduation")}
            for text in piece.iter(f"{SVG}text"):
                if text.get("class") == "number" and text.get("font-weight") == "600":
                    x = round(float(text.get("x", "nan")), 3)
                    assert float(text.text or "nan") * size == pytest.approx(lines[x], abs=1e-9)
                    numbers += 1
    assert numbers >= (case.high - case.low) / size / 2


def test_every_millimetre_is_numbered_where_that_is_legible() -> None:
    numbers = {text for text in texts(Case(8, 60)) if text.isdigit()}
    assert {str(mm) for mm in range(8, 61)} <= numbers


@each(
    ("case", "shown"),
    [
        (Case(8, 60), "27.5 + 0.3 = 27.8 mm"),
        (Case(8, 60, "in"), "1.08 + 0.015 = 1.095 in"),
        (Case(27.3, 27.5), None),
        (Case(60, 180), None),
        (Case(49, 51), None),
        (Case(8, 9, "in"), None),
    ],
)
def test_the_worked_reading_is_what_the_tape_would_show(case: Case, shown: str | None) -> None:
    (line,) = [text for text in texts(case) if re.fullmatch(r"[\d.]+ \+ [\d.]+ = [\d.]+ (mm|in)", text)]
    assert shown in (None, line)
    value = float(line.split("=")[1].split()[0]) * (1.0 if case.unit == "mm" else 25.4)
    resolution = RESOLUTION_MM[case.unit]
    assert case.low - resolution <= value <= case.high + resolution
    assert read_wrapped(printed(case), value, case.stock, resolution) == pytest.approx(value, abs=1e-6)
    document = case.document
    (figure,) = drawn_groups(document, "worked-reading")
    (ring,) = list(figure.iter(f"{SVG}circle"))
    x, y = float(ring.get("cx", "nan")), -float(ring.get("cy", "nan"))
    through = [s for s in of_role(strokes(figure), "enlarged") if abs(s.x1 - x) < 0.001]
    assert len(through) == 2, "a line of the tail and one of the vernier"
    assert all(y in (s.y1, s.y2) for s in through)
    assert f"(OD) to print a band for: {line.split('= ')[1]}" in " ".join(texts(case))


def test_the_sheet_names_the_stock_it_was_made_for() -> None:
    words = " ".join(texts(Case(8, 60, stock=0.23)))
    assert words.count("0.23 mm") >= 4


def test_thicker_stock_than_the_tape_was_made_for_reads_the_difference_too_much() -> None:
    """What the sheet says of it: a tape for 0.1 mm, printed on 0.2 mm."""
    assert read_wrapped(printed(Case(8, 60)), 27.8, 0.2, 0.1) == pytest.approx(27.9)


@given(od=st.floats(8, 300), stock=st.floats(0, 1), printed_scale=st.floats(0.99, 1.01))
def test_a_print_error_of_tape_and_band_cancels(od: float, stock: float, printed_scale: float) -> None:
    """What the sheet says of it: the OD read on a stretched tape gives a band that, stretched alike, just closes."""
    read = closed_length_mm(od, stock) / printed_scale / math.pi - stock
    assert printed_scale * closed_length_mm(read, stock) == pytest.approx(closed_length_mm(od, stock), rel=1e-12)
