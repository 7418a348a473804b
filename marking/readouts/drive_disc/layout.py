"""What a drive disc is drawn from: its diameter, its lanes and its hole."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ...errors import within
from ...fastening.socket import Drive
from ...figures.dial import Lanes
from ...marks.stage_marks import StageMarks
from ...quantities.shown import shown_length
from .error import disc_hole_mm

USUAL_DIAMETER_MM, MAX_DIAMETER_MM = 70.0, 280.0

LEAST_LANE_MM, USUAL_LANE_MM = 11.5, 17.0
"""Least distance from the hole's corners to the edge: what scale and labels need, and what large labels need (our
choice, like the diameters)."""

MARKS_MM = 18.0
"""Length of the stop marks where the disc has room for it; START begins at the hole (our choice)."""

HOLE_GAP_MM, ROUND_START_PART = 0.5, 0.6
"""Space round the hole; the part of the paper beyond it that a window round START takes (our choices)."""

NUMBERS_PT = 6.5
"""Type size of the numbers on a disc of 70 mm; they grow with it up to 10 pt, and are never less than 6 pt."""

NUMBERS_MM, PER_PT_MM, TEXT_GAP_MM = 2.35, 0.27, 0.9
"""From the outer edge to the numbers' tops, to their baseline in mm more a point, and from there to the texts."""


@dataclass(frozen=True)
class DiscLayout:
    """Everything a drive disc is drawn from; `clockwise` tells how the thread tightens, seen from the drive end.

    `words` are lines to print where there is room for them. Raises RangeError for a diameter that leaves less than
    11.5 mm round the hole or exceeds 280 mm.
    """

    diameter_mm: float
    drive: Drive
    clockwise: bool
    stages: tuple[StageMarks, ...]
    words: tuple[str, ...] = ()
    unit: str = "mm"

    def __post_init__(self) -> None:
        least = least_diameter_mm(self.drive)
        within(
            "the disc is {} across", self.diameter_mm, least, MAX_DIAMETER_MM, "diameter",
            lambda mm: shown_length(mm, self.unit), f" for a {self.drive.inch} in drive",
        )  # fmt: skip

    @property
    def outer(self) -> float:
        """Radius of the reading edge."""
        return self.diameter_mm / 2

    @property
    def hole_mm(self) -> float:
        """Side of the square hole."""
        return disc_hole_mm(self.drive)

    @property
    def growth(self) -> float:
        """How many times larger than on the usual disc its type is."""
        return min(2.0, self.diameter_mm / USUAL_DIAMETER_MM)

    @property
    def round_start(self) -> float:
        """The radius at which a window round START begins: inside it START's name stands at its line."""
        return self.outer - (self.outer - self.lanes.texts[0]) * ROUND_START_PART

    @property
    def lanes(self) -> Lanes:
        """Where marks, scale and texts stand along the radius."""
        outer, inner = self.outer, self.hole_mm / math.sqrt(2) + HOLE_GAP_MM
        size_pt = min(10.0, max(6.0, NUMBERS_PT * self.growth))
        numbers = outer - NUMBERS_MM - PER_PT_MM * size_pt
        texts = inner, numbers - TEXT_GAP_MM
        return Lanes((max(outer - MARKS_MM * self.growth, inner), outer), outer, True, numbers, texts, size_pt)


def least_diameter_mm(drive: Drive) -> float:
    """Return the smallest disc for a drive: its hole's diagonal and a lane all round. For 1/2 in: 41.4 mm."""
    return _round_hole_mm(drive, LEAST_LANE_MM)


def _round_hole_mm(drive: Drive, lane_mm: float) -> float:
    return disc_hole_mm(drive) * math.sqrt(2) + 2 * lane_mm


def usual_diameter_mm(drive: Drive) -> float:
    """Return the diameter when none is asked for: 70 mm, or the next 10 mm that a large drive needs."""
    return max(USUAL_DIAMETER_MM, math.ceil(_round_hole_mm(drive, USUAL_LANE_MM) / 10) * 10.0)
