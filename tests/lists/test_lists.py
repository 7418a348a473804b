"""Lists as clerks and their spreadsheets write them: what is read, what is refused, and where the faults are."""

from __future__ import annotations

import csv
import datetime
import difflib
import io
import os
import sys
import zipfile
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.commands import Run
from marking import MarkingError
from marking.lists import read as under_test
from marking.lists import table_file as table_files
from marking.lists.cells import MAX_ID
from marking.lists.headings import COLUMNS, SYNONYMS
from marking.lists.items import Fault, Item, Listing, Register
from marking.lists.read import read_list, read_register, turn_items
from marking.lists.table import MAX_FAULTS
from marking.lists.table_file import MAX_CELL, MAX_COLUMNS, MAX_ROWS, ListError
from marking.outputs.job.request import read_job
from marking.readouts import READOUTS

SPEC = "110 N·m + 90° +10/-0"
HEADER = ("id", "spec", "points", "drive", "opening", "od")
GOOD = ("B1", SPEC, "12", "1/2", "19 mm", "27,8 mm")
ITEM = Item("B1", SPEC, 12, "1/2", "19 mm", "27,8 mm", None, kind="band", row=2)

Write = Callable[..., Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Write rows as a spreadsheet does and return the file's path."""

    def save(*rows: Sequence[str], separator: str = ",", encoding: str = "utf-8", name: str = "list.csv") -> Path:
        out = io.StringIO()
        csv.writer(out, delimiter=separator).writerows(rows)
        path = tmp_path / name
        path.write_bytes(out.getvalue().encode(encoding))
        return path

    return save


@pytest.fixture
def workbook(tmp_path: Path) -> Write:
    """Write rows to the first sheet of a workbook, and other things to a second one."""

    def save(*rows: Sequence[object]) -> Path:
        book = openpyxl.Workbook()
        assert book.active is not None
        for row in rows:
            book.active.append(list(row))
        book.create_sheet().append(["spec", "not of this list"])
        path = tmp_path / "list.xlsx"
        book.save(path)
        book.close()
        return path

    return save


def bare(listing: Listing) -> list[Item]:
    """The items without the file that they come from."""
    assert not listing.faults, [fault.text for fault in listing.faults]
    return [replace(item, file="") for item in listing.items]


def places(faults: Sequence[Fault]) -> list[tuple[int, str]]:
    return [(fault.row, fault.column) for fault in faults]


# --- dialects --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_every_separator_and_encoding_reads_to_the_same_pieces(write: Write, separator: str, encoding: str) -> None:
    assert bare(read_list(write(HEADER, GOOD, separator=separator, encoding=encoding))) == [ITEM]


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_every_line_end_counts_as_one_row(tmp_path: Path, end: str) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(end.join(["id;spec;points;drive", "a;90°;12;1/2", "", ";;;", "b;90°;6;3/8"]).encode())
    assert [(item.id, item.row) for item in read_list(path).items] == [("a", 2), ("b", 5)]


def test_a_line_break_within_a_cell_does_not_move_the_row_numbers(write: Write) -> None:
    path = write((*HEADER, "remark"), (*GOOD, "two\nlines"), ("B2", *GOOD[1:5], "27.8", ""))
    assert places(read_list(path).faults) == [(3, "od")]


@pytest.mark.parametrize("order", [[5, 4, 3, 2, 1, 0], [1, 3, 5, 0, 2, 4]])
def test_columns_stand_in_any_order(write: Write, order: list[int]) -> None:
    assert bare(read_list(write([HEADER[i] for i in order], [GOOD[i] for i in order]))) == [ITEM]


def test_headers_are_read_without_regard_to_case_and_spaces_and_by_the_words_of_the_trade(write: Write) -> None:
    header = (" ID ", "Tightening_Spec", "POINTS", "Square  Drive", "Across Flats", "Outside Diameter", "Qty", "Hand")
    (item,) = read_list(write(header, (*GOOD, "3", "LH"))).items
    assert (item.opening, item.od, item.copies, item.thread, item.drive) == ("19 mm", "27,8 mm", 3, "left", "1/2")


@pytest.mark.parametrize("word", SYNONYMS)
def test_every_synonym_stands_for_a_column_and_is_none_itself(word: str) -> None:
    assert SYNONYMS[word] in COLUMNS
    assert word not in COLUMNS


def test_unknown_columns_are_named_in_a_warning(write: Write) -> None:
    listing = read_list(write((*HEADER, "Bay", "remark"), (*GOOD, "7", "")))
    assert len(listing.items) == 1
    (warning,) = map(str, listing.warnings)
    assert warning.endswith("list.csv: columns not read: Bay, remark")


def test_a_list_without_specs_is_one_fault_however_many_rows_it_has(write: Write) -> None:
    listing = read_list(write(("id", "points", "drive"), ("a", "12", "1/2"), ("b", "12", "1/2")))
    assert places(listing.faults) == [(1, "spec")]
    assert listing.items == ()


def test_a_column_that_stands_twice_is_a_fault(write: Write) -> None:
    assert places(read_list(write((*HEADER, "Outside diameter"), (*GOOD, "28 mm"))).faults) == [(1, "od")]


def with_sheet(path: Path, changed: Path, old: bytes, new: bytes) -> None:
    """Copy a workbook with something else in the XML of its first sheet."""
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(changed, "w") as target:
        for name in source.namelist():
            content = source.read(name)
            if name.endswith("sheet1.xml"):
                assert old in content, content
                content = content.replace(old, new)
            target.writestr(name, content)


# --- workbooks -------------------------------------------------------------------------------------------------------


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


# --- headers that look like a column ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("header", "column"),
    [
        ("threads", "thread"), ("LH", "thread"), ("left-hand", "thread"), ("Thread (L/R)", "thread"),
        ("Drehrichtung", "thread"), ("sens", "thread"), ("Ø", "od"), ("Ø [mm]", "od"), ("outside-diameter", "od"),
        ("girth", "around"), ("opning", "opening"), ("points mm", "points"), ("od (about)", "od"),
        ("Pts.", "points"), ("dirve", "drive"), ("copies:", "copies"), ("type", "kind"), ("screws", "fasteners"),
    ],
)  # fmt: skip
def test_a_header_that_looks_like_a_column_is_a_fault_and_no_row_makes_a_piece(
    write: Write, header: str, column: str
) -> None:
    listing = read_list(write(("id", "spec", "points", "drive", header), ("a", SPEC, "12", "1/2", "left")))
    assert places(listing.faults) == [(1, header)]
    assert (
        f"looks like the column {column}, but is not read; expected the heading {column}" in listing.faults[0].message
    )
    assert listing.items == ()


