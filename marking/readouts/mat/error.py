"""How well marks are read that a socket got on the mat."""

from __future__ import annotations

from dataclasses import dataclass

from ...errors import within
from ...fastening.spec import Window
from ...marks.reading_error import (
    SIDEWAYS,
    Budget,
    Contribution,
    ErrorModel,
    both_readings,
    budget_of,
    centring,
    per_mm_deg,
    smallest_mm,
    unequal_scale,
)
from ...quantities.angles import position_deg

LARGEST_ERROR = 10.0


@dataclass(frozen=True)
class MatErrorModel:
    """Half-widths that only the mat has; witness mark, stop reading and parallax are those of `ErrorModel`.

    `centring_mm` is how far the socket stands off the circles' centre, `pen_mm` how far a line on its wall lies beside
    its ray, `unequal_scale_percent` by how much the print's scale across the page may differ from that along it. The
    defaults are working assumptions from memory: replace them with your own.
    """

    centring_mm: float = 0.25
    pen_mm: float = 0.25
    unequal_scale_percent: float = 0.2

    def __post_init__(self) -> None:
        for (name, own), subject in zip(MAT_ERRORS.items(), SUBJECTS, strict=True):
            within(f"the {subject} is {{}}", getattr(self, own), 0.0, LARGEST_ERROR, name, "{:g}".format)


MAT_ERRORS = {"centring_error": "centring_mm", "pen_error": "pen_mm", "unequal_scale": "unequal_scale_percent"}
"""The fields in which half-widths are given, and the model's names for them."""

SUBJECTS = ("error of centring", "error of a pen line", "unequal print scale")
"""What they are called."""


def mat_contributions(arc_deg: float, od_mm: float, model: ErrorModel, mat: MatErrorModel) -> tuple[Contribution, ...]:
    """Return the contributions to the reading error of marks on the wall, `arc_deg` from START.

    Along the wall 1 mm is 360/(π D) degrees. A socket that stands off the centre by e has two rays θ apart on its wall
    by 2 e sin(θ/2) / (D/2) too near or too far at most. Scales that differ by ε across and along the page shift two
    directions θ apart against each other by ε |sin θ| at most. At 100° on 28 mm: 4.093° a mm, 6.270° a mm of centring,
    0.564° a per cent.
    """
    radius = od_mm / 2
    return (
        centring("centring", mat.centring_mm, arc_deg, radius),
        unequal_scale(mat.unequal_scale_percent, arc_deg),
        Contribution("pen line at START", mat.pen_mm, "mm", per_mm_deg(radius)),
        Contribution("pen line at the stop", mat.pen_mm, "mm", per_mm_deg(radius)),
        *both_readings(radius, model, model.gap_mm, SIDEWAYS, model.play_mm),
    )


def mat_budget(
    stage: int,
    turn_deg: float,
    window: Window | None,
    od_mm: float,
    model: ErrorModel,
    mat: MatErrorModel | None = None,
) -> Budget:
    """Return the budget of one stage read on a socket's own marks, at the window's edge with the larger reading error.

    Whole turns add nothing: they bring START itself back to the witness mark. `mat` None takes the defaults.
    """
    own = mat or MatErrorModel()
    return budget_of(stage, turn_deg, window, lambda end: mat_contributions(position_deg(end), od_mm, model, own))


def sufficient_mat_od_mm(window: Window, turn_deg: float, model: ErrorModel, mat: MatErrorModel) -> float | None:
    """Return the smallest OD whose marks leave an aim in the window, in mm; None when none up to 2 m could."""
    return smallest_mm(lambda od_mm: mat_budget(1, turn_deg, window, od_mm, model, mat).verdict == "aim")
