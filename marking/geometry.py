"""Pure arithmetic of angles and arcs: corners, marks, wrap, seam, play. Knows nothing of paper.

Angles are degrees counted from START against the tightening direction, so that the mark at 90° arrives at the witness
mark after 90° of tightening. Lengths are millimetres.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import NamedTuple

from .errors import LayoutError, RangeError
from .spec import Stage

STARTS = ("corner", "flat")

SEAM_CLEARANCE_MM = 5.0
"""Least arc between the seam and START or a window edge: a joint nearer than this may hide or bend a mark."""

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
            f"a strip {around_mm:g} mm long closes round nothing", "the length round the socket", "check --around",
            around_mm,
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


def turns_in_words(turns: int) -> str:
    """Say a number of whole turns: "1 full turn", "2 full turns"."""
    return f"{turns} full turn{'' if turns == 1 else 's'}"


@dataclass(frozen=True)
class Feature:
    """A corner or a mid-flat of the opening: `index` from 1, `deg` from START.

    Mid-flat k lies between corner k and the next one.
    """

    kind: str
    index: int
    deg: float


@cache
def features(points: int, start: str = "corner") -> tuple[Feature, ...]:
    """Return the corners and mid-flats of a socket with `points` points, 2 · points of them, by rising angle.

    With `start` "corner" START lies on corner 1, corner k at (k−1)·360/N and mid-flats half way. With "flat" START
    lies on the mid-flat between the last corner and corner 1.
    """
    pitch = 360.0 / points
    shift = 0.0 if start == "corner" else 0.5
    found = []
    for k in range(1, points + 1):
        found.append(Feature("corner", k, position_deg((k - 1 + shift) * pitch)))
        found.append(Feature("mid-flat", k, position_deg((k - 0.5 + shift) * pitch)))
    return tuple(sorted(found, key=lambda feature: feature.deg))


def where(deg: float, points: int, start: str = "corner") -> str:
    """Say where an angle falls, in words to check against the socket's mouth.

    "on corner 4"; "mid-flat between corners 2 and 3"; "10° past corner 4 (a third of the way to corner 5)".
    Counting goes against the tightening direction, like the angle.
    """
    pitch = 360.0 / points
    steps = position_deg(deg) / pitch - (0.0 if start == "corner" else 0.5)
    steps %= points
    before = math.floor(steps + SAME_DEG)
    past_deg = max(0.0, (steps - before) * pitch)
    corner, following = before % points + 1, (before + 1) % points + 1
    if past_deg < 0.005:
        return f"on corner {corner}"
    if pitch - past_deg < 0.005:
        return f"on corner {following}"
    if abs(past_deg - pitch / 2) < 0.005:
        return f"mid-flat between corners {corner} and {following}"
    text = f"{past_deg:.2f}".rstrip("0").rstrip(".")
    return f"{text}° past corner {corner} ({_part_words(past_deg / pitch)} of the way to corner {following})"


_PART_WORDS = {
    Fraction(1, 2): "half", Fraction(1, 3): "a third", Fraction(2, 3): "two thirds", Fraction(1, 4): "a quarter",
    Fraction(3, 4): "three quarters", Fraction(1, 5): "a fifth", Fraction(2, 5): "two fifths",
    Fraction(3, 5): "three fifths", Fraction(4, 5): "four fifths", Fraction(1, 6): "a sixth",
    Fraction(5, 6): "five sixths",
}  # fmt: skip


def _part_words(part: float) -> str:
    nearest = min(_PART_WORDS, key=lambda fraction: abs(fraction - part))
    if abs(nearest - part) < 1e-6:
        return _PART_WORDS[nearest]
    if part < 1 / 12:
        return "just the beginning"
    if part > 11 / 12:
        return "nearly all"
    return f"about {_PART_WORDS[nearest]}"


class Mark(NamedTuple):
    """A mark on the socket: `deg` its place from START in 0 .. 360, reached after `full_turns` whole turns more.

    `kind` is start, stop-low, stop-high, stop or aim; `stage` counts from 1, None for START.
    """

    kind: str
    stage: int | None
    deg: float
    full_turns: int = 0

    @property
    def turn_deg(self) -> float:
        """The whole turn from START to the mark, full turns included."""
        return self.deg + 360.0 * self.full_turns


def mark_at(kind: str, stage: int | None, turn_deg: float) -> Mark:
    """Return the mark reached after `turn_deg` degrees of tightening."""
    return Mark(kind, stage, position_deg(turn_deg), full_turns(turn_deg))


def stop_marks(stage: Stage, number: int) -> tuple[Mark, ...]:
    """Return the stop marks of one stage: the window's two edges, or one stop line without a tolerance."""
    if stage.window is None:
        return (mark_at("stop", number, stage.turn_deg),)
    low, high = stage.window.low_deg, stage.window.high_deg
    return mark_at("stop-low", number, low), mark_at("stop-high", number, high)


