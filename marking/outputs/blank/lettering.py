"""The lettering of a blank band's head: START, corners and degrees first, as the pen goes by them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import product
from typing import NamedTuple

from ...drawing.emphasis import underlined
from ...drawing.fonts import REGULAR, SEMIBOLD, SMALL_PT, Weight, cap_mm, text_width_mm
from ...drawing.primitives import Anchor, Line, Polyline, Primitive, Text
from ...figures import label_step_deg
from ...readouts.trim_band.layout import TrimBandLayout
from .words import FASTENER_NOTES, SOCKET_TURNS

START_PT, NUMBER_PT, LARGE_NUMBER_PT, LARGE_FROM_MM = 10.5, 6.0, 7.0, 100.0
"""Type of START (capitals 2.4 mm high), and of corners and degrees, larger from a length on."""

WORD_PT, LANE_PT, LANE_MM = 6.0, 5.5, 2.2

ROW_GAP_MM, START_GAP_MM, SIDE_MM, APART_MM = 0.9, 1.0, 1.0, 0.5
"""Space between rows, above and below START, from START's line and the ends, and between two numbers."""

ARROW_MM = 6.0


class Rows(NamedTuple):
    """Type of a band's numbers, and the baselines of the head's rows, in mm above the fastener edge."""

    number_pt: float
    corners: float
    degrees: float
    words: float
    start: float
    top: float


def rows(plan: TrimBandLayout, ticks_mm: float) -> Rows:
    """Return the rows of the head above the ticks, which end at `ticks_mm`: as high as the trim band's or higher."""
    length = plan.ends(plan.height_mm)[1] - plan.ends(plan.height_mm)[0]
    size = LARGE_NUMBER_PT if length >= LARGE_FROM_MM else NUMBER_PT
    corners = ticks_mm + 0.5
    degrees = corners + cap_mm(size) + ROW_GAP_MM
    words = degrees + cap_mm(size) + ROW_GAP_MM
    top = max(plan.height_mm, words + cap_mm(WORD_PT) + cap_mm(START_PT) + 2 * START_GAP_MM)
    return Rows(size, corners, degrees, words, top - START_GAP_MM - cap_mm(START_PT), top)


def head(plan: TrimBandLayout, rows: Rows, lines: Sequence[str]) -> Iterator[Primitive]:
    """Yield START's line and word, the numbers, the arrow, and in a lane above them the first of `lines` that fits."""
    left, right = plan.ends(rows.top)
    yield Line(plan.start_x, 0.0, plan.start_x, rows.top, "start")
    corners = [(feature.deg, str(feature.index)) for feature in plan.features if feature.kind == "corner"]
    yield from _numbers(plan, rows.corners, rows.number_pt, SEMIBOLD, [*corners[1:], corners[0]])
    round_mm = 4 * abs(plan.x_of(90.0, rows.degrees) - plan.start_x)
    step = label_step_deg(round_mm, text_width_mm("330°", rows.number_pt) + APART_MM)
    degrees = [(float(deg), f"{deg}°") for deg in range(step, 360, step)]
    yield from _numbers(plan, rows.degrees, rows.number_pt, REGULAR, degrees)
    yield from _arrow(plan, rows.words)
    word = Text(plan.start_x, rows.start, "START", START_PT, SEMIBOLD, role="label")
    before = plan.start_x - left if plan.clockwise else right - plan.start_x
    to_right = plan.clockwise is not (before >= word.width_mm + 2 * SIDE_MM)
    yield word._replace(x=word.x + (SIDE_MM if to_right else -SIDE_MM), anchor="start" if to_right else "end")
    fitting = (line for line in lines if text_width_mm(line, LANE_PT) <= right - left - 2 * SIDE_MM)
    yield Text(left + SIDE_MM, rows.top + 0.7, next(fitting, lines[-1]), LANE_PT, role="words")


def _numbers(
    plan: TrimBandLayout, y: float, size: float, weight: Weight, numbers: Iterable[tuple[float, str]]
) -> Iterator[Primitive]:
    """Numbers over their lines, in the order of the angles, the one at START beside it; no room, no number."""
    left, right = plan.ends(plan.height_mm)
    taken = [(plan.start_x - 0.5, plan.start_x + 0.5), (left - 1e3, left), (right, right + 1e3)]
    for deg, text in numbers:
        half = text_width_mm(text, size, weight) / 2
        x = plan.x_of(deg, y)
        if deg == 0.0:
            x += (half + SIDE_MM) if plan.clockwise else -(half + SIDE_MM)
        if all(x + half + APART_MM <= a or x - half - APART_MM >= b for a, b in taken):
            taken.append((x - half, x + half))
            yield from underlined(Text(x, y, text, size, weight, "middle", role="number"))


def _arrow(plan: TrimBandLayout, y: float) -> Iterator[Primitive]:
    """The way the socket turns, towards START, and behind it which edge is at the fastener, or above it."""
    sign, middle = (1.0 if plan.clockwise else -1.0), y + cap_mm(WORD_PT) / 2
    tip = plan.start_x + sign * SIDE_MM
    neck, x = tip + sign * 1.8, tip + sign * (ARROW_MM + 0.8)
    yield Line(neck, middle, tip + sign * ARROW_MM, middle, "arrow")
    yield Polyline(((tip, middle), (neck, middle + 0.8), (neck, middle - 0.8)), "arrow-head", True, 0.0)
    left, right = plan.ends(plan.height_mm)
    room = right - plan.start_x if plan.clockwise else plan.start_x - left
    anchor: Anchor = "start" if plan.clockwise else "end"
    said = [Text(x, y, text, WORD_PT, SEMIBOLD, anchor, role="words") for text in SOCKET_TURNS]
    words = next((text for text in said if abs(x - plan.start_x) + text.width_mm + SIDE_MM <= room), said[-1])
    yield words
    behind = abs(x - plan.start_x) + words.width_mm + 2 * SIDE_MM
    rows = (y, behind), (y + cap_mm(WORD_PT) + ROW_GAP_MM, SIDE_MM)
    for (at, distance), text in product(rows, FASTENER_NOTES):
        width = text_width_mm(text, SMALL_PT) + 2.2
        if distance + width + SIDE_MM <= room:
            x = plan.start_x + distance if plan.clockwise else plan.start_x - distance - width
            yield Polyline(((x + 0.8, at), (x + 1.6, at + 1.2), (x, at + 1.2)), "edge-flag", True, 0.0)
            yield Text(x + 2.2, at, text, SMALL_PT, role="words")
            return
