"""A list file as a table: which column is which, and every fault with its row."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from itertools import chain, islice, zip_longest
from pathlib import Path
from typing import Any

from ..errors import MarkingError
from ..remarks import Remark, Template
from .cells import is_bare, message_of, tried
from .headings import CELLS, LENGTHS, MEASURED, heading_of, is_units, look_alike, with_unit
from .items import Fault
from .spoken import in_inches, is_total, simplified
from .table_file import (
    HEADER_WITHIN,
    MAX_CELL,
    HeldFile,
    ListError,
    NumberedRow,
    empty,
    numbered_rows,
    refused,
    shown,
)
from .words import COLUMNS_NOT_READ, NO_UNITS, ONE_SHEET, TOTALS

MAX_FAULTS = 10_000

BROKEN = {"spec", "title"}
"""Columns whose cells clerks break into lines; broken numbers are refused, for they may be two."""


def _over(upper: list[str], lower: list[str]) -> list[str]:
    """Headings in two rows as one: the lower ones, and the upper ones that have nothing below them."""
    return [below or above for above, below in zip_longest(upper, lower, fillvalue="")]


class Row:
    """One row while it is checked: its filled cells by column, and where its faults go."""

    def __init__(self, sheet: Table, number: int, cells: dict[str, str]) -> None:
        self.sheet = sheet
        self.number = number
        self.cells = cells
        self.good = True
        self.excused = sheet.mistaken

    def fault(self, column: str, error: MarkingError, shared: Template | None = None) -> None:
        """Note a fault of a cell in this row; `shared` is the sentence for many rows that have it."""
        self.good = False
        message = message_of(error, column, self.cells.get(column, ""))
        self.sheet.faults.append(Fault(self.sheet.file, self.number, column, message, shared))

    def read(self, column: str, reader: Callable[..., Any], *more: object) -> Any:
        """Return what `reader` makes of the cell; None for an empty cell and, with the fault noted, for a wrong one."""
        text = self.cells.get(column)
        if text is None:
            return None
        value, error = tried(reader, text, *more)
        if error:
            self.fault(column, error, NO_UNITS if column in LENGTHS and is_bare(text) else None)
        return value

    def need(self, column: str, expected: str, advice: str = "") -> None:
        """Note the fault of an empty cell, unless the header's fault or an unknown socket's says it already."""
        missing = column in self.sheet.required and column not in self.sheet.places
        if column not in self.cells and column not in self.excused and not missing:
            self.fault(column, ListError("is empty", expected, advice))


class Table:
    """A file with a header while it is read: where its columns are, and what is wrong with it so far."""

    def __init__(
        self, path: str | os.PathLike[str] | HeldFile, columns: tuple[str, ...], required: tuple[str, ...],
        unit: str = "",
    ) -> None:  # fmt: skip
        self.unit = unit
        self.units: dict[str, str] = {}
        self.path = path if isinstance(path, HeldFile) else Path(path)
        self.file = str(path) if isinstance(path, HeldFile) else os.fspath(path)
        self.columns = columns
        self.required = required
        self.of_items = "spec" in columns
        self.places: dict[str, int] = {}
        self.faults: list[Fault] = []
        self.good = True  # the header; below a wrong one, rows are checked but make no pieces
        self.mistaken: tuple[str, ...] = ()
        self.warnings: list[Remark] = []

    def rows(self) -> Iterator[Row]:
        """Yield the rows below the header in which a known column is filled. Raises ListError."""
        source = numbered_rows(self.path, self._is_known, self.warnings)
        first = list(islice(source, HEADER_WITHIN))
        if not first:
            raise empty(self.path)
        number, header, end = self._header_of(first)
        self._read_header(number, header)
        for number, cells in chain(first[end:], source):
            filled = {name: cells[at] for name, at in self.places.items() if at < len(cells) and cells[at]}
            for name in filled.keys() & BROKEN:
                filled[name] = " ".join(filled[name].splitlines())
            for name in filled.keys() & {*MEASURED}:
                filled[name] = in_inches(filled[name])
            for name, unit in self.units.items():
                if name in filled and is_bare(filled[name]):
                    filled[name] += f" {unit}"
            if not filled.keys() & {*self.required} - {"id"} and any(is_total(cell) for cell in cells):
                self.warnings.append(TOTALS(file=shown(self.file, 300), row=number))
                continue
            row = Row(self, number, filled)
            self._check_sizes(row, header, cells)
            if row.cells:
                yield row
            if len(self.faults) >= MAX_FAULTS:
                message = f"reading stops after {MAX_FAULTS:,} faults; mend these first"
                self.faults.append(Fault(self.file, number, "row", message))
                return

    def _is_known(self, header: str) -> bool:
        return heading_of(header, self.columns) is not None

    def _header_of(self, rows: list[NumberedRow]) -> tuple[int, list[str], int]:
        """The number of the header among the first rows, its cells, and how many rows end with it.

        It is the first row with several known headings, else the first row at all. Below merged cells headings stand
        in two rows, of which the lower counts; a row of units may follow.
        """
        known = [sum(map(self._is_known, cells)) for _, cells in rows] + [0]
        at = next((k for k, count in enumerate(known) if count > 1), 0)
        number, header = rows[at]
        end = at + 1
        if at and known[at - 1]:
            above = [cell if self._is_known(cell) else "" for cell in rows[at - 1][1]]
            header = _over(above, header)
        if known[end] > 1:
            header = _over(header, rows[end][1])
            end += 1
        if end < len(rows) and is_units(rows[end][1]):
            header = [
                with_unit(heading, unit, self.columns)
                for heading, unit in zip_longest(header, rows[end][1], fillvalue="")
            ]
            end += 1
        return number, [" ".join(cell.splitlines()) for cell in header], end

    def _read_header(self, number: int, header: list[str]) -> None:
        unknown = []
        headings = [heading_of(text, self.columns) for text in header]
        surely = {found.column for found in headings if found and not found.weak}
        for at, (text, found) in enumerate(zip(header, headings, strict=True)):
            if found is None:
                meant = look_alike(text, self.columns) if text else None
                if meant:
                    self._mistaken(number, text, meant)
                elif text:
                    unknown.append(shown(text))
            elif found.weak and (found.column in surely or found.column in self.places):
                unknown.append(shown(text))
            elif found.column in self.places:
                self._header_fault(number, found.column, "stands twice in the header", "each column once", "rename one")
            else:
                self.places[found.column] = at
                if unit := found.unit or (self.unit if found.column in LENGTHS else ""):
                    self.units[found.column] = unit
        if not self.places and not self.mistaken:
            sheets = any(remark.code == ONE_SHEET.code for remark in self.warnings)
            raise refused(
                self.path, "has no column that is known", f"a first row with {', '.join(self.columns)}",
                "name the columns in the first row" + (", and put the list on the first sheet" if sheets else ""),
            )  # fmt: skip
        for name in self.required:
            if name not in self.places and name not in self.mistaken:
                held = f", and {CELLS[name]}" if name in CELLS else ""
                self._header_fault(
                    number, name, "the column is missing", f"a column with this name in the first row{held}"
                )
        if unknown:
            self.warnings.append(COLUMNS_NOT_READ(file=shown(self.file, 300), columns=unknown))

    def _mistaken(self, number: int, header: str, column: str) -> None:
        """Note the fault of a header that looks like a column: without it, rows would make pieces that are wrong."""
        self.mistaken += (column,)
        expected = f"the heading {column}" + (f", and {CELLS[column]}" if column in CELLS else "")
        advice = f"{column}, or another word if it means something else"
        self._header_fault(number, header, f"looks like the column {column}, but is not read", expected, advice)

    def _header_fault(self, number: int, column: str, what: str, expected: str, advice: str = "") -> None:
        self.good = False
        parts = (what, f"expected {expected}", f"write {advice}" if advice else "")
        self.faults.append(Fault(self.file, number, shown(column), "; ".join(part for part in parts if part)))

    def _check_sizes(self, row: Row, header: list[str], cells: list[str]) -> None:
        """Note cells that are too long, and cells beyond the header: an unquoted comma moves all behind it."""
        if len(cells) <= len(header) and max(map(len, cells), default=0) <= MAX_CELL:
            return
        for at, text in enumerate(cells):
            known = next((column for column, place in self.places.items() if place == at), "")
            column = known or (simplified(header[at]) if at < len(header) else "") or f"column {at + 1}"
            if len(text) > MAX_CELL:
                row.cells.pop(column, None)
                row.fault(
                    shown(column), ListError(f"has {len(text):,} characters", f"at most {MAX_CELL:,}", "shorten it")
                )
            elif text and at >= len(header):
                row.fault(column, ListError(
                    f"{shown(text)} has no header above it", f"{len(header)} cells in a row",
                    'put cells that hold the separator in quotes: "27,8 mm"',
                ))  # fmt: skip
