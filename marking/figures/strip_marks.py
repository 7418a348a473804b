"""The marks of a strip: START, the windows with their hatch, and where figures may stand in them."""

from __future__ import annotations

import itertools

from ..drawing.primitives import Data, Line, Polyline, Primitive, new
from ..drawing.transform import slanted_hatch
from ..marks.stage_marks import StageMarks
from .room import Interval
from .strip import Strip
from .strip_layout import SIDE

CHANNEL_MM = 0.7
"""What is left without hatch on either side of START's line within a window (our choice)."""


def marks(strip: Strip) -> list[Primitive]:
    """START, and for each stage the window's edges with hatch between them, or the stop line."""
    foot = strip.plan.foot_mm
    x, size = strip.plan.x_of(0, foot), max(0.75, strip.ranks.tick_mm / 2.5)
    flag = Polyline(
        ((x, foot), (x + 1.1 * size, foot + 2.2 * size), (x - 1.1 * size, foot + 2.2 * size)),
        "start-flag", True, 0.0,
    )  # fmt: skip
    drawn: list[Primitive] = [strip.line(0.0, strip.mark_top, "start"), flag]
    for stage in strip.plan.stages:
        data = (("stage", " ".join(map(str, stage.numbers))),)
        drawn += _hatch(strip, stage, data)
        drawn += [strip.line(mark.deg, strip.top_of(stage), mark.kind, data) for mark in stage.marks]
    return drawn


def _hatch(strip: Strip, stage: StageMarks, data: Data) -> list[Primitive]:
    """Hatch a window above the ticks, or over all rows, slanted with its edges, clear of START's line in it.

    Where figures stand in it, it is hatched above them.
    """
    foot, top = 0.0 if strip.plan.foot_mm else strip.text_bottom + 0.3, strip.top_of(stage)
    low, high = strip.span(stage)
    if _is_wide(strip, stage) and any(low < box.left < high for box in strip.figures):
        foot = strip.numbers_top

    def sides(y: float) -> list[Interval]:
        left, right = strip.span(stage, y)
        if not strip.holds_start(stage, strip.mark_top):
            return [(left, right)]
        x = strip.plan.x_of(0, y)
        return [(left, x - CHANNEL_MM), (x + CHANNEL_MM, right)]

    parts = zip(sides(foot), sides(top), strict=True)
    ends = itertools.chain.from_iterable(slanted_hatch(below, above, foot, top) for below, above in parts)
    return [new(Line, (*four, "hatch", data)) for four in ends]


def _is_wide(strip: Strip, stage: StageMarks) -> bool:
    """Tell whether a window may hold figures: not among the rows of a trim band, hatched to their end."""
    left, right = strip.span(stage)
    return not strip.plan.foot_mm and right - left > 4 * SIDE


def within_windows(strip: Strip) -> list[Interval]:
    """Where figures may stand between the lines of wide windows, START's too if one holds it."""
    found: list[Interval] = []
    for stage in strip.plan.stages:
        if not _is_wide(strip, stage):
            continue
        left, right = strip.span(stage)
        inner = (0.0,) if stage.aim_deg is None else (0.0, stage.aim_deg)
        lines = sorted({left, right, *(x for x in map(strip.plan.x_of, inner) if left < x < right)})
        found += [(a + SIDE, b - SIDE) for a, b in itertools.pairwise(lines) if b - a > 2 * SIDE]
    return found
