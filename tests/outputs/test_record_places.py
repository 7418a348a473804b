"""Where the fasteners stand on the plan of a card."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kit.each import each
from kit.measure import SVG, apart_deg, direction_deg, drawn_groups, placed_texts
from kit.pdf_reading import pdf_pages
from kit.record import CIRCLES, PAPERS, ROWS, Places, a_card, middle, numbers_in, the_plan, words_of
from kit.turning import polygon_middle
from marking.files.pdf import pdf_bytes
from marking.outputs.record.order import crosswise, row_places


def test_places_are_numbered_clockwise_from_the_top() -> None:
    places = numbers_in(the_plan(a_card()))
    cx, cy = middle(places)
    assert places[1][0] == pytest.approx(cx)
    assert places[1][1] > cy + 20.0
    clockwise = sorted(places, key=lambda n: (91.0 - direction_deg(places[n][0] - cx, places[n][1] - cy)) % 360.0)
    assert clockwise == [1, 2, 3, 4, 5, 6, 7, 8]


@each("paper", PAPERS)
@each("count", CIRCLES)
def test_every_place_of_a_circle_stands_where_it_should(count: int, paper: str) -> None:
    places = numbers_in(the_plan(a_card(fasteners=count, paper=paper)))
    assert sorted(places) == list(range(1, count + 1))
    cx, cy = middle(places)
    for number, (x, y) in places.items():
        assert apart_deg(direction_deg(x - cx, y - cy), 90.0 - 360.0 * (number - 1) / count) < 0.01, number


@each(("count", "rows"), ROWS)
def test_every_place_in_rows_stands_where_it_should(count: int, rows: int) -> None:
    places = numbers_in(the_plan(a_card(fasteners=count, pattern="rows", rows=rows)))
    cx, cy = middle(places)
    standing = row_places(count, rows)
    xs = [x for x, _ in places.values()]
    pitch = (max(xs) - min(xs)) / (count // rows - 1)
    for number, (x, y) in enumerate(standing, 1):
        assert places[number] == pytest.approx((cx + x * pitch, cy + y * pitch), abs=0.001), number


@each("paper", PAPERS)
@each("count", [4, 8, 12, 24, 60])
def test_pairs_in_the_pdf_stand_opposite_each_other(count: int, paper: str) -> None:
    """Read back by pdfium: the middle between the two of each pair is the middle of the circle, within 0.1 mm."""
    document = a_card(fasteners=count, paper=paper)
    drawn = [{t.size_pt for t in placed_texts(page) if t.role == "place-number"} for page in document.pages]
    (size,) = set().union(*drawn)
    found: Places = {}
    for page, sizes in zip(pdf_pages(pdf_bytes(document)), drawn, strict=True):
        for word in page.words if sizes else ():
            if abs(word.size_pt - size) < 1e-3 and word.text.isdigit():
                found[int(word.text)] = (word.x, word.y)
    assert sorted(found) == list(range(1, count + 1))
    centre = middle(found)
    for number in range(1, count // 2 + 1):
        one, other = found[number], found[number + count // 2]
        assert math.dist(((one[0] + other[0]) / 2, (one[1] + other[1]) / 2), centre) < 0.1, number
        assert math.dist(one, other) > 30.0


@each("count", [1, 8, 60])
def test_every_number_stands_in_the_middle_of_its_own_hexagon(count: int) -> None:
    plan = the_plan(a_card(fasteners=count))
    found = numbers_in(plan)
    hexagons = [g for g in plan.iter(f"{SVG}g") if g.get("class") == "fastener"]
    assert len(hexagons) == count
    for hexagon in hexagons:
        (outline,) = hexagon.iter(f"{SVG}polygon")
        x, y = polygon_middle(outline)
        number_x, baseline = found[int(str(hexagon.get("data-position")))]
        assert number_x == pytest.approx(x, abs=1e-3)
        assert 0 < y - baseline < 2.0, "the baseline is below the middle by half a capital"
        assert crosswise(count)[int(str(hexagon.get("data-order"))) - 1] == int(str(hexagon.get("data-position")))


@each("thread", ["right", "left"])
def test_the_arrow_turns_the_way_the_fasteners_are_tightened(thread: str) -> None:
    document = a_card(thread=thread)
    (arrow,) = drawn_groups(document, "tightening")
    (head,), (shaft,) = arrow.iter(f"{SVG}polygon"), arrow.iter(f"{SVG}path")
    corners = [tuple(map(float, corner.split(","))) for corner in str(head.get("points")).split()]
    tip, outer, inner = (np.array([x, -y]) for x, y in corners)
    radius = float(str(shaft.get("d")).split("A")[1].split(",")[0])
    neck = (outer + inner) / 2
    outwards = (outer - inner) / np.linalg.norm(outer - inner)
    centre = neck - radius * outwards
    assert np.linalg.norm(tip - centre) == pytest.approx(radius, abs=0.001), "the tip is on the same circle"
    assert (direction_deg(*(tip - centre)) - direction_deg(*(neck - centre))) % 360.0 == pytest.approx(
        -35.0 % 360.0 if thread == "right" else 35.0, abs=1.0
    )
    clockwise = "Tighten clockwise, seen from" if thread == "right" else "Tighten counterclockwise, seen"
    assert clockwise in words_of(document)


def test_a_box_to_write_in_stands_above_the_plan_with_a_triangle_that_points_to_it() -> None:
    document = a_card()
    plan = the_plan(document)
    (top,) = [g for g in plan.iter(f"{SVG}g") if g.get("class") == "plan-top"]
    triangle, box = top.iter(f"{SVG}polygon")
    numbers = numbers_in(plan)
    assert numbers[1][1] < polygon_middle(triangle)[1] < polygon_middle(box)[1]
    assert numbers[1][0] == pytest.approx(polygon_middle(triangle)[0]) == pytest.approx(polygon_middle(box)[0])
    assert "this side up:" in words_of(document)
