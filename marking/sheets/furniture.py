"""What every page carries round its content: header, footer, check rulers."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from ..drawing.fonts import (
    BODY_PT,
    DROP,
    HALF_SMALL_CAP_MM,
    NOTE_PT,
    REGULAR,
    RISE,
    SEMIBOLD,
    SMALL_PT,
    Weight,
    line_pitch_mm,
    wrap,
)
from ..drawing.primitives import Drawing, Group, Line, Page, Placed, Primitive, Text
from ..drawing.transform import scaled
from .paper import Paper

TITLE_PT = 11.0

RULER_MM = 100.0

RULER_TOLERANCE_MM = 0.5

NOTE_RISE_MM = 6.0
"""Enough height above the bottom margin for the ruler's note on narrow paper."""

RULER_NOTE = (
    "Before cutting, measure both rulers: 100 mm ± 0.5 mm. If they are not, do not use this page: print it "
    "again at 100 % (“actual size”), with “fit to page” off."
)


class Small(str):
    """A line of a header in small print."""

    __slots__ = ()


def finished_page(
    paper: Paper, placed: Sequence[Placed], header: Sequence[str], number: int, count: int, note: str = RULER_NOTE
) -> Page:
    """Return a page with header, page number and check rulers added, stretched for the printer."""
    everything = [*placed, Placed(_furniture(paper, header, number, count, note), 0, 0)]
    sx, sy = paper.stretch_x, paper.stretch_y
    return Page(paper.width_mm * sx, paper.height_mm * sy, stretched(everything, sx, sy))


def header_height_mm(paper: Paper, header: Sequence[str]) -> float:
    """Return the height of a page's header with the space below it."""
    _, *others = _header_lines(paper, header)
    return line_pitch_mm(TITLE_PT) + math.fsum(line_pitch_mm(size) for _, size, _ in others) + 6.0


def _header_lines(paper: Paper, header: Sequence[str]) -> Iterator[tuple[str, float, Weight]]:
    """Every line of a header with its size and weight; the first text is the title."""
    width = min(paper.content_width_mm, paper.content_height_mm) - 22.0  # the page number stands at the right
    for k, text in enumerate(header):
        size, weight = (TITLE_PT, SEMIBOLD) if k == 0 else (NOTE_PT if isinstance(text, Small) else BODY_PT, REGULAR)
        for line in wrap(text, width, size, weight):
            yield line, size, weight


def _furniture(paper: Paper, header: Sequence[str], number: int, count: int, note: str) -> Drawing:
    items: list[Primitive] = []
    y = paper.top_mm
    for line, size, weight in _header_lines(paper, header):
        y -= line_pitch_mm(size)
        items.append(Text(paper.left_mm, y + DROP * line_pitch_mm(size), line, size, weight))
    first = paper.top_mm - RISE * line_pitch_mm(TITLE_PT)
    all_of_it = (
        *items,
        Text(paper.right_mm, first, f"page {number} of {count}", BODY_PT, anchor="end"),
        Line(paper.left_mm, y - 2.0, paper.right_mm, y - 2.0, "rule-strong"),
        check_rulers(paper, note),
    )
    return Drawing(paper.width_mm, paper.height_mm, Group("page-furniture", all_of_it))


def stretched(placed: Sequence[Placed], sx: float, sy: float) -> tuple[Placed, ...]:
    """Return placed drawings stretched about the page's corner; one that is placed many times is stretched once."""
    if sx == sy == 1.0:
        return tuple(placed)
    known: dict[int, Drawing] = {}
    for drawing in (item.drawing for item in placed):
        if id(drawing) not in known:
            content = scaled(drawing.content, sx, sy)
            assert isinstance(content, Group)
            known[id(drawing)] = Drawing(drawing.width_mm * sx, drawing.height_mm * sy, content)
    return tuple(Placed(known[id(item.drawing)], item.x * sx, item.y * sy, item.shared) for item in placed)


def _note_lines(paper: Paper, note: str) -> tuple[list[str], bool]:
    """The ruler note's lines, and whether it stands beside the ruler (else above it)."""
    width = paper.content_width_mm - RULER_MM - 8.0
    beside = width >= 60.0
    return wrap(note, width if beside else paper.content_width_mm, NOTE_PT), beside


def note_rise_mm(paper: Paper, note: str) -> float:
    """How much higher the content ends where the note stands above the ruler."""
    lines, beside = _note_lines(paper, note)
    return 0.0 if beside else line_pitch_mm(NOTE_PT) * len(lines)


def check_rulers(paper: Paper, note: str = RULER_NOTE) -> Group:
    """Return the two 100 mm rulers of a page and what to do with them.

    The ends of each ruler are the outermost of its ticks, 100 mm apart from line centre to line centre.
    """
    x0, y0 = paper.left_mm, paper.bottom_mm - 13.0
    x1, y1 = paper.left_mm - 12.0, max(paper.bottom_mm + 2.0, (paper.height_mm - RULER_MM) / 2)
    lines, beside = _note_lines(paper, note)
    x, base = (x0 + RULER_MM + 8.0, y0 + 0.4) if beside else (x0, y0 + 7.0)
    words = (Text(x, base + line_pitch_mm(NOTE_PT) * k, line, NOTE_PT) for k, line in enumerate(reversed(lines)))
    across, along = ruler_ticks(x0, y0, RULER_MM, along_x=True), ruler_ticks(x1, y1, RULER_MM, along_x=False)
    return Group("check-ruler", (*across, *words, *along))


def ruler_ticks(x: float, y: float, length_mm: float, along_x: bool) -> Iterator[Primitive]:
    """Yield a ruler from (x, y) on: its line, a tick a millimetre, a number every ten.

    Its ends are the outermost ticks, `length_mm` apart from line centre to line centre.
    """
    role, last = ("ruler-x" if along_x else "ruler-y"), round(length_mm)
    end = (x + length_mm, y) if along_x else (x, y + length_mm)
    yield Line(x, y, *end, role, (("mm", f"{length_mm:g}"),))
    for mm in range(last + 1):
        tick = 3.0 if mm % 10 == 0 else 2.0 if mm % 5 == 0 else 1.2
        number = f"{mm} mm" if mm == last else str(mm)
        if along_x:
            yield Line(x + mm, y, x + mm, y + tick, role)
        else:
            yield Line(x, y + mm, x + tick, y + mm, role)
        if mm % 10 == 0 and along_x:
            yield Text(x + mm, y + 3.5, number, SMALL_PT, anchor="middle")
        elif mm % 10 == 0:
            yield Text(x + 3.5, y + mm - HALF_SMALL_CAP_MM, number, SMALL_PT)
