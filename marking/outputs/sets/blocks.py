"""Lays the pieces of each socket after each other on strips across the page, as a person cuts: its label first.

A strip is cut off right across the page, then straight down between the sockets on it. It begins with what is left of
the socket that the strip before began; then come sockets that fit on it whole, and last the beginning of one more. Of
several heights of a strip the one is taken that wastes least.
"""

from __future__ import annotations

import math
import sys
from collections.abc import Iterator, Sequence
from itertools import chain
from typing import NamedTuple

from .packing import (
    AHEAD_PAGES,
    SLACK_MM,
    PackedSpot,
    Packing,
    Piece,
    Row,
    Way,
    area_mm2,
    filled,
    pack,
    row_names,
    ways_of,
)

HEIGHTS = 4
"""Most heights that are tried for a strip (tried: 6 save hardly a page and take half as long again)."""

MOST_NEAR = 24
"""Most sockets that a strip chooses from (tried: twice as many save 1 % of the pages and take twice the time)."""

MOST_HEADS = 8
"""Most sockets whose beginning may end a strip (tried, likewise)."""

LEAST_HEAD = 0.5
"""Least share of the rest of a strip that the beginning of a socket has to fill (our choice)."""


_Order = dict[tuple[float, float], list[tuple[int, Way]]]
"""Ways by width and height, each with its rank among all."""


class _Socket(NamedTuple):
    """The pieces of a socket that are still to be laid: which of them lead, and all their ways in order.

    The first of the orders prefers upright pieces, the second turned ones; those that lead stand first in both.
    """

    number: int
    lead: frozenset[int]
    orders: tuple[_Order, _Order]
    units: int
    mm2: float


class _Segment(NamedTuple):
    """What of a socket lies on a strip: its pieces from x = 0 on, their numbers, width and area."""

    socket: _Socket
    row: Row
    laid: set[int]
    wide: float
    mm2: float

    @property
    def whole(self) -> bool:
        return len(self.laid) == self.socket.units


class _Strip(NamedTuple):
    """A strip: pieces, the share of it that they use, the sockets laid whole, and the one that goes on below it."""

    row: Row
    use: float
    whole: list[int]
    going_on: _Socket | None


_Known = dict[int, dict[float, _Segment | None]]  # by socket and height: its segment if it is whole


def lay_out(
    pieces: Sequence[Piece], width_mm: float, height_mm: float, gap_mm: float = 3.0, tight: bool = False
) -> Packing:
    """Return where each piece lies on pages with an area of `width_mm` × `height_mm`, `gap_mm` between pieces.

    The pieces of a group follow each other on strips across the page, those that are `first` before the others. Packed
    `tight`, and where no group has several, every piece lies where it saves most stock, unless strips save more. The
    same input gives the same layout, in a time that grows as their number. Raises LayoutError for a piece that is
    larger than the area both upright and turned, or has no size.
    """
    groups: dict[str, list[int]] = {}
    for number, piece in enumerate(pieces):
        groups.setdefault(piece.group, []).append(number)
    if len(groups) == len(pieces):
        return pack(pieces, width_mm, height_mm, gap_mm, tight)
    if tight:  # strips with several large pieces may use more
        ways = pack(pieces, width_mm, height_mm, gap_mm, tight), lay_out(pieces, width_mm, height_mm, gap_mm)
        return max(ways, key=lambda packing: packing.area_use)
    width, height = width_mm + gap_mm + SLACK_MM, height_mm + gap_mm + SLACK_MM
    sockets = (_socket(k, group, pieces, width, height, gap_mm) for k, group in enumerate(groups.values()))
    spots, page, top = list[PackedSpot](), -1, 0.0
    for page, rows in enumerate(_pages(sockets, width, height)):
        top = height_mm + gap_mm
        for letters, row in zip(row_names(), rows, strict=False):
            for count, (x, depth, (number, _, high, turned)) in enumerate(sorted(row), 1):
                place = sys.intern(f"{letters}{count}")
                spots.append(PackedSpot(pieces[number].key, page, x, top - depth - high, place, turned))
            top -= _high(row)
    used = math.fsum(piece.width_mm * piece.height_mm for piece in pieces)
    return Packing(tuple(spots), page + 1, used / (width_mm * ((page + 1) * height_mm - top)))


def _socket(
    number: int, group: Sequence[int], pieces: Sequence[Piece], width: float, height: float, gap: float
) -> _Socket:
    ways = {n: ways_of(n, pieces[n], width, height, gap) for n in group}
    lead = frozenset(n for n in group if pieces[n].first)
    first = [way for n in group if n in lead for way in ways[n]]
    rest = [way for n in group if n not in lead for way in ways[n]]
    rest.sort(key=lambda way: (-way.height, -way.width))
    upright, turned = (
        sorted([*first, *rest], key=lambda way: (way.number not in lead, way.turned is not shape))
        for shape in (False, True)
    )
    return _Socket(number, lead, (_by_size(upright), _by_size(turned)), len(ways), area_mm2([*ways.values()]))


def _pages(coming: Iterator[_Socket], width: float, height: float) -> Iterator[list[Row]]:
    """Yield the strips of each page."""
    near: list[_Socket] = []
    going_on: _Socket | None = None
    known: _Known = {}
    _refill(near, coming, width * height)
    while near or going_on:
        rows: list[Row] = []
        room = height
        while near or going_on:
            strip = _next_strip(going_on, near, not rows, width, room, known)
            if strip is None:
                break
            going_on = strip.going_on
            laid = {*strip.whole, *([going_on.number] if going_on else [])}
            near[:] = [socket for socket in near if socket.number not in laid]
            for number in laid:
                known.pop(number, None)
            _refill(near, coming, width * height)
            rows.append(strip.row)
            room -= _high(strip.row)
        yield rows


