"""Reading error of a readout, and where to aim inside the window.

A window's edge is a tolerance limit and a reading has an uncertainty, so the aim lies inside by a guard band as wide
as the expanded uncertainty (JCGM 106:2012, ISO 14253-1). Uncertainties are combined after JCGM 100:2008: half-width a
of a rectangular distribution gives u = c·a/√3 (4.3.7), u_c = √Σu² (5.1.2), U = k·u_c with k = 2 (6.2.1).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields
from typing import NamedTuple

from .errors import RangeError
from .geometry import arc_along_band_deg, play_deg, position_deg
from .socket import Drive
from .spec import Window
from .tables import rows

COVERAGE_FACTOR = 2.0

PROFILED_SCALE_PERCENT = 0.1
"""Half-width of the print scale where a printer profile corrects it: a working assumption from memory."""

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


def _smallest(provable: Callable[[float], bool]) -> float | None:
    """Return the smallest diameter from which on `provable` holds, to 0.01 mm; None when none up to 2 m does."""
    low, high = 1.0, LARGEST_USEFUL_OD_MM
    if not provable(high):
        return None
    while high - low > 0.01:
        middle = (low + high) / 2
        low, high = (low, middle) if provable(middle) else (middle, high)
    return high


def sufficient_od_mm(
    window: Window, turn_deg: float, seam: float, stock_mm: float, od_source: str, model: ErrorModel
) -> float | None:
    """Return the smallest OD whose band could prove the window, in mm; None when none up to 2 m could.

    The reading error falls with the diameter towards the print scale's part, which no diameter removes.
    """

    def provable(od_mm: float) -> bool:
        return band_budget(1, turn_deg, window, seam, od_mm, stock_mm, od_source, model).provable

    return _smallest(provable)


DISC_HOLE_CLEARANCE_MM = 0.3
"""The square hole of a drive disc is this much wider than the largest driver's square (our choice)."""


@dataclass(frozen=True)
class DiscErrorModel:
    """Half-widths that only a drive disc has; witness mark, stop reading and view angle are those of `ErrorModel`.

    `gap_mm` lies between disc and pointer. `unequal_scale_percent` is by how much the print's scale across the page
    may differ from that along it. The defaults are working assumptions from memory: replace them with your own.
    """

    gap_mm: float = 3.0
    unequal_scale_percent: float = 0.2

    def __post_init__(self) -> None:
        for name, value in (("gap", self.gap_mm), ("unequal scale", self.unequal_scale_percent)):
            if not 0 <= value <= 10:
                raise RangeError(f"the error of {name} is {value:g}", "0 to 10", "check the error options", value)


def disc_hole_mm(drive: Drive) -> float:
    """Return the side of a drive disc's square hole: disc_hole_mm of 1/2 in = 13.0."""
    return drive.male_max_mm + DISC_HOLE_CLEARANCE_MM


def disc_play_mm(drive: Drive) -> float:
    """Return half the play of the smallest driver's square in the hole: for 1/2 in, (13.0 − 12.59) / 2 = 0.205 mm."""
    return (disc_hole_mm(drive) - _least_male_mm(drive)) / 2


def disc_slip_deg(drive: Drive) -> float:
    """Return how far a loose disc turns on the smallest driver's square, each way: 1.9° for 1/2 in.

    It is no part of the budget, because the disc is taped to the socket.
    """
    return play_deg(4, disc_hole_mm(drive), _least_male_mm(drive))


def _least_male_mm(drive: Drive) -> float:
    """The smallest male square, the largest where the smallest is not known."""
    row = next(row for row in rows("drive_squares") if row["inch"] == drive.inch)
    return float(row["male_min_mm"] or row["male_max_mm"])


def disc_contributions(
    arc_deg: float, diameter_mm: float, drive: Drive, model: ErrorModel, disc: DiscErrorModel
) -> tuple[Contribution, ...]:
    """Return the contributions to the reading error of a drive disc at `arc_deg` from START.

    On radius r, 1 mm along the edge is 180/(π r) degrees. A disc off centre by e carries its centre round with it: by
    2 e sin(θ/2) at most. Scales that differ by ε across and along the page shift two directions θ apart against each
    other by ε |sin θ| at most. At 100° on 70 mm: 1.637° a mm, 2.508° a mm of play, 0.564° a per cent.
    """
    parallax_mm = disc.gap_mm * math.tan(math.radians(model.view_angle_deg))
    return _dial_contributions(arc_deg, diameter_mm / 2, disc_play_mm(drive), parallax_mm, model, disc)


def _dial_contributions(
    arc_deg: float, radius: float, off_mm: float, parallax_mm: float, model: ErrorModel, disc: DiscErrorModel
) -> tuple[Contribution, ...]:
    """The contributions of a flat dial read at `radius`, off its centre by up to `off_mm`."""
    per_mm = 180.0 / (math.pi * radius)
    theta = math.radians(arc_deg)
    return (
        Contribution("witness mark", model.witness_mm, "mm", per_mm),
        Contribution("stop reading", model.stop_mm, "mm", per_mm),
        Contribution("parallax at START", parallax_mm, "mm", per_mm),
        Contribution("parallax at the stop", parallax_mm, "mm", per_mm),
        Contribution("centring", off_mm, "mm", per_mm * 2 * abs(math.sin(theta / 2))),
        Contribution("unequal print scale", disc.unequal_scale_percent, "%", math.degrees(abs(math.sin(theta))) / 100),
    )


def ring_budget(
    stage: int, turn_deg: float, window: Window | None, bore_mm: float, od_mm: float, model: ErrorModel
) -> Budget:
    """Return the budget of a part ring, read at its bore: a dial that lies off centre by up to half its clearance.

    Its angles are true whatever the OD; START takes the witness mark's place at its zero.
    """
    disc = DiscErrorModel()
    candidates = [
        _dial_contributions(position_deg(end), bore_mm / 2, (bore_mm - od_mm) / 2, model.parallax_mm, model, disc)
        for end in ([turn_deg] if window is None else [window.low_deg, window.high_deg])
    ]
    return max((Budget(stage, found, window) for found in candidates), key=lambda budget: budget.u_deg)


def disc_budget(
    stage: int,
    turn_deg: float,
    window: Window | None,
    diameter_mm: float,
    drive: Drive,
    model: ErrorModel,
    disc: DiscErrorModel | None = None,
) -> Budget:
    """Return the budget of one stage read on a drive disc, at the window's edge with the larger reading error.

    Whole turns add nothing: they bring START itself back to the pointer. `disc` None takes the defaults.
    """
    ends = [turn_deg] if window is None else [window.low_deg, window.high_deg]
    budgets = [
        Budget(
            stage,
            disc_contributions(position_deg(end), diameter_mm, drive, model, disc or DiscErrorModel()),
            window,
        )
        for end in ends
    ]
    return max(budgets, key=lambda budget: budget.u_deg)


def sufficient_disc_mm(
    window: Window, turn_deg: float, drive: Drive, model: ErrorModel, disc: DiscErrorModel | None = None
) -> float | None:
    """Return the smallest diameter of a disc that could prove the window, in mm; None when none up to 2 m could.

    The reading error falls with the diameter towards the unequal print scale's part, which no diameter removes.
    """

    def provable(diameter_mm: float) -> bool:
        return disc_budget(1, turn_deg, window, diameter_mm, drive, model, disc).provable

    return _smallest(provable)
