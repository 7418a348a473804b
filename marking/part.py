"""The part side: the ring that lies still on the part round the socket, and stick-on witness pointers.

Seen from above, START travels over the ring in the tightening direction: for a right-hand thread the stop window lies
clockwise of the ring's zero, for a left-hand thread counterclockwise.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from .band import StageMarks
from .drawing import (
    Arc,
    Data,
    Drawing,
    Group,
    Line,
    Point,
    Polyline,
    Primitive,
    Text,
    hatch_segments,
    moved,
    polar,
)
from .errors import RangeError
from .fonts import REGULAR, SEMIBOLD, text_width_mm
from .geometry import arc_deg, arc_mm, stage_arc

RING_CLEARANCE_MM = 1.0
"""The bore is the socket's OD plus this much by default."""

DEFAULT_RING_WIDTH_MM = 12.0
MIN_RING_WIDTH_MM, MAX_RING_WIDTH_MM = 12.0, 40.0

SECTOR_MARGIN_MM = 16.0
"""Least arc of a sector, at its inner edge, before zero and behind the last mark (our choice: room for the labels)."""

TICKS_MM = 2.0
NUMBERS_MM = 2.5
TEXT_MM = 4.9
"""Distances from the inner edge: length of the ticks, baseline of the numbers, beginning of the text."""

SIDE_MM = 0.8
TICK_STEPS = (1, 2, 5, 10, 15, 30)
LABEL_STEPS = (10, 15, 30, 45, 60, 90)
LEAST_TICK_PITCH_MM = 0.75
SMALL_PT = 5.0

POINTER_WIDTH_MM, POINTER_HEIGHT_MM = 11.0, 18.0


@dataclass(frozen=True)
class RingPlan:
    """Everything a part ring is drawn from; `slit` is the angle of its slit from zero, in degrees of tightening."""

    bore_mm: float
    width_mm: float
    clockwise: bool
    stages: tuple[StageMarks, ...]
    slit: float
    sector: bool = False

    def __post_init__(self) -> None:
        if not MIN_RING_WIDTH_MM <= self.width_mm <= MAX_RING_WIDTH_MM:
            raise RangeError(
                f"the ring is {self.width_mm:g} mm wide", f"{MIN_RING_WIDTH_MM:g} to {MAX_RING_WIDTH_MM:g} mm",
                "check --ring-width", self.width_mm,
            )  # fmt: skip

    @property
    def inner(self) -> float:
        """Radius of the bore."""
        return self.bore_mm / 2

    @property
    def outer(self) -> float:
        """Radius of the outer edge."""
        return self.bore_mm / 2 + self.width_mm

    def page_deg(self, deg: float) -> float:
        """Return the direction on the page, counterclockwise from the x axis, of an angle of tightening.

        Zero points up.
        """
        return 90.0 - deg if self.clockwise else 90.0 + deg

    @property
    def extent(self) -> tuple[float, float]:
        """The first and last angle of tightening on the paper: the slit all the way round, or the sector's ends."""
        if not self.sector:
            return self.slit - 360.0, self.slit
        margin = arc_deg(math.tau * self.inner, SECTOR_MARGIN_MM)
        last = max(begin + span for begin, span in (stage_arc(stage.stage) for stage in self.stages))
        if last + 2 * margin > 350.0:
            return self.slit - 360.0, self.slit
        return -margin, last + margin

    @property
    def closed(self) -> bool:
        """True when the paper goes all the way round."""
        first, last = self.extent
        return last - first >= 360.0 - 1e-9

    @property
    def box(self) -> tuple[float, float, float, float]:
        """The box (left, bottom, right, top) that holds the outline, round the centre."""
        first, last = self.extent
        degs = [first + (last - first) * k / 720 for k in range(721)]
        points = [polar(radius, self.page_deg(deg)) for deg in degs for radius in (self.inner, self.outer)]
        xs, ys = [x for x, _ in points], [y for _, y in points]
        return min(xs) - 0.1, min(ys) - 0.1, max(xs) + 0.1, max(ys) + 0.1


def draw_ring(plan: RingPlan) -> Drawing:
    """Draw the part ring, or a sector of it, at true size."""
    ring = _Ring(plan)
    ring.marks()
    ring.labels()
    ring.scale()
    ring.arrow()
    ring.edges()
    left, bottom, right, top = plan.box
    items = tuple(moved(item, -left, -bottom) for item in ring.items)
    return Drawing(right - left, top - bottom, Group("part-ring", items))


