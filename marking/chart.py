"""The numbers and words of the wall chart: where common turns end, turns in other measures, torque in other units."""

from __future__ import annotations

from fractions import Fraction

from .geometry import position_deg, where
from .quantities import Torque, factor, mixed, rounded, shown_degrees

TURNS_DEG = (30.0, 45.0, 60.0, 90.0, 120.0, 180.0)
"""Turns that manuals state most often (common practice, no published source)."""

MEASURED_DEG = (15, 30, 45, 60, 75, 90, 120, 150, 180, 240, 270, 300, 360)
"""Turns given in other measures (our choice)."""

NOTCHES = 12

TORQUES_NM = (5.0, 10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0, 120.0, 150.0, 200.0, 300.0)
TORQUES_LBF_FT = (10.0, 20.0, 50.0, 100.0, 150.0)
"""Torques given in other units (our choice: what a workshop's torque wrenches reach)."""

UNITS = ("N·m", "daN·m", "kgf·m", "kgf·cm", "lbf·ft", "lbf·in")

FACTOR_DIGITS = 7
"""Figures of a conversion factor, as NIST SP 811 prints them."""

Rows = list[tuple[str, ...]]


def corners_on(turn_deg: float | Fraction, points: int) -> Fraction:
    """Return a turn in steps from corner to corner: corners_on(90, 12) = 3, corners_on(90, 6) = 3/2."""
    return Fraction(turn_deg).limit_denominator(1000) * points / 360


def place(turn_deg: float, points: int) -> str:
    """Say where a turn ends and, on a corner or a mid-flat, how many corners on: "on corner 4 (3 corners on)"."""
    words, steps = where(turn_deg, points), corners_on(position_deg(turn_deg), points)
    if steps.denominator > 2:
        return words  # they already tell the part of the way to the next corner
    return f"{words} ({mixed(steps)} corner{'s' if steps > 1 else ''} on)"


def place_rows(points: tuple[int, ...]) -> Rows:
    """Return a row for each common turn: the turn, and where it ends on sockets of so many points."""
    return [(shown_degrees(turn), *(place(turn, n) for n in points)) for turn in TURNS_DEG]


def measure_rows() -> Rows:
    """Return turns as degrees, parts of a turn, flats of a hexagon and notches of a 12-point socket."""
    turn, flat = (Fraction(factor(unit, "degree")) for unit in ("turn", "flat"))
    return [
        (f"{deg}°", mixed(deg / turn), mixed(deg / flat), mixed(corners_on(deg, NOTCHES)))
        for deg in map(Fraction, MEASURED_DEG)
    ]


def in_unit(torque: Torque, unit: str) -> float:
    """Return a torque's value in another unit: in_unit(Torque(100, "N·m"), "lbf·ft") = 73.756."""
    return torque.nm / Torque(1.0, unit).nm


def torque_rows() -> Rows:
    """Return common torques in every unit, to three significant figures or more."""
    return [tuple(rounded(in_unit(Torque(nm, "N·m"), unit)) for unit in UNITS) for nm in TORQUES_NM]


def pound_rows() -> Rows:
    """Return common torques given in lbf·ft with their lbf·in and N·m."""
    given = [Torque(value, "lbf·ft") for value in TORQUES_LBF_FT]
    return [tuple(rounded(in_unit(torque, unit)) for unit in ("lbf·ft", "lbf·in", "N·m")) for torque in given]


def factor_rows() -> Rows:
    """Return for every unit how many newton metres make one, and how many of it one newton metre makes."""
    one = Torque(1.0, "N·m")
    return [
        (unit, rounded(Torque(1.0, unit).nm, FACTOR_DIGITS), rounded(in_unit(one, unit), FACTOR_DIGITS))
        for unit in UNITS
        if unit != one.unit
    ]


def direction_words(clockwise: bool) -> tuple[str, str]:
    """Return the chart's statement of direction: a line in large type, and what it means."""
    turns, counted = ("clockwise", "counterclockwise") if clockwise else ("counterclockwise", "clockwise")
    hand = "Right-hand thread" if clockwise else "LEFT-HAND THREAD"
    mirrored = "" if clockwise else "Everything here is mirrored, for left-hand threads only. "
    return f"{hand}, seen from above (drive end)", (
        f"{mirrored}The socket turns {turns}; corners and turns are counted {counted} from START. So the mark at 90° "
        "arrives at the witness mark, where START stood, after 90° of tightening. Looking into the opening, "
        "everything is the other way round."
    )


def steps(clockwise: bool) -> tuple[str, ...]:
    """Return the method in short."""
    way = "clockwise" if clockwise else "counterclockwise (left-hand thread)"
    return (
        "Snug: tighten to the snug torque that the manual gives, with a torque wrench.",
        f"Slack: pull lightly {way}, seen from the drive end, and hold it: the slack between socket and fastener is "
        "taken up.",
        "Mark: put the witness mark on the part beside START.",
        "Turn: one smooth pull, until the mark of the turn stands at the witness mark.",
        "Check: look square on the mark. Overshot: stop and do what the manual says. Never turn back and guess.",
    )


PRACTICE = (
    "Common practice: on 12 points three notches are 90°. On 6 points 90° is past the next corner (60°) to the middle "
    "of the flat behind it (30° more). On 8 points two corners are 90°, on 4 points one."
)
"""Facts of the trade (common practice, no published source)."""
