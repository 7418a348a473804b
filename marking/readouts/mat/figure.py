"""The mat: circles on which a socket stands mouth down, and rays that are carried up its wall.

Seen from above, facing the drive end. What is drawn under the socket becomes marks that turn with it, so that the rays
lie against the tightening direction: for a right-hand thread the stop window lies counterclockwise of START, for a
left-hand thread clockwise.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise

from ...drawing.emphasis import left_hand, left_hand_size_mm, underlined
from ...drawing.fonts import (
    MM_PER_PT,
    REGULAR,
    SEMIBOLD,
    cap_mm,
    ink_limits_mm,
    line_pitch_mm,
    text_width_mm,
    wrap,
)
from ...drawing.primitives import Drawing, Group, Line, Text, moved, primitives
from ...errors import LayoutError
from ...figures import label_step_deg
from ...figures.dial import Dial, bent_arrow, grows_clockwise, upright_middle
from ...figures.room import Box
from ...marks.stage_marks import StageMarks, stage_arc
from ...quantities.angles import Point, polar, widest_gap
from .layout import CORNERS_MM, HATCH_MM, MatLayout

NAME_PT, SMALL_PT, NUMBER_PT, WORDS_PT = 11.0, 7.5, 6.0, 8.0
"""Type sizes: START, STOP and the window; what else stands beside them; numbers; lines below the circles."""

LEADING_EM = 1.15

CIRCLE_GAP_MM = 0.25
"""Least paper between a number and the circles beside its own."""

SIDE_MM = 0.6
"""Least paper between a number and a ray."""

LABEL_GAP_MM = 3.0
"""From the end of a ray to its label: room for a flag."""

PUSHES_MM = (0.0, 4.0, 8.0, 12.0, 18.0, 24.0, 32.0, 40.0)
OFFSETS_DEG = (0, 4, -4, 8, -8, 12, -12, 18, -18, 24, -24, 32, -32)
"""Where to look for room for a label: outwards from its rays, and beside them."""

LONGEST_GAP_MM = 5.0
"""A label farther than this from its rays gets a line that leads to it."""

ARROW_MM, ARROW_LIFT_MM, FARTHER_DEG = 16.0, 2.5, 30
"""Length of the arrow, how far outside the rays' ends it bends, and how much farther from START than need be."""

PAD_MM = 2.0
"""Least paper between labels."""

ROW_MM, RAY_MM = 8.0, 0.5
"""Height of the rows that tell what of its drawing a mat takes, and what a ray's end takes to each side (our
choice)."""

LEAST_WIDTH_MM = 70.0
"""Least width of the words below the circles."""


@lru_cache(maxsize=16)  # how large a mat is shows when it is drawn
def draw_mat(plan: MatLayout, inside: Drawing | None = None) -> Drawing:
    """Draw the mat at true size, START up, perhaps with something in its middle. Raises LayoutError for labels that
    find no room.
    """
    mat = _lettered(plan, inside)
    return mat.drawing(mat.extent())[0]


def draw_in_rows(plan: MatLayout, inside: Drawing | None = None) -> tuple[Drawing, list[Box]]:
    """Draw the mat as `draw_mat` does, without paper round it, and return what it takes of that, row by row.

    Beside what it takes, in its corners, other pieces may stand.
    """
    mat = _lettered(plan, inside)
    return mat.drawing(_around_all(mat.parts()))


def _lettered(plan: MatLayout, inside: Drawing | None) -> _Mat:
    mat = _Mat(plan)
    if inside is not None:
        centred = moved(inside.content, -inside.width_mm / 2, -inside.height_mm / 2)
        mat.items += primitives(centred)
    mat.rays()
    mat.circles()
    mat.scale()
    mat.corners()
    mat.labels()
    return mat


