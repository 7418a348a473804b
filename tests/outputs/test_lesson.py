"""The teaching set: every answer recomputed from the worksheet's own text, marks on the right side, pages in order."""

from __future__ import annotations

import itertools
import json
import math
import random
import re
from collections.abc import Iterator
from functools import cache
from typing import Any, NamedTuple
from xml.etree import ElementTree

import numpy as np
import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from shapely import affinity
from shapely.geometry import Point, Polygon

from kit.collisions import check
from kit.commands import Run
from kit.measure import SVG, Stroke, apart_deg, direction_deg, groups, of_role, only, placed_texts, strokes, svg_root
from kit.turning import ring_centre, tightened
from marking import OUTPUTS
from marking.drawing.primitives import Document
from marking.errors import CharacterError, LayoutError, MarkingError
from marking.fastening.spec_grammar import parse_spec
from marking.files.pdf import pdf_bytes
from marking.outputs.lesson.exercise import draw_exercise
from marking.outputs.lesson.figures import View, draw_blank
from marking.outputs.lesson.plan import LessonPlan
from marking.outputs.lesson.plan import plan as plan_lesson
from marking.outputs.lesson.report import data as lesson_data
from marking.outputs.lesson.request import LessonRequest
from marking.outputs.lesson.request import read as read_lesson
from marking.outputs.lesson.sheet import draw as lesson_document
from marking.sheets.blocks import centred, side_by_side
from marking.sheets.paper import SIZES, Paper
from marking.sheets.words import CAUTIONS

SPEC = "110 N·m + 90° +10/-0"
SEEDS = [1, 7, 2024, 999_999]
TRAINEES = 6

Vector = NDArray[np.float64]


@cache
def a_plan(spec: str = SPEC, **more: Any) -> LessonPlan:
    more.setdefault("trainees", TRAINEES)
    return plan_lesson(read_lesson(spec, **more))


@cache
def a_set(spec: str = SPEC, **more: Any) -> Document:
    return lesson_document(a_plan(spec, **more))


@cache
def page_texts(spec: str = SPEC, **more: Any) -> tuple[str, ...]:
    """The text of every page of the finished PDF, each on one line, without the dashes before the entries of lists."""
    with pypdfium2.PdfDocument(pdf_bytes(a_set(spec, **more))) as document:
        texts = [page.get_textpage().get_text_bounded() for page in document]
    return tuple(" ".join(text.replace("–\r\n", " ").split()) for text in texts)


# -- reading the finished PDF, with no help from the library


class Sheet(NamedTuple):
    """What a worksheet says, as numbers."""

    number: int
    torque: float
    torque_unit: str
    turn: float
    plus: float
    minus: float
    points: int
    left: bool
    pitch: float
    tpi: int | None
    slack: float
    around: float
    around_unit: str
    readings: tuple[float, ...]
    overshoot: float
    slack_reading: float
    wanted_unit: str
    sign: str
    factor: float

    @property
    def low(self) -> float:
        return self.turn - self.minus

    @property
    def high(self) -> float:
        return self.turn + self.plus


def found(pattern: str, text: str) -> re.Match[str]:
    match = re.search(pattern, text)
    assert match, f"{pattern} is not in {text[:1500]}"
    return match


def inches_or_mm(text: str) -> float:
    """2-1/2 and 80.4 as numbers."""
    whole, _, part = text.rpartition("-")
    if "/" not in part:
        return float(part)
    above, below = part.split("/")
    return float(whole or 0) + float(above) / float(below)


