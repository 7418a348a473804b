"""What stands before the pieces of a set: the index, with notes and a small map of every page."""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import groupby
from typing import Any, NamedTuple

from ...drawing.fonts import printable
from ...drawing.primitives import Drawing
from ...remarks import Remark
from ...sheets.blocks import captioned, listed, paragraph
from ...sheets.furniture import NOTE_RISE_MM, header_height_mm
from ...sheets.paper import Paper
from ...sheets.parts import MAX_TITLE
from ...sheets.sheet import GAP_MM
from ...sheets.words import CAUTIONS, turns_to_tick
from . import words
from .index import INDEX_PT, TWO_COLUMNS_FROM_MM, IndexLayout, IndexRow, page_map, plan_index
from .pieces import SetPart, SetSpot, socket_words, spec_of
from .request import DEFAULT_TITLE, SetOptions

MAP_SCALES = 0.16, 0.13
"""Scale of the maps, and the smaller one that is taken where it saves a page with hardly a map on it (our choice)."""

FEW_MAPS = 2
"""So many maps alone on the last page of an index are too few for it."""


class IndexRows(Sequence[IndexRow]):
    """A row for each piece with all its places, in the order of the list, made when it is asked for.

    Pages are those of pieces, from 1.
    """

    def __init__(self, parts: Sequence[SetPart], spots: Sequence[SetSpot]) -> None:
        self._parts, self._places = parts, Places(parts, spots)

    def __len__(self) -> int:
        return len(self._places.firsts)

    def __getitem__(self, index: Any) -> Any:
        number = self._places.firsts[index]
        part = self._parts[number]
        spec = spec_of(part.item)
        socket = part.item.socket or " · ".join(socket_words(part.item))
        return IndexRow(
            part.name, spec.read_as, socket, part.size or part.socket_line, self._places.of(index), not spec.clockwise
        )


class Front(NamedTuple):
    """The pages before those of pieces: the index's rows, the notes behind them, and how both lie; None for no index.

    `sockets` tells for every page of pieces which sockets of the register lie where, `ruler` whether a tape begins with
    a ruler, `map_scale` how small its maps are.
    """

    rows: IndexRows
    notes: list[Drawing]
    layout: IndexLayout | None
    sockets: list[str]
    ruler: bool = False
    map_scale: float = MAP_SCALES[0]

    @property
    def pages(self) -> int:
        """How many pages stand before those of pieces."""
        return self.layout.pages if self.layout else int(self.ruler)


def plan_front(
    parts: Sequence[SetPart], spots: Sequence[SetSpot], papers: Sequence[Paper], options: SetOptions,
    notes: Sequence[Remark],
) -> Front:  # fmt: skip
    """Return what stands before the pieces of a set: nothing before those of a single item."""
    several = len({part.item.id for part in parts}) > 1
    if options.label_stock or not options.index or not (several or notes):
        return Front(IndexRows((), ()), [], None, [], options.ruler and options.tape is not None)
    rows = IndexRows(parts, spots)
    width = options.paper.content_width_mm
    said = [paragraph(str(note), width, INDEX_PT) for note in notes]
    half = (width - GAP_MM) / 2 if width >= TWO_COLUMNS_FROM_MM else width
    said.append(listed(words.HOW_TO, steps_for(parts), half, True, INDEX_PT))
    said.append(listed(words.CAUTIONS_HEAD, CAUTIONS, half, False, INDEX_PT))
    own = [(drawing.width_mm, drawing.height_mm) for drawing in said]
    sockets = _sockets_on(parts, spots, len(papers))
    found: list[Front] = []
    for scale in MAP_SCALES:
        maps = [_map_size(paper, options.title, words, scale) for paper, words in zip(papers, sockets, strict=True)]
        layout = plan_index(options.paper, header_of(options), rows, [*own, *maps])
        found.append(Front(rows, said, layout, sockets, map_scale=scale))
        if layout.pages == 1 or layout.rows[-1] or len(layout.maps[-1]) > FEW_MAPS:
            break
    return min(found, key=lambda front: front.pages)


