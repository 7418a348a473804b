"""Printed again: some ids, some sockets, or only what an older list does not have."""

from __future__ import annotations

import json
from pathlib import Path

import pypdfium2
import pytest

from kit.commands import Run
from kit.each import each
from kit.sets import an_item
from marking.errors import RangeError
from marking.lists.chosen import Changes, changes, chosen

SOCKETS = "id;points;drive;od\nS1;6;1/2;28 mm\nS2;6;1/2;33 mm\nS3;12;1/2;24 mm\n"
LIST = "id;spec;socket;copies\nA;60 N·m + 90° ±10;S1;1\nB, left;60 N·m + 90° ±10;S2;1\nC;60 N·m + 90° ±10;S3;2\n"


@pytest.fixture
def files(tmp_path: Path) -> Path:
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    (tmp_path / "sockets.csv").write_text(SOCKETS, "utf-8")
    return tmp_path


def printed(run: Run, *arguments: str) -> list[str]:
    done = run("set", *arguments, "-o", "set.pdf", "--json")
    assert done.returncode == 0, done.stderr
    return sorted({piece["id"] for piece in json.loads(done.stdout)["pieces"]})


@each(
    ("arguments", "ids"),
    [
        (("--only", "A"), ["A"]), (("--only", "A,C"), ["A", "C"]), (("--only", "B, left"), ["B, left"]),
        (("--only", " C ; A"), ["A", "C"]), (("--socket", "S3"), ["C"]), (("--socket", "S1,S2"), ["A", "B, left"]),
        (("--socket", "S1,S2", "--only", "A"), ["A"]),
    ],
)  # fmt: skip
def test_only_what_is_asked_for_is_printed(run: Run, files: Path, arguments: tuple[str, ...], ids: list[str]) -> None:
    assert printed(run, "list.csv", "--sockets", "sockets.csv", *arguments) == ids


def test_one_piece_is_printed_on_one_page(run: Run, files: Path) -> None:
    assert printed(run, "--turns", "30°, 90° +10/-0", "--sockets", "sockets.csv", "--only", "S2-90+10-0") == [
        "S2-90+10-0"
    ]
    assert len(pypdfium2.PdfDocument(files / "set.pdf")) == 1


@each(
    ("field", "text", "words"),
    [("only", "A1", "no id A1; nearest: A"), ("socket", "S9", "no socket S9; nearest: S"), ("only", ",", "no id ,")],
)
def test_a_name_that_nothing_has_is_refused_with_near_ones(field: str, text: str, words: str) -> None:
    with pytest.raises(RangeError, match=words):
        chosen([an_item(id="A", socket="S1"), an_item(id="B", socket="S2")], text, field)


def test_an_id_that_is_not_found_may_be_in_a_row_with_a_fault_or_for_another_socket(run: Run, files: Path) -> None:
    done = run("set", "list.csv", "--only", "A", "--dry-run")
    assert "no id A in a row without faults; check --only, or mend list.csv:2: socket: 3 rows name" in done.stderr
    assert done.stderr.endswith("give it with sockets\n")
    done = run("set", "list.csv", "--sockets", "sockets.csv", "--socket", "S3", "--only", "A", "--dry-run")
    assert "no id A for these sockets; check --only" in done.stderr


def test_an_item_is_changed_when_it_prints_something_else_and_not_when_it_is_only_typed_otherwise() -> None:
    before = [an_item(id=name, row=k) for k, name in enumerate(("same", "typed", "turn", "od", "gone", "copies"))]
    now = [
        an_item(id="new"),
        an_item(id="copies", copies=2),
        an_item(id="od", od="28.1 mm"),
        an_item(id="turn", spec="60 N·m + 95° ±10"),
        an_item(id="typed", od="28,0 mm", spec="60 Nm, then 90 deg +/- 10"),
        an_item(id="same", row=99, file="other.csv"),
    ]
    assert changes(now, before) == Changes(("new",), ("od", "turn"), ("copies",), ("gone",))


def test_only_news_since_an_older_list_are_printed_with_what_went(run: Run, files: Path) -> None:
    (files / "new.csv").write_text(LIST.replace("B, left", "D").replace("S3;2", "S3;3"), "utf-8")
    arguments = ("new.csv", "--sockets", "sockets.csv", "--since", "list.csv")
    assert printed(run, *arguments) == ["C", "D"]
    words = pypdfium2.PdfDocument(files / "set.pdf")[0].get_textpage().get_text_bounded().split("\r\n")
    notes = [line for line in words if "since list.csv" in line and "print again" not in line]
    assert notes == [
        "new since list.csv: D",
        "only number or title changed since list.csv, keep their old pieces; where more are wanted, the missing are "
        "printed: C",
        "no longer in the list since list.csv, take their pieces out: B, left",
    ]
    none = run("set", "list.csv", "--sockets", "sockets.csv", "--since", "list.csv", "-o", "none.pdf")
    assert none.returncode == 1
    assert "nothing is new or changed since list.csv" in none.stderr


def test_a_socket_that_the_register_has_measured_anew_is_news(run: Run, files: Path) -> None:
    (files / "new-sockets.csv").write_text(SOCKETS.replace("33 mm", "33.5 mm"), "utf-8")
    arguments = ("--since", "list.csv", "--since-sockets", "sockets.csv")
    assert printed(run, "list.csv", "--sockets", "new-sockets.csv", *arguments) == ["B, left"]
    by_turn = ("--turns", "60° ±8, 90° ±8", "--sockets", "new-sockets.csv", "--since", "sockets.csv")
    assert printed(run, *by_turn) == ["S2-60+8-8", "S2-90+8-8"]