def read_sheet(text: str) -> Sheet:
    number = found(r"Sheet (\d+) of \d+ · seed \d+ Name", text)
    spec = found(r"spec ([\d.]+) (N·m|lbf·ft), then ([\d.]+)° (?:±([\d.]+)|\+([\d.]+)/−([\d.]+)) socket", text)
    socket = found(r"socket (\d+)-point", text)
    thread = found(r"thread \S.*?, (right|left)-hand, (?:pitch ([\d.]+) mm|(\d+) threads per inch)", text)
    around = found(r"closes round the socket at (\S+) (mm|in)", text)
    torque = found(r"Write the snug torque in (\S+) \(([×÷]) ([\d.]+)\)", text)
    return Sheet(
        number=int(number[1]),
        torque=float(spec[1]),
        torque_unit=spec[2],
        turn=float(spec[3]),
        plus=float(spec[4] or spec[5]),
        minus=float(spec[4] or spec[6]),
        points=int(socket[1]),
        left=thread[1] == "left",
        pitch=float(thread[2]) if thread[2] else 1 / float(thread[3]),
        tpi=int(thread[3]) if thread[3] else None,
        slack=float(found(r"slack ([\d.]+)° each way", text)[1]),
        around=inches_or_mm(around[1]),
        around_unit=around[2],
        readings=tuple(map(float, re.findall(r"([\d.]+)° is(?= )", found(r"Inside the window.*?6 The", text)[0]))),
        overshoot=float(found(r"stopped only at ([\d.]+)°", text)[1]),
        slack_reading=float(found(r"The mark shows ([\d.]+)°", text)[1]),
        wanted_unit=torque[1],
        sign=torque[2],
        factor=float(torque[3]),
    )


def worksheets(pages: tuple[str, ...]) -> dict[int, Sheet]:
    return {sheet.number: sheet for sheet in map(read_sheet, (text for text in pages if " Name Date " in text))}


def keys(pages: tuple[str, ...]) -> dict[int, str]:
    """The key's text by the number of the sheet."""
    text = " ".join(page for page in pages if page.startswith("Answer key: for the instructor"))
    parts = re.split(r"Sheet (\d+) of \d+ · seed \d+ ", text)
    return {int(number): words for number, words in zip(parts[1::2], parts[2::2], strict=True)}


def agrees(shown: str, expected: float, decimals: int) -> bool:
    """A printed number is the expected one rounded to so many decimals."""
    return abs(float(shown) - expected) <= 0.5 * 10.0**-decimals + 1e-9


PARTS = {
    "a third": 1 / 3, "two thirds": 2 / 3, "half": 1 / 2, "a quarter": 1 / 4, "three quarters": 3 / 4,
    "a fifth": 1 / 5, "two fifths": 2 / 5, "three fifths": 3 / 5, "four fifths": 4 / 5, "a sixth": 1 / 6,
    "five sixths": 5 / 6, "just the beginning": 0.0, "nearly all": 1.0,
}  # fmt: skip


def place_is_right(words: str, deg: float, points: int) -> bool:
    """Hold a place in words against plain counting: corner k stands at (k − 1) times the pitch."""
    pitch = 360 / points
    steps, past = divmod(deg, pitch)
    corner, following = int(steps) + 1, int(steps + 1) % points + 1
    if past == 0:
        return words == f"on corner {corner}"
    if past == pitch / 2:
        return words == f"mid-flat between corners {corner} and {following}"
    match = re.fullmatch(r"([\d.]+)° past corner (\d+) \((.*) of the way to corner (\d+)\)", words)
    if not match:
        return False
    about = match[3].startswith("about") or match[3] in ("just the beginning", "nearly all")
    part = PARTS[match[3].removeprefix("about ")]
    near = bool(abs(part - past / pitch) < (0.1 if about else 1e-9))
    return (float(match[1]), int(match[2]), int(match[4])) == (past, corner, following) and near


def check_places(sheet: Sheet, key: str) -> None:
    pitch = 360 / sheet.points
    for name, deg in (("low edge", sheet.low), ("turn", sheet.turn), ("high edge", sheet.high)):
        line = found(
            rf"{name}: ([\d.]+)° ÷ ([\d.]+)° = (\d+) corners?(?: and ([\d.]+)°)? on from corner 1: (.*?)\.(?= |$)", key
        )
        assert float(line[1]) == deg
        assert float(line[2]) == pitch
        assert int(line[3]) == deg // pitch
        assert float(line[4] or 0) == deg % pitch
        assert place_is_right(line[5], deg, sheet.points), line[5]


