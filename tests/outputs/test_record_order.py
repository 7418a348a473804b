"""The order of tightening: crosswise on a circle, from the middle outward in rows."""

from __future__ import annotations

import itertools
import math

import pytest

from kit.each import each
from marking.errors import RangeError
from marking.outputs.record.order import circle_places, crosswise, middle_outward, row_places
from marking.quantities.angles import Point

COUNTS = range(1, 61)


def by_hand(text: str) -> tuple[int, ...]:
    return tuple(int(number) for number in text.split())


def imbalances(places: tuple[Point, ...], order: tuple[int, ...]) -> list[float]:
    """How far the sum of the tightened fasteners' places lies from the middle, after each fastener."""
    xs = itertools.accumulate(places[position - 1][0] for position in order)
    ys = itertools.accumulate(places[position - 1][1] for position in order)
    return [math.hypot(x, y) for x, y in zip(xs, ys, strict=True)]


# -- circles


def test_positions_are_numbered_clockwise_from_the_top() -> None:
    top, right, bottom, left = circle_places(4)
    assert top == pytest.approx((0, 1))
    assert right == pytest.approx((1, 0))
    assert bottom == pytest.approx((0, -1))
    assert left == pytest.approx((-1, 0))


@each("count", COUNTS[1:])
def test_fasteners_of_a_circle_are_evenly_apart(count: int) -> None:
    places = circle_places(count)
    gaps = [math.dist(a, b) for a, b in itertools.pairwise((*places, places[0]))]
    assert gaps == pytest.approx([2 * math.sin(math.pi / count)] * count)
    assert [math.hypot(*place) for place in places] == pytest.approx([1.0] * count)


@each(
    "order",
    [
        "1 3 2 4",
        "1 5 3 7 2 6 4 8",
        "1 7 4 10 2 8 5 11 3 9 6 12",
        "1 9 5 13 3 11 7 15 2 10 6 14 4 12 8 16",
        "1 11 6 16 3 13 8 18 5 15 10 20 2 12 7 17 4 14 9 19",
        "1 13 7 19 4 16 10 22 2 14 8 20 5 17 11 23 3 15 9 21 6 18 12 24",
    ],
)
def test_multiples_of_four_follow_the_usual_cross_pattern(order: str) -> None:
    """Common practice on flanges, no published source; the orders are typed from memory. Confidence: fair."""
    assert crosswise(len(order.split())) == by_hand(order)


def test_five_are_tightened_as_a_star() -> None:
    """Common practice on wheels, no published source."""
    assert crosswise(5) == by_hand("1 3 5 2 4")


@each("count", COUNTS)
def test_every_fastener_of_a_circle_comes_once_and_the_first_position_first(count: int) -> None:
    order = crosswise(count)
    assert sorted(order) == list(range(1, count + 1))
    assert order[0] == 1


