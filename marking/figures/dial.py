"""Round paper gauges: what the part ring and the drive disc share.

A dial is paper round (0, 0). Its angles are degrees of turn counted from its zero, which points up; they grow clockwise
on the page or counterclockwise. Its scale stands on the reading edge, which is the inner edge of a ring and the outer
edge of a disc; labels stand in a lane beyond the scale, seen from that edge.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from ..drawing.fonts import REGULAR, SEMIBOLD, SMALL_PT, Weight, text_width_mm
from ..drawing.primitives import Arc, Data, Line, Polyline, Primitive, Text
from ..drawing.transform import hatch_segments
from ..marks.stage_marks import StageMarks, stage_arc
from ..quantities.angles import Point, arc_deg, arc_mm, polar
from . import label_step_deg, tick_step_deg

TICKS_MM = 2.0

SIDE_MM = 0.8

LABEL_SIZES_PT = (7.0, 6.5, 6.0, 5.5, 5.0)

FLAG_MM = 2.2

NEARBY_DEG = (0, *(way * off for off in range(3, 180, 3) for way in (1, -1)))
"""Where to look for room round a wanted place: nearest first, on either side."""

EDGE_GAP_MM = 0.3
"""Least distance of a label from the far end of its lane."""

Interval = tuple[float, float]


def page_deg(deg: float, clockwise: bool) -> float:
    """Return the direction on the page, counterclockwise from the x axis, of a dial's angle; its zero points up."""
    return 90.0 - deg if clockwise else 90.0 + deg


def grows_clockwise(tightens_clockwise: bool, *, turns: bool, wrong_way: bool = False) -> bool:
    """Tell which way the angles of a dial grow, seen from above.

    Paper that lies still is passed by START in the tightening direction; on what turns with the socket, marks lie the
    other way round, so that they arrive where START has been. `wrong_way` is for figures that warn of the mistake.
    """
    return tightens_clockwise != (turns != wrong_way)


def bent_arrow(
    radius: float, tail_deg: float, tip_deg: float, head_mm: float = 1.8, half_mm: float = 0.8
) -> tuple[Arc, Polyline]:
    """Return an arrow round (0, 0) between two directions on the page; its head is `head_mm` long."""
    neck_deg = tip_deg - math.copysign(math.degrees(head_mm / radius), tip_deg - tail_deg)
    head = (polar(radius, tip_deg), polar(radius + half_mm, neck_deg), polar(radius - half_mm, neck_deg))
    shaft = Arc(0.0, 0.0, radius, min(tail_deg, neck_deg), abs(neck_deg - tail_deg), "arrow")
    return shaft, Polyline(head, "arrow-head", True, 0.0)


def upright_middle(at_deg: float, radius: float, width: float, height: float) -> Point:
    """Return the middle of a box that stays upright beyond `radius`, touching the circle's tangent at a direction."""
    cos, sin = polar(1.0, at_deg)
    middle = radius + abs(cos) * width / 2 + abs(sin) * height / 2
    return middle * cos, middle * sin


class Lanes(NamedTuple):
    """Where things stand along the radius, in mm from the centre.

    `marks` and `texts` are (inner, outer) radii of the mark lines and of the lane of labels and hatch; `edge` is where
    the ticks begin, inwards or outwards; `numbers` is the baseline of the degree numbers.
    """

    marks: tuple[float, float]
    edge: float
    inwards: bool
    numbers: float
    texts: tuple[float, float]


