"""The band: the strip wrapped round the socket, drawn at true size.

Drawn with the drive end up: the fastener edge is at y = 0 and is the reading edge. For a right-hand thread marks lie to
the right of START, for a left-hand thread to the left, because the near side of a socket moves to the left when it is
turned clockwise as seen from its drive end.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from ...drawing.fonts import SMALL_PT, text_width_mm, wrap
from ...drawing.primitives import Arc, Data, Drawing, Group, Line, Polyline, Primitive, Text, moved, new
from ...errors import LayoutError
from ...figures.closure import BAR_MM, OK_HEIGHT_MM, OUTSIDE_MM, ok_bracket
from ...figures.room import Interval
from ...figures.strip import Strip
from ...figures.strip_layout import LOW_MM, TAB_MM
from ...figures.strip_marks import marks
from ...figures.strip_words import filled
from ...quantities.parse import computed_length
from ...quantities.shown import trimmed
from ...quantities.units import MM_PER_IN
from .layout import SCALE_MM, BandLayout, room_advice

CLOSURE_STEPS = {"mm": (0.5, 1.0, 5.0, 1.0), "in": (0.02, 0.1, 0.2, MM_PER_IN)}
"""Closure scale: every graduation, every longer one, every number, in the unit; the unit in mm."""

CLOSURE_TICK_MM = 1.2
"""Length of the closure scale's longer graduations."""


class Band(NamedTuple):
    """A drawn band: one drawing a piece, and the texts that did not fit on it and belong below it."""

    pieces: tuple[Drawing, ...]
    below: tuple[str, ...]


@lru_cache(maxsize=32)  # a set draws a band when it is planned and for each of its pieces, a page at every change
def draw_band(plan: BandLayout, cuts: tuple[float, ...] = ()) -> Band:
    """Draw a band, in one piece or cut at `cuts`. Raises LayoutError when START or a stop label finds no room."""
    try:
        strip = filled(plan, cuts)
    except LayoutError as error:
        raise LayoutError(error.what, error.expected, room_advice(plan, cuts), field="height") from None
    items = (*_ticks(plan, strip), *marks(strip), *strip.texts)
    ends = [0.0, *cuts, plan.length_mm]
    pieces = tuple(
        _piece(plan, items, number, a, b, last=b == plan.length_mm, cut=bool(cuts))
        for number, (a, b) in enumerate(itertools.pairwise(ends), 1)
    )
    return Band(pieces, tuple(strip.below))


DEGREES = [(deg, (deg % 5 == 0) + (deg % 10 == 0), (("deg", str(deg)),)) for deg in range(360)]
"""Every degree with the rank of its tick, from 0, and its data."""


def _ticks(plan: BandLayout, strip: Strip) -> list[Primitive]:
    """The degree scale and the corner and mid-flat ticks, all on the fastener edge."""
    top = strip.ranks.tick_mm
    scale = max(0.8, top / 2.5)
    heights = 0.8 * scale, 1.2 * scale, 1.6 * scale
    drawn: list[Primitive] = [
        new(Line, (x, 0.0, x, heights[rank], "degree", data))
        for deg, rank, data in DEGREES[:: plan.tick_deg]
        for x in (plan.x_of(deg),)
    ]
    for feature in plan.features:
        x, data = plan.x_of(feature.deg), (("index", str(feature.index)),)
        if feature.kind == "corner":
            drawn.append(Line(x, 0.0, x, top, "corner", data))
            flag = ((x, top - 1.1 * scale), (x + 0.55 * scale, top), (x - 0.55 * scale, top))
            drawn.append(Polyline(flag, "corner-flag", True, 0.0))
        else:
            drawn.append(Line(x, 0.0, x, 0.8 * top, "mid-flat", data))
    return drawn


def _piece(
    plan: BandLayout, items: Sequence[Primitive], number: int, a: float, b: float, last: bool, cut: bool
) -> Drawing:
    """One piece from a to b of the strip with its outline and tab, moved to begin at x = 0."""
    width, height = b - a + TAB_MM, plan.height_mm
    splice_words = "glue this", "under", f"piece {number + 1}"
    own = [moved(item, -a, 0.0) for item in items if a <= _middle_x(item) <= b] if cut else items
    ending = (
        _closure(plan)
        if last
        else [Line(b, 0, b, height, "splice"), *tab_text(b + 0.5, b + TAB_MM - 0.4, height - 0.8, splice_words)]
    )
    outline: list[Primitive] = [
        Line(0, 0, width, 0, "fastener-edge"),
        Line(0, height, width, height, "drive-edge"),
        Line(0, 0, 0, height, "splice-edge" if number > 1 else "seam"),
        Line(width, 0, width, height, "tab-edge"),
        *([moved(item, -a, 0.0) for item in ending] if cut else ending),
    ]
    content = Group("band", (*own, *outline))
    if cut:
        content = Group("band", (Group("band-piece", content.items, (("piece", str(number)),)),))
    return Drawing(width, height, content)


