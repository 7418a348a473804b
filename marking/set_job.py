"""Many pieces at once: from a list's items to packed pages with an index, drawn page by page."""

from __future__ import annotations

import itertools
import math
import multiprocessing
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from functools import lru_cache, partial
from itertools import pairwise
from typing import Any, NamedTuple

from .band import TAB_MM, BandPlan, draw_band
from .blocks import NOTE_PT, captioned, line_pitch_mm, paragraph
from .disc import draw_disc
from .disc_job import plan_discs, read_disc_job
from .drawing import Document, Drawing, Group, LazyPages, Page, Placed, Worked, turned
from .errors import LayoutError, MarkingError, OutputError
from .fonts import printable, wrap
from .index_sheet import IndexRow, PlacedId, draw_index_page, draw_tag, page_map, plan_index
from .job import plan_job
from .listing import Fault, Item
from .packing import Piece, pack
from .paper import Paper
from .part import draw_ring
from .reading import read_job, read_trim_job
from .sheet import NOTE_RISE_MM, finished_page, header_height_mm
from .trim import TrimPlan, draw_trim_band, trim_width_mm

DEFAULT_TITLE = "Set of marking bands"
MAX_TITLE = 120

GAP_MM = 2.0
"""Space between pieces: enough for scissors; 3 mm would cost 3 % of the stock (our choice)."""

PARALLEL_FROM = 16
"""Fewest pages for which more processes are worth starting (our choice: starting them costs some 0.3 s)."""

MAP_SCALE = 0.16

MOST_SHARED = 32
"""Shared drawings that are kept from page to page; a page adds its own."""

NAMED = 4
"""Ids that one warning names."""

CAPTION_GAP_MM = 1.2
"""Space between a piece and the words below it."""


class Part(NamedTuple):
    """One piece of a set: what it belongs to, which of the item's pieces it is, and its size.

    `number` counts from 1; 0 is the item's tag. `words_mm` is the height of the words below the drawing. How it is
    drawn is worked out again when its page is: thousands of drawings' numbers would fill the memory.
    """

    item: Item
    number: int
    of: int
    socket_line: str
    width_mm: float
    height_mm: float
    words_mm: float

    @property
    def name(self) -> str:
        """The id as printed: "A-1", "A-1 (2 of 3)", "A-1 (tag)"."""
        if not self.number:
            return f"{self.item.id} (tag)"
        return self.item.id if self.of == 1 else f"{self.item.id} ({self.number} of {self.of})"

    @property
    def box_mm(self) -> tuple[float, float]:
        """Width and height with the words below the drawing."""
        return self.width_mm, self.height_mm + self.words_mm


class Outline(NamedTuple):
    """One piece of an item before it is drawn: its words, its size, and what draws it."""

    spec_line: str
    socket_line: str
    width_mm: float
    height_mm: float
    draw: Callable[[], Drawing]


@dataclass(frozen=True)
class SetOptions:
    """How a set is printed: `paper` a whole sheet, corrected for the printer or not; `stock` and `printer` as texts."""

    paper: Paper
    title: str = ""
    stock: str | None = None
    printer: str | None = None
    tags: bool = False

    @property
    def paper_texts(self) -> dict[str, str]:
        """The real paper and its margin as texts for `read_job`, which cuts long bands for them."""
        paper = self.paper
        size = f"{paper.width_mm * paper.stretch_x:.2f}x{paper.height_mm * paper.stretch_y:.2f}mm"
        return {"paper": size, "margin": f"{paper.margin_mm:.2f} mm"}


class SetSpot(NamedTuple):
    """Where a part lies: `page` from 0 among the pages of pieces, the lower left corner, its place's name.

    A `turned` part lies a quarter turn counterclockwise.
    """

    part: int
    page: int
    x: float
    y: float
    place: str
    turned: bool


class SetPlan(NamedTuple):
    """A whole set as numbers: parts, where they lie, and what to say. `papers` holds a paper for every page.

    `area_use` is the share of the paper that pieces cover, the last page counted down to its lowest piece.
    `remarks` are warnings, each with the id that it is about, "" for the whole list.
    """

    options: SetOptions
    parts: tuple[Part, ...]
    spots: tuple[SetSpot, ...]
    papers: tuple[Paper, ...]
    area_use: float
    remarks: tuple[tuple[str, str], ...]
    faults: tuple[Fault, ...]

    @property
    def warnings(self) -> tuple[str, ...]:
        """The remarks as lines, those of one text together."""
        return grouped(self.remarks)

    @property
    def header(self) -> tuple[str, ...]:
        """The lines at the top of every page."""
        return (printable(self.options.title, "title", MAX_TITLE) or DEFAULT_TITLE,)


