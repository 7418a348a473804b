"""The names of a class: one a line, or a table with a column of names."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from ...drawing.fonts import printable
from ...errors import KindError, MarkingError, RangeError, shown
from ...lists.table_file import HEADER_WITHIN, HeldFile, NumberedRow, Source, numbered_rows, refused
from ...remarks import Remark
from . import NAMES, TRAINEES

Names = str | Path | HeldFile
"""Names as one text, a name a line, or a file that holds them."""

LONGEST_NAME = 60

_WHOLE = {
    "name", "names", "full name", "trainee", "trainees", "student", "students", "apprentice", "apprentices",
    "participant", "participants", "pupil", "pupils", "learner", "learners", "teilnehmer", "schüler",
    "nom et prénom", "nombre y apellidos",
}  # fmt: skip
_FIRST = {"first name", "firstname", "given name", "vorname", "prénom", "prenom", "nombre"}
_LAST = {"last name", "lastname", "surname", "family name", "nachname", "familienname", "nom", "apellido", "apellidos"}
"""Headings over columns of names, which say what is in them."""

_SUFFIXES = (".csv", ".txt", ".tsv", ".xlsx")


def read_names(given: Names) -> tuple[tuple[str, ...], tuple[Remark, ...]]:
    """Return the names of a class, and what had to be guessed to read them.

    A text holds a name a line. A file is CSV, a plain text or a workbook: with a heading such as "name", or "first
    name" and "last name", over columns of a table, above it at most a title; else a name a line, "Blau, Anna" as well.
    Raises ListError for what cannot be read, RangeError for more than 60 names, CharacterError for one that cannot be
    printed.
    """
    remarks: list[Remark] = []
    try:
        source = _source(given)
        found = tuple(_checked(source, row, name) for row, name in _named(source, remarks))
        if not found:
            raise refused(source, "holds no names", "a name a line, or a table with a column “name”")
        most = TRAINEES.high or len(found)
        if len(found) > most:
            raise RangeError(f"{len(found)} names", f"at most {most}", "make two classes of them", len(found))
    except MarkingError as error:
        error.field = NAMES.name
        raise
    return found, tuple(remarks)


def _source(given: Names) -> Source:
    if not isinstance(given, str):
        return given
    if given.strip().lower().endswith(_SUFFIXES) and "\n" not in given.strip():
        raise KindError(f"the only name is {shown(given)}", "names, one a line, or a path", "give Path(…) for a file")
    return HeldFile("names", given.encode("utf-8", "replace"))


def _named(source: Source, remarks: list[Remark]) -> Iterator[tuple[int, str]]:
    """Yield every name with its row."""
    rows = list(numbered_rows(source, lambda cell: _column(cell) > 0, remarks))
    below, columns = _heading(rows)
    for number, cells in rows[below:]:
        name = (
            " ".join(cells[k] for k in columns if k < len(cells) and cells[k])
            if columns
            else _line(source, number, cells)
        )
        if name:
            yield number, name


def _heading(rows: Sequence[NumberedRow]) -> tuple[int, list[int]]:
    """How many rows the names stand below, and their columns; a title of the list may stand above the heading."""
    for below, (_, cells) in enumerate(rows[:HEADER_WITHIN], 1):
        columns = [k for k, cell in enumerate(cells) if _column(cell)]
        if columns:
            return below, sorted(columns, key=lambda k: (_column(cells[k]), k))
        if sum(map(bool, cells)) > 1:
            break
    return 0, []


def _column(heading: str) -> int:
    """Where a column of names stands in a name: 1 for the first name, 2 for all else; 0 for another column."""
    word = " ".join(heading.casefold().split())
    return 1 if word in _FIRST else 2 if word in _WHOLE | _LAST else 0


def _line(source: Source, number: int, cells: list[str]) -> str:
    """A line without a heading above it, as it was typed: a name, which may be "last, first"."""
    filled = [cell for cell in cells if cell]
    if len(filled) > 2 or any(sign in cell for cell in filled for sign in ";\t"):
        raise refused(
            source, f"has several columns in row {number}, and no heading over the names", "a name a line, or a table",
            "write “name” above the column of names",
        )  # fmt: skip
    return ", ".join(filled)


def _checked(source: Source, number: int, name: str) -> str:
    """A name as it is printed, without doubled spaces."""
    composed = printable(" ".join(name.split()), f"name in row {number}", LONGEST_NAME)
    if not any(char.isalpha() for char in composed):
        raise refused(source, f"has {shown(name)} for a name in row {number}", "letters")
    return composed
