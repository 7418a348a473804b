"""The index and the maps of pages: every word is there whole, on the right page, and touches nothing."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from kit.collisions import check
from kit.each import each
from kit.measure import placed_texts
from kit.sets import a_set, an_item
from marking.drawing.primitives import Document, Drawing, Page, Placed, Polyline, Text, primitives
from marking.outputs.sets.index import INDEX_PT, IndexRow, PlacedId, draw_index_page, page_map, plan_index
from marking.outputs.sets.packing import Piece, pack
from marking.sheets.blocks import captioned
from marking.sheets.paper import SIZES, Paper

HEADER = ("Set of marking bands", "demo data, not for real equipment")


def rows(count: int, first_page: int = 2) -> list[IndexRow]:
    places = [((first_page + k // 20, f"{'ABCDEFG'[k % 7]}{k % 3 + 1}"),) for k in range(count)]
    return [IndexRow(f"R{k:05}", "90° +10/-0", "S19", "87.65 mm", place) for k, place in enumerate(places)]


def index(entries: list[IndexRow], paper: str = "a4", maps: Sequence[Drawing] = ()) -> tuple[Page, ...]:
    sheet = Paper(*SIZES[paper])
    plan = plan_index(sheet, HEADER, entries, [(drawing.width_mm, drawing.height_mm) for drawing in maps])
    return tuple(
        draw_index_page(
            plan, k, sheet, HEADER, [entries[i] for i in plan.rows[k]], [maps[i] for i in plan.maps[k]], plan.pages
        )
        for k in range(plan.pages)
    )


def words(drawing: Drawing) -> list[Text]:
    return [item for item in primitives(drawing.content) if isinstance(item, Text)]


def on_a_page(*drawings: Drawing) -> Document:
    """Drawings below one another on a page of their own."""
    placed, y = [], 10.0
    for drawing in drawings:
        placed.append(Placed(drawing, 10.0, y))
        y += drawing.height_mm + 5.0
    return Document((Page(20.0 + max(d.width_mm for d in drawings), y + 5.0, tuple(placed)),))


@each("paper", ["a4", "a5", "letter"])
@each("count", [1, 40, 300])
def test_every_row_is_in_the_index_beside_its_page_and_place(count: int, paper: str) -> None:
    entries = rows(count)
    pages = index(entries, paper)
    check(Document(pages))
    found = []
    for page in pages:
        texts = list(placed_texts(page))
        for name in (text for text in texts if text.text.startswith("R0")):
            beside = sorted((text for text in texts if abs(text.y - name.y) < 1e-6), key=lambda text: text.x)
            own = beside[beside.index(name) :][:5]
            found.append(tuple(text.text for text in own))
    assert found == [row.cells() for row in entries]


def test_800_pieces_are_indexed_on_nine_pages_with_the_maps_of_all_others() -> None:
    entries = [row._replace(id=f"S19-{row.id}-90+10-0") for row in rows(800)]
    assert plan_index(Paper(*SIZES["a4"]), HEADER, entries, [(29.3, 42.0)] * 54).pages <= 9


def test_page_numbers_do_not_change_the_length_of_the_index() -> None:
    for count in range(30, 60, 9):
        found = set()
        for first in (0, 9, 98, 999, 12_345):
            entries = [row._replace(id="n" * (k % 50), spec="i" * k) for k, row in enumerate(rows(count, first))]
            more = [(first + k, "A1–B2, C3") for k in range(7)]
            entries = [row._replace(places=(*row.places, *more[: k % 8])) for k, row in enumerate(entries)]
            pages = index(entries, "a5")
            check(Document(pages))
            found.add(tuple(sum(text.text.startswith("n") for text in placed_texts(page)) for page in pages))
        assert len(found) == 1


def test_long_ids_and_specs_are_wrapped_and_whole() -> None:
    name, spec = "PUMP-HOUSE-" + "8" * 60, "110 N·m + 90° +10/-0 then 90° +10/-0 then 90° +10/-0, then 180°"
    entries = [IndexRow(name, spec, "12-pt · 1/2 in · OD 27.8 mm", "87.65 mm", ((3, "A1–A9"), (4, "B1, C2")))] * 60
    for paper in ("a4", "a5"):
        pages = index(entries, paper)
        check(Document(pages))
        cells = [text for page in pages for text in placed_texts(page) if text.size_pt == INDEX_PT]
        columns = sorted({text.x for text in cells})
        for column, wanted in enumerate(entries[0].cells()):
            own = columns[column::5]  # of the one table, or of both that stand beside each other
            texts = [text for page in pages for x in own for text in placed_texts(page) if text.x == x]
            found = [text.text for text in texts if text.size_pt == INDEX_PT]
            assert "".join(found).replace(" ", "") == wanted.replace(" ", "") * 60


@each("count", [0, 1, 30, 90, 100, 110, 115, 118, 119, 120, 121, 122, 123, 124, 126, 150, 260])
@each("maps", [0, 1, 7, 50])
def test_every_map_stands_once_behind_the_rows_and_touches_nothing(count: int, maps: int) -> None:
    drawings = [captioned(page_map(183.0, 249.0, [], 0.16), [f"page {k}"], 0.0) for k in range(maps)]
    pages = index(rows(count), maps=drawings)
    check(Document(pages))
    captions = [text.text for page in pages for text in placed_texts(page) if text.text.startswith("page ")]
    wanted = [f"page {k}" for k in range(maps)]
    assert [text for text in captions if " of " not in text] == wanted
    assert [text for text in captions if " of " in text] == [f"page {k + 1} of {len(pages)}" for k in range(len(pages))]
    if count <= 30:
        assert len(pages) <= 1 + maps // 20, "no page is left nearly empty"


def a_map() -> tuple[list[PlacedId], Drawing]:
    pieces = [Piece(k, 44.0 + 37.0 * (k % 4), (14.0, 16.0, 20.0, 60.0)[k % 4], "a") for k in range(14)]
    pieces += [Piece(14, 6.0, 6.0, "a"), Piece(15, 16.0, 40.0, "a")]
    spots = [spot for spot in pack(pieces, 183.0, 249.0).spots if spot.page == 0]
    size = {piece.key: piece for piece in pieces}
    placed = [PlacedId(str(s.key), s.x, s.y, size[s.key].width_mm, size[s.key].height_mm, s.place) for s in spots]
    return placed, page_map(183.0, 249.0, placed)


def test_a_map_outlines_every_piece_at_its_place_and_names_those_with_room() -> None:
    placed, drawing = a_map()
    check(on_a_page(drawing))
    outlines = [item for item in primitives(drawing.content) if isinstance(item, Polyline)]
    assert drawing.content.name == "page-map"
    assert len(outlines) == len(placed) + 1
    for piece, outline in zip(placed, outlines[1:], strict=True):
        (left, bottom), (right, top) = outline.points[0], outline.points[2]
        middle = ((left + right) / 2 / 0.12, (bottom + top) / 2 / 0.12)
        assert middle == pytest.approx((piece.x + piece.width_mm / 2, piece.y + piece.height_mm / 2))
    names = {text.text for text in words(drawing)}
    assert names <= {piece.place for piece in placed}
    assert {piece.place for piece in placed if piece.width_mm > 60 and piece.height_mm >= 20} <= names
    assert all(text.size_pt >= 5.0 for text in words(drawing))


def test_index_rows_of_left_hand_threads_say_so_white_on_black() -> None:
    left = [row._replace(left=True) for row in rows(3)]
    entries = [*left, *rows(2), rows(1)[0]._replace(id="LEFT-HAND")]
    pages = index(entries)
    check(Document(pages))
    assert [text.text for page in pages for text in placed_texts(page) if text.grey] == ["LEFT-HAND"] * 3


def test_no_page_of_the_index_holds_a_map_or_two_alone() -> None:
    for copies in range(160, 250, 10):
        front = a_set([an_item(copies=copies), an_item(id="Y", od="45 mm", row=3)]).front
        assert front.layout
        assert front.pages == 1 or front.layout.rows[-1] or len(front.layout.maps[-1]) > 2


def test_a_map_says_for_every_row_which_sockets_are_on_it_and_runs_of_rows_only_once() -> None:
    sockets = ("S1", "S2", "", "S1")
    items = [
        an_item(id=f"P{k}", od=f"{40 + 3 * (k % 4)} mm", socket=sockets[k % 4], copies=8, row=k + 2) for k in range(8)
    ]
    plan = a_set(items)
    wanted: dict[int, dict[str, set[str]]] = {}
    for spot in plan.spots:
        own = wanted.setdefault(spot.page, {}).setdefault(spot.place.rstrip("0123456789"), set())
        own |= {plan.parts[spot.part].item.socket} - {""}
    for page, said in enumerate(plan.front.sockets):
        found: dict[str, set[str]] = {}
        for rows, named in (words.split(" ", 1) for words in said.split(" · ") if words):
            first, last = rows[0], rows[-1]
            found |= {chr(row): set(named.split(", ")) for row in range(ord(first), ord(last) + 1)}
        assert found == {row: own for row, own in wanted[page].items() if own}
    assert any("–" in said for said in plan.front.sockets)
