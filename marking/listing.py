"""Clerks' lists: CSV and workbooks to pieces to print, and everything that is wrong in them at once."""

from __future__ import annotations

import csv
import difflib
import math
import os
import re
import stat
import unicodedata
import warnings
import zipfile
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from .errors import MarkingError, RangeError, TextInputError, pointed_out
from .fonts import printable
from .quantities import parse_length, plain_number
from .socket import POINTS, parse_drive, parse_socket, parse_stock
from .spec import Stage, parse_spec

COLUMNS = (
    "id", "spec", "points", "drive", "opening", "od", "around", "thread", "stock", "copies", "title", "kind", "socket",
)  # fmt: skip
REGISTER_COLUMNS = ("id", "points", "drive", "opening", "od", "around")
KINDS = ("band", "trim band", "ring", "disc")

SYNONYMS = {
    "specification": "spec", "tightening spec": "spec",
    "drive size": "drive", "square drive": "drive",
    "across flats": "opening", "width across flats": "opening", "af": "opening", "a/f": "opening",
    "outside diameter": "od", "outer diameter": "od", "o.d.": "od",
    "hand": "thread", "stock thickness": "stock", "quantity": "copies", "qty": "copies", "socket id": "socket",
}  # fmt: skip
"""Other headers that the trade writes over a column; headers are compared without regard to case, spaces and `_`."""

MAX_FILE_BYTES = 64 * 1024 * 1024
MAX_UNPACKED_BYTES = 4 * MAX_FILE_BYTES
MAX_ROWS = 100_000
MAX_SHEET_ROWS = 1_048_576
MAX_COLUMNS = 64
MAX_CELL = 10_000
MAX_LINE = 1_000_000
MAX_FAULTS = 10_000
MAX_ID = 60
MAX_COPIES = 1000
"""Limits of our own choosing, far above any real list; MAX_SHEET_ROWS counts empty rows too and is the most that a
common workbook holds. MAX_UNPACKED_BYTES stops workbooks that are small only while packed."""

_MAX_COMPARED = 200_000  # ids compared in all to suggest near ones: some two seconds
_NAMED = 5  # rows or ids that one warning names

NumberedRow = tuple[int, list[str]]


class ListError(MarkingError, ValueError):
    """A file that cannot be read as a list or a register at all."""


class Fault(NamedTuple):
    """Something wrong in a list: `row` counts as a spreadsheet does, from 1 at the top; the header is row 1."""

    file: str
    row: int
    column: str
    message: str

    @property
    def text(self) -> str:
        """The fault on one line: "list.csv:7: od: 27.8 has no unit; expected mm, cm, m or in; write …"."""
        return f"{_shown(self.file, 300)}:{self.row}: {self.column}: {self.message}"


@dataclass(frozen=True)
class Item:
    """One piece to print, its fields checked but still texts, as `read_job` takes them.

    `drive` is the trade name in inches. `points` is None only for a disc; `od` and `around` are both None only for a
    trim band or a disc. `socket` is the id of the socket in the register, "" if none; `file` and `row` tell where the
    piece was asked for.
    """

    id: str
    spec: str
    points: int | None
    drive: str
    opening: str | None
    od: str | None
    around: str | None
    thread: str = "right"
    stock: str | None = None
    copies: int = 1
    title: str = ""
    kind: str = "band"
    socket: str = ""
    file: str = ""
    row: int = 0


class Listing(NamedTuple):
    """What a list holds: its good rows as items, the faults of the others, and warnings."""

    items: tuple[Item, ...]
    faults: tuple[Fault, ...]
    warnings: tuple[str, ...]


class ListedSocket(NamedTuple):
    """A socket of the register, checked: of `od` and `around`, one is given or, for trim bands, none."""

    id: str
    points: int
    drive: str
    opening: str | None
    od: str | None
    around: str | None
    file: str
    row: int


