"""Tape printers and label stock: bands to scale, the check ruler, a page as long as needed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import unary_union

from kit.collisions import collisions, placed_items, shape
from kit.each import each
from kit.examples import examples
from kit.measure import a_document, a_job, groups, of_role, only, placed_texts, strokes, svg_root
from marking import OUTPUTS
from marking.errors import LayoutError, MarkingError
from marking.outputs.job.band_plan import plan_job
from marking.outputs.job.sheet import draw as job_document
from marking.quantities.angles import closed_length_mm
from marking.sheets.furniture import finished_page
from marking.sheets.paper import SIZES, LabelStock, parse_paper, parse_sheet

STOCKS = ["12mm x roll", "24 mm x roll", "62mmxroll", "2in x roll", "62x100", "100 x 150 mm", "18x300"]


@each("paper", STOCKS)
@each("thread", ["right", "left"])
def test_a_band_on_label_stock_is_to_scale_and_has_its_ruler(paper: str, thread: str) -> None:
    document = a_document(od="24 mm", paper=paper, thread=thread)
    found = 0
    rulers = 0
    for page in document.pages:
        root = svg_root(page, document)
        for band in groups(root, "band"):
            lines = strokes(band)
            length = only(lines, "closure").x1 - only(lines, "seam").x1
            assert length == pytest.approx(closed_length_mm(24, 0.1), abs=0.0005)
            step = (only(lines, "stop-low").x1 - only(lines, "start").x1) * (1 if thread == "right" else -1)
            assert step % length == pytest.approx(length / 4, abs=0.0005)
            found += 1
        for ruler in groups(root, "check-ruler"):
            ticks = [line.x1 for line in of_role(strokes(ruler), "ruler-x") if line.x1 == line.x2]
            (stated,) = [float(line.data["mm"]) for line in of_role(strokes(ruler), "ruler-x") if "mm" in line.data]
            assert max(ticks) - min(ticks) == pytest.approx(stated, abs=0.0005)
            rulers += 1
        assert collisions(page) == []
    assert found == 2
    assert rulers == 1


@each("paper", STOCKS)
def test_label_pages_have_the_stocks_width_and_keep_its_margin(paper: str) -> None:
    stock = parse_paper(paper, "2 mm")
    assert isinstance(stock, LabelStock)
    document = a_document(od="20 mm", paper=paper, margin="2 mm", height="8 mm")
    for page in document.pages:
        assert page.height_mm == pytest.approx(stock.width_mm)
        if stock.length_mm is not None:
            assert page.width_mm == stock.length_mm
        for item in placed_items(page):
            x0, y0, x1, y1 = shape(item).bounds
            assert x0 >= 2 - 1e-6
            assert y0 >= 2 - 1e-6
            assert x1 <= page.width_mm - 2 + 1e-6
            assert y1 <= page.height_mm - 2 + 1e-6


def test_on_a_roll_every_piece_is_a_page_of_its_own_length() -> None:
    pages = a_document(od="20 mm", paper="24mm x roll", fasteners=3).pages
    band = closed_length_mm(20, 0.1) + 10
    assert [page.width_mm for page in pages[:2]] == [pytest.approx(band, abs=0.001)] * 2
    assert [page.width_mm for page in pages[2:5]] == [pytest.approx(14.0)] * 3
    assert {page.height_mm for page in pages} == {24.0}
    assert len(pages) == 2 + 3 + 2, "the words for the pointers, and the ruler"


@each("width", ["12", "18", "24", "36", "62"])
def test_on_a_roll_the_band_fills_the_tape_and_the_tapes_edge_is_the_reading_edge(width: str) -> None:
    document = a_document(od="24 mm", paper=f"{width}mm tape", fasteners=0, no_ruler=True)
    pages = list(document.pages)
    assert len(pages) == 2, "two copies, and nothing that was not asked for"
    high = min(float(width), 60.0)
    for page in pages:
        (band,) = groups(svg_root(page, document), "band")
        lines = strokes(band)
        edges = [only(lines, role).y1 for role in ("drive-edge", "fastener-edge")]
        low = min(y for item in placed_items(page) for y in shape(item).bounds[1::2])
        assert low == pytest.approx(0.0 if high == float(width) else 2.0, abs=0.001)
        assert abs(edges[0] - edges[1]) == pytest.approx(high, abs=0.001)


@each(
    ("text", "width_mm"),
    [("24mm tape", 24), ("24 tape", 24), ("0.47in x roll", 12), ("0.94 in tape", 24), ("1.4in tape", 36),
     ("1/2 in tape", None), ("2in x roll", 50.8), ("12mmxroll", 12)],
)  # fmt: skip
def test_tapes_are_read_by_their_nominal_widths(text: str, width_mm: float | None) -> None:
    if width_mm is None:
        with pytest.raises(MarkingError):
            parse_paper(text)
        return
    stock = parse_paper(text)
    assert isinstance(stock, LabelStock)
    assert stock.width_mm == pytest.approx(width_mm)
    assert (stock.length_mm, stock.margin_mm) == (None, 0.0)


def test_a_page_without_fasteners_is_refused_and_a_tape_is_not() -> None:
    assert len(a_document(od="24 mm", paper="24mm tape", fasteners=0).pages) == 3
    with pytest.raises(MarkingError, match="0 is for label stock"):
        a_document(od="24 mm", fasteners=0)


def test_trim_bands_go_on_stock_that_is_wide_enough() -> None:
    request = ("110 N·m + 90° +10/-0", 12, "1/2")
    made = OUTPUTS["job"]
    plan = made.plan(made.read(*request, od_range="24 mm..32 mm", paper="36mm tape", fasteners=0, no_ruler=True))
    document = made.draw(plan)
    assert len(document.pages) == len(plan.parts) == 2, "36 mm hold 7 mm of OD"
    for page in document.pages:
        assert collisions(page) == []
        assert page.height_mm == 36.0
        assert len(groups(svg_root(page, document), "trim-band")) == 1
    with pytest.raises(LayoutError, match="too narrow for trim bands"):
        made.plan(made.read(*request, od_range="24 mm..32 mm", paper="24mm tape"))


def test_words_that_find_no_room_on_a_low_band_stand_beside_it() -> None:
    page = a_document(od="14 mm", paper="12mm x roll").pages[0]
    words = " ".join(text.text for text in placed_texts(page))
    assert "110 N·m, then 90° +10/−0" in words
    assert "12-point" in words


def test_what_is_too_high_or_too_long_for_the_stock_is_refused() -> None:
    with pytest.raises(LayoutError, match="does not fit on the label stock"):
        a_document(paper="12mm x roll", height="14 mm")
    with pytest.raises(LayoutError):
        a_document(paper="24x60", od="60 mm", height="60 mm")


def test_label_stock_is_no_sheet() -> None:
    with pytest.raises(LayoutError, match="too narrow"):
        parse_sheet("62x100")
    plan = plan_job(a_job(paper="62mm x roll"))
    assert any("print the work card on a page" in str(warning) for warning in plan.warnings)
    assert plan.rings == (None,)


@each("paper", ["11mm x roll", "roll", "mm x roll", "62mm x", "62mm x 5mm", "2000mm x roll", "8.5x11ın", "8.5x11İN"])
def test_other_stock_is_refused(paper: str) -> None:
    with pytest.raises(MarkingError):
        parse_paper(paper)


@each(("paper", "margin"), [("a4", "5 mm"), ("a4", "31 mm"), ("62mm x roll", "31 mm"), ("a4", "-1 mm")])
def test_margins_are_limited(paper: str, margin: str) -> None:
    with pytest.raises(MarkingError):
        parse_paper(paper, margin)


@examples(60, shrink=False)
@given(
    st.floats(12, 70), st.none() | st.floats(70, 400), st.floats(9.5, 60), st.sampled_from(["90° ±8", "60 N·m + 30°"])
)
def test_no_text_touches_anything_on_any_label(width: float, length: float | None, od: float, spec: str) -> None:
    paper = f"{width:.1f}mm x " + ("roll" if length is None else f"{length:.1f}mm")
    try:
        document = job_document(plan_job(a_job(spec, 6, "1/4", od=f"{od:.2f} mm", paper=paper)))
    except LayoutError:
        return
    for page in document.pages:
        assert collisions(page) == []


def test_a_wider_margin_moves_everything_inwards() -> None:
    for page in a_document(margin="15 mm").pages:
        for item in placed_items(page):
            x0, y0, x1, y1 = shape(item).bounds
            assert min(x0, y0, page.width_mm - x1, page.height_mm - y1) >= 15 - 1e-6


@each("name", ["140x140", "140x220", "220x140", "a5", "150x150", "a4"])
def test_the_widest_margin_of_any_sheet_leaves_the_check_rulers_within_it(name: str) -> None:
    width, height = (float(side) for side in name.split("x")) if "x" in name else SIZES[name]
    widest = min(30.0, (min(width, height) - 120) / 2)
    paper = parse_sheet(name, f"{widest:.2f} mm")
    page = finished_page(paper, [], ("Title",), 1, 1)
    left, bottom, right, top = unary_union([shape(item) for item in placed_items(page)]).bounds
    assert min(left, bottom, width - right, height - top) >= widest - 0.01
    if widest < 30:
        with pytest.raises(MarkingError, match="no room for the 100 mm rulers"):
            parse_paper(name, f"{widest + 0.2:.2f} mm")


@each(("paper", "pointers"), [("12mmxroll", 0), ("18x300", 0), ("62mmxroll", 4)])
def test_pointers_that_label_stock_cannot_take_are_told(paper: str, pointers: int) -> None:
    plan = plan_job(a_job(od="24 mm", paper=paper, height="8 mm"))
    document = job_document(plan)
    roots = [svg_root(page, document) for page in document.pages]
    assert sum(len(groups(root, "witness-pointer")) for root in roots) == pointers
    (said,) = [str(remark) for remark in plan.warnings if remark.code == "bands-only"]
    assert ("the witness pointers are left out" in said) is (pointers == 0)
    assert ("bands and pointers" in said) is bool(pointers)
