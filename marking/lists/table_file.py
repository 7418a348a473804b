"""What rows a table file holds: CSV in the dialects of spreadsheets, and .xlsx workbooks, within limits."""

from __future__ import annotations

import codecs
import csv
import io
import itertools
import math
import stat
import warnings
import zipfile
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import IO, Any
from xml.parsers import expat

from ..errors import MarkingError, pointed_out
from ..quantities.shown import plain_number
from ..remarks import Remark
from .words import GUESSED_ENCODING, ONE_SHEET

MAX_FILE_BYTES = 64 * 1024 * 1024

MAX_UNPACKED_BYTES = MAX_FILE_BYTES

MAX_PARTS = 5_000

MAX_LOAD = 1_800_000

MAX_ROWS = 100_000

MAX_SHEET_ROWS = 1_048_576

MAX_COLUMNS = 64

MAX_CELL = 10_000

MAX_LINE = 1_000_000
"""Limits of our own choosing, far above any real list; MAX_SHEET_ROWS counts empty rows and the lines of a CSV file too
and is the most that a common workbook holds. MAX_UNPACKED_BYTES and MAX_LOAD (see _LOADS) stop workbooks that are small
only while packed."""

HEADER_WITHIN = 10
"""Rows that are not empty among which the header is looked for: a list may have its name above it (our choice)."""

_LOADS = {"c": 2, "v": 1, "f": 1, "t": 1, "row": 3, "si": 5, "is": 5}

_OTHER_LOAD = 15
"""What an element of a workbook's XML counts towards MAX_LOAD, by its name; each attribute counts one. Measured so that
MAX_LOAD of any kind takes openpyxl less than ten seconds and half a gigabyte. A common cell, with a number or a shared
text, counts six, so that a workbook may hold 300,000."""

_CHUNK = 512 * 1024  # of XML; longer than the longest text of a cell, 32,767 characters, can be written

_NAMED = 5  # rows, ids or sheets that one warning names

_MARKED = {b"\xff\xfe": ["utf-16"], b"\xfe\xff": ["utf-16"], b"\xef\xbb\xbf": ["utf-8-sig"]}
"""Encodings by the byte order mark that a file begins with."""

NumberedRow = tuple[int, list[str]]


class ListError(MarkingError, ValueError):
    """A file that cannot be read as a list or a register at all."""


class HeldFile:
    """A file that is held in memory, not on any disk, under the name by which messages call it.

    Of `most_rows` below a header. It opens as a `Path` does, but is none: nothing can open a file by its name.
    """

    def __init__(self, name: str, content: bytes, most_rows: int = MAX_ROWS) -> None:
        self.name, self.most_rows = name, most_rows
        self._content = content

    def __str__(self) -> str:
        return self.name

    def read_bytes(self) -> bytes:
        """Return the content."""
        return self._content

    def open(self, mode: str = "r", encoding: str | None = None, newline: str | None = None) -> IO[Any]:
        """Return the content as a stream, of bytes in mode "rb"."""
        stream = io.BytesIO(self._content)
        return stream if mode == "rb" else io.TextIOWrapper(stream, encoding, newline=newline)


Source = Path | HeldFile
"""Where rows come from."""


def numbered_rows(path: Source, is_column: Callable[[str], bool], remarks: list[Remark]) -> Iterator[NumberedRow]:
    """Yield every row that is not empty, its number first, its cells without spaces round them.

    Rows count as a spreadsheet does, from 1 at the top. `is_column` tells headers that are known: the separator of a
    CSV file is the one that finds most of them. What had to be guessed, and sheets that are not read, are added to
    `remarks` before the first row. Raises ListError.
    """
    try:
        if isinstance(path, Path):
            _check_file(path)
        with path.open("rb") as file:
            head = file.read(8)
        if head.startswith(b"PK\3\4"):
            yield from _workbook_rows(path, remarks)
        elif head.startswith(b"\xd0\xcf\x11\xe0"):
            if "EncryptedPackage".encode("utf-16-le") in path.read_bytes():
                raise refused(path, "is encrypted", "a workbook without a password", "save it without its password")
            raise refused(path, "is an old binary workbook", "a CSV or .xlsx file", "save it as .xlsx")
        else:
            yield from _text_rows(path, head, is_column, remarks)
    except FileNotFoundError as error:
        raise refused(path, "does not exist", "", "check its name") from error
    except UnicodeDecodeError as error:
        raise refused(path, "is no text", "UTF-8, UTF-16 or Windows-1252", "save it as CSV in UTF-8") from error
    except ListError:
        raise
    except (OSError, ValueError) as error:  # ValueError: a path with a NUL
        reason = (error.strerror if isinstance(error, OSError) else None) or str(error)
        raise refused(path, f"cannot be read: {reason.lower()}") from error


