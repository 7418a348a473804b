"""What is asked for when a set is printed: the rows of a list, and how they are printed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from ...errors import LayoutError, RangeError
from ...lists.items import Fault, Item
from ...lists.read import read_list, read_register, turn_items
from ...lists.table_file import HeldFile
from ...printers.setup import read_sheet
from ...quantities.units import Given
from ...remarks import Remark
from ...sheets.paper import Paper

DEFAULT_TITLE = "Set of marking bands"


@dataclass(frozen=True)
class SetOptions:
    """How a set is printed: `paper` a whole sheet, corrected for the printer or not; `stock` and `printer` as texts."""

    paper: Paper
    title: str = ""
    stock: Given | None = None
    printer: str | None = None
    tags: bool = False
    index: bool = True


class SetRequest(NamedTuple):
    """The good rows of a list with all faults and remarks about the others, and by what they are split into files."""

    items: tuple[Item, ...]
    options: SetOptions
    split_by: str | None
    faults: tuple[Fault, ...]
    remarks: tuple[Remark, ...]


def read(
    list_file: str | HeldFile | None = None,
    *,
    sockets: str | HeldFile | None = None,
    turns: str | None = None,
    points: str | None = None,
    drive: str | None = None,
    tags: bool = False,
    no_index: bool = False,
    split_by: str | None = None,
    unit: str = "",
    title: str = "",
    paper: str = "a4",
    margin: Given | None = None,
    printer: str | None = None,
    stock: Given | None = None,
) -> SetRequest:
    """Return the set of a list file, or of `turns` on every socket of the register `sockets`.

    `split_by` is "id", "turn" or "socket". Raises a MarkingError for files that cannot be read, and LayoutError for a
    list without rows; faults of rows are kept in the request.
    """
    if (list_file is None) == (turns is None):
        raise RangeError(
            "a set is made from a list, or from turns", "one of the two", "give a list or {@turns}", field="turns"
        )
    register = read_register(sockets, unit) if sockets is not None else None
    by_turns = turns is not None
    listing = (
        turn_items(turns or "", register, points, drive) if by_turns else read_list(list_file or "", register, unit)
    )
    faults = (*(register.faults if register else ()), *listing.faults)
    remarks = (*(register.warnings if register else ()), *listing.warnings)
    sheet, _ = read_sheet(paper, margin, printer, stock)
    if not listing.items and not faults:
        raise LayoutError(
            "the list holds no rows", "at least one row below the header", "check the file", str(list_file)
        )
    options = SetOptions(sheet, title, stock, printer, tags, not no_index)
    return SetRequest(tuple(listing.items), options, split_by, faults, remarks)
