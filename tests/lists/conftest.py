"""Lists, workbooks and a register to read."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from pathlib import Path

import openpyxl
import pytest

from kit.lists import Write
from marking.lists.items import Register
from marking.lists.read import read_register


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


@pytest.fixture
def register(write: Write) -> Register:
    rows = [
        ("id", "points", "drive", "opening", "od", "around"),
        ("S19", "12", "1/2", "19 mm", "27.8 mm", ""), ("S24", "6", "1/2", "24 mm", "", "106 mm"),
        ("T13", "6", "3/8", "13 mm", "", ""),
    ]  # fmt: skip
    return read_register(write(*rows, name="register.csv"))
