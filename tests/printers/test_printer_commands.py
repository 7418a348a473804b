"""The commands that add, list, show and remove printers."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from kit.commands import Run
from kit.each import each
from kit.measure import assert_in_words
from kit.printers import BENCH, OFFICE, kept
from marking.printers.store import add_profile, load_profiles

MEASURED = ("--x", "159.4 mm", "--y", "240.5 mm")


def test_printers_are_added_listed_shown_and_removed(run: Run, folder: Path) -> None:
    done = run("printer", "list")
    assert (done.returncode, done.stdout) == (0, "")
    assert "no printers yet" in done.stderr
    added = run("printer", "add", "office", *MEASURED, "--stock", "0.11 mm")
    assert added.returncode == 0, added.stderr
    assert str(folder / "printers.toml") in added.stdout
    assert "  across  159.4 mm for 160 mm: 99.625 %\n" in added.stdout
    assert "  along   240.5 mm for 240 mm: 100.208 %\n" in added.stdout
    assert run("printer", "add", "A5 tray", "--x", "119.8 mm", "--x-nominal", "120 mm",
               "--y", "160.1 mm", "--y-nominal", "160 mm").returncode == 0  # fmt: skip
    shown = run("printer", "show", "office")
    assert shown.stdout == added.stdout.split("\n", 1)[1]
    listed = run("printer", "list").stdout
    assert listed.index("A5 tray") < listed.index("office")
    assert shown.stdout in listed
    removed = run("printer", "remove", "office")
    assert (removed.returncode, removed.stdout) == (0, "removed office\n")
    assert list(load_profiles()) == ["A5 tray"]


def test_json_holds_every_number_unrounded(run: Run, folder: Path) -> None:
    assert json.loads(run("printer", "list", "--json").stdout) == {"printers": []}
    add_profile(OFFICE)
    add_profile(BENCH)
    office = json.loads(run("printer", "show", "office", "--json").stdout)
    assert office == {
        "name": "office", "x_measured_mm": 159.4, "x_nominal_mm": 160.0, "y_measured_mm": 240.5, "y_nominal_mm": 240.0,
        "stock_mm": 0.11, "x_scale": 159.4 / 160, "y_scale": 240.5 / 240,
    }  # fmt: skip
    listed = json.loads(run("printer", "list", "--json").stdout)["printers"]
    assert [entry["name"] for entry in listed] == [BENCH.name, OFFICE.name]
    assert listed[0]["stock_mm"] is None
    assert listed[1] == office


REFUSED = {
    1: [
        ("add", "office", "--x", "160 mm", "--y", "240 mm"),
        ("add", "new", "--x", "150 mm", "--y", "240 mm"),
        ("add", "new", "--x", "160", "--y", "240 mm"),
        ("add", "new", "--x", "-160 mm", "--y", "240 mm"),
        ("add", "a/b", *MEASURED),
        ("add", "", *MEASURED),
        ("add", "new", *MEASURED, "--stock", "2 mm"),
        ("add", "new", *MEASURED, "--x-nominal", "1 mm"),
        ("show", "other"),
        ("remove", "other"),
        ("show", "../office"),
    ],
    2: [
        ("add", "new"),
        ("add", *MEASURED),
        ("add", "new", "--x", "160 mm"),
        ("add", "-new", *MEASURED),
        ("show",),
        ("remove",),
        ("forget", "office"),
        ("list", "office"),
    ],
}


@each(("code", "arguments"), [(c, a) for c, every in REFUSED.items() for a in every])
def test_refusals_say_why_and_change_nothing(run: Run, folder: Path, code: int, arguments: tuple[str, ...]) -> None:
    add_profile(OFFICE, replace=True)
    before = kept(folder)
    done = run("printer", *arguments)
    assert_in_words(done, code)
    assert kept(folder) == before


@pytest.mark.parametrize(
    "arguments", [("list",), ("show", "office"), ("remove", "office"), ("add", "new", *MEASURED, "--replace")]
)
def test_every_command_refuses_a_broken_file(run: Run, folder: Path, arguments: tuple[str, ...]) -> None:
    folder.mkdir()
    (folder / "printers.toml").write_text("[office\n")
    done = run("printer", *arguments)
    assert (done.returncode, done.stdout) == (1, "")
    assert "printers.toml' cannot be used: " in done.stderr
    assert "Traceback" not in done.stderr
    assert kept(folder) == {"printers.toml": b"[office\n"}


@each("command", ["", "add", "list", "show", "remove"])
def test_every_printer_command_has_help_with_examples(run: Run, command: str) -> None:
    done = run("printer", *command.split(), "--help")
    assert done.returncode == 0
    assert "Examples:\n    turnband printer " in done.stdout
