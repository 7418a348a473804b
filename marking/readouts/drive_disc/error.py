"""How well a drive disc is read, and the square hole that carries it."""

from __future__ import annotations

from collections.abc import Sequence

from ...fastening.opening import play_deg
from ...fastening.socket import Drive
from ...fastening.spec import Window
from ...marks.reading_error import (
    Budget,
    Contribution,
    DiscErrorModel,
    ErrorModel,
    Verdict,
    both_readings,
    budget_of,
    centring,
    smallest_mm,
    unequal_scale,
)
from ...tables import rows

DISC_HOLE_CLEARANCE_MM = 0.3
"""The square hole of a drive disc is this much wider than the largest driver's square (our choice)."""


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
    turn_deg: float, diameter_mm: float, drive: Drive, model: ErrorModel, disc: DiscErrorModel
) -> tuple[Contribution, ...]:
    """Return the contributions to the reading error of a drive disc at a turn.

    On radius r, 1 mm along the edge is 180/(π r) degrees. A disc off centre by e carries its centre round with it: by
    2 e sin(θ/2) at most. The drive end sways: the socket tilts on the fastener, and the disc goes with it. Scales that
    differ by ε across and along the page shift two directions θ apart against each other by ε |sin θ| at most. At 100°
    on 70 mm: 1.637° a mm, 2.508° a mm of play, 0.564° a per cent.
    """
    radius_mm = diameter_mm / 2
    return (
        centring("play in the square", disc_play_mm(drive), turn_deg, radius_mm),
        unequal_scale(disc.unequal_scale_percent, turn_deg),
        *both_readings(radius_mm, model, disc.gap_mm, "sway", disc.sway_mm),
    )


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
    own = disc or DiscErrorModel()
    return budget_of(
        stage, turn_deg, window, lambda deg: disc_contributions(deg, diameter_mm, drive, model, own)
    )  # fmt: skip


def sufficient_disc_mm(
    window: Window,
    turn_deg: float,
    drive: Drive,
    model: ErrorModel,
    disc: DiscErrorModel | None = None,
    verdicts: Sequence[Verdict] = ("aim",),
) -> float | None:
    """Return the smallest diameter of a disc that leaves an aim in the window, in mm; None when none up to 2 m does.

    With the `verdicts` "aim" and "narrow" it only has to prove the window. The reading error falls with the diameter
    towards the unequal print scale's part, which no diameter removes.
    """

    def aims(diameter_mm: float) -> bool:
        return disc_budget(1, turn_deg, window, diameter_mm, drive, model, disc).verdict in verdicts

    return smallest_mm(aims)
