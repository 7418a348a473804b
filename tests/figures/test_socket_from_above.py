"""A socket seen from above: the opening's outline holds its fastener, and turning the view brings marks to START."""

from __future__ import annotations

import math
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest
from numpy.typing import NDArray
from shapely import Polygon
from shapely.affinity import rotate

from kit.collisions import collisions, placed_items, shape
from kit.each import each
from kit.measure import SVG, apart_deg, direction_deg, groups, of_role, only, strokes, svg_root
from kit.turning import polygon_middle, tightened
from marking.drawing.primitives import Document, Drawing, Page, Placed, moved
from marking.errors import MarkingError
from marking.fastening.opening import opening_outline
from marking.figures.socket_from_above import draw_socket, socket_reach_mm

Vector = NDArray[np.float64]

TURNS = (30.0, 45.0, 60.0, 90.0, 120.0, 180.0)
PAGE_MM = 200.0
SOCKETS = [(points, od, across) for points in (4, 6, 8, 12) for od, across in ((10.0, 5.5), (27.8, 17.0), (80.0, 50.0))]


def a_page(points: int, od: float = 30.0, across: float = 18.0, thread: str = "right", **more: Any) -> Page:
    """A view with its axis in the middle of a page."""
    group = draw_socket(points, od, across, clockwise=thread == "right", **more)
    drawing = Drawing(PAGE_MM, PAGE_MM, moved(group, PAGE_MM / 2, PAGE_MM / 2))
    return Page(PAGE_MM, PAGE_MM, (Placed(drawing, 0, 0),))


def a_view(points: int, thread: str = "right", **more: Any) -> ElementTree.Element:
    page = a_page(points, thread=thread, **more)
    (view,) = groups(svg_root(page, Document((page,))), "socket-view")
    return view


def from_axis(x: float, y: float) -> Vector:
    """A place of the SVG seen from the axis, y turned upwards; strokes() has turned it already."""
    return np.array([x - PAGE_MM / 2, y + PAGE_MM / 2, 0.0])


def texts(view: ElementTree.Element, role: str) -> dict[str, Vector]:
    """Where the middle of every text of a role stands, seen from the axis."""
    found = {}
    for element in view.iter(f"{SVG}text"):
        if element.get("class") == role:
            rise = 0.33 * float(element.get("font-size", "nan"))
            found[str(element.text)] = from_axis(float(element.get("x", "nan")), -float(element.get("y", "nan")) + rise)
    return found


def unit(vector: Vector) -> Vector:
    return np.asarray(vector / np.linalg.norm(vector))


# -- the outline


