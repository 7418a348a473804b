"""What is still free of a strip while its texts find their places."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

Interval = tuple[float, float]
Edges = Callable[[float], Interval]
"""Left and right end of something at a height; straight, upright or slanted."""

CLOSE_ENOUGH = 1e-9


class Box(NamedTuple):
    """An upright rectangle in mm."""

    left: float
    bottom: float
    right: float
    top: float

    def grown(self, mm: float) -> Box:
        """The box with `mm` more on every side."""
        return Box(self.left - mm, self.bottom - mm, self.right + mm, self.top + mm)


class Straight(NamedTuple):
    """Left and right end of something straight: at height 0, and how much they gain from height to height."""

    left: float
    left_gain: float
    right: float
    right_gain: float

    def over(self, bottom: float, top: float) -> tuple[Interval, Interval]:
        """The interval of each end between two heights."""
        left = sorted((self.left + self.left_gain * bottom, self.left + self.left_gain * top))
        right = sorted((self.right + self.right_gain * bottom, self.right + self.right_gain * top))
        return (left[0], left[1]), (right[0], right[1])


def straight(edges: Edges, bottom: float, top: float) -> Straight:
    """Return edges as found from two heights."""
    (a, b), (c, d) = edges(bottom), edges(top)
    left_gain, right_gain = (c - a) / (top - bottom), (d - b) / (top - bottom)
    return Straight(a - left_gain * bottom, left_gain, b - right_gain * bottom, right_gain)


class Room:
    """The area between two ends of a strip, less its marks and what has been taken, from `bottom` to `top`."""

    def __init__(self, ends: Edges, marks: Sequence[Edges], bottom: float, top: float) -> None:
        self._ends = straight(ends, bottom, top)
        self._marks = [straight(mark, bottom, top) for mark in marks]
        self._upright = not any(gain for edge in (self._ends, *self._marks) for gain in (edge[1], edge[3]))
        self._taken: list[Box] = []
        self._between: dict[tuple[float, float], list[Interval]] = {}

    def take(self, box: Box) -> None:
        """Take a box out of what is free."""
        self._taken.append(box)

    def free(self, bottom: float, top: float) -> list[Interval]:
        """Return the intervals of x that are free from height `bottom` to `top`, from left to right."""
        found = self.fields(bottom, top)
        for box in self._taken:
            if box.bottom < top and box.top > bottom:
                found = _without(found, box.left, box.right)
        return found

    def fits(self, box: Box) -> bool:
        """Tell whether a box is free."""
        left, right = box.left + CLOSE_ENOUGH, box.right - CLOSE_ENOUGH
        return any(a <= left and right <= b for a, b in self.fields(box.bottom, box.top)) and not any(
            taken.left < right and taken.right > left and taken.bottom < box.top and taken.top > box.bottom
            for taken in self._taken
        )

    def fields(self, bottom: float, top: float) -> list[Interval]:
        """Return the intervals between neighbouring marks and ends, whatever stands in them."""
        key = (0.0, 0.0) if self._upright else (bottom, top)
        known = self._between.get(key)
        if known is None:
            (_, left), (right, _) = self._ends.over(bottom, top)
            known = [(left, right)]
            for mark in self._marks:
                (begin, _), (_, end) = mark.over(bottom, top)
                known = _without(known, begin, end)
            self._between[key] = known
        return known

    def field_of(self, box: Box) -> Interval | None:
        """Return the interval between two marks that holds a box."""
        middle = (box.left + box.right) / 2
        return next(((a, b) for a, b in self.fields(box.bottom, box.top) if a <= middle <= b), None)


def _without(intervals: list[Interval], left: float, right: float) -> list[Interval]:
    return list(_rest(intervals, left, right))


def _rest(intervals: list[Interval], left: float, right: float) -> Iterator[Interval]:
    for a, b in intervals:
        if b <= left or a >= right:
            yield a, b
            continue
        if a < left:
            yield a, left
        if right < b:
            yield right, b
