"""The drive disc: a flat disc on the driver's square that turns with the socket, read at its edge by a fixed pointer.

Seen from above, facing the drive end. The disc turns with the socket, so its marks lie against the tightening
direction: for a right-hand thread the stop window lies counterclockwise of START, for a left-hand thread clockwise.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from functools import lru_cache

from ...drawing.emphasis import LEFT_HAND
from ...drawing.fonts import SEMIBOLD, text_width_mm, wrap
from ...drawing.primitives import Drawing, Group, Polyline, moved
from ...figures.bent import Row, in_rows, smaller
from ...figures.dial import SIDE_MM, TICKS_MM, Dial, grows_clockwise, holds_zero
from ...figures.words import counted
from ...marks.one_mark import apart_deg
from ...marks.stage_marks import StageMarks, stage_arc
from ...quantities.angles import arc_deg
from .layout import DiscLayout

MARK_PT, LABEL_PT, NOTE_PT = 13.2, 9.0, 7.5
"""Type sizes on a disc of 70 mm: START, STOP and its window (capitals of 3 mm); the aim and LEFT-HAND; all else."""

SHRUNK = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.4)


def draw_disc(plan: DiscLayout) -> Drawing:
    """Draw the disc at true size, START up."""
    return _drawn(plan)[0]


def left_out(plan: DiscLayout) -> tuple[str, ...]:
    """Return the labels that find no room on the disc, for its caption."""
    return _drawn(plan)[1]


def shares(plan: DiscLayout) -> bool:
    """Tell whether the stages of `plan` can share one disc: neither windows nor their labels touch."""
    side = arc_deg(math.tau * plan.lanes.marks[0], 2 * SIDE_MM)
    stages = [marks.stage for marks in plan.stages]
    apart = all(apart_deg(one, other) >= side for one, other in itertools.combinations(stages, 2))
    return apart and not left_out(plan)


@lru_cache(maxsize=16)  # whether stages share a disc shows when it is drawn
def _drawn(plan: DiscLayout) -> tuple[Drawing, tuple[str, ...]]:
    """The disc, and the labels that found no room on it."""
    dial, missing = _laid_out(plan)
    _words(dial, plan)
    half = plan.hole_mm / 2
    dial.arc(plan.outer, 0.0, 360.0, "outer-edge")
    dial.items.append(Polyline(((-half, -half), (half, -half), (half, half), (-half, half)), "square-hole", True))
    middle = plan.outer + 0.1
    content = Group("drive-disc", tuple(moved(item, middle, middle) for item in dial.items))
    return Drawing(2 * middle, 2 * middle, content), missing


def _laid_out(plan: DiscLayout) -> tuple[Dial, tuple[str, ...]]:
    """The disc's marks, scale and texts round (0, 0), and the labels that found no room."""
    dial = Dial(plan.lanes, grows_clockwise(plan.clockwise, turns=True), (0.0, 360.0))
    dial.radial(0.0, plan.hole_mm / 2 + TICKS_MM, plan.outer, "start")
    dial.take(0.0)
    dial.flag(0.0, plan.outer, "start-flag")
    dial.stage_marks(plan.stages, plan.round_start)
    missing = _labels(dial, plan)
    hand = [] if plan.clockwise else [Row(LEFT_HAND, LABEL_PT * plan.growth, hand=True)]
    own = [*hand, Row(f"{plan.drive.inch} in drive", max(6.0, NOTE_PT * plan.growth))]
    if dial.somewhere((smaller(own, share) for share in SHRUNK), 180.0) is None:
        missing = (*missing, *(row.text for row in own))
    dial.arrow("socket turns", max(6.0, NOTE_PT * plan.growth), forwards=False)
    dial.scale()
    return dial, missing


def _words(dial: Dial, plan: DiscLayout) -> None:
    """Put the disc's words where there is room, the last ones left out first."""
    texts = [" · ".join(plan.words[:count]) for count in range(len(plan.words), 0, -1)]
    dial.somewhere((rows for text in texts for rows in _row_choices(text, plan.growth)), 180.0)


def _row_choices(text: str, grown: float) -> Iterator[tuple[Row, ...]]:
    for least_pt, share in ((6.0, 1.0), (6.0, 0.8), (5.0, 0.6)):
        for most in (3, 2, 1, 4):
            yield in_rows(text, most, max(least_pt, NOTE_PT * grown * share))


def _labels(dial: Dial, plan: DiscLayout) -> tuple[str, ...]:
    """A label beside each window and beside START; return what found no room.

    Where a label has no room for how its stages count, that stands elsewhere, for all of them.
    """
    starts = [smaller([Row("START", MARK_PT * plan.growth, SEMIBOLD)], share) for share in SHRUNK]
    around = any(map(holds_zero, plan.stages))
    started = around and dial.at_zero(starts, plan.stages, plan.round_start - SIDE_MM)
    missing, uncounted = [], False
    for stage in sorted(plan.stages, key=lambda stage: stage_arc(stage.stage)):
        begin, span = stage_arc(stage.stage)
        found = dial.beside(_stop_choices(stage, plan.growth), begin, begin + span)
        uncounted = uncounted or (bool(stage.counted) and found is not None and len(found) == len(stage.label))
        if found is None:
            missing.append(" ".join(stage.label))
            dial.beside([(Row(stage.name, 5.0, SEMIBOLD),)], begin, begin + span)
    if not started and (around or dial.beside(starts, 0.0, 0.0) is None):
        missing.append("START")
    if uncounted:
        dial.somewhere(_row_choices(counted(plan.stages), plan.growth), 180.0)
    return tuple(missing)


def _stop_choices(stage: StageMarks, grown: float) -> Iterator[tuple[Row, ...]]:
    """STOP and its window, below it how it counts and the aim; these go before the window gets much smaller."""
    label = [Row(line, MARK_PT * grown, SEMIBOLD) for line in stage.label]
    width = max(text_width_mm(row.text, row.size_pt, row.weight) for row in label)
    size_pt = max(6.0, NOTE_PT * grown)
    notes, wide = (
        [Row(line, size_pt) for text in stage.counted_label for line in wrap(text, room, size_pt)]
        for room in (width, 2 * width)
    )
    aim = [Row(text, max(6.0, LABEL_PT * grown)) for text in stage.aim_label]
    for shares in (SHRUNK[:3], SHRUNK[3:]):
        for rows in ([*label, *notes, *aim], [*label, *wide, *aim], [*label, *notes], label):
            yield from (smaller(rows, share) for share in shares)
