"""Puts drawings on pages: flow in rows, headers, page numbers and the check rulers of every page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from .blocks import BODY_PT, NOTE_PT, line_pitch_mm
from .drawing import Drawing, Group, Line, Page, Placed, Primitive, Text, scaled
from .errors import LayoutError
from .fonts import SEMIBOLD, wrap
from .paper import Paper

TITLE_PT = 11.0
GAP_MM = 5.0
"""Space between drawings: the page grid."""

RULER_MM = 100.0
RULER_TOLERANCE_MM = 0.5

NOTE_RISE_MM = 6.0
"""Enough height above the bottom margin for the ruler's note on narrow paper."""

RULER_NOTE = (
    "Before cutting, measure both rulers: 100 mm ± 0.5 mm. If they are not, do not use this page: print it "
    "again at 100 % (“actual size”), with “fit to page” off."
)


@dataclass
class Sheet:
    """Pages being filled: drawings flow from left to right in rows, rows from top to bottom, then a new page.

    `header` are the lines at the top of every page, the first one the title; `ruler_note` stands beside the rulers.
    """

    paper: Paper
    header: Sequence[str]
    ruler_note: str = RULER_NOTE
    _pages: list[tuple[Paper, list[Placed]]] = field(default_factory=list)
    _x: float = 0.0
    _top: float = 0.0
    _row_mm: float = 0.0

    @property
    def header_mm(self) -> float:
        """Height of the header with the space below it."""
        return header_height_mm(self.paper, self.header)

    def new_page(self, paper: Paper | None = None) -> None:
        """Begin a page, on `paper` from here on if given."""
        self.paper = paper or self.paper
        self._pages.append((self.paper, []))
        self._x, self._row_mm = self.paper.left_mm, 0.0
        self._top = self.paper.top_mm - self.header_mm

    def room_mm(self) -> tuple[float, float]:
        """Width left in this row and height left on this page."""
        return self.paper.right_mm - self._x, self._top - self._bottom

    @property
    def empty_height_mm(self) -> float:
        """Height that an empty page offers."""
        return self.paper.top_mm - self.header_mm - self._bottom

    @property
    def row_mm(self) -> float:
        """Height of the row being filled, 0 when it is empty."""
        return self._row_mm

    @property
    def _bottom(self) -> float:
        return self.paper.bottom_mm + _note_rise_mm(self.paper, self.ruler_note)

    def new_row(self) -> None:
        """Begin a new row below everything in this one."""
        if self._row_mm:
            self._top -= self._row_mm + GAP_MM
        self._x, self._row_mm = self.paper.left_mm, 0.0

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
                f"at most {width:.0f} × {height:.0f} mm", "choose a larger --paper",
            )  # fmt: skip
        self._pages[-1][1].append(Placed(drawing, self._x, self._top - drawing.height_mm))
        self._x += drawing.width_mm + GAP_MM
        self._row_mm = max(self._row_mm, drawing.height_mm)

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


def finished_page(
    paper: Paper, placed: Sequence[Placed], header: Sequence[str], number: int, count: int, note: str = RULER_NOTE
) -> Page:
    """Return a page with header, page number and check rulers added, stretched for the printer."""
    everything = [*placed, Placed(_furniture(paper, header, number, count, note), 0, 0)]
    sx, sy = paper.stretch_x, paper.stretch_y
    return Page(paper.width_mm * sx, paper.height_mm * sy, stretched(everything, sx, sy))


def header_height_mm(paper: Paper, header: Sequence[str]) -> float:
    """Return the height of a page's header with the space below it."""
    lines = sum(len(lines) for lines in _header_lines(paper, header))
    return line_pitch_mm(TITLE_PT) + line_pitch_mm(BODY_PT) * (lines - 1) + 6.0


def _header_lines(paper: Paper, header: Sequence[str]) -> list[list[str]]:
    width = min(paper.content_width_mm, paper.content_height_mm) - 22.0  # the page number stands at the right
    return [wrap(line, width, *((TITLE_PT, SEMIBOLD) if k == 0 else (BODY_PT,))) for k, line in enumerate(header)]


def _furniture(paper: Paper, header: Sequence[str], number: int, count: int, note: str) -> Drawing:
    items: list[Primitive] = []
    y = paper.top_mm
    for k, lines in enumerate(_header_lines(paper, header)):
        size, weight = (TITLE_PT, SEMIBOLD) if k == 0 else (BODY_PT, "regular")
        for line in lines:
            y -= line_pitch_mm(size)
            items.append(Text(paper.left_mm, y + 0.28 * line_pitch_mm(size), line, size, weight))
    right = paper.right_mm
    first = paper.top_mm - 0.72 * line_pitch_mm(TITLE_PT)
    items.append(Text(right, first, f"page {number} of {count}", BODY_PT, anchor="end"))
    items.append(Line(paper.left_mm, y - 2.0, right, y - 2.0, "rule-strong"))
    return Drawing(paper.width_mm, paper.height_mm, Group("page-furniture", (*items, check_rulers(paper, note))))


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
    beside = paper.content_width_mm - RULER_MM - 8.0
    if beside >= 60.0:
        return wrap(note, beside, NOTE_PT), True
    return wrap(note, paper.content_width_mm, NOTE_PT), False


def _note_rise_mm(paper: Paper, note: str) -> float:
    """How much higher the content ends where the note stands above the ruler."""
    lines, beside = _note_lines(paper, note)
    return 0.0 if beside else line_pitch_mm(NOTE_PT) * len(lines)


def check_rulers(paper: Paper, note: str = RULER_NOTE) -> Group:
    """Return the two 100 mm rulers of a page and what to do with them.

    The ends of each ruler are the outermost of its ticks, 100 mm apart from line centre to line centre.
    """
    x0, y0 = paper.left_mm, paper.bottom_mm - 13.0
    items: list[Primitive] = list(ruler_ticks(x0, y0, RULER_MM, along_x=True))
    lines, beside = _note_lines(paper, note)
    pitch = line_pitch_mm(NOTE_PT)
    for k, line in enumerate(reversed(lines)):
        x, base = (x0 + RULER_MM + 8.0, y0 + 0.4) if beside else (x0, y0 + 7.0)
        items.append(Text(x, base + pitch * k, line, NOTE_PT))
    x1, y1 = paper.left_mm - 12.0, max(paper.bottom_mm + 2.0, (paper.height_mm - RULER_MM) / 2)
    items += ruler_ticks(x1, y1, RULER_MM, along_x=False)
    return Group("check-ruler", tuple(items))


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
            yield Text(x + mm, y + 3.5, number, 5.0, anchor="middle")
        elif mm % 10 == 0:
            yield Text(x + 3.5, y + mm - 0.58, number, 5.0)