def grouped(remarks: Iterable[tuple[str, str]]) -> tuple[str, ...]:
    """Return remarks as lines: ("A", "no window"), ("B", "no window") becomes "no window (A, B)"."""
    found: dict[str, dict[str, None]] = {}
    for name, text in remarks:
        found.setdefault(text, {})[name] = None
    lines = []
    for text, names in found.items():
        few = [name for name in names if name][:NAMED]
        more = f" and {len(names) - NAMED} more" if len(names) > NAMED else ""
        lines.append(f"{text} ({', '.join(few)}{more})" if few else text)
    return tuple(lines)


def plan_set(items: Sequence[Item], options: SetOptions) -> SetPlan:
    """Return the numbers of a set: every part, packed on pages, the parts of one socket together.

    An item that cannot be planned becomes a fault and is left out. Raises LayoutError when nothing is left.
    """
    plan = plan_good(items, options)
    if not plan.parts:
        raise _nothing_left()
    return plan


def _nothing_left() -> LayoutError:
    return LayoutError("nothing is left to print", "at least one good row", "see the faults")


def plan_good(items: Sequence[Item], options: SetOptions) -> SetPlan:
    """Return what `plan_set` does, without parts and pages when no item can be planned."""
    parts: list[Part] = []
    faults: list[Fault] = []
    remarks: list[tuple[str, str]] = []
    for item in items:
        try:
            found = _parts(item, options, remarks)
            _check_sizes(found, options)
        except MarkingError as error:
            faults.append(Fault(item.file, item.row, "spec", " ".join(str(error).split())))
            continue
        parts += [part for part in found for _ in range(item.copies if part.number else 1)]
    spots, papers, area_use = _packed(parts, options)
    return SetPlan(options, tuple(parts), spots, papers, area_use, tuple(remarks), tuple(faults))


def _parts(item: Item, options: SetOptions, remarks: list[tuple[str, str]]) -> list[Part]:
    """Every part that an item consists of, its tag behind the others."""
    outlines = list(_outlines(item, options, remarks))
    parts = []
    for number, outline in enumerate(outlines, 1):
        _, socket_line, width, height, _ = outline
        part = Part(item, number, len(outlines), sys.intern(socket_line), width, height, 0.0)
        lines = wrap(_caption(part, outline), width, NOTE_PT)
        parts.append(part._replace(words_mm=line_pitch_mm(NOTE_PT) * len(lines) + CAPTION_GAP_MM))
    if options.tags:
        socket_line = item.socket or parts[0].socket_line
        tag = _tag(item, socket_line)
        parts.append(Part(item, 0, 1, socket_line, tag.width_mm, tag.height_mm, 0.0))
    return parts


def _outlines(item: Item, options: SetOptions, remarks: list[tuple[str, str]]) -> Iterator[Outline]:
    """Every piece of an item, worked out from its texts; what is to be said about it is added to `remarks`."""
    common: dict[str, Any] = {"thread": item.thread, "printer": options.printer, **options.paper_texts}
    if item.kind == "disc":
        discs = plan_discs(read_disc_job(item.spec, item.drive, points=item.points, **common))
        for disc in discs.discs:
            size = draw_disc(disc)[:2]
            yield Outline(discs.job.spec.printed, f"{item.drive} in drive disc", *size, partial(draw_disc, disc))
        return
    common["stock"] = item.stock or options.stock
    if item.points is None:
        raise LayoutError("the points of the socket are missing", "4, 6, 8 or 12", "fill in the column points")
    if item.kind == "trim band" or (item.od is None and item.around is None):
        trim = read_trim_job(item.spec, item.points, item.drive, opening=item.opening, **common)
        remarks += [(item.id, sys.intern(text)) for text in trim.warnings]
        for strip in (band for part in trim.parts for band in part.bands):
            size = trim_width_mm(strip), strip.height_mm
            yield Outline(strip.spec_line, strip.socket_line, *size, partial(_draw_trim_band, strip))
        return
    common |= {"od": item.od, "around": item.around, "opening": item.opening, "drive_end": item.drive_end}
    job = read_job(item.spec, item.points, item.drive, **common)
    plan = plan_job(job)
    remarks += [(item.id, sys.intern(text)) for text in plan.warnings if "part ring" not in text]
    if item.kind == "ring":
        rings = [ring for ring in plan.rings if ring is not None]
        if not rings:
            raise LayoutError("the part ring is larger than the paper", "a smaller socket", "choose a larger --paper")
        for ring in rings:
            left, bottom, right, top = ring.box
            size = right - left, top - bottom
            yield Outline(job.spec.printed, job.socket.printed(), *size, partial(draw_ring, ring))
        return
    for band, cuts in zip(plan.bands, plan.cuts, strict=True):
        for number, (begin, end) in enumerate(pairwise([0.0, *cuts, band.length_mm])):
            size = end - begin + TAB_MM, band.height_mm
            yield Outline(band.spec_line, band.socket_line, *size, partial(_draw_band_piece, band, cuts, number))


