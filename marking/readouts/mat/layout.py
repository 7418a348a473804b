"""What a mat is drawn from: its circles, its lanes and its stages."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from ...errors import LayoutError
from ...fastening.spec import Stage
from ...figures.dial import Lanes
from ...marks.one_mark import apart_deg
from ...marks.places import Feature
from ...marks.stage_marks import StageMarks
from ...quantities.angles import arc_deg
from ...quantities.shown import mixed
from ...quantities.units import MM_PER_IN

GUIDES_MM = (1.0, 2.0)
"""Paper between the circle of a known OD and the fine circles round it: what the eye compares when centring."""

RAY_BEGINS_MM = 3.0
"""The rays begin this far inside the smallest circle."""

LEAST_SCALE_MM, JOINED_SCALE_MM = 30.0, 20.0
"""Least radius of the degree scale: a number every 10° has room there, among a job's pieces every 15° (our choice)."""

CLEAR_MM, JOINED_CLEAR_MM = 9.0, 8.0
"""The degree scale lies at least this far outside the largest circle, alone and among a job's pieces: corner numbers
and hatch stand between."""

HATCH_MM = 5.0
"""Width of the hatch inside the scale."""

CORNERS_MM, NUMBERS_MM, RAY_ENDS_MM = -6.5, 4.6, 7.5
"""Distances from the scale: the middle of corner numbers and of degree numbers, the outer ends of the rays."""

LEAST_APART_MM = 1.0
"""Least paper on the smallest wall between two stages' marks (our choice)."""


class Circle(NamedTuple):
    """A circle for an OD: its number, "" for none, and whether it is the socket's own."""

    od_mm: float
    number: str = ""
    own: bool = False


def touch_on_wall(one: Stage, other: Stage, od_mm: float) -> bool:
    """Tell whether the marks of two stages would touch on a socket's wall."""
    return apart_deg(one, other) < arc_deg(math.pi * od_mm, LEAST_APART_MM)


@dataclass(frozen=True)
class MatLayout:
    """Everything a mat is drawn from; `clockwise` tells how the thread tightens, seen from the drive end.

    `low_od_mm` and `high_od_mm` are the same where the OD is known. `corners` are the opening's, `words` the lines
    below the circles, `least_scale_mm` the least radius of the degree scale, `clear_mm` the least space between it and
    the largest circle.

    Raises LayoutError for stages whose marks would touch on the wall.
    """

    low_od_mm: float
    high_od_mm: float
    clockwise: bool
    stages: tuple[StageMarks, ...]
    corners: tuple[Feature, ...] = ()
    words: tuple[str, ...] = ()
    unit: str = "mm"
    least_scale_mm: float = LEAST_SCALE_MM
    clear_mm: float = CLEAR_MM

    def __post_init__(self) -> None:
        for one, other in itertools.combinations(self.stages, 2):
            if touch_on_wall(one.stage, other.stage, self.low_od_mm):
                raise LayoutError(
                    f"{one.name} and {other.name} would touch on the socket's wall",
                    "windows apart from each other",
                    "print a drive disc",
                )

    @property
    def known(self) -> bool:
        """Whether the mat is for one OD."""
        return self.low_od_mm == self.high_od_mm

    @property
    def circles(self) -> tuple[Circle, ...]:
        """The circle of a known OD and fine ones round it; else one every mm, numbered every 5 mm.

        In inches one every 1/32 in, numbered every 1/4 in.
        """
        if self.known:
            guides = (Circle(self.high_od_mm + 2 * mm) for mm in GUIDES_MM)
            return (Circle(self.low_od_mm, own=True), *guides)
        part, every = (32, 8) if self.unit == "in" else (1, 5)
        step = MM_PER_IN / part if self.unit == "in" else 1.0
        first, last = math.floor(self.low_od_mm / step + 1e-9), math.ceil(self.high_od_mm / step - 1e-9)
        return tuple(
            Circle(k * step, "" if k % every else mixed(Fraction(k, part))) for k in range(first, last + 1)
        )  # fmt: skip

    @property
    def scale(self) -> float:
        """Radius of the degree scale."""
        return max(self.least_scale_mm, self.circles[-1].od_mm / 2 + self.clear_mm)

    @property
    def lanes(self) -> Lanes:
        """Where rays, hatch and scale stand along the radius."""
        smallest, scale = self.circles[0].od_mm / 2, self.scale
        rays = smallest - min(RAY_BEGINS_MM, smallest / 2), scale + RAY_ENDS_MM
        return Lanes(rays, scale, False, scale + NUMBERS_MM, (scale - HATCH_MM, scale))