class _Mat:
    """The content of a mat, round (0, 0), while its labels find their places."""

    def __init__(self, plan: MatLayout) -> None:
        self.plan = plan
        self.dial = Dial(plan.lanes, grows_clockwise(plan.clockwise, turns=True), (0.0, 360.0))
        self.items = self.dial.items
        self.marked = [0.0, *(mark.deg for stage in plan.stages for mark in stage.marks)]
        self.taken: list[Box] = []
        self.words: list[Box] = []

    # -- rays, circles, scale

    def rays(self) -> None:
        """START with its flag, and each stage's marks."""
        inner, outer = self.dial.lanes.marks
        self.dial.radial(0.0, inner, outer, "start")
        self.dial.flag(0.0, outer, "start-flag")
        self.dial.stage_marks(self.plan.stages)

    def circles(self) -> None:
        """The circles, broken where a number stands on one of them: all numbers in a row, clear of the rays."""
        begin, span = widest_gap([(0.0, 0.0), *(stage_arc(stage.stage) for stage in self.plan.stages)])
        at = begin + span / 2
        numbers: list[tuple[float, float, float]] = []
        for circle in self.plan.circles:
            radius, half = circle.od_mm / 2, text_width_mm(circle.number, NUMBER_PT) / 2 + SIDE_MM
            if circle.number and radius * math.sin(math.radians(min(span / 2, 90.0))) > half:
                numbers.append((radius, half, self._upright_across(circle.number, at, radius)))
        for circle in self.plan.circles:
            radius = circle.od_mm / 2
            broken = [half for other, half, high in numbers if abs(other - radius) < high + CIRCLE_GAP_MM]
            gap = math.degrees(math.asin(min(1.0, max(broken, default=0.0) / radius)))
            role = "own-circle" if circle.own else "od-circle" if circle.number else "od-circle-fine"
            self.dial.arc(radius, at + gap, at + 360.0 - gap, role, (("od", f"{circle.od_mm:g}"),))

    def _upright_across(self, number: str, deg: float, radius: float) -> float:
        """Put a number across the radius, its top outwards or, in the lower half, inwards; return half its height."""
        below, above = ink_limits_mm(number, NUMBER_PT)
        at = self.dial.page_deg(deg)
        up = -1.0 if math.sin(math.radians(at)) < 0 else 1.0
        x, y = polar(radius - up * (above + below) / 2, at)
        text = Text(x, y, number, NUMBER_PT, REGULAR, "middle", at - up * 90.0, "od-number")
        self.items.append(text)
        self.taken.append(_around_all(_around(text.box, SIDE_MM / 2)))
        return (above - below) / 2

    def scale(self) -> None:
        """Degree ticks and their numbers; numbers that would touch a ray are left out."""
        radius = self.dial.lanes.numbers
        self.dial.arc(self.plan.scale, 0.0, 360.0, "scale-line")
        self.dial.ticks()
        step = label_step_deg(math.tau * radius, text_width_mm("330°", NUMBER_PT) + SIDE_MM)
        for deg in range(step, 360, step):
            self._number(f"{deg}°", deg, radius, NUMBER_PT, "number")

    def corners(self) -> None:
        """A tick for each corner of the opening, and its number where it or a place right beside it is free."""
        scale = self.plan.scale
        for corner in self.plan.corners:
            self.dial.radial(corner.deg, scale - HATCH_MM, scale, "corner", (("index", str(corner.index)),))
            for off in (0.0, 3.0, -3.0, 6.0, -6.0):
                if self._number(str(corner.index), corner.deg + off, scale + CORNERS_MM, 6.5, "corner-number"):
                    break

    def _number(self, text: str, deg: float, radius: float, size_pt: float, role: str) -> bool:
        """Put an upright number with its middle at `radius` where nothing is; tell whether it was put."""
        (cos, sin), width, height = polar(1.0, self.dial.page_deg(deg)), text_width_mm(text, size_pt), cap_mm(size_pt)
        across = abs(sin) * width / 2 + abs(cos) * height / 2 + SIDE_MM
        apart = [abs((deg - other + 180.0) % 360.0 - 180.0) for other in self.marked]
        met = any(other < 90.0 and radius * math.sin(math.radians(other)) < across for other in apart)
        if met or not self._free(_box((radius * cos, radius * sin), width, height)):
            return False
        x, y = radius * cos, radius * sin - height / 2
        self.items += underlined(Text(x, y, text, size_pt, REGULAR, "middle", role=role))
        return True

    # -- words

    def labels(self) -> None:
        """START and the stages at the outer ends of their rays, then the arrow."""
        self._label([_name("START")], 0.0, 0.0)
        for stage in sorted(self.plan.stages, key=lambda stage: stage_arc(stage.stage)):
            begin, span = stage_arc(stage.stage)
            self._label(_stage_rows(stage), begin, span)
        self._arrow()

    def _label(self, rows: Sequence[Text], begin: float, span: float) -> None:
        end = self.dial.lanes.marks[1]
        width, height = _size(rows)
        wanted = [begin + span / 2, begin, begin + span]
        for push in PUSHES_MM:
            for off in OFFSETS_DEG:
                for deg in wanted:
                    at = self.dial.page_deg(deg + off)
                    box = _box(upright_middle(at, end + LABEL_GAP_MM + push, width, height), width, height)
                    leader = self._leader(box, begin, span)
                    if self._free(box) and (leader is None or self._free_line(leader)):
                        self._put(rows, box, leader)
                        return
        raise LayoutError(
            f"the label {rows[0].text} finds no room beside the mat", "fewer stages", "print a drive disc"
        )

    def _leader(self, box: Box, begin: float, span: float) -> tuple[Point, Point] | None:
        """The line from the nearest ray's end to a label, None where the label stands there."""
        end = self.dial.lanes.marks[1]
        middles = [begin + span * k / 8 for k in range(9)]
        if min(_distance(polar(end, self.dial.page_deg(deg)), box) for deg in middles) <= LONGEST_GAP_MM:
            return None
        tips = [polar(end + 0.5, self.dial.page_deg(deg)) for deg in (begin, begin + span)]
        tip = min(tips, key=lambda tip: _distance(tip, box))
        return tip, _nearest(tip, box.grown(0.5))

    def _put(self, rows: Sequence[Text], box: Box, leader: tuple[Point, Point] | None) -> None:
        left, _, right, top = box
        self.words.append(box)
        self.taken.append(box.grown(PAD_MM))
        if leader:
            (x1, y1), (x2, y2) = leader
            self.items.append(Line(x1, y1, x2, y2, "leader"))
            self.words.append(_around_all(_around(leader, 0.4)))
            self.taken += _around(_along(leader), 0.4)
        for row, baseline in zip(rows, _baselines(rows, top), strict=True):
            self.items.append(row._replace(x=(left + right) / 2, y=baseline))

    def _arrow(self) -> None:
        """The arrow the way the socket turns, its words outside it with LEFT-HAND below, as near to START as may be.

        Not far from the nearest place it rather stands where it makes the mat no larger.
        """
        radius = self.dial.lanes.marks[1] + ARROW_LIFT_MM
        sweep = math.degrees(ARROW_MM / radius)
        rows = [_note("socket turns", 9.0)]
        black = (0.0, 0.0) if self.plan.clockwise else left_hand_size_mm(9.0)
        width, height = _size(rows)
        whole = max(width, black[0]), height + (black[1] + 1.0 if black[1] else 0.0)
        place = self._arrow_place(radius, sweep, *whole)
        if place is not None:
            tail, tip, bend, box = place
            self.items += bent_arrow(radius, tail, tip, 2.6, 1.1)
            self.taken += bend
            self.words += [box, *bend]
            self._put(rows, box._replace(bottom=box.top - height), None)
            if black[1]:
                self.items += left_hand((box.left + box.right) / 2, box.bottom, 9.0, "middle")

    def _arrow_place(
        self, radius: float, sweep: float, width: float, height: float
    ) -> tuple[float, float, list[Box], Box] | None:
        """Where the arrow begins and ends, what it takes, and the box of its words; None where nothing is free."""
        extent, nearest, last = self.extent(), None, 360.0
        for begin in range(6, 360, 3):
            if begin > last:
                break
            tail, tip = self.dial.page_deg(-begin), self.dial.page_deg(-begin - sweep)
            box = _box(upright_middle((tail + tip) / 2, radius + 1.8, width, height), width, height)
            if not self._free(box):
                continue
            bend = _around((polar(radius, tail + (tip - tail) * k / 12) for k in range(13)), 1.0)
            if all(map(self._free, bend)):
                place = tail, tip, bend, box
                if _holds(extent, box):
                    return place
                if nearest is None:
                    nearest, last = place, begin + FARTHER_DEG
        return nearest

    def _free(self, box: Box) -> bool:
        return not any(
            box.left < other.right and box.right > other.left and box.bottom < other.top and box.top > other.bottom
            for other in self.taken
        )

    def _free_line(self, line: tuple[Point, Point]) -> bool:
        return all(map(self._free, _around(_along(line), 0.0)))

    def extent(self) -> Box:
        """How far circles, rays and labels reach, with paper round them."""
        scale = _around([(0.0, 0.0)], self.dial.lanes.numbers + text_width_mm("330°", NUMBER_PT) / 2)
        return _around_all([*self._tips(PAD_MM), *scale, *self.taken])

    def _tips(self, mm: float) -> list[Box]:
        """Boxes round the outer ends of the rays."""
        return _around((polar(self.dial.lanes.marks[1], self.dial.page_deg(deg)) for deg in self.marked), mm)

    def parts(self) -> Iterator[Box]:
        """Boxes that together hold labels, rays, and the circles with their numbers."""
        yield from self.words
        yield from self._tips(RAY_MM)
        radius = self.dial.lanes.numbers
        width, height = text_width_mm("330°", NUMBER_PT), cap_mm(NUMBER_PT)
        for deg in range(0, 90, 10):
            across, high = polar(radius, deg)[0] + width / 2, polar(radius, deg + 10)[1] + height / 2
            yield Box(-across, -high, across, high)

    def drawing(self, around: Box) -> tuple[Drawing, list[Box]]:
        """Everything in a box from (0, 0), with the words below the circles, and what of that box is taken.

        `around` is a box that holds all but the words.
        """
        left, bottom, right, top = around
        right = max(right, left + LEAST_WIDTH_MM)
        y, words_mm = bottom, 0.0
        for number, words in enumerate(self.plan.words):
            weight = REGULAR if number else SEMIBOLD
            for line in wrap(words, right - left, WORDS_PT, weight):
                y -= line_pitch_mm(WORDS_PT)
                self.items.append(Text(left, y, line, WORDS_PT, weight, role="words"))
                words_mm = max(words_mm, text_width_mm(line, WORDS_PT, weight))
        y -= 1.0
        below = [Box(left, y, left + words_mm, bottom)]
        taken = [one.moved(-left, -y) for one in _in_rows([*self.parts(), *below], y, top)]
        items = tuple(moved(item, -left, -y) for item in self.items)
        return Drawing(right - left, top - y, Group("mat", items)), taken


