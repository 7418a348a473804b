"""Clerks' lists and registers of sockets: rows to pieces to print, and everything that is wrong in them at once."""

from __future__ import annotations

import os
import re
import unicodedata
from collections import defaultdict
from collections.abc import Callable
from typing import Any

from ..errors import RangeError
from ..fastening.spec import Stage
from ..quantities.shown import plain_number
from ..readouts import usual_kind
from .cells import MAX_ID, message_of, read_drive, read_points, read_turn, tried
from .headings import COLUMNS, REGISTER_COLUMNS
from .items import Fault, Item, ListedSocket, Listing, Register, look_alikes, numbered
from .rows import Lookup, item_of_row, listed_socket
from .table import Table
from .table_file import MAX_CELL, MAX_ROWS, HeldFile, ListError


def read_list(path: str | os.PathLike[str] | HeldFile, register: Register | None = None, unit: str = "") -> Listing:
    """Read a list of pieces from a CSV file (comma, semicolon or tab) or an .xlsx workbook.

    A row may take points, drive, opening and od from the socket of `register` that it names in its column `socket`;
    what the row says itself wins, but a diameter of its own has to be the register's. Rows without an id are called
    "row-7". `unit` is that of lengths without one, where their heading gives none. Wrong cells are faults of the
    listing; the items are the rows without any. `around` is measured with the stock that is printed on. Raises
    ListError for a file that is no list at all or is beyond the limits.
    """
    sheet = Table(path, COLUMNS, ("spec",), unit)
    sockets = Lookup(register)
    found = (item_of_row(row, sockets) for row in sheet.rows())
    items, doubles = numbered(item for item in found if item)
    return Listing(tuple(items), tuple(sheet.faults), (*sheet.warnings, *doubles))


def read_register(path: str | os.PathLike[str] | HeldFile, unit: str = "") -> Register:
    """Read a register of sockets, columns id, points, drive, opening, od or around, from CSV or .xlsx.

    A socket without od and around is for trim bands. Two sockets with one id are a fault. `unit` is that of lengths
    without one. Raises ListError as `read_list` does.
    """
    sheet = Table(path, REGISTER_COLUMNS, ("id", "points", "drive"), unit)
    sockets: dict[str, ListedSocket] = {}
    refused = set()
    places = defaultdict(list)
    for row in sheet.rows():
        socket = listed_socket(row, sockets)
        if socket is None:
            refused.add(unicodedata.normalize("NFC", row.cells.get("id", "")))
        else:
            sockets[socket.id] = socket
            places[socket.id].append(row.number)
    found = (*sheet.warnings, *look_alikes(places))
    return Register(sockets, tuple(sheet.faults), found, frozenset(refused - set(sockets)))


def turn_items(
    turns: str, register: Register | None = None, points: str | None = None, drives: str | None = None
) -> Listing:
    """Return a piece for every turn of "30°, 90° +10/-0, 120° ±5°" on every socket.

    With a register: on each of its sockets, a band, or a trim band where it has no diameter; ids as "S19-90+10-0". With
    points "6, 12" and drives "3/8, 1/2": trim bands for stock, each points with each drive; ids as "12pt-1_2in-90",
    because no file name can hold a slash. Two turns, three points, four drives: 24 pieces. Faults are numbered by the
    place in the text. Raises ListError unless either a register or points and drives are given, RangeError for more
    than 100,000 pieces.
    """
    faults: list[Fault] = []
    stages = _each(turns, "turns", read_turn, faults)
    if (register is None) != bool(points and drives) or (register is not None and (points or drives)):
        raise ListError("turns alone make no bands", "either a register of sockets, or points and drives", "give one")
    if register is not None:
        sockets = list(register.sockets.values())
    else:
        corners = _each(points or "", "points", read_points, faults)
        squares = _each(drives or "", "drives", read_drive, faults)
        sockets = [ListedSocket("", n, inch, None, None, None, "", 0) for _, n in corners for _, inch in squares]
    if len(stages) * len(sockets) > MAX_ROWS:
        raise RangeError(f"{len(stages) * len(sockets):,} pieces", f"at most {MAX_ROWS:,}", "give fewer turns")
    items, doubles = numbered(_turn_item(text, stage, socket) for socket in sockets for text, stage in stages)
    return Listing(tuple(items), tuple(faults), tuple(doubles))


def _turn_item(text: str, stage: Stage, socket: ListedSocket) -> Item:
    turn = plain_number(stage.turn_deg)
    if stage.plus_deg is not None and stage.minus_deg is not None:
        turn += f"+{plain_number(stage.plus_deg)}-{plain_number(stage.minus_deg)}"
    name = socket.id or f"{socket.points}pt-{socket.drive.replace('/', '_')}in"
    return Item(
        id=f"{name[: MAX_ID - len(turn) - 1]}-{turn}", spec=text, points=socket.points, drive=socket.drive,
        opening=socket.opening, od=socket.od, around=socket.around, socket=socket.id, file=socket.file,
        row=socket.row, kind=usual_kind(bool(socket.od or socket.around)),
    )  # fmt: skip


def _each(text: str, column: str, read: Callable[[str], Any], faults: list[Fault]) -> list[tuple[str, Any]]:
    """Read every part of `text`, between commas; note faults. In turns, a comma between digits is a decimal comma."""
    if len(text) > MAX_CELL:
        raise RangeError(f"the {column} have {len(text):,} characters", f"at most {MAX_CELL:,}", "give fewer")
    found = []
    between = r";|\n|,(?=\D|$)|(?<=\D)," if column == "turns" else "[;,\n]"
    parts = [part.strip() for part in re.split(between, text) if part.strip()] or [""]
    for number, part in enumerate(parts, 1):
        value, error = tried(read, part)
        if error:
            faults.append(Fault(column, number, column, message_of(error, "spec" if column == "turns" else "drive")))
        else:
            found.append((part, value))
    return found
