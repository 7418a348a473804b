"""From a row of a list to the piece that it asks for."""

from __future__ import annotations

import difflib
import math
import unicodedata
from typing import Any, get_args

from ..drawing.fonts import printable
from ..fastening.hexagons import parse_opening
from ..fastening.opening import ANY_POINTS, POINTS
from ..fastening.socket import parse_socket, parse_stock
from ..fastening.spec_grammar import WITNESSES, parse_spec
from ..marks.places import Start
from ..quantities.angles import od_from_around_mm
from ..quantities.parse import parse_length
from ..readouts import READOUTS, usual_kind
from .cells import (
    MAX_ID,
    read_choice,
    read_copies,
    read_drive,
    read_fasteners,
    read_hand,
    read_id,
    read_kind,
    read_points,
    tried,
)
from .items import Item, ListedSocket, Register
from .table import Row
from .table_file import ListError, shown
from .words import NO_REGISTER, REFUSED_SOCKETS

SAME_OD = 0.005
"""Share by which a diameter by callipers and one by a strip of paper may differ: what a band's OK bracket allows."""

STARTS = get_args(Start)

_MAX_COMPARED = 5_000_000  # pairs of characters compared in all to suggest near ids: two seconds at the worst


def item_of_row(row: Row, sockets: Lookup) -> Item | None:
    """Return the piece that a row asks for, or None with its faults noted."""
    own = dict(row.cells)
    socket = sockets.find(row)
    if socket:
        _take_over(row, socket)
    cells = row.cells
    name = row.read("id", read_id) or f"row-{row.number}"
    thread = row.read("thread", read_hand) or "right"
    row.need("spec", "a spec such as 110 N·m + 90° +10/-0")
    row.read("stock", parse_stock)
    copies = row.read("copies", read_copies) or 1
    title = row.read("title", printable, "title")
    kind = row.read("kind", read_kind) or usual_kind("od" in cells or "around" in cells)
    fasteners = row.read("fasteners", read_fasteners)
    witness = row.read("witness", read_choice, "witness", tuple(WITNESSES))
    start = row.read("start", read_choice, "start", STARTS)
    row.read("height", parse_length, "height")
    points, drive = _check_socket(row, own, optional_points=not READOUTS[kind].needs_points)
    spec = row.read("spec", parse_spec, thread, points, witness)
    _check_kind(row, own, kind)
    if not row.good or not row.sheet.good:
        return None
    plain = READOUTS[kind].sized is not False
    return Item(
        id=name, spec=cells["spec"], points=points, drive=drive, opening=cells.get("opening"),
        title=title or spec.title, od=cells.get("od") if plain else None, around=cells.get("around") if plain else None,
        thread=thread, stock=cells.get("stock"), copies=copies,
        kind=kind, socket=socket.id if socket else "", file=row.sheet.file, row=row.number,
        witness=witness, start=start, height=cells.get("height"), fasteners=fasteners,
    )  # fmt: skip


def _take_over(row: Row, socket: ListedSocket) -> None:
    """Fill the row's empty cells from the register; a diameter of its own has to be that of the register."""
    _check_same_diameter(row, socket)
    taken = {"points": str(socket.points), "drive": socket.drive, "opening": socket.opening}
    if "od" not in row.cells and "around" not in row.cells:
        taken |= {"od": socket.od, "around": socket.around}
    row.cells = {column: text for column, text in taken.items() if text} | row.cells


def _check_same_diameter(row: Row, socket: ListedSocket) -> None:
    """Note the fault of a diameter that differs from the register's: one of the two is of another socket."""
    column = next((column for column in ("od", "around") if column in row.cells), "")
    measured = "od" if socket.od else "around"
    registered = socket.od or socket.around
    if not column or not registered:
        return
    text = row.cells[column]
    own, other = _od_mm(row, column, text), _od_mm(row, measured, registered)
    if own and other and not math.isclose(own, other, rel_tol=1e-6 if column == measured else SAME_OD):
        what = f"{shown(text)} is not the {registered} of socket {socket.id}"
        row.fault(column, ListError(what, "one of the two", "empty the cell, or name another socket"))


