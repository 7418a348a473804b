"""Puts drawings on pages: flow in rows, headers, footers, and check rulers where something is to scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple, Protocol

from ..drawing.primitives import Document, Drawing, Group, Page, Placed, groups
from ..errors import LayoutError
from .furniture import RULER_NOTE, content_bottom_mm, finished_page, header_height_mm
from .paper import Paper

GAP_MM = 5.0
"""Space between drawings: the page grid."""

WIDEST_MM = 180.0
"""Widest block of words (our choice)."""


TO_SCALE = frozenset({"band", "trim-band", "part-ring", "drive-disc", "mat", "diameter-tape", "witness-pointer"})
"""Groups that only serve at true size: a page with one of them has check rulers."""


def is_to_scale(group: Group) -> bool:
    """Tell whether a group, or one within it, only serves at true size."""
    return any(one.name in TO_SCALE for one in groups(group))


class _Sized(Protocol):
    @property
    def width_mm(self) -> float: ...
    @property
    def height_mm(self) -> float: ...


def too_large(part: _Sized, width_mm: float, height_mm: float) -> None:
    """Raise LayoutError for a part larger than the room for it."""
    if part.width_mm > width_mm + 1e-6 or part.height_mm > height_mm + 1e-6:
        raise LayoutError(
            f"a part of {part.width_mm:.0f} × {part.height_mm:.0f} mm does not fit on the page",
            f"at most {width_mm:.0f} × {height_mm:.0f} mm", "choose a larger {@paper}", field="paper",
        )  # fmt: skip


class _Begun(NamedTuple):
    """A page being filled: its paper, what is on it, its header, and the note beside its rulers, "" for no rulers."""

    paper: Paper
    placed: list[Placed]
    header: Sequence[str]
    note: str


@dataclass
class Sheet:
    """Pages being filled: drawings flow from left to right in rows, rows from top to bottom, then a new page.

    `header` are the lines at the top of every page, the first one the title; `ruler_note` stands beside the rulers,
    without one there are none; `command`, the shell line that prints them again, stands at the foot of every page,
    None where it is not known yet and pages are only planned. `row_mm` is the height of the row being filled, 0 when it
    is empty.
    """

    paper: Paper
    header: Sequence[str]
    ruler_note: str = RULER_NOTE
    command: str | None = ""
    _pages: list[_Begun] = field(default_factory=list)
    _x: float = 0.0
    _top: float = 0.0
    row_mm: float = 0.0

    @property
    def header_mm(self) -> float:
        """Height of the header with the space below it."""
        return header_height_mm(self.paper, self.header)

    def new_page(self, paper: Paper | None = None, titled: bool = True, to_scale: bool = True) -> None:
        """Begin a page, on `paper` from here on if given; without the header, or without rulers, if told so."""
        self.paper = paper or self.paper
        page = _Begun(self.paper, [], self.header if titled else (), self.ruler_note if to_scale else "")
        self._pages.append(page)
        self._x, self.row_mm = self.paper.left_mm, 0.0
        self._top = self.paper.top_mm - header_height_mm(self.paper, page.header)

    def room_mm(self) -> tuple[float, float]:
        """Width left in this row and height left on this page."""
        return self.paper.right_mm - self._x, self._top - self._bottom

    @property
    def empty_height_mm(self) -> float:
        """Height that an empty page offers."""
        return self.paper.top_mm - self.header_mm - self._bottom

    def page_room_mm(self, paper: Paper, titled: bool = True, to_scale: bool = True) -> tuple[float, float]:
        """Width and height that an empty page offers on `paper`, with the header and rulers or without."""
        top = paper.top_mm - (header_height_mm(paper, self.header) if titled else 0.0)
        return paper.content_width_mm, top - content_bottom_mm(paper, self.ruler_note if to_scale else "", self.command)

    @property
    def _bottom(self) -> float:
        note = self._pages[-1].note if self._pages else self.ruler_note
        return content_bottom_mm(self.paper, note, self.command)

    def new_row(self) -> None:
        """Begin a new row below everything in this one."""
        if self.row_mm:
            self._top -= self.row_mm + GAP_MM
        self._x, self.row_mm = self.paper.left_mm, 0.0

    def put(self, drawing: Drawing) -> None:
        """Place a drawing in this row, else in the next one, else on a new page, which has rulers if they serve it.

        Raises LayoutError for a drawing that does not fit on an empty page; nothing is ever made smaller.
        """
        measured = bool(self.ruler_note) and is_to_scale(drawing.content)
        if not self._pages or (measured and not self._pages[-1].note):
            self.new_page(to_scale=measured)
        if self._x > self.paper.left_mm and drawing.width_mm > self.room_mm()[0] + 1e-6:
            self.new_row()
        if drawing.height_mm > self.room_mm()[1] + 1e-6:
            self.new_page(to_scale=measured)
        too_large(drawing, *self.room_mm())
        self._pages[-1].placed.append(Placed(drawing, self._x, self._top - drawing.height_mm))
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
            finished_page(page.paper, page.placed, page.header, number, count, page.note, self.command or "")
            for number, page in enumerate(self._pages, first)
        )

    def document(self) -> Document:
        """Return the finished pages, described by their header: its title, and all its other lines."""
        return Document(self.pages(), self.header[0], " · ".join(self.header[1:]))
