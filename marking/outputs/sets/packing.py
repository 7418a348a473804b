"""Packs rectangular pieces on pages in rows, each of which full-width straight cuts free from the page.

A row is as high as the piece that opens it; the rest beside that piece is filled again and again with the highest piece
that fits, which leaves a rest below itself and one beside itself. Of a few such rows the least wasteful is taken.
A page takes first what the page before left, then from groups to come in their order, no more than the next can hold.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from ...errors import LayoutError

SLACK_MM = 1e-9
"""What rounding may add to a height or width that just fits."""

LOOK_AHEAD = (1.4, 1.1, 0.8, 0.0)
"""Area, in pages, of the pieces that a page chooses from, in turn until the next page holds all that this one leaves
(measured). The last takes what the page before left, and then group by group, so that less than one is left."""

LARGEST_BATCH = 0.5
"""A group larger than this many pages is placed in several batches (our choice)."""

CHOICE = 60
"""Pieces in reach at which no further groups are looked at yet: keeps pages of many tiny pieces quick (our choice)."""

TRIES = 8
"""Rows compared: opened by pieces of different heights (measured)."""


class Piece(NamedTuple):
    """A rectangle to place, upright as it is; pieces of one `group` belong to one socket."""

    key: int
    width_mm: float
    height_mm: float
    group: str


class PackedSpot(NamedTuple):
    """Where a piece lies: page from 0, lower left corner in mm from that of the area, place such as "A3".

    The letter is the row from the top; the number counts from the left, downwards where pieces are stacked in a row.
    The corner is that of the box as it lies: one `turned` by a quarter is as wide as the piece is high.
    """

    key: int
    page: int
    x: float
    y: float
    place: str
    turned: bool = False


class Packing(NamedTuple):
    """All pieces in the order of pages and places.

    `area_use` is the pieces' share of the area used: full pages, and the last one down to its lowest piece.
    """

    spots: tuple[PackedSpot, ...]
    pages: int
    area_use: float


class _Way(NamedTuple):
    """One of the two ways in which a piece can lie, with its sizes on the page, a gap at two sides included."""

    number: int
    width_mm: float
    height_mm: float
    turned: bool

    @property
    def mm2(self) -> float:
        return self.width_mm * self.height_mm


def _highest_first(way: _Way) -> tuple[float, bool, float, int]:
    return -way.height_mm, way.turned, -way.width_mm, way.number


class _Area(NamedTuple):
    """What a page offers, gaps at its right and lower edge included."""

    width_mm: float
    height_mm: float

    @property
    def mm2(self) -> float:
        return self.width_mm * self.height_mm


class _Laid(NamedTuple):
    """A piece in a row: x of its left edge, and how far its upper edge is below that of the row."""

    x: float
    depth: float
    way: _Way


class _Page(NamedTuple):
    """The rows of a page, how many batches are begun with it, and what it leaves to the next."""

    rows: list[list[_Laid]]
    begun: int
    left: list[_Way]


def pack(pieces: Sequence[Piece], width_mm: float, height_mm: float, gap_mm: float = 3.0) -> Packing:
    """Return where each piece lies on pages with an area of `width_mm` × `height_mm`, `gap_mm` between pieces.

    Pieces are turned by a quarter where that saves stock. The same input gives the same packing; the run time grows as
    the number of pieces. A group lies on one page or on two that follow each other; one that is larger than half a page
    is spread in parts of which each does. Three squares of 59 mm make one row of an area 183 mm wide:
    3 · 59 + 2 · 3 = 183.
    Raises LayoutError for a piece that is larger than the area both upright and turned, or has no size.
    """
    area = _Area(width_mm + gap_mm, height_mm + gap_mm)
    batches, begun, left = _batches(pieces, area, gap_mm), 0, list[_Way]()
    spots: list[PackedSpot] = []
    page, top = 0, height_mm
    while begun < len(batches) or left:
        rows, begun, left = _sound_page(left, batches, begun, area)
        top = height_mm
        for number, row in enumerate(rows):
            for count, (x, depth, way) in enumerate(sorted(row), 1):
                y, place = top - depth - way.height_mm + gap_mm, f"{_letters(number)}{count}"
                spots.append(PackedSpot(pieces[way.number].key, page, x, y, place, way.turned))
            top -= row[0].way.height_mm
        page += 1
    used = math.fsum(piece.width_mm * piece.height_mm for piece in pieces)
    depth = page * height_mm - (top + gap_mm)  # of all pages, the last one down to its lowest piece
    return Packing(tuple(spots), page, used / (width_mm * depth) if page else 0.0)


def _batches(pieces: Sequence[Piece], area: _Area, gap_mm: float) -> list[list[_Way]]:
    """Return how the pieces can lie by group, in the order in which the groups first appear; large ones in parts."""
    groups: dict[str, list[int]] = defaultdict(list)
    for number, piece in enumerate(pieces):
        groups[piece.group].append(number)
    batches: list[list[_Way]] = []
    for numbers in groups.values():
        room = 0.0
        for number in numbers:
            ways = _ways(number, pieces[number], area, gap_mm)
            room -= ways[0].mm2
            if room < 0:
                batches.append([])
                room = LARGEST_BATCH * area.mm2 - ways[0].mm2
            batches[-1] += ways
    return batches


def _ways(number: int, piece: Piece, area: _Area, gap_mm: float) -> list[_Way]:
    """Return the ways to lie that fit on a page. Raises LayoutError when none does."""
    width, height = piece.width_mm + gap_mm, piece.height_mm + gap_mm
    ways = [_Way(number, width, height, False), _Way(number, height, width, True)][: 1 + (width != height)]
    most = area.width_mm + SLACK_MM, area.height_mm + SLACK_MM
    ways = [way for way in ways if gap_mm < way.width_mm <= most[0] and gap_mm < way.height_mm <= most[1]]
    if not ways:
        raise LayoutError(
            f"a part of {piece.width_mm:.4g} × {piece.height_mm:.4g} mm does not fit on the page",
            f"at most {area.width_mm - gap_mm:.4g} × {area.height_mm - gap_mm:.4g} mm",
            "choose a larger {@paper}", piece, "paper",
        )  # fmt: skip
    return ways


def _mm2(ways: Sequence[_Way]) -> float:
    """Return the area of pieces, each counted once however many of its ways are given."""
    return math.fsum({way.number: way.mm2 for way in ways}.values())


def _sound_page(left: list[_Way], batches: Sequence[list[_Way]], begun: int, area: _Area) -> _Page:
    """Return a page that holds all that was left to it and leaves no more than the next one holds."""
    waiting = {way.number for way in left}
    for pages in LOOK_AHEAD:
        page = _page(left, batches, begun, pages * area.mm2, area)
        if waiting.isdisjoint(way.number for way in page.left) and not _page(page.left, (), 0, 0.0, area).left:
            break
    return page


def _page(left: list[_Way], batches: Sequence[list[_Way]], begun: int, ahead_mm2: float, area: _Area) -> _Page:
    """Return a page of what the one before left and of batches to come, of `ahead_mm2` together."""
    first, later, rows = left, list[_Way](), list[list[_Laid]]()
    room, ahead = area.height_mm, ahead_mm2 - _mm2(left)
    while True:
        while begun < len(batches):
            taken = _mm2(batches[begun])
            if first + later and (taken > ahead or len(later) >= 2 * CHOICE):
                break
            later = sorted(later + batches[begun], key=_highest_first)
            ahead -= taken
            begun += 1
        row = _best_row(first, later, _Area(area.width_mm, room))
        if not row:
            return _Page(rows, begun, sorted(first + later, key=_highest_first))
        rows.append(row)
        room -= row[0].way.height_mm
        placed = {laid.way.number for laid in row}
        first, later = ([way for way in ways if way.number not in placed] for ways in (first, later))


def _best_row(first: Sequence[_Way], later: Sequence[_Way], room: _Area) -> list[_Laid]:
    """Return the row that wastes least of the page, opened by and filled with what comes `first` if that fits.

    A row costs its height, or all that is left of the page when nothing would fit below it.
    """
    first, later = ([way for way in ways if way.height_mm <= room.height_mm + SLACK_MM] for ways in (first, later))
    ways = [*first, *later]
    least = min((way.height_mm for way in ways), default=0.0)
    narrowest = min((min(way.width_mm, way.height_mm) for way in ways), default=0.0)
    best, best_use = list[_Laid](), 0.0
    openers = list({way[1:]: way for way in reversed(first or later)}.values())[::-1]  # of equal ones the first
    for opener in openers[:: -(-len(openers) // TRIES) or 1]:
        row = list(_filled([opener, *ways], set(), 0.0, 0.0, room.width_mm, opener.height_mm, narrowest))
        cost = opener.height_mm if opener.height_mm + least <= room.height_mm + SLACK_MM else room.height_mm
        use = _mm2([laid.way for laid in row]) / cost
        if use > best_use * (1 + SLACK_MM):
            best, best_use = row, use
    return best


def _filled(
    ways: Sequence[_Way],
    used: set[int],
    x: float,
    depth: float,
    width_mm: float,
    height_mm: float,
    least_mm: float,
    begin: int = 0,
) -> Iterator[_Laid]:
    """Yield what fills a rectangle: the first way that fits at its upper left, then the rest below it and beside it.

    What did not fit into a rectangle does not fit into its rests: they `begin` behind it. No way is lower or narrower
    than `least_mm`.
    """
    if min(width_mm, height_mm) + SLACK_MM < least_mm:
        return
    for k in range(begin, len(ways)):
        number, width, height, _ = ways[k]
        if width <= width_mm + SLACK_MM and height <= height_mm + SLACK_MM and number not in used:
            used.add(number)
            yield _Laid(x, depth, ways[k])
            yield from _filled(ways, used, x, depth + height, width, height_mm - height, least_mm, k + 1)
            yield from _filled(ways, used, x + width, depth, width_mm - width, height_mm, least_mm, k + 1)
            return


def _letters(row: int) -> str:
    """Return A to Z for rows 0 to 25, then AA, AB, …."""
    return (_letters(row // 26 - 1) if row >= 26 else "") + chr(ord("A") + row % 26)
