"""The shell line of an output makes the same bytes again, and is what a person would type."""

from __future__ import annotations

import shlex
from functools import partial
from pathlib import Path
from typing import Any

import pint
import pytest

from kit.commands import Run
from kit.each import each
from kit.pdf_reading import PdfPage, pdf_pages
from marking import OUTPUTS, Output
from marking.drawing.primitives import Document
from marking.errors import KindError, LayoutError
from marking.files.pdf import pdf_bytes
from marking.sheets.furniture import finished_page, version
from marking.sheets.paper import SIZES, Paper

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
     {"title": "-5", "diameter": partial(pint.Quantity, 4.5, "inch"), "view_angle": partial(pint.Quantity, 5, "deg")},
     'disc "110 N·m + 90° +10/-0" --drive 1/2 --diameter "4.5 in" --title -5 --view-angle "5 deg"'),
    ("tape", (), {"high": "40 mm", "low": "8 mm"}, 'tape --to "40 mm"'),
    ("blank", (12, "1/2"), {"thread": "left"}, "blank --points 12 --drive 1/2 --thread left"),
    ("proof", (), {"paper": "letter"}, "proof --paper letter"),
    ("set", (), {"turns": "60°, 90° ±5", "points": "6,12", "drive": "3/8", "tags": "socket", "cards": True},
     'set --turns "60°, 90° ±5" --points 6,12 --drive 3/8 --tags socket --cards'),
    ("record", (SPEC, 8), {"pattern": "rows"}, 'record "110 N·m + 90° +10/-0" --fasteners 8 --pattern rows'),
    ("chart", (), {}, "chart"),
    ("stretch", ("40 N·m + 45° ±3", "M12x1.75", "10.9", "120 mm"), {},
     'stretch "40 N·m + 45° ±3" --screw M12x1.75 --class 10.9 --grip "120 mm"'),
    ("lesson", (SPEC,), {"trainees": 1, "seed": 7, "points": 12},
     'lesson "110 N·m + 90° +10/-0" --trainees 1 --seed 7'),
]  # fmt: skip


def filled(more: dict[str, Any]) -> dict[str, Any]:
    """Options with their quantities made: pint takes its time to load."""
    return {field: value() if callable(value) else value for field, value in more.items()}


@pytest.mark.parametrize(("name", "first", "more", "line"), LINES)
def test_the_line_makes_the_same_plan_again(
    run: Run, monkeypatch: pytest.MonkeyPatch, name: str, first: tuple[Any, ...], more: dict[str, Any], line: str
) -> None:
    made, more, planned = OUTPUTS[name], filled(more), []
    assert made.command(*first, **more) == f"turnband {line} -o again.pdf"
    plan = made.plan(made.read(*first, **more))

    def stop(_: Output, request: Any) -> None:
        planned.append(request)
        raise LayoutError("planned", "no drawing")

    monkeypatch.setattr(Output, "plan", stop)
    monkeypatch.setattr("marking.outputs.sets.plan.plan", lambda request, jobs: stop(made, request))
    run(*shlex.split(made.command(*first, **more))[1:])
    monkeypatch.undo()
    (request,) = planned
    assert made.plan(request) == plan


def foot_of(page: PdfPage) -> str:
    """The footer of a page but for the page's number, on one line."""
    found = [word for word in page.words if word.size_pt == pytest.approx(6.0, abs=0.2) and word.y < 11.0]
    return " ".join(word.text for word in sorted(found, key=lambda word: (word.y < 8.6, word.x)))


def typed_again(foot: str) -> list[str]:
    """The words behind the program's name, as a shell takes the line in a footer apart."""
    program, *words = shlex.split(foot.split(" · print again: ")[1])
    assert program == "turnband"
    return words


FOOTED = [*{name: (name, first, more) for name, first, more, _ in reversed(LINES)}.values(), LINES[5][:3]]
"""A line of each output, and one with every sign that a shell knows."""


@pytest.mark.parametrize(("name", "first", "more"), FOOTED)
def test_the_line_at_the_foot_of_every_page_makes_the_same_bytes_again(
    run: Run, tmp_path: Path, name: str, first: tuple[Any, ...], more: dict[str, Any]
) -> None:
    made, more = OUTPUTS[name], filled(more)
    pdf = pdf_bytes(made.draw(made.plan(made.read(*first, **more)), made.command(*first, **more)))
    pages = pdf_pages(pdf)
    assert all(f"page {number} of {len(pages)}" in page.text for number, page in enumerate(pages, 1))
    (foot,) = {foot_of(page) for page in pages}
    assert foot.startswith(f"{version()} · print again: ")
    assert run(*typed_again(foot)).returncode == 0
    assert (tmp_path / "again.pdf").read_bytes() == pdf


