"""What any strip is drawn from: its marks and words, and how large each rank of its lettering is."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple, Protocol

from ..drawing.fonts import CAP_EM, MM_PER_PT, cap_mm
from ..marks.places import Feature
from ..marks.stage_marks import StageMarks, stage_arc

TAB_MM = 10.0

CLOSURE_REACH = 0.11
"""How far the closure scale reaches either way, as a part of the length (our choice: an OD a tenth off still lands on
it), at most over the tab."""

SIDE = 0.9
"""Least distance of a text from a mark or a cut line, in mm."""

ALONE = 1.05
"""Least distance of anything else from START, STOP and the window, in mm."""

LEAST_PT = 5.0
"""Smallest type of a strip."""


class StripLayout(Protocol):
    """What a strip is laid out from; heights y are in mm above the fastener edge."""

    @property
    def height_mm(self) -> float:
        """Height of the strip."""

    @property
    def clockwise(self) -> bool:
        """True when the socket turns clockwise, seen from its drive end."""

    @property
    def features(self) -> tuple[Feature, ...]:
        """Corners and mid-flats."""

    @property
    def stages(self) -> tuple[StageMarks, ...]:
        """The stop marks."""

    @property
    def spec_line(self) -> str:
        """The spec in words."""

    @property
    def socket_line(self) -> str:
        """The socket in words."""

    @property
    def ident(self) -> str:
        """What the strip is called: an id or a title; "" for none."""

    @property
    def od_text(self) -> str:
        """The socket's outside diameter in words, the least that tells where a strip belongs."""

    @property
    def foot_mm(self) -> float:
        """Where START's flag points to, and the ticks begin."""

    @property
    def edge_notes(self) -> tuple[str, ...]:
        """Words for the edge at the fastener, the longest first."""

    @property
    def tick_deg(self) -> int:
        """The degrees from tick to tick."""

    def x_of(self, deg: float, y: float = 0.0) -> float:
        """Where an angle lies at height y."""

    def ends(self, y: float) -> tuple[float, float]:
        """Where the strip begins and ends at height y."""

    def lane_ends(self) -> tuple[float, float]:
        """Where the line along the drive edge begins and ends."""

    def closing(self) -> tuple[tuple[float, float, float, float], ...]:
        """What the closure takes of the strip, as boxes from left and bottom to right and top."""


class Ranks(NamedTuple):
    """Sizes of a strip's lettering by rank, and the heights that follow from them, in mm above the foot.

    `caps_mm` are the cap heights of START and STOP to try, the largest first. Corner ticks end at `tick_mm`; numbers
    have their baselines at `numbers_mm`; the line along the drive edge stands in the uppermost `lane_mm`.
    """

    caps_mm: tuple[float, ...]
    second_pt: float
    third_pt: float
    fourth_pt: float
    tick_mm: float
    numbers_mm: tuple[float, ...]
    lane_mm: float


BEST_PART, LEAST_PART, LEAST_CAP_MM, FULL_HEIGHT_MM = 5.5, 7.0, 2.4, 14.0
"""Cap height of START and STOP: a part of the height, at least a seventh, and 2.4 mm from a height of 14 mm on."""

LENGTH_PART, SLIM_CAP_MM = 30.0, 1.17
"""On a slim socket they may be as low as a thirtieth of the strip's length, but never lower than 1.17 mm, which is 5 pt
(our choice: five letters between two marks; larger ones would find no room at all)."""

CAP_STEPS = 5

LANE_EDGE_MM, ASCENT_EM, DESCENT_EM = 0.55, 0.74, 0.22
"""Space between the drive edge and the line along it; how far its letters reach above and below their baseline."""

LOW_MM = 12.0
"""Strips lower than this carry no degree numbers, so that there is room for words."""


def cap_pt(mm: float) -> float:
    """Return the type size whose capitals are `mm` high."""
    return mm / (CAP_EM * MM_PER_PT)


def least_cap_mm(height_mm: float, length_mm: float) -> float:
    """Return the least cap height of START and STOP: for 14 mm × 88 mm 2.4 mm, for 30 mm × 300 mm 4.29 mm."""
    wanted = max(height_mm / LEAST_PART, LEAST_CAP_MM * min(1.0, height_mm / FULL_HEIGHT_MM))
    return min(wanted, max(length_mm / LENGTH_PART, SLIM_CAP_MM))


def ranks(plan: StripLayout) -> Ranks:
    """Return how large the lettering of a strip is: what grows with its height above the foot."""
    height = plan.height_mm - plan.foot_mm
    left, right = plan.ends(plan.height_mm)
    least = least_cap_mm(height, right - left)
    best = max(least, height / BEST_PART)
    caps = [least + (best - least) * k / CAP_STEPS for k in range(CAP_STEPS, -1, -1)]
    return Ranks(tuple(caps), *_ranks(height))


@lru_cache(maxsize=64)  # most strips of a set are as high as the one before
def _ranks(height: float) -> tuple[float, float, float, float, tuple[float, ...], float]:
    """All sizes but the first, of a strip that is so high above its foot."""
    above = max(0.0, height - FULL_HEIGHT_MM)
    small = min(6.0, 5.0 + max(0.0, height - 8.0) / 6.0)
    second, third, fourth = (min(most, small + above * each) for each, most in ((0.4, 14), (0.25, 11), (0.15, 9)))
    tick = min(4.5, 1.5 if height < LOW_MM else 1.85 + above * 0.15)
    first_row = tick + 0.17 * third * MM_PER_PT + 0.3
    second_row = first_row + cap_mm(third) + 0.22 * third * MM_PER_PT + 0.2
    rows = (first_row,) if height < LOW_MM else (first_row, second_row)
    lane = LANE_EDGE_MM + (ASCENT_EM + DESCENT_EM) * fourth * MM_PER_PT
    return second, third, fourth, tick, rows, lane


def span(plan: StripLayout, stage: StageMarks, y: float = 0.0) -> tuple[float, float]:
    """Return the left and right end of a stage's stop marks at height y."""
    begin, arc = stage_arc(stage.stage)
    a, b = plan.x_of(begin, y), plan.x_of(begin + arc, y)
    return min(a, b), max(a, b)
