"""Many pieces at once: from a list's items to packed pages with an index, drawn page by page."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import Any, NamedTuple

from .band import TAB_MM, BandPlan, draw_band
from .blocks import NOTE_PT, captioned, line_pitch_mm, paragraph
from .disc import DiscPlan, draw_disc
from .disc_job import plan_discs, read_disc_job
from .drawing import Document, Drawing, Group, LazyPages, Page, Placed, Worked
from .errors import LayoutError, MarkingError
from .fonts import printable, wrap
from .index_sheet import IndexRow, PlacedId, draw_tag, page_map, put_index
from .job import plan_job
from .listing import Fault, Item
from .packing import Packing, Piece, pack
from .paper import Paper
from .part import RingPlan, draw_ring
from .reading import read_job, read_trim_job
from .sheet import NOTE_RISE_MM, Sheet, finished_page, header_height_mm
from .trim import TrimPlan, draw_trim_band

DEFAULT_TITLE = "Set of marking bands"
GAP_MM = 3.0
MAX_TITLE = 120

PARALLEL_FROM = 16
"""Fewest pages for which more processes are worth starting (our choice: starting them costs some 0.3 s)."""

MAP_SCALE = 0.16

CAPTION_GAP_MM = 1.2
"""Space between a piece and the words below it."""


class Part(NamedTuple):
    """One piece of a set: what it belongs to, its id as printed, the words below it, its size and how to draw it.

    `what` is a band with its cuts and the number of a piece, a trim band, a ring, a disc, or the lines of a tag.
    """

    item: Item
    name: str
    caption: str
    socket_line: str
    width_mm: float
    height_mm: float
    words_mm: float
    what: tuple[BandPlan, tuple[float, ...], int] | TrimPlan | RingPlan | DiscPlan | tuple[str, ...]

    @property
    def box_mm(self) -> tuple[float, float]:
        """Width and height with the caption, which takes `words_mm` below the drawing."""
        return self.width_mm, self.height_mm + self.words_mm


@dataclass(frozen=True)
class SetOptions:
    """How a set is printed: `paper` a whole sheet, corrected for the printer or not; `stock` and `printer` as texts."""

    paper: Paper
    title: str = ""
    stock: str | None = None
    printer: str | None = None
    tags: bool = False


class SetSpot(NamedTuple):
    """Where a part lies: `page` from 0 among the pages of pieces, its lower left corner, its place's name."""

    part: int
    page: int
    x: float
    y: float
    place: str


class SetPlan(NamedTuple):
    """A whole set as numbers: parts, where they lie, and what to say. `papers` holds a paper for every page.

    `area_use` is the share of the paper that pieces cover, the last page counted down to its lowest piece.
    """

    options: SetOptions
    parts: tuple[Part, ...]
    spots: tuple[SetSpot, ...]
    papers: tuple[Paper, ...]
    area_use: float
    warnings: tuple[str, ...]
    faults: tuple[Fault, ...]

    @property
    def header(self) -> tuple[str, ...]:
        """The lines at the top of every page."""
        return (printable(self.options.title, "title", MAX_TITLE) or DEFAULT_TITLE,)


def plan_set(items: Sequence[Item], options: SetOptions) -> SetPlan:
    """Return the numbers of a set: every part, packed on pages, the parts of one socket together.

    An item that cannot be planned becomes a fault and is left out. Raises LayoutError when nothing is left.
    """
    parts: list[Part] = []
    faults: list[Fault] = []
    warnings: dict[str, None] = {}
    for item in items:
        try:
            found = list(_parts(item, options, warnings))
            if options.tags:
                found.append(_tag(item))
            _check_sizes(found, options)
        except MarkingError as error:
            faults.append(Fault(item.file, item.row, "spec", " ".join(str(error).split())))
            continue
        parts += [part for part in found for _ in range(item.copies if part.caption else 1)]
    spots, papers, area_use = _packed(parts, options)
    return SetPlan(options, tuple(parts), spots, papers, area_use, tuple(warnings), tuple(faults))


