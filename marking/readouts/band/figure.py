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

from ...drawing.fonts import SMALL_PT, text_width_mm
from ...drawing.primitives import Arc, Drawing, Group, Line, Polyline, Primitive, Text
from ...drawing.transform import moved
from ...figures import tick_step_deg
from ...figures.strip import TICKS_TOP, Strip, filled
from ...figures.strip_layout import TAB_MM
from ...quantities.shown import trimmed
from ...quantities.units import MM_PER_IN
from .layout import CLOSURE_TICK_MM, LOW_MM, BandLayout, closure_reach_mm

CLOSURE_STEPS = {"mm": (0.5, 1.0, 5.0, 1.0), "in": (0.02, 0.1, 0.2, MM_PER_IN)}
"""Closure scale: every graduation, every longer one, every number, in the unit; the unit in mm."""

CLOSURE_HEIGHT_MM = 3.8


class Band(NamedTuple):
    """A drawn band: one drawing a piece, and the texts that did not fit on it and belong below it."""

    pieces: tuple[Drawing, ...]
    below: tuple[str, ...]


def draw_band(plan: BandLayout, cuts: Sequence[float] = ()) -> Band:
    """Draw a band, in one piece or cut at `cuts`. Raises LayoutError when START or a stop label finds no room."""
    strip = filled(plan, cuts)
    items = (*_ticks(plan, strip), *strip.marks(), *strip.texts)
    ends = [0.0, *cuts, plan.length_mm]
    pieces = tuple(
        _piece(plan, items, number, a, b, last=b == plan.length_mm, cut=bool(cuts))
        for number, (a, b) in enumerate(itertools.pairwise(ends), 1)
    )
    return Band(pieces, tuple(strip.below))


def _ticks(plan: BandLayout, strip: Strip) -> list[Primitive]:
    """The degree scale and the corner and mid-flat ticks, all on the fastener edge."""
    drawn: list[Primitive] = []
    for deg in range(0, 360, tick_step_deg(plan.length_mm)):
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
    plan: BandLayout, items: Sequence[Primitive], number: int, a: float, b: float, last: bool, cut: bool
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


def _closure_scale(plan: BandLayout) -> list[Primitive]:
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


def _middle_x(item: Primitive) -> float:
    if isinstance(item, Line):
        return (item.x1 + item.x2) / 2
    assert not isinstance(item, Arc)  # a band is straight
    xs = [x for x, _ in (item.box if isinstance(item, Text) else item.points)]
    return (min(xs) + max(xs)) / 2
