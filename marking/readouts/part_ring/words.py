"""What stands on a part ring. On the socket a window says STOP; on the ring START ends in a bracket."""

from __future__ import annotations

from ...drawing.emphasis import LEFT_HAND
from ...figures.words import stage_name
from ...marks.stage_marks import StageMarks
from ...quantities.shown import shown_degrees

ENDS_HERE = "START ends here"
ZERO, AT_START = "ZERO", "at START"
TRAVELS = "START travels"


def ends_here(marks: StageMarks) -> str:
    """What stands over the window: "START ends here", "stage 2: START ends here"."""
    name = stage_name(marks)
    return f"{name}: {ENDS_HERE}" if name else ENDS_HERE


def ends(marks: StageMarks) -> str:
    """The same where room is short: "ends here", "stage 2 ends here"."""
    return f"{stage_name(marks)} ends here".strip()


def own(od: str, clockwise: bool) -> str:
    """What no ring goes without: the OD, and the thread where it is left-hand."""
    return od if clockwise or not od else f"{LEFT_HAND} · {od}"


def said(error_deg: float | None, spec_line: str, title: str) -> list[str]:
    """What else a ring tells, from all of it down to its reading error."""
    error = "" if error_deg is None else f"give or take {shown_degrees(error_deg, 1)}"
    found = (" · ".join(filter(None, texts)) for texts in ([error, spec_line, title], [error, spec_line], [error]))
    return [*dict.fromkeys(filter(None, found))]
