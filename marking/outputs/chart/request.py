"""What is asked for when a wall chart is printed."""

from __future__ import annotations

from typing import NamedTuple

from ...fastening.hand import read_thread
from ...printers.setup import read_sheet
from ...sheets.paper import Paper


class ChartRequest(NamedTuple):
    """The paper, which way the thread tightens seen from the drive end, and the title."""

    paper: Paper
    clockwise: bool = True
    title: str = ""


def read(
    thread: str = "right",
    paper: str = "a4",
    margin: str | None = None,
    printer: str | None = None,
    ruler: str | None = None,
    title: str = "",
) -> ChartRequest:
    """Return the wall chart described by texts. Raises a MarkingError that says which text is at fault."""
    sheet, _ = read_sheet(paper, margin, printer, ruler=ruler)
    return ChartRequest(sheet, read_thread(thread) == "right", title)