def stage_arc(stage: Stage) -> tuple[float, float]:
    """Return (begin_deg, span_deg) of the arc that a stage's stop marks take on the circle."""
    if stage.window is None:
        return position_deg(stage.turn_deg), 0.0
    return position_deg(stage.window.low_deg), stage.window.high_deg - stage.window.low_deg


def seam_deg(arcs: Iterable[tuple[float, float]], length_mm: float) -> float:
    """Return where the ends of a closed band or the slit of a ring go: the middle of the widest arc without marks.

    `arcs` are (begin_deg, span_deg) taken by marks; START's (0, 0) is added. `length_mm` is the closed length.
    Raises LayoutError when less than 5 mm of arc would be left on either side.
    """
    begin, span = widest_gap([(0.0, 0.0), *arcs])
    if arc_mm(length_mm, span) / 2 < SEAM_CLEARANCE_MM:
        raise LayoutError(
            f"the marks leave only {arc_mm(length_mm, span):.1f} mm free for the seam",
            f"{2 * SEAM_CLEARANCE_MM:.0f} mm, 5 mm on either side",
            "use a socket of larger diameter, or one band a stage",
            span,
        )
    return (begin + span / 2) % 360.0


def widest_gap(arcs: list[tuple[float, float]]) -> tuple[float, float]:
    """Return (begin_deg, span_deg) of the widest part of the circle that none of `arcs` touches; the first if equal.

    `arcs` are (begin_deg, span_deg), at least one of them. The span is 0 when the arcs cover the circle.
    """
    ends = sorted((begin % 360.0, begin % 360.0 + span) for begin, span in arcs)
    best = (0.0, 0.0)
    reach = max(end - 360.0 for _, end in ends)
    reach = max(reach, ends[-1][0] - 360.0)
    first = reach
    for begin, end in ends:
        if begin - reach > best[1] + SAME_DEG:
            best = (reach % 360.0, begin - reach)
        reach = max(reach, end)
    closing = first + 360.0 - reach
    return (reach % 360.0, closing) if closing > best[1] + SAME_DEG else best


def arc_along_band_deg(turn_deg: float, seam: float) -> float:
    """Return how far a mark lies from START along the band, without crossing the seam, 0 .. 360.

    A band of a slightly wrong length is wrong at its seam; the error of a mark grows with this arc, not with the arc
    across the seam.
    """
    deg = position_deg(turn_deg)
    return deg if deg <= seam else 360.0 - deg


def play_deg(sides: int, opening_mm: float, fastener_mm: float) -> float:
    """Return how far a fastener turns freely in an opening, degrees each way.

    φ = 180°/n − arccos((s_s / s_f) cos(180°/n)) for an n-sided fastener of width s_f across flats in an opening of
    width s_s: the fastener's corner, at radius s_f / (2 cos(180°/n)), meets the opening's flat. In 12- and 8-point
    openings that part of the flat is there up to φ = 90°/n; beyond, they no longer hold the fastener.
    play_deg(6, 19.36, 18.67) = 3.90. Raises RangeError when the fastener is wider than the opening, or so narrow that
    it turns right round.
    """
    if fastener_mm > opening_mm:
        raise RangeError(
            f"a fastener {fastener_mm:g} mm wide does not go into an opening of {opening_mm:g} mm",
            "an opening at least as wide", "check --opening",
        )  # fmt: skip
    ratio = opening_mm / fastener_mm * math.cos(math.pi / sides)
    if ratio >= 1:
        raise RangeError(
            f"a fastener {fastener_mm:g} mm wide turns round in an opening of {opening_mm:g} mm",
            "a fastener that the opening can turn", "check --opening",
        )  # fmt: skip
    return 180.0 / sides - math.degrees(math.acos(ratio))
