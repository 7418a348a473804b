"""The band: the strip wrapped round the socket, drawn at true size.

Drawn with the drive end up: the fastener edge is at y = 0 and is the reading edge. For a right-hand thread marks lie to
the right of START, for a left-hand thread to the left, because the near side of a socket moves to the left when it is
turned clockwise as seen from its drive end.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import NamedTuple

from .drawing import Arc, Drawing, Group, Line, Polyline, Primitive, Text, moved
from .errors import LayoutError
from .fonts import text_width_mm
from .geometry import Feature, arc_mm, seam_deg, stage_arc
from .quantities import trimmed
from .spec import Stage
from .strip import SIDE, SMALL_PT, TICKS_TOP, TOP_MARGIN, StageMarks, Strip, filled, misfit_share, row_counts, span

DEFAULT_HEIGHT_MM = {"1/4": 14.0, "3/8": 14.0, "1/2": 16.0, "3/4": 20.0, "1": 25.0, "1-1/2": 30.0}
"""Height of the band by drive (our choice: what the straight part of an ordinary socket of that drive offers)."""

MIN_HEIGHT_MM, MAX_HEIGHT_MM = 8.0, 60.0

LOW_MM = 12.0
"""Bands lower than this carry no degree numbers, so that there is room for words."""

TAB_MM = 10.0
SPLICE_CLEARANCE_MM = 8.0
"""Glue tab and splice tab; least arc between a splice and a mark (our choices)."""

CLOSURE_STEPS = {"mm": (0.5, 1.0, 5.0, 1.0), "in": (0.02, 0.1, 0.2, 25.4)}
"""Closure scale: every graduation, every longer one, every number, in the unit; the unit in mm."""

CLOSURE_HEIGHT_MM = 3.8
CLOSURE_TICK_MM = 1.7
CLOSURE_REACH_MM = 3.0
"""Height of the closure scale with its numbers; how far it reaches back over the band's end, for sockets too small."""

FEATURE_ROW, DEGREE_ROW = 3.2, 5.2
TEXT_BOTTOM, TEXT_BOTTOM_LOW = 7.2, 5.2
"""Heights above the fastener edge: baselines of the two rows of numbers, beginning of the words."""

TICK_STEPS = (1, 2, 5, 10, 15, 30)
LEAST_TICK_PITCH_MM = 0.75


class BandPlan(NamedTuple):
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

    @property
    def row_counts(self) -> range:
        """Numbers of rows of words to try."""
        return row_counts(self.height_mm - TOP_MARGIN - self.text_bottom_mm, 1 if self.low else 2)

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


class Band(NamedTuple):
    """A drawn band: one drawing a piece, and the texts that did not fit on it and belong below it."""

    pieces: tuple[Drawing, ...]
    below: tuple[str, ...]


def band_seam(stages: Sequence[Stage], length_mm: float) -> float:
    """Return the seam of a band for these stages, in degrees from START. Raises LayoutError without room for it."""
    return seam_deg([stage_arc(stage) for stage in stages], length_mm)


def carries(plan: BandPlan) -> bool:
    """Tell whether the stages of `plan` can share one band: neither windows nor their texts touch."""
    spans = sorted(span(plan, stage) for stage in plan.stages)
    if any(right + 2 * SIDE > left for (_, right), (left, _) in itertools.pairwise(spans)):
        return False
    try:
        filled(plan, whole=True)
    except LayoutError:
        return False
    return True


def splices(plan: BandPlan, widest_mm: float) -> tuple[float, ...]:
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
        "a wider page", "choose a larger --paper",
    )  # fmt: skip


def draw_band(plan: BandPlan, cuts: Sequence[float] = ()) -> Band:
    """Draw a band, in one piece or cut at `cuts`. Raises LayoutError when START or a stop label finds no room."""
    strip = filled(plan, cuts)
    items = (*_ticks(plan, strip), *strip.marks(), *strip.texts)
    ends = [0.0, *cuts, plan.length_mm]
    pieces = tuple(
        _piece(plan, items, number, a, b, last=b == plan.length_mm, cut=bool(cuts))
        for number, (a, b) in enumerate(itertools.pairwise(ends), 1)
    )
    return Band(pieces, tuple(strip.below))