class Register(NamedTuple):
    """The sockets of a shop by their ids; `refused` holds the ids of those that have faults."""

    sockets: dict[str, ListedSocket]
    faults: tuple[Fault, ...]
    warnings: tuple[str, ...]
    refused: frozenset[str] = frozenset()


def read_list(path: str | os.PathLike[str], register: Register | None = None) -> Listing:
    """Read a list of pieces from a CSV file (comma, semicolon or tab) or the first sheet of an .xlsx workbook.

    A row may take points, drive, opening and od from the socket of `register` that it names in its column `socket`;
    what the row says itself wins. Rows without an id are called "row-7". Wrong cells are faults of the listing; the
    items are the rows without any. `around` is measured with the stock that is printed on. Raises ListError for a file
    that is no list at all or is beyond the limits.
    """
    sheet = _Sheet(path, COLUMNS, ("spec",))
    sockets = _Lookup(register)
    found = (_item(row, sockets) for row in sheet.rows())
    items, doubles = _unique(item for item in found if item)
    return Listing(tuple(items), tuple(sheet.faults), (*sheet.warnings, *doubles))


def read_register(path: str | os.PathLike[str]) -> Register:
    """Read a register of sockets, columns id, points, drive, opening, and od or around, from CSV or .xlsx.

    A socket without od and around is for trim bands. Two sockets with one id are a fault. Raises ListError as
    `read_list` does.
    """
    sheet = _Sheet(path, REGISTER_COLUMNS, ("id", "points", "drive"))
    sockets: dict[str, ListedSocket] = {}
    refused = set()
    places = defaultdict(list)
    for row in sheet.rows():
        socket = _listed_socket(row, sockets)
        if socket is None:
            refused.add(unicodedata.normalize("NFC", row.cells.get("id", "")))
        else:
            sockets[socket.id] = socket
            places[socket.id].append(row.number)
    found = (*sheet.warnings, *_look_alikes(places))
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
    stages = _each(turns, "turns", _turn, faults)
    if (register is None) != bool(points and drives) or (register is not None and (points or drives)):
        raise ListError("turns alone make no bands", "either a register of sockets, or points and drives", "give one")
    if register is not None:
        sockets = list(register.sockets.values())
    else:
        corners = _each(points or "", "points", _points, faults)
        squares = _each(drives or "", "drives", _drive, faults)
        sockets = [ListedSocket("", n, inch, None, None, None, "", 0) for _, n in corners for _, inch in squares]
    if len(stages) * len(sockets) > MAX_ROWS:
        raise RangeError(f"{len(stages) * len(sockets):,} pieces", f"at most {MAX_ROWS:,}", "give fewer turns")
    items, doubles = _unique(_turn_item(text, stage, socket) for socket in sockets for text, stage in stages)
    return Listing(tuple(items), tuple(faults), tuple(doubles))


def _turn_item(text: str, stage: Stage, socket: ListedSocket) -> Item:
    turn = plain_number(stage.turn_deg)
    if stage.plus_deg is not None and stage.minus_deg is not None:
        turn += f"+{plain_number(stage.plus_deg)}-{plain_number(stage.minus_deg)}"
    name = socket.id or f"{socket.points}pt-{socket.drive.replace('/', '_')}in"
    return Item(
        id=f"{name[: MAX_ID - len(turn) - 1]}-{turn}", spec=text, points=socket.points, drive=socket.drive,
        opening=socket.opening, od=socket.od, around=socket.around, socket=socket.id, file=socket.file, row=socket.row,
        kind="band" if socket.od or socket.around else "trim band",
    )  # fmt: skip


def _each(text: str, column: str, read: Callable[[str], Any], faults: list[Fault]) -> list[tuple[str, Any]]:
    """Read every part of `text`, between commas; note faults. In turns, a comma between digits is a decimal comma."""
    if len(text) > MAX_CELL:
        raise RangeError(f"the {column} have {len(text):,} characters", f"at most {MAX_CELL:,}", "give fewer")
    found = []
    between = r";|\n|,(?=\D|$)|(?<=\D)," if column == "turns" else "[;,\n]"
    parts = [part.strip() for part in re.split(between, text) if part.strip()] or [""]
    for number, part in enumerate(parts, 1):
        value, error = _tried(read, part)
        if error:
            faults.append(Fault(column, number, column, _message(error, "spec" if column == "turns" else "drive")))
        else:
            found.append((part, value))
    return found


