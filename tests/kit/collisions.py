"""Finds texts that touch anything, and whatever lies off the printable page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain
from typing import Any

import numpy as np
import shapely
from hypothesis import strategies as st
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from marking.drawing.primitives import Arc, Document, Line, Page, Polyline, Primitive, Text, primitives
from marking.drawing.transform import moved
from marking.sheets.paper import EDGE_MM

Shapes = NDArray[Any]


def shape(item: Primitive) -> BaseGeometry:
    geometry: BaseGeometry = _shapes([item], np.zeros((1, 2)))[0]
    return geometry


def _shapes(items: Sequence[Primitive], shifts: NDArray[np.float64]) -> Shapes:
    """The shapes of what is drawn, each moved: all strokes made in one call, and all areas, as there are thousands."""
    found = np.empty(len(items), dtype=object)
    lines = [k for k, item in enumerate(items) if isinstance(item, Line)]
    ends = np.array([items[k][:4] for k in lines], float).reshape(-1, 2, 2)
    found[lines] = shapely.linestrings(ends + shifts[lines][:, np.newaxis])
    areas = [isinstance(item, Text) or (isinstance(item, Polyline) and item.fill is not None) for item in items]
    for area, make in ((False, shapely.linestrings), (True, shapely.linearrings)):
        kind = [k for k, each in enumerate(areas) if each is area and not isinstance(items[k], Line)]
        if kind:
            points = [_points(items[k]) for k in kind]
            of = np.repeat(np.arange(len(kind)), [len(each) for each in points])
            numbers = np.fromiter(chain.from_iterable(chain.from_iterable(points)), float, 2 * len(of))
            made = make(numbers.reshape(-1, 2) + shifts[kind][of], indices=of)
            found[kind] = shapely.polygons(made) if area else made
    return found


def _points(item: Primitive) -> Sequence[tuple[float, float]]:
    if isinstance(item, Text):
        return item.box
    if isinstance(item, Polyline):
        return item.points
    assert isinstance(item, Arc), "lines are all made at once"
    angles = np.radians(item.start_deg + item.sweep_deg * np.linspace(0.0, 1.0, 91))
    points = item.cx + item.radius * np.cos(angles), item.cy + item.radius * np.sin(angles)
    return list(zip(*(each.tolist() for each in points), strict=True))


def placed_items(page: Page) -> Iterator[Primitive]:
    for placed in page.placed:
        for item in primitives(placed.drawing.content):
            yield moved(item, placed.x, placed.y)


def collisions(page: Page) -> list[str]:
    """Every text whose ink box meets another text's or any other ink of the page but the black that it stands on."""
    return _meetings(*_laid(page))


def _laid(page: Page) -> tuple[list[Primitive], Shapes]:
    """What is drawn on a page, and its shapes at their places."""
    parts = [list(primitives(placed.drawing.content)) for placed in page.placed]
    shifts = np.repeat([(placed.x, placed.y) for placed in page.placed], list(map(len, parts)), axis=0)
    items = list(chain.from_iterable(parts))
    return items, _shapes(items, shifts)


def _meetings(items: list[Primitive], shapes: Shapes) -> list[str]:
    inked = [k for k, item in enumerate(items) if not isinstance(item, Text) or item.text]
    texts = [k for k in inked if isinstance(items[k], Text)]
    found = []
    for a, b in STRtree(shapes[inked]).query(shapes[texts], predicate="intersects").T:
        one, other = texts[a], inked[b]
        if one != other and not on_black(items[one], items[other], shapes[one], shapes[other]):
            name = items[other].text if isinstance(items[other], Text) else items[other].role
            found.append(f"{items[one].text!r} meets {name!r}")
    return found


def on_black(text: Primitive, ground: Primitive, letters: BaseGeometry, area: BaseGeometry) -> bool:
    """White letters wholly on a black area are meant to be there."""
    if not isinstance(text, Text) or not isinstance(ground, Polyline):
        return False
    return text.grey == 1.0 and ground.fill == 0.0 and area.contains(letters)


def check(document: Document) -> None:
    for page in document.pages:
        items, shapes = _laid(page)
        assert _meetings(items, shapes) == []
        bounds = shapely.bounds(shapes) - EDGE_MM
        room = page.width_mm - 2 * EDGE_MM, page.height_mm - 2 * EDGE_MM
        off = np.flatnonzero(~((bounds[:, :2] >= 0) & (bounds[:, 2:] <= room)).all(axis=1))
        assert not len(off), f"{items[off[0]]} is off the printable page"


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