def _parts(item: Item, options: SetOptions, warnings: dict[str, None]) -> Iterator[Part]:
    """Every piece that an item consists of."""
    common: dict[str, Any] = {
        "thread": item.thread, "stock": item.stock or options.stock, "printer": options.printer,
    }  # fmt: skip
    if item.kind == "disc":
        spec = {"thread": item.thread, "points": item.points, "printer": options.printer}
        discs = plan_discs(read_disc_job(item.spec, item.drive, **spec))  # type: ignore[arg-type]
        for number, disc in enumerate(discs.discs, 1):
            words = f"{item.drive} drive disc"
            drawn = draw_disc(disc)
            yield _part(item, number, len(discs.discs), discs.job.spec.printed, words, drawn, disc)
        return
    if item.points is None:
        raise LayoutError("the points of the socket are missing", "4, 6, 8 or 12", "fill in the column points")
    if item.kind == "trim band" or (item.od is None and item.around is None):
        trim = read_trim_job(item.spec, item.points, item.drive, opening=item.opening, **common)
        trims = [band for part in trim.parts for band in part.bands]
        warnings |= dict.fromkeys(f"{item.id}: {text}" for text in trim.warnings)
        for number, strip in enumerate(trims, 1):
            drawn, _ = draw_trim_band(strip)
            yield _part(item, number, len(trims), strip.spec_line, strip.socket_line, drawn, strip)
        return
    job = read_job(item.spec, item.points, item.drive, od=item.od, around=item.around, opening=item.opening, **common)
    plan = plan_job(job)
    warnings |= dict.fromkeys(f"{item.id}: {text}" for text in plan.warnings if "part ring" not in text)
    if item.kind == "ring":
        rings = [ring for ring in plan.rings if ring is not None]
        if not rings:
            raise LayoutError("the part ring is larger than the paper", "a smaller socket", "choose a larger --paper")
        for number, ring in enumerate(rings, 1):
            left, bottom, right, top = ring.box
            drawn = Drawing(right - left, top - bottom, Group("part-ring", ()))
            yield _part(item, number, len(rings), job.spec.printed, job.socket.printed(), drawn, ring)
        return
    pieces = [(band, cuts, k) for band, cuts in zip(plan.bands, plan.cuts, strict=True) for k in range(len(cuts) + 1)]
    for number, (band, cuts, k) in enumerate(pieces, 1):
        ends = [0.0, *cuts, band.length_mm]
        drawn = Drawing(ends[k + 1] - ends[k] + TAB_MM, band.height_mm, Group("band", ()))
        yield _part(item, number, len(pieces), band.spec_line, band.socket_line, drawn, (band, cuts, k))


def _part(item: Item, number: int, count: int, spec_line: str, socket_line: str, drawn: Drawing, what: Any) -> Part:
    name = item.id if count == 1 else f"{item.id} ({number} of {count})"
    title = [item.title] if item.title else []
    caption = " · ".join([name, *title, spec_line, socket_line])
    words_mm = line_pitch_mm(NOTE_PT) * len(wrap(caption, drawn.width_mm, NOTE_PT)) + CAPTION_GAP_MM
    return Part(item, name, caption, socket_line, drawn.width_mm, drawn.height_mm, words_mm, what)


def _tag(item: Item) -> Part:
    lines = (item.spec, *([item.title] if item.title else []), item.socket)
    tag = draw_tag(item.id, lines)
    return Part(item, f"{item.id} (tag)", "", item.socket, tag.width_mm, tag.height_mm, 0.0, lines)


@lru_cache(maxsize=64)
def _area(paper: Paper, title: str) -> tuple[float, float, float]:
    """Left edge, lower edge and height of the area for pieces below the header."""
    header = header_height_mm(paper, (printable(title, "title", MAX_TITLE) or DEFAULT_TITLE,))
    return paper.left_mm, paper.bottom_mm + NOTE_RISE_MM, paper.top_mm - header - paper.bottom_mm - NOTE_RISE_MM


def _check_sizes(parts: Sequence[Part], options: SetOptions) -> None:
    """Raise LayoutError for a part that fits neither the upright nor the wide paper."""
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
    """Pack on upright pages and, behind them, wide ones for what they do not hold; or all on wide ones if that is less.

    Two bands of 130 mm lie side by side on a wide A4 page, but not on an upright one.
    """
    if not parts:
        raise LayoutError("nothing is left to print", "at least one good row", "see the faults")
    upright, wide = options.paper, options.paper.wide
    choices = [_packed_on(parts, (upright, wide), options.title)]
    if wide != upright and all(_fits(part, wide, options.title) for part in parts):
        choices.append(_packed_on(parts, (wide,), options.title))
    return min(choices, key=lambda packed: len(packed.papers))


