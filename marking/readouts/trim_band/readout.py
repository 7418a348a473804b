"""What the table of readouts asks of the trim band."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any

from ...drawing.primitives import Drawing
from ...remarks import Remark
from .. import Outline, Unproved
from .figure import draw_trim_band
from .layout import TrimBandLayout, trim_width_mm


def pieces(plan: Any) -> Iterator[Outline]:
    """Yield the trim bands of a job without a diameter."""
    for strip in (band for part in plan.parts for band in part.bands):
        size = trim_width_mm(strip), strip.height_mm
        yield Outline(strip.spec_line, strip.socket_line, *size, partial(_draw, strip))


def _draw(strip: TrimBandLayout) -> Drawing:
    return draw_trim_band(strip)[0]


def remedy(unproved: Unproved) -> Remark | None:
    """A trim band reads no better than a band."""
    return None