def _draw_trim_band(strip: TrimPlan) -> Drawing:
    return draw_trim_band(strip)[0]


def _draw_band_piece(band: BandPlan, cuts: tuple[float, ...], number: int) -> Drawing:
    return draw_band(band, cuts).pieces[number]


def _caption(part: Part, outline: Outline) -> str:
    """The words below a piece."""
    title = [part.item.title] if part.item.title else []
    return " · ".join([part.name, *title, outline.spec_line, outline.socket_line])


def _tag(item: Item, socket_line: str) -> Drawing:
    return draw_tag(item.id, (item.spec, *([item.title] if item.title else []), socket_line))


@lru_cache(maxsize=64)
def _area(paper: Paper, title: str) -> tuple[float, float, float]:
    """Left edge, lower edge and height of the area for pieces below the header."""
    header = header_height_mm(paper, (printable(title, "title", MAX_TITLE) or DEFAULT_TITLE,))
    return paper.left_mm, paper.bottom_mm + NOTE_RISE_MM, paper.top_mm - header - paper.bottom_mm - NOTE_RISE_MM


def _check_sizes(parts: Sequence[Part], options: SetOptions) -> None:
    """Raise LayoutError for a part that fits on the paper neither way, upright or wide."""
    upright, wide = options.paper, options.paper.wide
    for part in parts:
        if not _fits(part, upright, options.title) and not _fits(part, wide, options.title):
            width, height = part.box_mm
            raise LayoutError(
                f"a part of {width:.0f} × {height:.0f} mm does not fit on the page",
                f"at most {wide.content_width_mm:.0f} × {_area(wide, options.title)[2]:.0f} mm",
                "choose a larger --paper",
            )


class _Packed(NamedTuple):
    spots: tuple[SetSpot, ...]
    papers: tuple[Paper, ...]
    area_use: float


def _packed(parts: Sequence[Part], options: SetOptions) -> _Packed:
    """Pack on upright pages and, behind them, wide ones for what they do not hold."""
    spots: list[SetSpot] = []
    papers: list[Paper] = []
    used = whole = 0.0
    left_over = list(range(len(parts)))
    for paper in (options.paper, options.paper.wide):
        keys = [k for k in left_over if _fits(parts[k], paper, options.title)]
        held = set(keys)
        left_over = [k for k in left_over if k not in held]
        if not keys:
            continue
        left, bottom, height = _area(paper, options.title)
        pieces = [Piece(k, *parts[k].box_mm, parts[k].item.socket or parts[k].socket_line) for k in keys]
        packing = pack(pieces, paper.content_width_mm, height, GAP_MM)
        first = len(papers)
        spots += [SetSpot(s.key, first + s.page, left + s.x, bottom + s.y, s.place, s.turned) for s in packing.spots]
        papers += [paper] * packing.pages
        area = math.fsum(piece.width_mm * piece.height_mm for piece in pieces)
        used += area
        whole += area / packing.area_use
    return _Packed(tuple(spots), tuple(papers), used / whole if parts else 0.0)


def _fits(part: Part, paper: Paper, title: str) -> bool:
    """Tell whether a part fits on the paper, upright or turned."""
    room = paper.content_width_mm, _area(paper, title)[2]
    (short, long), (least, most) = sorted(part.box_mm), sorted(room)
    return short <= least and long <= most


