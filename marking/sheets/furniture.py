"""What every page carries round its content: header, check rulers, footer."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cache, lru_cache
from importlib import metadata

from ..drawing.emphasis import left_hand, left_hand_size_mm
from ..drawing.fonts import (
    BODY_PT,
    DROP,
    HALF_SMALL_CAP_MM,
    NOTE_PT,
    REGULAR,
    SEMIBOLD,
    SMALL_PT,
    Weight,
    face,
    line_pitch_mm,
    wrap,
)
from ..drawing.primitives import Drawing, Group, Line, Page, Placed, Primitive, Text
from ..drawing.transform import scaled
from .paper import EDGE_MM, Paper

TITLE_PT = 11.0

RULER_MM = 100.0

RULER_TOLERANCE_MM = 0.5

NOTE_RISE_MM = 6.0
"""Enough height above the bottom margin for the ruler's note on narrow paper."""

FOOT_PT, MOST_FOOT_LINES, FOOT_PITCH_MM, FOOT_RISE_MM, PAGE_MM = 6.0, 2, 2.4, 0.7, 24.0
"""The footer: its type, its most lines, from one to the next, from the margin to the baseline of the last one, and the
room for the page's number at its right."""

RULER_RISE_MM, RULER_HIGH_MM, CLEAR_MM, LESS_CLEAR_MM, LEAST_CLEAR_MM = 2.3, 5.5, 3.0, 1.8, 1.2
"""A ruler's line above the footer's first one, the height of its ticks and numbers, the least space above all, that
above rulers on a footer of several lines, which should not cost a page, and that on a page filled to the last."""

RULER_INSIDE_MM = 11.0, RULER_MM + 1.4
"""Width and height of a content's corner in whose middle the upright ruler stands with its numbers."""

CUT_SHORT = " …"
"""What a command ends with that does not stand whole in a footer."""

RULER_NOTE = (
    "Before cutting, measure both rulers: 100 mm ± 0.5 mm. If they are not, do not use this page: print it "
    "again at 100 % (“actual size”), with “fit to page” off."
)


class Small(str):
    """A line of a header in small print."""

    __slots__ = ()


class LeftHand(str):
    """A line of a header that is of a left-hand thread: LEFT-HAND stands white on black beside the title."""

    __slots__ = ()


LEFT_HAND_PT = 10.0


def finished_page(
    paper: Paper,
    placed: Sequence[Placed],
    header: Sequence[str],
    number: int,
    count: int,
    note: str = RULER_NOTE,
    command: str = "",
) -> Page:
    """Return a page with header, check rulers and footer added, stretched for the printer.

    A page without a `note` for its rulers has none, one without a `header` begins with its content. `command` is the
    shell line that prints it again, if there is one.
    """
    everything = [*placed, Placed(_furniture(paper, header, f"page {number} of {count}", note, command), 0, 0)]
    sx, sy = paper.stretch_x, paper.stretch_y
    return Page(paper.width_mm * sx, paper.height_mm * sy, stretched(everything, sx, sy), (sx, sy) != (1.0, 1.0))


def header_height_mm(paper: Paper, header: Sequence[str]) -> float:
    """Return the height of a page's header with the space below it."""
    return math.fsum(line_pitch_mm(size) for _, size, _ in _header_lines(paper, header)) + 6.0 if header else 0.0


def _header_lines(paper: Paper, header: Sequence[str]) -> Iterator[tuple[str, float, Weight]]:
    """Every line of a header with its size and weight; the first text is the title."""
    width = min(paper.content_width_mm, paper.content_height_mm)
    if any(isinstance(line, LeftHand) for line in header):
        width -= left_hand_size_mm(LEFT_HAND_PT)[0] + 2.0
    for k, text in enumerate(header):
        size, weight = (TITLE_PT, SEMIBOLD) if k == 0 else (NOTE_PT if isinstance(text, Small) else BODY_PT, REGULAR)
        for line in wrap(text, width, size, weight):
            yield line, size, weight


