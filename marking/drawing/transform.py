"""Drawings turned and scaled; hatching."""

from __future__ import annotations

import math

from ..quantities.angles import Point, polar
from .primitives import Arc, Drawing, Group, Item, Line, Polyline, Primitive, Text, new


def turned(drawing: Drawing) -> Drawing:
    """Return the drawing turned by a quarter, counterclockwise; its box begins at (0, 0) again."""
    return Drawing(drawing.height_mm, drawing.width_mm, _turned(drawing.content, drawing.height_mm))


def _turned(item: Item, height: float) -> Item:
    """A primitive or group with (x, y) at (height − y, x)."""
    if isinstance(item, Line):  # as in `moved`
        x1, y1, x2, y2, role, data = item
        return new(Line, (height - y1, x1, height - y2, x2, role, data))
    if isinstance(item, Text):
        x, y, *same, rotation_deg, role, grey = item
        return new(Text, (height - y, x, *same, rotation_deg + 90.0, role, grey))
    if isinstance(item, Group):
        return Group(item.name, tuple([_turned(part, height) for part in item.items]), item.data)
    if isinstance(item, Polyline):
        points, *same = item
        return new(Polyline, (tuple([(height - y, x) for x, y in points]), *same))
    return item._replace(cx=height - item.cy, cy=item.cx, start_deg=item.start_deg + 90.0)


def rotated(item: Item, deg: float) -> Item:
    """Return the same primitive or group, rotated counterclockwise about the origin."""
    cos, sin = polar(1.0, deg)

    def at(x: float, y: float) -> Point:
        return x * cos - y * sin, x * sin + y * cos

    match item:
        case Line():
            return Line(*at(item.x1, item.y1), *at(item.x2, item.y2), item.role, item.data)
        case Text(x, y):
            (x, y), rotation_deg = at(x, y), item.rotation_deg + deg
            return item._replace(x=x, y=y, rotation_deg=rotation_deg)
        case Group():
            return Group(item.name, tuple(rotated(part, deg) for part in item.items), item.data)
        case Polyline():
            return item._replace(points=tuple(at(x, y) for x, y in item.points))
        case Arc():
            cx, cy = at(item.cx, item.cy)
            return item._replace(cx=cx, cy=cy, start_deg=item.start_deg + deg)


def scaled(item: Item, sx: float, sy: float) -> Primitive | Group:
    """Return a primitive or group stretched about the origin by `sx` across and `sy` along.

    Text keeps its shape and takes the smaller of the two. An arc becomes a run of short strokes when the two differ: at
    0.5° a stroke leaves its arc by less than 1e-5 of the radius.
    """
    match item:
        case Group():
            return Group(item.name, tuple(scaled(part, sx, sy) for part in item.items), item.data)
        case Line():
            return item._replace(x1=item.x1 * sx, y1=item.y1 * sy, x2=item.x2 * sx, y2=item.y2 * sy)
        case Polyline():
            return item._replace(points=tuple((x * sx, y * sy) for x, y in item.points))
        case Text():
            return item._replace(x=item.x * sx, y=item.y * sy, size_pt=item.size_pt * min(sx, sy))
        case Arc():
            if sx == sy:
                return item._replace(cx=item.cx * sx, cy=item.cy * sy, radius=item.radius * sx)
            count = max(2, round(item.sweep_deg / 0.5))
            spokes = (polar(item.radius, item.start_deg + item.sweep_deg * k / count) for k in range(count + 1))
            points = tuple(((item.cx + x) * sx, (item.cy + y) * sy) for x, y in spokes)
            return Polyline(points, item.role, data=item.data)


def hatch_segments(width: float, height: float, spacing_mm: float = 0.8) -> list[tuple[float, float, float, float]]:
    """Return 45° lines (x1, y1, x2, y2) that hatch the rectangle (0, 0)–(width, height), `spacing_mm` apart."""
    step = spacing_mm * math.sqrt(2)
    segments = []
    for k in range(math.ceil((width + height) / step)):
        offset = (k + 0.5) * step - height  # the line y = x − offset
        x1, x2 = max(0.0, offset), min(width, offset + height)
        if x2 - x1 > 1e-6:
            segments.append((x1, x1 - offset, x2, x2 - offset))
    return segments


NARROWEST_MM = 1e-9
"""What is no wider has no area to hatch."""


def slanted_hatch(
    below: tuple[float, float], above: tuple[float, float], foot: float, top: float
) -> list[tuple[float, float, float, float]]:
    """Return lines that hatch what lies between two edges: from left to right `below` at `foot` and `above` at `top`.

    There are none where it narrows to nothing.
    """
    (a, b), (c, d) = below, above
    if min(b - a, d - c) <= NARROWEST_MM:
        return []

    def at(u: float, v: float) -> Point:
        part = v / (top - foot)
        left, right = a + (c - a) * part, b + (d - b) * part
        return left + u / (b - a) * (right - left), foot + v

    return [(*at(x1, y1), *at(x2, y2)) for x1, y1, x2, y2 in hatch_segments(b - a, top - foot)]
