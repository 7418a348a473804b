"""What is asked for when a wall chart is printed."""

from __future__ import annotations

from typing import NamedTuple

from ...fastening.spec import Thread
from ...fields import THREAD
from ...printers.setup import read_sheet
from ...sheets.paper import Paper


class ChartRequest(NamedTuple):
    """The paper, which way the thread tightens seen from the drive end, and the title."""

    paper: Paper
    clockwise: bool = True
    title: str = ""


def read(
    thread: Thread = "right",
    paper: str = "a4",
    margin: str | None = None,
    printer: str | None = None,
    title: str = "",
) -> ChartRequest:
    """Return the wall chart described by texts. Raises a MarkingError that says which text is at fault."""
    THREAD.check(thread)
    sheet, _ = read_sheet(paper, margin, printer)
    return ChartRequest(sheet, thread == "right", title)
