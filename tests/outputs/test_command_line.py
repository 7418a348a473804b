"""The shell line of an output makes the same bytes again, and is what a person would type."""

from __future__ import annotations

import io
import shlex
from pathlib import Path
from typing import Any

import pint
import pytest

from kit.commands import Run
from marking import OUTPUTS, Output
from marking.errors import KindError, LayoutError
from marking.files.pdf import write_pdf

SPEC = "110 N·m + 90° +10/-0"
SOCKETS = {"points": "6", "drive": "1/4"}

LINES: list[tuple[str, tuple[Any, ...], dict[str, Any], str]] = [
    (
        "job", (SPEC, 12, "1/2"), {"od": "27.8 mm", "thread": "RH", "copies": None, "title": "", "unit": "mm"},
        'job "110 N·m + 90° +10/-0" --points 12 --drive 1/2 --od "27.8 mm"',
    ),
    (
        "job", (SPEC, 6, "1/2"), {"thread": "lh", "opening": "3/4 in", "extras": ("disc", "mat"), "fasteners": 8},
        'job "110 N·m + 90° +10/-0" --points 6 --drive 1/2 --opening "3/4 in" --unit mm --thread lh --fasteners 8 '
        "--with disc --with mat",
    ),
    (
        "job", (SPEC, 6, "1/2"), {"opening": "3/4 in", "unit": "in"},
        'job "110 N·m + 90° +10/-0" --points 6 --drive 1/2 --opening "3/4 in"',
    ),
    (
        "job", (SPEC, 6, "1/2"), {"opening": "M14", "od_range": "1 in..1.3 in"},
        'job "110 N·m + 90° +10/-0" --points 6 --drive 1/2 --od-range "1 in..1.3 in" --opening M14',
    ),
    (
        "job", (SPEC, 6, "1/2"), {"opening": "19 mm", "od_range": "1 in..1.3 in"},
        'job "110 N·m + 90° +10/-0" --points 6 --drive 1/2 --od-range "1 in..1.3 in" --opening "19 mm"',
    ),
    (
        "job", (SPEC, 6, "1/2"), {"od": '1-3/32"', "opening": "19 mm", "unit": "mm", "title": "R&D's \\ $HOME `x` 5!"},
        "job \"110 N·m + 90° +10/-0\" --points 6 --drive 1/2 --od '1-3/32\"' --opening \"19 mm\" --unit mm "
        "--title 'R&D'\"'\"'s \\ $HOME `x` 5!'",
    ),
    ("mat", (SPEC, "1/2"), {"opening": "M14", "points": "6"},
     'mat "110 N·m + 90° +10/-0" --drive 1/2 --points 6 --opening M14'),
    ("disc", (SPEC, "1/2"),
     {"title": "-5", "diameter": pint.Quantity(4.5, "inch"), "view_angle": pint.Quantity(5, "deg")},
     'disc "110 N·m + 90° +10/-0" --drive 1/2 --diameter "4.5 in" --title -5 --view-angle "5 deg"'),
    ("tape", (), {"high": "40 mm", "low": "8 mm"}, 'tape --to "40 mm"'),
    ("blank", (12, "1/2"), {"thread": "left"}, "blank --points 12 --drive 1/2 --thread left"),
    ("proof", (), {"paper": "letter"}, "proof --paper letter"),
    ("set", (), {"turns": "60°, 90° ±5", "points": "6,12", "drive": "3/8", "tags": True},
     'set --turns "60°, 90° ±5" --points 6,12 --drive 3/8 --tags'),
    ("record", (SPEC, 8), {"pattern": "rows"}, 'record "110 N·m + 90° +10/-0" --fasteners 8 --pattern rows'),
    ("chart", (), {}, "chart"),
    ("stretch", ("40 N·m + 45° ±3", "M12x1.75", "10.9", "120 mm"), {},
     'stretch "40 N·m + 45° ±3" --screw M12x1.75 --class 10.9 --grip "120 mm"'),
    ("lesson", (SPEC,), {"trainees": 1, "seed": 7, "points": 12},
     'lesson "110 N·m + 90° +10/-0" --trainees 1 --seed 7'),
]  # fmt: skip


@pytest.mark.parametrize(("name", "first", "more", "line"), LINES)
def test_the_line_makes_the_same_plan_again(
    run: Run, monkeypatch: pytest.MonkeyPatch, name: str, first: tuple[Any, ...], more: dict[str, Any], line: str
) -> None:
    made, planned = OUTPUTS[name], []
    assert made.command(*first, **more) == f"turnband {line}"
    plan = made.plan(made.read(*first, **more))

    def stop(_: Output, request: Any) -> None:
        planned.append(request)
        raise LayoutError("planned", "no drawing")

    monkeypatch.setattr(Output, "plan", stop)
    run(*shlex.split(made.command(*first, **more))[1:], "-o", "again.pdf")
    monkeypatch.undo()
    (request,) = planned
    assert made.plan(request) == plan


@pytest.mark.parametrize(("name", "first", "more"), [LINES[5][:3], ("set", (), {"turns": "60° ±8", **SOCKETS})])
def test_the_line_makes_the_same_bytes_again(
    run: Run, tmp_path: Path, name: str, first: tuple[Any, ...], more: dict[str, Any]
) -> None:
    made = OUTPUTS[name]
    program, *words = shlex.split(made.command(*first, **more))
    assert program == "turnband"
    assert run(*words, "-o", "again.pdf").returncode == 0
    content = io.BytesIO()
    write_pdf(made.draw(made.plan(made.read(*first, **more))), content)
    assert (tmp_path / "again.pdf").read_bytes() == content.getvalue()


def test_every_output_that_writes_has_a_line_here() -> None:
    assert {name for name, *_ in LINES} == {name for name, made in OUTPUTS.items() if made.writes != "never"}


def test_a_list_whose_name_begins_with_a_dash_stands_last(run: Run, tmp_path: Path) -> None:
    (tmp_path / "-list.csv").write_text("id,spec,points,drive,od\nA,90° ±5,12,1/2,27 mm\n", "utf-8")
    line = OUTPUTS["set"].command("-list.csv", tags=True)
    assert line == "turnband set --tags -- -list.csv"
    assert run(*shlex.split(line)[1:3], "-o", "x.pdf", *shlex.split(line)[3:]).returncode == 0


def test_what_cannot_be_read_has_no_line() -> None:
    with pytest.raises(KindError):
        OUTPUTS["job"].command(SPEC, 12, "1/2", colour="red")