def _od_mm(row: Row, column: str, text: str) -> float | None:
    """The diameter that a cell gives; None for one that cannot be read, which is a fault of its own."""
    length, stock_mm = tried(parse_length, text, column)[0], tried(parse_stock, row.cells.get("stock"))[0]
    if length is None or stock_mm is None or column == "od":
        return length and float(length.mm)
    return float(tried(od_from_around_mm, length.mm, stock_mm)[0] or 0.0)


def _check_kind(row: Row, own: dict[str, str], kind: str) -> None:
    sized = "od" in row.cells or "around" in row.cells
    takes = READOUTS[kind].sized
    if takes and not sized and not {"od", "around"} & set(row.excused):
        advice = f"or write {usual_kind(False)} as its kind"
        row.fault("od", ListError("is empty", f"od or around for a {kind}", advice))
    if takes is False and ("od" in own or "around" in own):
        column = "od" if "od" in own else "around"
        row.fault(column, ListError(
            f"a {kind} is for a diameter that is not known", "an empty cell", f"or write {usual_kind(True)} as its kind"
        ))  # fmt: skip


def listed_socket(row: Row, known: dict[str, ListedSocket]) -> ListedSocket | None:
    """Return the socket of a row of a register, or None with its faults noted."""
    row.need("id", "the id of the socket")
    name = row.read("id", read_id)
    points, drive = _check_socket(row, row.cells)
    if name in known:
        row.fault("id", ListError(
            f"{name} stands in row {known[name].row} already", "one row for each socket", "rename one of them"
        ))  # fmt: skip
    if not row.good or not row.sheet.good:
        return None
    get = row.cells.get
    sizes = get("opening"), get("od"), get("around")
    return ListedSocket(name, points, drive, *sizes, row.sheet.file, row.number)


def _check_socket(row: Row, own: dict[str, str], optional_points: bool = False) -> tuple[Any, Any]:
    """Check all fields of a socket, then whether it can exist; return its points and its drive's name.

    `own` are the cells that the row has itself, not from the register: they get the blame first.
    """
    if not optional_points:
        row.need("points", ANY_POINTS, "or name a socket of the register" if row.sheet.of_items else "")
    row.need("drive", "a drive such as 1/2", "or name a socket of the register" if row.sheet.of_items else "")
    points, drive = row.read("points", read_points), row.read("drive", read_drive)
    lengths = {column: row.read(column, parse_length, column) for column in ("od", "around")}
    opening = row.read("opening", parse_opening)
    if "od" in row.cells and "around" in row.cells:
        row.fault("around", ListError("od is given too", "one of the two", "empty one of the cells"))
    elif drive and (lengths["od"] or lengths["around"]):
        _check_combination(row, own, points or POINTS[0], drive, opening and points)
    return points, drive


def _check_combination(row: Row, own: dict[str, str], points: int, drive: str, with_opening: bool) -> None:
    stock_mm = tried(parse_stock, row.cells.get("stock"))[0]
    if stock_mm is None:  # a fault of its own
        return
    given = row.cells.get("od"), row.cells.get("around")
    _, error = tried(_socket, points, drive, *given, None, stock_mm)
    suspects = ["od", "around"]
    if error is None and with_opening:
        _, error = tried(_socket, points, drive, *given, row.cells["opening"], stock_mm)
        suspects = ["opening", *suspects]
    if error:
        row.fault(next((column for column in suspects if column in own), "socket"), error)


def _socket(points: int, drive: str, od: str | None, around: str | None, opening: str | None, stock: float) -> None:
    parse_socket(points, drive, od=od, around=around, opening=opening, stock_mm=stock)


class Lookup:
    """The register as rows look into it; suggests near ids, but not without end."""

    def __init__(self, register: Register | None) -> None:
        self.register = register
        self.width = sum(map(len, register.sockets)) if register else 0
        self.compared = 0

    def find(self, row: Row) -> ListedSocket | None:
        """Return the socket that the row names; None if it names none, and with a fault if the register lacks it."""
        text = row.cells.get("socket")
        if text is None:
            return None
        name = unicodedata.normalize("NFC", text)
        if self.register and name in self.register.sockets:
            return self.register.sockets[name]
        shared = None
        if self.register is None or name in self.register.refused:
            shared = REFUSED_SOCKETS if self.register else NO_REGISTER
        row.fault("socket", self._unknown(name), shared)
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
