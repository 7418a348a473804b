"""How well the turn is read: the reading error of a usual readout on the socket that goes with the bolt."""

from __future__ import annotations

from ...fastening.socket import DEFAULT_STOCK_MM, parse_drive
from ...fastening.spec import Window
from ...marks.reading_error import ErrorModel
from ...readouts.band.error import band_budget
from ...readouts.drive_disc.error import disc_budget
from ...readouts.drive_disc.layout import usual_diameter_mm
from ...readouts.mat.error import mat_budget
from ...readouts.part_ring.error import ring_budget
from ...readouts.part_ring.layout import RING_CLEARANCE_MM
from . import BAND, DISC, RING

DISC_DRIVE = "1/2"
"""The driving square of the disc (our choice)."""

NO_SEAM = 360.0


def reading_error_deg(readout: str, od_mm: float, turn_deg: float, window: Window | None) -> float:
    """Return the expanded reading error U (k = 2) of a turn, with the usual half-widths of the readout.

    `od_mm` is the socket's outside diameter; a drive disc has its usual diameter instead.
    """
    model = ErrorModel()
    if readout == BAND:
        budget = band_budget(1, turn_deg, window, NO_SEAM, od_mm, DEFAULT_STOCK_MM, model)
    elif readout == RING:
        budget = ring_budget(1, turn_deg, window, od_mm + RING_CLEARANCE_MM, od_mm, model)
    elif readout == DISC:
        drive = parse_drive(DISC_DRIVE)
        budget = disc_budget(1, turn_deg, window, usual_diameter_mm(drive), drive, model)
    else:
        budget = mat_budget(1, turn_deg, window, od_mm, model)
    return budget.expanded_deg
