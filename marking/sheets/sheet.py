"""Puts drawings on pages: flow in rows, headers, page numbers and the check rulers of every page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from ..drawing.primitives import Drawing, Page, Placed
from ..errors import LayoutError
from .furniture import RULER_NOTE, finished_page, header_height_mm, note_rise_mm
from .paper import Paper

GAP_MM = 5.0
"""Space between drawings: the page grid."""

WIDEST_MM = 180.0
"""Widest block of words (our choice)."""


@dataclass
class Sheet:
    """Pages being filled: drawings flow from left to right in rows, rows from top to bottom, then a new page.

    `header` are the lines at the top of every page, the first one the title; `ruler_note` stands beside the rulers.
    `row_mm` is the height of the row being filled, 0 when it is empty.
    """

    paper: Paper
    header: Sequence[str]
    ruler_note: str = RULER_NOTE
    _pages: list[tuple[Paper, list[Placed]]] = field(default_factory=list)
    _x: float = 0.0
    _top: float = 0.0
    row_mm: float = 0.0

    @property
    def header_mm(self) -> float:
        """Height of the header with the space below it."""
        return header_height_mm(self.paper, self.header)

    def new_page(self, paper: Paper | None = None) -> None:
        """Begin a page, on `paper` from here on if given."""
        self.paper = paper or self.paper
        self._pages.append((self.paper, []))
        self._x, self.row_mm = self.paper.left_mm, 0.0
        self._top = self.paper.top_mm - self.header_mm

    def room_mm(self) -> tuple[float, float]:
        """Width left in this row and height left on this page."""
        return self.paper.right_mm - self._x, self._top - self._bottom

    @property
    def empty_height_mm(self) -> float:
        """Height that an empty page offers."""
        return self.paper.top_mm - self.header_mm - self._bottom

    @property
    def _bottom(self) -> float:
        return self.paper.bottom_mm + note_rise_mm(self.paper, self.ruler_note)

    def new_row(self) -> None:
        """Begin a new row below everything in this one."""
        if self.row_mm:
            self._top -= self.row_mm + GAP_MM
        self._x, self.row_mm = self.paper.left_mm, 0.0

    def put(self, drawing: Drawing) -> None:
        """Place a drawing in this row, else in the next one, else on a new page.

        Raises LayoutError for a drawing that does not fit on an empty page; nothing is ever made smaller.
        """
        if not self._pages:
            self.new_page()
        if self._x > self.paper.left_mm and drawing.width_mm > self.room_mm()[0] + 1e-6:
            self.new_row()
        if drawing.height_mm > self.room_mm()[1] + 1e-6:
            self.new_page()
        width, height = self.room_mm()
        if drawing.width_mm > width + 1e-6 or drawing.height_mm > height + 1e-6:
            raise LayoutError(
                f"a part of {drawing.width_mm:.0f} × {drawing.height_mm:.0f} mm does not fit on the page",
                f"at most {width:.0f} × {height:.0f} mm", "choose a larger {@paper}", field="paper",
            )  # fmt: skip
        self._pages[-1][1].append(Placed(drawing, self._x, self._top - drawing.height_mm))
        self._x += drawing.width_mm + GAP_MM
        self.row_mm = max(self.row_mm, drawing.height_mm)

    @property
    def page_count(self) -> int:
        """Number of pages begun."""
        return len(self._pages)

    def pages(self, count: int | None = None, first: int = 1) -> tuple[Page, ...]:
        """Return the finished pages with header, page number and rulers, stretched for the printer.

        Page numbers begin with `first`; `count` is the number of pages that they speak of, by default these alone.
        """
        count = count or len(self._pages)
        return tuple(
            finished_page(paper, placed, self.header, number, count, self.ruler_note)
            for number, (paper, placed) in enumerate(self._pages, first)
        )
