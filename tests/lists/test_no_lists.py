"""Files that are no lists, or too much of one."""

from __future__ import annotations

import csv
import difflib
import io
import os
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.each import each
from kit.examples import ANY
from kit.lists import GOOD, HEADER, SPEC, Write, many
from marking import MarkingError
from marking.lists import read as under_test
from marking.lists import table_file as table_files
from marking.lists.headings import COLUMNS
from marking.lists.read import read_list, read_register
from marking.lists.table_file import MAX_COLUMNS, MAX_ROWS, ListError

# -- files that are no lists


@each(
    ("content", "reason"),
    [
        (b"", "is empty"), (b" \n\n;;\n", "is empty"), (b"spec\0\n90\n", "NUL"),
        (b"a;b\n1;2\n", "no column that is known"),
        (b"spec\n\x81\x8d\n", "is no text"), (b"\xff\xfes\0p\0e", "is no text"), (b"PK\3\4 not a zip", "as a workbook"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "old binary workbook"), (b"\x89PNG\r\n\x1a\n\0\0", "NUL"),
        (b'spec\n"90', "row 2"), (b'spec;id\n"90"x;1\n', "row 2"),
        (b"spec\n" + b"9" * 2_000_000, "line that is too long"),
        (b"spec" + b";x" * MAX_COLUMNS + b"\n", "columns"), ("spec\n90°\n".encode("utf-16-le"), "NUL"),
        (b"spec\n" + b'"' + b"9" * 200_000 + b'"\n', "row 2"),
    ],
)  # fmt: skip
def test_files_that_are_no_list_are_refused_with_the_reason(tmp_path: Path, content: bytes, reason: str) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(content)
    with pytest.raises(ListError, match=reason) as caught:
        read_list(path)
    assert "list.csv" in str(caught.value)


def test_missing_files_folders_and_pipes_are_refused(tmp_path: Path) -> None:
    for path, reason in (
        (tmp_path, "is a folder"),
        (tmp_path / "none.csv", "does not exist"),
        ("a\0b", "cannot be read"),
    ):
        with pytest.raises(ListError, match=reason):
            read_list(path)
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe")
        with pytest.raises(ListError, match="no ordinary file"):
            read_list(tmp_path / "pipe")


def test_a_file_above_64_mib_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    with path.open("wb") as file:
        file.truncate(64 * 2**20 + 1)
    with pytest.raises(ListError, match="at most 64 MiB"):
        read_list(path)


def test_too_many_rows_are_refused_before_any_is_checked(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(under_test, "item_of_row", lambda *_: pytest.fail("a row was checked"))
    path = tmp_path / "list.csv"
    path.write_bytes(b"spec;points;drive\n" + b"x;6;1/2\n" * (MAX_ROWS + 1) + b'"')
    with pytest.raises(ListError, match="at most 100,000 below the header"):  # the quote at the end is not met
        read_list(path)


def test_lines_without_end_are_not_counted_to_their_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "list.csv"
    monkeypatch.setattr(table_files, "MAX_SHEET_ROWS", 1000)
    path.write_bytes(b"spec\n" + b"\n" * 998 + b"x\n")
    assert len(read_list(path).faults) == 3
    path.write_bytes(b"spec\n" + b"\n" * 1000 + b'"')  # the quote is not met
    with pytest.raises(ListError, match="too many rows"):
        read_list(path)


def test_near_ids_are_suggested_only_as_long_as_that_is_quick(write: Write, monkeypatch: pytest.MonkeyPatch) -> None:
    ids = [f"{'ab' * 24}{n}" for n in range(100)]
    register = read_register(write(("id", "points", "drive"), *((name, "12", "1/2") for name in ids)))
    compared: list[int] = []
    nearest = difflib.get_close_matches

    def counted(name: str, known: Sequence[str], *more: Any) -> list[str]:
        compared.append(len(name) * sum(map(len, known)))
        return list(nearest(name, list(known)[:1], *more))

    monkeypatch.setattr(difflib, "get_close_matches", counted)
    faults = read_list(write(("spec", "socket"), *((SPEC, f"{name}x") for name in ids)), register).faults
    assert 0 < sum(compared) <= 5_000_000, "pairs of characters, some two seconds at the worst"
    assert "nearest: abab" in faults[0].message
    assert "check the id" in faults[-1].message


def test_as_many_rows_as_allowed_are_read(write: Write, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(table_files, "MAX_ROWS", 3)
    assert len(many(write, "a", "b", "c").items) == 3
    with pytest.raises(ListError, match="too many rows"):
        many(write, "a", "b", "c", "d")


# -- anything


def read_or_refused(path: Path) -> None:
    for read in (read_list, read_register):
        try:
            faults = read(path).faults
        except MarkingError:
            pass
        else:
            assert all(fault.text.isprintable() and fault.row >= 1 for fault in faults)


@given(
    content=st.binary(max_size=300), header=st.sampled_from([b"", b"id;spec;od\n", b"spec\t", b"\xff\xfe", b"PK\3\4"])
)
def test_any_bytes_are_read_or_refused(tmp_path_factory: pytest.TempPathFactory, content: bytes, header: bytes) -> None:
    path = tmp_path_factory.getbasetemp() / "any.csv"
    path.write_bytes(header + content)
    read_or_refused(path)


@given(cells=st.lists(st.lists(st.text(ANY, max_size=30), min_size=1, max_size=len(COLUMNS)), max_size=4))
def test_any_cells_are_read_or_are_faults(tmp_path_factory: pytest.TempPathFactory, cells: list[list[str]]) -> None:
    path = tmp_path_factory.getbasetemp() / "cells.csv"
    with path.open("w", encoding="utf-8", errors="replace", newline="") as file:
        csv.writer(file).writerows([COLUMNS, *cells])
    read_or_refused(path)


@cache
def good_workbook() -> bytes:
    book, buffer = openpyxl.Workbook(), io.BytesIO()
    assert book.active is not None
    book.active.append(list(HEADER))
    book.active.append(list(GOOD))
    book.save(buffer)
    return buffer.getvalue()


@given(spoiled=st.lists(st.tuples(st.integers(0, 4000), st.integers(0, 255)), min_size=1, max_size=8))
def test_any_spoiled_workbook_is_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, spoiled: list[tuple[int, int]]
) -> None:
    content = bytearray(good_workbook())
    for place, byte in spoiled:
        content[place % len(content)] = byte
    path = tmp_path_factory.getbasetemp() / "any.xlsx"
    path.write_bytes(content)
    read_or_refused(path)
