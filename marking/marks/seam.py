"""Where the ends of a band meet."""

from __future__ import annotations

import itertools
from bisect import bisect_left
from collections.abc import Iterable, Sequence

from ..errors import LayoutError
from ..quantities.angles import arc_deg, arc_mm, position_deg, widest_gap

SEAM_CLEARANCE_MM = 5.0
"""Least arc between the seam and START or a window edge: a joint nearer than this may hide or bend a mark."""


JOINT_MM, STEP_DEG = 2.0, 0.5
"""What the bars of the OK bracket take on either side of it, with some space; in which steps the seam moves (our
choices)."""


def seam_deg(arcs: Iterable[tuple[float, float]], length_mm: float, lines_deg: Iterable[float] = ()) -> float:
    """Return where the ends of a closed band or the slit of a ring go: the middle of the widest arc without marks.

    `arcs` are (begin_deg, span_deg) taken by marks; START's (0, 0) is added. `length_mm` is the closed length. From
    lines of less weight, at `lines_deg`, it moves away as far as the OK bracket needs, where there is room for that.
    Raises LayoutError when less than 5 mm of arc would be left on either side.
    """
    taken = list(arcs)
    begin, span = widest_gap([(0.0, 0.0), *taken])
    if arc_mm(length_mm, span) / 2 < SEAM_CLEARANCE_MM:
        raise LayoutError(
            f"the marks leave only {arc_mm(length_mm, span):.1f} mm free for the seam",
            f"{2 * SEAM_CLEARANCE_MM:.0f} mm, 5 mm on either side",
            "use a socket of larger diameter" + (", or one band a stage" if len(taken) > 1 else ""),
            span,
        )
    middle, lines = begin + span / 2, sorted(lines_deg)
    clear = arc_deg(length_mm, closure_half_mm(length_mm) + JOINT_MM)
    # nothing is better farther away than the next place half way between two lines
    farthest = max((b - a for a, b in itertools.pairwise([*lines, *(deg + 360.0 for deg in lines[:1])])), default=0.0)
    room = min(span / 2 - arc_deg(length_mm, SEAM_CLEARANCE_MM), farthest)
    best, found = -1.0, middle
    for k in range(int(room / STEP_DEG) + 1):
        for seam in (middle - k * STEP_DEG, middle + k * STEP_DEG):
            nearest = _nearest_deg(seam % 360.0, lines) if lines else clear
            if nearest > best + 1e-6:
                best, found = nearest, seam
            if nearest >= clear:
                return seam % 360.0
            if best >= farthest / 2 - 1e-6:  # the middle between two lines
                return found % 360.0
    return found % 360.0


def _nearest_deg(deg: float, lines: Sequence[float]) -> float:
    """How far the nearest of `lines` is, which are sorted."""
    after = bisect_left(lines, deg)
    return min((deg - lines[after - 1]) % 360.0, (lines[after % len(lines)] - deg) % 360.0)


def arc_along_band_deg(turn_deg: float, seam: float) -> float:
    """Return how far a mark lies from START along the band, without crossing the seam, 0 .. 360.

    A band of a slightly wrong length is wrong at its seam; the error of a mark grows with this arc, not with the arc
    across the seam.
    """
    deg = position_deg(turn_deg)
    return deg if deg <= seam else 360.0 - deg


CLOSURE_MM, CLOSURE_SHARE, WIDEST_CLOSURE_MM = 0.3, 0.005, 1.0
"""By how much a band's end may miss its closure line: half a per cent of its length within these limits (our choice:
what a careful hand reaches, small enough to stand in the budget)."""


def closure_half_mm(length_mm: float, asked_mm: float | None = None) -> float:
    """Return how far a band's end may lie from its closure line, each way: min(max(0.3 mm, 0.5 % of L), 1 mm).

    `asked_mm` may only narrow it. It is what the OK bracket shows, and the closure's contribution to the reading error;
    for L = 87.65 mm: 0.438 mm.
    """
    usual = min(max(CLOSURE_MM, CLOSURE_SHARE * length_mm), WIDEST_CLOSURE_MM)
    return usual if asked_mm is None else min(asked_mm, usual)