def _in_rows(boxes: Sequence[Box], bottom: float, top: float) -> list[Box]:
    """Return a box in every row, from the first to the last of what is there; rows that are alike make one."""
    count = math.ceil((top - bottom) / ROW_MM)
    edges = [bottom + (top - bottom) * k / count for k in range(count + 1)]
    rows: list[Box] = []
    for low, high in pairwise(edges):
        there = [box for box in boxes if box.bottom < high and box.top > low]
        if not there:
            continue
        ends = min(box.left for box in there), max(box.right for box in there)
        if rows and rows[-1][:4:2] == ends and rows[-1].top == low:
            rows[-1] = rows[-1]._replace(top=high)
        else:
            rows.append(Box(ends[0], low, ends[1], high))
    return rows


def _stage_rows(stage: StageMarks) -> list[Text]:
    notes = (_note(line, SMALL_PT) for line in (*stage.counted_label, *stage.aim_label))
    return [*map(_name, stage.label), *notes]


def _name(line: str) -> Text:
    """A line of what a ray is called, yet without a place."""
    return Text(0.0, 0.0, line, NAME_PT, SEMIBOLD, "middle", role="label")


def _note(line: str, size_pt: float) -> Text:
    """A line of what else is said, yet without a place."""
    return Text(0.0, 0.0, line, size_pt, anchor="middle", role="words")