def check_ways(sheet: Sheet, key: str) -> None:
    """Right-hand threads tighten clockwise seen from above; the socket's window lies against that, the ring's with it.

    (Common practice, no published source; ISO 5408 defines the right-hand thread.)
    """
    way, back = ("counterclockwise", "clockwise") if sheet.left else ("clockwise", "counterclockwise")
    assert f"1 START on corner 1; the window lies {back} of it" in key
    assert f"corners are numbered {back}." in key
    line = f"3 The socket turns {way}. On the socket the window lies {back} of START, on a part ring {way} of zero."
    assert line in key


def check_advances(sheet: Sheet, key: str) -> None:
    unit = "mm" if sheet.tpi is None else "in"
    pitch = re.escape(f"{sheet.pitch:g}" if sheet.tpi is None else f"1/{sheet.tpi}")
    whole = found(rf" 4 {pitch} {unit} × ([\d.]+) ÷ 360 = ([\d.]+) {unit}\. 5 ", key)
    assert float(whole[1]) == sheet.turn
    assert agrees(whole[2], sheet.pitch * sheet.turn / 360, 4)
    past = sheet.overshoot - sheet.high
    farther = found(
        rf" 6 ([\d.]+)° − ([\d.]+)° = ([\d.]+)° past the window\. {pitch} {unit} × ([\d.]+) ÷ 360 = "
        rf"([\d.]+) {unit} farther\. Stop and do what the manual says; never turn back and guess\.",
        key,
    )
    assert [float(farther[k]) for k in (1, 2, 3, 4)] == [sheet.overshoot, sheet.high, past, past]
    assert agrees(farther[5], sheet.pitch * past / 360, 4)


def check_readings(sheet: Sheet, key: str) -> None:
    judged = re.findall(
        r"([\d.]+)° (?:lies in ([\d.]+)–([\d.]+)°|is (below|above) ([\d.]+)°): (inside|not inside)", key
    )
    assert [float(line[0]) for line in judged] == list(sheet.readings)
    for text, low, high, side, limit, verdict in judged:
        deg = float(text)
        assert (verdict == "inside") is (sheet.low <= deg <= sheet.high)
        if side:
            assert float(limit) == (sheet.low if side == "below" else sheet.high)
            assert (deg < float(limit)) is (side == "below")
        else:
            assert (float(low), float(high)) == (sheet.low, sheet.high)


def check_band_slack_and_torque(sheet: Sheet, key: str) -> None:
    along = found(r" 7 (\S+) (mm|in) × ([\d.]+) ÷ 360 = ([\d.]+) (mm|in)\. 8 ", key)
    assert inches_or_mm(along[1]) == sheet.around
    assert along[2] == along[5] == sheet.around_unit
    assert float(along[3]) == sheet.low
    assert agrees(along[4], sheet.around * sheet.low / 360, 2 if sheet.around_unit == "mm" else 3)
    slack = found(r" 8 ([\d.]+)° − 2 × ([\d.]+)° = ([\d.]+)°: (inside|not inside)\. 9 ", key)
    fastener = sheet.slack_reading - 2 * sheet.slack
    assert [float(slack[1]), float(slack[2])] == [sheet.slack_reading, sheet.slack]
    assert agrees(slack[3], fastener, 2)
    assert (slack[4] == "inside") is (sheet.low - 1e-9 <= fastener <= sheet.high + 1e-9)
    torque = found(r" 9 ([\d.]+) (\S+) ([×÷]) ([\d.]+) = ([\d.]+) (N·m|lbf·ft)\.", key)
    assert (float(torque[1]), torque[2], torque[3]) == (sheet.torque, sheet.torque_unit, sheet.sign)
    expected = sheet.torque * sheet.factor if sheet.sign == "×" else sheet.torque / sheet.factor
    assert torque[6] == sheet.wanted_unit != sheet.torque_unit
    assert float(torque[5]) == pytest.approx(expected, rel=0.006)


