"""Where the fasteners of a part stand, and in which order one tightens them when the manual gives none.

Seen from the drive end, x to the right and y up, round the middle of the pattern. Positions are numbered from 1: on a
circle clockwise from the top, on rows from left to right, the top row first.

Both orders are common practice, no published source. The manual's order comes before them.
"""

from __future__ import annotations

import math

from ...errors import RangeError, within
from ...quantities.angles import Point, polar

MAX_FASTENERS = 200

MAX_ROWS = 6

MAX_IN_ROW = 30
"""Limits of our own choosing: what a plan on one page can number legibly."""

DEFAULT_ROWS = 2
"""As on a cylinder head (our choice)."""


def circle_places(count: int) -> tuple[Point, ...]:
    """Return where each position stands on a circle of radius 1; one fastener alone stands in the middle.

    Of 4, position 2 stands at (1, 0). Raises RangeError for a count outside 1 .. 200.
    """
    _check_count(count)
    if count == 1:
        return ((0.0, 0.0),)
    return tuple(polar(1.0, 90.0 - 360.0 * k / count) for k in range(count))


def row_places(count: int, rows: int = DEFAULT_ROWS) -> tuple[Point, ...]:
    """Return where each position stands in equal rows, in pitches; rows are as far apart as fasteners in a row.

    Of 4 in 2 rows, position 1 stands at (−0.5, 0.5). Raises RangeError for a count outside 1 .. 200, rows outside
    1 .. 6, rows that would not be equal, and rows of more than 30.
    """
    return tuple((x / 2, y / 2) for x, y in _half_pitches(count, rows))


def crosswise(count: int) -> tuple[int, ...]:
    """Return the positions of a circle in the order of tightening: 1, 5, 3, 7, 2, 6, 4, 8 for eight.

    A count divisible by four is tightened cross by cross (a position, the opposite one, a quarter on, the opposite of
    that), another even count pair by pair (a position and the opposite one), an odd count one by one. The first cross,
    pair or position begins at 1. The next is the one as far as possible from the nearest of those before; of several,
    the one farthest from the last; of several still, the one with the lowest number. So five give 1, 3, 5, 2, 4.

    Raises RangeError for a count outside 1 .. 200.
    """
    _check_count(count)
    arms = {0: (0, 2, 1, 3), 2: (0, 1)}.get(count % 4, (0,))
    period = count // len(arms)
    return tuple(begin + period * arm + 1 for begin in _spread(period) for arm in arms)


def middle_outward(count: int, rows: int = DEFAULT_ROWS) -> tuple[int, ...]:
    """Return the positions of equal rows in the order of tightening: 3, 8, 2, 9, 4, 7, 1, 10, 5, 6 for ten in two rows.

    The fastener in the very middle comes first, if there is one; then pairs that stand opposite each other through the
    middle: the nearest pair first, of several as near the one with the lowest number, and of each pair the lower number
    first. So four in a row give 2, 3, 1, 4.

    Raises RangeError as `row_places` does.
    """
    places = _half_pitches(count, rows)
    numbers = range(1, (count + 1) // 2 + 1)  # the opposite of position p is count + 1 − p: these begin the pairs
    nearest = sorted(numbers, key=lambda number: math.fsum(half * half for half in places[number - 1]))
    return tuple(dict.fromkeys(end for number in nearest for end in (number, count + 1 - number)))


def _spread(count: int) -> list[int]:
    """Numbers 0 .. count − 1, set evenly in a ring, each as far as possible from those before."""
    order = [0]
    nearest = dict.fromkeys(range(1, count), count)  # of those left: how far the nearest one before is
    while nearest:
        last = order[-1]
        apart = {number: min((number - last) % count, (last - number) % count) for number in nearest}
        nearest = {number: min(before, apart[number]) for number, before in nearest.items()}
        order.append(max(nearest, key=lambda number: (nearest[number], apart[number], -number)))
        del nearest[order[-1]]
    return order


def _half_pitches(count: int, rows: int) -> list[tuple[int, int]]:
    """The places of `row_places` in half pitches: whole numbers, so that equal distances from the middle are equal."""
    _check_count(count)
    within("{} rows", rows, 1, MAX_ROWS, "rows", more=" rows")
    if count % rows:
        equal = [str(n) for n in range(1, MAX_ROWS + 1) if count % n == 0 and count // n <= MAX_IN_ROW]
        raise RangeError(
            f"{count} fasteners do not make {rows} equal rows",
            f"{{@rows}} {' or '.join(equal)}" if equal else f"a count that makes equal rows of at most {MAX_IN_ROW}",
            "count them again, or leave the pattern at circle", count, "rows",
        )  # fmt: skip
    columns = count // rows
    if columns > MAX_IN_ROW:
        raise RangeError(
            f"a row of {columns} fasteners", f"at most {MAX_IN_ROW} in a row", "choose more {@rows}", columns, "rows"
        )
    return [(2 * column - columns + 1, rows - 1 - 2 * row) for row in range(rows) for column in range(columns)]


def _check_count(count: int) -> None:
    within("{} fasteners", count, 1, MAX_FASTENERS, "fasteners")