# --- one row ---------------------------------------------------------------------------------------------------------


class _Row:
    """One row while it is checked: its filled cells by column, and where its faults go."""

    def __init__(self, sheet: _Sheet, number: int, cells: dict[str, str]) -> None:
        self.sheet = sheet
        self.number = number
        self.cells = cells
        self.good = True
        self.excused: tuple[str, ...] = ()

    def fault(self, column: str, error: MarkingError) -> None:
        self.good = False
        message = _message(error, column, self.cells.get(column, ""))
        self.sheet.faults.append(Fault(self.sheet.file, self.number, column, message))

    def read(self, column: str, reader: Callable[..., Any], *more: object) -> Any:
        """Return what `reader` makes of the cell; None for an empty cell and, with the fault noted, for a wrong one."""
        text = self.cells.get(column)
        if text is None:
            return None
        value, error = _tried(reader, text, *more)
        if error:
            self.fault(column, error)
        return value

    def need(self, column: str, expected: str, advice: str = "") -> None:
        """Note the fault of an empty cell, unless the header's fault or an unknown socket's says it already."""
        if column in self.cells or column in self.excused:
            return
        if column in self.sheet.required and column not in self.sheet.places:
            self.good = False
        else:
            self.fault(column, ListError("is empty", expected, advice))


def _item(row: _Row, sockets: _Lookup) -> Item | None:
    """Return the piece that a row asks for, or None with its faults noted."""
    own = dict(row.cells)
    socket = sockets.find(row)
    if socket:
        _take_over(row, socket)
    cells = row.cells
    name = row.read("id", _id) or f"row-{row.number}"
    thread = row.read("thread", _thread) or "right"
    row.need("spec", "a spec such as 110 N·m + 90° +10/-0")
    row.read("spec", parse_spec)
    row.read("stock", parse_stock)
    copies = row.read("copies", _copies) or 1
    title = row.read("title", printable, "title") or ""
    sized = "od" in cells or "around" in cells
    kind = row.read("kind", _kind) or ("band" if sized else "trim band")
    points, drive = _check_socket(row, own, optional_points=kind == "disc")
    _check_kind(row, own, kind)
    if not row.good:
        return None
    plain = kind != "trim band"
    return Item(
        id=name, spec=cells["spec"], points=points, drive=drive, opening=cells.get("opening"),
        od=cells.get("od") if plain else None, around=cells.get("around") if plain else None, thread=thread,
        stock=cells.get("stock"), copies=copies, title=title, kind=kind, socket=socket.id if socket else "",
        file=row.sheet.file, row=row.number,
    )  # fmt: skip


def _take_over(row: _Row, socket: ListedSocket) -> None:
    """Fill the row's empty cells from the register; a diameter of its own replaces the register's, however measured."""
    taken = {"points": str(socket.points), "drive": socket.drive, "opening": socket.opening}
    if "od" not in row.cells and "around" not in row.cells:
        taken |= {"od": socket.od, "around": socket.around}
    row.cells = {column: text for column, text in taken.items() if text} | row.cells


def _check_kind(row: _Row, own: dict[str, str], kind: str) -> None:
    sized = "od" in row.cells or "around" in row.cells
    if kind in ("band", "ring") and not sized and "od" not in row.excused:
        row.fault("od", ListError("is empty", f"od or around for a {kind}", "or write trim band as its kind"))
    if kind == "trim band" and ("od" in own or "around" in own):
        column = "od" if "od" in own else "around"
        row.fault(column, ListError(
            "a trim band is for a diameter that is not known", "an empty cell", "or write band as its kind"
        ))  # fmt: skip