@pytest.mark.parametrize(
    "header", ["remark", "price", "bay", "torque", "date", "no.", "shelf", "manual", "location", "mm", "material"]
)
def test_a_foreign_header_is_not_taken_for_a_column(write: Write, header: str) -> None:
    listing = read_list(write((*HEADER, header), (*GOOD, "x")))
    assert len(listing.items) == 1
    assert str(listing.warnings[0]).endswith(f"columns not read: {header}")


def test_a_mistaken_header_of_a_required_column_is_one_fault(write: Write) -> None:
    listing = read_list(write(("id", "specs", "drive", "points"), ("a", SPEC, "1/2", "12")))
    assert places(listing.faults) == [(1, "specs")]
    assert places(read_list(write(("specs",), (SPEC,))).faults)[0] == (1, "specs")


def test_a_register_with_a_mistaken_header_has_no_sockets_but_knows_their_ids(write: Write) -> None:
    register = read_register(write(("id", "points", "drive", "Ø mm"), ("S19", "12", "1/2", "27.8")))
    assert places(register.faults) == [(1, "Ø mm")]
    assert register.sockets == {}
    (fault,) = read_list(write(("spec", "socket"), (SPEC, "S19")), register).faults
    assert "has faults in the register" in fault.message


def test_a_list_with_a_mistaken_header_is_never_printed_whatever_may_be_skipped(write: Write, run: Run) -> None:
    path = write((*HEADER, "threads"), (*GOOD, "left"))
    done = run("set", str(path), "--skip-bad", "-o", "set.pdf")
    assert done.returncode == 1
    assert "looks like the column thread" in done.stderr
    assert not path.with_name("set.pdf").exists()


