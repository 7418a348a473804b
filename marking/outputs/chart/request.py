"""What is asked for when a wall chart is printed."""

from __future__ import annotations

from typing import NamedTuple

from ...printers.setup import read_sheet
from ...sheets.paper import Paper
from . import BOTH, read_threads


class ChartRequest(NamedTuple):
    """The paper, which way the thread tightens seen from the drive end, the title, and if the other one follows."""

    paper: Paper
    clockwise: bool = True
    title: str = ""
    both: bool = False

    @property
    def hands(self) -> tuple[bool, ...]:
        """Whether the thread of each page tightens clockwise."""
        return (self.clockwise, not self.clockwise) if self.both else (self.clockwise,)


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
    hand = read_threads(thread)
    return ChartRequest(sheet, hand != "left", title, hand == BOTH)
