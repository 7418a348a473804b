"""Blocks of words for a sheet: paragraphs, numbered steps and tables, each a drawing of its own."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import accumulate

from ..drawing.emphasis import PAD_EM, left_hand
from ..drawing.fonts import (
    BODY_PT,
    DROP,
    HEAD_PT,
    LEADING,
    MM_PER_PT,
    NO_BREAK,
    NOTE_PT,
    REGULAR,
    RISE,
    SEMIBOLD,
    Weight,
    cap_mm,
    held_words,
    line_pitch_mm,
    text_width_mm,
    wrap,
)
from ..drawing.primitives import Drawing, Group, Line, Primitive, Text, moved, new
from .sheet import Sheet

TITLE_ROW_MM = 4.2

STACK_GAP_MM = 5.0


class _Column:
    """Lines of text set downwards from the top; turned into a drawing once the height is known."""

    def __init__(self, leading: float = LEADING) -> None:
        self.lines: list[tuple[float, float, str, float, Weight]] = []
        self.depth = 0.0
        self.leading = leading

    def add(self, text: str, size_pt: float, weight: Weight = REGULAR, x: float = 0.0) -> None:
        pitch = size_pt * MM_PER_PT * self.leading
        self.depth += pitch
        self.lines.append((x, self.depth - DROP * pitch, text, size_pt, weight))

    def skip(self, mm: float) -> None:
        self.depth += mm

    def drawing(self, width: float, name: str) -> Drawing:
        depth, same = self.depth, ("start", 0.0, "text", 0.0)
        items = tuple([new(Text, (x, depth - y, text, pt, weight, *same)) for x, y, text, pt, weight in self.lines])
        return Drawing(width, self.depth, Group(name, items))


def paragraph(text: str, width_mm: float, size_pt: float = BODY_PT, weight: Weight = REGULAR) -> Drawing:
    """Return `text` wrapped to `width_mm`."""
    column = _Column()
    for line in wrap(text, width_mm, size_pt, weight):
        column.add(line, size_pt, weight)
    return column.drawing(width_mm, "paragraph")


def in_circle(text: str, radius_mm: float, size_pt: float = NOTE_PT) -> Drawing | None:
    """Return `text` in centred lines that fill a circle from edge to edge; None where it is too much for that."""
    pitch = line_pitch_mm(size_pt)
    for count in range(1, int(2 * radius_mm / pitch) + 1):
        tops = [pitch * (count / 2 - k) for k in range(count)]
        edges = (max(abs(top), abs(top - pitch)) for top in tops)
        lines = _fitted(text, [2 * math.sqrt(max(0.0, radius_mm**2 - edge**2)) for edge in edges], size_pt)
        if lines is not None:
            baselines = (pitch * (count - k - RISE) for k in range(count))
            texts = (
                Text(radius_mm, y, line, size_pt, anchor="middle") for line, y in zip(lines, baselines, strict=False)
            )
            return Drawing(2 * radius_mm, pitch * count, Group("paragraph", tuple(texts)))
    return None


def _fitted(text: str, widths_mm: Sequence[float], size_pt: float) -> list[str] | None:
    """Break a text into lines of given widths, one after the other; None where they do not hold it."""
    words = list(held_words(text, lambda word: text_width_mm(word, size_pt) <= max(widths_mm)))
    lines: list[str] = []
    for width in widths_mm:
        count = 0
        while count < len(words) and text_width_mm(" ".join(words[: count + 1]), size_pt) <= width:
            count += 1
        lines.append(" ".join(words[:count]))
        words = words[count:]
    return None if words else lines


def listed(
    heading: str, entries: Sequence[str], width_mm: float, numbered: bool, size_pt: float = BODY_PT, first: int = 1
) -> Drawing:
    """Return a heading, if any, and entries below it, with numbers from `first` on, or dashes, and a hanging indent."""
    column = _Column()
    if heading:
        column.add(heading, HEAD_PT, SEMIBOLD)
        column.skip(0.6)
    indent = text_width_mm("00 ", size_pt, SEMIBOLD) if numbered else 2.6
    for number, entry in enumerate(entries, first):
        for k, line in enumerate(wrap(entry, width_mm - indent, size_pt)):
            column.add(line, size_pt, x=indent)
            if k == 0:
                _x, y, _, _, _ = column.lines[-1]
                column.lines.append((0.0, y, str(number) if numbered else "–", size_pt, SEMIBOLD))
        column.skip(0.7)
    return column.drawing(width_mm, "list")


def entries(texts: Sequence[str], width_mm: float, size_pt: float, leading: float = LEADING) -> list[Drawing]:
    """Return numbered entries of a list, each a drawing of its own, for columns to break between them."""
    indent = text_width_mm("00 ", size_pt, SEMIBOLD)
    found = []
    for number, text in enumerate(texts, 1):
        column = _Column(leading)
        for line in wrap(text, width_mm - indent, size_pt):
            column.add(line, size_pt, x=indent)
        column.lines.append((0.0, column.lines[0][1], str(number), size_pt, SEMIBOLD))
        found.append(column.drawing(width_mm, "entry"))
    return found


RUN_IN = "—"
"""Stands, while lines are broken, for the space behind a heading that texts run on from; wide enough, too, for what
the heading takes more in its own weight than in theirs.
"""


def noted(
    heading: str,
    texts: Sequence[str],
    width_mm: float,
    size_pt: float,
    leading: float = LEADING,
    run_in: bool = False,
) -> Drawing:
    """Return a small heading and short texts below it, each on lines of its own; `run_in`, the first behind it."""
    column = _Column(leading)
    lead = f"{heading} {RUN_IN} "
    if run_in and texts:
        first, *others = wrap(f"{lead[:-1].replace(' ', NO_BREAK)} {texts[0]}", width_mm, size_pt)
        if first.startswith(lead):
            column.add(first.removeprefix(lead), size_pt, x=text_width_mm(lead, size_pt))
            column.lines.append((0.0, column.lines[0][1], heading, size_pt, SEMIBOLD))
            for line in others:
                column.add(line, size_pt)
            heading, texts = "", texts[1:]
    for line in wrap(heading, width_mm, size_pt + 1.0, SEMIBOLD):
        column.add(line, size_pt + 1.0, SEMIBOLD)
    for text in texts:
        column.skip(0.5)
        for line in wrap(text, width_mm, size_pt):
            column.add(line, size_pt)
    return column.drawing(width_mm, "notes")


def table(
    heading: str,
    columns: Sequence[tuple[str, float]],
    rows: Sequence[Sequence[str]],
    row_mm: float = 4.6,
    boxed: bool = False,
    size_pt: float = BODY_PT,
) -> Drawing:
    """Return a table: `columns` are (title, width in mm), cells are wrapped to their column.

    `boxed` draws boxes to write in, else rules under the rows, each `row_mm` high or more.
    """
    width = math.fsum(w for _, w in columns)
    edges = [math.fsum(w for _, w in columns[:k]) for k in range(len(columns) + 1)]
    cells = [[wrap(cell, w - 1.6, size_pt) for cell, (_, w) in zip(row, columns, strict=False)] for row in rows]
    heights = [row_mm + line_pitch_mm(size_pt) * (max(1, *map(len, row)) - 1) for row in cells]
    head_pt = max(HEAD_PT, size_pt + 1.0)  # as over notes
    head_mm = line_pitch_mm(head_pt) + 1.2 if heading else 0.0
    top = math.fsum(heights)
    height = top + TITLE_ROW_MM + head_mm
    items: list[Primitive] = [
        *([Text(0, height - line_pitch_mm(head_pt) * RISE, heading, head_pt, SEMIBOLD)] if heading else []),
        *(Text(x + 0.8, top + 1.3, title, NOTE_PT, SEMIBOLD) for x, (title, _) in zip(edges, columns, strict=False)),
        Line(0, top, width, top, "rule-strong"),
    ]
    y = top
    for row, row_height in zip(cells, heights, strict=True):
        first = y - (row_mm + cap_mm(size_pt)) / 2
        for x, lines in zip(edges, row, strict=False):
            for k, line in enumerate(lines):
                items += cell_line(x + 0.8, first - line_pitch_mm(size_pt) * k, line, size_pt)
        y -= row_height
        items.append(Line(0, y, width, y, "rule"))
    if boxed:
        items += [Line(x, 0, x, top, "rule") for x in edges]
    heading_mm = text_width_mm(heading, head_pt, SEMIBOLD)
    return Drawing(max(width, heading_mm), height, Group("table", tuple(items)))


def cell_line(x: float, y: float, line: str, size_pt: float) -> Iterator[Primitive]:
    """Yield a line of a cell; `LEFT_CELL` at its end is LEFT-HAND, white on black."""
    words = line.removesuffix(LEFT_CELL)
    if words:
        yield Text(x, y, words.rstrip(), size_pt)
    if words != line:
        left_pt = LEFT_SIZE * size_pt
        yield from left_hand(x + text_width_mm(words, size_pt), y - left_pt * PAD_EM * MM_PER_PT, left_pt)


LEFT_CELL = "LEFT‒HAND"
"""What a cell of a table ends with for a left-hand thread; its figure dash tells it from a user's own words."""

