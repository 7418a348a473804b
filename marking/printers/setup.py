"""The set-up of a page: paper, margin, printer profile and stock, read from texts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..fastening.socket import parse_stock
from ..quantities.units import Given
from ..sheets.paper import Paper, parse_sheet

if TYPE_CHECKING:
    from .profile import Profile


def read_sheet(
    paper: str | Paper, margin: Given | None = None, printer: str | None = None, stock: Given | None = None
) -> tuple[Paper, float]:
    """Return a whole sheet of paper, corrected for a printer, and the stock's thickness in mm.

    A `paper` read before is corrected already. The thickness is the one given, else that of the printer's profile, else
    the usual one. Raises a MarkingError that says which text is at fault; label stock is refused.
    """
    profile = named_profile(printer)
    own = profile.stock_mm if profile and stock is None else None
    if isinstance(paper, str):
        paper = parse_sheet(paper, margin)
        paper = paper.corrected(profile.x_scale, profile.y_scale, profile.name) if profile else paper
    return paper, own or parse_stock(stock)


def named_profile(printer: str | None) -> Profile | None:
    """Return the printer profile of that name, None for None. Raises a MarkingError for a name not known."""
    if printer is None:
        return None
    from .store import profile  # loaded only when asked for: most jobs have no profile

    return profile(printer, "printer")
