"""Pure arithmetic of angles and arcs: corners, marks, wrap, seam, play. Knows nothing of paper.

Angles are degrees counted from START against the tightening direction, so that the mark at 90° arrives at the witness
mark after 90° of tightening. Lengths are millimetres.
"""

from __future__ import annotations

import math

from ..errors import RangeError

SAME_DEG = 1e-9
"""Angles this close are the same angle: far below anything printable, far above rounding."""


def closed_length_mm(od_mm: float, stock_mm: float) -> float:
    """Return L = π (D + t), the closed length of a band of stock t on diameter D.

    Bent stock keeps its length in the middle of its thickness, at radius (D + t)/2.
    closed_length_mm(27.8, 0.1) = 87.65.
    """
    return math.pi * (od_mm + stock_mm)


def od_from_around_mm(around_mm: float, stock_mm: float) -> float:
    """Return D = C/π − t, the diameter round which a strip of stock t closes at length C.

    Raises RangeError when the stock would be thicker than the diameter.
    """
    od_mm = around_mm / math.pi - stock_mm
    if od_mm <= stock_mm:
        raise RangeError(
            f"a strip {around_mm:g} mm long closes round nothing", "the length round the socket", value=around_mm,
            field="around",
        )  # fmt: skip
    return od_mm


def arc_mm(length_mm: float, deg: float) -> float:
    """Return u = L θ / 360, the place of angle θ along a band of closed length L."""
    return length_mm * deg / 360.0


def arc_deg(length_mm: float, mm: float) -> float:
    """Return the angle of a place along a band: the inverse of `arc_mm`."""
    return 360.0 * mm / length_mm


def position_deg(turn_deg: float) -> float:
    """Return where a turn ends on the circle, 0 .. 360: position_deg(450) = 90."""
    rest = math.fmod(turn_deg, 360.0)
    return 0.0 if 360.0 - rest < SAME_DEG or rest < SAME_DEG else rest


def full_turns(turn_deg: float) -> int:
    """Return the number of whole turns in `turn_deg`: full_turns(450) = 1."""
    return math.floor((turn_deg + SAME_DEG) / 360.0)


def widest_gap(arcs: list[tuple[float, float]]) -> tuple[float, float]:
    """Return (begin_deg, span_deg) of the widest part of the circle that none of `arcs` touches; the first if equal.

    `arcs` are (begin_deg, span_deg), at least one of them. The span is 0 when the arcs cover the circle.
    """
    ends = sorted((begin % 360.0, begin % 360.0 + span) for begin, span in arcs)
    best = (0.0, 0.0)
    first = reach = max(end - 360.0 for _, end in ends)
    for begin, end in ends:
        if begin - reach > best[1] + SAME_DEG:
            best = (reach % 360.0, begin - reach)
        reach = max(reach, end)
    closing = first + 360.0 - reach
    return (reach % 360.0, closing) if closing > best[1] + SAME_DEG else best


Point = tuple[float, float]


def polar(radius: float, deg: float) -> Point:
    """Return the point at `radius` and `deg` counterclockwise from the x axis."""
    return radius * math.cos(math.radians(deg)), radius * math.sin(math.radians(deg))
