"""What is read of a workbook, and what is refused before it is read."""

from __future__ import annotations

import datetime
import sys
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from kit.lists import GOOD, HEADER, ITEM, SPEC, Write, bare, places
from marking.lists import table_file as table_files
from marking.lists.read import read_list
from marking.lists.table_file import ListError

# -- dialects


def with_sheet(path: Path, changed: Path, old: bytes, new: bytes) -> None:
    """Copy a workbook with something else in the XML of its first sheet."""
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(changed, "w") as target:
        for name in source.namelist():
            content = source.read(name)
            if name.endswith("sheet1.xml"):
                assert old in content, content
                content = content.replace(old, new)
            target.writestr(name, content)


# -- workbooks


def test_a_workbook_reads_like_a_csv_file_with_numbers_as_they_are_typed(workbook: Write) -> None:
    rows = [HEADER, ("B1", SPEC, 12, 12.5, "19 mm", "27,8 mm"), (), ("B2", SPEC, 6.0, "1/2", None, "27.8 mm")]
    first, second = bare(read_list(workbook(*rows)))
    assert first == ITEM
    assert (second.points, second.opening, second.row) == (6, None, 4)


def test_a_drive_that_a_spreadsheet_took_for_a_date_is_explained(workbook: Write, write: Write) -> None:
    dated = [datetime.datetime(2020, 2, 1), "01. Feb", "1-Feb", "Feb 01"]
    faults = read_list(workbook(HEADER, *((*GOOD[:3], date, *GOOD[4:]) for date in dated))).faults
    assert places(faults) == [(row, "drive") for row in (2, 3, 4, 5)]
    assert all("made a date of it" in fault.message for fault in faults)


def test_a_formula_in_a_workbook_is_never_computed_but_read_by_its_saved_value(workbook: Write, tmp_path: Path) -> None:
    path, saved = workbook(HEADER, (*GOOD[:2], "=6+6", *GOOD[3:])), tmp_path / "saved.xlsx"
    assert places(read_list(path).faults) == [(2, "points")]  # no value was saved with it: an empty cell
    with_sheet(path, saved, b"<f>6+6</f><v></v>", b"<f>6+6</f><v>8</v>")
    assert [item.points for item in read_list(saved).items] == [8]


def test_without_openpyxl_a_workbook_is_refused_with_the_way_to_install_it(
    workbook: Write, write: Write, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = workbook(HEADER, GOOD)
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    with pytest.raises(ListError, match=r"pip install \"openpyxl>=3.1\""):
        read_list(path)
    assert len(read_list(write(HEADER, GOOD)).items) == 1


def test_a_workbook_that_unpacks_to_too_much_is_refused(workbook: Write, monkeypatch: pytest.MonkeyPatch) -> None:
    path = workbook(HEADER, GOOD)
    monkeypatch.setattr(table_files, "MAX_UNPACKED_BYTES", 1000)
    with pytest.raises(ListError, match="too large when unpacked"):
        read_list(path)


def test_a_workbook_row_far_down_is_refused_instead_of_counted_to(workbook: Write, tmp_path: Path) -> None:
    far = tmp_path / "far.xlsx"
    with_sheet(workbook(HEADER, GOOD), far, b'<row r="2"', b'<row r="999999999"')
    with pytest.raises(ListError, match="too many rows"):
        read_list(far)


def test_the_first_visible_sheet_is_read_and_the_others_are_named(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    assert book.active is not None
    for name, state in (("Old", "hidden"), ("Bands", "visible"), ("Lists", "veryHidden"), ("Sockets", "visible")):
        sheet = book.create_sheet(name)
        sheet.append(["spec", "points", "drive", "id"])
        sheet.append(["90°", 12, "1/2", name])
        sheet.sheet_state = state
    book.remove(book.active)
    book.active = 3
    book.save(tmp_path / "list.xlsx")
    listing = read_list(tmp_path / "list.xlsx")
    assert [item.id for item in listing.items] == ["Bands"]
    (warning,) = map(str, listing.warnings)
    assert warning.endswith("of its sheets only Bands is read, not: Old (hidden), Lists (hidden), Sockets")


def test_a_workbook_of_one_sheet_is_read_without_a_word(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    assert book.active is not None
    book.active.append(["spec", "points", "drive"])
    book.active.append(["90°", 12, "1/2"])
    book.save(tmp_path / "list.xlsx")
    assert read_list(tmp_path / "list.xlsx").warnings == ()


BOMBS = {
    "cells": (b"</row></sheetData>", b"<c/>" * 3_100, "too many cells and formats"),
    "rows": (b"</sheetData>", b"<row/>" * 2_100, "too many cells and formats"),
    "formats": (b"</sheetData>", b"<xf/>" * 410, "too many cells and formats"),
    "prefixed formats": (b"</sheetData>", b"<x:xf/>" * 410, "too many cells and formats"),
    "attributes": (b"</sheetData>", (b"<c " + b" ".join(b'a%d=""' % n for n in range(1000)) + b"/>") * 7, "cells"),
    "one text": (b"</row></sheetData>", b"<c><v>" + b"9" * 2_000_000 + b"</v></c>", "text that is too long"),
}


@pytest.mark.parametrize("bomb", BOMBS)
def test_a_workbook_that_would_keep_the_reader_busy_is_refused_before_it_is_read(
    workbook: Write, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, bomb: str
) -> None:
    before, much, reason = BOMBS[bomb]
    path, packed = workbook(HEADER, GOOD), tmp_path / "bomb.xlsx"
    with_sheet(path, packed, before, much + before)
    monkeypatch.setattr(table_files, "MAX_LOAD", table_files.MAX_LOAD // 300)
    monkeypatch.setattr("openpyxl.reader.excel.ExcelReader", lambda *_, **__: pytest.fail("it was read"))
    with pytest.raises(ListError, match=reason):
        read_list(packed)


def test_a_workbook_with_a_document_type_or_a_strange_compression_is_refused(workbook: Write, tmp_path: Path) -> None:
    path, changed = workbook(HEADER, GOOD), tmp_path / "changed.xlsx"
    with_sheet(path, changed, b"<worksheet", b'<!DOCTYPE a [<!ENTITY b "c">]><worksheet')
    with pytest.raises(ListError, match="cannot be read as a workbook"):
        read_list(changed)
    with zipfile.ZipFile(path, "a", zipfile.ZIP_BZIP2) as archive:
        archive.writestr("xl/media/picture.png", b"\0" * 1000)
    with pytest.raises(ListError, match="cannot be read as a workbook"):
        read_list(path)


def test_pictures_in_a_workbook_do_no_harm_but_too_many_parts_do(workbook: Write, monkeypatch: Any) -> None:
    path = workbook(HEADER, GOOD)
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr("xl/media/picture.png", b"\x89PNG\r\n" + bytes(2_000_000))
    assert len(read_list(path).items) == 1
    monkeypatch.setattr(table_files, "MAX_PARTS", 5)
    with pytest.raises(ListError, match="too many parts"):
        read_list(path)


def test_an_encrypted_workbook_is_called_so(tmp_path: Path) -> None:
    path = tmp_path / "list.xlsx"
    path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600) + "EncryptedPackage".encode("utf-16-le"))
    with pytest.raises(ListError, match="is encrypted; expected a workbook without a password"):
        read_list(path)
