"""A record card as numbers: from spec and pattern to places, order and warnings, before anything is drawn."""

from __future__ import annotations

from typing import NamedTuple

from ...quantities.angles import Point
from ...remarks import Remark
from ...sheets.words import left_open
from .order import circle_places, crosswise, middle_outward, row_places
from .request import RecordRequest
from .words import NO_SNUG, NO_STAGE_TOLERANCE, NO_TOLERANCE


class Fastener(NamedTuple):
    """One fastener: its place in the order of tightening, its position's number, and where it stands.

    `place` is counted from the middle of the pattern, x to the right and y up, seen from the drive end, in radii of
    the circle or in pitches of the rows.
    """

    number: int
    position: int
    place: Point


class RecordPlan(NamedTuple):
    """All the numbers of a record card; `fasteners` in the order of tightening."""

    job: RecordRequest
    fasteners: tuple[Fastener, ...]
    warnings: tuple[Remark, ...]


def plan(job: RecordRequest) -> RecordPlan:
    """Return places and order of a record card's fasteners. Raises RangeError for counts and rows out of limits."""
    if job.rows is None:
        places, order = circle_places(job.fasteners), crosswise(job.fasteners)
    else:
        places, order = row_places(job.fasteners, job.rows), middle_outward(job.fasteners, job.rows)
    fasteners = (Fastener(number, position, places[position - 1]) for number, position in enumerate(order, 1))
    return RecordPlan(job, tuple(fasteners), tuple(left_open(job.spec, NO_SNUG, NO_TOLERANCE, NO_STAGE_TOLERANCE)))
