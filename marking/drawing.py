"""What is on a sheet, neutral to any renderer: lines, arcs, polygons and text in millimetres, each with a role.

Coordinates: x to the right, y up. Angles: degrees, counterclockwise from the x axis. The role of a stroke decides
how it looks (`STROKES`), so that all sheets share one look; it is also what scripts and tests find it by.

These are named tuples rather than dataclasses because a set of sheets holds millions of them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple, TypeVar, overload

from .fonts import REGULAR, ink_limits_mm, text_width_mm

Point = tuple[float, float]
Data = tuple[tuple[str, str], ...]
"""Named values that go with a drawn thing, such as (("stage", "1"),); SVG writes them as data-… attributes."""


class Stroke(NamedTuple):
    """Line width and dash pattern in mm; `grey` from 0 (black) to 1 (white)."""

    width_mm: float
    dash_mm: tuple[float, ...] = ()
    grey: float = 0.0


HAIR, FINE, THIN, STRONG = Stroke(0.12), Stroke(0.15), Stroke(0.25), Stroke(0.35)
CUT = Stroke(0.15, (1.6, 0.8))

STROKES: dict[str, Stroke] = {
    "start": STRONG, "stop-low": STRONG, "stop-high": STRONG, "stop": STRONG, "zero": STRONG,
    "aim": Stroke(0.25, (1.8, 0.7)),
    "hatch": HAIR,
    "corner": THIN, "mid-flat": FINE, "degree": FINE,
    "drive-edge": CUT, "fastener-edge": CUT, "seam": CUT, "tab-edge": CUT, "cut": CUT,
    "inner-edge": CUT, "outer-edge": CUT, "slit": CUT, "square-hole": CUT,
    "row": Stroke(0.12, (), 0.45), "degree-guide": Stroke(0.12, (0.5, 0.9), 0.3),
    "closure": THIN, "closure-scale": FINE, "splice": THIN, "splice-edge": CUT,
    "arrow": THIN, "witness": Stroke(0.2),
    "graduation": FINE, "vernier": FINE, "index": THIN, "reading-edge": HAIR,
    "enlarged": THIN, "enlarged-index": Stroke(0.5),
    "ruler-x": FINE, "ruler-y": FINE,
    "proof-x": FINE, "proof-y": FINE, "proof-diagonal": FINE, "proof-cross": FINE,
    "socket": Stroke(0.5), "opening": Stroke(0.25, (1.4, 0.7)), "drive-square": Stroke(0.25, (), 0.45),
    "turn": STRONG, "turn-leader": FINE,
    "rule": Stroke(0.15, (), 0.35), "rule-strong": THIN, "box": FINE,
    "axis": FINE, "axis-tick": FINE, "guide": Stroke(0.12, (0.5, 0.9), 0.3), "stage-end": FINE, "key-edge": STRONG,
    "low-friction": Stroke(0.4), "high-friction": Stroke(0.4, (2.0, 0.9)), "proof-load": THIN,
    "yield-load": Stroke(0.25, (0.5, 0.7)), "torque-snug": Stroke(0.15, (3.0, 0.7, 0.5, 0.7)), "torque-alone": FINE,
    "tension-range": Stroke(1.0, (), 0.45), "tension-end": THIN,
    "fastener": THIN, "part-outline": Stroke(0.15, (), 0.35), "box-strong": STRONG,
}  # fmt: skip
"""How each role of stroke looks: cut lines dashed, marks 0.35 mm, ticks 0.25 and 0.15 mm, hatch 0.12 mm."""

MARK_ROLES = frozenset({"start", "stop-low", "stop-high", "stop", "aim", "zero"})


class Line(NamedTuple):
    """A straight stroke."""

    x1: float
    y1: float
    x2: float
    y2: float
    role: str
    data: Data = ()


class Polyline(NamedTuple):
    """Strokes through `points`, closed or open; `fill` is a grey from 0 (black) to 1, or None for no fill.

    A filled polygon has no outline.
    """

    points: tuple[Point, ...]
    role: str
    closed: bool = False
    fill: float | None = None
    data: Data = ()


class Arc(NamedTuple):
    """A circular stroke round (cx, cy) from `start_deg` over `sweep_deg` counterclockwise (360: the full circle)."""

    cx: float
    cy: float
    radius: float
    start_deg: float
    sweep_deg: float
    role: str
    data: Data = ()


class Text(NamedTuple):
    """One line of text with its baseline at (x, y); `anchor` is start, middle or end; rotated counterclockwise."""

    x: float
    y: float
    text: str
    size_pt: float
    weight: str = REGULAR
    anchor: str = "start"
    rotation_deg: float = 0.0
    role: str = "text"
    grey: float = 0.0

    @property
    def width_mm(self) -> float:
        """The advance width in mm."""
        return text_width_mm(self.text, self.size_pt, self.weight)

    @property
    def box(self) -> tuple[Point, Point, Point, Point]:
        """The four corners of the rectangle that holds its ink, counterclockwise from lower left of the text."""
        below, above = ink_limits_mm(self.text, self.size_pt, self.weight)
        left = -self.width_mm * {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor]
        right = left + self.width_mm
        cos, sin = math.cos(math.radians(self.rotation_deg)), math.sin(math.radians(self.rotation_deg))

        def turned(x: float, y: float) -> Point:
            return self.x + x * cos - y * sin, self.y + x * sin + y * cos

        return turned(left, below), turned(right, below), turned(right, above), turned(left, above)


Primitive = Line | Polyline | Arc | Text


class Group(NamedTuple):
    """Primitives and groups that belong together; `name` is a part's name ("band") and its class in SVG."""

    name: str
    items: tuple[Primitive | Group, ...]
    data: Data = ()


