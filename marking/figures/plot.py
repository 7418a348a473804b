"""A plot with two axes: ticks, numbers, level names."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from ..drawing.fonts import HEAD_PT, NOTE_PT, SEMIBOLD, cap_mm, text_width_mm
from ..drawing.primitives import Data, Line, Polyline, Primitive, Text
from ..quantities.angles import Point
from ..quantities.shown import trimmed

TICK_MM, TICK_PITCH_MM = 1.2, 8.0

HEADING_MM = 10.0
"""Height of a panel's heading with the vertical axis' name below it."""

AXIS_MM = 8.5
"""Height below a plot for numbers and the horizontal axis' name."""

LABEL_MM = 10.0
"""Width right of a plot for the names of its levels."""

LABEL_PITCH_MM = 2.9


class AxisScale(NamedTuple):
    """The unit of a chart's axis: its name and how many base units (N, N·m, degrees) make one."""

    name: str
    size: float


class Plot(NamedTuple):
    """A rectangle of paper at (left, bottom) and what its axes hold, from 0 to `x_max` and `y_max` in base units."""

    left: float
    bottom: float
    width: float
    height: float
    x_max: float
    y_max: float

    def at(self, x: float, y: float) -> Point:
        """Return where a value lies on the paper; values past the axes' ends lie at their ends."""
        across, up = min(1.0, max(0.0, x / self.x_max)), min(1.0, max(0.0, y / self.y_max))
        return self.left + self.width * across, self.bottom + self.height * up

    def line(self, start: Point, end: Point, role: str, data: Data = ()) -> Line:
        """Return the stroke between two values."""
        return Line(*self.at(*start), *self.at(*end), role, data)

    def area(self, points: Sequence[Point], role: str, grey: float) -> Polyline:
        """Return the grey area between values."""
        return Polyline(tuple(self.at(*point) for point in points), role, closed=True, fill=grey)


def ticks(limit: float, most: int) -> list[float]:
    """Return 0 and the multiples of a 1-2-5 step up to `limit`, at most `most` beyond zero: ticks(85, 5) ends at 80."""
    rough = limit / most
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * times for times in (1.0, 2.0, 5.0, 10.0) if power * times >= rough * (1 - 1e-9))
    return [step * k for k in range(math.floor(limit / step + 1e-9) + 1)]


def _most(length_mm: float) -> int:
    """How many ticks an axis takes without crowding."""
    return max(2, int(length_mm / TICK_PITCH_MM))


def _number(value: float) -> str:
    return trimmed(value, max(0, 2 - math.floor(math.log10(value))) if value > 0 else 0)


def axes(plot: Plot, x: tuple[str, AxisScale], y: tuple[str, AxisScale], heading: str) -> Iterator[Primitive]:
    """Yield heading, axes, ticks, numbers and the names of both axes."""
    yield from x_axis(plot, x)
    (y_name, y_scale), left = y, plot.left
    yield Line(left, plot.bottom, left, plot.bottom + plot.height, "axis")
    half_cap = cap_mm(NOTE_PT) / 2
    for value in ticks(plot.y_max / y_scale.size, _most(plot.height)):
        at = plot.at(0.0, value * y_scale.size)[1]
        yield Line(left - TICK_MM, at, left, at, "axis-tick", (("axis", "y"), ("value", _number(value))))
        yield Text(left - TICK_MM - 0.8, at - half_cap, _number(value), NOTE_PT, anchor="end")
    top = plot.bottom + plot.height
    yield Text(0.0, top + 2.2, f"{y_name}, {y_scale.name}", NOTE_PT)
    yield Text(0.0, top + HEADING_MM - 3.4, heading, HEAD_PT, SEMIBOLD)


def x_axis(plot: Plot, x: tuple[str, AxisScale]) -> Iterator[Primitive]:
    """Yield the lower axis: line, ticks, numbers, name."""
    (name, scale), bottom = x, plot.bottom
    yield Line(plot.left, bottom, plot.left + plot.width, bottom, "axis")
    for value in ticks(plot.x_max / scale.size, _most(plot.width)):
        at = plot.at(value * scale.size, 0.0)[0]
        yield Line(at, bottom - TICK_MM, at, bottom, "axis-tick", (("axis", "x"), ("value", _number(value))))
        yield Text(at, bottom - 4.2, _number(value), NOTE_PT, anchor="middle")
    yield Text(plot.left + plot.width, bottom - 7.7, f"{name}, {scale.name}", NOTE_PT, anchor="end")


def plot_in(width: float, height: float, x_max: float, y_max: float, y_scale: AxisScale) -> Plot:
    """The plot within a panel of `width` × `height`."""
    tall = height - AXIS_MM - HEADING_MM
    numbers = map(_number, ticks(y_max / y_scale.size, _most(tall)))
    left = TICK_MM + 1.6 + max(text_width_mm(number, NOTE_PT) for number in numbers)
    return Plot(left, AXIS_MM, width - left - LABEL_MM, tall, x_max, y_max)


def level_names(plot: Plot, levels: Sequence[tuple[str, float]]) -> Iterator[Text]:
    """Yield the names of levels right of the plot, pushed apart where they would touch."""
    half_cap = cap_mm(NOTE_PT) / 2
    below = -math.inf
    for name, value in sorted(levels, key=lambda level: level[1]):
        below = max(plot.at(0.0, value)[1] - half_cap, below + LABEL_PITCH_MM)
        yield Text(plot.left + plot.width + 1.0, below, name, NOTE_PT)
