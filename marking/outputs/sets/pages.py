"""The pages of a set, each drawn when it is asked for."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from typing import Any

from ...drawing.fonts import NOTE_PT
from ...drawing.primitives import Document, Drawing, Group, LazyPages, Page, Placed, Worked
from ...drawing.transform import turned
from ...readouts import Outline
from ...sheets.blocks import captioned, paragraph
from ...sheets.furniture import finished_page, stretched
from ...sheets.paper import Paper
from ..job.label_pages import label_ruler
from .front import piece_area
from .index import PlacedId, draw_index_page, page_map
from .labels import draw_label
from .pieces import SetPart, SetSpot
from .plan import (
    CAPTION_GAP_MM,
    SetPlan,
    caption_of,
    label_room,
    lying_mm,
    nothing_left,
)
from .processes import PARALLEL_FROM, shared_out
from .request import SetOptions

MOST_SHARED = 32
"""Shared drawings that are kept from page to page; a page adds its own."""


def set_document(
    plan: SetPlan, jobs: int = 1, made: Callable[[int], None] | None = None, command: str = ""
) -> Document:
    """Return a set's pages: the index first, then the pieces, each page drawn only when it is written.

    `jobs` processes share the drawing when there are enough pages; the pages are the same for any number. `made` is
    called with the number of pages done after each of them. `command` stands at the foot of every page. Raises
    LayoutError for a set without parts.
    """
    if not plan.parts:
        raise nothing_left()
    pages = SetPages(plan, jobs if len(plan.papers) >= PARALLEL_FROM else 1, made, command)
    return Document(pages, plan.header[0], f"{len(plan.parts)} pieces", command)


class SetPages(LazyPages):
    """The pages of a set, made one by one or by several processes ahead of the writer."""

    def __init__(
        self, plan: SetPlan, jobs: int = 1, made: Callable[[int], None] | None = None, command: str = ""
    ) -> None:
        self._plan, self._jobs, self._made, self._command = plan, jobs, made, command
        self._known: dict[str, tuple[Drawing, Drawing]] = {}
        self._by_page: list[list[SetSpot]] = [[] for _ in plan.papers]
        for spot in plan.spots:
            self._by_page[spot.page].append(spot)
        self.front = plan.front.pages
        super().__init__(plan.pages, self._make_page)

    def _make_page(self, index: int) -> Page:
        if index < self.front:
            return self._index_page(index)
        if len(self._known) > MOST_SHARED:
            self._known.clear()
        return partial(draw_page, known=self._known)(*self._task(index - self.front))

    def size_mm(self, index: int) -> tuple[float, float]:
        """Return width and height of a page."""
        if index < self.front and self._plan.options.label_stock:
            return super().size_mm(index)  # a ruler
        paper = self._plan.options.paper if index < self.front else self._plan.papers[index - self.front]
        return paper.width_mm * paper.stretch_x, paper.height_mm * paper.stretch_y

    def _index_page(self, number: int) -> Page:
        """A page of the index; behind its last rows stands a small map of every page of pieces."""
        front, (rows, notes, index, *_) = self.front, self._plan.front
        if index is None:
            return _ruler_page(self._plan.options)
        own = [rows[k] for k in index.rows[number]]
        own = [row._replace(places=tuple((front + page, where) for page, where in row.places)) for row in own]
        maps = [notes[k] if k < len(notes) else self._map(k - len(notes), front) for k in index.maps[number]]
        paper, header = self._plan.options.paper, self._plan.header
        return draw_index_page(index, number, paper, header, own, maps, len(self), self._command)

    def _map(self, number: int, front: int) -> Drawing:
        plan = self._plan
        left, bottom, height = piece_area(plan.papers[number], plan.options.title)
        pieces = [
            PlacedId(part.name, spot.x - left, spot.y - bottom, *lying_mm(part, spot), spot.place)
            for spot in self._by_page[number]
            for part in [plan.parts[spot.part]]
        ]
        small = page_map(plan.papers[number].content_width_mm, height, pieces, plan.front.map_scale)
        return captioned(small, [f"page {front + number + 1}", plan.front.sockets[number]], 0.0)

    def __iter__(self) -> Iterator[Page]:
        return (self._make_page(index) for index in range(len(self)))

    def worked(self, work: Callable[[Page], Worked]) -> Iterator[Worked]:
        """Yield `work(page)` for every page, drawn and worked on by other processes if that was asked for."""
        if self._jobs == 1:
            yield from self._counted(map(work, self))
            return
        front = (self._index_page(number) for number in range(self.front))
        tasks = map(self._task, range(len(self._by_page)))
        yield from self._counted(shared_out(partial(_drawn_and_worked, work), tasks, self._jobs, map(work, front)))

    def _task(self, number: int) -> tuple[Any, ...]:
        """The arguments of `draw_page` for a page of pieces, from 0."""
        spots = self._by_page[number]
        parts = [self._plan.parts[spot.part] for spot in spots]
        index = self.front + number
        return (
            self._plan.papers[number], self._plan.header, self._plan.options, parts,
            [self._plan.outline(part) for part in parts], spots, index + 1, len(self), self._command,
        )  # fmt: skip

    def _counted(self, pages: Iterable[Worked]) -> Iterator[Worked]:
        for number, page in enumerate(pages, 1):
            yield page
            if self._made is not None:
                self._made(number)


def _drawn_and_worked(work: Callable[[Page], Worked], task: tuple[Any, ...]) -> Worked:
    """Draw a page and work on it in another process, so that only the result has to travel."""
    return work(draw_page(*task))


def draw_page(
    paper: Paper,
    header: Sequence[str],
    options: SetOptions,
    parts: Sequence[SetPart],
    outlines: Sequence[Outline | None],
    spots: Sequence[SetSpot],
    number: int,
    count: int,
    command: str = "",
    known: dict[str, tuple[Drawing, Drawing]] | None = None,
) -> Page:
    """Return one page of pieces; copies of one item share their drawing, on further pages too if given `known`."""
    known = {} if known is None else known
    placed = []
    for part, outline, spot in zip(parts, outlines, spots, strict=True):
        item = part.item
        shared = f"{item.row}-{part.name}{'-turned' * spot.turned}" if item.copies > 1 and part.number else ""
        if shared in known:
            drawing, words = known[shared]
        else:
            drawing, words = _drawn(part, outline, options, spot.turned)
        if shared:
            known[shared] = drawing, words
        if options.label_stock:
            placed.append(Placed(drawing, spot.x, spot.y, shared))
            continue
        below, beside = (0.0, part.height_mm + CAPTION_GAP_MM) if spot.turned else (part.words_mm, 0.0)
        placed.append(Placed(words, spot.x + beside, spot.y, shared and f"{shared}-words"))
        placed.append(Placed(drawing, spot.x, spot.y + below, shared))
    if options.label_stock:
        return _bare_page(paper, placed)
    return finished_page(paper, placed, header, number, count, command=command)


def _bare_page(paper: Paper, placed: Sequence[Placed]) -> Page:
    """A page of tape or labels, with nothing round its pieces."""
    sx, sy = paper.stretch_x, paper.stretch_y
    return Page(paper.width_mm * sx, paper.height_mm * sy, stretched(placed, sx, sy), (sx, sy) != (1.0, 1.0))


def _ruler_page(options: SetOptions) -> Page:
    tape = options.tape
    assert tape is not None
    ruler = label_ruler(tape)
    paper = Paper(ruler.width_mm + 2 * tape.margin_mm, tape.width_mm, 0.0, tape.stretch_along, tape.stretch_across)
    return _bare_page(paper, [Placed(ruler, tape.margin_mm, (tape.width_mm - ruler.height_mm) / 2)])


def _drawn(part: SetPart, outline: Outline | None, options: SetOptions, lies_turned: bool) -> tuple[Drawing, Drawing]:
    """A part's drawing, its group marked with the item's id, and the words below it."""
    if outline:
        drawing, words = outline.draw(), paragraph(caption_of(part, outline), part.width_mm, NOTE_PT)
        name, items, data = drawing.content.name, drawing.content.items, drawing.content.data
        drawing = drawing._replace(content=Group(name, items, (*data, ("id", part.item.id))))
    else:
        assert part.label
        drawing, words = (
            draw_label(part.label, *label_room(options)),
            Drawing(part.width_mm, 0.0, Group("paragraph", ())),
        )
    return (turned(drawing), turned(words)) if lies_turned else (drawing, words)
