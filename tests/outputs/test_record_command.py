"""The command that writes a card."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest

from kit.commands import Run
from kit.each import each
from kit.measure import assert_refused, strokes
from kit.record import SPEC
from marking.sheets.paper import LEFT_MM

RECORD = ("record", SPEC, "--fasteners", "8")


def test_the_command_writes_pdf_and_svg_and_says_so(run: Run, tmp_path: Path) -> None:
    for name in ("card.pdf", "card.svg"):
        done = run(*RECORD, "-o", name)
        assert (done.returncode, done.stdout, done.stderr) == (0, f"wrote {name}: 1 page, A4.\n", "")
        assert (tmp_path / name).stat().st_size > 5000


def test_json_tells_places_and_order(run: Run) -> None:
    done = run(*RECORD, "-o", "card.pdf", "--json")
    data = json.loads(done.stdout)
    assert data["pattern"] == {"kind": "circle", "rows": None, "count": 8, "unit": "radius"}
    assert [entry["position"] for entry in data["fasteners"]] == [1, 5, 3, 7, 2, 6, 4, 8]
    assert [entry["order"] for entry in data["fasteners"]] == [1, 2, 3, 4, 5, 6, 7, 8]
    third = data["fasteners"][2]
    assert (third["x"], third["y"]) == pytest.approx((1.0, 0.0)), "position 3 of 8 is at three o'clock"
    assert data["spec"]["snug_torque_nm"] == 110.0
    assert data["files"] == ["card.pdf"]
    rows = json.loads(run("record", SPEC, "--fasteners", "4", "--pattern", "rows", "-o", "x.pdf", "--json").stdout)
    assert rows["pattern"] == {"kind": "rows", "rows": 2, "count": 4, "unit": "pitch"}
    assert [(entry["x"], entry["y"]) for entry in rows["fasteners"]] == [
        (-0.5, 0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, -0.5),
    ]  # fmt: skip


def test_it_warns_of_what_is_to_be_written_by_hand(run: Run) -> None:
    done = run("record", "90°", "--fasteners", "8", "-o", "x.pdf")
    assert done.returncode == 0
    assert "no snug torque" in done.stderr
    assert "has no tolerance" in done.stderr


def test_a_dash_puts_the_card_on_stdout(run: Run, tmp_path: Path) -> None:
    done = run(*RECORD, "-o", "-")
    assert done.returncode == 0
    assert done.stdout.startswith("%PDF-")
    assert list(tmp_path.iterdir()) == []


def test_a_printer_profile_stretches_the_card(run: Run, tmp_path: Path) -> None:
    assert run("printer", "add", "office", "--x", "158.4 mm", "--y", "240 mm").returncode == 0
    lefts = []
    for more in ((), ("--printer", "office")):
        assert run(*RECORD, *more, "-o", "card.svg").returncode == 0
        root = ElementTree.parse(tmp_path / "card.svg").getroot()
        assert root.get("width") == "210mm"
        lefts.append(next(line.x1 for line in strokes(root) if line.role == "rule-strong"))
    assert lefts == pytest.approx([LEFT_MM, LEFT_MM * 160 / 158.4], abs=0.001)


@each(
    ("code", "arguments", "reason"),
    [
        (1, (*RECORD, "-o", "x.bmp"), ".pdf"),
        (1, (*RECORD, "--paper", "62mm x roll", "-o", "x.pdf"), "label stock"),
        (1, (*RECORD, "--paper", "a5", "--margin", "nan mm", "-o", "x.pdf"), "margin"),
        (1, (*RECORD, "--title", "漢字", "-o", "x.pdf"), "U+6F22"),
        (1, (*RECORD, "--title", "a\u202eb", "-o", "x.pdf"), "U+202E"),
        (1, (*RECORD, "--printer", "nobody", "-o", "x.pdf"), "nobody"),
        (1, (*RECORD, "--rows", "2", "-o", "x.pdf"), "--pattern rows"),
        (1, (*RECORD, "--pattern", "rows", "--rows", "3", "-o", "x.pdf"), "--rows 1 or 2 or 4"),
        (1, ("record", "", "--fasteners", "8", "-o", "x.pdf"), "spec"),
        (1, ("record", "nan° + -5", "--fasteners", "8", "-o", "x.pdf"), "spec"),
        (1, ("record", "1e9 N·m + 90°", "--fasteners", "8", "-o", "x.pdf"), "spec"),
        (1, ("record", "<b>90°</b>", "--fasteners", "8", "-o", "x.pdf"), "spec"),
        (1, ("record", "90° + 60°", "--fasteners", "8", "--witness", "first", "-o", "x.pdf"), "turns that grow"),
        (2, RECORD, "--output"),
        (2, ("record", SPEC, "-o", "x.pdf"), "--fasteners"),
        (2, ("record", SPEC, "--fasteners", "0", "-o", "x.pdf"), "1<=x<=200"),
        (2, ("record", SPEC, "--fasteners", "9" * 30, "-o", "x.pdf"), "1<=x<=200"),
        (2, ("record", SPEC, "--fasteners", "nan", "-o", "x.pdf"), "--fasteners"),
        (2, (*RECORD, "--pattern", "star", "-o", "x.pdf"), "--pattern"),
        (2, (*RECORD, "-o", "-", "--json"), "stdout"),
    ],
)
def test_refusals_say_why_and_leave_no_file(
    run: Run, tmp_path: Path, code: int, arguments: tuple[str, ...], reason: str
) -> None:
    assert_refused(run(*arguments), code, reason, tmp_path)


def test_help_shows_examples(run: Run) -> None:
    assert "Examples:" in run("record", "--help").stdout
