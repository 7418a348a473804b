"""Packs rectangular pieces on pages in rows, each of which full-width straight cuts free from the page.

A row is as high as the piece that opens it. Beside it go all that fit, the highest first, and below each of them again.
Of two rows, one that prefers upright pieces and one that prefers turned ones, the denser is taken. A page chooses from
what the page before left, which goes first, and from the next groups in order.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator, Sequence
from itertools import chain
from typing import NamedTuple

from ...errors import LayoutError

SLACK_MM = 1e-9  # what rounding may add to a height or width that just fits
AHEAD_PAGES = 1.3  # area of what a page chooses from (measured: 1.0 costs 2 % more pages, 1.5 saves 1 %)
TIGHT_AHEAD_PAGES, TIGHT_GAIN = 2.0, 1.0  # saves 3 % of the pages and takes twice the time
TURNED_GAIN = 1.2  # how much denser a row must be that prefers turned pieces: they read less well (our choice)


class Piece(NamedTuple):
    """A rectangle to place, upright as it is; pieces of one `group` belong to one socket, its `first` ones lead it."""

    key: int
    width_mm: float
    height_mm: float
    group: str
    first: bool = False


class PackedSpot(NamedTuple):
    """Where a piece lies: page from 0, lower left corner in mm from that of the area, place such as "A3".

    The letter is the row from the top, the number counts from the left and downwards. `turned` means by a quarter.
    """

    key: int
    page: int
    x: float
    y: float
    place: str
    turned: bool = False


class Packing(NamedTuple):
    """All pieces in order of page and place; the pieces' share of all pages' area, the last down to its lowest one."""

    spots: tuple[PackedSpot, ...]
    pages: int
    area_use: float


class Way(NamedTuple):
    """One of the two ways in which piece `number` can lie, with its sizes on the page, a gap at two sides included."""

    number: int
    width: float
    height: float
    turned: bool


Ways = list[Way]  # those of one piece
Row = list[tuple[float, float, Way]]  # x of its left edge, its upper edge below the row's; the first opens the row


def pack(
    pieces: Sequence[Piece], width_mm: float, height_mm: float, gap_mm: float = 3.0, tight: bool = False
) -> Packing:
    """Return where each piece lies on pages with an area of `width_mm` × `height_mm`, `gap_mm` between pieces.

    Pieces are turned where that saves stock, packed `tight` however little it saves. The same input gives the same
    packing, in a time that grows as their number. A group lies on one page or on two that follow each other, one larger
    than half a page in parts that do. Raises LayoutError for a piece that is larger than the area both upright and
    turned, or has no size.
    """
    spots, page, top = list[PackedSpot](), -1, 0.0
    width, height = width_mm + gap_mm + SLACK_MM, height_mm + gap_mm + SLACK_MM
    for page, rows in enumerate(_pages(pieces, width, height, gap_mm, tight)):
        top = height_mm + gap_mm
        for letters, row in zip(row_names(), rows, strict=False):
            for count, (x, depth, (number, _, height, turned)) in enumerate(sorted(row), 1):
                place = sys.intern(f"{letters}{count}")
                spots.append(PackedSpot(pieces[number].key, page, x, top - depth - height, place, turned))
            top -= row[0][2].height
    used = math.fsum(piece.width_mm * piece.height_mm for piece in pieces)
    return Packing(tuple(spots), page + 1, used / (width_mm * ((page + 1) * height_mm - top)) if spots else 0.0)


def ways_of(number: int, piece: Piece, most_width: float, most_height: float, gap: float) -> Ways:
    """Return the ways in which a piece can lie on a page. Raises LayoutError for one larger than the page."""
    width, height = piece.width_mm + gap, piece.height_mm + gap
    ways = [Way(number, width, height, False), Way(number, height, width, True)][: 1 + (width != height)]
    if ways := [way for way in ways if gap < way.width <= most_width and gap < way.height <= most_height]:
        return ways
    what = f"a part of {piece.width_mm:.4g} × {piece.height_mm:.4g} mm does not fit on the page"
    most = f"at most {most_width - gap:.4g} × {most_height - gap:.4g} mm"
    raise LayoutError(what, most, "choose a larger {@paper}", piece, "paper")


def area_mm2(pieces: Sequence[Ways]) -> float:
    """Return what pieces take, their gaps included."""
    return math.fsum(ways[0].width * ways[0].height for ways in pieces)


def _pages(
    pieces: Sequence[Piece], width: float, height: float, gap: float, tight: bool = False
) -> Iterator[list[Row]]:
    """Yield the rows of each page, with so many groups that the next page holds what this one leaves."""
    batches = _batches(pieces, width * height / 2, gap)
    ahead_pages, gain = (TIGHT_AHEAD_PAGES, TIGHT_GAIN) if tight else (AHEAD_PAGES, TURNED_GAIN)
    begun, first = 0, list[Ways]()
    while first or begun < len(batches):
        near, ahead = list[list[Ways]](), ahead_pages * width * height - area_mm2(first)
        while begun + len(near) < len(batches) and ahead > 0:
            near.append([ways_of(n, pieces[n], width, height, gap) for n in batches[begun + len(near)]])
            ahead -= area_mm2(near[-1])
        for end in range(len(near), -bool(first), -1):
            rows, left = _page(first, list(chain(*near[:end])), width, height, gain)
            more = begun + end < len(batches)
            if not left or (more and left[0] not in first and not _page(left, [], width, height, gain)[1]):
                break  # the last page holds a whole group, not only what was left
        yield rows
        begun, first = begun + end, left


def _batches(pieces: Sequence[Piece], most_mm2: float, gap: float) -> list[list[int]]:
    """The numbers of pieces, group by group, a large group in parts of up to an area."""
    groups: dict[str, list[list[int]]] = {}
    used: dict[str, float] = {}
    for number, piece in enumerate(pieces):
        parts = groups.setdefault(piece.group, [[]])
        mm2 = (piece.width_mm + gap) * (piece.height_mm + gap)
        used[piece.group] = used.get(piece.group, 0.0) + mm2
        if parts[-1] and used[piece.group] > most_mm2:
            parts.append([])
            used[piece.group] = mm2
        parts[-1].append(number)
    return list(chain(*groups.values()))


def _page(
    first: list[Ways], later: list[Ways], width: float, height: float, gain: float
) -> tuple[list[Row], list[Ways]]:
    """Return the rows of a page, and what it leaves; what comes `first` is placed before the rest."""
    rows, used, ahead = list[Row](), set[int](), {ways[0].number for ways in first}
    ways = sorted(chain(*first, *later), key=lambda way: (-way.height, -way.width))
    while ways := [way for way in ways if way.height <= height and way.number not in used]:
        upright = sorted(ways, key=lambda way: (way.number not in ahead, way.turned))
        turned = sorted(ways, key=lambda way: (way.number not in ahead, not way.turned))
        tries = [filled(order, width, order[0].height, set()) for order in (upright, turned)]
        use, use_turned = (area_mm2([[way] for _, _, way in row]) / row[0][2].height for row in tries)
        rows.append(tries[use_turned > gain * use])
        height -= rows[-1][0][2].height
        used |= {way.number for _, _, way in rows[-1]}
    return rows, [ways for ways in first + later if ways[0].number not in used]


def filled(ways: list[Way], width: float, height: float, used: set[int], x: float = 0, depth: float = 0) -> Row:
    """Return what fills a rectangle: from its left all ways that fit, and what fits below each of them."""
    laid: Row = []
    for count, way in enumerate(ways, 1):
        number, wide, high, _ = way
        if wide <= width and high <= height and number not in used:
            used.add(number)
            laid += [(x, depth, way), *filled(ways[count:], wide, height - high, used, x, depth + high)]
            x, width = x + wide, width - wide
    return laid


def row_names() -> Iterator[str]:
    """Yield the names of a page's rows: A to Z, then AA, AB, …"""
    for first in chain([""], row_names()):
        yield from (first + chr(ord("A") + k) for k in range(26))
