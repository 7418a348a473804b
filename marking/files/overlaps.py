"""Straight strokes that lie on each other, so that a beam burns every stretch once."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple, TypeGuard

from ..drawing.primitives import Group, Line, Polyline, Primitive
from ..drawing.strokes import STROKES
from ..quantities.angles import Point

LEAST_MM = 0.01
"""What two strokes share of less counts as touching: a beam is wider (our choice)."""

_OFF_THE_HALF = math.pi * 1e-6
"""Keeps what is rounded off the middle between two steps, where inches and halves of millimetres like to lie."""

Side = tuple[Point, Point]
Span = tuple[float, float]
Support = tuple[float, float, float]


class Covered(NamedTuple):
    """What of endless lines is drawn already: their stretches, in no order."""

    spans: dict[Support, list[Span]]

    def left_of(self, side: Side) -> list[Side]:
        """Return what of a side is not drawn yet, and take it as drawn."""
        support, low, high = _support(side)
        rest = [(low, high)]
        drawn = self.spans.setdefault(support, [])
        for begin, end in drawn:
            if min(high, end) - max(low, begin) > LEAST_MM:
                rest = [part for span in rest for part in _without(span, begin, end)]
        drawn.append((low, high))
        if rest == [(low, high)]:
            return [side]
        return [_part(side, a - low, b - low) for a, b in rest]


def once(groups: Sequence[Group], cuts: Iterable[Side]) -> tuple[Group, ...]:
    """Return groups of marks without what lies on `cuts` or on other marks: a wider stroke goes first, then a longer.

    A stroke that loses a part becomes a group of straight lines. Arcs and fills stay as they are.
    """
    covered = Covered({})
    for side in cuts:
        covered.left_of(side)
    every = [item for group in groups for item in _straight(group)]
    sides = [(number, side) for number, item in enumerate(every) for side in sides_of(item)]
    sides.sort(key=lambda one: (-STROKES[every[one[0]].role].width_mm, -math.dist(*one[1]), one[0]))
    left: list[list[Side]] = [[] for _ in every]
    whole = [True] * len(every)
    for number, side in sides:
        parts = covered.left_of(side)
        left[number] += parts
        whole[number] &= parts == [side]
    numbers = itertools.count()

    def rest(item: Line | Polyline) -> Iterator[Primitive | Group]:
        number = next(numbers)
        if whole[number]:
            yield item
        elif left[number]:
            lines = tuple(Line(*begin, *end, item.role) for begin, end in left[number])
            yield Group(item.role, lines, item.data)

    def kept(group: Group) -> Group:
        items: list[Primitive | Group] = []
        for item in group.items:
            if isinstance(item, Group):
                items.append(kept(item))
            elif _is_straight(item):
                items += rest(item)
            else:
                items.append(item)
        return Group(group.name, tuple(items), group.data)

    return tuple(map(kept, groups))


def sides_of(item: Line | Polyline) -> list[Side]:
    """Return the straight sides of a stroke."""
    if isinstance(item, Line):
        return [((item.x1, item.y1), (item.x2, item.y2))]
    around = [*item.points, item.points[0]] if item.closed else item.points
    return [side for side in itertools.pairwise(around) if side[0] != side[1]]


def _is_straight(item: Primitive) -> TypeGuard[Line | Polyline]:
    return isinstance(item, Line) or (isinstance(item, Polyline) and item.fill is None)


def _straight(group: Group) -> Iterator[Line | Polyline]:
    for item in group.items:
        if isinstance(item, Group):
            yield from _straight(item)
        elif _is_straight(item):
            yield item


def _support(side: Side) -> tuple[Support, float, float]:
    """The endless line that a side lies on, rounded, and where on it the side begins and ends."""
    (x1, y1), (x2, y2) = sorted(side)
    length = math.hypot(x2 - x1, y2 - y1) or 1.0
    cos, sin = (x2 - x1) / length, (y2 - y1) / length
    low = x1 * cos + y1 * sin
    direction = round(cos + _OFF_THE_HALF, 5), round(abs(sin) + _OFF_THE_HALF, 5)
    return (*direction, round(x1 * sin - y1 * cos + _OFF_THE_HALF, 3)), low, low + length


def _without(span: Span, begin: float, end: float) -> Iterator[Span]:
    low, high = span
    for a, b in ((low, min(high, begin)), (max(low, end), high)):
        if b - a > LEAST_MM:
            yield a, b


def _part(side: Side, begin: float, end: float) -> Side:
    """What of a side lies between `begin` and `end` mm from its lower end."""
    (x1, y1), (x2, y2) = sorted(side)
    length = math.hypot(x2 - x1, y2 - y1)
    return (
        (x1 + (x2 - x1) * begin / length, y1 + (y2 - y1) * begin / length),
        (x1 + (x2 - x1) * end / length, y1 + (y2 - y1) * end / length),
    )
