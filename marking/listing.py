"""Clerks' lists and registers of sockets: rows to pieces to print, and everything that is wrong in them at once."""

from __future__ import annotations

import difflib
import os
import re
import unicodedata
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from .errors import MarkingError, RangeError, TextInputError
from .fonts import printable
from .headings import CELLS, COLUMNS, REGISTER_COLUMNS, column_of, look_alike, simplified
from .quantities import ANY_CASE, parse_length, plain_number
from .socket import POINTS, parse_drive, parse_socket, parse_stock
from .spec import Stage, parse_spec
from .table_files import MAX_CELL, MAX_ROWS, ListError, empty, numbered_rows, refused, shown, some

KINDS = ("band", "trim band", "ring", "disc")

MAX_FAULTS = 10_000
MAX_ID = 60
MAX_COPIES = 1000
"""Limits of our own choosing, far above any real list."""

_MAX_COMPARED = 5_000_000  # pairs of characters compared in all to suggest near ids: two seconds at the worst


class Fault(NamedTuple):
    """Something wrong in a list: `row` counts as a spreadsheet does, from 1 at the top; the header is row 1."""

    file: str
    row: int
    column: str
    message: str

    @property
    def text(self) -> str:
        """The fault on one line: "list.csv:7: od: 27.8 has no unit; expected mm, cm, m or in; write …"."""
        return f"{shown(self.file, 300)}:{self.row}: {self.column}: {self.message}"


@dataclass(frozen=True, slots=True)
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
    drive_end: str | None = None
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
    """A socket of the register, checked: of `od` and `around`, one is given or, for trim bands, none.

    `drive_end` is the diameter of a stepped socket's drive end.
    """

    id: str
    points: int
    drive: str
    opening: str | None
    od: str | None
    around: str | None
    drive_end: str | None
    file: str
    row: int


class Register(NamedTuple):
    """The sockets of a shop by their ids; `refused` holds the ids of those that have faults."""

    sockets: dict[str, ListedSocket]
    faults: tuple[Fault, ...]
    warnings: tuple[str, ...]
    refused: frozenset[str] = frozenset()


def read_list(path: str | os.PathLike[str], register: Register | None = None) -> Listing:
    """Read a list of pieces from a CSV file (comma, semicolon or tab) or an .xlsx workbook.

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
    """Read a register of sockets, columns id, points, drive, opening, od or around, and drive end, from CSV or .xlsx.

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
        sockets = [ListedSocket("", n, inch, None, None, None, None, "", 0) for _, n in corners for _, inch in squares]
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
        opening=socket.opening, od=socket.od, around=socket.around, drive_end=socket.drive_end, socket=socket.id,
        file=socket.file, row=socket.row, kind="band" if socket.od or socket.around else "trim band",
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
        self.excused = sheet.mistaken

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
        missing = column in self.sheet.required and column not in self.sheet.places
        if column not in self.cells and column not in self.excused and not missing:
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
    if not row.good or not row.sheet.good:
        return None
    plain = kind != "trim band"
    return Item(
        id=name, spec=cells["spec"], points=points, drive=drive, opening=cells.get("opening"),
        od=cells.get("od") if plain else None, around=cells.get("around") if plain else None,
        drive_end=cells.get("drive end"), thread=thread, stock=cells.get("stock"), copies=copies, title=title,
        kind=kind, socket=socket.id if socket else "", file=row.sheet.file, row=row.number,
    )  # fmt: skip


def _take_over(row: _Row, socket: ListedSocket) -> None:
    """Fill the row's empty cells from the register; a diameter of its own replaces the register's, however measured."""
    taken = {"points": str(socket.points), "drive": socket.drive, "opening": socket.opening}
    if "od" not in row.cells and "around" not in row.cells:
        taken |= {"od": socket.od, "around": socket.around, "drive end": socket.drive_end}
    row.cells = {column: text for column, text in taken.items() if text} | row.cells


def _check_kind(row: _Row, own: dict[str, str], kind: str) -> None:
    sized = "od" in row.cells or "around" in row.cells
    if kind in ("band", "ring") and not sized and not {"od", "around"} & set(row.excused):
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
    if not row.good or not row.sheet.good:
        return None
    get = row.cells.get
    sizes = get("opening"), get("od"), get("around"), get("drive end")
    return ListedSocket(name, points, drive, *sizes, row.sheet.file, row.number)


