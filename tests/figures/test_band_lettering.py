"""What is written on a band, measured in the finished files: sizes by rank, what stands alone, what a piece says."""

from __future__ import annotations

import functools
import itertools
import math

import pytest
from shapely import box

from kit.band_pieces import Piece, pieces_of
from kit.each import each
from kit.measure import (
    SVG,
    a_document,
    a_job,
    of_role,
    only,
    placed_texts,
)  # fmt: skip
from kit.pdf_reading import pdf_pages
from kit.sets import a_set, an_item
from marking.drawing.primitives import Document
from marking.files.pdf import pdf_bytes
from marking.marks.seam import closure_half_mm
from marking.outputs.job.band_plan import plan_job
from marking.outputs.job.words import fitting_steps, trimming_steps
from marking.outputs.sets.pages import set_document
from marking.quantities.angles import closed_length_mm
from marking.readouts.band.layout import splices, splices_between

FIRST = ("label", "turned-label")
LOWER = ("words", "counted", "spec", "number", "lane", "tape-edge", "tab", "closure-number", "left-hand", "ok")

CASES: list[tuple[str, int, str, str, dict[str, str]]] = [
    ("110 N·m + 90° +10/-0", 12, "1/2", "27.8 mm", {}),
    ("110 N·m + 90° +10/-0", 12, "1/2", "27.8 mm", {"height": "14 mm", "thread": "left"}),
    ("60 N·m, 90° ±5, 90° ±5, 60° ±5", 6, "1/2", "28 mm", {"thread": "left", "title": "R-12"}),
    ("40 N·m + 90° + 45°", 12, "1/2", "27.8 mm", {"opening": "19 mm"}),
    ("60 N·m + 90° +10/-0, to 270° in all", 12, "3/4", "45 mm", {"opening": "30 mm"}),
    ("60 N·m + 450° ±15", 6, "3/4", "45 mm", {"thread": "left"}),
    ("300 N·m + 90° +10/-0 + 60° ±8", 12, "1-1/2", "95 mm", {"opening": "65 mm", "thread": "left", "title": "T-3"}),
    ("300 N·m + 120° +10/-0", 6, "1-1/2", "140 mm", {"opening": "100 mm", "title": "T-4"}),
]


@functools.cache
def drawn(case: int) -> tuple[Document, list[Piece]]:
    spec, points, drive, od, more = CASES[case]
    document = a_document(spec, points, drive, od=od, copies=1, **more)
    return document, pieces_of(document)


every_case = each("case", range(len(CASES)))


@every_case
def test_start_and_stop_are_a_seventh_of_the_height_or_more(case: int) -> None:
    _, pieces = drawn(case)
    labels = [(text, piece.height) for piece in pieces for text in piece.words("label")]
    assert {text.text.split()[0] for text, _ in labels} >= {"START", "STOP"}
    for text, height in labels:
        small = "full turn" in text.text
        assert text.cap_mm >= (0.45 if small else 1.0) * max(height / 7, 2.4) - 0.001, text


def test_the_letters_of_a_high_band_are_read_from_a_metre() -> None:
    labels = [text for piece in drawn(6)[1] for text in piece.words("label")]
    assert min(text.cap_mm for text in labels) >= 5.0


@each("od", ["7 mm", "9 mm", "12 mm"])
def test_a_slim_socket_still_has_its_words_on_the_band(od: str) -> None:
    (piece,) = pieces_of(a_document("20 N·m + 90° ±12", 6, "1/4", od=od, copies=1))
    labels = piece.words("label")
    assert {"START", "STOP"} <= {text.text for text in labels}
    assert "78–102°" in "".join(text.text for text in labels)
    assert min(text.cap_mm for text in labels) >= 1.16


@every_case
def test_nothing_of_a_lower_rank_comes_near_start_stop_and_the_window(case: int) -> None:
    """Neither within 1 mm of the words nor beside them on their lines, between the same two marks."""
    for piece in drawn(case)[1]:
        marks = sorted(line.x1 for line in of_role(piece.lines, "start", "stop", "stop-low", "stop-high"))
        for label, other in itertools.product(piece.words("label"), piece.words(*LOWER)):
            assert label.shape.distance(other.shape) >= 1.0, (label, other)
            (a, low, b, high), (c, bottom, d, top) = label.shape.bounds, other.shape.bounds
            parted = any(min(b, d) <= x <= max(a, c) for x in marks)
            closure = other.role in ("tab", "closure-number", "ok")  # beyond the OK bracket
            assert parted or closure or bottom >= high or top <= low, (label, other)


