"""Errors and warnings: they name fields, and every reader has his own words for those."""

from __future__ import annotations

import ast
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from kit.commands import Run
from kit.each import each
from marking.errors import MarkingError, RangeError, TextInputError, within
from marking.lists.cells import message_of
from marking.outputs.job.band_plan import plan_job
from marking.outputs.job.request import read_job, read_trim_job
from marking.outputs.stretch.request import read as read_stretch
from marking.remarks import Template

ROOT = Path(__file__).parent.parent
SPEC = "110 N·m + 90° +10/-0"


def refused(read: Callable[[], object]) -> MarkingError:
    with pytest.raises(MarkingError) as caught:
        read()
    return caught.value


def test_an_error_names_its_field_and_each_reader_its_own_word_for_it() -> None:
    error = refused(lambda: read_trim_job(SPEC, 12, "1/2", od_range="20..30 mm", opening="19 mm"))
    assert error.field == "od_range"
    assert str(error).endswith("check OD range (outside) and opening (across flats)")
    assert error.message(lambda field: f"<{field}>").endswith("check <od_range> (outside) and <opening> (across flats)")
    assert message_of(error, "od_range").endswith("check od range (outside) and opening (across flats)")


@each(("more", "field"), [
    ({"od": "27.8"}, "od"), ({"od": "400 mm"}, "od"), ({"around": "2 m", "od": None}, "around"),
    ({"stock": "2 mm"}, "stock"),
    ({"ring_width": "1 m"}, "ring_width"), ({"ring_bore": "20 mm"}, "ring_bore"), ({"height": "x"}, "height"),
    ({"paper": "b4"}, "paper"), ({"margin": "1 m"}, "margin"), ({"copies": 0}, "copies"), ({"start": "left"}, "start"),
    ({"spec": "110"}, "spec"), ({"spec": "1 N·m + 9999°"}, "spec"), ({"opening": "26 mm"}, "opening"),
    ({"gap": "11 mm"}, "gap"), ({"view_angle": "9"}, "view_angle"),
])  # fmt: skip
def test_the_field_at_fault_is_the_one_that_was_given(more: dict[str, object], field: str) -> None:
    given: dict[str, Any] = {"spec": SPEC, "points": 12, "drive": "1/2", "od": "27.8 mm", **more}
    error = refused(lambda: plan_job(read_job(**given)))
    assert error.field == field
    assert "{@" not in str(error)


def test_a_text_that_cannot_be_read_is_called_by_what_it_says() -> None:
    error = refused(lambda: read_stretch(SPEC, "M12x", "10.9", "60 mm"))
    assert isinstance(error, TextInputError)
    assert (error.field, error.subject) == ("screw", "the thread")
    assert str(error).startswith(f"the thread {error.problem}:\n  M12x\n")


@each(("arguments", "words"), [
    (("tape", "--from", "5 mm", "-o", "x.pdf"), "an OD of 5 mm (--from); expected 8 mm to 300 mm; a tape's own"),
    (("tape", "--from", "60 mm", "--to", "30 mm", "-o", "x.pdf"), "exchange --from and --to, or choose a wider range"),
    (("stretch", SPEC, "--screw", "M12", "--class", "5", "--grip", "60 mm"), "check --class and --screw"),
    (("job", SPEC, "--points", "12", "--drive", "1/2", "--od", "1 m", "-o", "x.pdf"), "check --od (outside)"),
    (("tape", "--paper", "b4", "-o", "x.pdf"), "check --paper"),
    (("tape", "-o", "x.doc"), "check --output"),
])  # fmt: skip
def test_the_command_line_calls_fields_by_its_options(run: Run, arguments: tuple[str, ...], words: str) -> None:
    done = run(*arguments)
    assert done.returncode == 1
    assert words in done.stderr


def test_a_warning_on_the_command_line_names_options(run: Run) -> None:
    job = ("explain", SPEC, "--points", "12", "--drive", "1/2", "--od", "27.8 mm", "--paper", "62mm x roll")
    assert "print the work card on a page, with --paper a4\n" in run(*job).stderr


def test_no_error_of_the_library_speaks_of_an_option() -> None:
    code = {path: path.read_text("utf-8") for path in sorted((ROOT / "marking").rglob("*.py"))}
    spoken = [
        f"{path.relative_to(ROOT)}:{text.lineno}: {text.value}"
        for path, content in code.items()
        if re.search("--[a-z]", content)  # to parse all files takes a second
        for statement in ast.walk(ast.parse(content))
        if isinstance(statement, ast.Raise)
        for text in ast.walk(statement)
        if isinstance(text, ast.Constant) and isinstance(text.value, str) and re.search("--[a-z]", text.value)
    ]
    assert spoken == []


def test_limits_are_said_as_the_value_is() -> None:
    within("the ring is {} mm wide", 5.0, 5.0, 25.0, "ring_width", "{:g}".format, " mm")
    error = refused(
        lambda: within("the ring is {} mm wide", float("nan"), 5.0, 25.0, "ring_width", "{:g}".format, " mm")
    )
    assert isinstance(error, RangeError)
    assert str(error) == "the ring is nan mm wide; expected 5 to 25 mm; check ring width"


def test_a_remark_shows_its_values_and_reads_none_of_them_as_places() -> None:
    inner = Template("inner", "{od:length} on {@paper}")(od=(25.4, "in"))
    outer = Template("outer", "{turn:deg} ±{error:deg1}: {ways:or}; {name} ({ids:list})")
    remark = outer(turn=90.0, error=1.25, ways=[inner, "none"], name="{@od} {x}", ids=["A", 2])
    assert str(remark) == "90° ±1.2°: 1 in on paper, or none; {@od} {x} (A, 2)"
    assert remark.said(lambda field: f"--{field}").startswith("90° ±1.2°: 1 in on --paper, or none")
    assert remark.code == "outer"
