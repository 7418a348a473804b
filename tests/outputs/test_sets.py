"""A set of a list: its pages, files, faults and warnings."""

from __future__ import annotations

import contextlib
import json
import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pypdfium2
import pytest

from kit.collisions import check
from kit.commands import Run
from kit.each import each
from kit.measure import assert_in_words
from kit.sets import a_set, an_item, the_set
from marking import OUTPUTS
from marking.drawing.primitives import Document
from marking.errors import LayoutError, OutputError
from marking.files.pdf import pdf_bytes
from marking.outputs.sets.files import write_sets
from marking.outputs.sets.pages import set_document
from marking.outputs.sets.plan import plan_set

REGISTER = "id;points;drive;opening;od\nS13;12;3/8;13 mm;18,4 mm\nS19;12;1/2;19 mm;27,8 mm\nS24;6;1/2;24 mm;33 mm\n"
LIST = """id;socket;spec;thread;copies;kind
A-1;S19;110 N·m + 90° +10/-0;;2;band
A-2;S19;110 N·m + 90° +30/-0;;1;ring
B-1;S24;160 N·m + 120° ±15;left;1;band
B-2;S24;160 N·m + 120° ±15;;1;disc
C-1;S13;25 N·m + 45° ±10;;1;trim band
"""


@pytest.fixture
def files(tmp_path: Path) -> Path:
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    (tmp_path / "sockets.csv").write_text(REGISTER, "utf-8")
    return tmp_path


def page_texts(document: Document) -> list[str]:
    return texts_of(pypdfium2.PdfDocument(pdf_bytes(document)))


def texts_of(pdf: pypdfium2.PdfDocument) -> list[str]:
    return [re.sub(r"\s+", " ", page.get_textpage().get_text_bounded()) for page in pdf]


def test_a_list_becomes_packed_pages_with_an_index(run: Run, files: Path) -> None:
    done = run("set", "list.csv", "--sockets", "sockets.csv", "-o", "set.pdf", "--json")
    assert done.returncode == 0, done.stderr
    data = json.loads(done.stdout)
    assert data["files"] == ["set.pdf"]
    assert [p["id"] for p in data["pieces"]].count("A-1") == 2
    assert {p["kind"] for p in data["pieces"]} == {"band", "ring", "disc", "trim band"}
    words = texts_of(pypdfium2.PdfDocument(files / "set.pdf"))
    assert len(words) == data["pages"]
    for piece in data["pieces"]:
        assert f"{piece['name']} ·" in words[piece["page"] - 1], "the caption of the piece, which the index has not"


def test_no_text_touches_anything_on_any_page(files: Path) -> None:
    plan = the_set(str(files / "list.csv"), sockets=str(files / "sockets.csv"), tags="piece")
    document = set_document(plan)
    check(document._replace(pages=tuple(document.pages)))


def test_the_output_is_the_same_for_any_number_of_processes(monkeypatch: pytest.MonkeyPatch) -> None:
    items = [an_item(id=f"X{k}", od=f"{45 + k / 10:.1f} mm", row=k, copies=1 + k % 3) for k in range(18)]
    plan = a_set(items)
    monkeypatch.setattr("marking.outputs.sets.pages.PARALLEL_FROM", 3)
    assert len(plan.papers) >= 3, "enough pages for several processes to start"
    assert pdf_bytes(set_document(plan, 1)) == pdf_bytes(set_document(plan, 2)) == pdf_bytes(set_document(plan, 3))


def test_any_number_of_processes_plans_the_same_parts_remarks_and_faults(monkeypatch: pytest.MonkeyPatch) -> None:
    items = [an_item(id=f"X{k}", od=f"{20 + k / 10:.1f} mm", row=k, fasteners=k % 2 or None) for k in range(20)]
    items[3], items[19] = (replace(items[k], spec="90° ±175") for k in (3, 19))
    monkeypatch.setattr("marking.outputs.sets.plan.TOGETHER", 6)
    monkeypatch.setattr("marking.outputs.sets.outlines.TOGETHER", 6)
    one = a_set(items)
    monkeypatch.setattr("marking.outputs.sets.plan.PARALLEL_FROM", 2)
    two = plan_set(items, one.options, 2)
    assert two == one
    assert len(two.faults) == 2
    assert list(set_document(two).pages) == list(set_document(one).pages)
    assert all(part.item is items[part.item.row] for part in two.parts), "no item is kept twice"