@each("points", [4, 6, 8, 12])
def test_corners_share_one_circle_and_are_equally_apart(points: int) -> None:
    outline = opening_outline(points, 19.0)
    corners = outline[:: len(outline) // points]
    assert len(corners) == points
    sides = 6 if points in (6, 12) else 4
    for k, (x, y) in enumerate(corners):
        assert math.hypot(x, y) == pytest.approx(19 / math.cos(math.radians(180 / sides)) / 2)
        assert apart_deg(direction_deg(x, y), 90 + k * 360 / points) == pytest.approx(0, abs=1e-9)


@each(("points", "sides", "turned"), [(4, 4, 0), (6, 6, 0), (8, 4, 45), (12, 6, 30)])
def test_the_opening_is_the_union_of_the_fasteners_it_takes(points: int, sides: int, turned: float) -> None:
    """Squares and hexagons built here from their flats: half planes at 8.5 mm from the axis, not from corners."""
    fastener = Polygon([(-50, -50), (50, -50), (50, 50), (-50, 50)])
    for k in range(sides):
        half_plane = Polygon([(-99, -99), (99, -99), (99, 8.5), (-99, 8.5)])
        fastener = fastener.intersection(rotate(half_plane, 180 / sides + 360 / sides * k, (0, 0)))
    union = fastener.union(rotate(fastener, turned, (0, 0)))
    assert Polygon(opening_outline(points, 17.0)).symmetric_difference(union).area < 1e-6


def test_the_first_corner_lies_where_asked() -> None:
    x, y = opening_outline(6, 19.0, first_corner_deg=210.0)[0]
    assert direction_deg(x, y) == pytest.approx(210)


# -- directions


@each("thread", ["right", "left"])
@each("points", [4, 6, 8, 12])
def test_the_mark_of_the_turn_arrives_where_start_was(points: int, thread: str) -> None:
    lines = strokes(a_view(points, thread, turns_deg=TURNS))
    start = only(lines, "start")
    witness = from_axis(start.x2, start.y2)
    assert np.allclose(unit(witness), [0, 1, 0], atol=1e-4), "START points up"
    marks = of_role(lines, "turn")
    assert [float(mark.data["deg"]) for mark in marks] == list(TURNS)
    for mark in [*marks, *of_role(lines, "turn-leader")]:
        for x, y in ((mark.x1, mark.y1), (mark.x2, mark.y2)):
            arrived = tightened(from_axis(x, y), float(mark.data["deg"]), thread)
            assert np.allclose(unit(arrived), unit(witness), atol=1e-4), mark


@each("thread", ["right", "left"])
@each("points", [4, 6, 8, 12])
def test_corners_come_by_in_the_order_of_their_numbers(points: int, thread: str) -> None:
    numbers = texts(a_view(points, thread), "corner-number")
    assert sorted(map(int, numbers)) == list(range(1, points + 1))
    for number, place in numbers.items():
        arrived = unit(tightened(place, (int(number) - 1) * 360 / points, thread))
        assert np.allclose(arrived, [0, 1, 0], atol=0.02), number


@each("thread", ["right", "left"])
def test_the_degrees_stand_at_their_marks(thread: str) -> None:
    for text, place in texts(a_view(6, thread, turns_deg=TURNS), "turn-label").items():
        arrived = unit(tightened(place, float(text.removesuffix("°")), thread))
        assert np.allclose(arrived, [0, 1, 0], atol=0.02), text


@each("thread", ["right", "left"])
@each("od", [12.0, 30.0, 80.0])
def test_the_arrow_points_the_way_the_socket_turns(od: float, thread: str) -> None:
    view = a_view(6, thread, od=od, across=od / 2)
    (head,) = [element for element in view.iter() if element.get("class") == "arrow-head"]
    tip_x, tip_y = map(float, str(head.get("points")).split()[0].split(","))
    tip = from_axis(tip_x, -tip_y)
    middle = from_axis(*polygon_middle(head))
    assert np.dot(tightened(middle, 1.0, thread) - middle, tip - middle) > 0


def test_every_corner_of_the_outline_meets_its_number() -> None:
    for points in (4, 6, 8, 12):
        outline = opening_outline(points, 18.0)
        numbers = texts(a_view(points), "corner-number").values()
        for x, y in outline[:: len(outline) // points]:
            assert any(np.allclose(unit(np.array([x, y, 0.0])), unit(place), atol=0.02) for place in numbers)


# -- the view


def test_a_leader_joins_a_turn_to_its_degrees_where_no_corner_lies_between() -> None:
    def led(points: int) -> set[str]:
        return {line.data["deg"] for line in of_role(strokes(a_view(points, turns_deg=TURNS)), "turn-leader")}

    assert led(12) == {"45"}
    assert led(6) == {"30", "45", "90"}
    assert led(4) == {"30", "45", "60", "120"}


def test_a_turn_past_a_full_one_is_drawn_at_its_remainder() -> None:
    lines = strokes(a_view(12, turns_deg=(450.0,)))
    mark = only(lines, "turn")
    assert np.allclose(unit(from_axis(mark.x2, mark.y2)), [-1, 0, 0], atol=1e-4)
    assert not of_role(lines, "turn-leader"), "it ends on corner 4"


@each("thread", ["right", "left"])
@each(("points", "od", "across"), SOCKETS)
def test_no_text_of_a_view_touches_anything(points: int, od: float, across: float, thread: str) -> None:
    turns = TURNS if od > 20 else (90.0, 180.0)
    drive = across / 2.2
    page = a_page(points, od, across, thread, turns_deg=turns, drive_mm=drive, size_pt=8.0 if od > 20 else 5.0)
    assert collisions(page) == []


@each(("points", "od", "across"), SOCKETS)
def test_a_view_stays_within_its_reach(points: int, od: float, across: float) -> None:
    sideways, up = socket_reach_mm(od)
    middle = PAGE_MM / 2
    for item in placed_items(a_page(points, od, across, turns_deg=TURNS)):
        left, low, right, high = shape(item).bounds
        assert middle - sideways <= left <= right <= middle + sideways, item
        assert middle - up <= low <= high <= middle + up, item


@each(
    ("points", "od", "across", "word"),
    [
        (5, 30.0, 18.0, "5 points"),
        (6, 30.0, 0.0, "opening is 0 mm"),
        (6, 30.0, -19.0, "opening is -19 mm"),
        (6, 30.0, math.nan, "opening is nan"),
        (6, 30.0, math.inf, "opening is inf"),
        (6, 20.0, 18.0, "cannot hold this opening"),
        (6, math.nan, 18.0, "cannot hold this opening"),
        (6, math.inf, 18.0, "cannot hold this opening"),
    ],
)
def test_sockets_that_cannot_exist_are_refused(points: int, od: float, across: float, word: str) -> None:
    with pytest.raises(MarkingError, match=word):
        draw_socket(points, od, across)