@pytest.mark.parametrize("seed", SEEDS)
def test_every_answer_of_the_key_follows_from_the_worksheet_of_that_number(seed: int) -> None:
    pages = page_texts(seed=seed)
    sheets, answers = worksheets(pages), keys(pages)
    assert sorted(sheets) == sorted(answers) == list(range(1, TRAINEES + 1))
    for number, sheet in sheets.items():
        key = answers[number]
        check_places(sheet, key)
        check_ways(sheet, key)
        check_advances(sheet, key)
        check_readings(sheet, key)
        check_band_slack_and_torque(sheet, key)


def test_the_worksheets_give_the_exact_foot_pound() -> None:
    """1 lbf = 0.45359237 kg × 9.80665 m/s², 1 ft = 0.3048 m (NIST SP 811, appendix B, exact)."""
    for sheet in worksheets(page_texts(seed=7)).values():
        assert agrees(str(sheet.factor), 0.45359237 * 9.80665 * 0.3048, 4)
        assert sheet.sign == ("×" if sheet.torque_unit == "lbf·ft" else "÷")


def test_a_class_meets_left_and_right_metric_and_unified_six_and_twelve_points() -> None:
    for seed in SEEDS:
        sheets = worksheets(page_texts(seed=seed, trainees=12)).values()
        assert {sheet.left for sheet in sheets} == {True, False}
        assert {sheet.tpi is None for sheet in sheets} == {True, False}
        assert {sheet.points for sheet in sheets} == {6, 12}
        assert {reading in (sheet.low, sheet.high) for sheet in sheets for reading in sheet.readings} == {True, False}


def test_neighbours_have_different_screws() -> None:
    for seed in SEEDS:
        screws = [exercise.thread.name for exercise in a_plan(seed=seed, trainees=60).exercises]
        assert all(a != b for a, b in itertools.pairwise(screws))


# -- same seed, same sheets


def test_the_same_seed_gives_the_same_bytes_and_another_seed_other_sheets() -> None:
    def made(seed: int) -> bytes:
        return pdf_bytes(lesson_document(plan_lesson(read_lesson(SPEC, trainees=3, seed=seed))))

    assert made(7) == made(7)
    assert worksheets(page_texts(seed=7)) != worksheets(page_texts(seed=1))


def test_a_trainees_sheet_does_not_depend_on_the_number_of_trainees_or_the_spec() -> None:
    few = worksheets(page_texts(seed=7, trainees=3))
    many = worksheets(page_texts("hand tight then 60° ±5", seed=7, trainees=12, paper="letter"))
    assert few == {number: sheet for number, sheet in many.items() if number <= 3}


def test_chance_rests_on_the_one_sequence_that_python_keeps(monkeypatch: pytest.MonkeyPatch) -> None:
    """Only Random(int).random() keeps its sequence from one Python to the next; nothing else may be asked."""

    class Kept:
        def __init__(self, seed: int) -> None:
            assert type(seed) is int
            self.random = random_of(seed)

    def random_of(seed: int) -> Any:
        return real(seed).random

    real = random.Random
    expected = draw_exercise(7, 3)
    monkeypatch.setattr("marking.outputs.lesson.exercise.random.Random", Kept)
    assert draw_exercise(7, 3) == expected