GLUE_WORDS = "glue this", "under the", "other end"

ROOMY_MM = 18.0
"""Least height with room for a line more on the tab."""

TAB_PITCH_MM = 2.05


def tab_text(left: float, right: float, top: float, words: Sequence[str]) -> list[Primitive]:
    """Return small lines of words centred on a tab from `top` down, as many as there is room for above its foot."""
    lines = [line for text in words for line in wrap(text, right - left, SMALL_PT)]
    count = min(len(lines), int((top + TAB_PITCH_MM - 1.75) / TAB_PITCH_MM))
    return [
        Text((left + right) / 2, top - 1.2 - TAB_PITCH_MM * k, line, SMALL_PT, anchor="middle", role="tab")
        for k, line in enumerate(lines[:count])
    ]


def _closure(plan: BandLayout) -> list[Primitive]:
    """Where the other end has to land, the scale that tells where it landed, and what to do with the tab."""
    length, height, half = plan.length_mm, plan.height_mm, plan.closure_mm
    flag_y = height - SCALE_MM - 0.3 - OK_HEIGHT_MM / 2
    glue = ("glue under", "other end") if height < ROOMY_MM else GLUE_WORDS
    said = computed_length(length, plan.unit).text
    words = (said,) if height < LOW_MM else ("length", said, *glue)
    return [
        *ok_bracket((length, 0.0), (length, height), (half, half), (length + half + BAR_MM, flag_y)),
        *_closure_scale(plan),
        *tab_text(length + half + BAR_MM + 0.25, length + TAB_MM - 0.3, flag_y - OK_HEIGHT_MM / 2 - 0.4, words),
    ]


def _closure_scale(plan: BandLayout) -> list[Primitive]:
    """The scale at the band's end, numbered with the closed length itself, hanging from the drive edge.

    Where the other end lands, its reading is the length round the socket: as far below as above the closed length.
    """
    step, _, _, unit_mm = CLOSURE_STEPS[plan.unit]
    length, top, reach = plan.length_mm, plan.height_mm, plan.closure_reach_mm
    bracket, end = plan.closure_mm + OUTSIDE_MM, length + TAB_MM - 0.3
    taken, y = [(length - bracket, length + bracket)], top - SCALE_MM + 0.2
    unit = Text(end, y, plan.unit, SMALL_PT, anchor="end", role="closure-number")
    drawn: list[Primitive] = [unit]
    taken.append((end - unit.width_mm - 0.3, end))
    for k in range(math.ceil((length - reach) / unit_mm / step), math.floor((length + reach) / unit_mm / step) + 1):
        x, depth, number, data = _graduation(k, plan.unit)
        drawn.append(new(Line, (x, top, x, top - depth, "closure-scale", data)))
        if number:
            drawn += scale_number(x, y, number, taken)
    return drawn


@lru_cache(maxsize=1024)  # bands that are about as long have most of them in common
def _graduation(k: int, unit: str) -> tuple[float, float, str, Data]:
    """Where graduation `k` of a closure scale lies from the band's left end, its length, its number or "", its data."""
    step, longer, numbered, unit_mm = CLOSURE_STEPS[unit]
    x, value = k * step * unit_mm, k * step
    number = trimmed(value, 1) if k % round(numbered / step) == 0 else ""
    depth = CLOSURE_TICK_MM if number or k % round(longer / step) == 0 else 0.7
    return x, depth, number, (("mm", f"{x:.4f}"),)


def scale_number(x: float, y: float, text: str, taken: list[Interval]) -> list[Primitive]:
    """A number of the closure scale, if it meets no other and neither the bracket nor the unit."""
    half = text_width_mm(text, SMALL_PT) / 2
    if any(a < x + half and b > x - half for a, b in taken):
        return []
    taken.append((x - half - 0.4, x + half + 0.4))
    return [Text(x, y, text, SMALL_PT, anchor="middle", role="closure-number")]


def _middle_x(item: Primitive) -> float:
    if isinstance(item, Line):
        return (item.x1 + item.x2) / 2
    assert not isinstance(item, Arc)  # a band is straight
    xs = [x for x, _ in (item.box if isinstance(item, Text) else item.points)]
    return (min(xs) + max(xs)) / 2
