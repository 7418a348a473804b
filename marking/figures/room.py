"""What is still free of a strip while its texts find their places."""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right, insort
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import NamedTuple

from ..drawing.primitives import new

Interval = tuple[float, float]
Edges = Callable[[float], Interval]
"""Left and right end of something at a height; straight, upright or slanted."""

CLOSE_ENOUGH = 1e-9

FAR_MM = 2.5
"""Least space between words and a line that is not theirs but could be taken for it (our choice)."""


class Box(NamedTuple):
    """An upright rectangle in mm."""

    left: float
    bottom: float
    right: float
    top: float

    def grown(self, mm: float) -> Box:
        """The box with `mm` more on every side."""
        left, bottom, right, top = self
        return new(Box, (left - mm, bottom - mm, right + mm, top + mm))

    def moved(self, dx: float, dy: float) -> Box:
        """The box in another place."""
        left, bottom, right, top = self
        return Box(left + dx, bottom + dy, right + dx, top + dy)

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

    def at(self, y: float) -> Interval:
        """Both ends at a height."""
        return self.left + self.left_gain * y, self.right + self.right_gain * y

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
        slanted = any(edge.left_gain or edge.right_gain for edge in (self._ends, *(mark for mark, _ in self._marks)))
        self.upright = not slanted and all(reach >= top for _, reach in self._marks)
        """True when all ends and marks stand at the same x at every height."""
        self._taken: list[Box] = []  # sorted by their left ends
        self._lows = [-math.inf, math.inf]  # the lower and the upper edges of what is taken, each sorted
        self._highs = [-math.inf, math.inf]
        self._between: dict[tuple[float, float], list[Interval]] = {}
        self._everywhere = self._fields(bottom, top) if self.upright else None
        self._free: dict[tuple[float, float], list[Interval]] = {}  # what is known until something more is taken

    def take(self, box: Box) -> None:
        """Take a box out of what is free."""
        insort(self._taken, box)
        insort(self._lows, box.bottom)
        insort(self._highs, box.top)
        self._free.clear()

    def take_all(self, boxes: Sequence[Box]) -> None:
        """Take many boxes out of what is free."""
        self._taken = sorted([*self._taken, *boxes])
        self._lows = sorted([*self._lows, *(box.bottom for box in boxes)])
        self._highs = sorted([*self._highs, *(box.top for box in boxes)])
        self._free.clear()

    def places(self, width: float, height: float, tops: Iterable[float]) -> Iterator[tuple[list[Interval], float]]:
        """Yield the intervals of x, from left to right, that are free for a width and height below each of `tops`.

        With them comes the top: of neighbouring ones below which the same is free the first alone.
        """
        if self.upright and not any(b - a >= width for a, b in self.fields(0.0, 0.0)):
            return
        upright, lows, highs = self.upright, self._lows, self._highs
        low, next_low, high, next_high = math.inf, -math.inf, math.inf, -math.inf
        for top in tops:
            bottom = top - height
            if low < top <= next_low and high <= bottom < next_high:
                continue
            key: tuple[float, float] = (bottom, top)
            if upright:  # how many boxes begin below `top` and how many end by `bottom` tells which are met
                begun, ended = key = bisect_left(lows, top), bisect_right(highs, bottom)
                low, next_low, high, next_high = lows[begun - 1], lows[begun], highs[ended - 1], highs[ended]
            found = self._free.get(key)
            if found is None:
                found = self._free[key] = self.free(bottom, top)
            wide = [(a, b) for a, b in found if b - a >= width]
            if wide:
                yield wide, top

    def free(self, bottom: float, top: float) -> list[Interval]:
        """Return the intervals of x that are free from height `bottom` to `top`, from left to right."""
        taken = [(left, right) for left, low, right, high in self._taken if low < top and high > bottom]
        return _without(self.fields(bottom, top), taken)

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

    def first_fit(
        self, left: float, right: float, height: float, tops: Sequence[float], floor: float = 0.0
    ) -> Box | None:
        """Return the box below the first of `tops` that is free and above `floor`, between upright marks.

        The highest of `tops` is the first. What stands from `left` to `right` is found once for all heights.
        """
        begin, end = left + CLOSE_ENOUGH, right - CLOSE_ENOUGH
        if not any(a <= begin and end <= b for a, b in self.fields(0.0, 0.0)):
            return None
        within = [(low, high) for a, low, b, high in self._taken if a < end and b > begin]
        for top in tops:
            bottom = top - height
            if bottom < floor:
                break
            for low, high in within:
                if low < top and high > bottom:
                    break
            else:
                return Box(left, bottom, right, top)
        return None

    def fields(self, bottom: float, top: float) -> list[Interval]:
        """Return the intervals between neighbouring marks and ends, whatever stands in them."""
        if self._everywhere is not None:
            return self._everywhere
        known = self._between.get((bottom, top))
        if known is None:
            known = self._between[bottom, top] = self._fields(bottom, top)
        return known

    def _fields(self, bottom: float, top: float) -> list[Interval]:
        (_, left), (right, _) = self._ends.over(bottom, top)
        marks = [mark.over(bottom, top) for mark, reach in self._marks if bottom < reach]
        return _without([(left, right)], sorted((begin, end) for (begin, _), (_, end) in marks))

    def field_of(self, box: Box) -> Interval | None:
        """Return the interval between two marks that holds a box."""
        middle = (box.left + box.right) / 2
        return next(((a, b) for a, b in self.fields(box.bottom, box.top) if a <= middle <= b), None)


def is_near(box: Box, lines: Iterable[Edges]) -> bool:
    """Tell whether words in a box could be taken for those of one of the lines, or windows, of others."""
    y = (box.bottom + box.top) / 2
    for line in lines:  # a loop, as this is asked for every way to set a label
        left, right = line(y)
        if box.left - FAR_MM < right and left < box.right + FAR_MM:
            return True
    return False


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
