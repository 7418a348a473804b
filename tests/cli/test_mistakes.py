"""Slips of typing are told by what was meant, help fits a terminal of 80 columns, and values are completed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from click.shell_completion import ShellComplete
from click.testing import CliRunner

from kit.commands import Run
from kit.each import each
from kit.fake_print_service import fake_service
from marking import OUTPUTS
from marking.fastening.spec_grammar import parse_spec
from turnband.command import plainly
from turnband.main import main
from turnband.mistakes import SYNONYMS

SPEC = "110 Nm + 90 deg +10/-0"
JOB = ("job", SPEC, "--points", "12", "--drive", "1/2", "--od", "27.8 mm", "-o", "x.pdf")


def refused(run: Run, *arguments: str) -> str:
    done = run(*arguments)
    assert (done.returncode, done.stdout) == (2, "")
    return done.stderr.partition("Error: ")[2].rstrip("\n")


def test_all_that_is_missing_is_told_at_once_with_a_line_that_is_complete(run: Run) -> None:
    said, _, example = refused(run, "job").partition(" For example:\n")
    assert said == "SPEC, --points, --drive and --output (or --print) are missing."
    assert example.split()[:2] == ["turnband", "job"]
    assert refused(run, "job", SPEC, "--drive", "1/2", "-o", "x.pdf").startswith("--points is missing. For example:")
    assert refused(run, "tape").startswith("--output (or --print) is missing.")
    assert refused(run, "stretch", "90 deg").startswith("--screw, --class and --grip are missing.")


@each(
    ("command", "typed", "meant"),
    [
        ("job", "--sides", "--points"), ("job", "--diameter", "--od"), ("job", "--size", "--opening"),
        ("disc", "--size", "--paper"), ("job", "--left_hand", "--thread"), ("job", "--tolerance", "words in SPEC"),
        ("stretch", "--grade", "--class"), ("tape", "--units", "--unit"), ("job", "--OUT", "--output"),
    ],
)  # fmt: skip
def test_an_option_of_another_name_is_found_by_its_meaning(run: Run, command: str, typed: str, meant: str) -> None:
    assert refused(run, command, SPEC, typed, "6") == f"There is no option {typed}: here it is said with {meant}."


def test_a_slip_of_the_finger_is_still_found_by_its_letters(run: Run) -> None:
    assert "--points" in refused(run, "job", SPEC, "--pionts", "6")


def every_command(
    command: click.Command, path: tuple[str, ...] = ()
) -> Iterator[tuple[tuple[str, ...], click.Command]]:
    yield path, command
    if isinstance(command, click.Group):
        context = click.Context(command)
        for name in command.list_commands(context):
            found = command.get_command(context, name)
            assert found is not None
            yield from every_command(found, (*path, name))


COMMANDS = dict(every_command(main))


def test_every_word_of_the_table_means_something_that_there_is() -> None:
    known = {opt.lstrip("-") for one in COMMANDS.values() for param in one.params for opt in param.opts}
    assert {one for meant in SYNONYMS.values() for one in meant} <= known
    assert not SYNONYMS.keys() & {opt.lstrip("-") for param in COMMANDS[("job",)].params for opt in param.opts}


@each(
    ("words", "said"),
    [
        (("—points", "12"), "—points begins with another dash (a word processor's em dash); type --points"),
        (("–drive=1/2",), "–drive=1/2 begins with another dash (a word processor's en dash); type --drive"),
        (("-−no-ruler",), "type --no-ruler with hyphens"),
        (("--od", "“27.8", "mm”"), "“27.8 begins with a typographic quotation mark"),
        (("--od", "27.8", "mm"), 'stands in quotation marks: --od "27.8 mm"'),
    ],
)
def test_dashes_and_quotation_marks_of_a_word_processor_are_named(run: Run, words: tuple[str, ...], said: str) -> None:
    assert said in refused(run, "job", SPEC, *words, "-o", "x.pdf") or said in refused(run, *JOB, *words)


def test_a_spec_without_quotation_marks_is_shown_with_them(run: Run) -> None:
    assert f'stands in quotation marks: "{SPEC}"' in refused(run, "job", *SPEC.split(), *JOB[2:])
    assert "“110 begins with" in refused(run, "job", *f"“{SPEC}”".split(), *JOB[2:])


def test_quotation_marks_within_a_text_are_named(run: Run) -> None:
    for spec, od in ((f"“{SPEC}”", "27.8 mm"), (SPEC, "“27.8 mm”"), (f"'{SPEC}'", "27.8 mm")):
        done = run("job", spec, *JOB[2:7], od, "-o", "x.pdf")
        assert done.returncode == 1
        assert done.stderr.endswith("; leave out the quotation marks within the text\n")
    assert run(*JOB, "--title", "“Left” door – front").returncode == 0, "a title may have them"


@each("path", COMMANDS)
def test_help_fits_80_columns_of_a_terminal_however_wide(path: tuple[str, ...]) -> None:
    shown = CliRunner().invoke(main, [*path, "--help"], prog_name="turnband", env={"COLUMNS": "200"}).output
    assert max(map(len, shown.splitlines())) <= 80
    assert "..." not in shown.partition("Commands:")[2], "no sentence is cut off"


def test_help_stands_in_groups_with_the_reading_error_last(run: Run) -> None:
    lines = run("job", "--help").stdout.splitlines()
    heads = [line.rstrip(":") for line in lines if line and not line.startswith(" ") and line.endswith(":")]
    assert heads == ["Options", "Socket", "Page", "Sheet", "File", "Output", "Reading error"]
    assert any(line.startswith("  --od ") for line in lines[lines.index("Socket:") : lines.index("Page:")])


@each("name", list(OUTPUTS))
def test_examples_are_typed_on_any_keyboard_and_read_the_same(run: Run, name: str) -> None:
    import shlex

    examples = run(name, "--help").stdout.partition("Examples:\n")[2].partition("\n\n")[0]
    assert examples.isascii()
    for example in OUTPUTS[name].examples:
        for word, plain in zip(shlex.split(example), shlex.split(plainly(example)), strict=True):
            if word != plain and any(field.name == "spec" for field in OUTPUTS[name].fields):
                assert parse_spec(word, points=6).stages == parse_spec(plain, points=6).stages


def completed(*words: str) -> list[str]:
    *before, last = words
    found = ShellComplete(main, {}, "turnband", "_TURNBAND_COMPLETE").get_completions(list(before), last)
    return [item.value if item.type == "plain" else item.type for item in found]


def test_values_are_completed(
    tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch, run: Run
) -> None:
    monkeypatch.setenv("PATH", fake_service(tmp_path_factory.mktemp("cups"), "office", "bench").path)
    run("printer", "add", "workshop", "--x", "159.4 mm", "--y", "240.5 mm")
    assert completed("job", "--paper", "l") == ["letter", "legal"]
    assert completed("job", "--drive", "3") == ["3/8", "3/4"]
    assert completed("stretch", "--class", "10") == ["10.9"]
    assert completed("job", "--thread", "l") == ["left"]
    for line in ("job --printer", "printer show", "printer remove"):
        assert completed(*line.split(), "") == ["workshop"]
    for line in ("job --print", "printer add"):
        assert completed(*line.split(), "") == ["bench", "office"]
    for line in ("job -o", "set", "set --sockets", "again"):
        assert completed(*line.split(), "") == ["file"]
    assert completed("defaults", "set", "p") == ["paper", "printer"]


def test_completion_is_silent_where_nothing_is_known(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    assert completed("job", "--print", "") == []