LEFT_SIZE = 0.875
"""Size of LEFT-HAND in a table over that of its words: in its box it is as wide as the words of a cell are."""


def columns_for(
    titles: Sequence[str], rows: Iterable[Sequence[str]], widest_mm: float, size_pt: float = BODY_PT
) -> list[tuple[str, float]]:
    """Return columns just wide enough for their titles and cells; the last one gives way to keep within `widest_mm`.

    It keeps room for its title, so that on very narrow paper the table is wider than that.
    """
    inner = [text_width_mm(title, NOTE_PT, SEMIBOLD) for title in titles]
    for row in rows:
        inner = [max(wide, text_width_mm(cell, size_pt)) for wide, cell in zip(inner, row, strict=True)]
    widths = [2.4 + wide for wide in inner]
    least_mm = 2.4 + text_width_mm(titles[-1], NOTE_PT, SEMIBOLD)
    widths[-1] = max(least_mm, widths[-1] - max(0.0, math.fsum(widths) - widest_mm))
    return list(zip(titles, widths, strict=True))


def captioned(drawing: Drawing, captions: Sequence[str], width_mm: float, size_pt: float = NOTE_PT) -> Drawing:
    """Return `drawing` with words under it, small ones as a rule, wrapped to `width_mm` or to the drawing's width.

    The drawing keeps its group, so that scripts still find it by its name.
    """
    width = max(width_mm, drawing.width_mm)
    lines = [line for caption in captions for line in wrap(caption, width, size_pt)]
    pitch = line_pitch_mm(size_pt)
    depth = pitch * len(lines) + (1.2 if lines else 0.0)
    first = depth - 1.2 - RISE * pitch
    texts = tuple(Text(0, first - pitch * k, line, size_pt) for k, line in enumerate(lines))
    content = moved(drawing.content, 0.0, depth)
    return Drawing(width, drawing.height_mm + depth, Group("captioned", (content, *texts)))


