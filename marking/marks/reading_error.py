"""Reading error of a readout, and where to aim inside the window.

A window's edge is a tolerance limit and a reading has an uncertainty, so the aim lies inside by a guard band as wide
as the expanded uncertainty (JCGM 106:2012, ISO 14253-1). Uncertainties are combined after JCGM 100:2008: half-width a
of a rectangular distribution gives u = c·a/√3 (4.3.7), u_c = √Σu² (5.1.2), U = k·u_c with k = 2 (6.2.1).

Each readout has a budget of its own, put together from the parts below: what every reading has (`both_readings`), and
what its own making adds.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, fields
from typing import Literal, NamedTuple

from ..errors import RangeError, shown, within
from ..fastening.socket import Play
from ..fastening.spec import Window
from ..quantities.parse import parse_angle, parse_length, parse_percent
from ..quantities.units import Given

COVERAGE_FACTOR = 2.0

LEAST_AIM_DEG = 2.0
"""Least width of an aim zone (our choice): a hand on a bar stops within about ±1°."""

SIDEWAYS_MM = 0.2
"""How far a socket moves sideways on its fastener, each way, where the tables do not tell: from memory."""

LARGEST_USEFUL_OD_MM = 2000.0
"""How far `smallest_mm` looks: a readout larger than this is no advice."""


@dataclass(frozen=True)
class ErrorModel:
    """Half-widths of the contributions, each the edge of a rectangular distribution.

    `closure_mm` is how far a band's end may lie from its closure line, None for what the OK bracket shows. It stands
    for OD, stock and print scale together: whatever is wrong with them shows there. `splice_mm` is the error of a
    splice, `sideways_mm` how far the socket moves on the fastener, None for 0.2 mm, `gap_mm` the gap between mark and
    band. `trimmed_od_mm` is what cutting along a row costs, in mm of OD: 0 where nothing is cut along a row. The
    defaults are working assumptions from memory, not from a standard: replace them with your own.
    """

    closure_mm: float | None = None
    splice_mm: float = 0.3
    witness_mm: float = 0.25
    stop_mm: float = 0.25
    sideways_mm: float | None = None
    gap_mm: float = 1.0
    view_angle_deg: float = 10.0
    trimmed_od_mm: float = 0.0

    def __post_init__(self) -> None:
        names = ERRORS | {"trim_error": "trimmed_od_mm"}
        for field in fields(self):
            limit = 60.0 if field.name == "view_angle_deg" else 10.0
            _check_error(field.name, getattr(self, field.name), limit, names)

    @property
    def play_mm(self) -> float:
        """Half-width of the socket's place on the fastener, at each reading."""
        return SIDEWAYS_MM if self.sideways_mm is None else self.sideways_mm

    def parallax_mm(self, gap_mm: float) -> float:
        """Return the half-width of one sighting: the gap that is seen across times the tangent of the view angle."""
        return gap_mm * math.tan(math.radians(self.view_angle_deg))


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
"""There is an aim; what is left to aim at is too narrow to hit; nothing is left, so that the window cannot be proved;
or the manual gives no tolerance."""


class Budget(NamedTuple):
    """The reading error of one stage on one readout, and what it leaves of the stage's window."""

    stage: int
    contributions: tuple[Contribution, ...]
    window: Window | None

    @property
    def u_deg(self) -> float:
        """Combined standard uncertainty √Σu²."""
        return combined([c.u_deg for c in self.contributions])

    @property
    def expanded_deg(self) -> float:
        """Expanded uncertainty U = 2 u_c."""
        return COVERAGE_FACTOR * self.u_deg

    @property
    def verdict(self) -> Verdict:
        """What the budget says of the window less a guard band of U at either edge, `[low + U, high − U]`."""
        if self.window is None:
            return "no tolerance"
        left_deg = self.window.high_deg - self.window.low_deg - 2 * self.expanded_deg
        return "aim" if left_deg >= LEAST_AIM_DEG else "narrow" if left_deg > 0 else "unproved"

    @property
    def aim_zone(self) -> Window | None:
        """The window less a guard band of U at either edge; None unless the verdict is "aim"."""
        if self.window is None or self.verdict != "aim":
            return None
        expanded_deg = self.expanded_deg
        return Window(self.window.low_deg + expanded_deg, self.window.high_deg - expanded_deg)

    @property
    def aim_deg(self) -> float | None:
        """The middle of the aim zone."""
        zone = self.aim_zone
        return None if zone is None else (zone.low_deg + zone.high_deg) / 2


def combined(parts: Iterable[float]) -> float:
    """Return √Σu² of standard uncertainties that do not depend on one another (JCGM 100:2008, 5.1.2)."""
    return math.sqrt(math.fsum([u * u for u in parts]))


def budget_of(
    stage: int, turn_deg: float, window: Window | None, contributions: Callable[[float], tuple[Contribution, ...]]
) -> Budget:
    """Return the budget of a stage at the window's edge with the larger reading error, or at the turn itself.

    `contributions` gives those of a turn in degrees, whole turns included.
    """
    ends = [turn_deg] if window is None else [window.low_deg, window.high_deg]
    return max((Budget(stage, contributions(end), window) for end in ends), key=lambda budget: budget.u_deg)


