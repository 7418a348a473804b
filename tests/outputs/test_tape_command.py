"""Tapes that cannot be, and the command."""

from __future__ import annotations

import math
from pathlib import Path
from xml.etree import ElementTree

import pytest

from kit.commands import Run
from kit.each import each
from kit.measure import SVG, assert_in_words
from marking.errors import LayoutError, RangeError
from marking.outputs.tape.layout import SCALES, plan_tape, reading_of


@each(
    ("low", "high", "stock", "words"),
    [
        (7.9, 60, 0.1, "8 mm to 300 mm"),
        (8, 301, 0.1, "check high"),
        (30, 30, 0.1, "smaller OD first"),
        (40, 30, 0.1, "exchange"),
        (math.nan, 30, 0.1, "check low"),
        (8, math.inf, 0.1, "check high"),
        (8, 60, 1.5, "check stock"),
        (8, 60, math.nan, "check stock"),
    ],
)
def test_a_tape_that_cannot_be_is_refused_with_advice(low: float, high: float, stock: float, words: str) -> None:
    with pytest.raises(RangeError) as caught:
        plan_tape(low, high, "mm", stock, 270.0)
    assert words in str(caught.value)


def test_an_unknown_unit_is_refused() -> None:
    with pytest.raises(RangeError, match="mm or in"):
        plan_tape(8.0, 60.0, "ft", 0.1, 270.0)


def test_pieces_too_short_to_cut_are_refused() -> None:
    with pytest.raises(LayoutError, match="larger paper"):
        plan_tape(8.0, 300.0, "mm", 0.1, 30.0)


def test_a_reading_is_rounded_to_the_nearest_division() -> None:
    reading = reading_of(27.84, SCALES["mm"])
    assert (reading.passed, reading.line, reading.rest, reading.value) == ("27.5", 3, "0.3", "27.8")
    assert reading_of(27.97, SCALES["mm"]).value == "28.0"
    assert reading_of(27.8, SCALES["in"]).value == "1.095"


def test_tape_writes_the_file_and_says_so(run: Run, tmp_path: Path) -> None:
    done = run("tape", "-o", "tape.pdf")
    assert (done.returncode, done.stdout, done.stderr) == (
        0,
        "wrote tape.pdf: 1 page, A4. Print at 100 %, then measure both rulers.\n",
        "",
    )
    assert (tmp_path / "tape.pdf").read_bytes().startswith(b"%PDF")


def test_tape_takes_its_unit_from_the_smallest_od_unless_told(run: Run, tmp_path: Path) -> None:
    for name, arguments in {
        "in": ("--from", "3/8 in", "--to", "40 mm"),
        "mm": ("--from", "3/8 in", "--to", "40 mm", "--unit", "mm"),
    }.items():
        assert run("tape", *arguments, "-o", "x.svg").returncode == 0
        words = [e.text for e in ElementTree.parse(tmp_path / "x.svg").getroot().iter(f"{SVG}text")]
        assert ("OD in inches" if name == "in" else "OD in mm") in words


def test_tape_puts_the_pdf_on_stdout(run: Run, tmp_path: Path) -> None:
    done = run("tape", "-o", "-")
    assert done.returncode == 0
    assert done.stdout.startswith("%PDF")
    assert list(tmp_path.iterdir()) == []


def test_tape_help_shows_examples(run: Run) -> None:
    shown = run("tape", "--help")
    assert shown.returncode == 0
    assert "Examples:" in shown.stdout


@each(
    ("code", "arguments"),
    [
        (1, ("--from", "5 mm", "-o", "x.pdf")),
        (1, ("--from", "8", "-o", "x.pdf")),
        (1, ("--from", "60 mm", "--to", "30 mm", "-o", "x.pdf")),
        (1, ("--to", "1 m", "-o", "x.pdf")),
        (1, ("--stock", "2 mm", "-o", "x.pdf")),
        (1, ("--paper", "b4", "-o", "x.pdf")),
        (1, ("--paper", "62x100", "-o", "x.pdf")),
        (1, ("-o", "x.bmp")),
        (1, ("-o", "missing/x.pdf")),
        (2, ()),
        (2, ("--unit", "cm", "-o", "x.pdf")),
    ],
)
def test_tape_refuses_with_a_reason_and_leaves_no_file(
    run: Run, tmp_path: Path, code: int, arguments: tuple[str, ...]
) -> None:
    done = run("tape", *arguments)
    assert_in_words(done, code)
    assert list(tmp_path.iterdir()) == []
