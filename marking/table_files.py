"""What rows a table file holds: CSV in the dialects of spreadsheets, and .xlsx workbooks, within limits."""

from __future__ import annotations

import csv
import math
import stat
import warnings
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from .errors import MarkingError, pointed_out
from .quantities import plain_number

MAX_FILE_BYTES = 64 * 1024 * 1024
MAX_UNPACKED_BYTES = 4 * MAX_FILE_BYTES
MAX_ROWS = 100_000
MAX_SHEET_ROWS = 1_048_576
MAX_COLUMNS = 64
MAX_CELL = 10_000
MAX_LINE = 1_000_000
"""Limits of our own choosing, far above any real list; MAX_SHEET_ROWS counts empty rows too and is the most that a
common workbook holds. MAX_UNPACKED_BYTES stops workbooks that are small only while packed."""

NumberedRow = tuple[int, list[str]]


class ListError(MarkingError, ValueError):
    """A file that cannot be read as a list or a register at all."""


def numbered_rows(path: Path, is_column: Callable[[str], bool]) -> Iterator[NumberedRow]:
    """Yield every row that is not empty, its number first, its cells without spaces round them.

    Rows count as a spreadsheet does, from 1 at the top. `is_column` tells headers that are known: the separator of a
    CSV file is the one that finds most of them. Raises ListError.
    """
    try:
        mode = path.stat().st_mode
        if not stat.S_ISREG(mode):  # a pipe or a device may never end
            raise refused(path, "is a folder" if stat.S_ISDIR(mode) else "is no ordinary file", "a CSV or .xlsx file")
        if path.stat().st_size > MAX_FILE_BYTES:
            raise refused(path, "is too large", f"at most {MAX_FILE_BYTES // 2**20} MiB", "split it")
        with path.open("rb") as file:
            head = file.read(8)
        if head.startswith(b"PK\3\4"):
            yield from _workbook_rows(path)
        elif head.startswith(b"\xd0\xcf\x11\xe0"):
            raise refused(path, "is an old binary workbook", "a CSV or .xlsx file", "save it as .xlsx")
        else:
            yield from _text_rows(path, head, is_column)
    except FileNotFoundError as error:
        raise refused(path, "does not exist", "", "check its name") from error
    except UnicodeDecodeError as error:
        raise refused(path, "is no text", "UTF-8, UTF-16 or Windows-1252", "save it as CSV in UTF-8") from error
    except ListError:
        raise
    except (OSError, ValueError) as error:  # ValueError: a path with a NUL
        reason = (error.strerror if isinstance(error, OSError) else None) or str(error)
        raise refused(path, f"cannot be read: {reason.lower()}") from error


def refused(path: Path, what: str, expected: str = "", advice: str = "") -> ListError:
    """Return the error of a file that cannot be read."""
    return ListError(f"the file {shown(str(path), 300)} {what}", expected, advice, str(path))


def empty(path: Path) -> ListError:
    """Return the error of a file without rows."""
    return refused(path, "is empty", "a header and rows", "check that the list was saved")


def _text_rows(path: Path, head: bytes, is_column: Callable[[str], bool]) -> Iterator[NumberedRow]:
    """Yield the rows of a CSV file, after a first quick pass that finds its encoding and counts its rows."""
    encodings = ["utf-8", "cp1252"]
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings = ["utf-16"]
    elif head.startswith(b"\xef\xbb\xbf"):
        encodings = ["utf-8-sig"]
    for encoding in encodings:
        try:
            separator = _separator(path, encoding, is_column)
            for _ in _csv_rows(path, encoding, separator):
                pass
            break
        except UnicodeDecodeError:
            if encoding == encodings[-1]:
                raise
    yield from _csv_rows(path, encoding, separator)


def _separator(path: Path, encoding: str, is_column: Callable[[str], bool]) -> str:
    """Return the separator that finds most known columns in the header."""
    header = next((line for line in _lines(path, encoding) if line.strip(" ,;\t\r\n")), "")[:MAX_CELL]
    if not header:
        raise empty(path)

    def known(separator: str) -> int:
        return sum(is_column(cell) for cell in next(csv.reader([header], delimiter=separator), []))

    return max(",;\t", key=known)