@given(st.integers(0, 999_999), st.integers(1, 60))
def test_every_seed_gives_exercises_that_can_be(seed: int, number: int) -> None:
    exercise = draw_exercise(seed, number)
    low, high = exercise.limits_deg
    assert 0 < low <= exercise.stage.turn_deg <= high < 360
    assert len(set(exercise.readings_deg)) == 4
    assert all(0 < deg < 360 for deg in exercise.readings_deg)
    assert high < exercise.overshoot_deg < 360
    assert 1 < exercise.slack_deg < 10
    assert low <= exercise.slack_reading_deg <= high


# -- the direction, in the finished SVG


def pages_as_svg(document: Document) -> Iterator[ElementTree.Element]:
    for page in document.pages:
        yield svg_root(page, document)


def figures(document: Document, name: str) -> list[ElementTree.Element]:
    return [figure for root in pages_as_svg(document) for figure in groups(root, name)]


def only_figure(name: str, document: Document | None = None) -> ElementTree.Element:
    (figure,) = figures(document or a_set(), name)
    return figure


def centre_of(figure: ElementTree.Element) -> Vector:
    """The middle of the socket's circle, y turned upwards."""
    (circle,) = [e for e in figure.iter(f"{SVG}circle") if e.get("class") == "socket"]
    return np.array([float(circle.get("cx", "nan")), -float(circle.get("cy", "nan"))])


def outwards(line: Stroke, centre: Vector) -> Vector:
    """The direction of a radial line from the centre, as a point in space seen from above."""
    ends = [np.array([line.x1, line.y1]) - centre, np.array([line.x2, line.y2]) - centre]
    far = max(ends, key=lambda end: float(np.hypot(*end)))
    near = min(ends, key=lambda end: float(np.hypot(*end)))
    assert abs(np.cross([*near, 0.0], [*far, 0.0])[2]) < 1e-2, "the line is not radial"
    return np.array([*far / np.linalg.norm(far), 0.0])


def arrives(figure: ElementTree.Element, role: str, turn_deg: float, thread: str) -> bool:
    """Turn the drawn socket by `turn_deg` the way the thread tightens: does the mark stand where START stood?"""
    centre, lines = centre_of(figure), strokes(figure)
    start, mark = (outwards(only(lines, name), centre) for name in ("start", role))
    return bool(np.allclose(tightened(mark, turn_deg, thread), start, atol=2e-4))


@pytest.mark.parametrize("seed", SEEDS)
def test_turning_the_keys_socket_brings_the_window_to_the_witness_mark(seed: int) -> None:
    drawn = {int(str(f.get("data-sheet"))): f for f in figures(a_set(seed=seed), "key-socket")}
    sheets = worksheets(page_texts(seed=seed))
    assert sorted(drawn) == sorted(sheets)
    for number, sheet in sheets.items():
        thread = "left" if sheet.left else "right"
        assert arrives(drawn[number], "stop-low", sheet.low, thread)
        assert arrives(drawn[number], "stop-high", sheet.high, thread)
        assert not arrives(drawn[number], "stop-low", sheet.high, thread)


@pytest.mark.parametrize("seed", SEEDS)
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


@pytest.mark.parametrize("thread", ["right", "left"])
@pytest.mark.parametrize("points", [4, 6, 8, 12])
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


@pytest.mark.parametrize("name", ["before", "left-hand", "key-socket", "mirrored"])
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


@pytest.mark.parametrize(("taken_up", "pushes"), [("true", True), ("false", False)])
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


# -- the handout's sums