def test_all_faults_are_reported_at_once_and_nothing_is_written(run: Run, tmp_path: Path) -> None:
    rows = [
        "id,spec,points,drive,od",
        "A,90° ±5,6,1/2,28 mm",
        "B,90,6,1/2,28 mm",
        "C,90° ±5,6,5/8,28",
        "D,90° ±175,6,1/4,9 mm",
    ]
    (tmp_path / "list.csv").write_text("\n".join(rows), "utf-8")
    done = run("set", "list.csv", "-o", "set.pdf")
    assert done.returncode == 1
    for start in ("list.csv:3: spec:", "list.csv:4: drive:", "list.csv:4: od:", "list.csv:5: "):
        assert start in done.stderr, done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "set.pdf").exists()
    done = run("set", "list.csv", "-o", "set.pdf", "--skip-bad", "--json")
    assert done.returncode == 0
    assert {p["id"] for p in json.loads(done.stdout)["pieces"]} == {"A"}
    assert len(json.loads(done.stdout)["faults"]) >= 4
    assert (tmp_path / "set.pdf").exists()


def test_a_dry_run_says_how_many_pages_and_writes_nothing(run: Run, files: Path) -> None:
    done = run("set", "list.csv", "--sockets", "sockets.csv", "-o", "set.pdf", "--dry-run")
    assert done.returncode == 0
    assert run("set", "list.csv", "--sockets", "sockets.csv", "--dry-run").stdout == done.stdout
    assert run("set", "list.csv", "--sockets", "sockets.csv").returncode == 2, "without a file to write"
    said = re.fullmatch(r"7 pieces on (\d+) pages, 1 of them index, \d+% of the area used\n", done.stdout)
    assert said
    data = json.loads(run("set", "list.csv", "--sockets", "sockets.csv", "--dry-run", "--json").stdout)
    assert (data["pages"], data["index_pages"], data["files"]) == (int(said[1]), 1, [])
    split = run("set", "list.csv", "--sockets", "sockets.csv", "--dry-run", "--split-by", "id").stdout.splitlines()
    assert (split[0].split(",")[0], split[-1]) == ("A-1: 2 pieces on 1 page", "5 files: 5 pages, A4")
    assert not (files / "set.pdf").exists()


@pytest.mark.parametrize(("by", "count"), [("id", 5), ("turn", 4), ("socket", 3)])
def test_a_set_is_split_into_files(run: Run, files: Path, by: str, count: int) -> None:
    done = run("set", "list.csv", "--sockets", "sockets.csv", "-o", "a/split/set.pdf", "--split-by", by)
    assert done.returncode == 0, done.stderr
    names = sorted(path.name for path in files.glob("a/split/set-*.pdf"))
    assert len(names) == count
    if by == "turn":
        assert names == ["set-120pm15.pdf", "set-45pm10.pdf", "set-90p10m0.pdf", "set-90p30m0.pdf"]


