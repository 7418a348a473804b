"""Reads DXF files from their group codes, with nothing of the library that wrote them."""

from __future__ import annotations

import functools
import itertools
import math
from collections.abc import Iterator
from typing import NamedTuple

import shapely

from marking.quantities.angles import Point, polar

Pair = tuple[int, str]


class Entity(NamedTuple):
    """A thing drawn: its kind, layer, corners (a circle's 2° apart), and whether it is closed."""

    kind: str
    layer: str
    points: list[Point]
    closed: bool

    @property
    def line(self) -> shapely.LineString:
        return shapely.LineString([*self.points, self.points[0]] if self.closed else self.points)

    @property
    def polygon(self) -> shapely.Polygon:
        assert self.closed
        return shapely.Polygon(self.points)


def pairs(content: bytes) -> list[Pair]:
    lines = content.decode("ascii").splitlines()
    return [(int(code), value.strip()) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def header(content: bytes, name: str) -> str:
    found = pairs(content)
    return found[found.index((9, name)) + 1][1]


@functools.lru_cache(maxsize=16)
def entities(content: bytes) -> tuple[Entity, ...]:
    found = pairs(content)
    begin = found.index((2, "ENTITIES")) + 1
    found = found[begin : found.index((0, "ENDSEC"), begin)]
    starts = [k for k, (code, _) in enumerate(found) if code == 0]
    return tuple(_entity(found[a:b]) for a, b in itertools.pairwise([*starts, len(found)]))


def _entity(codes: list[Pair]) -> Entity:
    kind, layer = codes[0][1], next(value for code, value in codes if code == 8)

    def numbers(wanted: int) -> list[float]:
        return [float(value) for code, value in codes if code == wanted]

    points = list(zip(numbers(10), numbers(20), strict=True))
    if kind == "LINE":
        points += zip(numbers(11), numbers(21), strict=True)
    elif kind in ("CIRCLE", "ARC"):
        begin, end = (0.0, 360.0) if kind == "CIRCLE" else (numbers(50)[0], numbers(51)[0])
        points = list(_bent(points[0], numbers(40)[0], begin, end + 360.0 * (end <= begin), kind == "ARC"))
    else:
        assert kind == "LWPOLYLINE", kind
    return Entity(kind, layer, points, kind == "CIRCLE" or (kind == "LWPOLYLINE" and numbers(70) == [1.0]))


def _bent(middle: Point, radius: float, begin: float, end: float, to_the_end: bool) -> Iterator[Point]:
    count = math.ceil((end - begin) / 2)
    for k in range(count + to_the_end):
        x, y = polar(radius, begin + (end - begin) * k / count)
        yield middle[0] + x, middle[1] + y