def test_the_shares_of_the_torque_follow_from_the_formula_of_iso_16047() -> None:
    """T/F = P/2π + 0.577 μ d2 + μ Db/2 (ISO 16047, VDI 2230, from memory), Db = 1.25 d (Shigley, 9th ed., 8-8)."""

    def terms(friction: float) -> tuple[float, float, float]:
        d, pitch = 12.0, 1.75
        d2 = d - 0.649519 * pitch  # ISO 724
        return pitch / (2 * math.pi), friction * d2 / (2 * math.cos(math.pi / 6)), friction * 1.25 * d / 2

    parts = [term / sum(terms(0.12)) for term in terms(0.12)]
    words = page_texts()[0]
    assert "M12 × 1.75 with a friction coefficient of 0.12" in words
    assert agrees(found(r"(\d+) % of the torque goes into friction", words)[1], 100 * (parts[1] + parts[2]), 0)
    gain = 100 * (sum(terms(0.14)) / sum(terms(0.10)) - 1)
    assert agrees(found(r"from 0\.14 to 0\.10, the same torque gives (\d+) % more", words)[1], gain, 0)
    bar = only_figure("torque-shares")
    widths = []
    for element in (e for e in bar.iter(f"{SVG}polygon") if e.get("class") == "bar"):
        xs = [float(pair.split(",")[0]) for pair in str(element.get("points")).split()]
        widths.append(max(xs) - min(xs))
    assert [width / sum(widths) for width in widths] == pytest.approx(parts, abs=1e-3)
    percents = [str(e.text).split()[0] for e in bar.iter(f"{SVG}text") if "%" in str(e.text)]
    assert all(agrees(shown, 100 * part, 0) for shown, part in zip(percents, parts, strict=True))


def test_the_handout_works_out_an_advance_that_is_right() -> None:
    """M12 × 1.75, 90°: 0.4375 mm (ISO 261 pitch; a quarter of it)."""
    assert "M12 × 1.75: 1.75 mm × 90 ÷ 360 = 0.4375 mm" in page_texts()[1]


# -- the pages


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_handout_then_worksheets_then_key(paper: str) -> None:
    pages = page_texts(paper=paper, trainees=12)
    assert "Why turn, when there is a torque?" in pages[0]
    assert "A worked example" in pages[1]
    assert [text.split(" Name")[0] for text in pages[2:14]] == [f"Sheet {k} of 12 · seed 1" for k in range(1, 13)]
    assert all(text.startswith("Answer key: for the instructor") for text in pages[14:])
    assert 3 <= len(pages[14:]) <= 6
    assert not any("Answer key" in text or "inside:" in text for text in pages[:14])


def test_every_page_says_that_its_numbers_are_for_teaching() -> None:
    for text in page_texts(title="Tram depot, apprentices"):
        assert "Teaching numbers, not tightening instructions: the manufacturer's manual decides." in text
        assert "demo data, not for real equipment" in text
        assert "Tram depot, apprentices" in text
    handout = " ".join(page_texts()[:2])
    for caution in CAUTIONS:
        assert caution in handout


def test_every_page_of_a_worksheet_that_needs_several_says_whose_it_is() -> None:
    pages = page_texts(paper="a5", trainees=2)
    mine = [text for text in pages if "Sheet 2 of 2" in text and not text.startswith("Answer key")]
    assert len(mine) > 1
    assert all(text.startswith("Sheet 2 of 2 · seed 1 Name Date") for text in mine)


SPECS = [
    SPEC, "60 lb-ft, 1/4 turn ±5, 1/4 turn ±5", "hand tight then 450° ±30", "5°", "355° +10/-4",
    "20 N·m + 30° ±8 + 60° ±8 + 90° ±5 + 91° ±3 + 300° +50/-20 + 720°", "1234.5678 lbf·in + 33.3333° ±0.77",
]  # fmt: skip


@pytest.mark.parametrize("paper", ["a4", "letter", "a5", "a3"])
@pytest.mark.parametrize("spec", SPECS)
def test_no_text_touches_anything_and_all_stays_off_the_edge(spec: str, paper: str) -> None:
    for points, thread in ((6, "left"), (12, "right")):
        check(a_set(spec, points=points, thread=thread, paper=paper, trainees=3))


@settings(max_examples=6)
@given(st.integers(0, 999_999))
def test_no_text_touches_anything_on_the_sheets_of_any_seed(seed: int) -> None:
    check(lesson_document(plan_lesson(read_lesson(SPEC, trainees=14, seed=seed))))


