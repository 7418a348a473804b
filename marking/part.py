"""The part side: the ring that lies still on the part round the socket, and stick-on witness pointers.

Seen from above, START travels over the ring in the tightening direction: for a right-hand thread the stop window lies
clockwise of the ring's zero, for a left-hand thread counterclockwise.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from .blocks import CAP_EM
from .dial import SIDE_MM, SMALL_PT, Dial, Interval, Lanes, beside_arc, page_deg
from .drawing import Drawing, Group, Line, Polyline, Primitive, Text, moved, polar
from .errors import RangeError
from .fonts import MM_PER_PT, REGULAR, SEMIBOLD, text_width_mm
from .geometry import arc_deg, stage_arc
from .quantities import trimmed
from .strip import StageMarks

RING_CLEARANCE_MM = 1.0
"""The bore is the socket's OD plus this much by default."""

DEFAULT_RING_WIDTH_MM = 12.0
MIN_RING_WIDTH_MM, MAX_RING_WIDTH_MM = 12.0, 40.0

SECTOR_MARGIN_MM = 16.0
"""Least arc of a sector, at its inner edge, before zero and behind the last mark (our choice: room for the labels)."""

NUMBERS_MM = 2.5
TEXT_MM = 4.9
"""Distances from the beginning of the scale: baseline of the numbers, beginning of the text."""

LEAST_BORE_STEP_MM = 2.0
"""Least difference of two bores: their circles lie 1 mm apart, just enough for a number of 5 pt between neighbours."""

BORE_LIFT_MM = 1.0
"""With several bores the scale begins this far outside the largest one, whose number stands on its circle."""

POINTER_WIDTH_MM, POINTER_HEIGHT_MM = 11.0, 18.0


@dataclass(frozen=True)
class RingPlan:
    """Everything a part ring is drawn from; `slit` is the angle of its slit from zero, in degrees of tightening.

    `bores_mm` are bores to choose from when cutting out, for a range of ODs: `bore_mm` is the largest of them, each is
    numbered with the OD it is for, which is the bore less `clearance_mm`. Raises RangeError for a width outside
    12 .. 40 mm and for bores that are larger than `bore_mm` or less than 2 mm apart.
    """

    bore_mm: float
    width_mm: float
    clockwise: bool
    stages: tuple[StageMarks, ...]
    slit: float
    sector: bool = False
    bores_mm: tuple[float, ...] = ()
    clearance_mm: float = RING_CLEARANCE_MM

    def __post_init__(self) -> None:
        if not MIN_RING_WIDTH_MM <= self.width_mm <= MAX_RING_WIDTH_MM:
            raise RangeError(
                f"the ring is {self.width_mm:g} mm wide", f"{MIN_RING_WIDTH_MM:g} to {MAX_RING_WIDTH_MM:g} mm",
                "check --ring-width", self.width_mm,
            )  # fmt: skip
        bores = self.bores
        steps = [b - a for a, b in itertools.pairwise(bores)]
        if bores[-1] > self.bore_mm or bores[0] <= self.clearance_mm or any(s < LEAST_BORE_STEP_MM for s in steps):
            raise RangeError(
                f"the ring has bores of {', '.join(f'{bore:g}' for bore in bores)} mm",
                f"bores {LEAST_BORE_STEP_MM:g} mm apart or more, the largest {self.bore_mm:g} mm",
                "leave some of them out", self.bores_mm,
            )  # fmt: skip

    @property
    def bores(self) -> tuple[float, ...]:
        """All bores, by size."""
        return tuple(sorted({self.bore_mm, *self.bores_mm}))

    @property
    def inner(self) -> float:
        """Radius of the largest bore, from which scale and texts are laid out."""
        return self.bore_mm / 2

    @property
    def innermost(self) -> float:
        """Radius of the smallest bore, to which the marks run."""
        return self.bores[0] / 2

    @property
    def outer(self) -> float:
        """Radius of the outer edge."""
        return self.bore_mm / 2 + self.width_mm

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
        if self.closed:
            outer = self.outer + 0.1
            return -outer, -outer, outer, outer
        first, last = self.extent
        turns = [first, last, *(deg for deg in range(-360, 361, 90) if first < deg < last)]
        points = [
            polar(radius, page_deg(deg, self.clockwise)) for deg in turns for radius in (self.innermost, self.outer)
        ]
        xs, ys = [x for x, _ in points], [y for _, y in points]
        return min(xs) - 0.1, min(ys) - 0.1, max(xs) + 0.1, max(ys) + 0.1

    @property
    def lanes(self) -> Lanes:
        """Where marks, scale and texts stand along the radius."""
        begin = self.inner + (BORE_LIFT_MM if self.bores_mm else 0.0)
        return Lanes((self.innermost, self.outer), begin, False, begin + NUMBERS_MM, (begin + TEXT_MM, self.outer))


