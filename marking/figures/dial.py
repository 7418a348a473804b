"""Round paper gauges: what the part ring, the drive disc and the mat share.

A dial is paper round (0, 0). Its angles are degrees of turn counted from its zero, which points up; they grow clockwise
on the page or counterclockwise. Its scale stands on the reading edge, which is the inner edge of a ring and the outer
edge of a disc; labels stand in a lane beyond the scale, seen from that edge.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from ..drawing.fonts import CAP_EM, MM_PER_PT, REGULAR, SMALL_PT, text_width_mm
from ..drawing.primitives import Arc, Data, Line, Polyline, Primitive, Text, moved
from ..drawing.transform import hatch_segments, rotated
from ..marks.stage_marks import StageMarks, stage_arc
from ..quantities.angles import Point, arc_deg, arc_mm, polar
from . import label_step_deg, tick_step_deg
from .bent import Block, Row, block_of

TICKS_MM = 2.0

SIDE_MM = 0.8

FLAG_MM = 2.2

ARROW_HALF_MM = 0.8

ARROW_MM = (14.0, 9.0, 6.0)
"""Half the width of an arrow's head, and the lengths that an arrow may have."""

NEARBY_DEG = (0, *(way * off for off in range(3, 180, 3) for way in (1, -1)))
"""Where to look for room round a wanted place: nearest first, on either side."""

