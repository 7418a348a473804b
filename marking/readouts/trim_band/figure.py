"""The trim band: a band for a range of ODs, cut along the row of the socket's own OD.

Rows for falling ODs lie one above the other from the fastener edge up, `D(v) = D_high − v / k`. START is upright; every
other mark is the straight slanted line `u(θ, v) = θ/360 · π (D(v) + t)`, so that it is right wherever the band is cut:
the cut edge is the reading edge.
"""

from __future__ import annotations

import math
from functools import lru_cache

from ...drawing.fonts import HALF_SMALL_CAP_MM, SMALL_PT
from ...drawing.primitives import Drawing, Group, Line, Polyline, Primitive, Text, moved
from ...figures.closure import OUTSIDE_MM, ok_bracket
from ...figures.strip import Strip
from ...figures.strip_layout import TAB_MM
from ...figures.strip_marks import marks
from ...figures.strip_words import filled
from ...quantities.shown import trimmed
from ...quantities.units import MM_PER_IN
from ..band.figure import GLUE_WORDS, scale_number, tab_text
from .layout import LABEL_MM, TrimBandLayout, trim_width_mm

ROW_STEPS = {"mm": (0.5, 1.0, 1.0), "in": (0.02, 0.1, MM_PER_IN)}
"""Every row, every numbered row, in the unit; the unit in mm."""

FLAG_MM = 3.4
"""Height of OK's middle above the last row: on the tab, clear of the rows' lines and the numbers."""

TAB_STEPS = {"mm": 1.0, "in": 0.04}
"""Steps of OD of the closure scale on the tab, in the unit."""


@lru_cache(maxsize=32)  # as `draw_band`
def draw_trim_band(plan: TrimBandLayout) -> tuple[Drawing, tuple[str, ...]]:
    """Draw a trim band; return it with the words that found no room. Raises LayoutError when a label finds none."""
    strip = filled(plan)
    items = [*_closure(plan), *_rows(plan), *_lines(plan, strip), *marks(strip), *strip.texts, *_outline(plan)]
    content = Group("trim-band", tuple(moved(item, LABEL_MM, 0.0) for item in items))
    return Drawing(trim_width_mm(plan), plan.height_mm, content), tuple(strip.below)


def _rows(plan: TrimBandLayout) -> list[Primitive]:
    """A line for every row across strip and tab, and its OD at both ends, outside the cut."""
    step, numbered, unit_mm = ROW_STEPS[plan.unit]
    drawn: list[Primitive] = []
    first = math.ceil(plan.low_od_mm / unit_mm / step - 1e-6)
    for k in range(first, math.floor(plan.high_od_mm / unit_mm / step + 1e-6) + 1):
        od_mm = k * step * unit_mm
        y = plan.y_of(od_mm)
        left, right = plan.ends(y)
        major = abs(k * step / numbered - round(k * step / numbered)) < 1e-6
        reach = 1.2 if major else 0.5
        drawn.append(Line(left - reach, y, right + TAB_MM + reach, y, "row", (("od", f"{od_mm:.4f}"),)))
        if major:
            text = trimmed(k * step, 2)
            drawn.append(Text(left - 1.6, y - HALF_SMALL_CAP_MM, text, SMALL_PT, anchor="end", role="row-number"))
            drawn.append(Text(right + TAB_MM + 1.6, y - HALF_SMALL_CAP_MM, text, SMALL_PT, role="row-number"))
    return drawn


def _lines(plan: TrimBandLayout, strip: Strip) -> list[Primitive]:
    """START and the stops, corners, mid-flats and every ten degrees as lines across the rows."""
    taken = {round(feature.deg, 6) for feature in plan.features}
    top = plan.foot_mm + strip.ranks.tick_mm
    drawn: list[Primitive] = [
        strip.line(deg, plan.foot_mm, "degree-guide", (("deg", str(deg)),))
        for deg in range(plan.tick_deg, 360, plan.tick_deg)
        if deg not in taken
    ]
    edges = {0.0, *(mark.deg for stage in plan.stages for mark in stage.marks if mark.kind != "aim")}
    # among the lines of the corners, START and the windows' edges are the heavy ones wherever the band is cut
    drawn += [strip.line(deg, plan.foot_mm, "row-mark") for deg in sorted(edges)]
    for feature in plan.features:
        data = (("index", str(feature.index)),)
        if feature.kind == "mid-flat":
            drawn.append(strip.line(feature.deg, top - 1.0, "mid-flat", data))
            continue
        drawn.append(strip.line(feature.deg, top, "corner", data))
        tip, middle = top - 1.1, plan.x_of(feature.deg, top)
        flag = ((plan.x_of(feature.deg, tip), tip), (middle + 0.55, top), (middle - 0.55, top))
        drawn.append(Polyline(flag, "corner-flag", True, 0.0))
    return drawn


def _closure(plan: TrimBandLayout) -> list[Primitive]:
    """The OK bracket, slanted with the rows, and lines on the tab that tell how much larger an OD to cut for.

    An end that lands δ beyond its closure line is on a socket whose OD is δ/π larger. On one that is smaller it lands
    on the band, among the corners' lines, where no line more could say what it is.
    """
    foot, unit_mm = plan.foot_mm, ROW_STEPS[plan.unit][2]
    (_, right), (_, top) = plan.ends(0.0), plan.ends(foot)
    halves = plan.closure_mm(0.0), plan.closure_mm(foot)
    drawn = ok_bracket((right, 0.0), (top, foot), halves, (top + halves[1], foot + FLAG_MM))
    step, bracket = TAB_STEPS[plan.unit], halves[1] + OUTSIDE_MM
    taken = [(top - bracket, top + bracket), (top + TAB_MM - 0.3, top + 2 * TAB_MM)]
    steps = range(1, int(plan.closure_reach_mm / (math.pi * step * unit_mm)) + 1)
    for more in (k * step for k in steps):
        x = math.pi * more * unit_mm
        drawn.append(Line(right + x, 0.0, top + x, foot, "closure-scale", (("more", f"{more * unit_mm:.4f}"),)))
        drawn += scale_number(top + x, foot + 0.7, f"+{trimmed(more, 2).lstrip('0')}", taken)
    if steps:
        at = top + TAB_MM - 0.4, foot + FLAG_MM - 0.4
        drawn.append(Text(*at, plan.unit, SMALL_PT, anchor="end", role="closure-unit"))
    return drawn


def _outline(plan: TrimBandLayout) -> list[Primitive]:
    foot, top = plan.foot_mm, plan.height_mm
    (left, right), (left_top, right_top) = plan.ends(0.0), plan.ends(foot)
    return [
        Line(left, 0.0, right + TAB_MM, 0.0, "fastener-edge"),
        Line(left_top, top, right_top + TAB_MM, top, "drive-edge"),
        Line(left, 0.0, left_top, foot, "seam"),
        Line(left_top, foot, left_top, top, "cut"),
        Line(right_top, foot, right_top, top, "tab-line"),
        Line(right + TAB_MM, 0.0, right_top + TAB_MM, foot, "tab-edge"),
        Line(right_top + TAB_MM, foot, right_top + TAB_MM, top, "tab-edge"),
        *tab_text(right_top + 0.5, right_top + TAB_MM - 0.4, top - 1.0, GLUE_WORDS),
    ]
