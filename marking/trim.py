"""The trim band: a band for a range of ODs, cut along the row of the socket's own OD.

Rows for falling ODs lie one above the other from the fastener edge up, `D(v) = D_high − v / k`. START is upright; every
other mark is the straight slanted line `u(θ, v) = θ/360 · π (D(v) + t)`, so that it is right wherever the band is cut:
the cut edge is the reading edge.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import NamedTuple

from .band import TAB_MM
from .drawing import Drawing, Group, Line, Polyline, Primitive, Text, moved
from .fonts import text_width_mm
from .geometry import Feature, closed_length_mm
from .quantities import trimmed
from .strip import SMALL_PT, TOP_MARGIN, StageMarks, Strip, filled, misfit_share, row_counts

MM_PER_MM_OF_OD = 2.5
"""k: height of the rows for each mm of OD. Flatter rows would make a careless cut cost more."""

HEAD_MM, SMALL_HEAD_MM, SMALL_OD_MM = 12.0, 17.0, 16.0
"""Height above the last row: numbers and words, and what is left to glue (at least 8 mm); more for small sockets."""

LABEL_MM = 7.0
"""Space beside the strip for the rows' numbers."""

ROW_STEPS = {"mm": (0.5, 1.0, 1.0), "in": (0.02, 0.1, 25.4)}
"""Every row, every numbered row, in the unit; the unit in mm."""


TAB_STEPS = {"mm": 1.0, "in": 0.04}
"""Steps of OD of the closure scale on the tab, in the unit."""


class TrimPlan(NamedTuple):
    """Everything a trim band is drawn from, for ODs from `low_od_mm` to `high_od_mm`."""

    low_od_mm: float
    high_od_mm: float
    stock_mm: float
    seam: float
    clockwise: bool
    features: tuple[Feature, ...]
    stages: tuple[StageMarks, ...]
    spec_line: str
    socket_line: str
    unit: str = "mm"

    @property
    def foot_mm(self) -> float:
        """Height of the last row: that of the smallest OD."""
        return (self.high_od_mm - self.low_od_mm) * MM_PER_MM_OF_OD

    @property
    def height_mm(self) -> float:
        """Height of the uncut strip."""
        return self.foot_mm + (SMALL_HEAD_MM if self.low_od_mm < SMALL_OD_MM else HEAD_MM)

    @property
    def edge_notes(self) -> tuple[str, ...]:
        """Words for the edge at the fastener, the longest first."""
        return "cut edge at the fastener", "fastener"

    @property
    def number_rows_mm(self) -> tuple[float, ...]:
        """Baselines of the rows of numbers: corners, then degrees."""
        return self.foot_mm + 2.6, self.foot_mm + 4.5

    @property
    def text_bottom_mm(self) -> float:
        """Where the words begin."""
        return self.foot_mm + 6.3

    @property
    def row_counts(self) -> range:
        """Numbers of rows of words to try."""
        return row_counts(self.height_mm - TOP_MARGIN - self.text_bottom_mm, 2)

    def od_mm(self, y: float) -> float:
        """Return D(v), the OD whose row lies at height y."""
        return self.high_od_mm - y / MM_PER_MM_OF_OD

    def y_of(self, od_mm: float) -> float:
        """Return the height of an OD's row: the inverse of `od_mm`."""
        return (self.high_od_mm - od_mm) * MM_PER_MM_OF_OD

    @property
    def start_x(self) -> float:
        """Where START stands: the longest row begins at x = 0."""
        part = 360.0 - self.seam if self.clockwise else self.seam
        return closed_length_mm(self.high_od_mm, self.stock_mm) * part / 360.0

    def x_of(self, deg: float, y: float = 0.0) -> float:
        """Return where an angle lies at height y: START upright, everything else slanted towards it."""
        way = deg % 360.0
        way = way if way <= self.seam else way - 360.0
        along = way / 360.0 * closed_length_mm(self.od_mm(y), self.stock_mm)
        return self.start_x + (along if self.clockwise else -along)

    def ends(self, y: float) -> tuple[float, float]:
        """Return the strip's left and right end at height y: the seam, and the closure line; upright above the rows."""
        length = closed_length_mm(self.od_mm(min(y, self.foot_mm)), self.stock_mm)
        part = (360.0 - self.seam) / 360.0 if self.clockwise else self.seam / 360.0
        return self.start_x - part * length, self.start_x + (1.0 - part) * length

    def reserved(self, y: float) -> tuple[float, float] | None:
        """Nothing but words takes space."""
        return None


def trim_width_mm(plan: TrimPlan) -> float:
    """Return the width of the drawing: the longest row with its tab, and the rows' numbers at both ends."""
    return plan.ends(0.0)[1] + TAB_MM + 2 * LABEL_MM


def draw_trim_band(plan: TrimPlan) -> tuple[Drawing, tuple[str, ...]]:
    """Draw a trim band; return it with the words that found no room. Raises LayoutError when a label finds none."""
    strip = filled(plan)
    items = [*_closure_scale(plan), *_rows(plan), *_lines(plan, strip), *strip.marks(), *strip.texts, *_outline(plan)]
    content = Group("trim-band", tuple(moved(item, LABEL_MM, 0.0) for item in items))
    return Drawing(trim_width_mm(plan), plan.height_mm, content), tuple(strip.below)