def _furniture(paper: Paper, header: Sequence[str], page: str, note: str, command: str) -> Drawing:
    items: list[Primitive | Group] = []
    y = paper.top_mm
    for line, size, weight in _header_lines(paper, header):
        y -= line_pitch_mm(size)
        items.append(Text(paper.left_mm, y + DROP * line_pitch_mm(size), line, size, weight))
    if any(isinstance(line, LeftHand) for line in header):
        items += left_hand(paper.right_mm, paper.top_mm - left_hand_size_mm(LEFT_HAND_PT)[1], LEFT_HAND_PT, "end")
    if header:
        items.append(Line(paper.left_mm, y - 2.0, paper.right_mm, y - 2.0, "rule-strong"))
    # stretched smaller for a printer, the foot of the page still has to lie where a printer can print
    base = max(paper.margin_mm, EDGE_MM / paper.stretch_y) + FOOT_RISE_MM
    for k, line in enumerate(reversed(_foot_lines(paper, command))):
        items.append(Text(paper.left_mm, base + FOOT_PITCH_MM * k, line, FOOT_PT))
    items.append(Text(paper.right_mm, base, page, NOTE_PT, SEMIBOLD, "end"))
    if note:
        items.append(check_rulers(paper, note, command))
    return Drawing(paper.width_mm, paper.height_mm, Group("page-furniture", tuple(items)))


@cache
def version() -> str:
    """Return the program's name and version."""
    return f"turnband {metadata.version('turnband')}"


def _foot_lines(paper: Paper, command: str) -> list[str]:
    """What stands at the foot of a page beside its number: the version, the printer, and how to print it again."""
    corrected = f"corrected {paper.correction}" if paper.correction else ""
    again = f"print again: {command}" if command else ""
    return _whole_or_cut(" · ".join(filter(None, (version(), corrected, again))), paper.content_width_mm - PAGE_MM)


@lru_cache(maxsize=16)  # all pages of a set have the same one
def _whole_or_cut(text: str, width_mm: float) -> list[str]:
    """Lines that read as `text`; where they would not, for its length or its signs, only its first words and "…"."""
    words = text.split(" ")
    known = face(REGULAR)
    for count in range(len(words), 0, -1):
        shown = " ".join(words[:count]) + CUT_SHORT * (count < len(words))
        lines = wrap(shown, width_mm, FOOT_PT) if all(char in known for char in shown) else []
        if len(lines) <= MOST_FOOT_LINES and " ".join(lines) == shown:
            return lines
    return []


def _foot_mm(paper: Paper, command: str | None) -> tuple[float, int]:
    """The baseline of the footer's first line, from the lower edge, and how many lines there are.

    None stands for a command that is not known yet.
    """
    count = MOST_FOOT_LINES if command is None else len(_foot_lines(paper, command))
    return paper.margin_mm + FOOT_RISE_MM + FOOT_PITCH_MM * (count - 1), count


def content_bottom_mm(paper: Paper, note: str, command: str | None) -> float:
    """Return where a page's content ends, from the lower edge: above the footer, and the rulers if it has any.

    With None for the command it is high enough for any.
    """
    foot, count = _foot_mm(paper, command)
    if not note:
        return foot + CLEAR_MM
    clear = LEAST_CLEAR_MM if paper.ruler_inside else CLEAR_MM if count == 1 else LESS_CLEAR_MM
    lines, beside = _note_lines(paper, note)
    words = line_pitch_mm(NOTE_PT) * len(lines)
    return foot + RULER_RISE_MM + (max(RULER_HIGH_MM, words) if beside else RULER_HIGH_MM + words) + clear


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


@lru_cache(maxsize=16)  # all pages of a document have the same two
def check_rulers(paper: Paper, note: str, command: str) -> Group:
    """Return the two 100 mm rulers of a page and what to do with them.

    The ends of each ruler are the outermost of its ticks, 100 mm apart from line centre to line centre.
    """
    x0, y0 = paper.left_mm, _foot_mm(paper, command)[0] + RULER_RISE_MM
    x1, y1 = paper.left_mm - 12.0, max(paper.bottom_mm + 2.0, (paper.height_mm - RULER_MM) / 2)
    if paper.ruler_inside:
        x1, y1 = paper.left_mm, paper.top_mm - RULER_MM - 0.7
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
