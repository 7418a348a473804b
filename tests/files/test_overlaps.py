"""What lies on each other is burnt once: whole strokes, parts of them, and what lies on a cut."""

from __future__ import annotations

import math

import pytest

from kit.each import each
from marking.drawing.primitives import Group, Line, Polyline, primitives
from marking.files.overlaps import once, sides_of

BOX = Polyline(((0, 0), (10, 0), (10, 5), (0, 5)), "box", closed=True)
BESIDE = Polyline(((10, 0), (20, 0), (20, 5), (10, 5)), "box", closed=True)


def burnt_mm(*items: Line | Polyline, cuts: tuple[Line, ...] = ()) -> float:
    groups = once([Group("marks", items)], [side for cut in cuts for side in sides_of(cut)])
    found = [item for group in groups for item in primitives(group)]
    return math.fsum(
        math.dist(*side) for item in found if isinstance(item, (Line, Polyline)) for side in sides_of(item)
    )


def test_boxes_that_touch_share_their_side() -> None:
    assert burnt_mm(BOX, BESIDE) == pytest.approx(55)


def test_strokes_that_meet_on_one_line_are_burnt_once_each() -> None:
    assert burnt_mm(Line(0, 0, 8, 0, "degree"), Line(6, 0, 10, 0, "degree")) == pytest.approx(10)
    assert burnt_mm(Line(0, 0, 4, 3, "degree"), Line(8, 6, 2, 1.5, "degree")) == pytest.approx(10)


@each("apart", [0.003, 1.0])
def test_strokes_beside_each_other_both_stay(apart: float) -> None:
    assert burnt_mm(Line(0, 0, 8, 0, "degree"), Line(0, apart, 8, apart, "degree")) == pytest.approx(16)


def test_the_wider_stroke_stays_whole() -> None:
    thin, start = Line(0, 0, 0, 20, "degree"), Line(0, 5, 0, 10, "start")
    (group,) = once([Group("marks", (thin, start))], [])
    assert start in group.items
    assert sorted((line.y1, line.y2) for line in primitives(group) if isinstance(line, Line)) == [
        (0, 5), (5, 10), (10, 20),
    ]  # fmt: skip


def test_what_lies_on_a_cut_is_cut_alone() -> None:
    cut = Line(0, 0, 30, 0, "cut")
    assert burnt_mm(Line(5, 0, 10, 0, "row"), cuts=(cut,)) == 0
    assert burnt_mm(BOX, cuts=(cut,)) == pytest.approx(20)


@each("y", [0.0005, 25.4 / 64, 25.4 / 32, 1 / 32, 12.3455])
def test_noise_of_computing_hides_nothing(y: float) -> None:
    two = Line(0, y, 8, y, "degree"), Line(0, math.nextafter(y, 0), 8, math.nextafter(y, 0), "degree")
    assert burnt_mm(*two) == pytest.approx(8)
    assert burnt_mm(*two[::-1]) == pytest.approx(8)