def _rows(plan: TrimPlan) -> list[Primitive]:
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
            drawn.append(Text(left - 1.6, y - 0.58, text, SMALL_PT, anchor="end", role="row-number"))
            drawn.append(Text(right + TAB_MM + 1.6, y - 0.58, text, SMALL_PT, role="row-number"))
    return drawn


def _lines(plan: TrimPlan, strip: Strip) -> list[Primitive]:
    """Corners, mid-flats and every ten degrees as slanted lines across the rows."""
    taken = {round(feature.deg, 6) for feature in plan.features}
    drawn: list[Primitive] = [
        strip.line(deg, plan.foot_mm, "degree-guide", (("deg", str(deg)),))
        for deg in range(10, 360, 10)
        if deg not in taken
    ]
    for feature in plan.features:
        data = (("index", str(feature.index)),)
        if feature.kind == "mid-flat":
            drawn.append(strip.line(feature.deg, plan.foot_mm + 1.2, "mid-flat", data))
            continue
        drawn.append(strip.line(feature.deg, plan.foot_mm + 2.2, "corner", data))
        tip, top = plan.foot_mm + 0.9, plan.foot_mm + 2.2
        middle = plan.x_of(feature.deg, top)
        flag = ((plan.x_of(feature.deg, tip), tip), (middle + 0.55, top), (middle - 0.55, top))
        drawn.append(Polyline(flag, "corner-flag", True, 0.0))
    return drawn


def _closure_scale(plan: TrimPlan) -> list[Primitive]:
    """Lines on the tab beyond the closure line that tell by how much larger an OD to cut the next band for.

    An end that lands δ beyond its closure line is on a socket whose OD is δ/π larger. Shaded: where the misfit costs
    less than a tenth of the window.
    """
    foot, unit_mm = plan.foot_mm, ROW_STEPS[plan.unit][2]
    (_, right), (_, right_foot) = plan.ends(0.0), plan.ends(foot)
    share = misfit_share(plan.stages, plan.seam)
    good = [min(share * closed_length_mm(plan.od_mm(y), plan.stock_mm), TAB_MM) for y in (0.0, foot)]
    corners = ((right, 0.0), (right + good[0], 0.0), (right_foot + good[1], foot), (right_foot, foot))
    drawn: list[Primitive] = [Polyline(corners, "closure-good", True, 0.85)]
    step = TAB_STEPS[plan.unit]
    for k in range(1, int(TAB_MM / (math.pi * step * unit_mm)) + 1):
        more = k * step
        x = math.pi * more * unit_mm
        data = (("more", f"{more * unit_mm:.4f}"),)
        drawn.append(Line(right + x, 0.0, right_foot + x, foot, "closure-scale", data))
        text = f"+{trimmed(more, 2)}"
        if x + text_width_mm(text, SMALL_PT) / 2 < TAB_MM - 0.3:
            drawn.append(Text(right_foot + x, foot + 0.7, text, SMALL_PT, anchor="middle", role="closure-number"))
    return drawn


def _outline(plan: TrimPlan) -> list[Primitive]:
    foot, top = plan.foot_mm, plan.height_mm
    (left, right), (left_top, right_top) = plan.ends(0.0), plan.ends(foot)
    words = [
        Text(right_top + TAB_MM / 2, (foot + top) / 2 + 1.3 - 2.2 * k, line, SMALL_PT, anchor="middle")
        for k, line in enumerate(("glue under", "other end"))
    ]
    return [
        Line(left, 0.0, right + TAB_MM, 0.0, "fastener-edge"),
        Line(left_top, top, right_top + TAB_MM, top, "drive-edge"),
        Line(left, 0.0, left_top, foot, "seam"),
        Line(left_top, foot, left_top, top, "cut"),
        Line(right, 0.0, right_top, foot, "closure"),
        Line(right_top, foot, right_top, top, "tab-edge"),
        Line(right + TAB_MM, 0.0, right_top + TAB_MM, foot, "tab-edge"),
        Line(right_top + TAB_MM, foot, right_top + TAB_MM, top, "tab-edge"),
        *words,
    ]


def ranges(low_od_mm: float, high_od_mm: float, widest_mm: float) -> Sequence[tuple[float, float]]:
    """Cut a range of ODs into about equal parts of at most `widest_mm` each, at whole millimetres."""
    count = max(1, math.ceil((high_od_mm - low_od_mm) / (widest_mm - 1.0) - 1e-9))
    if high_od_mm - low_od_mm <= widest_mm:
        count = 1
    edges = [low_od_mm + (high_od_mm - low_od_mm) * k / count for k in range(count + 1)]
    inner = [float(round(edge)) for edge in edges[1:-1]]
    edges = [low_od_mm, *inner, high_od_mm]
    return list(itertools.pairwise(edges))
