"""What is asked for when blank bands are printed."""

from __future__ import annotations

from typing import NamedTuple

from ...fastening.hand import read_thread
from ...fastening.od_range import read_od_range
from ...fastening.opening import read_points
from ...fastening.socket import DEFAULT_STOCK_MM, Drive, parse_drive
from ...printers.setup import read_sheet
from ...sheets.paper import Paper


class BlankRequest(NamedTuple):
    """For which sockets and threads, and what to print on; `usual` tells that the ODs are the drive's usual ones."""

    points: int
    drive: Drive
    clockwise: bool
    low_od_mm: float
    high_od_mm: float
    usual: bool
    unit: str
    copies: int
    title: str
    paper: Paper
    stock_mm: float = DEFAULT_STOCK_MM


def read(
    points: int | str,
    drive: str,
    *,
    thread: str = "right",
    od_range: str | None = None,
    unit: str | None = None,
    copies: int = 1,
    title: str = "",
    stock: str | None = None,
    paper: str = "a4",
    margin: str | None = None,
    printer: str | None = None,
    ruler: str | None = None,
) -> BlankRequest:
    """Return the blank bands described by texts. Raises a MarkingError that says which text is at fault."""
    corners, square = read_points(points), parse_drive(drive)
    ods = read_od_range(od_range, square, corners, None)
    sheet, stock_mm = read_sheet(paper, margin, printer, stock, ruler)
    return BlankRequest(
        corners, square, read_thread(thread) == "right", ods.low_mm, ods.high_mm, ods.usual, unit or ods.unit, copies,
        title, sheet, stock_mm,
    )  # fmt: skip
