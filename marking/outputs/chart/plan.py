"""The numbers and words of the wall chart: where common turns end, turns in other measures, torque in other units."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from ...fastening.opening import POINTS
from ...marks.places import where
from ...quantities.angles import position_deg
from ...quantities.shown import mixed, rounded, shown_degrees
from ...quantities.torque import Torque
from ...quantities.units import factor
from .request import ChartRequest

TURNS_DEG = (30.0, 45.0, 60.0, 90.0, 120.0, 180.0)
"""Turns that manuals state most often (common practice, no published source)."""

MEASURED_DEG = (15, 30, 45, 60, 75, 90, 120, 180, 240, 360)
"""Turns given in other measures (our choice)."""

NOTCHES = 12

TORQUES_NM = (5.0, 10.0, 20.0, 30.0, 50.0, 80.0, 100.0, 150.0, 200.0, 300.0)

TORQUES_LBF_FT = (10.0, 20.0, 50.0, 100.0, 150.0)
"""Torques given in other units (our choice: what a workshop's torque wrenches reach)."""

UNITS, POUND_UNITS = ("N·m", "daN·m", "kgf·m", "kgf·cm", "lbf·ft", "lbf·in"), ("lbf·ft", "lbf·in", "N·m")

FACTOR_DIGITS = 7
"""Figures of a conversion factor, as NIST SP 811 prints them."""

ChartRows = list[tuple[str, ...]]


def corners_on(turn_deg: float | Fraction, points: int) -> Fraction:
    """Return a turn in steps from corner to corner: corners_on(90, 12) = 3, corners_on(90, 6) = 3/2."""
    return Fraction(turn_deg).limit_denominator(1000) * points / 360


def place(turn_deg: float, points: int) -> str:
    """Say where a turn ends and, on a corner or a mid-flat, how many corners on: "on corner 4 (3 corners on)"."""
    words, steps = where(turn_deg, points), corners_on(position_deg(turn_deg), points)
    if steps.denominator > 2:
        return words  # they already tell the part of the way to the next corner
    return f"{words} ({mixed(steps)} corner{'s' if steps > 1 else ''} on)"


def landing(turn_deg: float, points: int) -> tuple[str, str]:
    """Return the corner where a turn ends, to be read from afar, and how far past it.

    ("4", "") on corner 4, ("2–3", "") between corners 2 and 3, ("1", "+30°") past corner 1.
    """
    steps = corners_on(position_deg(turn_deg), points)
    corner, past = int(steps) + 1, steps % 1
    if past == Fraction(1, 2):
        return f"{corner}–{corner % points + 1}", ""
    return str(corner), f"+{shown_degrees(float(past * 360 / points))}" if past else ""


def place_rows(points: tuple[int, ...]) -> ChartRows:
    """Return a row for each common turn: the turn, and where it ends on sockets of so many points."""
    return [(shown_degrees(turn), *(place(turn, n) for n in points)) for turn in TURNS_DEG]


def measure_rows() -> ChartRows:
    """Return turns as degrees, parts of a turn, flats of a hexagon and notches of a 12-point socket."""
    turn, flat = (Fraction(factor(unit)) for unit in ("turn", "flat"))
    return [
        (f"{deg}°", mixed(deg / turn), mixed(deg / flat), mixed(corners_on(deg, NOTCHES)))
        for deg in map(Fraction, MEASURED_DEG)
    ]


def in_unit(torque: Torque, unit: str) -> float:
    """Return a torque's value in another unit: in_unit(Torque(100, "N·m"), "lbf·ft") = 73.756."""
    return torque.nm / Torque(1.0, unit).nm


def torque_rows(values: tuple[float, ...], given: str, units: tuple[str, ...]) -> ChartRows:
    """Return torques given in one unit in each of `units`, to three significant figures or more."""
    return [tuple(rounded(in_unit(Torque(value, given), unit)) for unit in units) for value in values]


def factor_rows() -> ChartRows:
    """Return for every unit how many newton metres make one, and how many of it one newton metre makes."""
    one = Torque(1.0, "N·m")
    return [
        (unit, rounded(Torque(1.0, unit).nm, FACTOR_DIGITS), rounded(in_unit(one, unit), FACTOR_DIGITS))
        for unit in UNITS
        if unit != one.unit
    ]


MEASURES = ("degrees", "turn", "flats of 60°", "notches of 30°")
"""What the columns of `ChartPlan.measures` hold."""


class ChartPlan(NamedTuple):
    """All the tables of a wall chart, as texts: where turns end on every opening, measures, torques, factors."""

    request: ChartRequest
    places: ChartRows
    measures: ChartRows
    torques: ChartRows
    factors: ChartRows
    pounds: ChartRows
    warnings: tuple[str, ...] = ()


def plan(request: ChartRequest) -> ChartPlan:
    """Return the tables of a wall chart."""
    torques = torque_rows(TORQUES_NM, "N·m", UNITS)
    pounds = torque_rows(TORQUES_LBF_FT, "lbf·ft", POUND_UNITS)
    return ChartPlan(request, place_rows(POINTS), measure_rows(), torques, factor_rows(), pounds)