def draw_ring(plan: RingPlan) -> Drawing:
    """Draw the part ring, or a sector of it, at true size."""
    dial = Dial(plan.lanes, plan.clockwise, plan.extent)
    for end in plan.extent:
        dial.take(end)
    dial.radial(0.0, plan.innermost, plan.outer, "zero")
    dial.take(0.0)
    dial.flag(0.0, plan.inner, "zero-flag")
    dial.stage_marks(plan.stages)
    for stage in sorted(plan.stages, key=lambda stage: stage_arc(stage.stage)):
        begin, span = stage_arc(stage.stage)
        dial.beside([stage.label, (stage.name,)], begin, begin + span)
    dial.beside([("ZERO", "at START"), ("ZERO",)], 0.0, 0.0, beyond_first=False)
    dial.scale()
    dial.arrow("START travels")
    _edges(dial, plan)
    left, bottom, right, top = plan.box
    items = tuple(moved(item, -left, -bottom) for item in dial.items)
    return Drawing(right - left, top - bottom, Group("part-ring", items))


def _edges(dial: Dial, plan: RingPlan) -> None:
    """The cut lines: bores, outer edge, and the slit, or the two ends of a sector."""
    first, last = plan.extent
    if plan.bores_mm:
        _numbered_bores(dial, plan)
    else:
        dial.arc(plan.inner, first, last, "inner-edge")
    dial.arc(plan.outer, first, last, "outer-edge")
    dial.radial(last, plan.innermost, plan.outer, "slit")
    if not plan.closed:
        dial.radial(first, plan.innermost, plan.outer, "slit")


def _numbered_bores(dial: Dial, plan: RingPlan) -> None:
    """A circle for each bore with its OD in a gap of it; the gaps wind inwards, so that no number touches another.

    Numbers of circles less than two steps apart may not stand side by side. A number that finds no room, on a small
    circle crowded with marks, is left out; its circle keeps its OD as data.
    """
    first, last = plan.extent
    numbers: list[tuple[float, Interval]] = []
    begin = first
    for bore in reversed(plan.bores):
        radius, text = bore / 2, trimmed(bore - plan.clearance_mm, 2)
        half = arc_deg(math.tau * (radius - 0.6), text_width_mm(text, SMALL_PT) / 2 + SIDE_MM / 2)
        taken = [beside_arc(deg, span, radius - 0.6) for deg, span in _marked(dial, plan)]
        taken += [arc for other, arc in numbers if other - radius < 0.95 * LEAST_BORE_STEP_MM]
        data = (("od", text),)
        degs = (first + (begin - first + off) % (last - first) for off in range(int(last - first)))
        middle = next((deg for deg in degs if dial.free(taken, deg - half, deg + half)), None)
        if middle is None:
            dial.arc(radius, first, last, "inner-edge", data)
            continue
        dial.text(text, middle, radius - CAP_EM * SMALL_PT * MM_PER_PT / 2, SMALL_PT, REGULAR, "number")
        numbers.append((radius, (middle - half, middle + half)))
        begin = middle
        if plan.closed:
            dial.arc(radius, middle + half, middle - half + 360.0, "inner-edge", data)
        else:
            dial.arc(radius, first, middle - half, "inner-edge", data)
            dial.arc(radius, middle + half, last, "inner-edge", data)


def _marked(dial: Dial, plan: RingPlan) -> list[tuple[float, float]]:
    """The arcs that marks and windows take, as (begin, span)."""
    return [*dial.arcs, *(stage_arc(stage.stage) for stage in plan.stages)]


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
