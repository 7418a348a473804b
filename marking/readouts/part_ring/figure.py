"""The part side: the ring that lies still on the part round the socket, and stick-on witness pointers.

Seen from above, START travels over the ring in the tightening direction: for a right-hand thread the stop window lies
clockwise of the ring's zero, for a left-hand thread counterclockwise.
"""

from __future__ import annotations

import math

from ...drawing.fonts import CAP_EM, MM_PER_PT, REGULAR, SMALL_PT, text_width_mm
from ...drawing.primitives import Drawing, Group
from ...drawing.transform import moved
from ...figures.dial import SIDE_MM, Dial, Interval, beside_arc
from ...marks.stage_marks import stage_arc
from ...quantities.angles import arc_deg
from ...quantities.shown import trimmed
from .layout import LEAST_BORE_STEP_MM, RingLayout


def draw_ring(plan: RingLayout) -> Drawing:
    """Draw the part ring, or a sector of it, at true size."""
    dial = Dial(plan.lanes, plan.grows_clockwise, plan.extent)
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


def _edges(dial: Dial, plan: RingLayout) -> None:
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


def _numbered_bores(dial: Dial, plan: RingLayout) -> None:
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


def _marked(dial: Dial, plan: RingLayout) -> list[tuple[float, float]]:
    """The arcs that marks and windows take, as (begin, span)."""
    return [*dial.arcs, *(stage_arc(stage.stage) for stage in plan.stages)]