def set_document(plan: SetPlan, jobs: int = 1, made: Callable[[int], None] | None = None) -> Document:
    """Return a set's pages: the index first, then the pieces, each page drawn only when it is written.

    `jobs` processes share the drawing when there are enough pages; the pages are the same for any number. `made` is
    called with the number of pages of pieces done after each of them. Raises LayoutError for a set without parts.
    """
    if not plan.parts:
        raise _nothing_left()
    pages = SetPages(plan, jobs if len(plan.papers) >= PARALLEL_FROM else 1, made)
    return Document(pages, plan.header[0], f"{len(plan.parts)} pieces")


class SetPages(LazyPages):
    """The pages of a set, made one by one or by several processes ahead of the writer."""

    def __init__(self, plan: SetPlan, jobs: int = 1, made: Callable[[int], None] | None = None) -> None:
        self._plan, self._jobs, self._made = plan, jobs, made
        self._known: dict[str, tuple[Drawing, Drawing]] = {}
        self._by_page: list[list[SetSpot]] = [[] for _ in plan.papers]
        for spot in plan.spots:
            self._by_page[spot.page].append(spot)
        self._rows = _index_rows(plan)
        sizes = [_map_size(paper, plan.options.title) for paper in plan.papers]
        self._index = plan_index(plan.options.paper, plan.header, self._rows, sizes)
        super().__init__(self._index.pages + len(plan.papers), self._make_page)

    def _make_page(self, index: int) -> Page:
        if index < self._index.pages:
            return self._index_page(index)
        if len(self._known) > MOST_SHARED:
            self._known.clear()
        return partial(draw_page, known=self._known)(*self._task(index - self._index.pages))

    def _index_page(self, number: int) -> Page:
        """A page of the index; behind its last rows stands a small map of every page of pieces."""
        front = self._index.pages
        rows = [self._rows[k] for k in self._index.rows[number]]
        rows = [row._replace(page=front + row.page) for row in rows]
        maps = [self._map(k, front) for k in self._index.maps[number]]
        return draw_index_page(self._index, number, self._plan.options.paper, self._plan.header, rows, maps, len(self))

    def _map(self, number: int, front: int) -> Drawing:
        paper = self._plan.papers[number]
        left, bottom, height = _area(paper, self._plan.options.title)
        pieces = []
        for spot in self._by_page[number]:
            part = self._plan.parts[spot.part]
            pieces.append(PlacedId(part.name, spot.x - left, spot.y - bottom, *_lying_mm(part, spot), spot.place))
        small = page_map(paper.content_width_mm, height, pieces, MAP_SCALE)
        return captioned(small, [f"page {front + number + 1}"], 0.0)

    def __iter__(self) -> Iterator[Page]:
        return (self._make_page(index) for index in range(len(self)))

    def worked(self, work: Callable[[Page], Worked]) -> Iterator[Worked]:
        """Yield `work(page)` for every page, drawn and worked on by other processes if that was asked for."""
        if self._jobs == 1:
            yield from self._counted(map(work, self))
            return
        front = (self._index_page(number) for number in range(self._index.pages))
        pool = ProcessPoolExecutor(self._jobs, initializer=_end_with_parent)
        try:
            tasks = map(self._task, range(len(self._by_page)))
            done = pool.map(partial(_drawn_and_worked, work), tasks, chunksize=4)
            yield from self._counted(itertools.chain(map(work, front), done))
        except BrokenProcessPool as error:
            raise OutputError(
                f"one of {self._jobs} processes that draw ended before its work was done", "",
                "try again, with fewer --jobs if the machine is short of memory",
            ) from error  # fmt: skip
        finally:
            pool.shutdown(cancel_futures=True)

    def _task(self, number: int) -> tuple[Any, ...]:
        """The arguments of `draw_page` for a page of pieces, from 0."""
        spots = self._by_page[number]
        parts = [self._plan.parts[spot.part] for spot in spots]
        index = self._index.pages + number
        return self._plan.papers[number], self._plan.header, self._plan.options, parts, spots, index + 1, len(self)

    def _counted(self, pages: Iterable[Worked]) -> Iterator[Worked]:
        for number, page in enumerate(pages, 1 - self._index.pages):
            yield page
            if self._made is not None and number > 0:
                self._made(number)