CHANNEL_MM = 0.8
"""What is left without hatch on either side of zero's line within a window (our choice)."""

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
    radius: float, tail_deg: float, tip_deg: float, head_mm: float = 1.8, half_mm: float = ARROW_HALF_MM
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
    the ticks begin, inwards or outwards; `numbers` is the baseline of the degree numbers, in type of `numbers_pt`.
    """

    marks: tuple[float, float]
    edge: float
    inwards: bool
    numbers: float
    texts: tuple[float, float]
    numbers_pt: float = SMALL_PT

    @property
    def inmost(self) -> float:
        """The radius from which on texts may meet marks, and hatch is drawn."""
        return max(self.marks[0], self.texts[0])


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
        self.too_wide: dict[float, float] = {}  # half the least arc for which words found no room near an angle

    def page_deg(self, deg: float) -> float:
        """Return the direction on the page of an angle of this dial."""
        return page_deg(deg, self.clockwise)

    @property
    def closed(self) -> bool:
        """True when the paper goes all the way round."""
        first, last = self.extent
        return last - first >= 360.0 - 1e-9

    @property
    def ends(self) -> tuple[float, ...]:
        """Where paper that does not lie all the way round, or was slit, ends."""
        return tuple(end for end in self.extent if end % 360.0)

    # -- free space

    def take(self, deg: float, span: float = 0.0) -> None:
        """Keep texts and numbers off the arc of a mark, with some space beside it."""
        self.arcs.append((deg, span))
        self.taken_numbers.append(beside_arc(deg, span, self.lanes.numbers))
        self.keep_off(deg, span)

    def keep_off(self, deg: float, span: float) -> None:
        """Keep texts off an arc."""
        self.taken_text.append(beside_arc(deg, span, self.lanes.inmost))

    def free(self, taken: Iterable[Interval], low: float, high: float) -> bool:
        """Tell whether low..high lies on the paper and off everything taken, whole turns apart or not."""
        first, last = self.extent
        if not self.closed and not (first <= low and high <= last):
            return False
        for a, b in taken:  # noqa: SIM110  # asked a thousand times a dial: a generator takes twice as long
            if (a - low) % 360.0 < high - low or (low - a) % 360.0 < b - a:
                return False
        return True

    # -- strokes

    def radial(self, deg: float, inner: float, outer: float, role: str, data: Data = ()) -> None:
        """A line along the radius."""
        cos, sin = polar(1.0, self.page_deg(deg))
        self.items.append(Line(inner * cos, inner * sin, outer * cos, outer * sin, role, data))

    def arc(self, radius: float, low: float, high: float, role: str, data: Data = ()) -> None:
        """A line round the centre from one angle to a larger one."""
        start = self.page_deg(high) if self.clockwise else self.page_deg(low)
        self.items.append(Arc(0, 0, radius, start, min(360.0, high - low), role, data))

    def flag(self, deg: float, tip: float, role: str, pennant: bool = False) -> None:
        """A filled triangle with its tip at the reading edge; a pennant has only the half beyond the line."""
        base = tip - FLAG_MM if self.lanes.inwards else tip + FLAG_MM
        half = arc_deg(math.tau * base, FLAG_MM / 2)
        ends = (deg, deg + 2 * half) if pennant else (deg - half, deg + half)
        points = (polar(tip, self.page_deg(deg)), *(polar(base, self.page_deg(end)) for end in ends))
        self.items.append(Polyline(points, role, True, 0.0))
        self.taken_numbers.append(beside_arc(ends[0], ends[1] - ends[0], self.lanes.numbers))

    def stage_marks(self, stages: Sequence[StageMarks], around_zero: float | None = None) -> None:
        """For each stage the window's edges with hatch between them, or the stop line with a pennant; the aim line.

        Those of a window around zero begin at the radius `around_zero`, if given, so that zero's name finds room.
        """
        for stage in stages:
            data = (("stage", " ".join(map(str, stage.numbers))),)
            begin, span = stage_arc(stage.stage)
            inner, outer = self.lanes.marks
            if holds_zero(stage):
                inner = around_zero or inner
            for mark in stage.marks:
                self.radial(mark.deg, inner, outer, mark.kind, data)
                self.take(mark.deg)
            if stage.stage.window is None:
                self.flag(begin, self.lanes.edge, "stop-flag", pennant=True)
            if span:
                clear = arc_deg(math.tau * self.lanes.edge, CHANNEL_MM)
                parts = (begin, 360.0 - begin - clear), (clear, begin + span - 360.0 - clear)
                for first, wide in parts if holds_zero(stage) else ((begin, span),):
                    if wide > 0.0:
                        self._hatch(first, wide, max(inner, self.lanes.inmost), data)
                self.keep_off(begin, span)

    def _hatch(self, begin: float, span: float, inner: float, data: Data) -> None:
        """Hatch an arc from the radius `inner` on: lines at 45° to the radius, bent with the dial."""
        outer = self.lanes.texts[1]
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
        self.ticks()
        radius, size_pt = self.lanes.numbers, self.lanes.numbers_pt
        room = text_width_mm("330°", size_pt) + SIDE_MM
        step = label_step_deg(math.tau * radius, room)
        for deg in range(step, 360, step):
            half = math.degrees(math.atan(text_width_mm(f"{deg}°", size_pt) / 2 / radius))
            low, high = deg - half, deg + half
            if any(self.free(self.taken_numbers, low + turn, high + turn) for turn in (0.0, -360.0)):
                self.text(f"{deg}°", deg, radius, size_pt, "number")

    def ticks(self) -> None:
        """Degree ticks on the reading edge."""
        edge, inwards = self.lanes.edge, self.lanes.inwards
        for deg in range(0, 360, tick_step_deg(math.tau * edge)):
            if self._on_paper(deg):
                tick = TICKS_MM * (1.0 if deg % 10 == 0 else 0.7 if deg % 5 == 0 else 0.45)
                inner, outer = (edge - tick, edge) if inwards else (edge, edge + tick)
                self.radial(deg, inner, outer, "degree", (("deg", str(deg)),))

    def _on_paper(self, deg: float) -> bool:
        first, last = self.extent
        return any(first <= deg + turn <= last for turn in (0.0, -360.0))

    # -- words

    def across(self, items: Iterable[Primitive], deg: float, radius: float) -> None:
        """Put what is drawn upright round (0, 0) across the radius at `deg`, (0, 0) at `radius`, its top outwards."""
        self.items += [rotated(moved(item, 0.0, radius), self.page_deg(deg) - 90.0) for item in items]

    def text(self, text: str, deg: float, radius: float, size_pt: float, role: str) -> None:
        """Put text across the radius at `deg`, its baseline at `radius`, its top outwards."""
        self.across([Text(0.0, 0.0, text, size_pt, REGULAR, "middle", role=role)], deg, radius)

    def beside(
        self, choices: Iterable[Sequence[Row]], begin: float, end: float, beyond_first: bool = True
    ) -> Sequence[Row] | None:
        """Put the first choice of rows that fits beyond an arc of marks, or before it, no mark between; return it."""
        for rows in choices:
            block = self._block(rows)
            if block is None:
                continue
            half, gap = block.half_deg, arc_deg(math.tau * block.base, 2 * SIDE_MM)
            for beyond in (beyond_first, not beyond_first):
                if self._parted(*((end, end + gap) if beyond else (begin - gap, begin))):
                    continue
                if self._put(block, end + gap + half if beyond else begin - gap - half, "label"):
                    return rows
        return None

    def _parted(self, low: float, high: float) -> bool:
        """Tell whether an end of a mark's arc lies between two angles."""
        ends = (end for deg, span in self.arcs for end in (deg, deg + span))
        return any(1e-6 < (end - low) % 360.0 < high - low - 1e-6 for end in ends)

    def at_zero(self, choices: Iterable[Sequence[Row]], stages: Sequence[StageMarks], reach: float) -> bool:
        """Put the first choice of rows that fits beside zero's line, inside `reach`, where a window holds zero.

        To be called before anything but marks has been put.
        """
        arcs = [stage_arc(stage.stage) for stage in stages if not holds_zero(stage)]
        arcs += [(end, 0.0) for end in self.ends]
        others = [beside_arc(*arc, self.lanes.inmost) for arc in arcs]
        for block in filter(None, (block_of(rows, self.lanes.texts[0], reach) for rows in choices)):
            for way in (-1, 1):
                side = arc_deg(math.tau * block.base, SIDE_MM)
                low, high = sorted((way * side, way * (side + 2 * block.half_deg)))
                if self.free(others, low, high):
                    self.taken_text.append((low - side, high + side))
                    self.items += block.drawn(self.page_deg((low + high) / 2), "label")
                    return True
        return False

    def somewhere(self, choices: Iterable[Sequence[Row]], deg: float) -> Sequence[Row] | None:
        """Put the first choice of rows that fits as near to `deg` as there is room; return it."""
        for rows in choices:
            block = self._block(rows)
            if block and block.half_deg < self.too_wide.get(deg, math.inf):  # room only ever shrinks
                if any(self._put(block, deg + off, "words") for off in NEARBY_DEG):
                    return rows
                self.too_wide[deg] = block.half_deg
        return None

    @property
    def _reach(self) -> float:
        """How far out words may reach."""
        return self.lanes.texts[1] - EDGE_GAP_MM

    def _block(self, rows: Sequence[Row]) -> Block | None:
        """Return the rows as a block, or None when the lane is too narrow for them."""
        return block_of(rows, self.lanes.texts[0], self._reach)

    def _put(self, block: Block, middle: float, role: str) -> bool:
        """Put a block with its middle at an angle if that is free."""
        half = block.half_deg
        if not self.free(self.taken_text, middle - half, middle + half):
            return False
        gap = arc_deg(math.tau * block.base, SIDE_MM)
        self.taken_text.append((middle - half - gap, middle + half + gap))
        self.items += block.drawn(self.page_deg(middle), role)
        return True

    # -- arrow

    def arrow(
        self, words: str, size_pt: float = SMALL_PT, forwards: bool = True, lengths_mm: Sequence[float] = ARROW_MM,
        until: float = 360.0,
    ) -> bool:  # fmt: skip
        """A bent arrow towards rising angles (or falling ones): next to zero or elsewhere, with words if they fit.

        It and its words end before the angle `until`.
        """
        for row in [Row(words, size_pt), None] if words else [None]:
            for farthest in (15, 340):
                for length in lengths_mm:
                    if self._arrow_at(range(1, farthest, 2), row, length, 1 if forwards else -1, until):
                        return True
        return False

    def _arrow_at(self, begins: Iterable[int], row: Row | None, length: float, way: int, until: float) -> bool:
        block = self._block([row]) if row else None
        if row and not block:
            return False
        cap_mm = CAP_EM * MM_PER_PT * row.size_pt if row else 0.0
        radius = min(self._reach - ARROW_HALF_MM, block.base + cap_mm / 2 if block else math.inf)
        sweep, side = arc_deg(math.tau * radius, length), arc_deg(math.tau * radius, SIDE_MM)
        words_deg = 2 * (block.half_deg + side) if block else side
        for begin in begins:
            end = begin + sweep + words_deg
            low, high = sorted((way * begin, way * end))
            if end <= until and self.free(self.taken_text, low, high):
                self.taken_text.append((low, high))
                self.items += bent_arrow(radius, self.page_deg(way * begin), self.page_deg(way * (begin + sweep)))
                if block:
                    self.items += block.drawn(self.page_deg(way * (end - words_deg / 2)), "words")
                return True
        return False


def beside_arc(deg: float, span: float, radius: float) -> Interval:
    """Return an arc with `SIDE_MM` more at both its ends, measured along `radius`."""
    side = arc_deg(math.tau * radius, SIDE_MM)
    return deg - side, deg + span + side


def holds_zero(stage: StageMarks) -> bool:
    """Tell whether zero lies within a stage's window, a whole turn on."""
    begin, span = stage_arc(stage.stage)
    return begin < 360.0 - 1e-6 and begin + span > 360.0 + 1e-6