def _refill(near: list[_Socket], coming: Iterator[_Socket], page_mm2: float) -> None:
    """Add the sockets that come next, until there are somewhat more than a page holds."""
    mm2 = math.fsum(socket.mm2 for socket in near)
    while mm2 <= AHEAD_PAGES * page_mm2 and len(near) < MOST_NEAR:
        socket = next(coming, None)
        if socket is None:
            return
        near.append(socket)
        mm2 += socket.mm2


def _next_strip(
    going_on: _Socket | None, near: Sequence[_Socket], at_top: bool, width: float, room: float, known: _Known
) -> _Strip | None:
    """The next strip of a page with so much room; None when nothing fits on it any more.

    Every page begins with the socket that waits longest: none waits for ever.
    """
    oldest = near[0] if near and at_top else None
    strip = _best(going_on or oldest, near, width, room, known)
    if strip is None and going_on is not None:  # nothing more of it fits here; others may, if whole
        strip = _best(None, near, width, room, known, heads=False)
        return strip and strip._replace(going_on=going_on)
    return strip


def _high(row: Row) -> float:
    return max(depth + way.height for _, depth, way in row)


def _best(
    first: _Socket | None, near: Sequence[_Socket], width: float, room: float, known: _Known, heads: bool = True
) -> _Strip | None:
    """The strip that wastes least, of some of the heights that what opens it has."""
    openers = [first] if first else near
    heights = sorted({high for socket in openers for _, high in socket.orders[0] if high <= room})
    last, most = len(heights) - 1, min(HEIGHTS, len(heights)) - 1
    some = [heights[round(k * last / most)] for k in range(most + 1)] if most > 0 else heights
    strips = (_strip(first, near, width, high, known, heads) for high in some)
    return max((strip for strip in strips if strip), key=lambda strip: strip.use, default=None)


def _strip(
    first: _Socket | None, near: Sequence[_Socket], width: float, high: float, known: _Known, heads: bool
) -> _Strip | None:
    """The strip of a height that begins with a socket, if one is given."""
    segments: list[_Segment] = []
    whole: list[int] = []
    x = 0.0
    if first is not None:
        segment = _segment(first, width, high)
        if segment is None:
            return None
        segments, x = [segment], segment.wide
        whole += [first.number] if segment.whole else []
    if not segments or segments[0].whole:
        others = [socket for socket in near if socket is not first]
        fitting = [(socket.number, ready) for socket in others if (ready := _whole(socket, width, high, known))]
        for number, ready in sorted(fitting, key=lambda entry: -entry[1].mm2 / entry[1].wide):
            if ready.wide <= width - x:
                segments.append(ready)
                whole.append(number)
                x += ready.wide
        others = [socket for socket in others[:MOST_HEADS] if heads and socket.number not in whole]
        begun = (_segment(socket, width - x, high) for socket in others)
        head = max((one for one in begun if one), key=lambda one: one.mm2, default=None)
        if head is not None and not head.whole and head.mm2 >= LEAST_HEAD * (width - x) * high:
            segments.append(head)
    row: Row = []
    x = 0.0
    for segment in segments:
        row += [(x + dx, depth, way) for dx, depth, way in segment.row]
        x += segment.wide
    use = math.fsum(segment.mm2 for segment in segments) / (width * _high(row)) if row else 0.0
    return _Strip(row, use, whole, None if segments[-1].whole else _rest(segments[-1])) if row else None


def _whole(socket: _Socket, width: float, high: float, known: _Known) -> _Segment | None:
    """A whole socket on a strip of a height, if it is no wider than the page."""
    own = known.setdefault(socket.number, {})
    if high not in own:
        found = _segment(socket, width, high) if socket.mm2 <= width * high else None
        own[high] = found if found and found.whole else None
    return own[high]


def _segment(socket: _Socket, width: float, high: float) -> _Segment | None:
    """What of a socket fits on a strip, best whole and narrow, else as much as goes; None when nothing does.

    Nothing fits that does not hold all that leads the socket.
    """
    found = []
    for order in socket.orders:
        row = filled(_enough(order, width * high), width, high, set())
        laid = {way.number for _, _, way in row}
        if row and socket.lead <= laid:
            wide, mm2 = max(x + way.width for x, _, way in row), area_mm2([[way] for _, _, way in row])
            found.append(_Segment(socket, row, laid, wide, mm2))
    return max(found, key=lambda one: (one.whole, one.mm2 / one.wide if one.whole else one.mm2), default=None)


def _by_size(ways: Sequence[Way]) -> _Order:
    found: _Order = {}
    for rank, way in enumerate(ways):
        found.setdefault((way.width, way.height), []).append((rank, way))
    return found


def _enough(order: _Order, mm2: float) -> list[Way]:
    """As many ways of each size as may ever be tried on an area: of many copies most need not be looked at.

    Twice what it holds, as each of them may lie there in its other way.
    """
    first = (ways[: int(2 * mm2 / (width * height)) + 1] for (width, height), ways in order.items())
    return [way for _, way in sorted(chain.from_iterable(first))]


def _rest(segment: _Segment) -> _Socket:
    """What is left of a socket that does not lie on a strip as a whole."""
    socket, laid = segment.socket, segment.laid
    upright, turned = (
        {size: left for size, ways in order.items() if (left := [each for each in ways if each[1].number not in laid])}
        for order in socket.orders
    )
    return _Socket(socket.number, frozenset(), (upright, turned), socket.units - len(laid), socket.mm2 - segment.mm2)
