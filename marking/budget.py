"""Reading error of a readout, and where to aim inside the window.

A window's edge is a tolerance limit and a reading has an uncertainty, so the aim lies inside by a guard band as wide
as the expanded uncertainty (JCGM 106:2012, ISO 14253-1). Uncertainties are combined after JCGM 100:2008: half-width a
of a rectangular distribution gives u = c·a/√3 (4.3.7), u_c = √Σu² (5.1.2), U = k·u_c with k = 2 (6.2.1).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, fields
from typing import NamedTuple

from .errors import RangeError
from .geometry import arc_along_band_deg
from .spec import Window

COVERAGE_FACTOR = 2.0

LARGEST_USEFUL_OD_MM = 2000.0
"""How far `sufficient_od_mm` looks: a readout larger than this is no advice."""


@dataclass(frozen=True)
class ErrorModel:
    """Half-widths of the contributions, each the edge of a rectangular distribution.

    The defaults are working assumptions from memory, not from a standard: replace them with your own.
    """

    od_measured_mm: float = 0.05
    od_around_mm: float = 0.25
    stock_mm: float = 0.02
    print_scale_percent: float = 0.5
    witness_mm: float = 0.25
    stop_mm: float = 0.25
    gap_mm: float = 1.0
    view_angle_deg: float = 10.0

    def __post_init__(self) -> None:
        for field in fields(self):
            value = getattr(self, field.name)
            limit = 60.0 if field.name == "view_angle_deg" else 10.0
            if not 0 <= value <= limit:
                name = field.name.rsplit("_", 1)[0].replace("_", " ")
                raise RangeError(
                    f"the error of {name} is {value:g}", f"0 to {limit:g}", "check the error options", value
                )

    @property
    def parallax_mm(self) -> float:
        """Half-width of one sighting: the gap between mark and part times the tangent of the view angle."""
        return self.gap_mm * math.tan(math.radians(self.view_angle_deg))


class Contribution(NamedTuple):
    """One source of error: half-width `a` in `unit`, sensitivity `c` in degrees per unit."""

    name: str
    half_width: float
    unit: str
    sensitivity: float

    @property
    def u_deg(self) -> float:
        """Standard uncertainty u = c·a/√3 of a rectangular distribution."""
        return self.sensitivity * self.half_width / math.sqrt(3)


class Budget(NamedTuple):
    """The reading error of one stage, and its aim zone `[low + U, high − U]` when the stage has a window."""

    stage: int
    contributions: tuple[Contribution, ...]
    window: Window | None

    @property
    def u_deg(self) -> float:
        """Combined standard uncertainty √Σu²."""
        return combined(c.u_deg for c in self.contributions)

    @property
    def expanded_deg(self) -> float:
        """Expanded uncertainty U = 2 u_c."""
        return COVERAGE_FACTOR * self.u_deg

    @property
    def aim_zone(self) -> Window | None:
        """The window less a guard band of U at either edge, or None without a window or when nothing is left."""
        if self.window is None or not self.provable:
            return None
        return Window(self.window.low_deg + self.expanded_deg, self.window.high_deg - self.expanded_deg)

    @property
    def aim_deg(self) -> float | None:
        """The middle of the aim zone."""
        zone = self.aim_zone
        return None if zone is None else (zone.low_deg + zone.high_deg) / 2

    @property
    def provable(self) -> bool:
        """False when the window is narrower than the reading error on both sides."""
        return self.window is None or self.window.high_deg - self.window.low_deg > 2 * self.expanded_deg


def combined(parts: Iterable[float]) -> float:
    """Return √Σu² of standard uncertainties that do not depend on one another (JCGM 100:2008, 5.1.2)."""
    return math.sqrt(math.fsum(u * u for u in parts))


def band_contributions(
    arc_deg: float, od_mm: float, stock_mm: float, od_source: str, model: ErrorModel
) -> tuple[Contribution, ...]:
    """Return the contributions to the reading error of a band.

    `arc_deg` is the arc from START to the mark along the band. Lengths along the band scale with D + t; the printed
    face, where marks are set and read, lies at radius D/2 + t.
    """
    per_mm_of_diameter = arc_deg / (od_mm + stock_mm)
    per_mm_of_face = 360.0 / (math.pi * (od_mm + 2 * stock_mm))
    od_error_mm = model.od_measured_mm if od_source == "measured" else model.od_around_mm / math.pi
    return (
        Contribution("outside diameter", od_error_mm, "mm", per_mm_of_diameter),
        Contribution("stock thickness", model.stock_mm, "mm", per_mm_of_diameter),
        Contribution("print scale", model.print_scale_percent, "%", arc_deg / 100.0),
        Contribution("witness mark", model.witness_mm, "mm", per_mm_of_face),
        Contribution("stop reading", model.stop_mm, "mm", per_mm_of_face),
        Contribution("parallax at START", model.parallax_mm, "mm", per_mm_of_face),
        Contribution("parallax at the stop", model.parallax_mm, "mm", per_mm_of_face),
    )


def band_budget(
    stage: int,
    turn_deg: float,
    window: Window | None,
    seam: float,
    od_mm: float,
    stock_mm: float,
    od_source: str,
    model: ErrorModel,
) -> Budget:
    """Return the budget of one stage read on a band whose seam lies at `seam` degrees.

    It is taken at the window's high edge, or at the edge farther from START along the band when the window lies
    behind the seam. Whole turns add nothing: they bring START itself back to the witness mark.
    """
    ends = [turn_deg] if window is None else [window.low_deg, window.high_deg]
    arc = max(arc_along_band_deg(end, seam) for end in ends)
    return Budget(stage, band_contributions(arc, od_mm, stock_mm, od_source, model), window)


def sufficient_od_mm(
    window: Window, turn_deg: float, seam: float, stock_mm: float, od_source: str, model: ErrorModel
) -> float | None:
    """Return the smallest OD whose band could prove the window, in mm; None when none up to 2 m could.

    The reading error falls with the diameter towards the print scale's part, which no diameter removes.
    """

    def provable(od_mm: float) -> bool:
        return band_budget(1, turn_deg, window, seam, od_mm, stock_mm, od_source, model).provable

    low, high = 1.0, LARGEST_USEFUL_OD_MM
    if not provable(high):
        return None
    while high - low > 0.01:
        middle = (low + high) / 2
        low, high = (low, middle) if provable(middle) else (middle, high)
    return high