def _check_socket(row: _Row, own: dict[str, str], optional_points: bool = False) -> tuple[Any, Any]:
    """Check all fields of a socket, then whether it can exist; return its points and its drive's name.

    `own` are the cells that the row has itself, not from the register: they get the blame first.
    """
    if not optional_points:
        row.need("points", "4, 6, 8 or 12", "or name a socket of the register" if row.sheet.of_items else "")
    row.need("drive", "a drive such as 1/2", "or name a socket of the register" if row.sheet.of_items else "")
    points, drive = row.read("points", _points), row.read("drive", _drive)
    lengths = {column: row.read(column, parse_length, _SUBJECTS[column]) for column in _LENGTHS}
    if "od" in row.cells and "around" in row.cells:
        row.fault("around", ListError("od is given too", "one of the two", "empty one of the cells"))
    elif drive and (lengths["od"] or lengths["around"]):
        _check_combination(row, own, points or POINTS[0], drive, lengths["opening"] is not None and points)
    return points, drive


def _check_combination(row: _Row, own: dict[str, str], points: int, drive: str, with_opening: bool) -> None:
    stock_mm = _tried(parse_stock, row.cells.get("stock"))[0]
    if stock_mm is None:  # a fault of its own
        return
    given = row.cells.get("od"), row.cells.get("around"), row.cells.get("drive end")
    _, error = _tried(_socket, points, drive, *given, None, stock_mm)
    sizes = ["drive end", "od", "around"]
    suspects = sizes if isinstance(error, RangeError) else ["drive", *sizes]
    if error is None and with_opening:
        _, error = _tried(_socket, points, drive, *given, row.cells["opening"], stock_mm)
        suspects = ["opening", *sizes[1:]]
    if error:
        row.fault(next((column for column in suspects if column in own), "socket"), error)


def _socket(
    points: int, drive: str, od: str | None, around: str | None, end: str | None, opening: str | None, stock: float
) -> None:
    parse_socket(points, drive, od=od, around=around, opening=opening, drive_end=end, stock_mm=stock)


class _Lookup:
    """The register as rows look into it; suggests near ids, but not without end."""

    def __init__(self, register: Register | None) -> None:
        self.register = register
        self.width = sum(map(len, register.sockets)) if register else 0
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
        row.excused += ("points", "drive", "od")
        return None

    def _unknown(self, name: str) -> ListError:
        if self.register is None:
            return ListError(f"{shown(name)} is looked up in no register", "", "give the register of sockets")
        if name in self.register.refused:
            return ListError(f"{shown(name)} has faults in the register", "", "mend the register first")
        self.compared += len(name[:MAX_ID]) * self.width
        few = self.compared <= _MAX_COMPARED
        near = difflib.get_close_matches(name[:MAX_ID], self.register.sockets, 3, 0.5) if few else []
        what = f"the register has no socket {shown(name)}"
        return ListError(what, "", f"nearest: {', '.join(near)}" if near else "check the id")


# --- one cell --------------------------------------------------------------------------------------------------------

_SUBJECTS = {
    "spec": "spec", "drive": "drive", "opening": "opening", "od": "outside diameter", "around": "length round it",
    "stock": "stock thickness", "drive end": "drive end",
}  # fmt: skip
"""What the parsers call a column's value at the start of their messages."""

_LENGTHS = ("opening", "od", "around", "drive end")


@lru_cache(maxsize=16_384)
def _tried(read: Callable[..., Any], *arguments: Any) -> tuple[Any, MarkingError | None]:
    """Return what `read` makes of a text, or the error; lists repeat themselves, so both are kept."""
    try:
        return read(*arguments), None
    except MarkingError as error:
        return None, error.with_traceback(None)


_POINTS = re.compile(r"([0-9]{1,2})(?:[ -]?(?:pt|points?))?", ANY_CASE)
_COUNT = re.compile("[0-9]{1,9}")
_THREADS = {"right": "right", "rh": "right", "right-hand": "right", "left": "left", "lh": "left", "left-hand": "left"}
_NO_FILE_NAME = re.compile(r"""[/\\:*?"<>|]|\A[=+@.~-]|\.\Z|\A(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\..*)?\Z""", re.I)
_DATE = re.compile(r"\d{4}-\d\d-\d\d.*|\d{1,2}[. -]+[^\W\d_]{3,9}\.?|[^\W\d_]{3,9}\.?[ -]+\d{1,2}")


