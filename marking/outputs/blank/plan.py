"""Blank bands as numbers."""

from __future__ import annotations

import math
from typing import NamedTuple

from ...errors import LayoutError
from ...fastening.sanity import range_remarks
from ...fastening.socket import Socket
from ...marks.places import features
from ...quantities.angles import closed_length_mm
from ...quantities.shown import shown_length, shown_lengths
from ...readouts.trim_band.figure import draw_trim_band
from ...readouts.trim_band.layout import LEAST_OD_MM, TrimBandLayout, ranges, trim_width_mm
from ...remarks import Remark
from ..job.trim_plan import WIDEST_RANGE_MM
from ..job.words import OD_RANGE
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
    least = max(request.low_od_mm, LEAST_OD_MM)
    if least >= request.high_od_mm:
        raise LayoutError(
            f"ODs up to {shown_length(request.high_od_mm, unit)} are too slim for trim bands",
            f"more than {shown_length(LEAST_OD_MM, unit)}", "use a drive disc for those", field="od_range",
        )  # fmt: skip
    bands, slim, wide = [], [], []
    for low, high in ranges(least, request.high_od_mm, WIDEST_RANGE_MM):
        band = _roomy(request, low, high)
        begin = low if low > least else request.low_od_mm
        if band.low_od_mm > begin:
            slim.append(OD_RANGE(low=(begin, unit), high=(band.low_od_mm, unit)))
        if trim_width_mm(band) > paper.widest_mm:
            wide.append(OD_RANGE(low=(band.low_od_mm, unit), high=(high, unit)))
        else:
            bands.append(band)
    if not bands:
        raise LayoutError(
            f"trim bands for ODs of {wide[0]} are wider than the paper", "wider paper",
            "choose a larger {@paper}", field="paper",
        )  # fmt: skip
    first, last = (
        Socket(request.points, request.drive, mm, unit=unit) for mm in (request.low_od_mm, request.high_od_mm)
    )  # fmt: skip
    left_out = [template(ranges=ods) for template, ods in ((TOO_SLIM, slim), (LEFT_OUT, wide)) if ods]
    return BlankPlan(request, tuple(bands), (*range_remarks(first, last, request.usual), *left_out))


def _roomy(request: BlankRequest, low: float, high: float) -> TrimBandLayout:
    """Return the band from the smallest OD on that has room for START. Raises LayoutError when none has."""
    band = TrimBandLayout(
        low, high, request.stock_mm, _seam_deg(request, low), request.clockwise, features(request.points), (),
        band_words(request.clockwise), socket_words(request, shown_lengths(low, high, request.unit)), request.unit,
    )  # fmt: skip
    try:
        draw_trim_band(band)
    except LayoutError:
        following = math.floor(low) + 1.0
        if following >= high:
            raise
        return _roomy(request, following, high)
    return band


def _seam_deg(request: BlankRequest, low_od_mm: float) -> float:
    """Where the ends meet: half way between a corner and a mid-flat, so that no printed line runs along the joint."""
    least = max(BEFORE_START_DEG, 360.0 * BEFORE_START_MM / closed_length_mm(low_od_mm, request.stock_mm))
    pitch = 180.0 / request.points
    return 360.0 - (math.ceil(least / pitch - 0.5) + 0.5) * pitch