def test_a_folder_that_was_made_goes_again_when_nothing_could_be_written(
    files: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OutputError("no room")

    plan = OUTPUTS["set"].plan(OUTPUTS["set"].read(turns="90° ±5", points="6", drive="1/2", split_by="turn"))
    monkeypatch.setattr("marking.outputs.sets.files.write_whole", full)
    with pytest.raises(OutputError):
        write_sets(plan, str(files / "a" / "b" / "set.pdf"))
    assert not (files / "a").exists()
    (files / "a").write_text("a file")
    with pytest.raises(OutputError, match="cannot make the folder"):
        write_sets(plan, str(files / "a" / "b" / "set.pdf"))


def test_ids_that_make_like_file_names_still_get_a_file_each(run: Run, tmp_path: Path) -> None:
    rows = [f"{name},90° ±10,6,1/2,28 mm" for name in ("a-1", "A-1", "A 1", "a-1-2")]
    (tmp_path / "list.csv").write_text("\n".join(["id,spec,points,drive,od", *rows]), "utf-8")
    assert run("set", "list.csv", "-o", "set.pdf", "--split-by", "id").returncode == 0
    names = sorted(path.name.lower() for path in tmp_path.glob("*.pdf"))
    assert len(set(names)) == 4


def test_ids_cannot_escape_their_folder(run: Run, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("id,spec,points,drive,od\n../../evil,90° ±5,6,1/2,28 mm\n", "utf-8")
    done = run("set", "list.csv", "-o", "set.pdf", "--split-by", "id")
    assert done.returncode == 1
    assert "list.csv:2: id:" in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["list.csv"]


def test_a_bar_shows_on_a_terminal_how_far_the_drawing_is(files: Path) -> None:
    """A pseudo-terminal is the only terminal that a test has."""
    master, slave = os.openpty()
    command = [sys.executable, "-m", "turnband", "set", "list.csv", "--sockets", "sockets.csv", "-o", "set.pdf"]
    done = subprocess.run(command, cwd=files, stdout=subprocess.PIPE, stderr=slave, check=True)
    os.close(slave)
    shown = b""
    with contextlib.suppress(OSError):  # the end of a pseudo-terminal on Linux
        while chunk := os.read(master, 4096):
            shown += chunk
    os.close(master)
    assert done.stdout.decode().startswith("wrote set.pdf")
    plan = the_set(str(files / "list.csv"), sockets=str(files / "sockets.csv"))
    assert plan.pages == len(plan.papers) + 1
    assert f"{plan.pages}/{plan.pages}" in shown.decode(), "the bar reaches its end, the index counted"


def test_a_row_that_cannot_be_drawn_is_a_fault_of_its_row() -> None:
    plan = a_set([an_item(), an_item(id="BAD", spec="60 N·m + 180° ±175", row=9)])
    (fault,) = plan.faults
    assert fault.text.startswith("list.csv:9: spec: the marks leave only")
    with pytest.raises(LayoutError):
        a_set([an_item(spec="60 N·m + 180° ±175")])
    crowded = an_item(id="TIGHT", spec="8 N·m + 120° ±15", drive="1/4", od="6 mm", row=7)
    (fault,) = a_set([an_item(), crowded]).faults
    assert fault.text.startswith("list.csv:7: spec: there is no room for the label START")


@each(
    "arguments",
    [
        (), ("list.csv", "--turns", "90°"), ("missing.csv",), ("--turns", "90°"), ("--turns", "ninety"),
        ("list.csv", "--paper", "62mm x roll"), ("list.csv", "--sockets", "missing.csv"),
    ],
)  # fmt: skip
def test_sets_that_cannot_be_made_are_refused(run: Run, files: Path, arguments: tuple[str, ...]) -> None:
    done = run("set", *arguments, "-o", "set.pdf")
    assert_in_words(done, 1, 2)
    assert not (files / "set.pdf").exists()


def test_a_set_goes_to_stdout(run: Run, files: Path) -> None:
    done = run("set", "list.csv", "--sockets", "sockets.csv", "-o", "-")
    assert done.stdout.startswith("%PDF")
    assert run("set", "list.csv", "--sockets", "sockets.csv", "-o", "x.svg").returncode == 0
    assert list(files.glob("x-*.svg"))


@each(("more", "codes"), [
    ({"spec": "60 N·m + 170° ±1", "drive": "1-1/2", "od": "150 mm"}, ["narrow"]),
    ({"spec": "60 N·m + 90° +3/-0", "kind": "disc"}, ["unproved"]),
    ({"drive": "1", "od": "190 mm", "kind": "ring"}, ["od-like-around", "ring-sector"]),
    ({"drive": "1", "od": "190 mm"}, ["od-like-around"]),
])  # fmt: skip
def test_a_set_warns_of_what_its_pieces_warn_of(more: dict[str, str], codes: list[str]) -> None:
    assert [remark.code for remark in a_set([an_item(**more)]).warnings] == codes


def test_a_row_warns_in_a_set_as_it_does_alone(run: Run, tmp_path: Path) -> None:
    spec = "60 N·m + 170° ±1.8"
    (tmp_path / "list.csv").write_text(f"id;spec;points;drive;od\nX;{spec};6;1-1/2;110 mm\n", "utf-8")
    warning = "warning: what this band leaves of the window 168.2–171.8° is too narrow to hit"
    assert warning in run("explain", spec, "--points", "6", "--drive", "1-1/2", "--od", "110 mm").stderr
    done = run("set", "list.csv", "-o", "set.pdf")
    assert warning in done.stderr
    assert "or a band on a diameter of at least" in done.stderr
    assert "(X)" in done.stderr


def test_no_file_is_left_when_the_drawing_is_interrupted(files: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from click.testing import CliRunner

    from turnband.main import main

    def interrupted(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("marking.outputs.sets.pages.draw_page", interrupted)
    target = str(files / "set.pdf")
    done = CliRunner().invoke(
        main, ["set", str(files / "list.csv"), "--sockets", str(files / "sockets.csv"), "-o", target]
    )
    assert done.exit_code == 1
    assert "Aborted" in done.output
    assert sorted(path.name for path in files.iterdir()) == ["list.csv", "sockets.csv"]


def test_a_warning_that_many_pieces_share_is_said_once(run: Run, files: Path) -> None:
    done = run("set", "--turns", "30°, 45°, 90° +20/-0", "--sockets", "sockets.csv", "-o", "set.pdf")
    lines = done.stderr.splitlines()
    assert len(lines) == 2, "no tolerance, for either turn; nothing of a torque, which turns for stock have none of"
    assert lines[0].endswith("(S13-30, S19-30, S24-30)")
    (files / "some.csv").write_text("spec;socket\n90° ±15;S24\n60 N·m + 90° ±15;S24\n", "utf-8")
    done = run("set", "some.csv", "--sockets", "sockets.csv", "-o", "set.pdf")
    assert done.stderr.rstrip().endswith("take it from the manual before the turn (row-2)")
    assert run("set", "list.csv", "--sockets", "sockets.csv", "-o", "set.pdf", "--split-by", "id").stderr == ""


def test_rows_that_cannot_be_drawn_are_said_even_when_none_is_left(run: Run, tmp_path: Path) -> None:
    bad = "A,60 N·m + 180° ±175,6,1/2,28 mm"
    (tmp_path / "bad.csv").write_text(f"id,spec,points,drive,od\n{bad}\n", "utf-8")
    for more in ((), ("--skip-bad",), ("--skip-bad", "--split-by", "id")):
        done = run("set", "bad.csv", "-o", "set.pdf", *more)
        assert done.returncode == 1
        assert "bad.csv:2: spec: the marks leave only" in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["bad.csv"]
    (tmp_path / "bad.csv").write_text(f"id,spec,points,drive,od\n{bad}\nB,9 N·m + 90° ±10,6,1/2,28 mm\n", "utf-8")
    done = run("set", "bad.csv", "-o", "set.pdf", "--skip-bad", "--split-by", "id")
    assert done.returncode == 0, "a bad row does not keep the others from their files"
    assert "bad.csv:2: spec:" in done.stderr
    assert [path.name for path in tmp_path.glob("*.pdf")] == ["set-B.pdf"]


def test_a_socket_lies_together_its_label_first_and_the_maps_say_where(files: Path) -> None:
    plan = the_set(None, turns="60° ±8, 90° ±5, 120° ±5", sockets=str(files / "sockets.csv"), tags="socket")
    groups = [plan.parts[spot.part].group for spot in plan.spots]
    assert [group for k, group in enumerate(groups) if k == 0 or group != groups[k - 1]] == list(dict.fromkeys(groups))
    for group in set(groups):
        assert plan.parts[plan.spots[groups.index(group)].part].label is not None
    index, *_ = page_texts(set_document(plan))
    rows = {(spot.place[0], plan.parts[spot.part].group) for spot in plan.spots}
    (said,) = plan.front.sockets
    assert {(row[0], name) for row in said.split(" · ") for name in row[2:].split(", ")} == rows
    assert all(part in index for part in said.split(" · "))
    tight = the_set(None, turns="60° ±8", sockets=str(files / "sockets.csv"), pack="tight")
    assert len(tight.parts) == 3