def _csv_rows(path: Path, encoding: str, separator: str) -> Iterator[NumberedRow]:
    number = 0
    filled = 0
    try:
        for number, cells in enumerate(csv.reader(_lines(path, encoding), delimiter=separator, strict=True), 1):
            stripped = [cell.strip() for cell in cells]
            if any(stripped):
                filled += 1
                yield number, stripped
            _check_counts(path, number, filled, len(cells))
    except csv.Error as error:
        raise refused(
            path, f"cannot be read in row {number + 1}", "cells in pairs of quotes, or without quotes",
            "look for a quote that is not closed there",
        ) from error  # fmt: skip


def _lines(path: Path, encoding: str) -> Iterator[str]:
    """Yield lines with their ends; the csv module wants them so. A line without end is not read to its end."""
    with path.open(encoding=encoding, newline="") as file:
        while line := file.readline(MAX_LINE + 1):
            if len(line) > MAX_LINE:
                raise refused(path, "has a line that is too long", f"at most {MAX_LINE:,} characters")
            if "\0" in line:
                raise refused(path, "holds NUL characters", "a CSV or .xlsx file", "save the list as CSV in UTF-8")
            yield line


def _check_counts(path: Path, number: int, filled: int, columns: int) -> None:
    if filled > MAX_ROWS + 1 or number > MAX_SHEET_ROWS:
        raise refused(path, "has too many rows", f"at most {MAX_ROWS:,} below the header", "split it")
    if columns > MAX_COLUMNS:
        raise refused(path, f"has {columns} columns or more in row {number}", f"at most {MAX_COLUMNS}", "remove some")


def _workbook_rows(path: Path) -> Iterator[NumberedRow]:
    """Yield the rows of the first worksheet, numbers and dates as texts; formulas by the values saved with them."""
    try:
        import openpyxl  # an extra: most lists are CSV
    except ImportError as error:
        advice = 'run pip install "openpyxl>=3.1", or save the list as CSV'
        raise refused(path, "is a workbook, which needs the package openpyxl", "", advice) from error
    try:
        with path.open("rb") as file, warnings.catch_warnings():
            warnings.simplefilter("ignore")  # styles and extensions that openpyxl does not know matter to no list
            if sum(entry.file_size for entry in zipfile.ZipFile(file).infolist()) > MAX_UNPACKED_BYTES:
                raise refused(
                    path, "is too large when unpacked", f"at most {MAX_UNPACKED_BYTES // 2**20} MiB", "split it"
                )
            book = openpyxl.load_workbook(file, read_only=True, data_only=True, keep_links=False)
            rows = list(_sheet_rows(path, book.worksheets[0]))
    except MarkingError:
        raise
    except Exception as error:  # a broken workbook breaks zip, XML and number readers, each in its own way
        raise refused(path, "cannot be read as a workbook", "an .xlsx file", "save it again, or as CSV") from error
    yield from rows


def _sheet_rows(path: Path, sheet: Any) -> Iterator[NumberedRow]:
    sheet.reset_dimensions()  # the size that the file states may be wrong
    filled = 0
    for number, values in enumerate(sheet.iter_rows(max_col=MAX_COLUMNS + 1, values_only=True), 1):
        if values.count(None) < len(values):
            cells = [_cell_text(value).strip() for value in values]
            while cells and not cells[-1]:
                cells.pop()
            if cells:
                filled += 1
                yield number, cells
            _check_counts(path, number, filled, len(cells))
        elif number > MAX_SHEET_ROWS:
            _check_counts(path, number, filled, 0)


def _cell_text(value: object) -> str:
    """Return a workbook's value as a text that a person would have typed: _cell_text(6.0) = "6"."""
    if isinstance(value, float) and math.isfinite(value):
        return plain_number(value)
    return "" if value is None else str(value)


def shown(text: str, width: int = 60) -> str:
    """Return `text` on one line of at most about `width` characters, with U+FFFD for what does not show."""
    return pointed_out(text[: width + 2], 0, width).split("\n")[0][2:]