def _sockets_on(parts: Sequence[SetPart], spots: Sequence[SetSpot], pages: int) -> list[str]:
    """Which sockets of the register lie in which rows of each page: "A–C S13, S16 · D S19"."""
    rows: list[dict[str, dict[str, None]]] = [{} for _ in range(pages)]
    for spot in spots:
        own = rows[spot.page].setdefault(spot.place.rstrip("0123456789"), {})
        if socket := parts[spot.part].item.socket:
            own[socket] = None
    return list(map(_said_once, rows))


def _said_once(page: dict[str, dict[str, None]]) -> str:
    """The sockets on the rows of a page, once for rows that follow each other with the same ones."""
    said = []
    for sockets, run in groupby(page, lambda row: [*page[row]]):
        first, *others = run
        said += [f"{'–'.join([first, *others[-1:]])} {', '.join(sockets)}"] if sockets else []
    return " · ".join(said)


def steps_for(parts: Sequence[SetPart]) -> list[str]:
    """Return how to use some pieces."""
    pieces = [part for part in parts if part.number]
    items = {id(part.item): part.item for part in pieces}.values()  # copies are many parts
    specs = {spec_of(item) for item in items}
    later = [(spec, number) for spec in specs for number in range(2, len(spec.stages) + 1)]
    asked = {
        "glued": any(part.glued for part in pieces),
        "by_stage": any(part.by_stage for part in pieces),
        "pointers": any(item.fasteners for item in items),
        "right": any(spec.clockwise for spec in specs),
        "left": not all(spec.clockwise for spec in specs),
        "full_turns": any(turns_to_tick(stage) for spec in specs for stage in spec.stages),
        "anew": any(spec.marked_anew(number) for spec, number in later),
        "from_snug": any(not spec.marked_anew(number) for spec, number in later),
    }
    return words.steps({item.kind for item in items}, {name for name, wanted in asked.items() if wanted})


def header_of(options: SetOptions) -> tuple[str, ...]:
    """Return the lines at the top of every page."""
    return (printable(options.title, "title", MAX_TITLE) or DEFAULT_TITLE,)


@lru_cache(maxsize=64)
def piece_area(paper: Paper, title: str) -> tuple[float, float, float]:
    """Left edge, lower edge and height of the area for pieces below the header."""
    header = header_height_mm(paper, (printable(title, "title", MAX_TITLE) or DEFAULT_TITLE,))
    return paper.left_mm, paper.bottom_mm + NOTE_RISE_MM, paper.top_mm - header - paper.bottom_mm - NOTE_RISE_MM


def _map_size(paper: Paper, title: str, sockets: str, scale: float) -> tuple[float, float]:
    """Width and height in mm of a page's map with its captions."""
    empty = page_map(paper.content_width_mm, piece_area(paper, title)[2], [], scale)
    return captioned(empty, ["page 1", sockets], 0.0)[:2]


class Places:
    """Where every piece lies; copies of an item are one piece, tags are none. `firsts` are the pieces' first parts.

    Kept as numbers alone: of a hundred thousand pieces few are asked for at a time.
    """

    def __init__(self, parts: Sequence[SetPart], spots: Sequence[SetSpot]) -> None:
        self._spots = spots
        first = array("L")  # of each part: the first one of its piece; copies are one part, one behind the other
        for number, part in enumerate(parts):
            first.append(first[-1] if number and part is parts[number - 1] else number)
        lying = (at for at, spot in enumerate(spots) if parts[spot.part].number)
        self._lying = array("L", sorted(lying, key=lambda at: first[spots[at].part]))
        self.firsts, self._ends = array("L"), array("L", [0])
        for number, of_piece in groupby(self._lying, lambda at: first[spots[at].part]):
            self.firsts.append(number)
            self._ends.append(self._ends[-1] + sum(1 for _ in of_piece))

    def of(self, index: int) -> tuple[tuple[int, str], ...]:
        """Return pages, counted from 1 among those of pieces, and the places there, of a piece by its number here."""
        own = self._lying[self._ends[index] : self._ends[index + 1]]
        on_pages = groupby(own, lambda at: self._spots[at].page)
        return tuple((page + 1, _runs(on_page, self._spots)) for page, on_page in on_pages)


def _runs(numbers: Iterable[int], spots: Sequence[SetSpot]) -> str:
    """Places on a page, those that follow each other by the first and the last: "A1–A4, B2"."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(
        ", ".join(spots[n].place for n in run) if len(run) < 3 else f"{spots[run[0]].place}–{spots[run[-1]].place}"
        for run in runs
    )
