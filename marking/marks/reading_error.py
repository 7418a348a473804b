"""Reading error of a readout, and where to aim inside the window.

A window's edge is a tolerance limit and a reading has an uncertainty, so the aim lies inside by a guard band as wide
as the expanded uncertainty (JCGM 106:2012, ISO 14253-1). Uncertainties are combined after JCGM 100:2008: half-width a
of a rectangular distribution gives u = c·a/√3 (4.3.7), u_c = √Σu² (5.1.2), U = k·u_c with k = 2 (6.2.1).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields
from typing import Literal, NamedTuple

from ..errors import RangeError, shown, within
from ..fastening.spec import Window
from ..quantities.parse import parse_angle, parse_length, parse_percent
from ..quantities.units import Given

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
            limit = 60.0 if field.name == "view_angle_deg" else 10.0
            _check_error(field.name, getattr(self, field.name), limit, ERRORS)

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


Verdict = Literal["aim", "narrow", "unproved", "no tolerance"]


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
    def verdict(self) -> Verdict:
        """What the budget says: there is an aim, the window cannot be proved, or the manual gives no tolerance."""
        return "no tolerance" if self.window is None else "aim" if self.provable else "unproved"

    @property
    def provable(self) -> bool:
        """False when the window is narrower than the reading error on both sides."""
        return self.window is None or self.window.high_deg - self.window.low_deg > 2 * self.expanded_deg


def combined(parts: Iterable[float]) -> float:
    """Return √Σu² of standard uncertainties that do not depend on one another (JCGM 100:2008, 5.1.2)."""
    return math.sqrt(math.fsum(u * u for u in parts))


def smallest_provable_mm(provable: Callable[[float], bool]) -> float | None:
    """Return the smallest diameter from which on `provable` holds, to 0.01 mm; None when none up to 2 m does."""
    low, high = 1.0, LARGEST_USEFUL_OD_MM
    if not provable(high):
        return None
    while high - low > 0.01:
        middle = (low + high) / 2
        low, high = (low, middle) if provable(middle) else (middle, high)
    return high


@dataclass(frozen=True)
class DiscErrorModel:
    """Half-widths that only a drive disc has; witness mark, stop reading and view angle are those of `ErrorModel`.

    `gap_mm` lies between disc and pointer. `unequal_scale_percent` is by how much the print's scale across the page
    may differ from that along it. The defaults are working assumptions from memory: replace them with your own.
    """

    gap_mm: float = 3.0
    unequal_scale_percent: float = 0.2

    def __post_init__(self) -> None:
        for field in fields(self):
            _check_error(field.name, getattr(self, field.name), 10.0, DISC_ERRORS)


def _check_error(own: str, value: float, limit: float, names: dict[str, str]) -> None:
    field = next(field for field, name in names.items() if name == own)
    within(f"the error of {_plain(own)} is {{}}", value, 0.0, limit, field, "{:g}".format)


def _plain(field: str) -> str:
    """A half-width's name without its unit: "od measured" for od_measured_mm."""
    return field.rsplit("_", 1)[0].replace("_", " ")


def dial_contributions(
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


ERRORS = {
    "od_error": "od_measured_mm", "around_error": "od_around_mm", "stock_error": "stock_mm",
    "scale_error": "print_scale_percent", "witness_error": "witness_mm", "stop_error": "stop_mm",
    "gap": "gap_mm", "view_angle": "view_angle_deg",
}  # fmt: skip
DISC_ERRORS = {"disc_gap": "gap_mm", "unequal_scale": "unequal_scale_percent"}
"""The fields in which half-widths are given, and the models' names for them."""


def read_error_model(texts: dict[str, Given], profiled: bool = False) -> ErrorModel:
    """Return the error model with some half-widths replaced: lengths, "0.5 %" or "10°", by the names in `ERRORS`.

    `profiled` is for a print corrected by a printer profile, whose scale is known better.
    """
    values: dict[str, float] = {"print_scale_percent": PROFILED_SCALE_PERCENT} if profiled else {}
    for name, text in texts.items():
        if name not in ERRORS:
            raise RangeError(f"no error is called {shown(name)}", ", ".join(sorted(ERRORS)), "check the name", name)
        own = ERRORS[name]
        subject = f"{_plain(own)} error"
        if own.endswith("_mm"):
            values[own] = parse_length(text, name, True, subject).mm
        else:
            values[own] = (parse_percent if "percent" in own else parse_angle)(text, name, subject)
    return ErrorModel(**values)