@every_case
def test_numbers_are_6_points_from_14_mm_and_10_points_at_30_mm(case: int) -> None:
    for piece in drawn(case)[1]:
        sizes = [text.size_pt for text in piece.words("number")]
        assert sizes
        assert min(sizes) >= 6.0 + (10.0 - 6.0) / 16 * (min(piece.height, 30.0) - 14.0) - 0.01


@every_case
def test_6_and_9_are_underlined(case: int) -> None:
    for piece in drawn(case)[1]:
        told = [text for text in piece.words("number") if text.text in ("6", "9")]
        assert len(of_role(piece.lines, "underline")) == len(told)


@every_case
def test_all_that_is_written_lies_inside_the_cut(case: int) -> None:
    for piece in drawn(case)[1]:
        tab = only(piece.lines, "tab-edge").x1
        inside = box(piece.left, piece.foot, tab, piece.foot + piece.height)
        for text in piece.texts:
            assert inside.contains(text.shape), text


@every_case
def test_every_piece_cut_out_of_the_pdf_says_what_it_is_for(case: int) -> None:
    """Cut along its own outline, each piece bears its name, the spec, the OD and LEFT-HAND."""
    spec, _, _, od, more = CASES[case]
    document, _ = drawn(case)
    read_as = a_job(spec).spec.read_as
    for sheet, page in zip(pdf_pages(pdf_bytes(document)), document.pages, strict=True):
        for piece in pieces_of(Document((page,))):
            foot = page.height_mm + piece.foot
            said = sheet.text_in(piece.left, foot, only(piece.lines, "tab-edge").x1, foot + piece.height)
            for words in (f"OD {od}", read_as, more.get("title", ""), "LEFT-HAND" if "thread" in more else ""):
                assert words in said


# -- the closure


@each("spec", ["60 N·m + 90° ±5", "60 N·m + 360° ±30", "60 N·m + 90°"])
@each(("od", "half"), [("9 mm", 0.3), ("27.8 mm", 0.438), ("96 mm", 1.0)])
def test_the_ok_bracket_shows_what_the_closure_may_miss_whatever_the_window(spec: str, od: str, half: float) -> None:
    document = a_document(spec, 6, "1/2", od=od, copies=1, height="14 mm")
    piece = pieces_of(document)[-1]
    closure, bars = only(piece.lines, "closure").x1, of_role(piece.lines, "ok-bracket")
    drawn_half = closure_half_mm(closed_length_mm(float(od.split()[0]), 0.1))
    assert drawn_half == pytest.approx(half, abs=0.001)
    elements = [e for e in piece.element.iter(f"{SVG}line") if e.get("class") == "ok-bracket"]
    (width,) = {float(e.get("stroke-width", "nan")) for e in elements}
    assert width >= 4 * 25.4 / 180, "four dots at 180 dpi"
    inner = sorted(bar.x1 - closure + (width / 2 if bar.x1 < closure else -width / 2) for bar in bars)
    assert inner == pytest.approx([-drawn_half, drawn_half], abs=0.001)
    for bar in bars:
        assert {bar.y1, bar.y2} == {piece.foot, piece.foot + piece.height}, "the whole height of the tab"
    (said,) = piece.words("ok")
    assert said.text == "OK"
    assert said.shape.bounds[0] > closure


def test_the_tab_says_the_closed_length_with_its_unit_and_the_scale_has_one_too() -> None:
    for od, unit, length in (("27.8 mm", "mm", "87.65 mm"), ("1.1 in", "in", "3.468 in")):
        piece = pieces_of(a_document(od=od, copies=1))[0]
        assert length in " ".join(text.text for text in piece.words("tab"))
        assert unit in {text.text for text in piece.words("closure-number")}


