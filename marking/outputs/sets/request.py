"""What is asked for when a set is printed: the rows of a list, and how they are printed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from ...errors import LayoutError, RangeError, plain_name
from ...lists.chosen import chosen, newer
from ...lists.items import Fault, Item, Listing, Register, told
from ...lists.read import read_list, read_register, turn_items
from ...lists.table_file import HeldFile, ListError, shown, some
from ...lists.words import CHANGED, GONE, NEW, RECOUNTED
from ...printers.setup import read_sheet
from ...quantities.units import Given
from ...remarks import Remark
from ...sheets.paper import LabelStock, Paper
from .media import LabelGrid, read_grid, read_stock

NAMED_IDS = 60
"""Ids that a note on what became of an older list names (our choice: some ten lines)."""

DEFAULT_TITLE = "Set of marking bands"


@dataclass(frozen=True)
class SetOptions:
    """How a set is printed: `paper` a whole sheet, corrected for the printer or not; `stock` and `printer` as texts.

    On a `tape` or on labels of a `grid` every piece is printed alone, `ruler` says whether a tape begins with one.
    """

    paper: Paper
    title: str = ""
    stock: Given | None = None
    printer: str | None = None
    tags: str | None = None
    index: bool = True
    cards: bool = False
    tight: bool = False
    tape: LabelStock | None = None
    grid: LabelGrid | None = None
    ruler: bool = False

    @property
    def label_stock(self) -> LabelStock | None:
        """What a single piece is printed on where that is no page: a roll, a label, or one label of a sheet."""
        return self.grid.label if self.grid else self.tape


class SetRequest(NamedTuple):
    """The good rows of a list with all faults and remarks about the others, and by what they are split into files.

    `notes` are remarks that stand in the printed index as well: what became of an older list.
    """

    items: tuple[Item, ...]
    options: SetOptions
    split_by: str | None
    faults: tuple[Fault, ...]
    remarks: tuple[Remark, ...]
    notes: tuple[Remark, ...] = ()


def read(
    list_file: str | HeldFile | None = None,
    *,
    sockets: str | HeldFile | None = None,
    turns: str | None = None,
    points: str | None = None,
    drive: str | None = None,
    tags: str | None = None,
    cards: bool = False,
    pack: str = "blocks",
    no_index: bool = False,
    split_by: str | None = None,
    only: str | None = None,
    socket: str | None = None,
    since: str | HeldFile | None = None,
    since_sockets: str | HeldFile | None = None,
    unit: str = "",
    title: str = "",
    paper: str = "a4",
    margin: Given | None = None,
    printer: str | None = None,
    stock: Given | None = None,
    ruler: str | None = None,
    tape_ruler: bool = False,
    labels: str | None = None,
    label_size: str | None = None,
    label_corner: str | None = None,
    label_pitch: str | None = None,
    first_label: int = 1,
) -> SetRequest:
    """Return the set of a list file, or of `turns` on every socket of the register `sockets`.

    `tags` is "socket" or "piece", `pack` "blocks" or "tight", `split_by` "id", "turn" or "socket". `only` names ids,
    `socket` sockets; `since` is an older list, or with turns an older register, of which only what is new or changed is
    printed, and `since_sockets` its register. Raises a MarkingError for files that cannot be read, and LayoutError for
    a list without rows or without news; faults of rows are kept in the request.
    """
    if (list_file is None) == (turns is None):
        raise RangeError(
            "a set is made from a list, or from turns", "one of the two", "give a list or {@turns}", field="turns"
        )
    if since is None and since_sockets is not None:
        raise _goes_with("since_sockets", "since")
    with _given_as("sockets"):
        register = read_register(sockets, unit) if sockets is not None else None
    with _given_as("turns" if turns else "list_file"):
        listing = _listing(turns, list_file or "", register, points, drive, unit)
    faults = (*(register.faults if register else ()), *listing.faults)
    remarks = (*(register.warnings if register else ()), *listing.warnings)
    sheet, tape = _sheet_or_tape(paper, labels is None, margin, printer, ruler, stock)
    grid = _grid(sheet, labels, label_size, label_corner, label_pitch, first_label)
    if tape_ruler and not tape:
        what = "only a tape begins with a ruler"
        raise LayoutError(what, "{@paper} such as '24 mm tape'", "leave out {@tape_ruler}", field="tape_ruler")
    if cards and (tape or grid):
        raise LayoutError("cards do not go on labels", "a page", "leave out {@cards}", field="cards")
    if not listing.items and not faults:
        raise LayoutError(
            "the list holds no rows", "at least one row below the header", "check the file", str(list_file), "list_file"
        )
    items = _asked_for(listing.items, socket, only, faults)
    notes: tuple[Remark, ...] = ()
    if since is not None:
        with _given_as("since_sockets"):
            old = read_register(since_sockets, unit) if since_sockets is not None else register
        with _given_as("since"):
            before = turn_items(turns, read_register(since, unit)) if turns else read_list(since, old, unit)
        items, notes = _newer(items, before.items, since)
    tight = pack == "tight"
    options = SetOptions(sheet, title, stock, printer, tags, not no_index, cards, tight, tape, grid, tape_ruler)
    return SetRequest(items, options, split_by, faults, (*remarks, *notes), notes)


@contextmanager
def _given_as(field: str) -> Iterator[None]:
    """Let the error of a file that cannot be read tell of which field it is."""
    try:
        yield
    except ListError as error:
        error.field = field
        raise


def _listing(
    turns: str | None, list_file: str | HeldFile, register: Register | None, points: str | None, drive: str | None,
    unit: str,
) -> Listing:  # fmt: skip
    if turns is None:
        return read_list(list_file, register, unit)
    return turn_items(turns, register, points, drive)


def _sheet_or_tape(
    paper: str,
    may_be_tape: bool,
    margin: Given | None,
    printer: str | None,
    ruler: str | None,
    stock: Given | None,
) -> tuple[Paper, LabelStock | None]:
    """The sheet to print on, and the tape or label instead of it if `paper` is one."""
    found = read_stock(paper, margin, printer, ruler) if may_be_tape else None
    if found is not None:
        return read_sheet("a4", None, printer, stock)[0], found
    return read_sheet(paper, margin, printer, stock, ruler)[0], None


def _grid(
    sheet: Paper, labels: str | None, size: str | None, corner: str | None, pitch: str | None, first: int
) -> LabelGrid | None:
    """The labels of a sheet, if it is one of labels."""
    if labels is None:
        given = {"label_size": size, "label_corner": corner, "label_pitch": pitch, "first_label": first > 1}
        for field in (field for field, value in given.items() if value):
            raise _goes_with(field, "labels")
        return None
    if size is None:
        raise LayoutError("labels have a size", "such as 66x34 mm", "give {@label_size}", field="label_size")
    return read_grid(sheet, labels, size, corner, pitch, first)


def _asked_for(
    items: Sequence[Item], socket: str | None, only: str | None, faults: Sequence[Fault]
) -> tuple[Item, ...]:
    """The items that are asked for by their sockets and ids, or all."""
    fault = next(iter(told(faults)), "")
    for field, text, where in (("socket", socket, ""), ("only", only, " for these sockets" if socket else "")):
        if text is not None:
            items = chosen(items, text, field, where, fault)
    return tuple(items)


def _goes_with(field: str, needed: str) -> RangeError:
    what = f"the {plain_name(field)} goes with {{@{needed}}}"
    return RangeError(what, "both", f"give {{@{needed}}}", field=field)


def _newer(
    items: Sequence[Item], before: Sequence[Item], since: str | HeldFile
) -> tuple[tuple[Item, ...], tuple[Remark, ...]]:
    """The items that are new or changed, copies that are missing, and what to say of what became of all."""
    wanted, found = newer(items, before)
    named = ((NEW, found.new), (CHANGED, found.changed), (RECOUNTED, found.recounted), (GONE, found.gone))
    notes = tuple(
        template(file=shown(Path(str(since)).name, 300), ids=some(ids, NAMED_IDS)) for template, ids in named if ids
    )
    if not wanted:
        what = "; ".join([f"nothing is new or changed since {shown(str(since), 300)}", *map(str, notes)])
        raise LayoutError(what, "", "nothing to print", str(since), "since")
    return tuple(wanted), notes
