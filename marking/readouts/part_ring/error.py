"""How well a part ring is read."""

from __future__ import annotations

import math

from ...fastening.spec import Window
from ...marks.reading_error import (
    SIDEWAYS,
    Budget,
    Contribution,
    DiscErrorModel,
    ErrorModel,
    both_readings,
    budget_of,
    centring,
    unequal_scale,
)


def ring_contributions(turn_deg: float, bore_mm: float, od_mm: float, model: ErrorModel) -> tuple[Contribution, ...]:
    """Return the contributions to the reading error of a part ring at a turn.

    It lies off the socket's axis by up to half its clearance. START, on the socket's face, is carried to the bore by
    eye: down by the gap and out by the clearance, which is all on one side at the worst. The socket moves on its
    fastener between the two readings as it does beside a witness mark.
    """
    radius_mm, clearance_mm = od_mm / 2, bore_mm - od_mm
    return (
        centring("centring", clearance_mm / 2, turn_deg, radius_mm),
        unequal_scale(DiscErrorModel().unequal_scale_percent, turn_deg),
        *both_readings(radius_mm, model, math.hypot(model.gap_mm, clearance_mm), SIDEWAYS, model.play_mm),
    )


def ring_budget(
    stage: int, turn_deg: float, window: Window | None, bore_mm: float, od_mm: float, model: ErrorModel
) -> Budget:
    """Return the budget of one stage read on a part ring, at the window's edge with the larger reading error.

    Its angles are true whatever the OD; START takes the witness mark's place at its zero.
    """
    return budget_of(stage, turn_deg, window, lambda deg: ring_contributions(deg, bore_mm, od_mm, model))
