"""What a band is drawn from: its height, seam, stages and the places where it may be spliced."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence
from functools import lru_cache, partial
from typing import NamedTuple

from ...errors import LayoutError
from ...fastening.spec import Stage
from ...figures import tick_step_deg
from ...figures.closure import OUTSIDE_MM
from ...figures.strip import lettered
from ...figures.strip_layout import CLOSURE_REACH, SIDE, TAB_MM, span
from ...marks.places import Feature
from ...marks.seam import closure_half_mm, seam_deg
from ...marks.stage_marks import StageMarks, stage_arc
from ...quantities.shown import shown_length

DEFAULT_HEIGHT_MM = {"1/4": 14.0, "3/8": 14.0, "1/2": 16.0, "3/4": 20.0, "1": 25.0, "1-1/2": 30.0}
"""Height of the band by drive (our choice: what the straight part of an ordinary socket of that drive offers)."""

MIN_HEIGHT_MM, MAX_HEIGHT_MM = 8.0, 60.0

SPLICE_CLEARANCE_MM = 8.0
"""Least arc between a splice and a mark (our choice)."""

SPLICE_ROOM_MM = 35.0
"""What is left beyond the outermost marks for their words where it costs no piece more (our choice)."""

SCALE_MM, SCALE_SIDE_MM = 2.9, 1.6
"""Height of the closure scale with its numbers; what a number takes beyond the scale's end."""


class BandLayout(NamedTuple):
    """Everything a band is drawn from.

    `ident`, `spec_line`, `socket_line` and `od_text` are the words along its drive edge: its id or title, what it is
    for, and the least that tells the socket. `asked_closure_mm` is the closure error that was asked for.
    """

    length_mm: float
    height_mm: float
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
        """START's flag points to the fastener edge."""
        return 0.0

    @property
    def edge_notes(self) -> tuple[str, ...]:
        """Words for the edge at the fastener, the longest first."""
        return "this edge at the fastener", "fastener edge", "fastener"

    @property
    def tick_deg(self) -> int:
        """The degrees from tick to tick."""
        return tick_step_deg(self.length_mm)

    @property
    def closure_mm(self) -> float:
        """By how much the band's end may miss the closure line, each way."""
        return closure_half_mm(self.length_mm, self.asked_closure_mm)

    @property
    def closure_reach_mm(self) -> float:
        """How far the closure scale reaches back over the band and forward on the tab."""
        return min(CLOSURE_REACH * self.length_mm, TAB_MM - 0.6)

    def ends(self, y: float) -> tuple[float, float]:
        """The strip's left and right end: the same at every height."""
        return 0.0, self.length_mm

    def lane_ends(self) -> tuple[float, float]:
        """The line along the drive edge ends before the closure scale."""
        return 0.0, self.length_mm - self.closure_reach_mm - SCALE_SIDE_MM + SIDE

    def closing(self) -> tuple[tuple[float, float, float, float], ...]:
        """The closure scale's part of the strip along the drive edge, and the OK bracket's over the whole height."""
        scale, bracket = self.closure_reach_mm + SCALE_SIDE_MM, self.closure_mm + OUTSIDE_MM
        end, top = self.length_mm, self.height_mm
        return (end - scale, top - SCALE_MM - 0.3, end, top), (end - bracket, 0.0, end, top)

    def x_of(self, deg: float, y: float = 0.0) -> float:
        """Return the place of an angle from the band's left end, which is the seam; the same at every height."""
        way = deg - self.seam if self.clockwise else self.seam - deg
        return self.length_mm * (way % 360.0) / 360.0  # `arc_mm`, without a call: asked for two hundred times a band

    def from_start_mm(self, deg: float) -> float:
        """Return where an angle lies on the flat band: mm from START, less than 0 against the way the degrees run."""
        along = self.x_of(deg) - self.x_of(0.0)
        return along if self.clockwise else -along


def band_seams(stages: Sequence[Stage], length_mm: float, points: Sequence[Feature]) -> tuple[float, ...]:
    """Return the seams to try for a band of these stages, in degrees from START, the best first.

    The best is beside the lines of corners and mid-flats; the other leaves the labels more room. Raises LayoutError
    without room for any.
    """
    arcs = [stage_arc(stage) for stage in stages]
    found = seam_deg(arcs, length_mm, [point.deg for point in points]), seam_deg(arcs, length_mm)
    return tuple(dict.fromkeys(found))


def carries(plan: BandLayout, widest_mm: float = math.inf, whole: bool = True) -> bool:
    """Tell whether the stages of `plan` can share one band: neither windows nor their texts nor splices touch.

    Its pieces are at most `widest_mm` wide. Unless `whole`, how a stage counts may stand below the band.
    """
    spans = sorted(span(plan, stage) for stage in plan.stages)
    if any(right + 2 * SIDE > left for (_, right), (left, _) in itertools.pairwise(spans)):
        return False
    return has_room(plan, partial(splices, plan, widest_mm), whole)


def has_room(plan: BandLayout, cuts: Callable[[], tuple[float, ...]], whole: bool = False) -> bool:
    """Tell whether `plan`, cut at `cuts`, has room for its labels; if `whole`, for how its stages count too."""
    try:
        return _letters(plan, cuts(), whole)
    except LayoutError:
        return False


