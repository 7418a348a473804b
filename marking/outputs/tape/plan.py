"""A diameter tape as numbers."""

from __future__ import annotations

from typing import NamedTuple

from .layout import TapeLayout, plan_tape
from .request import TapeRequest


class TapePlan(NamedTuple):
    """What was asked for, and what the tape is drawn from."""

    request: TapeRequest
    layout: TapeLayout
    warnings: tuple[str, ...] = ()


def plan(request: TapeRequest) -> TapePlan:
    """Return all the numbers of a tape, in pieces where the paper is too narrow. Raises what `plan_tape` raises."""
    low, high, unit, paper, stock_mm = request
    return TapePlan(request, plan_tape(low, high, unit, stock_mm, paper.wide.content_width_mm))