# --- encodings that are guessed --------------------------------------------------------------------------------------


def test_an_encoding_that_was_guessed_is_told_with_the_first_letter_that_depends_on_it(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes("spec,points,drive,title\n90°,12,1/2,Pump\n90°,12,1/2,Dźwignia\n".encode("cp1250"))
    (warning,) = map(str, read_list(path).warnings)
    assert "its encoding was guessed: Windows-1252" in warning
    assert "first in row 3: DŸwignia" in warning


def test_one_bad_byte_in_utf_8_is_told(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes("spec,points,drive,title\n90°,12,1/2,Pump\n".encode() + b"90deg,12,1/2,\xfc\n")
    (warning,) = map(str, read_list(path).warnings)
    assert "first in row 2: 90Â°" in warning
    path.write_bytes("spec,points,drive,title\n90°,12,1/2,Größe\n".encode())
    assert read_list(path).warnings == ()


# --- faults ----------------------------------------------------------------------------------------------------------

#: column: what is written into it, what the fault says
WRONG = {
    "id": ("a/b", "a/b cannot name a file"),
    "spec": ("110 N·m + 90 +10/-0", "110 N·m + 90 +10/-0 has “+10/-0” here at “+10/-0”; expected a unit"),
    "points": ("5", "5 is no number of points; expected 4, 6, 8 or 12"),
    "drive": ("5/8", "no drive has the size 5/8; expected one of 1/4 in"),
    "opening": ("19", "19 has no unit; expected mm, cm, m or in; write 19 mm or 19 in"),
    "od": ("27.8", "27.8 has no unit; expected mm, cm, m or in; write 27.8 mm or 27.8 in"),
    "thread": ("up", "the thread is 'up'; expected right or left"),
    "stock": ("2 mm", "the stock is 2 mm thick; expected at most 1 mm; check stock"),
    "copies": ("1001", "1001 is no number of copies; expected 1 to 1000"),
    "title": ("tab\there", "the title holds U+0009"),
    "kind": ("hoop", "hoop is no kind of piece; expected one of: band, trim band, disc, mat, ring"),
    "socket": ("S1", "S1 is looked up in no register"),
}
FULL = dict(zip(HEADER, GOOD, strict=True)) | {
    "thread": "RH", "stock": "0,1 mm", "copies": "2", "title": "Pump", "kind": "Ring"
}  # fmt: skip


@pytest.mark.parametrize("column", WRONG)
def test_a_wrong_cell_is_one_fault_with_its_row_and_column(write: Write, column: str) -> None:
    text, message = WRONG[column]
    columns = [*FULL, "socket"]
    good = [FULL.get(name, "") for name in columns]
    bad = [text if name == column else FULL.get(name, "") for name in columns]
    listing = read_list(write(columns, good, [], bad))
    assert places(listing.faults) == [(4, column)]
    assert listing.faults[0].message.startswith(message)
    assert [item.row for item in listing.items] == [2]


def test_all_wrong_cells_of_all_rows_are_faults_at_once(write: Write) -> None:
    columns = list(WRONG)
    rows = [[WRONG[name][0] for name in columns]] * 3
    expected = {(row, name) for row in (2, 3, 4) for name in columns}
    assert set(places(read_list(write(columns, *rows)).faults)) == expected


def test_a_fault_is_one_line_with_file_row_and_column(write: Write) -> None:
    path = write(HEADER, (*GOOD[:5], "27.8"))
    (fault,) = read_list(path).faults
    advice = "27.8 has no unit; expected mm, cm, m or in; write 27.8 mm or 27.8 in"
    assert fault.text == f"{path}:2: od: {advice}"


@pytest.mark.parametrize(
    ("cells", "column"),
    [
        (("12", "1/2", "24 mm", "27 mm"), "opening"), (("12", "1/4", "", "5.9 mm"), "od"),
        (("8", "1/2", "20 mm", "28 mm"), "opening"),
    ],
)  # fmt: skip
def test_a_socket_that_cannot_exist_is_a_fault_of_the_field_to_look_at(
    write: Write, cells: tuple[str, ...], column: str
) -> None:
    faults = read_list(write(HEADER, ("a", SPEC, *cells))).faults
    assert places(faults) == [(2, column)]
    assert "--" not in faults[0].message


def test_an_opening_is_listed_by_its_thread_size_too(write: Write) -> None:
    listing = read_list(
        write(HEADER, ("a", SPEC, "12", "1/2", "M14", "30 mm"), ("b", SPEC, "12", "1/2", "M13", "30 mm"))
    )
    assert [item.opening for item in listing.items] == ["M14"]
    assert places(listing.faults) == [(3, "opening")]
    assert "M12, M14, M16" in listing.faults[0].message


@pytest.mark.parametrize("column", ["spec", "points", "drive"])
def test_a_piece_without_spec_points_or_drive_is_a_fault(write: Write, column: str) -> None:
    row = ["" if name == column else text for name, text in zip(HEADER, GOOD, strict=True)]
    assert places(read_list(write(HEADER, row)).faults) == [(2, column)]


def test_the_kind_follows_from_the_diameter_unless_it_is_given(write: Write) -> None:
    columns = (*HEADER[:4], "od", "around", "kind")
    rows = [("27.8 mm", "", ""), ("", "87.6 mm", ""), ("", "", ""), ("27.8 mm", "", "RING"), ("", "", "disc"),
            ("", "", "mat")]  # fmt: skip
    listing = read_list(write(columns, *((f"a{i}", SPEC, "12", "1/2", *row) for i, row in enumerate(rows))))
    assert [item.kind for item in listing.items] == ["band", "band", "trim band", "ring", "disc", "mat"]
    assert {item.kind for item in listing.items} == set(READOUTS)


@pytest.mark.parametrize(
    ("cells", "column"),
    [
        (("", "", "band"), "od"), (("", "", "ring"), "od"), (("28 mm", "", "trim band"), "od"),
        (("", "88 mm", "trim band"), "around"),
        (("28 mm", "88 mm", ""), "around"),
    ],
)  # fmt: skip
def test_a_kind_that_does_not_go_with_the_diameter_is_a_fault(
    write: Write, cells: tuple[str, ...], column: str
) -> None:
    path = write((*HEADER[:4], "od", "around", "kind"), ("a", SPEC, "12", "1/2", *cells))
    assert places(read_list(path).faults) == [(2, column)]


def test_only_a_disc_needs_no_points(write: Write) -> None:
    columns = ("spec", "drive", "kind")
    listing = read_list(write(columns, (SPEC, "1/2", "disc"), (SPEC, "1/2", "trim band")))
    assert [item.points for item in listing.items] == [None]
    assert places(listing.faults) == [(3, "points")]


def test_a_comma_without_quotes_is_told_from_a_decimal_comma(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("id,spec,points,drive,od\na,90°,12,1/2,27,8 mm\n", encoding="utf-8")
    faults = read_list(path).faults
    assert places(faults) == [(2, "column 6"), (2, "od")]
    assert "in quotes" in faults[0].message


def test_every_item_makes_a_job(write: Write) -> None:
    for item in bare(read_list(write(HEADER, GOOD))):
        assert item.points is not None
        job = read_job(item.spec, item.points, item.drive, od=item.od, opening=item.opening, copies=item.copies)
        assert job.socket.od_mm == pytest.approx(27.8)


def test_reading_stops_after_very_many_faults(write: Write) -> None:
    listing = read_list(write(("spec", "points", "drive"), *[("x", "x", "x")] * MAX_FAULTS))
    assert MAX_FAULTS < len(listing.faults) < MAX_FAULTS + 5
    assert "mend these first" in listing.faults[-1].message


# --- hostile cells ---------------------------------------------------------------------------------------------------

HOSTILE = [
    "=cmd|' /C calc'!A0", "=1+1", "+1", "@SUM(A1)", "-x", "../../etc", "..", ".", ".hidden", "a\\b", "a/b", "a:b",
    "CON", "nul.txt", "a.", "a\tb", "a\nb", "\u202eabc", "a\u200bb", "\x1b[31m", "<b>", "a|b", 'a"b', "x" * 61,
    "\U0001f527", "語",
]  # fmt: skip


@pytest.mark.parametrize("text", HOSTILE, ids=ascii)
def test_ids_that_could_do_harm_as_a_file_name_or_cannot_be_printed_are_refused(write: Write, text: str) -> None:
    faults = read_list(write(HEADER, (text, *GOOD[1:]))).faults
    assert places(faults) == [(2, "id")]
    assert faults[0].text.isprintable()


@pytest.mark.parametrize(
    "text", ["=cmd|' /C calc'!A0", "<script>1</script>", "90°; rm -rf", "a\nb", "\u202e90°"], ids=ascii
)
@pytest.mark.parametrize("column", [name for name in WRONG if name not in ("id", "title")])
def test_formulas_and_markup_are_refused_by_every_grammar(write: Write, column: str, text: str) -> None:
    columns = [*FULL, "socket"]
    faults = read_list(write(columns, [text if name == column else FULL.get(name, "") for name in columns])).faults
    assert places(faults) == [(2, column)]
    assert faults[0].text.isprintable()


@pytest.mark.parametrize("column", [*WRONG, "remark"])
def test_a_cell_beyond_the_limit_is_a_fault_and_one_within_it_breaks_nothing(write: Write, column: str) -> None:
    columns = [*FULL, "socket", "remark"]
    for length in (MAX_CELL, MAX_CELL + 1):
        row = ["9" * length if name == column else FULL.get(name, "") for name in columns]
        faults = read_list(write(columns, row)).faults
        if column == "remark" and length == MAX_CELL:
            assert faults == ()
        else:
            assert (2, column) in places(faults)
        assert all(len(fault.message) < 600 for fault in faults)
    assert "10,001 characters" in next(fault.message for fault in faults if fault.column == column)


# --- ids -------------------------------------------------------------------------------------------------------------


def many(write: Write, *ids: str) -> Listing:
    return read_list(write(HEADER, *((name, *GOOD[1:]) for name in ids)))


def test_a_row_without_an_id_is_called_by_its_number(write: Write) -> None:
    assert [item.id for item in many(write, "a", "", "b").items] == ["a", "row-3", "b"]


def test_ids_that_stand_twice_are_numbered_round_those_that_exist_and_warned_about(write: Write) -> None:
    listing = many(write, "A", "A", "A-2", "A", "B")
    assert [item.id for item in listing.items] == ["A", "A-3", "A-2", "A-4", "B"]
    (warning,) = map(str, listing.warnings)
    assert "A stands in rows 2, 3, 5" in warning


def test_long_ids_that_stand_twice_stay_within_the_limit(write: Write) -> None:
    ids = [item.id for item in many(write, *["x" * MAX_ID] * 12).items]
    assert len(set(ids)) == 12
    assert {len(name) for name in ids} == {MAX_ID}


@pytest.mark.parametrize(
    ("one", "other"),
    [("S10", "S1O"), ("S10", "s10"), ("SI0", "Sl0"), ("S1-2", "S1–2"), ("S1 2", "S12"), ("A1", "А1"),
     ("P1", "Ρ1"), ("H", "Н")],
)  # fmt: skip
def test_ids_that_look_alike_are_warned_about_with_their_rows(write: Write, one: str, other: str) -> None:
    listing = many(write, one, "x", other, "y")
    assert [item.id for item in listing.items] == [one, "x", other, "y"]
    assert (*map(str, listing.warnings),) == (f"ids that look alike: {one} (row 2), {other} (row 4)",)


def test_different_ids_are_not_warned_about(write: Write) -> None:
    assert many(write, "S1-9", "S19", "S1-90", "B", "8").warnings == ()


# --- the register ----------------------------------------------------------------------------------------------------


@pytest.fixture
def register(write: Write) -> Register:
    rows = [
        ("id", "points", "drive", "opening", "od", "around"),
        ("S19", "12", "1/2", "19 mm", "27.8 mm", ""), ("S24", "6", "1/2", "24 mm", "", "106 mm"),
        ("T13", "6", "3/8", "13 mm", "", ""),
    ]  # fmt: skip
    return read_register(write(*rows, name="register.csv"))


def test_a_register_holds_checked_sockets_by_id(register: Register) -> None:
    assert list(register.sockets) == ["S19", "S24", "T13"]
    assert not register.faults + register.warnings
    assert register.sockets["S24"].around == "106 mm"


def test_a_row_takes_its_socket_from_the_register(write: Write, register: Register) -> None:
    first, second, third = bare(
        read_list(write(("spec", "socket"), (SPEC, "S19"), (SPEC, "S24"), (SPEC, "T13")), register)
    )
    assert first == Item("row-2", SPEC, 12, "1/2", "19 mm", "27.8 mm", None, socket="S19", row=2)
    assert (second.around, second.od, second.kind) == ("106 mm", None, "band")
    assert third.kind == "trim band"


def test_what_the_row_says_wins_over_the_register(write: Write, register: Register) -> None:
    columns = ("spec", "socket", "points", "opening", "around", "kind")
    path = write(columns, (SPEC, "S19", "6", "18 mm", "87.6 mm", ""), (SPEC, "S19", "", "", "", "trim band"))
    own, trim = bare(read_list(path, register))
    assert (own.points, own.opening, own.od, own.around) == (6, "18 mm", None, "87.6 mm")
    assert (trim.kind, trim.od) == ("trim band", None)


def test_a_field_of_the_row_that_does_not_go_with_the_register_gets_the_blame(write: Write, register: Register) -> None:
    path = write(("spec", "socket", "opening", "drive"), (SPEC, "S19", "26 mm", ""), (SPEC, "S19", "", "1"))
    assert places(read_list(path, register).faults) == [(2, "opening")]


def test_an_unknown_socket_is_a_single_fault_that_suggests_near_ones(write: Write, register: Register) -> None:
    (fault,) = read_list(write(("spec", "socket"), (SPEC, "S18")), register).faults
    assert (fault.row, fault.column) == (2, "socket")
    assert fault.message.startswith("the register has no socket S18; nearest: S19")


def test_faults_of_a_register_are_found_all_at_once(write: Write) -> None:
    path = write(
        ("id", "points", "drive", "od"), ("A", "12", "1/2", "27.8"), ("B", "5", "1/2", ""), ("", "6", "1/2", ""),
        ("C", "6", "1/2", ""), ("C", "6", "3/8", ""), ("D", "6", "", "30 mm"),
    )  # fmt: skip
    register = read_register(path)
    assert places(register.faults) == [(2, "od"), (3, "points"), (4, "id"), (6, "id"), (7, "drive")]
    (fault,) = read_list(write(("spec", "socket"), (SPEC, "B")), register).faults
    assert "has faults in the register" in fault.message


def test_a_register_warns_of_ids_that_look_alike(write: Write) -> None:
    path = write(("id", "points", "drive"), ("S1O", "6", "1/2"), ("S10", "6", "1/2"))
    assert (*map(str, read_register(path).warnings),) == ("ids that look alike: S1O (row 2), S10 (row 3)",)


# --- turns -----------------------------------------------------------------------------------------------------------


def test_every_turn_is_made_for_every_socket_of_the_register(register: Register) -> None:
    items = turn_items("30°, 22,5°, 90° +10/-0, 120° ±5°", register).items
    assert [item.id for item in items[:4]] == ["S19-30", "S19-22.5", "S19-90+10-0", "S19-120+5-5"]
    assert [item.kind for item in items] == ["band"] * 8 + ["trim band"] * 4
    assert (items[2].spec, items[2].od, items[2].socket) == ("90° +10/-0", "27.8 mm", "S19")


def test_turns_for_stock_are_trim_bands_for_every_points_and_drive() -> None:
    listing = turn_items("45°,90°", None, "6,12", "3/8,1/2")
    assert [item.id for item in listing.items] == [
        "6pt-3_8in-45", "6pt-3_8in-90", "6pt-1_2in-45", "6pt-1_2in-90",
        "12pt-3_8in-45", "12pt-3_8in-90", "12pt-1_2in-45", "12pt-1_2in-90",
    ]  # fmt: skip
    assert {item.kind for item in listing.items} == {"trim band"}
    assert not listing.faults + listing.warnings


def test_ids_of_turns_pass_as_ids_of_a_list(write: Write, register: Register) -> None:
    items = [*turn_items("90° +10/-0, 45°", register).items, *turn_items("90° ±5", None, "4,12", "1/4,1-1/2").items]
    listing = many(write, *(item.id for item in items))
    assert [item.id for item in listing.items] == [item.id for item in items]
    assert listing.warnings == ()


def test_a_turn_given_twice_is_numbered_and_warned_about() -> None:
    listing = turn_items("90°, 90°", None, "12", "1/2")
    assert [item.id for item in listing.items] == ["12pt-1_2in-90", "12pt-1_2in-90-2"]
    assert len(listing.warnings) == 1


def test_faults_in_turns_points_and_drives_are_found_all_at_once() -> None:
    faults = turn_items("30°, 45, 20 N·m + 90°", None, "6,7", "3/8,5/8").faults
    assert [fault.text.split(";")[0] for fault in faults] == [
        "turns:2: turns: 45 has no unit",
        "turns:3: turns: 20 N·m + 90° is more than a turn",
        "points:2: points: 7 is no number of points",
        "drives:2: drives: no drive has the size 5/8",
    ]


@pytest.mark.parametrize("given", [(None, None), ("6", None), (None, "1/2")])
def test_turns_need_a_register_or_points_and_drives(register: Register, given: tuple[str | None, str | None]) -> None:
    with pytest.raises(ListError):
        turn_items("90°", None, *given)
    if given != (None, None):
        with pytest.raises(ListError):
            turn_items("90°", register, *given)


# --- files that are no lists -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
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


# --- anything --------------------------------------------------------------------------------------------------------


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


@given(cells=st.lists(st.lists(st.text(max_size=30), min_size=1, max_size=len(COLUMNS)), max_size=4))
def test_any_cells_are_read_or_are_faults(tmp_path_factory: pytest.TempPathFactory, cells: list[list[str]]) -> None:
    path = tmp_path_factory.getbasetemp() / "cells.csv"
    with path.open("w", encoding="utf-8", errors="replace", newline="") as file:
        csv.writer(file).writerows([COLUMNS, *cells])
    read_or_refused(path)


@given(spoiled=st.lists(st.tuples(st.integers(0, 4000), st.integers(0, 255)), min_size=1, max_size=8))
def test_any_spoiled_workbook_is_read_or_refused(
    tmp_path_factory: pytest.TempPathFactory, spoiled: list[tuple[int, int]]
) -> None:
    book, buffer = openpyxl.Workbook(), io.BytesIO()
    assert book.active is not None
    book.active.append(list(HEADER))
    book.active.append(list(GOOD))
    book.save(buffer)
    content = bytearray(buffer.getvalue())
    for place, byte in spoiled:
        content[place % len(content)] = byte
    path = tmp_path_factory.getbasetemp() / "any.xlsx"
    path.write_bytes(content)
    read_or_refused(path)
