"""Finds texts that touch anything, and whatever lies off the printable page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain

import numpy as np
import shapely
from hypothesis import strategies as st
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from marking.drawing.primitives import Document, Line, Page, Polyline, Primitive, Text, moved, primitives
from marking.sheets.paper import EDGE_MM


class Laid:
    """What is drawn on a page, at its place: the points of all of it in a row, from `first` on those of each."""

    def __init__(self, items: Sequence[Primitive], shifts: NDArray[np.float64]) -> None:
        self.items = items
        numbers = [_numbers(item) for item in items]
        counts = np.fromiter(map(len, numbers), np.intp, len(numbers)) // 2
        points = np.fromiter(chain.from_iterable(numbers), float, 2 * counts.sum()).reshape(-1, 2)
        self._points = points + np.repeat(shifts, counts, axis=0)
        self._first = np.concatenate(([0], np.cumsum(counts)))
        self.low = np.minimum.reduceat(self._points, self._first[:-1])
        self.high = np.maximum.reduceat(self._points, self._first[:-1])

    def shapes(self, numbers: Sequence[int]) -> dict[int, BaseGeometry]:
        """The shapes of some of the items: all strokes made in one call, and all areas."""
        found: dict[int, BaseGeometry] = {}
        areas = [_is_area(self.items[k]) for k in numbers]
        for area, make in ((False, shapely.linestrings), (True, shapely.linearrings)):
            kind = [k for k, is_area in zip(numbers, areas, strict=True) if is_area is area]
            if kind:
                points = [self._points[self._first[k] : self._first[k + 1]] for k in kind]
                made = make(np.concatenate(points), indices=np.repeat(np.arange(len(kind)), list(map(len, points))))
                found.update(zip(kind, shapely.polygons(made) if area else made, strict=True))
        return found

    def meetings(self) -> list[str]:
        inked = [k for k, item in enumerate(self.items) if not isinstance(item, Text) or item.text]
        texts = [k for k in inked if isinstance(self.items[k], Text)]
        diagonals = shapely.linestrings(np.stack((self.low, self.high), axis=1))  # made faster than their bounds
        near = STRtree(diagonals[inked]).query(diagonals[texts]).T.tolist()
        pairs = [(texts[a], inked[b]) for a, b in near if texts[a] != inked[b]]
        shapes = self.shapes(sorted(set(chain.from_iterable(pairs))))
        one, other = (np.array([shapes[pair[side]] for pair in pairs], dtype=object) for side in (0, 1))
        return [
            f"{self.items[a].text!r} meets {_name(self.items[b])!r}"
            for (a, b), meet in zip(pairs, shapely.intersects(one, other), strict=True)
            if meet and not on_black(self.items[a], self.items[b], shapes[a], shapes[b])
        ]


def shape(item: Primitive) -> BaseGeometry:
    points = np.reshape(_numbers(item), (-1, 2))
    made: BaseGeometry = shapely.polygons(points) if _is_area(item) else shapely.linestrings(points)
    return made


def _is_area(item: Primitive) -> bool:
    """A text, or what is filled; all else is strokes."""
    return isinstance(item, Text) or getattr(item, "fill", None) is not None


def _numbers(item: Primitive) -> Sequence[float]:
    """The points of a primitive, x and y of each in a row."""
    if isinstance(item, Line):
        return item[:4]
    if isinstance(item, Text | Polyline):
        return tuple(chain.from_iterable(item.box if isinstance(item, Text) else item.points))
    angles = np.radians(item.start_deg + item.sweep_deg * np.linspace(0.0, 1.0, 91))
    points = np.stack((item.cx + item.radius * np.cos(angles), item.cy + item.radius * np.sin(angles)), axis=1)
    return points.ravel().tolist()


def _name(item: Primitive) -> str:
    return item.text if isinstance(item, Text) else item.role


def placed_items(page: Page) -> Iterator[Primitive]:
    for placed in page.placed:
        for item in primitives(placed.drawing.content):
            yield moved(item, placed.x, placed.y)


def collisions(page: Page) -> list[str]:
    """Every text whose ink box meets another text's or any other ink of the page but the black that it stands on."""
    return _laid(page).meetings()


def _laid(page: Page) -> Laid:
    parts = [list(primitives(placed.drawing.content)) for placed in page.placed]
    shifts = np.repeat([(placed.x, placed.y) for placed in page.placed], list(map(len, parts)), axis=0)
    return Laid(list(chain.from_iterable(parts)), shifts)


def on_black(text: Primitive, ground: Primitive, letters: BaseGeometry, area: BaseGeometry) -> bool:
    """White letters wholly on a black area are meant to be there."""
    if not isinstance(text, Text) or not isinstance(ground, Polyline):
        return False
    return text.grey == 1.0 and ground.fill == 0.0 and area.contains(letters)


def check(document: Document) -> None:
    for page in document.pages:
        laid = _laid(page)
        assert laid.meetings() == []
        room = page.width_mm - EDGE_MM, page.height_mm - EDGE_MM
        off = np.flatnonzero(~((laid.low >= EDGE_MM) & (laid.high <= room)).all(axis=1))
        assert not len(off), f"{laid.items[off[0]]} is off the printable page"


def turn_texts() -> st.SearchStrategy[str]:
    turn = st.integers(5, 800)
    plus, minus = st.integers(0, 60), st.integers(0, 4)
    with_tolerance = st.builds("{}° +{}/-{}".format, st.integers(61, 800), plus, minus)
    return with_tolerance | st.builds("{}°".format, turn) | st.builds("{}° ±4".format, turn)


snug_texts = st.sampled_from([
    "110 N·m + ", "1234.5 lbf·ft + ", "hand tight + ", "", "12,5 kgf·m then ", "20 N·m, 60 N·m, ",
    "9 N·m, loosen, 9 N·m, ",
])  # fmt: skip
specs = st.builds(
    lambda snug, stages, last: snug + " then ".join(stages) + last,
    snug_texts,
    st.lists(turn_texts(), min_size=1, max_size=3),
    st.sampled_from(["", "", ", then 150 N·m"]),
)
sockets = st.fixed_dictionaries(
    {
        "points": st.sampled_from([4, 6, 8, 12]),
        "drive": st.sampled_from(["1/4", "3/8", "1/2", "3/4", "1"]),
        "od": st.floats(9.5, 130).map("{:.2f} mm".format) | st.sampled_from(["11 mm", "28 mm", "96 mm", "1-1/8 in"]),
        "thread": st.sampled_from(["right", "left"]),
        "start": st.sampled_from(["corner", "flat"]),
        "ring": st.sampled_from([None, "full", "sector"]),
        "paper": st.sampled_from(["a4", "letter", "a5", "a3", "legal", "200x240"]),
        "height": st.none() | st.integers(12, 40).map(lambda mm: f"{mm} mm"),
        "fasteners": st.integers(1, 60),
        "copies": st.integers(1, 3),
    }
)  # fmt: skip