def _fits(part: Part, paper: Paper, title: str) -> bool:
    width, height = part.box_mm
    return width <= paper.content_width_mm and height <= _area(paper, title)[2]


def _packed_on(parts: Sequence[Part], choice: Sequence[Paper], title: str) -> _Packed:
    """Pack every part on pages of the first paper that holds it."""
    spots: list[SetSpot] = []
    papers: list[Paper] = []
    used = whole = 0.0
    left_over = list(range(len(parts)))
    for paper in choice:
        keys = [k for k in left_over if _fits(parts[k], paper, title)]
        held = set(keys)
        left_over = [k for k in left_over if k not in held]
        if not keys:
            continue
        left, bottom, height = _area(paper, title)
        pieces = [Piece(k, *parts[k].box_mm, parts[k].item.socket or parts[k].socket_line) for k in keys]
        packing: Packing = pack(pieces, paper.content_width_mm, height, GAP_MM)
        first = len(papers)
        spots += [SetSpot(s.key, first + s.page, left + s.x, bottom + s.y, s.place) for s in packing.spots]
        papers += [paper] * packing.pages
        area = sum(piece.width_mm * piece.height_mm for piece in pieces)
        used += area
        whole += area / packing.area_use
    return _Packed(tuple(spots), tuple(papers), used / whole)


def set_document(plan: SetPlan, jobs: int = 1, made: Callable[[int], None] | None = None) -> Document:
    """Return a set's pages: the index first, then the pieces, each page drawn only when it is written.

    `jobs` processes share the drawing when there are enough pages; the pages are the same for any number. `made` is
    called with the number of pages done after each page.
    """
    front = _index_pages(plan)
    count = len(front) + len(plan.papers)
    pages = SetPages(plan, front, count, jobs if len(plan.papers) >= PARALLEL_FROM else 1, made)
    return Document(pages, plan.header[0], f"{len(plan.parts)} pieces")


class SetPages(LazyPages):
    """The pages of a set, made one by one or by several processes ahead of the writer."""

    def __init__(
        self, plan: SetPlan, front: Sequence[Page], count: int, jobs: int, made: Callable[[int], None] | None
    ) -> None:
        super().__init__(count, self._make_page)
        self._plan, self._front, self._jobs, self._made = plan, front, jobs, made
        self._by_page: list[list[SetSpot]] = [[] for _ in plan.papers]
        for spot in plan.spots:
            self._by_page[spot.page].append(spot)

    def _make_page(self, index: int) -> Page:
        if index < len(self._front):
            return self._front[index]
        number = index - len(self._front)
        spots = self._by_page[number]
        parts = [self._plan.parts[spot.part] for spot in spots]
        return draw_page(self._plan.papers[number], self._plan.header, parts, spots, index + 1, len(self))

    def __iter__(self) -> Iterator[Page]:
        return (self._make_page(index) for index in range(len(self)))

    def worked(self, work: Callable[[Page], Worked]) -> Iterator[Worked]:
        """Yield `work(page)` for every page, drawn and worked on by other processes if that was asked for."""
        if self._jobs == 1:
            yield from self._counted(map(work, self))
            return
        with ProcessPoolExecutor(self._jobs) as pool:
            done = pool.map(partial(_drawn_and_worked, work), self._tasks(), chunksize=4)
            yield from self._counted(itertools.chain(map(work, self._front), done))

    def _tasks(self) -> Iterator[tuple[Any, ...]]:
        """The arguments of `draw_page` for every page of pieces."""
        for number, spots in enumerate(self._by_page):
            parts = [self._plan.parts[spot.part] for spot in spots]
            index = len(self._front) + number
            yield self._plan.papers[number], self._plan.header, parts, spots, index + 1, len(self)

    def _counted(self, pages: Iterable[Worked]) -> Iterator[Worked]:
        for number, page in enumerate(pages, 1):
            yield page
            if self._made is not None:
                self._made(number)


def _drawn_and_worked(work: Callable[[Page], Worked], task: tuple[Any, ...]) -> Worked:
    """Draw a page and work on it in another process, so that only the result has to travel."""
    return work(draw_page(*task))


