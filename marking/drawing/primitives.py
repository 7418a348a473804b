"""What is on a sheet, neutral to any renderer: lines, arcs, polygons and text in millimetres, each with a role.

Coordinates: x to the right, y up. Angles: degrees, counterclockwise from the x axis. The role of a stroke decides
how it looks (`STROKES`), so that all sheets share one look; it is also what scripts and tests find it by.

These are named tuples rather than dataclasses because a set of sheets holds millions of them.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Any, Literal, NamedTuple, TypeVar, final

from ..quantities.angles import Point
from .fonts import REGULAR, Weight, ink_limits_mm, text_width_mm

Anchor = Literal["start", "middle", "end"]

BACK: dict[Anchor, float] = {"start": 0.0, "middle": 0.5, "end": 1.0}
"""Which part of a text lies before its anchor."""

Data = tuple[tuple[str, str], ...]
"""Named values that go with a drawn thing, such as (("stage", "1"),); SVG writes them as data-… attributes."""


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
    """One line of text with its baseline at (x, y); rotated counterclockwise. `grey` from 0 (black) to 1 (white)."""

    x: float
    y: float
    text: str
    size_pt: float
    weight: Weight = REGULAR
    anchor: Anchor = "start"
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
        x, y, text, size_pt, weight, anchor, rotation_deg, *_ = self
        below, above = ink_limits_mm(text, size_pt, weight)
        width = text_width_mm(text, size_pt, weight)
        left = -width * BACK[anchor]
        right = left + width
        if not rotation_deg:  # as most texts are
            left, below, right, above = x + left, y + below, x + right, y + above
            return (left, below), (right, below), (right, above), (left, above)
        cos, sin = math.cos(math.radians(rotation_deg)), math.sin(math.radians(rotation_deg))

        def turned(along: float, up: float) -> Point:
            return x + along * cos - up * sin, y + along * sin + up * cos

        return turned(left, below), turned(right, below), turned(right, above), turned(left, above)


Primitive = Line | Polyline | Arc | Text

new = tuple.__new__
"""Makes a named tuple of its values three times as fast as its own class does. Only for what is made by the hundred:
nothing checks how many values there are."""


@final
class Group:
    """Primitives and groups that belong together; `name` is a part's name ("band") and its class in SVG.

    A group that is moved moves its items only when they are asked for: most are moved several times before that.
    """

    __slots__ = ("_at", "_drawn", "_shift", "data", "name")

    def __init__(
        self, name: str, items: tuple[Primitive | Group, ...], data: Data = (), shift: Point = (0.0, 0.0)
    ) -> None:
        self.name, self.data = name, data
        self._drawn, self._shift = items, shift
        self._at = items if shift == (0.0, 0.0) else None

    @property
    def items(self) -> tuple[Primitive | Group, ...]:
        """What is in the group, in drawing order."""
        if self._at is None:
            dx, dy = self._shift
            self._at = tuple([moved(item, dx, dy) for item in self._drawn])
        return self._at

    def moved(self, dx: float, dy: float) -> Group:
        """Return the same group, moved to the right by `dx` and up by `dy`."""
        x, y = self._shift
        return Group(self.name, self._drawn, self.data, (x + dx, y + dy))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Group) and (self.name, self.items, self.data) == (other.name, other.items, other.data)

    def __hash__(self) -> int:
        return hash((self.name, self.items, self.data))


Worked = TypeVar("Worked")


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
    """A page of exact size and the drawings on it; `stretched` tells that they are, to make good for a printer."""

    width_mm: float
    height_mm: float
    placed: tuple[Placed, ...]
    stretched: bool = False


class LazyPages(Sequence[Page]):
    """Pages that are made when asked for, so that a long document never stands in memory as a whole."""

    def __init__(self, count: int, make: Callable[[int], Page]) -> None:
        self._count = count
        self._make = make

    def __len__(self) -> int:
        return self._count

    def __getitem__(self, index: Any) -> Any:
        return self._make(range(self._count)[index])

    def size_mm(self, index: int) -> tuple[float, float]:
        """Return width and height of a page; a subclass may know them without making it."""
        return self[index][:2]  # type: ignore[no-any-return]

    def worked(self, work: Callable[[Page], Worked]) -> Iterator[Worked]:
        """Yield `work(page)` for every page; a subclass may have other processes do it."""
        return map(work, self)


def worked(pages: Sequence[Page], work: Callable[[Page], Worked]) -> Iterator[Worked]:
    """Yield `work(page)` for every page, by other processes where the pages can."""
    return pages.worked(work) if isinstance(pages, LazyPages) else map(work, pages)


def sizes_mm(pages: Sequence[Page]) -> list[tuple[float, float]]:
    """Return width and height of every page; none is made that knows them unmade."""
    return [pages.size_mm(k) if isinstance(pages, LazyPages) else pages[k][:2] for k in range(len(pages))]


class Document(NamedTuple):
    """Pages with a title and subject for the file's own description, and the `command` that prints them again.

    `use` says what becomes of which printed pages, where that differs. `apart` are documents for files of their own,
    each with the name of its file.
    """

    pages: Sequence[Page]
    title: str = ""
    subject: str = ""
    command: str = ""
    use: str = ""
    apart: tuple[tuple[str, Document], ...] = ()


def groups(group: Group) -> Iterator[Group]:
    """Yield a group and every group within it, in drawing order."""
    yield group
    for item in group.items:
        if isinstance(item, Group):
            yield from groups(item)


def primitives(group: Group) -> Iterator[Primitive]:
    """Yield every primitive of a group and the groups within it, in drawing order."""
    for item in group.items:
        if isinstance(item, Group):
            yield from primitives(item)
        else:
            yield item


Item = TypeVar("Item", Line, Polyline, Arc, Text, Group, Primitive, Primitive | Group)


def moved(item: Item, dx: float, dy: float) -> Item:
    """Return the same primitive or group, moved to the right by `dx` and up by `dy`."""
    if isinstance(item, Line):  # asked in a row, which is faster than matching
        x1, y1, x2, y2, role, data = item
        return new(Line, (x1 + dx, y1 + dy, x2 + dx, y2 + dy, role, data))
    if isinstance(item, Text):
        x, y, text, size_pt, weight, anchor, rotation_deg, role, grey = item
        return new(Text, (x + dx, y + dy, text, size_pt, weight, anchor, rotation_deg, role, grey))
    if isinstance(item, Group):
        return item.moved(dx, dy)
    if isinstance(item, Polyline):
        points, *same = item
        return new(Polyline, (tuple([(x + dx, y + dy) for x, y in points]), *same))
    return item._replace(cx=item.cx + dx, cy=item.cy + dy)