def test_every_stage_of_the_worked_example_has_a_socket_of_its_own() -> None:
    document = a_set("50 N·m + 90° ±5 + 450° ±10 + 90°", points=8, thread="left", trainees=1)
    first, second, third = figures(document, "worked-socket")
    for figure, role, turn_deg in (
        (first, "stop-low", 85), (first, "stop-high", 95), (second, "stop-low", 440), (second, "stop-high", 460),
        (third, "stop", 90),
    ):  # fmt: skip
        assert arrives(figure, role, turn_deg, "left")
    words = page_texts("50 N·m + 90° ±5 + 450° ±10 + 90°", points=8, thread="left", trainees=1)[1]
    assert "put a fresh witness mark beside START before its turn" in words
    assert "fresh witness mark" not in page_texts(trainees=1)[1]


def test_start_keeps_its_word_beside_its_mark_when_the_window_lies_round_it() -> None:
    figure = only_figure("worked-socket", a_set("50 N·m + 360° ±10", trainees=1))
    tip = only(strokes(figure), "start")
    outer = max((tip.x1, tip.y1), (tip.x2, tip.y2), key=lambda end: np.linalg.norm(np.array(end) - centre_of(figure)))
    word = next(text for text in figure.iter(f"{SVG}text") if text.text == "START")
    at = np.array([float(word.get("x", "nan")), -float(word.get("y", "nan"))])
    assert np.linalg.norm(at - np.array(outer)) < 9.0


def test_a_spec_without_a_tolerance_says_what_that_means() -> None:
    words = page_texts("50 N·m + 90°", trainees=1)[1]
    assert "Turn 90°. The manual gives no tolerance: stop at the line, not short of it;" in words
    assert "low edge" not in words


def test_a_long_title_fits() -> None:
    document = a_set(title=("Ŵiiiide M " * 12).strip(), trainees=2)
    check(document)
    for page in document.pages:
        assert " ".join(text.text for text in placed_texts(page)).count("Ŵiiiide") == 12


@pytest.mark.parametrize(("paper", "margin"), [("140x140", "30 mm"), ("300x140", "15 mm")])
def test_a_page_without_room_for_its_rulers_is_refused(paper: str, margin: str) -> None:
    with pytest.raises(LayoutError, match=r"no room for the 100 mm rulers.*larger paper"):
        a_set(paper=paper, margin=margin)


def test_the_smallest_page_holds_every_part_below_the_longest_title() -> None:
    check(a_set(paper="140x140", margin="10 mm", title=("Ŵiiiide M " * 12).strip(), trainees=1))


def test_a_figure_wider_than_its_column_keeps_its_width_so_that_the_page_can_refuse_it() -> None:
    figure = draw_blank(View(6, True, radius=30.0, ring_mm=10.0), ())
    assert figure.width_mm >= 80
    assert centred(figure, 60.0).width_mm == side_by_side([figure, figure], 100.0).width_mm / 2 == figure.width_mm
    assert centred(figure, 90.0).width_mm == 90


@pytest.mark.parametrize("paper", ["140x140", "200x240", "legal", "1500x1500"])
def test_unusual_pages_are_filled_as_cleanly(paper: str) -> None:
    check(a_set(paper=paper, trainees=3))


