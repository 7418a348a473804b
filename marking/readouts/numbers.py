"""The numbers of a readout on its sheet: where its marks lie, and how well they are read."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from ..marks.stage_marks import Mark
from ..sheets.blocks import listed, stacked
from ..sheets.parts import mark_table
from ..sheets.sheet import WIDEST_MM, Sheet

LEAST_BESIDE_MM = 60.0
"""Least width for words beside a table of marks; with less room they go below."""


def put_numbers(
    sheet: Sheet,
    marks: Sequence[Mark],
    columns: Mapping[str, Callable[[Mark], str]],
    errors: Sequence[str],
    beside_mm: float,
    height_mm: float = math.inf,
) -> None:
    """Put the marks with what `columns` say of them, and the reading error: beside the readout, else below it.

    Both stand beside it where `beside_mm` are left and they are no higher than `height_mm`.
    """
    heading, room = "Reading error and aim", sheet.room_mm()[0]
    beside = room >= beside_mm
    if beside:
        said = listed(heading, errors, room, numbered=False)
        both = stacked([mark_table(marks, columns, room), said])
        fits = both.height_mm <= height_mm
        sheet.put(both if fits else said)
        if fits:
            return
    sheet.new_row()
    sheet.put(mark_table(marks, columns, sheet.room_mm()[0]))
    if beside:
        return
    if sheet.room_mm()[0] < LEAST_BESIDE_MM:
        sheet.new_row()
    sheet.put(listed(heading, errors, min(sheet.room_mm()[0], WIDEST_MM), numbered=False))