@each("count", COUNTS[1::2])
def test_pairs_of_an_even_circle_stand_opposite_and_pull_evenly(count: int) -> None:
    places, order = circle_places(count), crosswise(count)
    for one, other in zip(order[::2], order[1::2], strict=True):
        assert math.dist(places[one - 1], places[other - 1]) == pytest.approx(2.0)
    assert imbalances(places, order)[1::2] == pytest.approx([0.0] * (count // 2), abs=1e-9)


@each("count", COUNTS[3::4])
def test_fours_are_crosses(count: int) -> None:
    places, order = circle_places(count), crosswise(count)
    for start in range(0, count, 4):
        first, second, third, fourth = (places[position - 1] for position in order[start : start + 4])
        assert math.dist(first, third) == pytest.approx(math.sqrt(2))
        assert math.dist(second, third) == pytest.approx(math.sqrt(2))
        assert math.dist(third, fourth) == pytest.approx(2.0)


@each("count", COUNTS[::2])
def test_an_odd_circle_is_never_two_fasteners_out_of_balance(count: int) -> None:
    assert max(imbalances(circle_places(count), crosswise(count))) < 2.0


def test_the_measure_of_balance_sees_a_circle_tightened_round_and_round() -> None:
    assert max(imbalances(circle_places(9), tuple(range(1, 10)))) > 2.0


@each("count", COUNTS[2:])
def test_each_beginning_is_as_far_as_possible_from_everything_tightened(count: int) -> None:
    """Looked at on the circle itself: no other cross, pair or fastener left would be farther from all before it."""
    places, order = circle_places(count), crosswise(count)
    size = 4 if count % 4 == 0 else 2 if count % 2 == 0 else 1
    blocks = [order[start : start + size] for start in range(0, count, size)]

    distance = dict.fromkeys(order, math.inf)  # of each fastener to the nearest one tightened
    for number, block in enumerate(blocks[:-1], 1):
        for a in order:
            distance[a] = min(distance[a], *(math.dist(places[a - 1], places[b - 1]) for b in block))
        farness = [min(distance[a] for a in later) for later in blocks[number:]]
        assert farness[0] == pytest.approx(max(farness))


# -- rows


ROW_PATTERNS = [(rows * columns, rows) for rows in range(1, 7) for columns in range(1, min(30, 60 // rows) + 1)]


def test_ten_in_two_rows_go_from_the_middle_outward_and_cross_over() -> None:
    """Common practice on cylinder heads, no published source. Seen from above:  7 3 1 5 9 / 10 6 2 4 8."""
    assert middle_outward(10, 2) == by_hand("3 8 2 9 4 7 1 10 5 6")


def test_four_in_two_rows_are_tightened_crosswise() -> None:
    places = row_places(4, 2)
    first, second, third, fourth = (places[position - 1] for position in middle_outward(4, 2))
    assert (first[0], first[1]) == (-second[0], -second[1])
    assert (third[0], third[1]) == (-fourth[0], -fourth[1])


def test_a_fastener_in_the_middle_comes_first() -> None:
    assert middle_outward(5, 1)[0] == 3
    assert middle_outward(15, 3)[0] == 8


@each("pattern", ROW_PATTERNS)
def test_rows_are_numbered_from_left_to_right_and_from_the_top_one_pitch_apart(pattern: tuple[int, int]) -> None:
    count, rows = pattern
    places = row_places(count, rows)
    columns = count // rows
    assert sum(x for x, _ in places) == sum(y for _, y in places) == 0
    for number, (x, y) in enumerate(places):
        assert x - places[0][0] == number % columns
        assert places[0][1] - y == number // columns


@each("pattern", ROW_PATTERNS)
def test_every_fastener_of_the_rows_comes_once_and_none_nearer_the_middle_than_one_before(
    pattern: tuple[int, int],
) -> None:
    places, order = row_places(*pattern), middle_outward(*pattern)
    assert sorted(order) == list(range(1, pattern[0] + 1))
    distances = [math.hypot(*places[position - 1]) for position in order]
    assert distances == sorted(distances)


@each("pattern", ROW_PATTERNS)
def test_pairs_of_rows_stand_opposite_through_the_middle_and_pull_evenly(pattern: tuple[int, int]) -> None:
    places, order = row_places(*pattern), middle_outward(*pattern)
    alone = pattern[0] % 2
    after_pairs = imbalances(places, order)[alone + 1 :: 2]
    assert after_pairs == pytest.approx([0.0] * (pattern[0] // 2), abs=1e-9)


# -- limits


@each("count", [-1, 0, 201, 10**30])
def test_counts_outside_the_limits_are_refused(count: int) -> None:
    for call in (circle_places, crosswise, row_places, middle_outward):
        with pytest.raises(RangeError, match="1 to 200"):
            call(count)


@each(
    ("count", "rows", "reason"),
    [
        (15, 2, "expected rows 1 or 3 or 5"), (13, 2, "expected rows 1;"), (59, 2, "equal rows of at most 30"),
        (58, 4, "expected rows 2;"),
        (10, 0, "1 to 6"), (10, 7, "1 to 6"), (10, -2, "1 to 6"),
        (31, 1, "at most 30"), (60, 1, "at most 30"), (1, 2, "expected rows 1"),
    ],
)  # fmt: skip
def test_rows_that_cannot_be_are_refused_with_those_that_can(count: int, rows: int, reason: str) -> None:
    with pytest.raises(RangeError, match=reason):
        middle_outward(count, rows)
    with pytest.raises(RangeError, match=reason):
        row_places(count, rows)