def test_without_a_command_the_foot_has_none() -> None:
    made = OUTPUTS["chart"]
    (page,) = pdf_pages(pdf_bytes(made.draw(made.plan(made.read()))))
    assert foot_of(page) == version()


def test_a_printer_that_the_environment_names_stands_in_the_line(run: Run, tmp_path: Path) -> None:
    assert run("printer", "add", "bench 2", "--x", "159.4 mm", "--y", "240.5 mm").returncode == 0
    assert run("tape", "-o", "tape.pdf", TURNBAND_PRINTER="bench 2").returncode == 0
    first = tmp_path / "tape.pdf"
    foot = foot_of(pdf_pages(first)[0])
    assert foot.startswith(f"{version()} · corrected for printer bench 2 · print again: ")
    assert run(*typed_again(foot)).returncode == 0
    assert (tmp_path / "again.pdf").read_bytes() == first.read_bytes()


def test_a_set_names_its_list_without_the_folder_and_what_its_faults_need(run: Run, tmp_path: Path) -> None:
    good, bad = "A,90° ±5,12,1/2,27 mm\n", "B,nothing,12,1/2,27 mm\n"
    (tmp_path / "lists").mkdir()
    for name, rows in (("list.csv", good), ("bad.csv", good + bad)):
        for folder in (tmp_path, tmp_path / "lists"):
            (folder / name).write_text(f"id,spec,points,drive,od\n{rows}", "utf-8")
        assert run("set", str(tmp_path / "lists" / name), "--skip-bad", "-o", "set.pdf").returncode == 0
        first = (tmp_path / "set.pdf").read_bytes()
        again = typed_again(foot_of(pdf_pages(first)[-1]))
        assert again == ["set", *["--skip-bad"] * (name == "bad.csv"), name, "-o", "again.pdf"]
        assert run(*again).returncode == 0
        assert (tmp_path / "again.pdf").read_bytes() == first


@each(
    ("name", "given", "shown"),
    [
        ("set", {"list_file": "漢字 list.csv"}, "turnband set …"),
        ("record", {"spec": SPEC, "fasteners": 4, "title": "two  spaces"},
         'turnband record "110 N·m + 90° +10/-0" --fasteners 4 --title "two …'),
        ("record", {"spec": SPEC, "fasteners": 4, "title": "long " * 23 + "title", "paper": "a5"}, "long …"),
    ],
)  # fmt: skip
def test_a_line_that_does_not_stand_whole_at_the_foot_says_so(name: str, given: dict[str, Any], shown: str) -> None:
    line = OUTPUTS[name].command(**given)
    page = finished_page(Paper(*SIZES[given.get("paper", "a4")]), [], ("Title",), 1, 1, command=line)
    found = foot_of(pdf_pages(pdf_bytes(Document((page,))))[0]).removeprefix(f"{version()} · print again: ")
    assert found.endswith(shown)
    assert line.startswith(found.removesuffix(" …"))


def test_a_spec_of_several_lines_stands_on_one_where_that_reads_equal() -> None:
    line = OUTPUTS["record"].command
    assert line("1. 20 N·m\n2.\u00a060 N·m\n3. 90°", 4).startswith('turnband record "1. 20 N·m 2. 60 N·m 3. 90°"')


def test_every_output_that_writes_has_a_line_here() -> None:
    assert {name for name, *_ in LINES} == {name for name, made in OUTPUTS.items() if made.writes != "never"}


def test_a_list_whose_name_begins_with_a_dash_stands_last(run: Run, tmp_path: Path) -> None:
    (tmp_path / "-list.csv").write_text("id,spec,points,drive,od\nA,90° ±5,12,1/2,27 mm\n", "utf-8")
    line = OUTPUTS["set"].command("-list.csv", cards=True)
    assert line == "turnband set --cards -o again.pdf -- -list.csv"
    assert run(*shlex.split(line)[1:]).returncode == 0


def test_what_cannot_be_read_has_no_line() -> None:
    with pytest.raises(KindError):
        OUTPUTS["job"].command(SPEC, 12, "1/2", colour="red")
