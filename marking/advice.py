"""What can prove a window that a band cannot: a larger diameter, the drive disc, or the part ring."""

from __future__ import annotations

import math

from .budget import Budget, ErrorModel, disc_budget, ring_budget, sufficient_disc_mm, sufficient_od_mm
from .disc import MAX_DIAMETER_MM, usual_diameter_mm
from .quantities import shown_degrees, shown_length
from .socket import Socket


def what_can(
    budget: Budget, turn_deg: float, seam: float, socket: Socket, stock_mm: float, bore_mm: float, model: ErrorModel
) -> str:
    """Say which readouts can prove the window of `budget`, each with its figures, or that none can.

    `turn_deg` and `seam` are those of the stage and its band, `bore_mm` is the part ring's bore.
    """
    window = budget.window
    assert window is not None  # a stage without a window has nothing to prove
    found = []
    od_mm = sufficient_od_mm(window, turn_deg, seam, stock_mm, socket.od_source, model)
    if od_mm is not None:
        found.append(f"a band on a diameter of at least {shown_length(math.ceil(od_mm * 10) / 10, socket.unit)}")
    usual_mm = usual_diameter_mm(socket.drive)
    disc = disc_budget(budget.stage, turn_deg, window, usual_mm, socket.drive, model)
    least_mm = sufficient_disc_mm(window, turn_deg, socket.drive, model)
    if disc.provable:
        error = shown_degrees(disc.expanded_deg, 1)
        found.append(f"a drive disc of {shown_length(usual_mm, socket.unit)} (±{error}; --with disc prints it)")
    elif least_mm is not None and math.ceil(least_mm) <= MAX_DIAMETER_MM:
        found.append(f"a drive disc of at least {shown_length(math.ceil(least_mm), socket.unit)} (see turnband disc)")
    ring = ring_budget(budget.stage, turn_deg, window, bore_mm, socket.od_mm, model)
    if ring.provable:
        found.append(f"the part ring (±{shown_degrees(ring.expanded_deg, 1)})")
    if not found:
        return "no diameter, disc or ring can either: the errors would have to be smaller, or the window wider"
    return f"what can: {', or '.join(found)}"
