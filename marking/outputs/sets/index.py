"""How a piece of a set is found again: the index, small maps of the pages, and tags for bags."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from ...drawing.emphasis import left_hand, left_hand_size_mm, underlined
from ...drawing.fonts import BODY_PT, HALF_SMALL_CAP_MM, NOTE_PT, SEMIBOLD, SMALL_PT, line_pitch_mm, text_width_mm, wrap
from ...drawing.primitives import Drawing, Group, Line, Page, Polyline, Primitive, Text
from ...sheets.blocks import columns_for, table
from ...sheets.paper import Paper
from ...sheets.sheet import Sheet

TITLES = ("id", "spec", "socket", "page", "place")

ID_MM, SPEC_MM = 44.0, 52.0
"""Widest columns for ids and specs; longer ones are wrapped."""

LEAST_SOCKET_MM = 24.0
"""Narrowest column for sockets that are longer; ids and specs give way to it (our choice)."""

ROW_MM, HEAD_MM = 4.6, 12.0

TAG_WIDTH_MM, TAG_HEIGHT_MM = 62.0, 30.0

TAG_SIZES_PT = (18.0, 14.0, 11.0, 9.0, 7.0, 6.0)

TAG_LINES = 4

TAG_LEFT_PT = 10.0
"""Size of LEFT-HAND on a tag."""


class IndexRow(NamedTuple):
    """One piece in the index: `page` as printed, `place` on that page."""

    id: str
    spec: str
    socket: str
    page: int
    place: str


class PlacedId(NamedTuple):
    """A piece on a page's map, in mm from the lower left of the page's area."""

    id: str
    x: float
    y: float
    width_mm: float
    height_mm: float
    place: str


class IndexLayout(NamedTuple):
    """How an index fills its pages: page k holds the rows and the maps of `rows[k]` and `maps[k]`, as ranges."""

    columns: list[tuple[str, float]]
    rows: tuple[range, ...]
    maps: tuple[range, ...]

    @property
    def pages(self) -> int:
        """How many pages the index takes."""
        return len(self.rows)


def plan_index(
    paper: Paper, header: Sequence[str], rows: Sequence[IndexRow], maps: Sequence[tuple[float, float]]
) -> IndexLayout:
    """Return which rows, and behind them which maps of the given widths and heights, stand on which page of an index.

    Nothing is drawn, so that a long index is never in memory as a whole. Its length does not depend on the page numbers
    in it. Raises LayoutError for a map larger than a page.
    """
    sheet = Sheet(paper, header, "", command=None)
    columns = _columns(rows, paper.content_width_mm) if rows else []
    begins, room = list[int](), 0.0
    for number, row in enumerate(rows):
        height = _height_mm(row, columns)
        if height > room:
            begins.append(number)
            room = sheet.empty_height_mm - HEAD_MM
        room -= height
    sheet.new_page()
    if rows:
        sheet.put(_space(paper.content_width_mm, sheet.empty_height_mm - room))
        sheet.new_row()
    ends = [0]  # of the maps on the page of the last rows and on those behind it
    for number, size in enumerate(maps, 1):
        sheet.put(_space(*size))
        ends += [0] * (sheet.page_count - len(ends))
        ends[-1] = number
    before = max(0, len(begins) - 1)
    rows_on = [range(*pair) for pair in pairwise([*begins, len(rows)])]
    maps_on = [range(*pair) for pair in pairwise([0, *ends])]
    return IndexLayout(
        columns,
        (*rows_on, *[range(0)] * (before + len(maps_on) - len(rows_on))),
        (*[range(0)] * before, *maps_on),
    )


def _space(width_mm: float, height_mm: float) -> Drawing:
    return Drawing(width_mm, height_mm, Group("space", ()))


def draw_index_page(
    plan: IndexLayout, number: int, paper: Paper, header: Sequence[str],
    rows: Sequence[IndexRow], maps: Sequence[Drawing], count: int, command: str = "",
) -> Page:  # fmt: skip
    """Return page `number` (from 0) of an index: the rows and maps that stand on it, of `count` pages in all."""
    sheet = Sheet(paper, header, "", command)
    sheet.new_page()
    if rows:
        heading = "Index, continued" if number else "Index"
        cells = [(row.id, row.spec, row.socket, str(row.page), row.place) for row in rows]
        sheet.put(table(heading, plan.columns, cells, ROW_MM))
        sheet.new_row()
    for drawing in maps:
        sheet.put(drawing)
    (page,) = sheet.pages(count, first=number + 1)
    return page


def _columns(rows: Sequence[IndexRow], widest_mm: float) -> list[tuple[str, float]]:
    """Columns as wide as the longest cells, within limits; page numbers are all taken as five digits wide."""
    cells = [(row.id, row.spec, row.socket, "88888", row.place) for row in rows]
    wanted = [width for _, width in columns_for(TITLES, cells, 1e6)]
    ids, specs, page, place = min(wanted[0], ID_MM), min(wanted[1], SPEC_MM), wanted[3], min(wanted[4], 30.0)
    socket = min(wanted[2], max(LEAST_SOCKET_MM, widest_mm - ids - specs - page - place))
    share = min(1.0, (widest_mm - socket - page - place) / (ids + specs))  # on narrow paper they give way too
    ids, specs = ids * share, specs * share
    return list(zip(TITLES, (ids, specs, socket, page, place), strict=True))


def _height_mm(row: IndexRow, columns: Sequence[tuple[str, float]]) -> float:
    cells = (row.id, row.spec, row.socket, str(row.page), row.place)
    lines = max(len(wrap(cell, width - 1.6, BODY_PT)) for cell, (_, width) in zip(cells, columns, strict=True))
    return ROW_MM + (max(1, lines) - 1) * line_pitch_mm(BODY_PT)


def page_map(width_mm: float, height_mm: float, pieces: Sequence[PlacedId], scale: float = 0.12) -> Drawing:
    """Return a small map of a page's area: an outline for every piece, with its place's name where it fits."""
    items: list[Primitive] = [_outline(0.0, 0.0, width_mm * scale, height_mm * scale, "rule-strong")]
    for piece in pieces:
        x, y, width, height = (v * scale for v in (piece.x, piece.y, piece.width_mm, piece.height_mm))
        items.append(_outline(x + 0.15, y + 0.15, width - 0.3, height - 0.3, "box"))
        if text_width_mm(piece.place, SMALL_PT) + 1.0 < width and height > 2.0:
            items.append(
                Text(x + width / 2, y + height / 2 - HALF_SMALL_CAP_MM, piece.place, SMALL_PT, anchor="middle")
            )
    return Drawing(width_mm * scale, height_mm * scale, Group("page-map", tuple(items)))


def _outline(x: float, y: float, width: float, height: float, role: str) -> Polyline:
    return Polyline(((x, y), (x + width, y), (x + width, y + height), (x, y + height)), role, True)


def draw_tag(id: str, lines: Sequence[str], left: bool = False) -> Drawing:
    """Return a bag label: the id as large as it fits, LEFT-HAND for such a thread, and up to four lines of words.

    More words than that end in "…": they are whole in the index.
    """
    width, height, room = TAG_WIDTH_MM, TAG_HEIGHT_MM, TAG_WIDTH_MM - 6.0
    every = [line for text in lines if text for line in wrap(text, room, NOTE_PT)]
    words = every[:TAG_LINES]
    if len(every) > TAG_LINES:
        words[-1] = wrap(words[-1], room - text_width_mm(" …", NOTE_PT), NOTE_PT)[0] + " …"
    rule = 3.0 + 3.2 * len(words)
    space = height - rule - 2.0 - (left_hand_size_mm(TAG_LEFT_PT)[1] if left else 0.0)
    size, shown = next(
        (pt, found)
        for pt in TAG_SIZES_PT
        for found in [wrap(id, room, pt, SEMIBOLD)]
        if len(found) * pt * 0.45 <= space or pt == TAG_SIZES_PT[-1]
    )
    items: list[Primitive] = [_outline(0.0, 0.0, width, height, "cut")]
    y = height - 2.0
    for line in shown:
        y -= size * 0.42
        items += underlined(Text(3.0, y + size * 0.09, line, size, SEMIBOLD))
    items.append(Line(3.0, rule, width - 3.0, rule, "rule"))
    if left:
        items += left_hand(width - 3.0, rule + 0.6, TAG_LEFT_PT, "end")
    for number, line in enumerate(reversed(words)):
        items.append(Text(3.0, 2.6 + 3.2 * number, line, NOTE_PT))
    return Drawing(width, height, Group("tag", tuple(items), (("id", id),)))
