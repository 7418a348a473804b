"""What a set draws of each of its rows."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from shapely import box

from kit.collisions import check
from kit.commands import Run
from kit.each import each
from kit.measure import Stroke, a_document, drawn_groups, groups, of_role, only, placed_texts, strokes, svg_root
from kit.sets import a_set, an_item
from marking.drawing.primitives import Text, primitives
from marking.errors import LayoutError
from marking.files.pdf import pdf_bytes
from marking.outputs.sets.pages import set_document
from marking.outputs.sets.pieces import planned
from marking.outputs.sets.plan import plan_set
from marking.outputs.sets.report import set_data
from marking.outputs.sets.request import SetOptions
from marking.sheets.paper import SIZES, Paper, parse_sheet


def marks(lines: list[Stroke], turned: bool = False) -> dict[str, list[float]]:
    """Where the marks lie along the band, which runs upwards on the page when it is turned."""
    seam = only(lines, "seam")
    roles = ("start", "stop-low", "stop-high", "aim", "corner", "mid-flat", "closure", "degree")
    if turned:
        return {role: sorted(line.y1 - seam.y1 for line in of_role(lines, role)) for role in roles}
    return {role: sorted(line.x1 - seam.x1 for line in of_role(lines, role)) for role in roles}


@each("thread", ["right", "left"])
def test_bands_of_a_set_equal_those_of_single_jobs(thread: str) -> None:
    plan = a_set([an_item(thread=thread, copies=2), an_item(id="Y", od="41.3 mm", thread=thread)])
    document = set_document(plan)
    drawn = drawn_groups(document, "band")
    assert [g.get("data-id") for g in drawn].count("X") == 2
    for od, ident in (("28 mm", "X"), ("41.3 mm", "Y")):
        single = a_document("60 N·m + 90° ±10", 6, "1/2", od=od, thread=thread)
        wanted = marks(strokes(groups(svg_root(single.pages[0], single, "band"), "band")[0]))
        for band in (g for g in drawn if g.get("data-id") == ident):
            found = marks(strokes(band))
            for role, xs in wanted.items():
                assert found[role] == pytest.approx(xs, abs=0.001), role


@each("thread", ["right", "left"])
def test_a_turned_band_is_the_band_of_a_single_job_turned_and_not_mirrored(thread: str) -> None:
    plan = a_set([an_item(id="LONG", od="70 mm", drive="1", thread=thread)])
    (spot,) = plan.spots
    assert spot.turned
    document = set_document(plan)
    (band,) = map(strokes, drawn_groups(document, "band"))
    single = a_document("60 N·m + 90° ±10", 6, "1", od="70 mm", thread=thread)
    wanted = strokes(groups(svg_root(single.pages[0], single, "band"), "band")[0])
    assert marks(band, turned=True) == {role: pytest.approx(xs, abs=0.001) for role, xs in marks(wanted).items()}
    # A quarter turn counterclockwise brings the fastener edge from the foot to the right.
    assert only(band, "fastener-edge").x1 > only(band, "drive-edge").x1
    assert only(wanted, "fastener-edge").y1 < only(wanted, "drive-edge").y1


def test_copies_share_one_drawing_in_the_pdf() -> None:
    few, many = (len(pdf_bytes(set_document(a_set([an_item(copies=n)])))) for n in (2, 60))
    assert many < few + 60 * 400, "a copy costs a line or two, not a drawing"
    different = a_set([an_item(id=f"X{k}", od=f"{28 + k / 100:.2f} mm", row=k) for k in range(60)])
    assert len(pdf_bytes(set_document(different))) > 3 * many


def test_turns_for_stock_become_trim_bands(run: Run, tmp_path: Path) -> None:
    arguments = ("--turns", "60° ±8, 90° +10/-0", "--points", "6,12", "--drive", "3/8,1/2")
    done = run("set", *arguments, "-o", "stock.pdf", "--json")
    assert done.returncode == 0, done.stderr
    pieces = json.loads(done.stdout)["pieces"]
    assert {piece["kind"] for piece in pieces} == {"trim band"}
    assert len({piece["id"] for piece in pieces}) == 8
    assert (tmp_path / "stock.pdf").exists()


def test_bands_too_long_for_an_upright_page_lie_along_it_and_longer_ones_on_wide_pages() -> None:
    plan = a_set([an_item(id="LONG", od="70 mm", drive="1"), an_item(id="LONGER", od="81.5 mm", drive="1", row=3)])
    sizes = {plan.parts[spot.part].name: plan.papers[spot.page][:2] for spot in plan.spots}
    assert sizes == {"LONG": (210.0, 297.0), "LONGER": (297.0, 210.0)}
    assert [spot.turned for spot in plan.spots] == [True, False]
    check(set_document(plan)._replace(pages=tuple(set_document(plan).pages)))


def test_json_tells_how_each_piece_lies() -> None:
    plan = a_set([an_item(), an_item(id="LONG", od="62 mm", drive="1", row=3)])
    upright, lying = sorted(set_data(plan)["pieces"], key=lambda piece: piece["width_mm"], reverse=True)
    assert (upright["id"], upright["turned"], upright["width_mm"] > upright["height_mm"]) == ("X", False, True)
    assert (lying["id"], lying["turned"], lying["width_mm"] < lying["height_mm"]) == ("LONG", True, True)
    assert upright["page"] == lying["page"]
    boxes = [box(p["x_mm"], p["y_mm"], p["x_mm"] + p["width_mm"], p["y_mm"] + p["height_mm"]) for p in (upright, lying)]
    assert not boxes[0].intersects(boxes[1])
    assert all(box(0, 0, 210, 297).contains(shape) for shape in boxes)


def test_long_bands_are_cut_for_the_paper_of_the_set() -> None:
    item = an_item(id="LONG", od="81.5 mm", drive="1")
    assert len(a_set([item]).parts) == 1
    small = plan_set([item], SetOptions(Paper(*SIZES["a5"])))
    assert [part.name for part in small.parts] == [f"LONG ({k} of 3)" for k in (1, 2, 3)], "none cut behind START"


def test_a_title_of_two_lines_leaves_room_for_what_fits() -> None:
    plan = a_set([an_item()], title="Tram depot, stores, marking bands for the bogies and the doors of all cars, " * 1)
    assert not plan.faults
    assert len(plan.papers) == 1


def test_a_band_in_pieces_lies_in_the_set_piece_by_piece() -> None:
    plan = a_set([an_item(id="LONG", od="120 mm", drive="1")])
    assert [part.name for part in plan.parts] == ["LONG (1 of 2)", "LONG (2 of 2)"]
    document = set_document(plan)
    pieces = drawn_groups(document, "band-piece")
    assert sorted(str(piece.get("data-piece")) for piece in pieces) == ["1", "2"]


def test_long_bands_are_cut_for_the_margin_of_the_set() -> None:
    item = an_item(id="LONG", od="81.5 mm", drive="1")
    wide = plan_set([item], SetOptions(parse_sheet("a4", "15 mm")))
    assert [part.name for part in wide.parts] == ["LONG (1 of 2)", "LONG (2 of 2)"]
    document = set_document(wide)
    for page in document.pages:
        for placed in placed_texts(page):
            assert all(15 <= x <= page.width_mm - 15 and 15 <= y <= page.height_mm - 15 for x, y in placed.box)


def test_a_disc_of_a_set_carries_its_id() -> None:
    (outline,), _ = planned(an_item(id="D-17", kind="disc"), SetOptions(Paper(*SIZES["a4"])))
    words = " ".join(item.text for item in primitives(outline.draw().content) if isinstance(item, Text))
    assert "D-17" in words


@each("od", ["28 mm", "62 mm"])
def test_the_words_of_a_turned_piece_are_as_far_from_its_cut_as_those_of_an_upright_one(od: str) -> None:
    plan = a_set([an_item(od=od, drive="1")])
    (page,) = set_document(plan).pages
    words, band = page.placed[:2]
    assert plan.spots[0].turned is (od == "62 mm")
    caption = next(text for text in placed_texts(page) if text.text.startswith("X · 60 N·m, then 90° ±10 · 6-point"))
    xs, ys = zip(*caption.box, strict=True)
    edge = band.x + band.drawing.width_mm if plan.spots[0].turned else band.y
    gap = min(xs) - edge if plan.spots[0].turned else edge - max(ys)
    assert gap == pytest.approx(1.7, abs=0.3)
    assert words.drawing.content.name == "paragraph"


def test_a_row_gets_the_part_rings_of_all_its_stages_or_none() -> None:
    options, socket = SetOptions(Paper(*SIZES["a4"])), {"od": "33 mm", "opening": "24 mm"}
    with pytest.raises(LayoutError, match="the part ring is left out: it is read to ±4"):
        planned(an_item(kind="ring", spec="60 N·m, 90° +10/-0, 45° ±10", **socket), options)
    outlines, remarks = planned(an_item(kind="ring", spec="60 N·m, 85° ±7, 95° ±7", **socket), options)
    assert [outline.by_stage for outline in outlines] == [True, True]
    assert {remark.code for remark in remarks} == {"growing-turns"}, "nothing of bands, which are not printed"