Worked = TypeVar("Worked")
Item = TypeVar("Item", Line, Polyline, Arc, Text, Group, Primitive, Primitive | Group)


class Drawing(NamedTuple):
    """One part at true size in a box from (0, 0) to (width_mm, height_mm)."""

    width_mm: float
    height_mm: float
    content: Group


class Placed(NamedTuple):
    """A drawing with its lower left corner at (x, y) of a page.

    Placed drawings of one `shared` name are the same drawing; a renderer may then keep it once for all of them.
    """

    drawing: Drawing
    x: float
    y: float
    shared: str = ""


class Page(NamedTuple):
    """A page of exact size and the drawings on it."""

    width_mm: float
    height_mm: float
    placed: tuple[Placed, ...]


class LazyPages(Sequence[Page]):
    """Pages that are made when asked for, so that a long document never stands in memory as a whole."""

    def __init__(self, count: int, make: Callable[[int], Page]) -> None:
        self._count = count
        self._make = make

    def __len__(self) -> int:
        return self._count

    @overload
    def __getitem__(self, index: int) -> Page: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Page]: ...
    def __getitem__(self, index: int | slice) -> Page | Sequence[Page]:
        if isinstance(index, slice):
            return [self._make(number) for number in range(self._count)[index]]
        return self._make(range(self._count)[index])

    def worked(self, work: Callable[[Page], Worked]) -> Iterator[Worked]:
        """Yield `work(page)` for every page; a subclass may have other processes do it."""
        return map(work, self)


def worked(pages: Sequence[Page], work: Callable[[Page], Worked]) -> Iterator[Worked]:
    """Yield `work(page)` for every page, by other processes where the pages can."""
    return pages.worked(work) if isinstance(pages, LazyPages) else map(work, pages)


class Document(NamedTuple):
    """Pages with a title and subject for the file's own description."""

    pages: Sequence[Page]
    title: str = ""
    subject: str = ""


def primitives(group: Group) -> Iterator[Primitive]:
    """Yield every primitive of a group and the groups within it, in drawing order."""
    for item in group.items:
        if isinstance(item, Group):
            yield from primitives(item)
        else:
            yield item


def moved(item: Item, dx: float, dy: float) -> Item:
    """Return the same primitive or group, moved to the right by `dx` and up by `dy`."""
    match item:
        case Group():
            return item._replace(items=tuple(moved(part, dx, dy) for part in item.items))
        case Line():
            return item._replace(x1=item.x1 + dx, y1=item.y1 + dy, x2=item.x2 + dx, y2=item.y2 + dy)
        case Polyline():
            return item._replace(points=tuple((x + dx, y + dy) for x, y in item.points))
        case Arc():
            return item._replace(cx=item.cx + dx, cy=item.cy + dy)
        case Text():
            return item._replace(x=item.x + dx, y=item.y + dy)


def turned(drawing: Drawing) -> Drawing:
    """Return the drawing turned by a quarter, counterclockwise; its box begins at (0, 0) again."""
    return Drawing(drawing.height_mm, drawing.width_mm, _turned(drawing.content, drawing.height_mm))


def _turned(item: Item, height: float) -> Item:
    """A primitive or group with (x, y) at (height − y, x)."""
    match item:
        case Group():
            return item._replace(items=tuple(_turned(part, height) for part in item.items))
        case Line():
            return Line(height - item.y1, item.x1, height - item.y2, item.x2, item.role, item.data)
        case Polyline():
            return item._replace(points=tuple((height - y, x) for x, y in item.points))
        case Arc():
            return item._replace(cx=height - item.cy, cy=item.cx, start_deg=item.start_deg + 90.0)
        case Text():
            return item._replace(x=height - item.y, y=item.x, rotation_deg=item.rotation_deg + 90.0)


def scaled(item: Item, sx: float, sy: float) -> Primitive | Group:
    """Return a primitive or group stretched about the origin by `sx` across and `sy` along.

    Text keeps its shape and takes the smaller of the two. An arc becomes a run of short strokes when the two differ: at
    0.5° a stroke leaves its arc by less than 1e-5 of the radius.
    """
    match item:
        case Group():
            return item._replace(items=tuple(scaled(part, sx, sy) for part in item.items))
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


def polar(radius: float, deg: float) -> Point:
    """Return the point at `radius` and `deg` counterclockwise from the x axis."""
    return radius * math.cos(math.radians(deg)), radius * math.sin(math.radians(deg))


def hatch_segments(width: float, height: float, spacing_mm: float = 0.8) -> list[tuple[float, float, float, float]]:
    """Return 45° lines (x1, y1, x2, y2) that hatch the rectangle (0, 0)–(width, height), `spacing_mm` apart."""
    step = spacing_mm * math.sqrt(2)
    segments = []
    count = math.ceil((width + height) / step)
    for k in range(count):
        offset = (k + 0.5) * step - height  # the line y = x − offset
        x1, x2 = max(0.0, offset), min(width, offset + height)
        if x2 - x1 > 1e-6:
            segments.append((x1, x1 - offset, x2, x2 - offset))
    return segments
