"""The closed length of a wrapped strip against the area of the ring that it fills, and against tables of circles.

Neutral fibre: bending neither adds nor removes material, so the ring that a strip of length L and thickness t fills
has the area L·t (mechanics of bending; any textbook). Circumferences of circles: as printed in handbooks' tables, from
memory, and worked out again by hand from π.
"""

from __future__ import annotations

import math

import pytest

from kit.each import each
from marking.quantities.angles import arc_mm, closed_length_mm, od_from_around_mm

# diameter, circumference as printed in tables of circles
CIRCLES = [(1.0, 3.14159), (10.0, 31.4159), (12.0, 37.6991), (25.0, 78.5398), (50.0, 157.0796), (100.0, 314.159)]

# outside diameter and stock; mm
WRAPS = [(8.0, 0.08), (12.0, 0.1), (27.8, 0.1), (27.8, 0.3), (96.0, 0.25), (300.0, 1.0)]


@each(("diameter", "circumference"), CIRCLES)
def test_a_strip_without_thickness_is_as_long_as_the_circle(diameter: float, circumference: float) -> None:
    assert closed_length_mm(diameter, 0.0) == pytest.approx(circumference, rel=2e-6)


@each(("od", "stock"), WRAPS)
def test_a_closed_strip_fills_its_ring(od: float, stock: float) -> None:
    ring_area = math.pi * ((od / 2 + stock) ** 2 - (od / 2) ** 2)
    assert closed_length_mm(od, stock) == pytest.approx(ring_area / stock, rel=1e-9)


@each(("od", "stock"), WRAPS)
def test_the_inside_is_squeezed_as_much_as_the_outside_is_stretched(od: float, stock: float) -> None:
    length = closed_length_mm(od, stock)
    inside, outside = math.tau * (od / 2), math.tau * (od / 2 + stock)
    assert length - inside == pytest.approx(outside - length, abs=1e-9)
    assert inside < length < outside


@each(("od", "stock"), WRAPS)
def test_the_length_round_a_socket_gives_its_diameter_back(od: float, stock: float) -> None:
    ring_area = math.pi * ((od / 2 + stock) ** 2 - (od / 2) ** 2)
    assert od_from_around_mm(ring_area / stock, stock) == pytest.approx(od, abs=1e-9)


@each(("diameter", "circumference"), CIRCLES)
@each(("deg", "part"), [(60.0, 1 / 6), (90.0, 1 / 4), (120.0, 1 / 3), (270.0, 3 / 4)])
def test_a_part_of_a_turn_is_that_part_of_the_circle(
    diameter: float, circumference: float, deg: float, part: float
) -> None:
    assert arc_mm(closed_length_mm(diameter, 0.0), deg) == pytest.approx(part * circumference, rel=2e-6)
