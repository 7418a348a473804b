"""How well a band is read: the contributions of its budget, and the diameter that would do."""

from __future__ import annotations

import math

from ...fastening.socket import OdSource
from ...fastening.spec import Window
from ...marks.reading_error import Budget, Contribution, ErrorModel, smallest_provable_mm
from ...marks.seam import arc_along_band_deg


def band_contributions(
    arc_deg: float, od_mm: float, stock_mm: float, od_source: OdSource, model: ErrorModel
) -> tuple[Contribution, ...]:
    """Return the contributions to the reading error of a band.

    `arc_deg` is the arc from START to the mark along the band. Lengths along the band scale with D + t; the printed
    face, where marks are set and read, lies at radius D/2 + t.
    """
    per_mm_of_diameter = arc_deg / (od_mm + stock_mm)
    per_mm_of_face = 360.0 / (math.pi * (od_mm + 2 * stock_mm))
    od_error_mm = model.od_measured_mm if od_source == "measured" else model.od_around_mm / math.pi
    return (
        Contribution("outside diameter", od_error_mm, "mm", per_mm_of_diameter),
        Contribution("stock thickness", model.stock_mm, "mm", per_mm_of_diameter),
        Contribution("print scale", model.print_scale_percent, "%", arc_deg / 100.0),
        Contribution("witness mark", model.witness_mm, "mm", per_mm_of_face),
        Contribution("stop reading", model.stop_mm, "mm", per_mm_of_face),
        Contribution("parallax at START", model.parallax_mm, "mm", per_mm_of_face),
        Contribution("parallax at the stop", model.parallax_mm, "mm", per_mm_of_face),
    )


def band_budget(
    stage: int,
    turn_deg: float,
    window: Window | None,
    seam: float,
    od_mm: float,
    stock_mm: float,
    od_source: OdSource,
    model: ErrorModel,
) -> Budget:
    """Return the budget of one stage read on a band whose seam lies at `seam` degrees.

    It is taken at the window's high edge, or at the edge farther from START along the band when the window lies
    behind the seam. Whole turns add nothing: they bring START itself back to the witness mark.
    """
    ends = [turn_deg] if window is None else [window.low_deg, window.high_deg]
    arc = max(arc_along_band_deg(end, seam) for end in ends)
    return Budget(stage, band_contributions(arc, od_mm, stock_mm, od_source, model), window)


def sufficient_od_mm(
    window: Window, turn_deg: float, seam: float, stock_mm: float, od_source: OdSource, model: ErrorModel
) -> float | None:
    """Return the smallest OD whose band could prove the window, in mm; None when none up to 2 m could.

    The reading error falls with the diameter towards the print scale's part, which no diameter removes.
    """

    def provable(od_mm: float) -> bool:
        return band_budget(1, turn_deg, window, seam, od_mm, stock_mm, od_source, model).provable

    return smallest_provable_mm(provable)