def stacked_mm(drawings: Sequence[Drawing], gap_mm: float = STACK_GAP_MM) -> float:
    """Return how high `stacked` drawings are."""
    return math.fsum(drawing.height_mm for drawing in drawings) + gap_mm * (len(drawings) - 1)


def stacked(drawings: Sequence[Drawing], gap_mm: float = STACK_GAP_MM, name: str = "stack") -> Drawing:
    """Return one drawing of several, one below the other, flush left; its group has the given name."""
    height = stacked_mm(drawings, gap_mm)
    parts, top = [], height
    for drawing in drawings:
        parts.append(moved(drawing.content, 0.0, top - drawing.height_mm))
        top -= drawing.height_mm + gap_mm
    return Drawing(max(drawing.width_mm for drawing in drawings), height, Group(name, tuple(parts)))


def level(drawings: Sequence[Drawing], lefts: Iterable[float], width: float, name: str) -> Drawing:
    """Return drawings beside each other, each at its place from the left, their tops level."""
    height = max(drawing.height_mm for drawing in drawings)
    parts = (moved(d.content, x, height - d.height_mm) for d, x in zip(drawings, lefts, strict=True))
    return Drawing(width, height, Group(name, tuple(parts)))


def spread_out(parts: Sequence[Drawing], width: float) -> Drawing:
    """Drawings side by side, their tops level, spread over `width`."""
    gap = (width - math.fsum(part.width_mm for part in parts)) / (len(parts) - 1)
    lefts = accumulate((part.width_mm + gap for part in parts[:-1]), initial=0.0)
    return level(parts, lefts, width, "row-of-parts")


def side_by_side(drawings: Sequence[Drawing], width: float) -> Drawing:
    """Return figures in equal cells of a row of `width`, or wider if they need it, their tops level."""
    cell = max(width / len(drawings), *(drawing.width_mm for drawing in drawings))
    lefts = (cell * k for k in range(len(drawings)))
    return level(drawings, lefts, cell * len(drawings), "figures")


def centred(drawing: Drawing, width: float) -> Drawing:
    """Return a figure in the middle of a column, or as wide as it is."""
    left = max(0.0, (width - drawing.width_mm) / 2)
    return Drawing(max(width, drawing.width_mm), drawing.height_mm, moved(drawing.content, left, 0.0))


def put_row(sheet: Sheet, *drawings: Drawing) -> None:
    """Put drawings side by side into a row of their own."""
    sheet.new_row()
    for drawing in drawings:
        sheet.put(drawing)
