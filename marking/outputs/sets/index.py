"""How a piece of a set is found again: the index, and small maps of the pages."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import accumulate, pairwise
from typing import NamedTuple

from ...drawing.fonts import HALF_SMALL_CAP_MM, SMALL_PT, line_pitch_mm, text_width_mm, wrap
from ...drawing.primitives import Drawing, Group, Page, Polyline, Primitive, Text
from ...sheets.blocks import LEFT_CELL, columns_for, table
from ...sheets.paper import Paper
from ...sheets.sheet import GAP_MM, Sheet

TITLES = ("id", "spec", "socket", "length or Ø", "page, place")

LEAST_MM = 13.0
"""Narrowest column of words; longer ones are wrapped (our choice)."""

SIZE_MM = 22.0
"""Widest column of sizes."""

TWO_COLUMNS_FROM_MM = 150.0
"""Narrowest page with two columns."""

ROW_MM, HEAD_MM, INDEX_PT = 3.5, 10.0, 7.0


class IndexRow(NamedTuple):
    """One piece in the index: what it is, its `size` as one measures it, and on each `page` its `places`.

    `pages` are numbered as printed.
    """

    id: str
    spec: str
    socket: str
    size: str
    places: tuple[tuple[int, str], ...]
    left: bool = False

    def cells(self, page: str = "{}") -> tuple[str, ...]:
        """What stands in the row's columns, every page's number written by `page`."""
        where = "; ".join(f"{page.format(number)} {places}" for number, places in self.places)
        return self.id, f"{self.spec} {LEFT_CELL}" if self.left else self.spec, self.socket, self.size, where


class PlacedId(NamedTuple):
    """A piece on a page's map, in mm from the lower left of the page's area."""

    id: str
    x: float
    y: float
    width_mm: float
    height_mm: float
    place: str


class IndexLayout(NamedTuple):
    """How an index fills its pages: page k holds the rows and the maps of `rows[k]` and `maps[k]`, as ranges.

    `columns` are those of the table, `tables[k]` tells how many rows each of the tables beside each other holds.
    """

    columns: list[tuple[str, float]]
    rows: tuple[range, ...]
    maps: tuple[range, ...]
    tables: tuple[tuple[int, ...], ...]

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
    across = 2 if paper.content_width_mm >= TWO_COLUMNS_FROM_MM else 1
    columns = _columns(rows, (paper.content_width_mm - GAP_MM * (across - 1)) / across) if rows else []
    heights = [_height_mm(row, columns) for row in rows]
    room = sheet.empty_height_mm - HEAD_MM
    filled = _filled(heights, room)
    tables = [tuple(filled[k : k + across]) for k in range(0, len(filled), across)]
    sheet.new_page()
    if tables:
        first = len(rows) - sum(tables[-1])
        deep, tables[-1] = _balanced(heights[first:], room, across)
        sheet.put(_space(paper.content_width_mm, HEAD_MM + deep))
        sheet.new_row()
    ends = [0]  # of the maps on the page of the last rows and on those behind it
    for number, size in enumerate(maps, 1):
        sheet.put(_space(*size))
        ends += [0] * (sheet.page_count - len(ends))
        ends[-1] = number
    before = max(0, len(tables) - 1)
    rows_on = [range(*pair) for pair in pairwise(accumulate(map(sum, tables), initial=0))]
    maps_on = [range(*pair) for pair in pairwise([0, *ends])]
    none = before + len(maps_on) - len(rows_on)
    return IndexLayout(
        columns, (*rows_on, *[range(0)] * none), (*[range(0)] * before, *maps_on), (*tables, *[()] * none)
    )


def _filled(heights: Sequence[float], room: float) -> list[int]:
    """How many rows stand in each column of a height, none of which is higher than that."""
    counts, left = list[int](), 0.0
    for height in heights:
        if height > left:
            counts.append(0)
            left = room
        counts[-1] += 1
        left -= height
    return counts


def _balanced(heights: Sequence[float], room: float, across: int) -> tuple[float, tuple[int, ...]]:
    """The least height at which rows stand in so many columns, to half a millimetre, and how many in each."""
    steps = math.ceil((room - max(heights)) * 2)
    low, high = 0, steps  # of half millimetres below the room
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if len(_filled(heights, room - middle / 2)) <= across else (low, middle - 1)
    deep = room - low / 2
    return deep, tuple(_filled(heights, deep))


def _space(width_mm: float, height_mm: float) -> Drawing:
    return Drawing(width_mm, height_mm, Group("space", ()))


def draw_index_page(
    plan: IndexLayout, number: int, paper: Paper, header: Sequence[str],
    rows: Sequence[IndexRow], maps: Sequence[Drawing], count: int, command: str = "",
) -> Page:  # fmt: skip
    """Return page `number` (from 0) of an index: the rows and maps that stand on it, of `count` pages in all."""
    sheet = Sheet(paper, header, "", command)
    sheet.new_page()
    begin = 0
    for k, size in enumerate(plan.tables[number]):
        heading = "Index, continued" if number or k else "Index"
        cells = [row.cells() for row in rows[begin : begin + size]]
        sheet.put(table(heading, plan.columns, cells, ROW_MM, size_pt=INDEX_PT))
        begin += size
    sheet.new_row()
    for drawing in maps:
        sheet.put(drawing)
    (page,) = sheet.pages(count, first=number + 1)
    return page


def _columns(rows: Sequence[IndexRow], widest_mm: float) -> list[tuple[str, float]]:
    """Columns as wide as their cells, the widest cut down until they fit; page numbers count as five digits wide."""
    wanted = [width for _, width in columns_for(TITLES, (row.cells("88888") for row in rows), 1e6, INDEX_PT)]
    wanted[3] = min(wanted[3], SIZE_MM)
    least = [min(LEAST_MM, width) for width in wanted]
    cap = max(wanted)
    while math.fsum(min(width, cap) for width in wanted) > widest_mm and cap > LEAST_MM:
        cap -= 0.25
    return list(zip(TITLES, map(max, least, (min(width, cap) for width in wanted)), strict=True))


def _height_mm(row: IndexRow, columns: Sequence[tuple[str, float]]) -> float:
    """The height of a row, of its cells with page numbers as wide as they may become."""
    lines = max(
        len(wrap(cell, width - 1.6, INDEX_PT)) for cell, (_, width) in zip(row.cells("88888"), columns, strict=True)
    )
    return ROW_MM + (max(1, lines) - 1) * line_pitch_mm(INDEX_PT)


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
