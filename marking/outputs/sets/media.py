"""Stock that is no plain page: rolls, and sheets of die-cut labels; a piece on each length or label."""

from __future__ import annotations

import re
from typing import NamedTuple

from ...errors import LayoutError, RangeError, shown, within
from ...printers.setup import read_any_paper, read_correction
from ...quantities.parse import parse_length
from ...quantities.scanner import ANY_CASE, SPACES
from ...quantities.units import Given
from ...sheets.paper import LabelStock, Paper, parse_paper

MAX_LABELS = 40
"""Most columns or rows of labels on a sheet (our choice)."""

SMALLEST_MM = 8.0
"""Narrowest label that a piece is put on (our choice: the lowest band)."""


class LabelGrid(NamedTuple):
    """A sheet of labels: how many there are, the size of one, where the first one's corner lies, and the pitch, in mm.

    Left and top are counted from the sheet's upper left corner, the pitch from label to label. `first` is the number
    of the first free label, from 1, along the rows.
    """

    columns: int
    rows: int
    width_mm: float
    height_mm: float
    left_mm: float
    top_mm: float
    pitch_x_mm: float
    pitch_y_mm: float
    first: int = 1

    @property
    def label(self) -> LabelStock:
        """One label, its longer side along."""
        short, long = sorted((self.width_mm, self.height_mm))
        return LabelStock(short, long, 0.0)

    def corner_mm(self, number: int, paper: Paper) -> tuple[float, float]:
        """The lower left corner of a label of a page, counted from 0."""
        row, column = divmod(number, self.columns)
        x = self.left_mm + self.pitch_x_mm * column
        return x, paper.height_mm - self.top_mm - self.pitch_y_mm * row - self.height_mm


def read_stock(
    paper: str, margin: Given | None = None, printer: str | None = None, ruler: str | None = None
) -> LabelStock | None:
    """Return tape or a label, corrected for a printer; None for a page. Raises a MarkingError."""
    if parse_paper(paper, margin).is_sheet:
        return None
    stock = read_any_paper(paper, margin, read_correction(printer, ruler), ruler)
    return None if stock.is_sheet else stock


_PAIR = rf"([0-9.,]{{1,8}})[{SPACES}]{{0,2}}[x×][{SPACES}]{{0,2}}([0-9.,]{{1,8}})[{SPACES}]{{0,2}}(mm|in)?"


def read_grid(
    paper: Paper, labels: str, size: str, corner: str | None = None, pitch: str | None = None, first: int = 1
) -> LabelGrid:
    """Read a sheet of labels: "3x8" of "66x34 mm", the first at "6x12 mm", "68x36 mm" from one to the next.

    Without a `corner` the labels stand in the middle of the sheet, without a `pitch` they touch. Raises a MarkingError
    for what cannot be read and for labels that do not lie on the sheet, or over each other.
    """
    columns, rows = (_whole(text, labels) for text in _pair(labels, "labels", "3x8")[:2])
    width, height = _mm(size, "label_size", "66x34 mm")
    across, down = (width, height) if pitch is None else _mm(pitch, "label_pitch", "68x36 mm")
    wide, high = across * (columns - 1) + width, down * (rows - 1) + height
    middle = (paper.width_mm - wide) / 2, (paper.height_mm - high) / 2
    left, top = middle if corner is None else _mm(corner, "label_corner", "6x12 mm")
    if across < width or down < height:
        what = f"labels of {width:g} × {height:g} mm lie over each other"
        least = f"a pitch of at least {width:g} × {height:g} mm"
        raise LayoutError(what, least, "it goes from edge to same edge", pitch, "label_pitch")
    if min(left, top) < -1e-6 or left + wide > paper.width_mm + 1e-6 or top + high > paper.height_mm + 1e-6:
        what = f"{columns} × {rows} labels take {left + wide:g} × {top + high:g} mm"
        most = f"at most {paper.width_mm:g} × {paper.height_mm:g} mm, the sheet"
        raise LayoutError(what, most, "check {@labels} and {@label_pitch}", labels, "label_size")
    within("the first free label is {}", first, 1, columns * rows, "first_label")
    within("a label is {} mm high", min(width, height), SMALLEST_MM, 1500.0, "label_size", "{:g}".format, " mm")
    return LabelGrid(columns, rows, width, height, left, top, across, down, first)


def _pair(text: str, field: str, example: str) -> tuple[str, str, str]:
    found = re.fullmatch(_PAIR, text.strip(), ANY_CASE)
    if found is None:
        raise LayoutError(f"{shown(text)} is no pair of numbers", f"such as {example}", value=text, field=field)
    return found[1], found[2], (found[3] or "mm").lower()


def _whole(text: str, given: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= MAX_LABELS:
        expected = f"1 to {MAX_LABELS} columns and rows, such as 3x8"
        raise RangeError(f"{shown(given)} labels", expected, "", given, "labels")
    return int(text)


def _mm(text: str, field: str, example: str) -> tuple[float, float]:
    first, second, unit = _pair(text, field, example)
    x, y = (parse_length(f"{number} {unit}", field, zero=True).mm for number in (first, second))
    return x, y
