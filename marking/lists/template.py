"""Ready lists and registers to fill in, with rows that show how, as CSV or .xlsx."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import IO, get_args

from ..errors import OutputError
from ..fastening.hand import THREADS
from ..fastening.spec_grammar import WITNESSES
from ..files.whole import Writer, write_whole
from ..marks.places import Start
from ..readouts import READOUTS
from .headings import COLUMNS, LENGTHS, REGISTER_COLUMNS

ROWS = 500
"""Rows of a workbook that take texts, so that it makes no dates of drives (our choice)."""

CHOICES = {"thread": THREADS, "kind": tuple(READOUTS), "witness": tuple(WITNESSES), "start": get_args(Start)}
"""Columns whose cells hold one of some words."""

LIST_ROWS = (
    {"id": "EXAMPLE-1", "spec": "110 N·m + 90° +10/-0", "socket": "S19", "copies": "2", "title": "Bogie bracket"},
    {"id": "EXAMPLE-2", "spec": "45 N·m + 60° ±10", "socket": "S16", "thread": "left", "fasteners": "4"},
    {"id": "EXAMPLE-3", "spec": "60 N·m + 90° ±10", "points": "6", "drive": "1/2", "opening": "18", "od": "26.1"},
)

REGISTER_ROWS = (
    {"id": "S16", "points": "6", "drive": "3/8", "opening": "16", "od": "22.1"},
    {"id": "S19", "points": "12", "drive": "1/2", "opening": "19", "od": "27.8"},
    {"id": "S24", "points": "6", "drive": "1/2", "opening": "24", "around": "104.0"},
)


def write_templates(path: str) -> list[str]:
    """Write a list with example rows, and beside it its register as NAME-sockets; return both files' names.

    Raises OutputError for a name that is neither .csv nor .xlsx, for a workbook without the package openpyxl, and for a
    file that is there already: it may be filled in.
    """
    target = Path(path)
    write = WRITERS.get(target.suffix.lower())
    if write is None:
        raise OutputError(f"a template called {target.name!r}", "a name that ends in .csv or .xlsx", field="template")
    register = target.with_stem(f"{target.stem}-sockets")
    for file in (target, register):
        if file.exists():
            raise OutputError(f"{str(file)!r} is there already", "a new name", "choose another", field="template")
    if write is _write_workbook:
        try:
            import openpyxl  # noqa: F401  # an extra: most lists are CSV
        except ImportError as error:
            advice = 'run pip install "openpyxl>=3.1", or take a name that ends in .csv'
            raise OutputError("a workbook needs the package openpyxl", "", advice) from error
    files: dict[Path, Writer] = {
        target: partial(write, TABLES["list"]),
        register: partial(write, TABLES["sockets"]),
    }
    write_whole(files)
    return [str(file) for file in files]


def _table(columns: Sequence[str], rows: Sequence[dict[str, str]]) -> list[list[str]]:
    header = [f"{column} (mm)" if column in LENGTHS else column for column in columns]
    return [header, *([row.get(column, "") for column in columns] for row in rows)]


def _write_csv(rows: list[list[str]], file: IO[bytes]) -> None:
    text = io.StringIO()
    csv.writer(text).writerows(rows)
    file.write(text.getvalue().encode("utf-8-sig"))  # spreadsheets know UTF-8 by its mark


def _write_workbook(rows: list[list[str]], file: IO[bytes]) -> None:
    from openpyxl import Workbook
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter
    from openpyxl.worksheet.datavalidation import DataValidation

    book = Workbook()
    sheet = book.active
    assert sheet is not None
    for row in rows:
        sheet.append(row)
    sheet.freeze_panes = "A2"
    for at, heading in enumerate(rows[0], 1):
        letter = get_column_letter(at)
        sheet.cell(1, at).font = Font(bold=True)
        sheet.column_dimensions[letter].width = 26 if heading in ("spec", "title") else 14
        for number in range(2, ROWS + 2):
            sheet.cell(number, at).number_format = "@"
        if heading in CHOICES:
            choice = DataValidation(type="list", formula1=f'"{",".join(CHOICES[heading])}"', allow_blank=True)
            choice.add(f"{letter}2:{letter}{ROWS + 1}")
            sheet.add_data_validation(choice)
    book.save(file)
    book.close()


WRITERS: dict[str, Callable[[list[list[str]], IO[bytes]], None]] = {".csv": _write_csv, ".xlsx": _write_workbook}
"""What writes a table, by the suffix of its file."""

TABLES = {"list": _table(COLUMNS, LIST_ROWS), "sockets": _table(REGISTER_COLUMNS, REGISTER_ROWS)}
"""The list and the register, header first."""