def _check_file(path: Path) -> None:
    """Refuse what is no file to read. Raises OSError for what is not there."""
    status = path.stat()
    if not stat.S_ISREG(status.st_mode):  # a pipe or a device may never end
        what = "is a folder" if stat.S_ISDIR(status.st_mode) else "is no ordinary file"
        raise refused(path, what, "a CSV or .xlsx file")
    if status.st_size > MAX_FILE_BYTES:
        raise refused(path, "is too large", f"at most {MAX_FILE_BYTES // 2**20} MiB", "split it")


def refused(path: Source, what: str, expected: str = "", advice: str = "") -> ListError:
    """Return the error of a file that cannot be read."""
    return ListError(f"the file {shown(str(path), 300)} {what}", expected, advice, str(path))


def empty(path: Source) -> ListError:
    """Return the error of a file without rows."""
    return refused(path, "is empty", "a header and rows", "check that the list was saved")


def _text_rows(
    path: Source, head: bytes, is_column: Callable[[str], bool], remarks: list[Remark]
) -> Iterator[NumberedRow]:
    """Yield the rows of a CSV file, after a first quick pass that counts them."""
    encoding = _encoding(path, head)
    separator = _separator(path, encoding, is_column)
    odd = letters = ""
    for number, cells in _csv_rows(path, encoding, separator):
        if encoding == "cp1252" and not letters:
            for cell in cells:
                if not cell.isascii():
                    odd = odd or f"row {number}: {shown(cell)}"
                    if not letters and any(char > "\x7f" and char.isalpha() for char in cell):
                        letters = f"row {number}: {shown(cell)}"  # signs such as ° are the same in most encodings
    if odd:
        remarks.append(GUESSED_ENCODING(file=shown(str(path), 300), first=letters or odd))
    yield from _csv_rows(path, encoding, separator)


def _encoding(path: Source, head: bytes) -> str:
    """Return the encoding that a byte order mark tells; else UTF-8 or, if the file is none, Windows-1252."""
    encodings = next((names for mark, names in _MARKED.items() if head.startswith(mark)), ["utf-8", "cp1252"])
    for encoding in encodings:
        try:
            with path.open("rb") as file:
                for _ in codecs.iterdecode(iter(lambda: file.read(_CHUNK), b""), encoding):
                    pass
            break
        except UnicodeDecodeError:
            if encoding == encodings[-1]:
                raise
    return encoding


def _separator(path: Source, encoding: str, is_column: Callable[[str], bool]) -> str:
    """Return the separator that finds most known columns in the header."""
    filled = (line[:MAX_CELL] for line in _lines(path, encoding) if line.strip(" ,;\t\r\n"))
    first = list(itertools.islice(filled, HEADER_WITHIN))
    if not first:
        raise empty(path)

    def known(separator: str) -> int:
        rows = (next(csv.reader([line], delimiter=separator), []) for line in first)
        return max(sum(map(is_column, row)) for row in rows)

    return max(",;\t", key=known)


def _csv_rows(path: Source, encoding: str, separator: str) -> Iterator[NumberedRow]:
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


def _lines(path: Source, encoding: str) -> Iterator[str]:
    """Yield lines with their ends; the csv module wants them so. A line without end is not read to its end."""
    number = 0
    with path.open(encoding=encoding, newline="") as file:
        while line := file.readline(MAX_LINE + 1):
            number += 1
            if number > MAX_SHEET_ROWS:
                _check_counts(path, number)
            if len(line) > MAX_LINE:
                raise refused(path, "has a line that is too long", f"at most {MAX_LINE:,} characters")
            if "\0" in line:
                raise refused(path, "holds NUL characters", "a CSV or .xlsx file", "save the list as CSV in UTF-8")
            yield line


def _check_counts(path: Source, number: int, filled: int = 0, columns: int = 0) -> None:
    most = path.most_rows if isinstance(path, HeldFile) else MAX_ROWS
    if filled > most + 1 or number > MAX_SHEET_ROWS:
        raise refused(path, "has too many rows", f"at most {most:,} below the header", "split it")
    if columns > MAX_COLUMNS:
        raise refused(path, f"has {columns} columns or more in row {number}", f"at most {MAX_COLUMNS}", "remove some")


def _workbook_rows(path: Source, remarks: list[Remark]) -> Iterator[NumberedRow]:
    """Yield the rows of the first visible worksheet, numbers and dates as texts; formulas by the values saved there."""
    try:
        import openpyxl.reader.excel  # an extra: most lists are CSV
        import openpyxl.styles.stylesheet
    except ImportError as error:
        advice = 'run pip install "openpyxl>=3.1", or save the list as CSV'
        raise refused(path, "is a workbook, which needs the package openpyxl", "", advice) from error
    try:
        content = path.read_bytes()
        _check_load(path, content)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # styles and extensions that openpyxl does not know matter to no list
            # The steps of load_workbook, save those that no list needs and that hostile files could make endless.
            reader = openpyxl.reader.excel.ExcelReader(
                io.BytesIO(content), read_only=True, data_only=True, keep_links=False
            )
            reader.read_manifest()
            reader.read_strings()
            reader.shared_strings = [text.strip() for text in reader.shared_strings]  # once, not in every cell
            reader.read_workbook()
            reader.parser.sheets = [_chosen_sheet(path, reader, remarks)]
            openpyxl.styles.stylesheet.apply_stylesheet(reader.archive, reader.wb)
            reader.read_worksheets()
            rows = list(_sheet_rows(path, reader.wb.worksheets[0]))
    except MarkingError:
        raise
    except Exception as error:  # a broken workbook breaks zip, XML and number readers, each in its own way
        raise refused(path, "cannot be read as a workbook", "an .xlsx file", "save it again, or as CSV") from error
    yield from rows


