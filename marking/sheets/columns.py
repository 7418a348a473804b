"""Blocks in columns, side by side and then on further pages."""

from __future__ import annotations

from collections.abc import Sequence

from ..drawing.primitives import Drawing
from .blocks import stacked, stacked_mm
from .sheet import GAP_MM, Sheet

COLUMN_MM = 85.0
"""Least width of a column of words; a page takes as many as fit."""

WIDEST_MM = 120.0


def column_mm(sheet: Sheet) -> float:
    """The width of a column: the page's width shared by as many as fit."""
    room = sheet.paper.content_width_mm + GAP_MM
    return min(WIDEST_MM, room / max(1, int(room / (COLUMN_MM + GAP_MM))) - GAP_MM)


def begin_page(sheet: Sheet, strip: Drawing | None) -> None:
    """Begin a page, with a strip across its top if given, so that no page of a trainee's is nameless."""
    sheet.new_page()
    if strip is not None:
        sheet.put(strip)
        sheet.new_row()


def put_columns(sheet: Sheet, groups: Sequence[Sequence[Drawing]], strip: Drawing | None = None) -> None:
    """Fill columns of a new page from top to bottom, side by side and then on further pages.

    The blocks of a group stay in one column unless they are too many for any.
    """
    begin_page(sheet, strip)
    highest = sheet.room_mm()[1]
    column: list[Drawing] = []
    for group in groups:
        for block in [stacked(group)] if stacked_mm(group) <= highest else group:
            if column and stacked_mm([*column, block]) > highest:
                _put_column(sheet, column, strip)
                column = []
            column.append(block)
    _put_column(sheet, column, strip)


def _put_column(sheet: Sheet, column: Sequence[Drawing], strip: Drawing | None) -> None:
    """Put a column into the row, or on a new page when the row is full."""
    drawing = stacked(column)
    if sheet.room_mm()[0] < drawing.width_mm - 1e-6:
        begin_page(sheet, strip)
    sheet.put(drawing)
