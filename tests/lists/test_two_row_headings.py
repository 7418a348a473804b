"""Headings that clerks set in two rows, with merged cells, units below them, and lines broken within cells."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from pathlib import Path

import openpyxl
import pytest

from kit.each import each
from marking.lists.read import read_list
from marking.lists.table_file import ListError

ROW = ("A1", "110 Nm + 90° ±5", "12", "1/2", "19", "27.8", "2")


def read_back(path: Path, *rows: Sequence[str]) -> tuple[tuple[object, ...], list[tuple[int, str]]]:
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    found = read_list(path)
    return (
        tuple((i.id, i.points, i.drive, i.opening, i.od, i.copies, i.row) for i in found.items),
        [(fault.row, fault.column) for fault in found.faults],
    )


def test_group_names_in_merged_cells_above_the_headings_are_passed_over(tmp_path: Path) -> None:
    rows = (
        ("Fastener", "", "Socket", "", "Stecknuss", "", ""),
        ("id", "spec", "points", "drive", "A/F (mm)", "OD (mm)", "Qty."), ROW,
    )  # fmt: skip
    assert read_back(tmp_path / "list.csv", *rows) == ((("A1", 12, "1/2", "19 mm", "27.8 mm", 2, 3),), [])


def test_headings_merged_over_two_rows_stand_beside_those_of_a_group_in_a_workbook(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.append(["id", "spec", "Socket", None, None, None, "qty"])
    sheet.append([None, None, "No. of\npoints", "drive", "A/F\n(mm)", "OD (mm)", None])
    sheet.append([ROW[0], "110 Nm +\n90° ±5", *ROW[2:]])
    for cells in ("A1:A2", "B1:B2", "C1:F1", "G1:G2"):
        sheet.merge_cells(cells)
    book.save(tmp_path / "list.xlsx")
    found = read_list(tmp_path / "list.xlsx")
    assert not found.faults
    assert not found.warnings
    (item,) = found.items
    assert (item.spec, item.opening, item.od, item.copies) == ("110 Nm + 90° ±5", "19 mm", "27.8 mm", 2)


@each("above", [[], [("Depot North",)]])
def test_a_row_of_units_gives_the_lengths_above_it_their_units_and_is_no_piece(
    tmp_path: Path, above: list[tuple[str, ...]]
) -> None:
    heads, units = ("id", "spec", "points", "drive", "af", "od (mm)", "qty"), ("", "", "-", '"', "[mm]", "mm", "pcs")
    (found,), faults = read_back(tmp_path / "list.csv", *above, heads, units, ROW)
    assert (found, faults) == (("A1", 12, "1/2", "19 mm", "27.8 mm", 2, 3 + len(above)), [])


def test_a_unit_below_a_heading_with_another_one_is_a_fault(tmp_path: Path) -> None:
    heads, units = ("id", "spec", "points", "drive", "af mm", "od (mm)", "qty"), ("", "", "", "", "", "in", "")
    assert read_back(tmp_path / "list.csv", heads, units, ROW) == ((), [(1, "od (mm) (in)")])


def test_lines_broken_within_a_number_are_not_joined(tmp_path: Path) -> None:
    heads = ("id", "spec", "points", "drive", "af (mm)", "od (mm)", "qty")
    assert read_back(tmp_path / "list.csv", heads, (*ROW[:5], "27\n8", "2"))[1] == [(2, "od")]


def test_a_list_behind_a_cover_sheet_is_refused_with_the_way_out(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.worksheets[0].append(["Depot North"])
    book.create_sheet("List").append(["id", "spec", "points", "drive"])
    book.save(tmp_path / "list.xlsx")
    with pytest.raises(ListError, match="put the list on the first sheet"):
        read_list(tmp_path / "list.xlsx")