def draw_page(
    paper: Paper, header: Sequence[str], parts: Sequence[Part], spots: Sequence[SetSpot], number: int, count: int
) -> Page:
    """Return one page of pieces; copies of one item share their drawing."""
    known: dict[str, tuple[Drawing, Drawing]] = {}
    placed = []
    for part, spot in zip(parts, spots, strict=True):
        shared = f"{part.item.row}-{part.name}" if part.item.copies > 1 and part.caption else ""
        drawn = known.get(shared) or (draw_part(part), paragraph(part.caption, part.width_mm, NOTE_PT))
        if shared:
            known[shared] = drawn
        placed.append(Placed(drawn[0], spot.x, spot.y + part.words_mm, shared))
        if part.caption:
            placed.append(Placed(drawn[1], spot.x, spot.y, shared and f"{shared}-words"))
    return finished_page(paper, placed, header, number, count)


def draw_part(part: Part) -> Drawing:
    """Return a part's drawing, its group marked with the item's id."""
    match part.what:
        case (BandPlan() as band, tuple() as cuts, int() as k):
            drawing = draw_band(band, cuts).pieces[k]
        case TrimPlan():
            drawing, _ = draw_trim_band(part.what)
        case RingPlan():
            drawing = draw_ring(part.what)
        case DiscPlan():
            drawing = draw_disc(part.what)
        case lines:
            return draw_tag(part.item.id, [str(line) for line in lines])
    content = drawing.content._replace(data=(*drawing.content.data, ("id", part.item.id)))
    return drawing._replace(content=content)


def _index_pages(plan: SetPlan) -> tuple[Page, ...]:
    """The index and, behind it, a small map of every page."""
    count = len(_index_sheet(plan, 0).pages())  # its length does not depend on the page numbers in it
    return _index_sheet(plan, count).pages(count + len(plan.papers))


def _index_sheet(plan: SetPlan, front: int) -> Sheet:
    """The index of pieces that lie behind `front` pages."""
    sheet = Sheet(plan.options.paper, plan.header)
    put_index(sheet, _index_rows(plan, front))
    sheet.new_row()
    by_page: list[list[PlacedId]] = [[] for _ in plan.papers]
    areas = [_area(paper, plan.options.title) for paper in plan.papers]
    for spot in plan.spots:
        part, (left, bottom, _) = plan.parts[spot.part], areas[spot.page]
        by_page[spot.page].append(PlacedId(part.name, spot.x - left, spot.y - bottom, *part.box_mm, spot.place))
    for number, (pieces, paper, area) in enumerate(zip(by_page, plan.papers, areas, strict=True), 1):
        small = page_map(paper.content_width_mm, area[2], pieces, MAP_SCALE)
        sheet.put(captioned(small, [f"page {front + number}"], 0.0))
    return sheet


def _index_rows(plan: SetPlan, offset: int) -> list[IndexRow]:
    """A row for each id and page: several copies on one page share a row."""
    found: dict[tuple[int, int], list[str]] = {}
    names: dict[tuple[str, int], tuple[int, int]] = {}
    for spot in plan.spots:
        part = plan.parts[spot.part]
        key = names.setdefault((f"{part.item.row}-{part.name}", spot.page), (spot.part, spot.page))
        found.setdefault(key, []).append(spot.place)
    rows = []
    for (number, page), places in sorted(found.items()):
        part = plan.parts[number]
        more = f" and {len(places) - 1} more" if len(places) > 1 else ""
        rows.append(IndexRow(part.name, part.item.spec, part.socket_line, offset + page + 1, f"{places[0]}{more}"))
    return rows


def set_data(plan: SetPlan, front_pages: int, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return a set as JSON-ready data: every piece with its page and place."""
    pieces = []
    for spot in plan.spots:
        part = plan.parts[spot.part]
        pieces.append(
            {
                "id": part.item.id,
                "name": part.name,
                "kind": part.item.kind if part.caption else "tag",
                "spec": part.item.spec,
                "socket": part.socket_line,
                "page": front_pages + spot.page + 1,
                "place": spot.place,
                "x_mm": spot.x,
                "y_mm": spot.y,
                "width_mm": part.box_mm[0],
                "height_mm": part.box_mm[1],
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
