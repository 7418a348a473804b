"""Blank bands as numbers."""

from __future__ import annotations

import math
from functools import partial
from typing import NamedTuple

from ...fastening.sanity import range_remarks
from ...fastening.socket import Socket
from ...marks.places import features
from ...quantities.angles import closed_length_mm
from ...quantities.shown import shown_lengths
from ...readouts.trim_band.figure import draw_trim_band
from ...readouts.trim_band.layout import TrimBandLayout, trim_width_mm
from ...remarks import Remark
from ..job.trim_plan import cut_up
from .request import BlankRequest
from .words import LEFT_OUT, TOO_SLIM, band_words, socket_words

BEFORE_START_DEG, BEFORE_START_MM = 30.0, 6.0
"""Least distance from START of the place before it where the ends meet (our choice): most turns are then counted to one
side of START, and the joint stays clear of it."""


class BlankPlan(NamedTuple):
    """What was asked for, the bands from the smallest ODs up, and what is to be said."""

    request: BlankRequest
    bands: tuple[TrimBandLayout, ...]
    warnings: tuple[Remark, ...]


def plan(request: BlankRequest) -> BlankPlan:
    """Return the numbers of the bands for a range of ODs. Raises LayoutError when none fits the paper.

    ODs that START finds no room on, and bands wider than the paper, are left out with a warning.
    """
    unit, paper = request.unit, request.paper
    ods_mm = request.low_od_mm, request.high_od_mm
    bands, left_out = cut_up(
        ods_mm, unit, paper.widest_mm, partial(_band, request), trim_width_mm, (TOO_SLIM, LEFT_OUT),
        ("use a drive disc for those", "choose a larger {@paper}"),
    )  # fmt: skip
    first, last = (Socket(request.points, request.drive, mm, unit=unit) for mm in ods_mm)
    return BlankPlan(request, tuple(bands), (*range_remarks(first, last, request.usual), *left_out))


def _band(request: BlankRequest, low: float, high: float) -> TrimBandLayout:
    """The band for a range of ODs. Raises LayoutError for one that has no room for START."""
    band = TrimBandLayout(
        low, high, request.stock_mm, _seam_deg(request, low), request.clockwise, features(request.points), (),
        band_words(request.clockwise), socket_words(request, shown_lengths(low, high, request.unit)), request.unit,
    )  # fmt: skip
    draw_trim_band(band)
    return band


def _seam_deg(request: BlankRequest, low_od_mm: float) -> float:
    """Where the ends meet: half way between a corner and a mid-flat, so that no printed line runs along the joint."""
    least = max(BEFORE_START_DEG, 360.0 * BEFORE_START_MM / closed_length_mm(low_od_mm, request.stock_mm))
    pitch = 180.0 / request.points
    return 360.0 - (math.ceil(least / pitch - 0.5) + 0.5) * pitch
