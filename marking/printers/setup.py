"""The set-up of a page: paper, margin, what corrects the print, and stock, read from texts."""

from __future__ import annotations

from typing import NamedTuple

from ..errors import RangeError
from ..fastening.socket import parse_stock
from ..quantities.units import Given
from ..sheets.paper import LabelStock, Paper, parse_paper, parse_sheet


class Correction(NamedTuple):
    """Printed mm per drawn mm across and along the sheet, by what that is known, and the printer's own stock."""

    x_scale: float
    y_scale: float
    said: str
    stock_mm: float | None = None


def read_sheet(
    paper: str | Paper,
    margin: Given | None = None,
    printer: str | None = None,
    stock: Given | None = None,
    ruler: str | None = None,
) -> tuple[Paper, float]:
    """Return a whole sheet of paper, corrected for a printer or by rulers, and the stock's thickness in mm.

    A `paper` read before is corrected already. The thickness is the one given, else that of the printer's profile, else
    the usual one. Raises a MarkingError that says which text is at fault; label stock is refused.
    """
    found = read_correction(printer, ruler)
    own = found.stock_mm if found and stock is None else None
    if isinstance(paper, str):
        paper = parse_sheet(paper, margin)
        paper = paper.corrected(*found[:3]) if found else paper
    return paper, own or parse_stock(stock)


def read_any_paper(paper: str, margin: Given | None, found: Correction | None, ruler: str | None) -> Paper | LabelStock:
    """Return a sheet, tape or label, corrected. Raises a MarkingError; label stock has no rulers of 100 mm."""
    medium = parse_paper(paper, margin)
    if ruler is not None and not medium.is_sheet:
        raise RangeError(
            "rulers on label stock are shorter than 100 mm", "a printer profile instead",
            "leave {@ruler} out; {@turnband proof} and {@turnband printer add} make a profile", ruler, "ruler",
        )  # fmt: skip
    return medium.corrected(*found[:3]) if found else medium


def read_correction(printer: str | None, ruler: str | None = None) -> Correction | None:
    """Return what corrects a page: a printer profile by its name, or what both rulers measured; None without either.

    Raises a MarkingError for a name not known, rulers that cannot be believed, and for both together.
    """
    if ruler is not None:
        from .ruler import read_ruler

        if printer is not None:
            raise RangeError(
                "a printer profile and a ruler both correct the page", "one of them",
                "leave out {@ruler}, or measure the rulers of a page without a profile and give {@ruler} with an empty "
                "{@printer}, which sets aside a kept one and TURNBAND_PRINTER", ruler, "ruler",
            )  # fmt: skip
        x_scale, y_scale, shown = read_ruler(ruler)
        return Correction(x_scale, y_scale, f"by ruler {shown}")
    if printer is None:
        return None
    from .store import profile  # loaded only when asked for: most jobs have no profile

    found = profile(printer, "printer")
    return Correction(found.x_scale, found.y_scale, f"for printer {found.name}", found.stock_mm)
