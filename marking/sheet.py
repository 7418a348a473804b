"""Puts drawings on pages: flow in rows, headers, page numbers and the check rulers of every page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from .blocks import BODY_PT, NOTE_PT, line_pitch_mm
from .drawing import Drawing, Group, Line, Page, Placed, Primitive, Text
from .errors import LayoutError
from .fonts import SEMIBOLD, wrap
from .paper import LEFT_MM, RIGHT_MM, TOP_MM, Paper

TITLE_PT = 11.0
GAP_MM = 5.0
"""Space between drawings: the page grid."""

RULER_MM = 100.0
RULER_TOLERANCE_MM = 0.5

RULER_NOTE = (
    "Before cutting, measure both rulers: 100 mm ± 0.5 mm. If they are not, do not use this page: print it "
    "again at 100 % (“actual size”), with “fit to page” off."
)


@dataclass
class Sheet:
    """Pages being filled: drawings flow from left to right in rows, rows from top to bottom, then a new page.

    `header` are the lines at the top of every page, the first one the title.
    """

    paper: Paper
    header: Sequence[str]
    _pages: list[tuple[Paper, list[Placed]]] = field(default_factory=list)
    _x: float = 0.0
    _top: float = 0.0
    _row_mm: float = 0.0

    @property
    def header_mm(self) -> float:
        """Height of the header with the space below it."""
        lines = sum(len(lines) for lines in self._header_lines(self.paper))
        return line_pitch_mm(TITLE_PT) + line_pitch_mm(BODY_PT) * (lines - 1) + 6.0

    def _header_lines(self, paper: Paper) -> list[list[str]]:
        width = min(paper.content_width_mm, paper.content_height_mm) - 22.0  # the page number stands at the right
        return [
            wrap(line, width, *((TITLE_PT, SEMIBOLD) if k == 0 else (BODY_PT,))) for k, line in enumerate(self.header)
        ]

    def new_page(self, paper: Paper | None = None) -> None:
        """Begin a page, on `paper` from here on if given."""
        self.paper = paper or self.paper
        self._pages.append((self.paper, []))
        self._x, self._row_mm = LEFT_MM, 0.0
        self._top = self.paper.height_mm - TOP_MM - self.header_mm

    def room_mm(self) -> tuple[float, float]:
        """Width left in this row and height left on this page."""
        return self.paper.width_mm - RIGHT_MM - self._x, self._top - self._bottom

    @property
    def empty_height_mm(self) -> float:
        """Height that an empty page offers."""
        return self.paper.height_mm - TOP_MM - self.header_mm - self._bottom

    @property
    def row_mm(self) -> float:
        """Height of the row being filled, 0 when it is empty."""
        return self._row_mm

    @property
    def _bottom(self) -> float:
        return self.paper.height_mm - TOP_MM - self.paper.content_height_mm + _note_rise_mm(self.paper)

    def new_row(self) -> None:
        """Begin a new row below everything in this one."""
        if self._row_mm:
            self._top -= self._row_mm + GAP_MM
        self._x, self._row_mm = LEFT_MM, 0.0

    def put(self, drawing: Drawing) -> None:
        """Place a drawing in this row, else in the next one, else on a new page.

        Raises LayoutError for a drawing that does not fit on an empty page; nothing is ever made smaller.
        """
        if not self._pages:
            self.new_page()
        if self._x > LEFT_MM and drawing.width_mm > self.room_mm()[0] + 1e-6:
            self.new_row()
        if drawing.height_mm > self.room_mm()[1] + 1e-6:
            self.new_page()
        width, height = self.room_mm()
        if drawing.width_mm > width + 1e-6 or drawing.height_mm > height + 1e-6:
            raise LayoutError(
                f"a part of {drawing.width_mm:.0f} × {drawing.height_mm:.0f} mm does not fit on the page",
                f"at most {width:.0f} × {height:.0f} mm", "choose a larger --paper",
            )  # fmt: skip
        self._pages[-1][1].append(Placed(drawing, self._x, self._top - drawing.height_mm))
        self._x += drawing.width_mm + GAP_MM
        self._row_mm = max(self._row_mm, drawing.height_mm)

    def pages(self) -> tuple[Page, ...]:
        """Return the finished pages with header, page number and rulers."""
        count = len(self._pages)
        return tuple(
            Page(
                paper.width_mm,
                paper.height_mm,
                (*placed, Placed(self._furniture(paper, number, count), 0, 0)),
            )
            for number, (paper, placed) in enumerate(self._pages, 1)
        )

    def _furniture(self, paper: Paper, number: int, count: int) -> Drawing:
        items: list[Primitive] = []
        y = paper.height_mm - TOP_MM
        for k, lines in enumerate(self._header_lines(paper)):
            size, weight = (TITLE_PT, SEMIBOLD) if k == 0 else (BODY_PT, "regular")
            for line in lines:
                y -= line_pitch_mm(size)
                items.append(Text(LEFT_MM, y + 0.28 * line_pitch_mm(size), line, size, weight))
        right = paper.width_mm - RIGHT_MM
        first = paper.height_mm - TOP_MM - 0.72 * line_pitch_mm(TITLE_PT)
        items.append(Text(right, first, f"page {number} of {count}", BODY_PT, anchor="end"))
        items.append(Line(LEFT_MM, y - 2.0, right, y - 2.0, "rule-strong"))
        return Drawing(paper.width_mm, paper.height_mm, Group("page-furniture", (*items, check_rulers(paper))))


def _note_lines(paper: Paper) -> tuple[list[str], bool]:
    """The ruler note's lines, and whether it stands beside the ruler (else above it)."""
    beside = paper.width_mm - LEFT_MM - RULER_MM - 8.0 - RIGHT_MM
    if beside >= 60.0:
        return wrap(RULER_NOTE, beside, NOTE_PT), True
    return wrap(RULER_NOTE, paper.content_width_mm, NOTE_PT), False


