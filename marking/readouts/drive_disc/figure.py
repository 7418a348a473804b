"""The drive disc: a flat disc on the driver's square that turns with the socket, read at its edge by a fixed pointer.

Seen from above, facing the drive end. The disc turns with the socket, so its marks lie against the tightening
direction: for a right-hand thread the stop window lies counterclockwise of START, for a left-hand thread clockwise.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from ...drawing.primitives import Drawing, Group, Polyline
from ...drawing.transform import moved
from ...figures.dial import SIDE_MM, TICKS_MM, Dial, grows_clockwise
from ...marks.stage_marks import StageMarks, stage_arc
from ...quantities.angles import arc_deg
from .layout import DiscLayout


def draw_disc(plan: DiscLayout) -> Drawing:
    """Draw the disc at true size, START up."""
    dial, _ = _laid_out(plan)
    half = plan.hole_mm / 2
    dial.arc(plan.outer, 0.0, 360.0, "outer-edge")
    dial.items.append(Polyline(((-half, -half), (half, -half), (half, half), (-half, half)), "square-hole", True))
    middle = plan.outer + 0.1
    return Drawing(
        2 * middle, 2 * middle, Group("drive-disc", tuple(moved(item, middle, middle) for item in dial.items))
    )


def left_out(plan: DiscLayout) -> tuple[str, ...]:
    """Return the labels that find no room on the disc, for its caption."""
    return _laid_out(plan)[1]


def shares(plan: DiscLayout) -> bool:
    """Tell whether the stages of `plan` can share one disc: neither windows nor their labels touch."""
    side = arc_deg(math.tau * plan.lanes.marks[0], 2 * SIDE_MM)
    arcs = [stage_arc(stage.stage) for stage in plan.stages]
    apart = all(
        (begin - other) % 360.0 >= other_span + side and (other - begin) % 360.0 >= span + side
        for (begin, span), (other, other_span) in itertools.combinations(arcs, 2)
    )
    return apart and not left_out(plan)


def _laid_out(plan: DiscLayout) -> tuple[Dial, tuple[str, ...]]:
    """The disc's marks, scale and texts round (0, 0), and the labels that found no room."""
    dial = Dial(plan.lanes, grows_clockwise(plan.clockwise, turns=True), (0.0, 360.0))
    dial.radial(0.0, plan.hole_mm / 2 + TICKS_MM, plan.outer, "start")
    dial.take(0.0)
    dial.flag(0.0, plan.outer, "start-flag")
    dial.stage_marks(plan.stages)
    missing = _labels(dial, plan.stages)
    dial.scale()
    dial.arrow("socket turns", forwards=False)
    if plan.words:
        dial.somewhere([plan.words], 180.0)
    return dial, missing


def _labels(dial: Dial, stages: Sequence[StageMarks]) -> tuple[str, ...]:
    """A label beside each window and beside START; return what found no room."""
    missing = []
    for stage in sorted(stages, key=lambda stage: stage_arc(stage.stage)):
        begin, span = stage_arc(stage.stage)
        if dial.beside([(*stage.label, *stage.aim_label), stage.label], begin, begin + span) is None:
            missing.append(" ".join(stage.label))
            dial.beside([(stage.name,)], begin, begin + span)
    begin, end = _round_start(stages)
    inside = end > begin  # then the label stands beside the window, with the sign of START's flag
    choices = [("START ▲",)] if inside else [("START",)]
    if dial.beside(choices, begin, end, beyond_first=not inside) is None:
        missing.append("START")
    return tuple(missing)


def _round_start(stages: Sequence[StageMarks]) -> tuple[float, float]:
    """The arc round START that a window on both its sides takes, (0, 0) without one."""
    begin = end = 0.0
    for first, span in (stage_arc(stage.stage) for stage in stages):
        before = -first % 360.0
        if before <= span:
            begin, end = min(begin, -before), max(end, span - before)
    return begin, end
