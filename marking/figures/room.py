"""What is still free of a strip while its texts find their places."""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable, Sequence
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

    def meets(self, other: Box) -> bool:
        """Tell whether two boxes have an area in common."""
        across = self.left < other.right and other.left < self.right
        return across and self.bottom < other.top and other.bottom < self.top


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

    def __init__(self, ends: Edges, marks: Sequence[tuple[Edges, float]], bottom: float, top: float) -> None:
        """Begin with nothing taken but `marks`, each with the height that it reaches."""
        self._ends = straight(ends, bottom, top)
        self._marks = [(straight(mark, bottom, top), reach) for mark, reach in marks]
        edges = self._ends, *(mark for mark, _ in self._marks)
        self.upright = not any(gain for edge in edges for gain in (edge[1], edge[3]))
        """True when all ends and marks stand at the same x at every height."""
        self._same = self.upright and all(reach >= top for _, reach in self._marks)
        self._taken: list[Box] = []  # sorted by their left ends
        self._between: dict[tuple[float, float], list[Interval]] = {}
        self._free: dict[tuple[float, float], list[Interval]] = {}  # what is known until something more is taken

    def take(self, box: Box) -> None:
        """Take a box out of what is free."""
        insort(self._taken, box)
        self._free.clear()

    def free(self, bottom: float, top: float) -> list[Interval]:
        """Return the intervals of x that are free from height `bottom` to `top`, from left to right."""
        found = self._free.get((bottom, top))
        if found is None:
            taken = [(left, right) for left, low, right, high in self._taken if low < top and high > bottom]
            found = self._free[bottom, top] = _without(self.fields(bottom, top), taken)
        return found

    def fits(self, box: Box) -> bool:
        """Tell whether a box is free."""
        left, bottom, right, top = box
        left, right = left + CLOSE_ENOUGH, right - CLOSE_ENOUGH
        for a, low, b, high in self._taken:  # a loop, as this is asked a hundred times a strip
            if a >= right:
                break
            if b > left and low < top and high > bottom:
                return False
        return any(a <= left and right <= b for a, b in self.fields(bottom, top))

    def fields(self, bottom: float, top: float) -> list[Interval]:
        """Return the intervals between neighbouring marks and ends, whatever stands in them."""
        key = (0.0, 0.0) if self._same else (bottom, top)
        known = self._between.get(key)
        if known is None:
            (_, left), (right, _) = self._ends.over(bottom, top)
            marks = [mark.over(bottom, top) for mark, reach in self._marks if bottom < reach]
            taken = sorted((begin, end) for (begin, _), (_, end) in marks)
            known = self._between[key] = _without([(left, right)], taken)
        return known

    def field_of(self, box: Box) -> Interval | None:
        """Return the interval between two marks that holds a box."""
        middle = (box.left + box.right) / 2
        return next(((a, b) for a, b in self.fields(box.bottom, box.top) if a <= middle <= b), None)


def _without(intervals: list[Interval], taken: list[Interval]) -> list[Interval]:
    """What is left of `intervals` without those that are `taken`, which are sorted."""
    found: list[Interval] = []
    for a, b in intervals:
        for left, right in taken:
            if left >= b:
                break
            if right > a:
                if a < left:
                    found.append((a, left))
                a = right
        if a < b:
            found.append((a, b))
    return found