def _size(rows: Sequence[Text]) -> tuple[float, float]:
    """Width and height of lines of text, from the top of the first to the foot of the last."""
    width = max(row.width_mm for row in rows)
    return width, math.fsum(row.size_pt * MM_PER_PT * LEADING_EM for row in rows)


def _baselines(rows: Sequence[Text], top: float) -> Iterator[float]:
    for row in rows:
        em = row.size_pt * MM_PER_PT
        yield top - 0.8 * em
        top -= em * LEADING_EM


def _box(middle: Point, width: float, height: float) -> Box:
    x, y = middle
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def _around_all(boxes: Iterable[Box]) -> Box:
    """The box that holds others."""
    lefts, bottoms, rights, tops = zip(*boxes, strict=True)
    return Box(min(lefts), min(bottoms), max(rights), max(tops))


def _around(points: Iterable[Point], mm: float) -> list[Box]:
    """Boxes that reach so far to every side of points."""
    return [Box(x, y, x, y).grown(mm) for x, y in points]


def _nearest(point: Point, box: Box) -> Point:
    return min(max(point[0], box[0]), box[2]), min(max(point[1], box[1]), box[3])


def _holds(outer: Box, inner: Box) -> bool:
    """Tell whether a box lies within another one."""
    return (
        outer.left <= inner.left
        and outer.bottom <= inner.bottom
        and inner.right <= outer.right
        and inner.top <= outer.top
    )


def _distance(point: Point, box: Box) -> float:
    return math.dist(point, _nearest(point, box))


def _along(line: tuple[Point, Point]) -> Iterator[Point]:
    (x1, y1), (x2, y2) = line
    count = max(2, round(math.dist(*line) / 0.5))
    yield from ((x1 + (x2 - x1) * k / count, y1 + (y2 - y1) * k / count) for k in range(count + 1))