def _listed_socket(row: _Row, known: dict[str, ListedSocket]) -> ListedSocket | None:
    row.need("id", "the id of the socket")
    name = row.read("id", _id)
    points, drive = _check_socket(row, row.cells)
    if name in known:
        row.fault("id", ListError(
            f"{name} stands in row {known[name].row} already", "one row for each socket", "rename one of them"
        ))  # fmt: skip
    if not row.good:
        return None
    get = row.cells.get
    return ListedSocket(name, points, drive, get("opening"), get("od"), get("around"), row.sheet.file, row.number)


def _check_socket(row: _Row, own: dict[str, str], optional_points: bool = False) -> tuple[Any, Any]:
    """Check all fields of a socket, then whether it can exist; return its points and its drive's name.

    `own` are the cells that the row has itself, not from the register: they get the blame first.
    """
    if not optional_points:
        row.need("points", "4, 6, 8 or 12", "or name a socket of the register" if row.sheet.of_items else "")
    row.need("drive", "a drive such as 1/2", "or name a socket of the register" if row.sheet.of_items else "")
    points, drive = row.read("points", _points), row.read("drive", _drive)
    lengths = {column: row.read(column, parse_length, _SUBJECTS[column]) for column in ("opening", "od", "around")}
    if "od" in row.cells and "around" in row.cells:
        row.fault("around", ListError("od is given too", "one of the two", "empty one of the cells"))
    elif drive and (lengths["od"] or lengths["around"]):
        _check_combination(row, own, points or POINTS[0], drive, lengths["opening"] is not None and points)
    return points, drive


def _check_combination(row: _Row, own: dict[str, str], points: int, drive: str, with_opening: bool) -> None:
    stock_mm = _tried(parse_stock, row.cells.get("stock"))[0]
    if stock_mm is None:  # a fault of its own
        return
    od, around = row.cells.get("od"), row.cells.get("around")
    _, error = _tried(_socket, points, drive, od, around, None, stock_mm)
    sizes = ["od", "around"]
    suspects = sizes if isinstance(error, RangeError) else ["drive", *sizes]
    if error is None and with_opening:
        _, error = _tried(_socket, points, drive, od, around, row.cells["opening"], stock_mm)
        suspects = ["opening", *sizes]
    if error:
        row.fault(next((column for column in suspects if column in own), "socket"), error)


def _socket(points: int, drive: str, od: str | None, around: str | None, opening: str | None, stock: float) -> None:
    parse_socket(points, drive, od=od, around=around, opening=opening, stock_mm=stock)


class _Lookup:
    """The register as rows look into it; suggests near ids, but not without end."""

    def __init__(self, register: Register | None) -> None:
        self.register = register
        self.compared = 0

    def find(self, row: _Row) -> ListedSocket | None:
        """Return the socket that the row names; None if it names none, and with a fault if the register lacks it."""
        text = row.cells.get("socket")
        if text is None:
            return None
        name = unicodedata.normalize("NFC", text)
        if self.register and name in self.register.sockets:
            return self.register.sockets[name]
        row.fault("socket", self._unknown(name))
        row.excused = ("points", "drive", "od")
        return None

    def _unknown(self, name: str) -> ListError:
        if self.register is None:
            return ListError(f"{_shown(name)} is looked up in no register", "", "give the register of sockets")
        if name in self.register.refused:
            return ListError(f"{_shown(name)} has faults in the register", "", "mend the register first")
        ids = list(self.register.sockets)
        self.compared += len(ids)
        near = difflib.get_close_matches(name[:MAX_ID], ids, 3, 0.5) if self.compared <= _MAX_COMPARED else []
        what = f"the register has no socket {_shown(name)}"
        return ListError(what, "", f"nearest: {', '.join(near)}" if near else "check the id")


# --- one cell --------------------------------------------------------------------------------------------------------

_SUBJECTS = {
    "spec": "spec", "drive": "drive", "opening": "opening", "od": "outside diameter", "around": "length round it",
    "stock": "stock thickness",
}  # fmt: skip
"""What the parsers call a column's value at the start of their messages."""


