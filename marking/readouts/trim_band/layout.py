"""What a trim band is drawn from: its rows of diameters."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import NamedTuple

from ...figures.strip_layout import CLOSURE_REACH, TAB_MM
from ...marks.places import Feature
from ...marks.seam import closure_half_mm
from ...marks.stage_marks import StageMarks
from ...quantities.angles import closed_length_mm

MM_PER_MM_OF_OD = 2.5
"""k: height of the rows for each mm of OD. Flatter rows would make a careless cut cost more."""

HEAD_MM, SMALL_HEAD_MM, SMALL_OD_MM = 15.0, 18.0, 16.0
"""Height above the last row: numbers and words, and what is left to glue (at least 8 mm); more for small sockets."""

LEAST_OD_MM = 8.0
"""On smaller sockets the slanted marks would run into START above the last row: k · 8 mm is just more than the head."""

LABEL_MM = 7.0
"""Space beside the strip for the rows' numbers."""


class TrimBandLayout(NamedTuple):
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
    ident: str = ""
    od_text: str = ""
    asked_closure_mm: float | None = None

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
    def tick_deg(self) -> int:
        """The degrees from tick to tick: of the slanted lines across the rows."""
        return 10

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

    def lane_ends(self) -> tuple[float, float]:
        """The line along the drive edge may take all of the strip above the rows."""
        return self.ends(self.height_mm)

    def closing(self) -> tuple[tuple[float, float, float, float], ...]:
        """The OK bracket lies below all words, the closure scale on the tab."""
        return ()

    @property
    def closure_reach_mm(self) -> float:
        """How far the closure scale reaches on the tab."""
        return min(CLOSURE_REACH * closed_length_mm(self.low_od_mm, self.stock_mm), TAB_MM - 0.6)

    def closure_mm(self, y: float) -> float:
        """By how much the end may miss the closure line at height y, each way: that of a band for the row's OD."""
        return closure_half_mm(closed_length_mm(self.od_mm(y), self.stock_mm), self.asked_closure_mm)


def trim_width_mm(plan: TrimBandLayout) -> float:
    """Return the width of the drawing: the longest row with its tab, and the rows' numbers at both ends."""
    return plan.ends(0.0)[1] + TAB_MM + 2 * LABEL_MM


def ranges(low_od_mm: float, high_od_mm: float, widest_mm: float) -> Sequence[tuple[float, float]]:
    """Cut a range of ODs into about equal parts of at most `widest_mm` each, at whole millimetres."""
    count = max(1, math.ceil((high_od_mm - low_od_mm) / (widest_mm - 1.0) - 1e-9))
    if high_od_mm - low_od_mm <= widest_mm:
        count = 1
    edges = [low_od_mm + (high_od_mm - low_od_mm) * k / count for k in range(count + 1)]
    inner = [float(round(edge)) for edge in edges[1:-1]]
    edges = [low_od_mm, *inner, high_od_mm]
    return list(itertools.pairwise(edges))
