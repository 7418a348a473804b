"""How well a part ring is read."""

from __future__ import annotations

from ...fastening.spec import Window
from ...marks.reading_error import Budget, DiscErrorModel, ErrorModel, dial_contributions
from ...quantities.angles import position_deg


def ring_budget(
    stage: int, turn_deg: float, window: Window | None, bore_mm: float, od_mm: float, model: ErrorModel
) -> Budget:
    """Return the budget of a part ring, read at its bore: a dial that lies off centre by up to half its clearance.

    Its angles are true whatever the OD; START takes the witness mark's place at its zero.
    """
    disc = DiscErrorModel()
    candidates = [
        dial_contributions(position_deg(end), bore_mm / 2, (bore_mm - od_mm) / 2, model.parallax_mm, model, disc)
        for end in ([turn_deg] if window is None else [window.low_deg, window.high_deg])
    ]
    return max((Budget(stage, found, window) for found in candidates), key=lambda budget: budget.u_deg)