@lru_cache(maxsize=16_384)
def _tried(read: Callable[..., Any], *arguments: Any) -> tuple[Any, MarkingError | None]:
    """Return what `read` makes of a text, or the error; lists repeat themselves, so both are kept."""
    try:
        return read(*arguments), None
    except MarkingError as error:
        return None, error.with_traceback(None)


_POINTS = re.compile(r"([0-9]{1,2})(?:[ -]?(?:pt|points?))?", re.IGNORECASE)
_COUNT = re.compile("[0-9]{1,9}")
_THREADS = {"right": "right", "rh": "right", "right-hand": "right", "left": "left", "lh": "left", "left-hand": "left"}
_NO_FILE_NAME = re.compile(r"""[/\\:*?"<>|]|\A[=+@.~-]|\.\Z|\A(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\..*)?\Z""", re.I)
_DATE = re.compile(r"\d{4}-\d\d-\d\d.*|\d{1,2}[. -]+[^\W\d_]{3,9}\.?|[^\W\d_]{3,9}\.?[ -]+\d{1,2}")


def _points(text: str) -> int:
    found = _POINTS.fullmatch(text)
    if not found or int(found[1]) not in POINTS:
        raise RangeError(f"{_shown(text)} is no number of points", "4, 6, 8 or 12", "count the corners", text)
    return int(found[1])


def _drive(text: str) -> str:
    return parse_drive(text).inch


def _turn(text: str) -> Stage:
    spec = parse_spec(text)
    if len(spec.stages) != 1 or spec.snug or spec.hand_tight:
        raise RangeError(f"{_shown(text)} is more than a turn", "one turn, such as 90° +10/-0", "put commas between")
    return spec.stages[0]


def _thread(text: str) -> str:
    if text.casefold() not in _THREADS:
        raise RangeError(f"{_shown(text)} is no thread", "right or left (RH, LH)", "check the cell", text)
    return _THREADS[text.casefold()]


def _kind(text: str) -> str:
    kind = _plain(text)
    if kind not in KINDS:
        raise RangeError(f"{_shown(text)} is no kind of piece", f"one of: {', '.join(KINDS)}", "check the cell", text)
    return kind


def _copies(text: str) -> int:
    if not _COUNT.fullmatch(text) or not 1 <= int(text) <= MAX_COPIES:
        raise RangeError(f"{_shown(text)} is no number of copies", f"1 to {MAX_COPIES}", "check the cell", text)
    return int(text)


def _id(text: str) -> str:
    """Return an id that can be printed and can name a file on every system. Raises CharacterError or ListError."""
    name = printable(text, "id", MAX_ID)
    if _NO_FILE_NAME.search(name):
        raise ListError(
            f"{_shown(name)} cannot name a file",
            'no / \\ : * ? " < > | in it, none of = + @ . ~ - first, no dot last, no name that systems reserve',
            "choose another id",
            name,
        )
    return name


def _message(error: MarkingError, column: str, text: str = "") -> str:
    """Return the error on one line, in the words of a list: with the cell for its subject, columns for options."""
    what, advice = error.what, error.advice
    if isinstance(error, TextInputError):
        cell, at = str(error.value), error.position
        head = what.split("\n")[0].rstrip(":")
        rest = head.removeprefix(f"the {_SUBJECTS.get(column, column)} ")
        what = f"{head}: {_shown(cell)}" if rest == head else f"{_shown(cell)} {rest}"
        what += f" at “{_shown(cell[at:], 20)}”" if 0 < at < len(cell) <= MAX_CELL else ""
    if column in ("drive", "opening", "od", "around") and _DATE.fullmatch(text):
        advice = "the spreadsheet made a date of it: format the column as text and type it again"
    advice = re.sub("; if the socket is thicker .*", "", advice)  # a list has no column for the drive end
    parts = (what, f"expected {error.expected}" if error.expected else "", advice)
    return _shown(re.sub("--([a-z])", r"\1", "; ".join(part for part in parts if part)), 500)