class _Ring:
    """The content of one ring round (0, 0) while its texts find their places."""

    def __init__(self, plan: RingPlan) -> None:
        self.plan = plan
        self.items: list[Primitive] = []
        self.taken_text: list[tuple[float, float]] = []
        self.taken_numbers: list[tuple[float, float]] = []
        first, last = plan.extent
        self._take(first, 0.0)
        self._take(last, 0.0)

    def _take(self, deg: float, span: float) -> None:
        """Keep texts and numbers off the arc of a mark, with some space beside it."""
        for taken, radius in (
            (self.taken_text, self.plan.inner + TEXT_MM),
            (self.taken_numbers, self.plan.inner + NUMBERS_MM),
        ):
            side = arc_deg(math.tau * radius, SIDE_MM)
            taken.append((deg - side, deg + span + side))

    def _free(self, taken: Iterable[tuple[float, float]], low: float, high: float) -> bool:
        """Tell whether low..high lies on the paper and off everything taken, whole turns apart or not."""
        first, last = self.plan.extent
        if not self.plan.closed and not (first <= low and high <= last):
            return False
        return all(
            high + turn <= a or low + turn >= b for a, b in taken for turn in (-720.0, -360.0, 0.0, 360.0, 720.0)
        )

    def _radial(self, deg: float, inner: float, outer: float, role: str, data: Data = ()) -> None:
        (x1, y1), (x2, y2) = polar(inner, self.plan.page_deg(deg)), polar(outer, self.plan.page_deg(deg))
        self.items.append(Line(x1, y1, x2, y2, role, data))

    def marks(self) -> None:
        """Zero, and for each stage the window's edges with hatch between them, or the stop line."""
        plan = self.plan
        self._radial(0.0, plan.inner, plan.outer, "zero")
        self._take(0.0, 0.0)
        self._flag(0.0)
        for stage in plan.stages:
            data = (("stage", " ".join(map(str, stage.numbers))),)
            begin, span = stage_arc(stage.stage)
            for mark in stage.marks:
                self._radial(mark.deg, plan.inner, plan.outer, mark.kind, data)
                self._take(mark.deg, 0.0)
            if span:
                self._hatch(begin, span, data)
                radius = plan.inner + TEXT_MM
                side = arc_deg(math.tau * radius, SIDE_MM)
                self.taken_text.append((begin - side, begin + span + side))

    def _flag(self, deg: float) -> None:
        """A filled triangle at the inner edge, its tip on the edge."""
        at = self.plan.page_deg(deg)
        half = arc_deg(math.tau * (self.plan.inner + 2.2), 1.1)
        tip, left, right = (
            polar(self.plan.inner, at),
            polar(self.plan.inner + 2.2, at + half),
            polar(self.plan.inner + 2.2, at - half),
        )
        self.items.append(Polyline((tip, left, right), "zero-flag", True, 0.0))

    def _hatch(self, begin: float, span: float, data: Data) -> None:
        """Hatch the window: lines at 45° to the radius, bent with the ring."""
        inner = self.plan.inner + TEXT_MM
        middle = (inner + self.plan.outer) / 2
        for x1, y1, x2, y2 in hatch_segments(arc_mm(math.tau * middle, span), self.plan.outer - inner):
            points: list[Point] = []
            for k in range(9):
                x, y = x1 + (x2 - x1) * k / 8, y1 + (y2 - y1) * k / 8
                points.append(polar(inner + y, self.plan.page_deg(begin + arc_deg(math.tau * middle, x))))
            self.items.append(Polyline(tuple(points), "hatch", data=data))

    def scale(self) -> None:
        """Degree ticks on the inner edge and their numbers; numbers that would touch a mark are left out."""
        plan = self.plan
        _first, _last = plan.extent
        length = math.tau * plan.inner
        step = next((s for s in TICK_STEPS if arc_mm(length, s) >= LEAST_TICK_PITCH_MM), TICK_STEPS[-1])
        for deg in range(0, 360, step):
            if self._on_paper(deg):
                long = 1.0 if deg % 10 == 0 else 0.7 if deg % 5 == 0 else 0.45
                self._radial(deg, plan.inner, plan.inner + TICKS_MM * long, "degree", (("deg", str(deg)),))
        radius = plan.inner + NUMBERS_MM
        room = text_width_mm("330°", SMALL_PT) + SIDE_MM
        label = next((s for s in LABEL_STEPS if arc_mm(math.tau * radius, s) >= room), LABEL_STEPS[-1])
        for deg in range(label, 360, label):
            low, high = self._text_arc(deg, text_width_mm(f"{deg}°", SMALL_PT), radius)
            if any(self._free(self.taken_numbers, low + turn, high + turn) for turn in (0.0, -360.0)):
                self._text(f"{deg}°", deg, radius, SMALL_PT, REGULAR, "number")

    def _on_paper(self, deg: float) -> bool:
        first, last = self.plan.extent
        return any(first <= deg + turn <= last for turn in (0.0, -360.0))

    def _text_arc(self, deg: float, width: float, radius: float) -> tuple[float, float]:
        half = math.degrees(math.atan(width / 2 / radius))
        return deg - half, deg + half

    def _text(self, text: str, deg: float, radius: float, size_pt: float, weight: str, role: str) -> None:
        """Put text across the radius at `deg`, its baseline at `radius`, its top outwards."""
        at = self.plan.page_deg(deg)
        x, y = polar(radius, at)
        self.items.append(Text(x, y, text, size_pt, weight, "middle", at - 90.0, role=role))

    def labels(self) -> None:
        """A stop label beside each window and words beside zero; what finds no room is left to the caption."""
        for stage in sorted(self.plan.stages, key=lambda stage: stage_arc(stage.stage)):
            begin, span = stage_arc(stage.stage)
            self._beside([stage.label, (stage.name,)], begin, begin + span)
        self._beside([("ZERO", "at START"), ("ZERO",)], 0.0, 0.0, beyond_first=False)

    def _beside(self, choices: Sequence[tuple[str, ...]], begin: float, end: float, beyond_first: bool = True) -> None:
        """Put the first choice of lines that fits beyond an arc of marks, or before it, on the ring's text part."""
        for lines in choices:
            for size in (7.0, 6.5, 6.0, 5.5, 5.0):
                if self._block(lines, size, begin, end, beyond_first):
                    return

    def _block(self, lines: tuple[str, ...], size: float, begin: float, end: float, beyond_first: bool) -> bool:
        plan, pitch, base = self.plan, size * 0.36, self.plan.inner + TEXT_MM
        width = max(text_width_mm(line, size, SEMIBOLD) for line in lines)
        top = base + pitch * (len(lines) - 1) + 0.26 * size
        if math.hypot(top, width / 2) > plan.outer - 0.3:
            return False
        half = math.degrees(math.atan(width / 2 / base))
        gap = arc_deg(math.tau * base, 2 * SIDE_MM)
        for beyond in (beyond_first, not beyond_first):
            middle = end + gap + half if beyond else begin - gap - half
            if self._free(self.taken_text, middle - half, middle + half):
                self.taken_text.append((middle - half - gap / 2, middle + half + gap / 2))
                for k, line in enumerate(reversed(lines)):
                    weight = SEMIBOLD if k == len(lines) - 1 else REGULAR
                    self._text(line, middle, base + pitch * k, size, weight, "label")
                return True
        return False

    def arrow(self) -> None:
        """A bent arrow for the way START travels: just beyond zero, with words if they fit there, else elsewhere."""
        for farthest in (15, 340):
            for words in ("START travels", ""):
                for length in (14.0, 9.0, 6.0):
                    if self._arrow_at(range(1, farthest, 2), words, length):
                        return

    def _arrow_at(self, begins: Iterable[int], words: str, length: float) -> bool:
        radius = self.plan.inner + TEXT_MM + 1.0
        sweep = arc_deg(math.tau * radius, length)
        half = text_width_mm(words, SMALL_PT) / 2 + SIDE_MM if words else 0.0
        words_deg = 2 * math.degrees(math.atan(half / radius))
        for begin in begins:
            end = begin + sweep + words_deg
            if self._free(self.taken_text, begin, end):
                self.taken_text.append((begin, end))
                self._put_arrow(begin, sweep, radius)
                if words:
                    self._text(words, end - words_deg / 2, radius - 0.6, SMALL_PT, REGULAR, "words")
                return True
        return False

    def _put_arrow(self, begin: float, sweep: float, radius: float) -> None:
        plan = self.plan
        head = arc_deg(math.tau * radius, 1.8)
        tail_page, neck_page = plan.page_deg(begin), plan.page_deg(begin + sweep - head)
        self.items.append(Arc(0, 0, radius, min(tail_page, neck_page), sweep - head, "arrow"))
        tip = polar(radius, plan.page_deg(begin + sweep))
        neck = (polar(radius + 0.8, neck_page), polar(radius - 0.8, neck_page))
        self.items.append(Polyline((tip, *neck), "arrow-head", True, 0.0))

    def edges(self) -> None:
        """The cut lines: bore, outer edge, and the slit, or the two ends of a sector."""
        plan = self.plan
        first, last = plan.extent
        start = plan.page_deg(last) if plan.clockwise else plan.page_deg(first)
        for radius, role in ((plan.inner, "inner-edge"), (plan.outer, "outer-edge")):
            self.items.append(Arc(0, 0, radius, start, min(360.0, last - first), role))
        self._radial(last, plan.inner, plan.outer, "slit")
        if not plan.closed:
            self._radial(first, plan.inner, plan.outer, "slit")


def draw_pointer(number: int) -> Drawing:
    """Draw one stick-on witness pointer: a hairline to lay beside START, and the fastener's number."""
    width, height, middle = POINTER_WIDTH_MM, POINTER_HEIGHT_MM, POINTER_WIDTH_MM / 2
    items: tuple[Primitive, ...] = (
        Polyline(((0, 0), (width, 0), (width, height), (0, height)), "cut", True),
        Line(middle, height - 7.5, middle, height, "witness"),
        Polyline(
            ((middle, height - 6.5), (middle + 1.0, height - 8.5), (middle - 1.0, height - 8.5)),
            "flag",
            True,
            0.0,
        ),
        Text(middle, height - 10.8, "to START", SMALL_PT, anchor="middle"),
        Text(middle, 2.0, str(number), 12.0, SEMIBOLD, "middle"),
    )
    return Drawing(width, height, Group("witness-pointer", items, (("number", str(number)),)))