def smallest_mm(does: Callable[[float], bool]) -> float | None:
    """Return the smallest diameter from which on it `does`, to 0.01 mm; None when none up to 2 m does."""
    low, high = 1.0, LARGEST_USEFUL_OD_MM
    if not does(high):
        return None
    while high - low > 0.01:
        middle = (low + high) / 2
        low, high = (low, middle) if does(middle) else (middle, high)
    return high


@dataclass(frozen=True)
class DiscErrorModel:
    """Half-widths that only a flat dial has; witness mark, stop reading and view angle are those of `ErrorModel`.

    `gap_mm` lies between disc and pointer, `sway_mm` is how far the drive end moves sideways at each reading while a
    hand steadies it. `unequal_scale_percent` is by how much the print's scale across the page may differ from that
    along it. The defaults are working assumptions from memory: replace them with your own.
    """

    gap_mm: float = 3.0
    sway_mm: float = 0.5
    unequal_scale_percent: float = 0.2

    def __post_init__(self) -> None:
        for field in fields(self):
            _check_error(field.name, getattr(self, field.name), 10.0, DISC_ERRORS)


def _check_error(own: str, value: float | None, limit: float, names: dict[str, str]) -> None:
    if value is not None and not 0.0 <= value <= limit:
        field = next(field for field, name in names.items() if name == own)
        within(f"the error of {_plain(own)} is {{}}", value, 0.0, limit, field, "{:g}".format)


def _plain(field: str) -> str:
    """A half-width's name without its unit: "view angle" for view_angle_deg."""
    return field.rsplit("_", 1)[0].replace("_", " ")


def per_mm_deg(radius_mm: float) -> float:
    """Return how many degrees 1 mm is on a circle: 180 / (π r)."""
    return 180.0 / (math.pi * radius_mm)


def both_readings(
    radius_mm: float, model: ErrorModel, gap_mm: float, moved: str, moved_mm: float
) -> tuple[Contribution, ...]:
    """The contributions of setting START's mark and reading the stop, at a radius, across a gap.

    `moved` says what lies elsewhere at each of the two, by up to `moved_mm`: the socket on its fastener, the drive end.
    """
    per_mm, parallax_mm = per_mm_deg(radius_mm), model.parallax_mm(gap_mm)
    return (
        Contribution("witness mark", model.witness_mm, "mm", per_mm),
        Contribution("stop reading", model.stop_mm, "mm", per_mm),
        Contribution("parallax at START", parallax_mm, "mm", per_mm),
        Contribution("parallax at the stop", parallax_mm, "mm", per_mm),
        Contribution(f"{moved} at START", moved_mm, "mm", per_mm),
        Contribution(f"{moved} at the stop", moved_mm, "mm", per_mm),
    )


SIDEWAYS = "sideways play"
"""What moves between two readings where the socket itself is read: the socket on its fastener."""


def centring(name: str, off_mm: float, turn_deg: float, radius_mm: float) -> Contribution:
    """The contribution of a dial off its centre by up to `off_mm`: its centre shifts the mark by 2 e sin(θ/2)."""
    sensitivity = per_mm_deg(radius_mm) * 2 * abs(math.sin(math.radians(turn_deg) / 2))
    return Contribution(name, off_mm, "mm", sensitivity)


def unequal_scale(percent: float, turn_deg: float) -> Contribution:
    """The contribution of scales that differ across and along the page: ε |sin θ| between two directions θ apart."""
    sensitivity = math.degrees(abs(math.sin(math.radians(turn_deg)))) / 100
    return Contribution("unequal print scale", percent, "%", sensitivity)


ERRORS = {
    "closure_error": "closure_mm", "splice_error": "splice_mm", "sideways_error": "sideways_mm",
    "witness_error": "witness_mm", "stop_error": "stop_mm", "gap": "gap_mm", "view_angle": "view_angle_deg",
}  # fmt: skip
DISC_ERRORS = {"disc_gap": "gap_mm", "sway_error": "sway_mm", "unequal_scale": "unequal_scale_percent"}
"""The fields in which half-widths are given, and the models' names for them."""


def read_error_model(texts: dict[str, Given], play: Play | None = None) -> ErrorModel:
    """Return the error model with some half-widths replaced: lengths or "10°", by the names in `ERRORS`.

    `play` is that of the socket on its fastener where the tables tell it: its half gap is the sideways play.
    """
    known = {} if play is None else {"sideways_mm": play.sideways_mm}
    return ErrorModel(**known | read_errors(texts, ERRORS))


def read_errors(texts: dict[str, Given], names: dict[str, str]) -> dict[str, float]:
    """Return half-widths by a model's own names, read from texts such as "2 mm", "0.1 %", by the fields in `names`.

    Raises RangeError for other fields, and what reading a quantity raises.
    """
    values: dict[str, float] = {}
    for name, text in texts.items():
        if name not in names:
            raise RangeError(f"no error is called {shown(name)}", ", ".join(sorted(names)), "check the name", name)
        own = names[name]
        subject = f"{_plain(own)} error"
        if own.endswith("_mm"):
            values[own] = parse_length(text, name, True, subject).mm
        else:
            values[own] = (parse_percent if "percent" in own else parse_angle)(text, name, subject)
    return values