def _shown(text: str, width: int = 60) -> str:
    """Return `text` on one line of at most about `width` characters, with U+FFFD for what does not show."""
    return pointed_out(text[: width + 2], 0, width).split("\n")[0][2:]


# --- ids -------------------------------------------------------------------------------------------------------------

_CONFUSED = str.maketrans(
    "oilосіеарухкмнтвοιαεκμνρτυχβζη" + "\u2010\u2011\u2012\u2013\u2014\u2015\u2212_",
    "011" + "0c1eapyxkmhtb" + "01aekmnptyxbzh" + "-" * 8,
)
"""After casefolding: O and 0; l, I and 1; letters of Cyrillic and Greek with a Latin twin; dashes and underline."""


def _folded(name: str) -> str:
    """Return the id with everything folded together that people take for the same: _folded("S 1O") = "s10"."""
    return "".join(name.casefold().translate(_CONFUSED).split())


def _unique(items: Iterable[Item]) -> tuple[list[Item], list[str]]:
    """Number ids that stand more than once ("A", "A-2", …); return the items, and warnings about those and twins."""
    found = list(items)
    places: dict[str, list[int]] = defaultdict(list)
    for item in found:
        places[item.id].append(item.row)
    taken, last = set(places), dict.fromkeys(places, 1)
    seen: set[str] = set()
    for index, item in enumerate(found):
        name = item.id
        if name in seen:
            while name in taken:
                last[item.id] += 1
                end = f"-{last[item.id]}"
                name = item.id[: MAX_ID - len(end)] + end
            taken.add(name)
            found[index] = replace(item, id=name)
        seen.add(item.id)
    doubles = [
        f"the id {name} stands in rows {_some(rows)}: numbered {name}, {name}-2 and so on"
        for name, rows in places.items()
        if len(rows) > 1
    ]
    return found, [*doubles, *_look_alikes(places)]


def _look_alikes(places: dict[str, list[int]]) -> list[str]:
    """Return a warning for every group of ids that are easily taken for each other."""
    groups: dict[str, list[str]] = defaultdict(list)
    for name in places:
        groups[_folded(name)].append(name)
    return [
        f"ids that look alike: {_some([f'{name} (row {places[name][0]})' for name in names])}"
        for names in groups.values()
        if len(names) > 1
    ]


def _some(values: Iterable[object]) -> str:
    texts = [str(value) for value in values]
    more = f" and {len(texts) - _NAMED} more" if len(texts) > _NAMED else ""
    return ", ".join(texts[:_NAMED]) + more


# --- a sheet: header and rows ----------------------------------------------------------------------------------------


