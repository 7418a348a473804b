"""The marks of a strip that goes round a socket, and the words beside them: START, STOP and how the stages count.

Plain bands and trim bands share it. A strip is described by a `StripLayout`: where an angle lies at a height above the
fastener edge, where the strip ends there, and what is written on it. What stands on it besides is in `strip_words`.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from contextlib import suppress
from functools import lru_cache, partial
from typing import get_args

from ..drawing.fonts import SEMIBOLD, cap_mm
from ..drawing.primitives import Anchor, Data, Line, Polyline, Primitive, Text
from ..errors import LayoutError
from ..marks.stage_marks import StageMarks
from .room import CLOSE_ENOUGH, Box, Edges, Interval, Room, Straight, is_near, straight
from .strip_blocks import LEAST_OVER_MM, Block, Row, Way, aside, block, said_block, stop_blocks
from .strip_layout import ALONE, LEAST_PT, SIDE, Ranks, StripLayout, cap_pt, ranks, span

GOOD_PT = 6.0

STEP_MM = 0.4
"""Step of the heights at which a text is tried."""

LINE_GAP_MM = 0.3
"""Space above and below the lines of START and STOP, on which nothing else stands (our choice)."""

APART = 1.6
"""Least distance of two labels between the same two marks, in cap heights: each belongs to its own mark."""


def lettered(plan: StripLayout, cuts: Sequence[float] = (), whole: bool = False, smallest: bool = False) -> Strip:
    """Return a strip with START, every STOP and how its stages count, in the largest letters that find room.

    `smallest` tries only the smallest, to learn whether there is room at all. Raises LayoutError when START or a STOP
    finds none, or, if `whole`, how a stage counts.
    """
    sizes = ranks(plan)
    caps = sizes.caps_mm[-1:] if smallest else sizes.caps_mm
    kept, apart = (True,) if whole else (True, False), (True, False) if len(plan.stages) > 1 else (True,)
    *tries, last = itertools.product(kept, apart, get_args(Way), caps)
    for one in tries:
        with suppress(LayoutError):
            return _tried(plan, cuts, sizes, *one)
    return _tried(plan, cuts, sizes, *last)


def _tried(
    plan: StripLayout, cuts: Sequence[float], sizes: Ranks, all_said: bool, clear: bool, way: Way, cap: float
) -> Strip:
    strip = Strip(plan, cuts, cap, sizes, clear)
    strip.labels(way, all_said)
    return strip


def _no_room(name: str) -> LayoutError:
    return LayoutError(
        f"there is no room for the label {name} beside its mark",
        "a longer or higher band",
        "use a larger {@height}, with it wider {@paper} on label stock, or print a drive disc",
        field="height",
    )


class Strip:
    """The content of one band while its texts find their places; `cap` is the cap height of START and STOP in mm.

    If `clear`, as wherever there is room, words of a stage stand well away from the windows of the others.
    """

    def __init__(self, plan: StripLayout, cuts: Sequence[float], cap: float, sizes: Ranks, clear: bool = True) -> None:
        self.plan, self.cuts, self.cap, self.clear = plan, cuts, cap, clear
        self.ranks = sizes
        self._spans: dict[int, Straight] = {}
        self.texts: list[Primitive] = []
        self.below: list[str] = []
        self.figures: list[Box] = []
        """What the numbers of corners and degrees take."""
        self.said: dict[int, list[StageMarks]] = {}
        """Whose words stand in which gap between windows."""
        self.mark_top = plan.height_mm - self.ranks.lane_mm - 0.2
        self.text_bottom = plan.foot_mm + self.ranks.tick_mm + 0.2
        self.numbers_top = plan.foot_mm + self.ranks.numbers_mm[-1] + cap_mm(self.ranks.third_pt) + LEAST_OVER_MM
        """The height above which nothing stands in the rows of numbers."""
        highest = self.mark_top - 0.2, plan.height_mm - self.ranks.lane_mm - ALONE
        self._every_top = [_every_top(top) for top in highest]
        self.start = block(Row("START", cap_pt(cap), SEMIBOLD))
        low = {id(stage): self.top_of(stage) for stage in plan.stages if self.holds_start(stage, self.mark_top)}
        spans = [(partial(self._span_space, s), low.get(id(s), plan.height_mm)) for s in plan.stages]
        full: list[Edges] = [partial(self._mark_space, 0.0), *(partial(_around, cut) for cut in cuts)]
        marks: list[tuple[Edges, float]] = [*((edges, plan.height_mm) for edges in full), *spans]
        self.room = Room(self._end_space, marks, plan.foot_mm, plan.height_mm)
        for box in plan.closing():
            self.room.take(Box(*box))
        for stage in plan.stages:
            self._put_flag(stage)

    def span(self, stage: StageMarks, y: float = 0.0) -> Interval:
        """The left and right end of one of the plan's stages; asked for a hundred times a strip."""
        found = self._spans.get(id(stage))
        if found is None:
            found = self._spans[id(stage)] = straight(partial(span, self.plan, stage), 0.0, self.plan.height_mm)
        return found.at(y)

    def _end_space(self, y: float) -> Interval:
        left, right = self.plan.ends(y)
        return left + SIDE, right - SIDE

    def _mark_space(self, deg: float, y: float) -> Interval:
        return _around(self.plan.x_of(deg, y), y)

    def _span_space(self, stage: StageMarks, y: float) -> Interval:
        left, right = self.span(stage, y)
        return left - SIDE, right + SIDE

    def holds_start(self, stage: StageMarks, y: float) -> bool:
        """Tell whether START lies within a window, a whole turn on."""
        left, right = self.span(stage, y)
        return left + CLOSE_ENOUGH < self.plan.x_of(0, y) < right - CLOSE_ENOUGH

    def top_of(self, stage: StageMarks) -> float:
        """How high a stop's marks reach: below the word START where that can only stand over them, at its own line."""
        if not self.holds_start(stage, self.mark_top):
            return self.mark_top
        return self.plan.height_mm - self.ranks.lane_mm - ALONE - self.start.height_mm - ALONE

    # -- marks

    def line(self, deg: float, top: float, role: str, data: Data = ()) -> Line:
        """The line of an angle from the fastener edge up to `top`."""
        return Line(self.plan.x_of(deg), 0.0, self.plan.x_of(deg, top), top, role, data)

    def _put_flag(self, stage: StageMarks) -> None:
        """A flag at the drive end of a stop without a tolerance: no other line has one."""
        if stage.stage.window is not None:
            return
        size = max(self.cap * 0.9, 1.5)
        top, deg = self.mark_top, stage.marks[0].deg
        towards = -size if self.plan.clockwise else size
        corners = [(self.plan.x_of(deg, y), y) for y in (top, top - size)]
        x = (corners[0][0] + corners[1][0]) / 2 + towards
        points = (*corners, (x, top - size / 2))
        self.texts.append(Polyline(points, "stop-flag", True, 0.0, (("stage", " ".join(map(str, stage.numbers))),)))
        xs = [px for px, _ in points]
        self.room.take(Box(min(xs), top - size, max(xs), top).grown(SIDE / 2))

    # -- START and STOP

    def labels(self, way: Way, whole: bool) -> None:
        """START and the stop labels, each beside its mark and alone on its lines; then how the stages count.

        Raises LayoutError when START or a STOP finds no room, or, if `whole`, how a stage counts.
        """
        size = cap_pt(self.cap)
        first = [self._beside(self.start, self._at_start, self._sides_of_start())]
        if first[0] is None:
            raise _no_room("START")
        for stage in sorted(self.plan.stages, key=lambda stage: self.span(stage), reverse=self.plan.clockwise):
            edges = partial(self.span, stage)
            # never at START's line where there is another place; of several stages never at all but round START
            strictly = len(self.plan.stages) > 1 and not self._meets_start(stage)
            far = (True,) if strictly else (True, False)
            choices = itertools.product(far, self._sides(stage), stop_blocks(stage.label, size, way))
            others = self.others(stage)
            for far_from_start, sides, choice in choices:
                away_from = [self._at_start, *others] if far_from_start else others
                box = self._beside(block(*choice), edges, sides, away_from=away_from)
                if box is not None:
                    first.append(box)
                    self.say(stage, box)
                    break
            else:
                raise _no_room(stage.name)
        for box in filter(None, first):
            self._set_apart(box)
        for stage in self.plan.stages:
            said = stage.counted_label
            places = itertools.product((False, True), (self.numbers_top, 0.0))
            if said and not any(self.note_beside(stage, said, floor, elsewhere) for elsewhere, floor in places):
                if whole:
                    raise _no_room(f"{stage.name}: {' · '.join(said)}")
                self.below.append(f"{stage.name}: {' · '.join(said)}")

    # -- gaps between windows

    def _gap(self, x: float, y: float) -> int:
        """Number the gap between windows and START that holds a place: how many of them lie left of it."""
        number = int(self.plan.x_of(0, y) < x)
        for stage in self.plan.stages:  # a loop, as this is asked a dozen times a strip
            number += self.span(stage, y)[0] < x
        return number

    def say(self, stage: StageMarks, box: Box) -> None:
        """Note that words of a stage stand in the gap that holds a box."""
        gap = self._gap((box.left + box.right) / 2, (box.bottom + box.top) / 2)
        self.said.setdefault(gap, []).append(stage)

    def gap_beside(self, stage: StageMarks, beyond: bool) -> int:
        """The gap beyond a window, seen from START, or before it."""
        left, right = self.span(stage, self.plan.height_mm)
        return self._gap(right + SIDE / 2 if self.plan.clockwise is beyond else left - SIDE / 2, self.plan.height_mm)

    def owns(self, stage: StageMarks, gap: int) -> bool:
        """Tell whether no words of another stage stand in a gap."""
        return all(other is stage for other in self.said.get(gap, ()))

    def _sides(self, stage: StageMarks) -> list[tuple[bool, ...]]:
        """In which order a stage's label tries the sides of its window: first those that it shares with no other."""
        if not self.said:
            return [(True, False)]
        own = tuple(beyond for beyond in (True, False) if self.owns(stage, self.gap_beside(stage, beyond)))
        shared = tuple(beyond for beyond in (True, False) if beyond not in own)
        return [sides for sides in (own, shared) if sides]

    def _sides_of_start(self) -> tuple[bool, bool]:
        """In which order START's label tries the sides of its line: before it, or over a window's lesser part."""
        x = self.plan.x_of(0, self.mark_top)
        for left, right in (self.span(stage, self.mark_top) for stage in self.plan.stages):
            if left < x < right and x - left != right - x:
                beyond = (right - x < x - left) is self.plan.clockwise
                return beyond, not beyond
        return False, True

    def _at_start(self, y: float) -> Interval:
        return (self.plan.x_of(0, y),) * 2

    def _set_apart(self, box: Box) -> None:
        """Keep the lines of a label free of everything else from mark to mark."""
        field = self.room.field_of(box)
        if field is not None:
            self.room.take(Box(field[0], box.bottom - LINE_GAP_MM, field[1], box.top + LINE_GAP_MM))

    def _beside(
        self,
        lines: Block,
        edges: Edges,
        sides: Sequence[bool] = (True, False),
        role: str = "label",
        floor: float = 0.0,
        away_from: Sequence[Edges] = (),
    ) -> Box | None:
        """Put a block beside a mark, as high as it fits; return its place.

        `edges` gives the mark's left and right end at a height, `sides` tells in which order to try beyond it, seen
        from START, and before it. It stays above `floor`, and so far from the lines of others that it cannot be read
        as theirs.
        """
        width, height = lines.width_mm, lines.height_mm
        tops = self.tops(height, alone=role == "label")

        def at(top: float) -> Box:
            (a, b), (c, d) = edges(top), edges(top - height)
            left = max(b, d) + SIDE if to_right else min(a, c) - SIDE - width
            return Box(left, top - height, left + width, top)

        for to_right in (self.plan.clockwise is beyond for beyond in sides):
            if self.room.upright:
                left, _, right, _ = any_height = at(0.0)
                barred = is_near(any_height, away_from)
                box = None if barred else self.room.first_fit(left, right, height, tops, floor)
            else:
                boxes = (at(top) for top in tops if top - height >= floor)
                boxes = (box for box in boxes if not is_near(box, away_from))
                box = next(filter(self.room.fits, boxes), None)
            if box is not None:
                self.put(lines, box, to_right, role)
                self._take(box, role)
                return box
        return None

    def _between(self, lines: Block, stage: StageMarks, beyond: bool, floor: float) -> Box | None:
        """Put a block into the gap beyond a window, or before it, as near to the window and as high as it fits.

        No other line is nearer to it, START's neither, and no cut parts it from its window.
        """
        width, height, gap = lines.width_mm, lines.height_mm, self.gap_beside(stage, beyond)
        to_right = self.plan.clockwise is beyond
        fitting: list[tuple[float, float, Box]] = []
        for free, top in self._places(width, height, floor):
            for a, b in free:
                if self._gap((a + b) / 2, top) != gap:
                    continue
                left = a if to_right else b - width
                lines_at = [self.span(each, top) for each in self.plan.stages if each is not stage]
                lines_at += [self._at_start(top), *((cut, cut) for cut in self.cuts)]
                away, *others = (
                    max(left - end, begin - left - width) for begin, end in (self.span(stage, top), *lines_at)
                )
                box = Box(left, top - height, left + width, top)
                if away < min(others) and not is_near(box, self.others(stage)):
                    fitting.append((away, -top, box))
        if not fitting:
            return None
        box = min(fitting)[2]
        self.put(lines, box, to_right, "counted")
        self._take(box, "counted")
        return box

    def _widest_mm(self, gap: int, floor: float) -> float:
        """The widest place of a gap, for the lowest letters."""
        places = ((a, b, top) for free, top in self._places(0.0, cap_mm(LEAST_PT), floor) for a, b in free)
        return max((b - a for a, b, top in places if self._gap((a + b) / 2, top) == gap), default=0.0)

    def _places(self, width: float, height: float, floor: float) -> Iterator[tuple[list[Interval], float]]:
        """What is free for something of a width and height above `floor`, with its upper edge, the highest first."""
        return self.room.places(width, height, [top for top in self.tops(height) if top - height >= floor])

    def _meets_start(self, stage: StageMarks) -> bool:
        left, right = self.span(stage, self.mark_top)
        return left - SIDE < self.plan.x_of(0, self.mark_top) < right + SIDE

    def others(self, stage: StageMarks) -> list[Edges]:
        """The windows of all other stages, from which words of this one stay away."""
        return [partial(self.span, each) for each in self.plan.stages if each is not stage and self.clear]

    def _take(self, box: Box, role: str) -> None:
        """Take a block's place; between the same marks two labels on one line stand well apart."""
        self.room.take(box.grown(ALONE) if role == "label" else aside(box))
        field = self.room.field_of(box)
        if role == "label" and field is not None:
            apart = APART * self.cap
            left, right = max(field[0], box.left - apart), min(field[1], box.right + apart)
            self.room.take(Box(left, box.bottom, right, box.top))

    def note_beside(self, stage: StageMarks, said: Sequence[str], floor: float, elsewhere: bool = True) -> bool:
        """Put what belongs to a stop beside its marks, above `floor`, in the second rank, as large as it finds room.

        It never shares a gap with the words of another stage; on the side where its STOP is not, it says of which stage
        it is, or is not put there unless it may stand `elsewhere`.
        """
        ways: list[tuple[Sequence[str], bool]] = []
        for beyond in (True, False):
            gap = self.gap_beside(stage, beyond)
            if self.owns(stage, gap):
                named = gap in self.said or len(self.plan.stages) == 1
                if named or elsewhere:
                    ways.append((said if named else (stage.stage_name, *said), beyond))
        others = self.others(stage)
        widest_mm: dict[bool, float] = {}
        sizes = self.sizes(self.ranks.second_pt)
        good = [size for size in sizes if size >= GOOD_PT] or sizes
        failed: set[tuple[Block, bool]] = set()
        for tried, counts in ((good, (0, 1, 2)), (good, (3, 4, 5)), (sizes, (0, 1, 2, 3, 4, 5))):
            for (words, beyond), size, count in itertools.product(ways, tried, counts):
                lines = said_block(tuple(words), count, size)
                if (lines, beyond) in failed:
                    continue
                box = self._beside(lines, partial(self.span, stage), (beyond,), "counted", floor, others)
                if box is None:
                    if beyond not in widest_mm:
                        widest_mm[beyond] = self._widest_mm(self.gap_beside(stage, beyond), floor)
                    if lines.width_mm <= widest_mm[beyond]:
                        box = self._between(lines, stage, beyond, floor)
                if box is not None:
                    self.say(stage, box)
                    return True
                failed.add((lines, beyond))
        return False

    # -- placing

    def sizes(self, largest: float) -> list[float]:
        """Sizes to try, from the largest down to the smallest legible one."""
        steps = [largest * part for part in (1.0, 0.85, 0.7)]
        return [*(size for size in steps if size > GOOD_PT), *(s for s in (GOOD_PT, 5.5, LEAST_PT) if s <= largest)]

    def tops(self, height: float, alone: bool = False) -> Sequence[float]:
        """Upper edges at which something of a height is tried, the highest first; `alone` is clear of the lane."""
        every = self._every_top[alone]
        count = math.floor((every[0] - self.text_bottom - height) / STEP_MM + 1e-6)
        return every[: max(0, count + 1)]

    def put(self, lines: Block, box: Box, flush_left: bool, role: str) -> None:
        """Set a block's lines into a box that is as large as the block."""
        anchor: Anchor = "start" if flush_left else "end"
        x = box.left if flush_left else box.right
        for (text, size_pt, weight), y in zip(lines.rows, lines.baselines, strict=True):
            self.texts.append(Text(x, box.top + y, text, size_pt, weight, anchor, role=role))


@lru_cache(maxsize=64)  # most strips of a set are as high as the one before
def _every_top(highest: float) -> tuple[float, ...]:
    """The upper edges at which a text is tried, the highest first."""
    return tuple([highest - STEP_MM * k for k in range(int(highest / STEP_MM) + 1)])


def _around(x: float, y: float) -> Interval:
    return x - SIDE, x + SIDE