def _ticks(plan: BandPlan, strip: Strip) -> list[Primitive]:
    """The degree scale and the corner and mid-flat ticks, all on the fastener edge."""
    step = next((s for s in TICK_STEPS if arc_mm(plan.length_mm, s) >= LEAST_TICK_PITCH_MM), TICK_STEPS[-1])
    drawn: list[Primitive] = []
    for deg in range(0, 360, step):
        top = 1.6 if deg % 10 == 0 else 1.2 if deg % 5 == 0 else 0.8
        x = plan.x_of(deg)
        drawn.append(Line(x, 0.0, x, top, "degree", (("deg", str(deg)),)))
    for feature in plan.features:
        x, data = plan.x_of(feature.deg), (("index", str(feature.index)),)
        if feature.kind == "corner":
            drawn.append(strip.line(feature.deg, TICKS_TOP, "corner", data))
            flag = ((x, 1.8), (x + 0.55, TICKS_TOP), (x - 0.55, TICKS_TOP))
            drawn.append(Polyline(flag, "corner-flag", True, 0.0))
        else:
            drawn.append(strip.line(feature.deg, 2.2, "mid-flat", data))
    return drawn


def _piece(
    plan: BandPlan, items: Sequence[Primitive], number: int, a: float, b: float, last: bool, cut: bool
) -> Drawing:
    """One piece from a to b of the strip with its outline and tab, moved to begin at x = 0."""
    width, height = b - a + TAB_MM, plan.height_mm
    own = [moved(item, -a, 0.0) for item in items if a <= _middle_x(item) <= b] if cut else items
    end_role = "closure" if last else "splice"
    outline: list[Primitive] = [
        Line(0, 0, width, 0, "fastener-edge"),
        Line(0, height, width, height, "drive-edge"),
        Line(0, 0, 0, height, "splice-edge" if number > 1 else "seam"),
        Line(b - a, 0, b - a, height, end_role),
        Line(width, 0, width, height, "tab-edge"),
        *_tab_text(b - a, height, last),
        *([moved(item, -a, 0.0) if cut else item for item in _closure_scale(plan)] if last else []),
    ]
    content = Group("band", (*own, *outline))
    if cut:
        content = Group("band", (Group("band-piece", content.items, (("piece", str(number)),)),))
    return Drawing(width, height, content)


def _tab_text(x: float, height: float, last: bool) -> list[Primitive]:
    lines = ["glue this", "under the", "other end" if last else "next piece"]
    if height < LOW_MM:
        lines = ["glue under", lines[2]]
    top = (height - (CLOSURE_HEIGHT_MM if last else 0.0)) / 2 + 1.1 * len(lines) - 1.6
    return [Text(x + TAB_MM / 2, top - 2.2 * k, line, SMALL_PT, anchor="middle") for k, line in enumerate(lines)]


def _closure_scale(plan: BandPlan) -> list[Primitive]:
    """The scale at the band's end, numbered with the closed length itself, hanging from the drive edge.

    Where the other end lands, its reading is the length round the socket. Shaded: where the misfit costs less than a
    tenth of the window.
    """
    step, longer, numbered, unit_mm = CLOSURE_STEPS[plan.unit]
    length, top = plan.length_mm, plan.height_mm
    low, high = length - closure_reach_mm(plan), length + TAB_MM - 0.6
    good = (max(low, length - plan.misfit_mm), min(high, length + plan.misfit_mm))
    drawn: list[Primitive] = [
        Polyline(
            ((good[0], top - 0.9), (good[1], top - 0.9), (good[1], top), (good[0], top)), "closure-good", True, 0.8
        )
    ]
    for k in range(math.ceil(low / unit_mm / step), math.floor(high / unit_mm / step) + 1):
        value = k * step
        x = value * unit_mm
        marked = [abs(value / each - round(value / each)) < 1e-6 for each in (longer, numbered)]
        depth = CLOSURE_TICK_MM if marked[1] else 1.2 if marked[0] else 0.8
        drawn.append(Line(x, top, x, top - depth, "closure-scale", (("mm", f"{x:.4f}"),)))
        text = trimmed(value, 1)
        half = text_width_mm(text, SMALL_PT) / 2
        if marked[1] and length + 0.3 < x - half and x + half < high:
            drawn.append(Text(x, top - 3.2, text, SMALL_PT, anchor="middle", role="closure-number"))
    return drawn


def closure_reach_mm(plan: BandPlan) -> float:
    """How far the closure scale reaches back over the band: less on small bands, whose space is scarce."""
    return min(CLOSURE_REACH_MM, 0.04 * plan.length_mm)


def _middle_x(item: Primitive) -> float:
    if isinstance(item, Line):
        return (item.x1 + item.x2) / 2
    assert not isinstance(item, Arc)  # a band is straight
    xs = [x for x, _ in (item.box if isinstance(item, Text) else item.points)]
    return (min(xs) + max(xs)) / 2
