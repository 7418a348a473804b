"""What the table of readouts asks of the part ring."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any

from ...errors import LayoutError
from ...quantities.shown import shown_length
from ...remarks import Remark, Template
from .. import Outline, Unproved
from .error import ring_budget
from .figure import draw_ring

RING = Template("ring", "a part ring (±{error:deg1})", ", which {@ring} full prints")


def pieces(plan: Any) -> Iterator[Outline]:
    """Yield the part rings of a job. Raises LayoutError when one is left out: its stage would be read on another's."""
    rings = [ring for ring in plan.rings if ring is not None]
    left_out = len(rings) < len(plan.rings)
    coarse = next((remark for remark in plan.warnings if remark.code == "ring-unproved"), None)
    if left_out and coarse is not None:
        raise LayoutError(str(coarse), "a wider window or a larger socket", "print a band or a disc", field="kind")
    if left_out:
        what, advice = "the part ring is larger than the paper", "choose a larger {@paper}"
        raise LayoutError(what, "a smaller socket", advice, field="paper")
    for ring in rings:
        left, bottom, right, top = ring.box
        size = right - left, top - bottom
        bore = f"bore {shown_length(ring.bore_mm, ring.unit)}"
        words = plan.job.spec.read_as, plan.job.socket.printed()
        yield Outline(*words, *size, partial(draw_ring, ring), "", bore, (ring.bore_mm,) * 2, by_stage=len(rings) > 1)


def remedy(unproved: Unproved) -> Remark | None:
    """Say how well the part ring reads, if that leaves an aim in the window."""
    stage, turn_deg, window, _, socket, _, bore_mm, model = unproved
    ring = ring_budget(stage, turn_deg, window, bore_mm, socket.od_mm, model)
    return RING(error=ring.expanded_deg) if ring.verdict == "aim" else None