def _note_rise_mm(paper: Paper) -> float:
    """How much higher the content ends where the note stands above the ruler."""
    lines, beside = _note_lines(paper)
    return 0.0 if beside else line_pitch_mm(NOTE_PT) * len(lines)


def check_rulers(paper: Paper) -> Group:
    """Return the two 100 mm rulers of a page and what to do with them.

    The ends of each ruler are the outermost of its ticks, 100 mm apart from line centre to line centre.
    """
    x0, y0 = LEFT_MM, 9.0
    items: list[Primitive] = [Line(x0, y0, x0 + RULER_MM, y0, "ruler-x", (("mm", "100"),))]
    for mm in range(101):
        tick = 3.0 if mm % 10 == 0 else 2.0 if mm % 5 == 0 else 1.2
        items.append(Line(x0 + mm, y0, x0 + mm, y0 + tick, "ruler-x"))
        if mm % 10 == 0:
            items.append(Text(x0 + mm, y0 + 3.5, f"{mm} mm" if mm == 100 else str(mm), 5.0, anchor="middle"))
    lines, beside = _note_lines(paper)
    pitch = line_pitch_mm(NOTE_PT)
    for k, line in enumerate(reversed(lines)):
        x, base = (x0 + RULER_MM + 8.0, y0 + 0.4) if beside else (x0, y0 + 7.0)
        items.append(Text(x, base + pitch * k, line, NOTE_PT))
    x1, y1 = 7.0, max(24.0, (paper.height_mm - RULER_MM) / 2)
    items.append(Line(x1, y1, x1, y1 + RULER_MM, "ruler-y", (("mm", "100"),)))
    for mm in range(101):
        tick = 3.0 if mm % 10 == 0 else 2.0 if mm % 5 == 0 else 1.2
        items.append(Line(x1, y1 + mm, x1 + tick, y1 + mm, "ruler-y"))
        if mm % 10 == 0:
            items.append(Text(x1 + 3.5, y1 + mm - 0.58, f"{mm} mm" if mm == 100 else str(mm), 5.0))
    return Group("check-ruler", tuple(items))
