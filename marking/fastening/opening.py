"""The openings of sockets, a line each: their corners, their outline and their play on the fastener."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial
from typing import NamedTuple

from ..errors import RangeError, SocketError
from ..quantities.angles import Point, polar


class Opening(NamedTuple):
    """A kind of opening: `points` corners for a fastener with `sides` flats.

    Its width across corners is its width across flats over `flats_per_corners`. `outline(across_flats_mm,
    first_corner_deg)` is closed, round (0, 0), in mm, y up; it begins at corner 1, at `first_corner_deg` from the x
    axis, and goes round counterclockwise. `play_deg(opening_mm, fastener_mm)` is how far the fastener turns freely,
    degrees each way; it raises RangeError as `play_deg` does.
    """

    points: int
    sides: int
    flats_per_corners: float
    outline: Callable[[float, float], tuple[Point, ...]]
    play_deg: Callable[[float, float], float]

    def across_corners_mm(self, across_flats_mm: float) -> float:
        """Return the width across corners, in mm: 21.94 for 12 points 19 mm across flats."""
        return across_flats_mm / self.flats_per_corners


def play_deg(sides: int, opening_mm: float, fastener_mm: float) -> float:
    """Return how far a fastener turns freely in an opening, degrees each way.

    φ = 180°/n − arccos((s_s / s_f) cos(180°/n)) for an n-sided fastener of width s_f across flats in an opening of
    width s_s: the fastener's corner, at radius s_f / (2 cos(180°/n)), meets the opening's flat. In 12- and 8-point
    openings that part of the flat is there up to φ = 90°/n; beyond, they no longer hold the fastener.
    play_deg(6, 19.36, 18.67) = 3.90. Raises RangeError when the fastener is wider than the opening, or so narrow that
    it turns right round.
    """
    if fastener_mm > opening_mm:
        raise RangeError(
            f"a fastener {fastener_mm:g} mm wide does not go into an opening of {opening_mm:g} mm",
            "an opening at least as wide", field="opening",
        )  # fmt: skip
    ratio = opening_mm / fastener_mm * math.cos(math.pi / sides)
    if ratio >= 1:
        raise RangeError(
            f"a fastener {fastener_mm:g} mm wide turns round in an opening of {opening_mm:g} mm",
            "a fastener that the opening can turn", field="opening",
        )  # fmt: skip
    return 180.0 / sides - math.degrees(math.acos(ratio))


def _outline(points: int, sides: int, across_flats_mm: float, first_corner_deg: float) -> tuple[Point, ...]:
    """The outline of one polygon or, with twice as many points as sides, of two that cross between the corners."""
    pitch = 360.0 / points
    corner = across_flats_mm / 2 / math.cos(math.pi / sides)
    inner = across_flats_mm / 2 / math.cos(math.pi / points)
    places = ((corner, 0.0), (inner, 0.5)) if points > sides else ((corner, 0.0),)
    return tuple(
        polar(radius, first_corner_deg + (k + ahead) * pitch) for k in range(points) for radius, ahead in places
    )


def _polygons(points: int, sides: int) -> Opening:
    """A regular polygon of `sides` flats: s / cos(180°/n) across corners; or two, turned by half a pitch."""
    return Opening(
        points, sides, math.cos(math.pi / sides), partial(_outline, points, sides), partial(play_deg, sides)
    )  # fmt: skip


OPENINGS = {row.points: row for row in (_polygons(4, 4), _polygons(6, 6), _polygons(8, 4), _polygons(12, 6))}

POINTS = tuple(OPENINGS)
ANY_POINTS = f"{', '.join(map(str, POINTS[:-1]))} or {POINTS[-1]}"


def opening_of(points: int | str) -> Opening:
    """Return the opening with so many points, a number or its digits. Raises SocketError for one that is not known."""
    for opening in OPENINGS.values():
        if str(opening.points) == str(points):
            return opening
    raise SocketError(f"a socket with {points} points", f"{ANY_POINTS} points", value=points, field="points")


def read_points(points: int | str) -> int:
    """Return a socket's number of points, given as a number or its digits. Raises SocketError."""
    return opening_of(points).points


def corner_radius_mm(points: int, across_flats_mm: float) -> float:
    """Return how far the opening's corners lie from its axis, in mm: corner_radius_mm(12, 19) = 10.97.

    Raises SocketError for points that no socket has and RangeError for a width that is not more than zero.
    """
    opening = opening_of(points)
    if not 0 < across_flats_mm < math.inf:
        what = f"the opening is {across_flats_mm:g} mm"
        raise RangeError(what, "more than zero", value=across_flats_mm, field="opening")
    return opening.across_corners_mm(across_flats_mm) / 2


def opening_outline(points: int, across_flats_mm: float, first_corner_deg: float = 90.0) -> tuple[Point, ...]:
    """Return the outline of an opening, corner 1 up. Raises SocketError and RangeError as `corner_radius_mm` does."""
    corner_radius_mm(points, across_flats_mm)
    return OPENINGS[points].outline(across_flats_mm, first_corner_deg)