class Dial:
    """The content of one dial while its texts find their places.

    `extent` is the first and the last angle on the paper, 360° apart when it goes all the way round.
    """

    def __init__(self, lanes: Lanes, clockwise: bool, extent: Interval) -> None:
        self.lanes = lanes
        self.clockwise = clockwise
        self.extent = extent
        self.items: list[Primitive] = []
        self.arcs: list[tuple[float, float]] = []
        self.taken_text: list[Interval] = []
        self.taken_numbers: list[Interval] = []

    def page_deg(self, deg: float) -> float:
        """Return the direction on the page of an angle of this dial."""
        return page_deg(deg, self.clockwise)

    @property
    def closed(self) -> bool:
        """True when the paper goes all the way round."""
        first, last = self.extent
        return last - first >= 360.0 - 1e-9

    # -- free space

    def take(self, deg: float, span: float = 0.0) -> None:
        """Keep texts and numbers off the arc of a mark, with some space beside it."""
        self.arcs.append((deg, span))
        self.taken_numbers.append(beside_arc(deg, span, self.lanes.numbers))
        self.taken_text.append(beside_arc(deg, span, self.lanes.texts[0]))

    def free(self, taken: Iterable[Interval], low: float, high: float) -> bool:
        """Tell whether low..high lies on the paper and off everything taken, whole turns apart or not."""
        first, last = self.extent
        if not self.closed and not (first <= low and high <= last):
            return False
        return all(
            high + turn <= a or low + turn >= b for a, b in taken for turn in (-720.0, -360.0, 0.0, 360.0, 720.0)
        )

    # -- strokes

    def radial(self, deg: float, inner: float, outer: float, role: str, data: Data = ()) -> None:
        """A line along the radius."""
        (x1, y1), (x2, y2) = polar(inner, self.page_deg(deg)), polar(outer, self.page_deg(deg))
        self.items.append(Line(x1, y1, x2, y2, role, data))

    def arc(self, radius: float, low: float, high: float, role: str, data: Data = ()) -> None:
        """A line round the centre from one angle to a larger one."""
        start = self.page_deg(high) if self.clockwise else self.page_deg(low)
        self.items.append(Arc(0, 0, radius, start, min(360.0, high - low), role, data))

    def flag(self, deg: float, tip: float, role: str) -> None:
        """A filled triangle with its tip at the reading edge."""
        at, base = self.page_deg(deg), tip - FLAG_MM if self.lanes.inwards else tip + FLAG_MM
        half = arc_deg(math.tau * base, FLAG_MM / 2)
        points = (polar(tip, at), polar(base, at + half), polar(base, at - half))
        self.items.append(Polyline(points, role, True, 0.0))

    def stage_marks(self, stages: Sequence[StageMarks]) -> None:
        """For each stage the window's edges with hatch between them, or the stop line, and the aim line."""
        for stage in stages:
            data = (("stage", " ".join(map(str, stage.numbers))),)
            begin, span = stage_arc(stage.stage)
            for mark in stage.marks:
                self.radial(mark.deg, *self.lanes.marks, mark.kind, data)
                self.take(mark.deg)
            if span:
                self._hatch(begin, span, data)
                self.taken_text.append(beside_arc(begin, span, self.lanes.texts[0]))

    def _hatch(self, begin: float, span: float, data: Data) -> None:
        """Hatch the window: lines at 45° to the radius, bent with the dial."""
        inner, outer = self.lanes.texts
        middle = (inner + outer) / 2
        for x1, y1, x2, y2 in hatch_segments(arc_mm(math.tau * middle, span), outer - inner):
            points: list[Point] = []
            for k in range(9):
                x, y = x1 + (x2 - x1) * k / 8, y1 + (y2 - y1) * k / 8
                points.append(polar(inner + y, self.page_deg(begin + arc_deg(math.tau * middle, x))))
            self.items.append(Polyline(tuple(points), "hatch", data=data))

    # -- scale

    def scale(self) -> None:
        """Degree ticks on the reading edge and their numbers; numbers that would touch a mark are left out."""
        edge, inwards = self.lanes.edge, self.lanes.inwards
        for deg in range(0, 360, tick_step_deg(math.tau * edge)):
            if self._on_paper(deg):
                tick = TICKS_MM * (1.0 if deg % 10 == 0 else 0.7 if deg % 5 == 0 else 0.45)
                inner, outer = (edge - tick, edge) if inwards else (edge, edge + tick)
                self.radial(deg, inner, outer, "degree", (("deg", str(deg)),))
        self._numbers()

    def _numbers(self) -> None:
        radius = self.lanes.numbers
        room = text_width_mm("330°", SMALL_PT) + SIDE_MM
        step = label_step_deg(math.tau * radius, room)
        for deg in range(step, 360, step):
            half = _half_deg(text_width_mm(f"{deg}°", SMALL_PT), radius)
            low, high = deg - half, deg + half
            if any(self.free(self.taken_numbers, low + turn, high + turn) for turn in (0.0, -360.0)):
                self.text(f"{deg}°", deg, radius, SMALL_PT, REGULAR, "number")

    def _on_paper(self, deg: float) -> bool:
        first, last = self.extent
        return any(first <= deg + turn <= last for turn in (0.0, -360.0))

    # -- words

    def text(self, text: str, deg: float, radius: float, size_pt: float, weight: Weight, role: str) -> None:
        """Put text across the radius at `deg`, its baseline at `radius`, its top outwards."""
        at = self.page_deg(deg)
        x, y = polar(radius, at)
        self.items.append(Text(x, y, text, size_pt, weight, "middle", at - 90.0, role=role))

    def beside(
        self, choices: Sequence[tuple[str, ...]], begin: float, end: float, beyond_first: bool = True
    ) -> tuple[str, ...] | None:
        """Put the first choice of lines that fits beyond an arc of marks, or before it; return it."""
        for lines in choices:
            for size in LABEL_SIZES_PT:
                block = self._block(lines, size)
                if block is None:
                    continue
                half, gap = block.half_deg, arc_deg(math.tau * block.base, 2 * SIDE_MM)
                for beyond in (beyond_first, not beyond_first):
                    if self._put(block, end + gap + half if beyond else begin - gap - half, "label"):
                        return lines
        return None

    def somewhere(self, choices: Sequence[tuple[str, ...]], deg: float) -> tuple[str, ...] | None:
        """Put the first choice of lines that fits as near to `deg` as there is room; return it."""
        for lines in choices:
            for size in LABEL_SIZES_PT:
                block = self._block(lines, size)
                if block and any(self._put(block, deg + off, "words") for off in NEARBY_DEG):
                    return lines
        return None

    def _block(self, lines: tuple[str, ...], size: float) -> _Block | None:
        """Return the lines as a block at its radius, or None when the lane is too narrow for them."""
        pitch = size * 0.36
        width = max(text_width_mm(line, size, SEMIBOLD) for line in lines)
        height = pitch * (len(lines) - 1) + 0.26 * size
        base = self._base(width, height)
        if base is None or math.hypot(base + height, width / 2) > self.lanes.texts[1] - EDGE_GAP_MM + 1e-9:
            return None
        return _Block(lines, size, base, pitch, _half_deg(width, base))

    def _base(self, width: float, height: float) -> float | None:
        """The lowest baseline of a block: as near to the scale as its lane allows, None when it cannot hold it."""
        inner, outer = self.lanes.texts
        if not self.lanes.inwards:
            return inner
        reach = outer - EDGE_GAP_MM
        if width / 2 >= reach:
            return None
        base = math.sqrt(reach**2 - (width / 2) ** 2) - height
        return base if base >= inner + EDGE_GAP_MM else None

    def _put(self, block: _Block, middle: float, role: str) -> bool:
        """Put a block with its middle at an angle if that is free."""
        half = block.half_deg
        if not self.free(self.taken_text, middle - half, middle + half):
            return False
        gap = arc_deg(math.tau * block.base, SIDE_MM)
        self.taken_text.append((middle - half - gap, middle + half + gap))
        for k, line in enumerate(reversed(block.lines)):
            weight = SEMIBOLD if k == len(block.lines) - 1 else REGULAR
            self.text(line, middle, block.base + block.pitch * k, block.size, weight, role)
        return True

    # -- arrow

    def arrow(self, words: str, forwards: bool = True) -> bool:
        """A bent arrow towards rising angles (or falling ones): next to zero, with words if they fit, or elsewhere."""
        for farthest in (15, 340):
            for text in (words, ""):
                for length in (14.0, 9.0, 6.0):
                    if self._arrow_at(range(1, farthest, 2), text, length, 1 if forwards else -1):
                        return True
        return False

    def _arrow_at(self, begins: Iterable[int], words: str, length: float, way: int) -> bool:
        base = self._base(text_width_mm(words, SMALL_PT) if words else 0.0, 0.26 * SMALL_PT)
        if base is None:
            return False
        radius = base + (0.6 if self.lanes.inwards else 1.0)
        sweep = arc_deg(math.tau * radius, length)
        half = text_width_mm(words, SMALL_PT) / 2 + SIDE_MM if words else 0.0
        words_deg = 2 * _half_deg(2 * half, radius)
        for begin in begins:
            end = begin + sweep + words_deg
            low, high = sorted((way * begin, way * end))
            if self.free(self.taken_text, low, high):
                self.taken_text.append((low, high))
                self._put_arrow(begin, sweep, radius, way)
                if words:
                    self.text(words, way * (end - words_deg / 2), radius - 0.6, SMALL_PT, REGULAR, "words")
                return True
        return False

    def _put_arrow(self, begin: float, sweep: float, radius: float, way: int) -> None:
        self.items += bent_arrow(radius, self.page_deg(way * begin), self.page_deg(way * (begin + sweep)))


class _Block(NamedTuple):
    """Lines of one label: type size, baseline of the lowest one, pitch, and half the angle they take."""

    lines: tuple[str, ...]
    size: float
    base: float
    pitch: float
    half_deg: float


def beside_arc(deg: float, span: float, radius: float) -> Interval:
    """Return an arc with `SIDE_MM` more at both its ends, measured along `radius`."""
    side = arc_deg(math.tau * radius, SIDE_MM)
    return deg - side, deg + span + side


def _half_deg(width: float, radius: float) -> float:
    """Half the angle that a text of `width` takes across the radius."""
    return math.degrees(math.atan(width / 2 / radius))
