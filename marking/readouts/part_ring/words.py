"""What stands on a part ring. On the socket a window says STOP; on the ring START ends in a bracket."""

from __future__ import annotations

from collections.abc import Sequence

from ...drawing.emphasis import LEFT_HAND
from ...figures.words import counted
from ...marks.stage_marks import StageMarks
from ...quantities.shown import shown_degrees

ENDS_HERE = "START ends here"
ZERO, AT_START = "ZERO", "at START"
TRAVELS, CUT = "START travels", "cut"


def ends_here(marks: StageMarks) -> str:
    """What stands over the window: "START ends here", "stage 2: START ends here"."""
    name = marks.stage_name
    return f"{name}: {ENDS_HERE}" if name else ENDS_HERE


def ends(marks: StageMarks) -> str:
    """The same where room is short: "ends here", "stage 2 ends here"."""
    return f"{marks.stage_name} ends here".strip()


def aims(marks: StageMarks, named: bool) -> list[tuple[str, ...]]:
    """The ways to set the aim beside its bracket: where there are others, with its stage's name."""
    (aim,) = marks.aim_label
    return [(f"{marks.stage_name}: {aim}",), (f"{marks.stage_name}:", aim)] if named else [(aim,)]


def own(od: str, clockwise: bool) -> str:
    """What no ring goes without: the OD, and the thread where it is left-hand."""
    return od if clockwise or not od else f"{LEFT_HAND} · {od}"


def turns(spec_line: str, stages: Sequence[StageMarks]) -> list[str]:
    """What a ring is for and how its stages count: the whole spec, or where room is short its own turns alone."""
    alone = (
        " · ".join([": ".join(filter(None, [marks.stage_name, marks.stage.in_degrees])), *marks.counted_label])
        for marks in stages
    )
    return [" · ".join(filter(None, [spec_line, counted(stages)])), " · ".join(alone)] if spec_line else []


def said(error_deg: float | None, title: str) -> list[str]:
    """What else a ring tells: its reading error and its title."""
    error = "" if error_deg is None else f"give or take {shown_degrees(error_deg, 1)}"
    return [*dict.fromkeys(filter(None, (" · ".join(filter(None, texts)) for texts in ([error, title], [error]))))]
