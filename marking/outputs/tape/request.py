"""What is asked for when a diameter tape is printed."""

from __future__ import annotations

from typing import NamedTuple

from ...fastening.socket import DEFAULT_STOCK_MM
from ...printers.setup import read_sheet
from ...quantities.parse import parse_length
from ...sheets.paper import Paper


class TapeRequest(NamedTuple):
    """The ODs to read, from low to high, the unit of the graduations, and what the tape is printed on."""

    low_mm: float
    high_mm: float
    unit: str
    paper: Paper
    stock_mm: float = DEFAULT_STOCK_MM


def read(
    low: str = "8 mm",
    high: str = "60 mm",
    *,
    unit: str | None = None,
    stock: str | None = None,
    paper: str = "a4",
    margin: str | None = None,
    printer: str | None = None,
    ruler: str | None = None,
) -> TapeRequest:
    """Return the tape described by texts; its unit is by default that of `low`. Raises a MarkingError."""
    first, last = parse_length(low, "low", subject="smallest OD"), parse_length(high, "high", subject="largest OD")
    sheet, stock_mm = read_sheet(paper, margin, printer, stock, ruler)
    return TapeRequest(first.mm, last.mm, unit or first.unit, sheet, stock_mm)
