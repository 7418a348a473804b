"""Which way things turn in the figures of a lesson, in the finished SVG."""

from __future__ import annotations

import itertools
from xml.etree import ElementTree

import numpy as np
import pytest
from shapely import affinity
from shapely.geometry import Point, Polygon

from kit.each import each
from kit.lesson import SEEDS, TRAINEES, a_set, found, page_texts, place_is_right, worksheets
from kit.lesson_figures import arrives, centre_of, figures, only_figure, outwards
from kit.measure import SVG, apart_deg, direction_deg, of_role, only, strokes
from kit.turning import ring_centre, tightened


@each("seed", SEEDS)
def test_turning_the_keys_socket_brings_the_window_to_the_witness_mark(seed: int) -> None:
    drawn = {int(str(f.get("data-sheet"))): f for f in figures(a_set(seed=seed), "key-socket")}
    sheets = worksheets(page_texts(seed=seed))
    assert sorted(drawn) == sorted(sheets)
    for number, sheet in sheets.items():
        thread = "left" if sheet.left else "right"
        assert arrives(drawn[number], "stop-low", sheet.low, thread)
        assert arrives(drawn[number], "stop-high", sheet.high, thread)
        assert not arrives(drawn[number], "stop-low", sheet.high, thread)


@each("seed", SEEDS)
def test_the_keys_corners_come_by_in_the_order_of_their_numbers(seed: int) -> None:
    sheets = worksheets(page_texts(seed=seed))
    for figure in figures(a_set(seed=seed), "key-socket"):
        sheet = sheets[int(str(figure.get("data-sheet")))]
        centre, lines = centre_of(figure), strokes(figure)
        start = outwards(only(lines, "start"), centre)
        corners = of_role(lines, "corner")
        assert len(corners) == sheet.points
        numbers = {str(e.text): e for e in figure.iter(f"{SVG}text") if e.get("class") == "number"}
        assert len(numbers) == sheet.points
        for corner in corners:
            turn = (int(corner.data["index"]) - 1) * 360 / sheet.points
            there = outwards(corner, centre)
            assert np.allclose(tightened(there, turn, "left" if sheet.left else "right"), start, atol=2e-4)
            written = numbers[corner.data["index"]]
            at = np.array([float(written.get("x", "nan")), -float(written.get("y", "nan"))]) - centre
            assert apart_deg(direction_deg(*at), direction_deg(*there[:2])) < 6


def test_the_window_of_the_key_is_hatched_between_its_edges() -> None:
    sheets = worksheets(page_texts(seed=7))
    for figure in figures(a_set(seed=7), "key-socket"):
        sheet = sheets[int(str(figure.get("data-sheet")))]
        centre = centre_of(figure)
        start = outwards(only(strokes(figure), "start"), centre)
        hatches = [e for e in figure.iter(f"{SVG}polyline") if e.get("class") == "hatch"]
        assert hatches
        for hatch in hatches:
            for pair in str(hatch.get("points")).split():
                x, y = map(float, pair.split(","))
                seen = direction_deg(x - centre[0], -y - centre[1])
                turn = (seen - direction_deg(*start[:2])) * (-1 if sheet.left else 1) % 360
                assert sheet.low - 0.1 <= turn <= sheet.high + 0.1


def test_a_worksheets_socket_gives_nothing_away() -> None:
    sheets = worksheets(page_texts(seed=7))
    drawn = figures(a_set(seed=7), "exercise-socket")
    assert len(drawn) == TRAINEES
    for figure in drawn:
        sheet = sheets[int(str(figure.get("data-sheet")))]
        lines = strokes(figure)
        roles = {e.get("class") for e in figure.iter()}
        assert not roles & {"start", "start-flag", "stop-low", "stop-high", "stop", "hatch", "arrow", "arrow-head"}
        assert [e.text for e in figure.iter(f"{SVG}text") if e.get("class") == "number"] == ["1"]
        assert len(of_role(lines, "corner")) == sheet.points
        degrees = sorted(direction_deg(*outwards(line, centre_of(figure))[:2]) for line in of_role(lines, "degree"))
        assert len(degrees) == 72
        assert all(b - a == pytest.approx(5, abs=0.02) for a, b in itertools.pairwise(degrees))


def test_the_witness_mark_stands_at_corner_1_of_every_worksheet() -> None:
    for figure in figures(a_set(seed=7), "exercise-socket"):
        centre, lines = centre_of(figure), strokes(figure)
        witness = only(lines, "witness")
        first = next(line for line in of_role(lines, "corner") if line.data["index"] == "1")
        assert np.allclose(outwards(witness, centre), outwards(first, centre), atol=1e-3)


