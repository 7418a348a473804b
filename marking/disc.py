"""The drive disc: a flat disc on the driver's square that turns with the socket, read at its edge by a fixed pointer.

Seen from above, facing the drive end. The disc turns with the socket, so its marks lie against the tightening
direction: for a right-hand thread the stop window lies counterclockwise of START, for a left-hand thread clockwise.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from .budget import disc_hole_mm
from .dial import SIDE_MM, TICKS_MM, Dial, Lanes
from .drawing import Drawing, Group, Polyline, moved
from .errors import RangeError
from .geometry import arc_deg, stage_arc
from .quantities import shown_length
from .socket import Drive
from .strip import StageMarks

USUAL_DIAMETER_MM, MAX_DIAMETER_MM = 70.0, 280.0
LEAST_LANE_MM = 11.5
"""Least distance from the hole's corners to the edge: what scale and labels need (our choice, like the diameters)."""

MARKS_MM = 18.0
"""Length of the stop marks where the disc has room for it; START begins at the hole (our choice)."""

HOLE_GAP_MM = 0.5
NUMBERS_MM, TEXT_MM = 3.8, 4.9
"""Distances from the outer edge: baseline of the numbers, beginning of the text."""


@dataclass(frozen=True)
class DiscPlan:
    """Everything a drive disc is drawn from; `clockwise` tells how the thread tightens, seen from the drive end.

    `words` are lines to print where there is room for them. Raises RangeError for a diameter that leaves less than
    11.5 mm round the hole or exceeds 280 mm.
    """

    diameter_mm: float
    drive: Drive
    clockwise: bool
    stages: tuple[StageMarks, ...]
    words: tuple[str, ...] = ()
    unit: str = "mm"

    def __post_init__(self) -> None:
        least = least_diameter_mm(self.drive)
        if not least <= self.diameter_mm <= MAX_DIAMETER_MM:
            raise RangeError(
                f"the disc is {shown_length(self.diameter_mm, self.unit)} across",
                f"{shown_length(least, self.unit)} to {shown_length(MAX_DIAMETER_MM, self.unit)} for a "
                f"{self.drive.inch} in drive",
                "check --diameter",
                self.diameter_mm,
            )

    @property
    def outer(self) -> float:
        """Radius of the reading edge."""
        return self.diameter_mm / 2

    @property
    def hole_mm(self) -> float:
        """Side of the square hole."""
        return disc_hole_mm(self.drive)

    @property
    def lanes(self) -> Lanes:
        """Where marks, scale and texts stand along the radius."""
        outer = self.outer
        inner = max(outer - MARKS_MM, self.hole_mm / math.sqrt(2) + HOLE_GAP_MM)
        return Lanes((inner, outer), outer, True, outer - NUMBERS_MM, (inner, outer - TEXT_MM))


def least_diameter_mm(drive: Drive) -> float:
    """Return the smallest disc for a drive: its hole's diagonal and a lane all round. For 1/2 in: 41.4 mm."""
    return disc_hole_mm(drive) * math.sqrt(2) + 2 * LEAST_LANE_MM


def usual_diameter_mm(drive: Drive) -> float:
    """Return the diameter when none is asked for: 70 mm, or the next 10 mm that a large drive needs."""
    return max(USUAL_DIAMETER_MM, math.ceil(least_diameter_mm(drive) / 10) * 10.0)


def draw_disc(plan: DiscPlan) -> Drawing:
    """Draw the disc at true size, START up."""
    dial, _ = _laid_out(plan)
    half = plan.hole_mm / 2
    dial.arc(plan.outer, 0.0, 360.0, "outer-edge")
    dial.items.append(Polyline(((-half, -half), (half, -half), (half, half), (-half, half)), "square-hole", True))
    middle = plan.outer + 0.1
    return Drawing(
        2 * middle, 2 * middle, Group("drive-disc", tuple(moved(item, middle, middle) for item in dial.items))
    )


def left_out(plan: DiscPlan) -> tuple[str, ...]:
    """Return the labels that find no room on the disc, for its caption."""
    return _laid_out(plan)[1]


def shares(plan: DiscPlan) -> bool:
    """Tell whether the stages of `plan` can share one disc: neither windows nor their labels touch."""
    side = arc_deg(math.tau * plan.lanes.marks[0], 2 * SIDE_MM)
    arcs = [stage_arc(stage.stage) for stage in plan.stages]
    apart = all(
        (begin - other) % 360.0 >= other_span + side and (other - begin) % 360.0 >= span + side
        for (begin, span), (other, other_span) in itertools.combinations(arcs, 2)
    )
    return apart and not left_out(plan)


def _laid_out(plan: DiscPlan) -> tuple[Dial, tuple[str, ...]]:
    """The disc's marks, scale and texts round (0, 0), and the labels that found no room."""
    dial = Dial(plan.lanes, not plan.clockwise, (0.0, 360.0))
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
