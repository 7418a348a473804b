"""Every answer of the key is right, and the same seed asks the same again."""

from __future__ import annotations

import itertools
import random
import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.each import each
from kit.lesson import (
    SEEDS,
    SPEC,
    Sheet,
    a_plan,
    agrees,
    found,
    inches_or_mm,
    keys,
    page_texts,
    place_is_right,
    worksheets,
)
from marking.files.pdf import pdf_bytes
from marking.outputs.lesson.exercise import draw_exercise
from marking.outputs.lesson.plan import plan as plan_lesson
from marking.outputs.lesson.request import read as read_lesson
from marking.outputs.lesson.sheet import draw as lesson_document

# -- reading the finished PDF, with no help from the library


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
    unit, decimals = ("mm", 4) if sheet.tpi is None else ("in", 5)
    pitch = re.escape(f"{sheet.pitch:g}" if sheet.tpi is None else f"1/{sheet.tpi}")
    whole = found(rf" 4 {pitch} {unit} × ([\d.]+) ÷ 360 = ([\d.]+) {unit}\. 5 ", key)
    assert float(whole[1]) == sheet.turn
    assert agrees(whole[2], sheet.pitch * sheet.turn / 360, decimals)
    past = sheet.overshoot - sheet.high
    farther = found(
        rf" 6 ([\d.]+)° − ([\d.]+)° = ([\d.]+)° past the window\. {pitch} {unit} × ([\d.]+) ÷ 360 = "
        rf"([\d.]+) {unit} farther\. Stop and do what the manual says; never turn back and guess\.",
        key,
    )
    assert [float(farther[k]) for k in (1, 2, 3, 4)] == [sheet.overshoot, sheet.high, past, past]
    assert agrees(farther[5], sheet.pitch * past / 360, decimals)


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


@each("seed", SEEDS)
def test_every_answer_of_the_key_follows_from_the_worksheet_of_that_number(seed: int) -> None:
    """And a class meets left and right, metric and unified, six and twelve points, edges and readings off them."""
    pages = page_texts(seed=seed)
    sheets, answers = worksheets(pages), keys(pages)
    assert sorted(sheets) == sorted(answers) == list(range(1, 13))
    for number, sheet in sheets.items():
        key = answers[number]
        check_places(sheet, key)
        check_ways(sheet, key)
        check_advances(sheet, key)
        check_readings(sheet, key)
        check_band_slack_and_torque(sheet, key)
    met = sheets.values()
    assert {sheet.left for sheet in met} == {sheet.tpi is None for sheet in met} == {True, False}
    assert {sheet.points for sheet in met} == {6, 12}
    assert {reading in (sheet.low, sheet.high) for sheet in met for reading in sheet.readings} == {True, False}


def test_the_worksheets_give_the_exact_foot_pound() -> None:
    """1 lbf = 0.45359237 kg × 9.80665 m/s², 1 ft = 0.3048 m (NIST SP 811, appendix B, exact)."""
    for sheet in worksheets(page_texts(seed=7)).values():
        assert agrees(str(sheet.factor), 0.45359237 * 9.80665 * 0.3048, 4)
        assert sheet.sign == ("×" if sheet.torque_unit == "lbf·ft" else "÷")


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