def test_the_handouts_figures_show_the_window_arriving_and_the_mirrored_one_failing() -> None:
    for name in ("before", "right"):
        assert arrives(only_figure(name), "stop-low", 90, "right")
        assert arrives(only_figure(name), "stop-high", 100, "right")
    mirrored = only_figure("mirrored")
    assert not arrives(mirrored, "stop-low", 90, "right")
    assert arrives(mirrored, "stop-low", 270, "right")
    assert arrives(mirrored, "stop-high", 260, "right")
    left = only_figure("left-hand")
    assert arrives(left, "stop-low", 90, "left")
    assert not arrives(left, "stop-low", 90, "right")
    assert "260–270°" in page_texts()[0]


def test_the_figure_after_the_turn_is_the_one_before_it_turned() -> None:
    before, after = only_figure("before"), only_figure("after")
    for role in ("start", "stop-low", "stop-high"):
        was = outwards(only(strokes(before), role), centre_of(before))
        now = outwards(only(strokes(after), role), centre_of(after))
        assert np.allclose(tightened(was, 95, "right"), now, atol=2e-4)
    up = outwards(only(strokes(after), "witness"), centre_of(after))
    edges = [outwards(only(strokes(after), role), centre_of(after)) for role in ("stop-low", "stop-high")]
    sides = [float(np.cross(up, edge)[2]) for edge in edges]
    assert sides[0] * sides[1] < 0, "the witness mark stands in the window"


def test_the_handouts_part_ring_has_its_window_on_the_other_side() -> None:
    lines = strokes(only_figure("part-ring"))
    centre = ring_centre(lines)
    zero = outwards(only(lines, "zero"), centre)
    assert np.allclose(tightened(zero, 90, "right"), outwards(only(lines, "ends-low"), centre), atol=2e-4)


@each("thread", ["right", "left"])
@each("points", [4, 6, 8, 12])
def test_the_worked_example_shows_the_lessons_own_spec(points: int, thread: str) -> None:
    spec = "60 N·m + 450° +20/-5"
    document = a_set(spec, points=points, thread=thread, trainees=1)
    figure = only_figure("worked-socket", document)
    assert arrives(figure, "stop-low", 445, thread)
    assert arrives(figure, "stop-high", 470, thread)
    assert len(of_role(strokes(figure), "corner")) == points
    words = page_texts(spec, points=points, thread=thread, trainees=1)[1]
    assert "Low edge 450° − 5° = 445°; high edge 450° + 20° = 470°." in words
    assert f"{thread}-hand thread, {points}-point socket: corners {360 // points}° apart." in words
    assert ("Turn clockwise" if thread == "right" else "Turn counterclockwise") in words
    low = found(r"STOP, low edge 445° 1 full turn, then (.*?) STOP, high edge", words)[1]
    assert place_is_right(low, 85, points), low


@each("name", ["before", "left-hand", "key-socket", "mirrored"])
def test_the_arrow_in_the_socket_turns_the_way_of_tightening(name: str) -> None:
    for figure in figures(a_set(seed=7), name):
        sheet = figure.get("data-sheet")
        left = worksheets(page_texts(seed=7))[int(sheet)].left if sheet else name == "left-hand"
        centre = centre_of(figure)
        (head,) = [e for e in figure.iter() if e.get("class") == "arrow-head"]
        corners = np.array([[float(x), -float(y)] for x, y in (p.split(",") for p in str(head.get("points")).split())])
        tip, neck = corners[0] - centre, corners[1:].mean(axis=0) - centre
        start = np.array([*neck, 0.0])
        assert np.dot((tightened(start, 1.0, "left" if left else "right") - start)[:2], tip - neck) > 0


def polygon(figure: ElementTree.Element, role: str) -> Polygon:
    (element,) = [e for e in figure.iter(f"{SVG}polygon") if e.get("class") == role]
    return Polygon([(float(x), -float(y)) for x, y in (p.split(",") for p in str(element.get("points")).split())])


@each(("taken_up", "pushes"), [("true", True), ("false", False)])
def test_a_socket_turned_clockwise_pushes_the_fastener_only_when_the_slack_is_taken_up(
    taken_up: str, pushes: bool
) -> None:
    (figure,) = [f for f in figures(a_set(), "slack") if f.get("data-taken-up") == taken_up]
    fastener, opening = polygon(figure, "fastener"), polygon(figure, "rule-strong")
    centre = Point(*centre_of(figure))
    assert fastener.difference(opening).area < 1e-3, "the fastener fits"
    assert opening.exterior.distance(fastener) < 1e-3, "and touches the opening"
    clockwise, back = (affinity.rotate(opening, deg, origin=centre) for deg in (-1.0, 1.0))
    assert (fastener.difference(clockwise).area > 1e-2) is pushes
    assert (fastener.difference(back).area > 1e-2) is not pushes