# -- refusals, data, command line


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"trainees": 0}, "expected 1 to 60; check trainees"),
        ({"trainees": 61}, "expected 1 to 60; check trainees"),
        ({"seed": -1}, "expected 0 to 999999; check seed"),
        ({"seed": 1_000_000}, "expected 0 to 999999; check seed"),
        ({"points": 5}, "expected 4, 6, 8 or 12 points"),
    ],
)
def test_what_is_out_of_limits_is_refused(wrong: dict[str, int], words: str) -> None:
    with pytest.raises(MarkingError, match=words):
        LessonRequest(parse_spec(SPEC), paper=Paper(*SIZES["a4"]), **wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize("title", ["\u202eabc", "a\nb", "日本"])
def test_a_title_that_cannot_be_printed_is_refused(title: str) -> None:
    with pytest.raises(CharacterError):
        lesson_document(plan_lesson(read_lesson(SPEC, trainees=1, title=title)))


def test_json_holds_what_the_sheets_ask_and_answer() -> None:
    data = lesson_data(a_plan(seed=7))
    assert json.loads(json.dumps(data)) == data
    sheets = worksheets(page_texts(seed=7))
    assert [entry["sheet"] for entry in data["sheets"]] == sorted(sheets)
    for entry in data["sheets"]:
        sheet, given_, answers = sheets[entry["sheet"]], entry["given"], entry["answers"]
        inch = 1.0 if sheet.tpi is None else 25.4
        assert given_["pitch_mm"] == pytest.approx(sheet.pitch * inch)
        assert tuple(given_["readings_deg"]) == sheet.readings
        assert answers["advance_mm"] == pytest.approx(sheet.pitch * inch * sheet.turn / 360)
        assert answers["past_mm"] == pytest.approx(sheet.pitch * inch * (sheet.overshoot - sheet.high) / 360)
        assert answers["inside"] == [sheet.low <= deg <= sheet.high for deg in sheet.readings]
        assert answers["window_on_socket"] == ("clockwise" if sheet.left else "counterclockwise")
        assert answers["window_on_part_ring"] == ("counterclockwise" if sheet.left else "clockwise")
        assert [place["deg"] for place in answers["places"]] == [sheet.low, sheet.turn, sheet.high]
        assert all(place_is_right(p["where"], p["deg"], sheet.points) for p in answers["places"])


def test_the_command_writes_the_set_and_its_numbers(run: Run, tmp_path: Any) -> None:
    result = run("lesson", SPEC, "--trainees", "2", "--seed", "7", "--json", "-o", "set.pdf")
    assert (result.returncode, result.stderr) == (0, "")
    data = json.loads(result.stdout)
    assert data["files"] == ["set.pdf"]
    assert data["seed"] == 7
    assert [sheet["sheet"] for sheet in data["sheets"]] == [1, 2]
    line = OUTPUTS["lesson"].command(SPEC, trainees=2, seed=7)
    assert (tmp_path / "set.pdf").read_bytes() == pdf_bytes(lesson_document(a_plan(trainees=2, seed=7), line))
    result = run("lesson", SPEC, "--trainees", "1", "--paper", "letter", "--thread", "left", "-o", "set.svg")
    assert result.stdout == "wrote set-1.svg, set-2.svg, set-3.svg, set-4.svg: 4 pages, Letter.\n"


@pytest.mark.parametrize(
    ("arguments", "code"),
    [
        (["nonsense"], 1),
        (["", "--trainees", "2"], 1),
        ([SPEC, "--title", "\u202e"], 1),
        ([SPEC, "--title", "x" * 5000], 1),
        ([SPEC, "--paper", "62mm x roll"], 1),
        ([SPEC, "--margin", "-3 mm"], 1),
        ([SPEC, "--printer", "nobody's"], 1),
        ([SPEC, "--trainees", "0"], 2),
        ([SPEC, "--trainees", "61"], 2),
        ([SPEC, "--trainees", "nan"], 2),
        ([SPEC, "--seed", "-1"], 2),
        ([SPEC, "--seed", "9" * 30], 2),
        ([SPEC, "--points", "7"], 2),
    ],
)
def test_mistakes_are_told_without_a_traceback_and_nothing_is_written(
    run: Run, tmp_path: Any, arguments: list[str], code: int
) -> None:
    result = run("lesson", *arguments, "-o", "set.pdf")
    assert result.returncode == code
    assert result.stderr
    assert "Traceback" not in result.stderr
    assert "failed:" not in result.stderr
    assert not list(tmp_path.glob("set*"))