def _end_with_parent() -> None:
    """Make this process end as soon as its parent has, however that ended, and leave Ctrl-C to the parent."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, signal.SIG_DFL)  # the pool's own way to end it
    if hasattr(signal, "SIGHUP"):
        signal.signal(signal.SIGHUP, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    assert parent is not None

    def watch() -> None:
        parent.join()
        os._exit(1)

    threading.Thread(target=watch, daemon=True).start()


def _drawn_and_worked(work: Callable[[Page], Worked], task: tuple[Any, ...]) -> Worked:
    """Draw a page and work on it in another process, so that only the result has to travel."""
    return work(draw_page(*task))


def draw_page(
    paper: Paper,
    header: Sequence[str],
    options: SetOptions,
    parts: Sequence[Part],
    spots: Sequence[SetSpot],
    number: int,
    count: int,
    known: dict[str, tuple[Drawing, Drawing]] | None = None,
) -> Page:
    """Return one page of pieces; copies of one item share their drawing, on further pages too if given `known`."""
    outlines: dict[tuple[int, str], list[Outline]] = {}
    known = {} if known is None else known
    placed = []
    for part, spot in zip(parts, spots, strict=True):
        item = part.item
        shared = f"{item.row}-{part.name}{'-turned' * spot.turned}" if item.copies > 1 and part.number else ""
        if shared in known:
            drawing, words = known[shared]
        else:
            if (item.row, item.id) not in outlines:
                outlines[item.row, item.id] = list(_outlines(item, options, []))
            drawing, words = _drawn(part, outlines[item.row, item.id], spot.turned)
        if shared:
            known[shared] = drawing, words
        below, beside = (0.0, part.height_mm) if spot.turned else (part.words_mm, 0.0)
        placed.append(Placed(words, spot.x + beside, spot.y, shared and f"{shared}-words"))
        placed.append(Placed(drawing, spot.x, spot.y + below, shared))
    return finished_page(paper, placed, header, number, count)


def _drawn(part: Part, outlines: Sequence[Outline], lies_turned: bool) -> tuple[Drawing, Drawing]:
    """A part's drawing, its group marked with the item's id, and the words below it."""
    if part.number:
        outline = outlines[part.number - 1]
        drawing, words = outline.draw(), paragraph(_caption(part, outline), part.width_mm, NOTE_PT)
        content = drawing.content._replace(data=(*drawing.content.data, ("id", part.item.id)))
        drawing = drawing._replace(content=content)
    else:
        drawing, words = _tag(part.item, part.socket_line), Drawing(part.width_mm, 0.0, Group("paragraph", ()))
    return (turned(drawing), turned(words)) if lies_turned else (drawing, words)


def _lying_mm(part: Part, spot: SetSpot) -> tuple[float, float]:
    """Width and height of a part as it lies on its page."""
    width, height = part.box_mm
    return (height, width) if spot.turned else (width, height)


def _map_size(paper: Paper, title: str) -> tuple[float, float]:
    """Width and height in mm of a page's map with its caption."""
    empty = page_map(paper.content_width_mm, _area(paper, title)[2], [], MAP_SCALE)
    return captioned(empty, ["page 1"], 0.0)[:2]


def _index_rows(plan: SetPlan) -> list[IndexRow]:
    """A row for each id and page: several copies on one page share a row. Pages are those of pieces, from 1."""
    found: dict[tuple[int, int], list[str]] = {}
    names: dict[tuple[int, str, int], tuple[int, int]] = {}
    for spot in plan.spots:
        part = plan.parts[spot.part]
        key = names.setdefault((part.item.row, part.name, spot.page), (spot.part, spot.page))
        found.setdefault(key, []).append(spot.place)
    rows = []
    for (number, page), places in sorted(found.items()):
        part = plan.parts[number]
        place = places[0] if len(places) == 1 else f"{places[0]} and {len(places) - 1} more"
        rows.append(IndexRow(part.name, part.item.spec, part.socket_line, page + 1, place))
    return rows


def set_data(plan: SetPlan, front_pages: int, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return a set as JSON-ready data: every piece with its page and place."""
    pieces = []
    for spot in plan.spots:
        part = plan.parts[spot.part]
        width, height = _lying_mm(part, spot)
        pieces.append(
            {
                "id": part.item.id,
                "name": part.name,
                "kind": part.item.kind if part.number else "tag",
                "spec": part.item.spec,
                "socket": part.socket_line,
                "page": front_pages + spot.page + 1,
                "place": spot.place,
                "x_mm": spot.x,
                "y_mm": spot.y,
                "width_mm": width,
                "height_mm": height,
                "turned": spot.turned,
            }
        )
    return {
        "pieces": pieces,
        "pages": front_pages + len(plan.papers),
        "area_use": plan.area_use,
        "warnings": list(plan.warnings),
        "faults": [fault.text for fault in plan.faults],
        "files": list(files),
    }