def _chosen_sheet(path: Source, reader: Any, remarks: list[Remark]) -> Any:
    """Return the first worksheet that is not hidden, and remark which others there are."""
    sheets = [sheet for sheet, relation in reader.parser.find_sheets() if relation.Type.endswith("/worksheet")]
    chosen = next((sheet for sheet in sheets if sheet.state == "visible"), None)
    if chosen is None:
        raise refused(path, "has no visible sheet", "a list in the first one", "unhide it")
    others = [
        shown(sheet.name) + ("" if sheet.state == "visible" else " (hidden)") for sheet in sheets if sheet is not chosen
    ]
    if others:
        remarks.append(ONE_SHEET(file=shown(str(path), 300), sheet=shown(chosen.name), others=some(others)))
    return chosen


def _check_load(path: Source, content: bytes) -> None:
    """Refuse a workbook that would keep openpyxl too busy: unpack every part and count its XML, and keep nothing.

    Bytes are counted as they come, for the sizes that a file states may lie. Raises ListError, or whatever breaks zip
    and XML readers.
    """
    if content.count(b"PK\1\2") > MAX_PARTS:
        raise refused(path, "has too many parts", f"a workbook of at most {MAX_PARTS:,}", "save it as CSV")
    unpacked = 0
    load = _Load(path)
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        for entry in archive.infolist():
            if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):  # others unpack without measure
                raise zipfile.BadZipFile("a compression that workbooks do not use")
            parser = load.parser()
            with archive.open(entry) as part:
                while chunk := part.read(_CHUNK):
                    unpacked += len(chunk)
                    if unpacked > MAX_UNPACKED_BYTES:
                        raise refused(
                            path, "is too large when unpacked", f"at most {MAX_UNPACKED_BYTES // 2**20} MiB", "split it"
                        )
                    if parser and not load.add(parser, chunk):
                        if entry.filename.endswith((".xml", ".rels")) or chunk.startswith(b"<?"):
                            raise ValueError("broken XML")
                        parser = None  # a picture or the like


class _Load:
    """The work that the XML of a workbook makes."""

    def __init__(self, path: Source) -> None:
        self.path = path
        self.total = 0

    def parser(self) -> expat.XMLParserType | None:
        """Return a parser of one part that adds to the total."""
        parser = expat.ParserCreate()
        parser.StartElementHandler = self._count
        parser.StartDoctypeDeclHandler = self._refuse
        return parser

    def add(self, parser: expat.XMLParserType, chunk: bytes) -> bool:
        """Count a piece of a part, if it is XML. Raises ListError for too much of it, and for pieces without an end."""
        before = self.total
        try:
            parser.Parse(chunk)
        except expat.ExpatError:
            return False
        if self.total == before and len(chunk) == _CHUNK:
            raise refused(self.path, "holds a text that is too long", f"at most {MAX_CELL:,} characters", "shorten it")
        return True

    def _count(self, name: str, attributes: dict[str, str]) -> None:
        self.total += _LOADS.get(name.rpartition(":")[2], _OTHER_LOAD) + len(attributes)
        if self.total > MAX_LOAD:
            raise refused(
                self.path, "holds too many cells and formats", f"at most some {MAX_LOAD // 6:,} cells", "save it as CSV"
            )

    def _refuse(self, *_: object) -> None:
        """Refuse document types: no workbook has one, and entities make millions of elements out of a few."""
        raise ValueError("a document type")


def _sheet_rows(path: Source, sheet: Any) -> Iterator[NumberedRow]:
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
            _check_counts(path, number)


def _cell_text(value: object) -> str:
    """Return a workbook's value as a text that a person would have typed: _cell_text(6.0) = "6"."""
    if isinstance(value, float) and math.isfinite(value):
        return plain_number(value)
    return "" if value is None else str(value)


def shown(text: str, width: int = 60) -> str:
    """Return `text` on one line of at most about `width` characters, with U+FFFD for what does not show."""
    return pointed_out(text[: width + 2], 0, width).split("\n")[0][2:]


def some(values: Iterable[object], most: int = _NAMED) -> str:
    """Return the first few values, and how many more there are."""
    texts = [str(value) for value in values]
    return ", ".join(texts[:most]) + (f" and {len(texts) - most} more" if len(texts) > most else "")
