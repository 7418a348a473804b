"""Play of a fastener in an opening against a polygon library: turn the drawn shapes until they no longer fit.

The shapes: an opening with as many corners as the fastener is one regular polygon; one with twice as many is the union
of two, half a pitch apart. Widths: ISO 691 via GB/T 4390-1995 and ASME B18.2.2 appendix (largest openings), ISO 4014,
ISO 4032, DIN 931 and ASME B18.2.1 (smallest fasteners); sources and confidence as in the checks of those tables.
"""

from __future__ import annotations

import math

import pytest
from shapely import affinity
from shapely.geometry import Polygon

from kit.each import each
from marking.fastening.opening import play_deg
from marking.fastening.socket import parse_socket

# largest opening, smallest fastener, across flats; mm
HEXAGONS = [
    (10.19, 9.78),  # 10 mm, ISO 4014 M6
    (19.36, 18.67),  # 19 mm, DIN 931 M12
    (27.48, 26.16),  # 27 mm, ISO 4032 M18
    (36.60, 35.00),  # 36 mm, ISO 4032 M24
    (19.3802, 18.694),  # 3/4 in, ASME B18.2.1, 1/2 in
    (50.01, 50.00),  # as good as no play
    (11.00, 10.00),  # far more than any standard allows
]
# No published table of square fasteners is used: plain numbers in the proportion of the hexagons above.
SQUARES = [(13.2, 13.0), (19.36, 18.67), (25.0, 22.0)]

CLOSE_DEG = 1e-6


def polygon(sides: int, across_flats: float) -> Polygon:
    radius = across_flats / 2 / math.cos(math.pi / sides)
    angles = [math.tau * k / sides for k in range(sides)]
    return Polygon([(radius * math.cos(angle), radius * math.sin(angle)) for angle in angles])


def mouth(sides: int, points: int, across_flats: float) -> Polygon:
    single = polygon(sides, across_flats)
    if points == sides:
        return single
    return single.union(affinity.rotate(single, 180 / sides, origin=(0, 0)))


def fits(fastener: Polygon, opening: Polygon, turned_deg: float, shift: tuple[float, float] = (0, 0)) -> bool:
    moved = affinity.translate(affinity.rotate(fastener, turned_deg, origin=(0, 0)), *shift)
    return bool(opening.covers(moved))


def largest_turn(sides: int, points: int, opening_mm: float, fastener_mm: float) -> float:
    """Return the largest turn at which the fastener is still inside, found by halving."""
    fastener, opening = polygon(sides, fastener_mm), mouth(sides, points, opening_mm)
    low, high = 0.0, 180.0 / points
    assert fits(fastener, opening, low)
    assert not fits(fastener, opening, high)
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if fits(fastener, opening, middle) else (low, middle)
    return low


@each("points", [6, 12])
@each(("opening_mm", "fastener_mm"), HEXAGONS)
def test_a_hexagon_turns_as_far_as_its_drawing_does(points: int, opening_mm: float, fastener_mm: float) -> None:
    drawn = largest_turn(6, points, opening_mm, fastener_mm)
    assert play_deg(6, opening_mm, fastener_mm) == pytest.approx(drawn, abs=CLOSE_DEG)


@each("points", [4, 8])
@each(("opening_mm", "fastener_mm"), SQUARES)
def test_a_square_turns_as_far_as_its_drawing_does(points: int, opening_mm: float, fastener_mm: float) -> None:
    drawn = largest_turn(4, points, opening_mm, fastener_mm)
    assert play_deg(4, opening_mm, fastener_mm) == pytest.approx(drawn, abs=CLOSE_DEG)


@each(("sides", "points"), [(6, 6), (6, 12), (4, 4), (4, 8)])
def test_play_is_the_same_in_both_directions(sides: int, points: int) -> None:
    fastener, opening = polygon(sides, 18.67), mouth(sides, points, 19.36)
    play = play_deg(sides, 19.36, 18.67)
    for way in (-1, 1):
        assert fits(fastener, opening, way * (play - 0.001))
        assert not fits(fastener, opening, way * (play + 0.001))


@each(("sides", "points"), [(6, 6), (6, 12), (4, 4), (4, 8)])
def test_pushing_the_fastener_aside_gains_no_play(sides: int, points: int) -> None:
    fastener, opening = polygon(sides, 18.67), mouth(sides, points, 19.36)
    turned = play_deg(sides, 19.36, 18.67) + 0.01
    shifts = [
        (0.02 * step * math.cos(math.radians(way)), 0.02 * step * math.sin(math.radians(way)))
        for step in range(1, 20)
        for way in range(0, 360, 15)
    ]
    assert any(fits(fastener, opening, 0.0, shift) for shift in shifts)
    assert not any(fits(fastener, opening, turned, shift) for shift in shifts)


# points, opening, largest opening of that size (ISO 691), smallest fastener of that size, its name
WORST_PAIRS = [
    (12, "19 mm", 19.36, 18.67, "DIN 931/933 (old width) M12"),
    (6, "10 mm", 10.19, 9.78, "ISO 4014 M6"),
    (6, "27 mm", 27.48, 26.16, "ISO 4032 M18"),
    (12, "3/4 in", 19.3802, 18.694, "ASME B18.2.1 hex cap screw 1/2"),
]


@each(("points", "size", "opening_mm", "fastener_mm", "name"), WORST_PAIRS)
def test_a_sockets_play_is_that_of_the_worst_pair_in_the_standards(
    points: int, size: str, opening_mm: float, fastener_mm: float, name: str
) -> None:
    play = parse_socket(points, "1/2", od="45 mm", opening=size).play()
    assert play is not None
    assert play.fastener == name
    assert play.deg == pytest.approx(largest_turn(6, points, opening_mm, fastener_mm), abs=1e-3)
