"""How well a band is read: the contributions of its budget, and the diameter that would do."""

from __future__ import annotations

import math
from functools import lru_cache

from ...fastening.spec import Window
from ...marks.reading_error import SIDEWAYS, Budget, Contribution, ErrorModel, both_readings, budget_of, smallest_mm
from ...marks.seam import arc_along_band_deg, closure_half_mm
from ...quantities.angles import closed_length_mm


def band_contributions(
    arc_deg: float, od_mm: float, stock_mm: float, model: ErrorModel, splices: int = 0
) -> tuple[Contribution, ...]:
    """Return the contributions to the reading error of a band.

    `arc_deg` is the arc from START to the mark along the band, and `splices` how many splices lie on it. A closed
    length L that is wrong by δ moves the mark by θ δ / L: whatever was wrong with OD, stock or print scale shows at the
    closure, and what the bracket there lets pass is what is left of it. A splice moves all behind it, 360 / L a mm.
    Marks are set and read on the printed face, at radius D/2 + t. A cut that wanders off its row by as much as δD of OD
    moves a mark by θ δD / (D + t), which the closure does not see.
    """
    length_mm = closed_length_mm(od_mm, stock_mm)
    closure_mm = closure_half_mm(length_mm) if model.closure_mm is None else model.closure_mm
    found = [Contribution("closure", closure_mm, "mm", arc_deg / length_mm)]
    if model.trimmed_od_mm:
        found.append(Contribution("trimming", model.trimmed_od_mm, "mm", arc_deg * math.pi / length_mm))
    found += [
        Contribution(f"splice {number}", model.splice_mm, "mm", 360.0 / length_mm) for number in range(1, splices + 1)
    ]
    return (*found, *both_readings(od_mm / 2 + stock_mm, model, model.gap_mm, SIDEWAYS, model.play_mm))


@lru_cache(maxsize=64)  # asked for the same stage while a seam is chosen and when it is
def band_budget(
    stage: int,
    turn_deg: float,
    window: Window | None,
    seam: float,
    od_mm: float,
    stock_mm: float,
    model: ErrorModel,
    splices: int = 0,
) -> Budget:
    """Return the budget of one stage read on a band whose seam lies at `seam` degrees.

    It is taken at the window's edge farther from START along the band, never across the seam; `splices` are the splices
    between START and that edge. Whole turns add nothing: they bring START itself back to the witness mark.
    """

    def contributions(turn_deg: float) -> tuple[Contribution, ...]:
        return band_contributions(arc_along_band_deg(turn_deg, seam), od_mm, stock_mm, model, splices)

    return budget_of(stage, turn_deg, window, contributions)


def sufficient_od_mm(window: Window, turn_deg: float, seam: float, stock_mm: float, model: ErrorModel) -> float | None:
    """Return the smallest OD whose band leaves an aim in the window, in mm; None when none up to 2 m does.

    The reading error falls with the diameter. Of a larger band no splice is taken to lie between START and the window.
    """

    def aims(od_mm: float) -> bool:
        return band_budget(1, turn_deg, window, seam, od_mm, stock_mm, model).verdict == "aim"

    return smallest_mm(aims)