class _Sheet:
    """A file with a header while it is read: where its columns are, and what is wrong with it so far."""

    def __init__(self, path: str | os.PathLike[str], columns: tuple[str, ...], required: tuple[str, ...]) -> None:
        self.path = Path(path)
        self.file = os.fspath(path)
        self.columns = columns
        self.required = required
        self.of_items = "spec" in columns
        self.places: dict[str, int] = {}
        self.faults: list[Fault] = []
        self.warnings: list[str] = []

    def rows(self) -> Iterator[_Row]:
        """Yield the rows below the header in which a known column is filled. Raises ListError."""
        source = _rows(self.path, self.columns)
        number, header = next(source, (0, []))
        if not header:
            raise _empty(self.path)
        self._read_header(number, header)
        for number, cells in source:
            filled = {name: cells[at] for name, at in self.places.items() if at < len(cells) and cells[at]}
            row = _Row(self, number, filled)
            self._check_sizes(row, header, cells)
            if row.cells:
                yield row
            if len(self.faults) >= MAX_FAULTS:
                message = f"reading stops after {MAX_FAULTS:,} faults; mend these first"
                self.faults.append(Fault(self.file, number, "row", message))
                return

    def _read_header(self, number: int, header: list[str]) -> None:
        unknown = []
        for at, text in enumerate(header):
            name = _column(text)
            if name not in self.columns:
                unknown += [_shown(text)] if text else []
                if _column(re.sub(r"[\[(,].*| in \w+$", "", text)) in self.columns:
                    self._header_fault(
                        number, text, "a unit in the header is not read", "the unit in every cell", "27.8 mm"
                    )
            elif name in self.places:
                self._header_fault(number, name, "stands twice in the header", "each column once", "rename one")
            else:
                self.places[name] = at
        if not self.places:
            raise _refused(
                self.path, "has no column that is known", f"a first row with {', '.join(self.columns)}",
                "name the columns in the first row",
            )  # fmt: skip
        for name in self.required:
            if name not in self.places:
                self._header_fault(number, name, "the column is missing", "a column with this name in the first row")
        if unknown:
            self.warnings.append(f"{_shown(self.file, 300)}: columns not read: {', '.join(unknown)}")

    def _header_fault(self, number: int, column: str, what: str, expected: str, advice: str = "") -> None:
        parts = (what, f"expected {expected}", f"write {advice}" if advice else "")
        self.faults.append(Fault(self.file, number, _shown(column), "; ".join(part for part in parts if part)))

    def _check_sizes(self, row: _Row, header: list[str], cells: list[str]) -> None:
        """Note cells that are too long, and cells beyond the header: an unquoted comma moves all behind it."""
        for at, text in enumerate(cells):
            column = _column(header[at]) if at < len(header) and header[at] else f"column {at + 1}"
            if len(text) > MAX_CELL:
                row.cells.pop(column, None)
                row.fault(
                    _shown(column), ListError(f"has {len(text):,} characters", f"at most {MAX_CELL:,}", "shorten it")
                )
            elif text and at >= len(header):
                row.fault(column, ListError(
                    f"{_shown(text)} has no header above it", f"{len(header)} cells in a row",
                    'put cells that hold the separator in quotes: "27,8 mm"',
                ))  # fmt: skip


def _plain(text: str) -> str:
    return " ".join(text.replace("_", " ").casefold().split())


def _column(header: str) -> str:
    """Return the column that a header names: _column(" Across_Flats ") = "opening"; unknown ones as they are."""
    name = _plain(header)
    return SYNONYMS.get(name, name)


# --- a file: encodings, separators, limits ---------------------------------------------------------------------------


def _rows(path: Path, columns: tuple[str, ...]) -> Iterator[NumberedRow]:
    """Yield every row that is not empty, its number first, its cells without spaces round them. Raises ListError."""
    try:
        mode = path.stat().st_mode
        if not stat.S_ISREG(mode):  # a pipe or a device may never end
            raise _refused(path, "is a folder" if stat.S_ISDIR(mode) else "is no ordinary file", "a CSV or .xlsx file")
        if path.stat().st_size > MAX_FILE_BYTES:
            raise _refused(path, "is too large", f"at most {MAX_FILE_BYTES // 2**20} MiB", "split it")
        with path.open("rb") as file:
            head = file.read(8)
        if head.startswith(b"PK\3\4"):
            yield from _workbook_rows(path)
        elif head.startswith(b"\xd0\xcf\x11\xe0"):
            raise _refused(path, "is an old binary workbook", "a CSV or .xlsx file", "save it as .xlsx")
        else:
            yield from _text_rows(path, head, columns)
    except FileNotFoundError as error:
        raise _refused(path, "does not exist", "", "check its name") from error
    except UnicodeDecodeError as error:
        raise _refused(path, "is no text", "UTF-8, UTF-16 or Windows-1252", "save it as CSV in UTF-8") from error
    except ListError:
        raise
    except (OSError, ValueError) as error:  # ValueError: a path with a NUL
        reason = (error.strerror if isinstance(error, OSError) else None) or str(error)
        raise _refused(path, f"cannot be read: {reason.lower()}") from error