def _points(text: str) -> int:
    found = _POINTS.fullmatch(text)
    if not found or int(found[1]) not in POINTS:
        raise RangeError(f"{shown(text)} is no number of points", "4, 6, 8 or 12", "count the corners", text)
    return int(found[1])


def _drive(text: str) -> str:
    return parse_drive(text).inch


def _turn(text: str) -> Stage:
    spec = parse_spec(text)
    if len(spec.stages) != 1 or spec.snug or spec.hand_tight:
        raise RangeError(f"{shown(text)} is more than a turn", "one turn, such as 90° +10/-0", "put commas between")
    return spec.stages[0]


def _thread(text: str) -> str:
    if text.casefold() not in _THREADS:
        raise RangeError(f"{shown(text)} is no thread", "right or left (RH, LH)", "check the cell", text)
    return _THREADS[text.casefold()]


def _kind(text: str) -> str:
    kind = simplified(text)
    if kind not in KINDS:
        raise RangeError(f"{shown(text)} is no kind of piece", f"one of: {', '.join(KINDS)}", "check the cell", text)
    return kind


def _copies(text: str) -> int:
    if not _COUNT.fullmatch(text) or not 1 <= int(text) <= MAX_COPIES:
        raise RangeError(f"{shown(text)} is no number of copies", f"1 to {MAX_COPIES}", "check the cell", text)
    return int(text)


def _id(text: str) -> str:
    """Return an id that can be printed and can name a file on every system. Raises CharacterError or ListError."""
    name = printable(text, "id", MAX_ID)
    if _NO_FILE_NAME.search(name):
        raise ListError(
            f"{shown(name)} cannot name a file",
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
        what = f"{head}: {shown(cell)}" if rest == head else f"{shown(cell)} {rest}"
        what += f" at “{shown(cell[at:], 20)}”" if 0 < at < len(cell) <= MAX_CELL else ""
    if column in ("drive", *_LENGTHS) and _DATE.fullmatch(text):
        advice = "the spreadsheet made a date of it: format the column as text and type it again"
    advice = advice.replace("--drive-end", "drive end")
    parts = (what, f"expected {error.expected}" if error.expected else "", advice)
    return shown(re.sub("--([a-z])", r"\1", "; ".join(part for part in parts if part)), 500)


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
        f"the id {name} stands in rows {some(rows)}: numbered {name}, {name}-2 and so on"
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
        f"ids that look alike: {some([f'{name} (row {places[name][0]})' for name in names])}"
        for names in groups.values()
        if len(names) > 1
    ]


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
        self.good = True  # the header; below a wrong one, rows are checked but make no pieces
        self.mistaken: tuple[str, ...] = ()

    def rows(self) -> Iterator[_Row]:
        """Yield the rows below the header in which a known column is filled. Raises ListError."""
        source = numbered_rows(self.path, lambda header: column_of(header) in self.columns, self.warnings)
        number, header = next(source, (0, []))
        if not header:
            raise empty(self.path)
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
            name = column_of(text)
            if name not in self.columns:
                meant = look_alike(text, self.columns) if text else None
                if meant:
                    self._mistaken(number, text, meant)
                elif text:
                    unknown.append(shown(text))
            elif name in self.places:
                self._header_fault(number, name, "stands twice in the header", "each column once", "rename one")
            else:
                self.places[name] = at
        if not self.places and not self.mistaken:
            raise refused(
                self.path, "has no column that is known", f"a first row with {', '.join(self.columns)}",
                "name the columns in the first row",
            )  # fmt: skip
        for name in self.required:
            if name not in self.places and name not in self.mistaken:
                self._header_fault(number, name, "the column is missing", "a column with this name in the first row")
        if unknown:
            self.warnings.append(f"{shown(self.file, 300)}: columns not read: {', '.join(unknown)}")

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

    def _check_sizes(self, row: _Row, header: list[str], cells: list[str]) -> None:
        """Note cells that are too long, and cells beyond the header: an unquoted comma moves all behind it."""
        for at, text in enumerate(cells):
            column = column_of(header[at]) if at < len(header) and header[at] else f"column {at + 1}"
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
