"""What the table of readouts asks of the band."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import partial
from itertools import pairwise
from typing import Any

from ...drawing.primitives import Drawing
from ...figures.strip_layout import FULL_HEIGHT_MM, TAB_MM
from ...quantities.shown import shown_length
from ...remarks import Remark, Template
from .. import Outline, Unproved
from .error import sufficient_od_mm
from .figure import draw_band
from .layout import BandLayout

LARGER_OD = Template("larger-od", "a band on a diameter of at least {od:length}")

SHORT_MM, SHORT_LOW_MM = 65.0, 130.0
"""On shorter bands a label or other words may find no room, on low ones sooner (found by trying turns from 15° to 450°,
up to three of them, on ODs from 6 mm)."""


def pieces(plan: Any) -> Iterator[Outline]:
    """Yield every piece of the bands of a job."""
    for band, cuts in zip(plan.bands, plan.cuts, strict=True):
        below: tuple[str, ...] = ()
        if cuts or is_short(band.length_mm, band.height_mm):
            below = draw_band(band, cuts).below  # refuses one whose labels find no room
        for number, (begin, end) in enumerate(pairwise([0.0, *cuts, band.length_mm])):
            size = end - begin + TAB_MM, band.height_mm
            yield Outline(
                band.spec_line, band.socket_line, *size, partial(_draw_piece, band, cuts, number),
                size=shown_length(band.length_mm, band.unit), lengths_mm=(band.length_mm, band.length_mm),
                glued=bool(cuts), by_stage=len(plan.bands) > 1,
                below=unsaid(below, band.spec_line, band.socket_line),
            )  # fmt: skip


def is_short(length_mm: float, height_mm: float) -> bool:
    """Tell whether words may find no room on a band."""
    return length_mm < (SHORT_MM if height_mm >= FULL_HEIGHT_MM else SHORT_LOW_MM)


def unsaid(below: Iterable[str], *said: str) -> tuple[str, ...]:
    """The words that belong below a band and are not said there anyway."""
    return tuple(text for text in below if text not in said)


def _draw_piece(band: BandLayout, cuts: tuple[float, ...], number: int) -> Drawing:
    return draw_band(band, cuts).pieces[number]


def remedy(unproved: Unproved) -> Remark | None:
    """Say on which larger diameter a band would prove the window, if sockets of the drive have it."""
    window, turn_deg, socket = unproved.window, unproved.turn_deg, unproved.socket
    od_mm = sufficient_od_mm(window, turn_deg, unproved.seam, unproved.stock_mm, unproved.model)
    if od_mm is None or od_mm > socket.drive.usual_ods_mm[1]:
        return None
    return LARGER_OD(od=(math.ceil(od_mm * 10) / 10, socket.unit))