def _refused(path: Path, what: str, expected: str = "", advice: str = "") -> ListError:
    return ListError(f"the file {_shown(str(path), 300)} {what}", expected, advice, str(path))


def _empty(path: Path) -> ListError:
    return _refused(path, "is empty", "a header and rows", "check that the list was saved")


def _text_rows(path: Path, head: bytes, columns: tuple[str, ...]) -> Iterator[NumberedRow]:
    """Yield the rows of a CSV file, after a first quick pass that finds its encoding and counts its rows."""
    encodings = ["utf-8", "cp1252"]
    if head.startswith((b"\xff\xfe", b"\xfe\xff")):
        encodings = ["utf-16"]
    elif head.startswith(b"\xef\xbb\xbf"):
        encodings = ["utf-8-sig"]
    for encoding in encodings:
        try:
            separator = _separator(path, encoding, columns)
            for _ in _csv_rows(path, encoding, separator):
                pass
            break
        except UnicodeDecodeError:
            if encoding == encodings[-1]:
                raise
    yield from _csv_rows(path, encoding, separator)


def _separator(path: Path, encoding: str, columns: tuple[str, ...]) -> str:
    """Return the separator that finds most known columns in the header."""
    header = next((line for line in _lines(path, encoding) if line.strip(" ,;\t\r\n")), "")[:MAX_CELL]
    if not header:
        raise _empty(path)

    def known(separator: str) -> int:
        return sum(_column(cell) in columns for cell in next(csv.reader([header], delimiter=separator), []))

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
        raise _refused(
            path, f"cannot be read in row {number + 1}", "cells in pairs of quotes, or without quotes",
            "look for a quote that is not closed there",
        ) from error  # fmt: skip


def _lines(path: Path, encoding: str) -> Iterator[str]:
    """Yield lines with their ends; the csv module wants them so. A line without end is not read to its end."""
    with path.open(encoding=encoding, newline="") as file:
        while line := file.readline(MAX_LINE + 1):
            if len(line) > MAX_LINE:
                raise _refused(path, "has a line that is too long", f"at most {MAX_LINE:,} characters")
            if "\0" in line:
                raise _refused(path, "holds NUL characters", "a CSV or .xlsx file", "save the list as CSV in UTF-8")
            yield line


def _check_counts(path: Path, number: int, filled: int, columns: int) -> None:
    if filled > MAX_ROWS + 1 or number > MAX_SHEET_ROWS:
        raise _refused(path, "has too many rows", f"at most {MAX_ROWS:,} below the header", "split it")
    if columns > MAX_COLUMNS:
        raise _refused(path, f"has {columns} columns or more in row {number}", f"at most {MAX_COLUMNS}", "remove some")


def _workbook_rows(path: Path) -> Iterator[NumberedRow]:
    """Yield the rows of the first worksheet, numbers and dates as texts; formulas by the values saved with them."""
    try:
        import openpyxl  # an extra: most lists are CSV
    except ImportError as error:
        advice = 'run pip install "openpyxl>=3.1", or save the list as CSV'
        raise _refused(path, "is a workbook, which needs the package openpyxl", "", advice) from error
    try:
        with path.open("rb") as file, warnings.catch_warnings():
            warnings.simplefilter("ignore")  # styles and extensions that openpyxl does not know matter to no list
            if sum(entry.file_size for entry in zipfile.ZipFile(file).infolist()) > MAX_UNPACKED_BYTES:
                raise _refused(
                    path, "is too large when unpacked", f"at most {MAX_UNPACKED_BYTES // 2**20} MiB", "split it"
                )
            book = openpyxl.load_workbook(file, read_only=True, data_only=True, keep_links=False)
            rows = list(_sheet_rows(path, book.worksheets[0]))
    except MarkingError:
        raise
    except Exception as error:  # a broken workbook breaks zip, XML and number readers, each in its own way
        raise _refused(path, "cannot be read as a workbook", "an .xlsx file", "save it again, or as CSV") from error
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
