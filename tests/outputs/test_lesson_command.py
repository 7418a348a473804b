"""What a lesson refuses, its data, and the command."""

from __future__ import annotations

import json
from typing import Any

import pytest

from kit.commands import Run
from kit.each import each
from kit.lesson import SPEC, a_plan, page_texts, place_is_right, worksheets
from kit.measure import assert_in_words
from marking import OUTPUTS
from marking.errors import CharacterError, MarkingError
from marking.fastening.spec_grammar import parse_spec
from marking.files.pdf import pdf_bytes
from marking.outputs.lesson.plan import plan as plan_lesson
from marking.outputs.lesson.report import data as lesson_data
from marking.outputs.lesson.request import LessonRequest
from marking.outputs.lesson.request import read as read_lesson
from marking.outputs.lesson.sheet import draw as lesson_document
from marking.sheets.paper import SIZES, Paper


@each(
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


@each("title", ["\u202eabc", "a\nb", "日本"])
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
    assert (tmp_path / "set.pdf").read_bytes() == pdf_bytes(
        OUTPUTS["lesson"].draw(a_plan(trainees=2, seed=7, no_practice=False), line)
    )
    result = run("lesson", SPEC, "--trainees", "1", "--paper", "letter", "--no-practice", "-o", "set.svg")
    assert result.stdout.splitlines()[0] == "wrote set-1.svg, set-2.svg, set-3.svg, set-4.svg: 4 pages, Letter."


@each(
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
    assert_in_words(run("lesson", *arguments, "-o", "set.pdf"), code)
    assert not list(tmp_path.glob("set*"))
