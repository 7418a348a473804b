"""What the table of readouts asks of the trim band."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any

from ...drawing.primitives import Drawing
from ...quantities.angles import closed_length_mm
from ...quantities.shown import shown_lengths
from ...remarks import Remark
from .. import Outline, Unproved
from ..band.readout import is_short, unsaid
from .figure import draw_trim_band
from .layout import TrimBandLayout, trim_width_mm


def pieces(plan: Any) -> Iterator[Outline]:
    """Yield the trim bands of a job without a diameter."""
    strips = [(band, len(part.bands) > 1) for part in plan.parts for band in part.bands]
    ods = shown_lengths(plan.parts[0].low_od_mm, plan.parts[-1].high_od_mm, plan.unit)
    socket = plan.job.socket
    line = f"{socket.points}-point · {socket.drive.inch} in drive · OD {ods}"
    for strip, by_stage in strips:
        size = trim_width_mm(strip), strip.height_mm
        ods_mm = strip.low_od_mm, strip.high_od_mm
        low, high = (closed_length_mm(od_mm, strip.stock_mm) for od_mm in ods_mm)
        below = draw_trim_band(strip)[1] if is_short(low, strip.height_mm) else ()
        yield Outline(
            strip.spec_line, strip.socket_line, *size, partial(_draw, strip), line if len(strips) > 1 else "",
            f"OD {shown_lengths(*ods_mm, strip.unit)}", (low, high), by_stage=by_stage,
            below=unsaid(below, strip.spec_line, strip.socket_line),
        )  # fmt: skip


def _draw(strip: TrimBandLayout) -> Drawing:
    return draw_trim_band(strip)[0]


def remedy(unproved: Unproved) -> Remark | None:
    """A trim band reads no better than a band."""
    return None
