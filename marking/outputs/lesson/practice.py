"""What a trainee tries a worksheet with, as numbers: a blank band, a mat and a protractor card."""

from __future__ import annotations

import math
from typing import NamedTuple

from ...fastening.socket import DEFAULT_STOCK_MM
from ...marks.places import features
from ...quantities.shown import shown_lengths
from ...quantities.units import MM_PER_IN
from ...readouts.mat.layout import MatLayout
from ...readouts.part_ring.layout import RING_CLEARANCE_MM, RingLayout
from ...readouts.trim_band.layout import TrimBandLayout
from ...sheets.paper import Paper
from ..blank.plan import plan as plan_blank
from ..blank.request import BlankRequest
from .exercise import Exercise
from .practice_words import card_words, mat_words

SPREAD_MM = 2.0
"""How much a real socket of the opening may be slimmer or thicker than the sheet's (our choice)."""

LEAST_PAPER_MM = (170.0, 200.0)
"""Least width and height between a page's margins that hold the pieces of any socket; A4 and letter hold the steps
below them too."""

CARD_WIDTH_MM, SLIT_DEG = 15.0, 345.0
"""Width of the card, and where it is slit: after all windows, before zero (our choice)."""


class Practice(NamedTuple):
    """What lies on a trainee's practice page, and from which to which OD it serves."""

    low_od_mm: float
    high_od_mm: float
    unit: str
    bands: tuple[TrimBandLayout, ...]
    mat: MatLayout
    card: RingLayout

    @property
    def ods(self) -> str:
        """The ODs as text: "23–28 mm"."""
        return shown_lengths(self.low_od_mm, self.high_od_mm, self.unit)


def practice_for(exercise: Exercise, paper: Paper) -> Practice:
    """Return the practice pieces of a worksheet. Raises LayoutError where the band finds no room on the paper."""
    socket, clockwise, unit = exercise.socket, exercise.spec.clockwise, exercise.around.unit
    low_mm, high_mm = _ods(exercise.around.mm / math.pi - DEFAULT_STOCK_MM, unit)
    blank = BlankRequest(
        socket.points, socket.drive, clockwise, low_mm, high_mm, False, unit, 1, "", paper, DEFAULT_STOCK_MM
    )  # fmt: skip
    corners = tuple(corner for corner in features(socket.points) if corner.kind == "corner")
    ods = shown_lengths(low_mm, high_mm, unit)
    mat = MatLayout(low_mm, high_mm, clockwise, (), corners, mat_words(exercise.number, ods), unit)
    card = RingLayout(
        high_mm + RING_CLEARANCE_MM, CARD_WIDTH_MM, clockwise, (), SLIT_DEG, od=card_words(exercise.number)
    )
    return Practice(low_mm, high_mm, unit, plan_blank(blank).bands, mat, card)


def _ods(od_mm: float, unit: str) -> tuple[float, float]:
    """The ODs round one, to whole millimetres or sixteenths of an inch."""
    step = MM_PER_IN / 16 if unit == "in" else 1.0
    return math.floor((od_mm - SPREAD_MM) / step) * step, math.ceil((od_mm + SPREAD_MM) / step) * step