HEIGHTS_MM = range(10, int(MAX_HEIGHT_MM) + 1, 5)
"""Heights that are tried where a label finds no room."""


def room_advice(plan: BandLayout, cuts: Sequence[float]) -> str:
    """Say what gives the labels of a band room that find none: a height, a larger paper, else a drive disc."""
    heights = (mm for mm in HEIGHTS_MM if mm > plan.height_mm)
    high = next((mm for mm in heights if has_room(plan._replace(height_mm=mm), lambda: tuple(cuts))), None)
    ways = []
    if high is not None:
        ways.append(f"use a {{@height}} of {shown_length(high, plan.unit)}, with it wider {{@paper}} on label stock")
    if cuts and has_room(plan, tuple):
        ways.append("choose a larger {@paper}: the band's pieces are too short for the labels")
    return ", or ".join(ways or ["print a drive disc"])


def splices(plan: BandLayout, widest_mm: float) -> tuple[float, ...]:
    """Return where a band is cut into pieces so that each, with its tab, is at most `widest_mm` wide.

    Places are in mm from the left end, half way between features, clear of all marks, and not between START and a
    window unless there is no other way. The pieces are as few and as alike as that and the labels' room allow. Raises
    LayoutError when the marks leave no such place.
    """
    return () if plan.length_mm + TAB_MM <= widest_mm else _splices(plan, widest_mm)


@lru_cache(maxsize=64)  # asked for the same band while it is chosen and when it is
def _splices(plan: BandLayout, widest_mm: float) -> tuple[float, ...]:
    """The places where a band is cut that is longer than one piece."""
    taken = [span(plan, stage) for stage in plan.stages] + [(plan.x_of(0), plan.x_of(0))]
    xs = sorted({0.0, plan.length_mm, *(plan.x_of(feature.deg) for feature in plan.features)})
    middles = [(a + b) / 2 for a, b in itertools.pairwise(xs)]
    last = plan.length_mm - max(SPLICE_CLEARANCE_MM, plan.closure_reach_mm + SCALE_SIDE_MM)  # the scale stays whole
    allowed = [
        x for x in middles
        if SPLICE_CLEARANCE_MM <= x <= last
        and all(x < a - SPLICE_CLEARANCE_MM or x > b + SPLICE_CLEARANCE_MM for a, b in taken)
    ]  # fmt: skip
    low, high = min(a for a, _ in taken), max(b for _, b in taken)
    beyond = [x for x in allowed if not low < x < high]
    between = sorted((x for x in allowed if low < x < high), key=lambda x: abs(x - (low + high) / 2))
    fewest = partial(_fewest, length=plan.length_mm, widest=widest_mm - TAB_MM)
    clear = [fewest([x for x in beyond if not low - SPLICE_ROOM_MM < x < high + SPLICE_ROOM_MM]), fewest(beyond)]
    ways = sorted(filter(None, clear), key=lambda found: len(found[0]))
    ways += filter(None, (fewest(places) for places in (*([*beyond, x] for x in between), allowed)))
    for cuts in itertools.chain.from_iterable(ways):
        if _letters(plan, cuts):
            return cuts
    if ways:
        return ways[0][0]  # lettering the band says what finds no room
    raise LayoutError(
        f"a band {plan.length_mm:.0f} mm long cannot be cut into pieces of {widest_mm:.0f} mm clear of its marks",
        "a wider page", "choose a larger {@paper}", field="paper",
    )  # fmt: skip


@lru_cache(maxsize=64)  # as `splices`
def _letters(plan: BandLayout, cuts: tuple[float, ...], whole: bool = False) -> bool:
    """Tell whether the labels of a band that is cut so find room."""
    try:
        lettered(plan, cuts, whole=whole, smallest=True)
    except LayoutError:
        return False
    return True


def _fewest(places: Sequence[float], length: float, widest: float) -> list[tuple[float, ...]]:
    """Return ways to make the fewest cuts at `places` into pieces no longer than `widest`, the most alike first."""
    places = sorted(places)
    best = _farthest(places, length, widest)
    if best is None:
        return []
    ways = {best: None}
    for limit in sorted(
        {b - a for a in (0.0, *places) for b in (*places, length) if 0.0 < b - a < widest}, reverse=True
    ):
        shorter = _farthest(places, length, limit)
        if shorter is None or len(shorter) > len(best):
            break
        ways[shorter] = None
    return [*reversed(ways)]


def _farthest(places: Sequence[float], length: float, widest: float) -> tuple[float, ...] | None:
    """Return cuts, each as far along as pieces no longer than `widest` allow; None when there are none."""
    cuts, at = list[float](), 0.0
    while length - at > widest + 1e-9:
        within = [x for x in places if at < x <= at + widest + 1e-9]
        if not within:
            return None
        at = max(within)
        cuts.append(at)
    return tuple(cuts)


def splices_between(plan: BandLayout, cuts: Sequence[float], deg: float) -> int:
    """Return how many splices lie between START and the mark at `deg`, along the band."""
    low, high = sorted((plan.x_of(0.0), plan.x_of(deg)))
    return sum(low < cut < high for cut in cuts)
