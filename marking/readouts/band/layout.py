"""What a band is drawn from: its height, seam, stages and the places where it may be spliced."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import NamedTuple

from ...errors import LayoutError
from ...fastening.spec import Stage
from ...figures.strip import filled
from ...figures.strip_layout import SIDE, TAB_MM, span
from ...marks.places import Feature
from ...marks.seam import misfit_share, seam_deg
from ...marks.stage_marks import StageMarks, stage_arc
from ...quantities.angles import arc_mm

DEFAULT_HEIGHT_MM = {"1/4": 14.0, "3/8": 14.0, "1/2": 16.0, "3/4": 20.0, "1": 25.0, "1-1/2": 30.0}
"""Height of the band by drive (our choice: what the straight part of an ordinary socket of that drive offers)."""

MIN_HEIGHT_MM, MAX_HEIGHT_MM = 8.0, 60.0

LOW_MM = 12.0
"""Bands lower than this carry no degree numbers, so that there is room for words."""

SPLICE_CLEARANCE_MM = 8.0
"""Glue tab and splice tab; least arc between a splice and a mark (our choices)."""

CLOSURE_TICK_MM = 1.7

CLOSURE_REACH_MM = 3.0
"""Height of the closure scale with its numbers; how far it reaches back over the band's end, for sockets too small."""

FEATURE_ROW, DEGREE_ROW = 3.2, 5.2

TEXT_BOTTOM, TEXT_BOTTOM_LOW = 7.2, 5.2
"""Heights above the fastener edge: baselines of the two rows of numbers, beginning of the words."""


class BandLayout(NamedTuple):
    """Everything a band is drawn from. `spec_line` and `socket_line` are the words printed on it."""

    length_mm: float
    height_mm: float
    seam: float
    clockwise: bool
    features: tuple[Feature, ...]
    stages: tuple[StageMarks, ...]
    spec_line: str
    socket_line: str
    unit: str = "mm"

    @property
    def low(self) -> bool:
        """True for a band too low for a row of degree numbers."""
        return self.height_mm < LOW_MM

    @property
    def foot_mm(self) -> float:
        """START's flag points to the fastener edge."""
        return 0.0

    @property
    def edge_notes(self) -> tuple[str, ...]:
        """Words for the edge at the fastener, the longest first."""
        return "this edge at the fastener", "fastener edge", "fastener"

    @property
    def number_rows_mm(self) -> tuple[float, ...]:
        """Baselines of the rows of numbers: corners, then degrees where there is room for them."""
        return (FEATURE_ROW,) if self.low else (FEATURE_ROW, DEGREE_ROW)

    @property
    def text_bottom_mm(self) -> float:
        """Height above the fastener edge where the words begin."""
        return TEXT_BOTTOM_LOW if self.low else TEXT_BOTTOM

    def ends(self, y: float) -> tuple[float, float]:
        """The strip's left and right end: the same at every height."""
        return 0.0, self.length_mm

    def reserved(self, y: float) -> tuple[float, float] | None:
        """The closure scale's part of the strip, along the drive edge."""
        if y <= self.height_mm - CLOSURE_TICK_MM:
            return None
        return self.length_mm - closure_reach_mm(self) - 0.4, self.length_mm

    @property
    def misfit_mm(self) -> float:
        """By how much the band's end may miss the closure line: it costs a tenth of the narrowest window, at most."""
        return misfit_share(self.stages, self.seam) * self.length_mm

    def x_of(self, deg: float, y: float = 0.0) -> float:
        """Return the place of an angle from the band's left end, which is the seam; the same at every height."""
        way = deg - self.seam if self.clockwise else self.seam - deg
        return arc_mm(self.length_mm, way % 360.0)


def band_seam(stages: Sequence[Stage], length_mm: float) -> float:
    """Return the seam of a band for these stages, in degrees from START. Raises LayoutError without room for it."""
    return seam_deg([stage_arc(stage) for stage in stages], length_mm)


def carries(plan: BandLayout) -> bool:
    """Tell whether the stages of `plan` can share one band: neither windows nor their texts touch."""
    spans = sorted(span(plan, stage) for stage in plan.stages)
    if any(right + 2 * SIDE > left for (_, right), (left, _) in itertools.pairwise(spans)):
        return False
    try:
        filled(plan, whole=True)
    except LayoutError:
        return False
    return True


def splices(plan: BandLayout, widest_mm: float) -> tuple[float, ...]:
    """Return where a band is cut into pieces so that each, with its tab, is at most `widest_mm` wide.

    Places are in mm from the left end, half way between features and clear of all marks. Raises LayoutError when the
    marks leave no such place.
    """
    if plan.length_mm + TAB_MM <= widest_mm:
        return ()
    taken = [span(plan, stage) for stage in plan.stages] + [(plan.x_of(0), plan.x_of(0))]
    xs = sorted({0.0, plan.length_mm, *(plan.x_of(feature.deg) for feature in plan.features)})
    middles = [(a + b) / 2 for a, b in itertools.pairwise(xs)]
    allowed = [
        x for x in middles
        if SPLICE_CLEARANCE_MM <= x <= plan.length_mm - SPLICE_CLEARANCE_MM
        and all(x < a - SPLICE_CLEARANCE_MM or x > b + SPLICE_CLEARANCE_MM for a, b in taken)
    ]  # fmt: skip
    for count in range(2, 12):
        cuts = [min(allowed, key=lambda x: abs(x - plan.length_mm * k / count), default=0.0) for k in range(1, count)]
        ends = [0.0, *cuts, plan.length_mm]
        if all(SPLICE_CLEARANCE_MM < b - a <= widest_mm - TAB_MM for a, b in itertools.pairwise(ends)):
            return tuple(cuts)
    raise LayoutError(
        f"a band {plan.length_mm:.0f} mm long cannot be cut into pieces of {widest_mm:.0f} mm clear of its marks",
        "a wider page", "choose a larger {@paper}", field="paper",
    )  # fmt: skip


def closure_reach_mm(plan: BandLayout) -> float:
    """How far the closure scale reaches back over the band: less on small bands, whose space is scarce."""
    return min(CLOSURE_REACH_MM, 0.04 * plan.length_mm)