@each("od", ["7 mm", "12 mm", "27.8 mm", "96 mm", "0.5 in", "3 in"])
def test_the_closure_scale_reaches_as_far_back_as_forward(od: str) -> None:
    piece = pieces_of(a_document(od=od, drive="1/4", copies=1, spec="20 N·m + 90° ±12"))[-1]
    closure, scale = only(piece.lines, "closure").x1, of_role(piece.lines, "closure-scale")
    back, forward = closure - min(line.x1 for line in scale), max(line.x1 for line in scale) - closure
    assert back == pytest.approx(forward, abs=0.52)
    assert back > 0.08 * min(piece.right - piece.left, 90)


def test_a_stop_without_tolerance_has_a_flag_and_nothing_else_has() -> None:
    flagged = pieces_of(a_document("60 N·m + 90°", copies=1))[0]
    (flag,) = flagged.polygons("stop-flag")
    (start,) = flagged.polygons("start-flag")
    stop = only(flagged.lines, "stop")
    assert sum(math.isclose(x, stop.x1, abs_tol=0.001) for x, _ in flag) == 2, "it hangs on the stop line"
    assert max(y for _, y in flag) == pytest.approx(max(stop.y1, stop.y2), abs=0.001)
    assert min(y for _, y in flag) > max(y for _, y in start), "at the drive end, START's at the fastener"
    assert not pieces_of(a_document("60 N·m + 90° ±5", copies=1))[0].polygons("stop-flag")


# -- long bands and work overhead


def test_high_bands_say_start_and_stop_upside_down_too() -> None:
    for case in range(len(CASES)):
        turned = [text for piece in drawn(case)[1] for text in piece.words("turned-label")]
        high = min(piece.height for piece in drawn(case)[1]) >= 25.0
        wanted = {"STAR", "STOP"} if CASES[case][0].count("+ ") == 1 else {"STAR"}
        assert {text.text[:4] for text in turned} >= wanted if high else not turned
        sizes = [text.size_pt for piece in drawn(case)[1] for text in piece.words("label")]
        assert all(text.size_pt <= min(sizes) + 0.01 for text in turned)


@each("thread", ["right", "left"])
@each("od", ["96 mm", "120 mm", "140 mm", "200 mm"])
def test_no_splice_lies_between_start_and_a_window_that_one_piece_can_hold(od: str, thread: str) -> None:
    plan = plan_job(a_job("300 N·m + 90° +10/-0", 12, "1", od=od, thread=thread))
    (band,), (cuts,) = plan.bands, plan.cuts
    assert cuts
    assert splices_between(band, cuts, 100) == 0


def test_a_splice_between_start_and_a_window_is_counted() -> None:
    plan = plan_job(a_job("300 N·m + 170° ±5", 12, "1", od="200 mm"))
    (band,) = plan.bands
    cuts = splices(band, plan.job.paper.widest_mm)
    assert splices_between(band, cuts, 175) == 1
    low, high = band.x_of(0), band.x_of(175)
    assert [low < cut < high for cut in cuts].count(True) == 1
    assert splices_between(band, cuts, 0) == splices_between(band, cuts, 720) == 0


def test_gluing_and_taping_are_steps() -> None:
    def said(od: str) -> str:
        pages = a_document("300 N·m + 90° +10/-0", 12, "1", od=od).pages
        return " ".join(text.text for page in pages for text in placed_texts(page))

    assert "Glue the pieces" in said("140 mm")
    assert "Glue the pieces" not in said("28 mm")
    for words in ("Tape the band to the socket", "never shift a band", "inside the OK", "flush with the"):
        assert words in said("28 mm")
    steps = [*fitting_steps(True, "corner", "0.4 mm", 2), *trimming_steps(False, "flat")]
    assert not any(word in " ".join(steps).lower() for word in ("--", "stock", "shaded"))


def test_a_band_bears_the_id_of_its_row_in_a_list() -> None:
    document = set_document(a_set([an_item(id="R-17"), an_item(id="R-18", thread="left", od="12 mm", drive="1/4")]))
    first, second = sorted((piece.words("lane")[0].text for piece in pieces_of(document)), reverse=True)
    assert first.startswith("R-18 · ")
    assert second.startswith("R-17 · 60 N·m, then 90° ±10 · ")
