"""What is asked for when a lesson is printed."""

from __future__ import annotations

from dataclasses import dataclass, field

from ...fastening.opening import opening_of, read_points
from ...fastening.spec import TighteningSpec
from ...fastening.spec_grammar import parse_spec
from ...printers.setup import read_sheet
from ...quantities.units import Given
from ...sheets.paper import SIZES, Paper
from . import SEED, TRAINEES


@dataclass(frozen=True)
class LessonRequest:
    """What is asked for: the spec of the worked example, how many worksheets, and the seed they are drawn from.

    Raises RangeError for what is out of limits.
    """

    spec: TighteningSpec
    points: int = 12
    trainees: int = 12
    seed: int = 1
    paper: Paper = field(default_factory=lambda: Paper(*SIZES["a4"]))
    title: str = ""

    def __post_init__(self) -> None:
        opening_of(self.points)
        TRAINEES.check(self.trainees)
        SEED.check(self.seed)


def read(
    spec: str,
    *,
    points: int | str = 12,
    thread: str = "right",
    trainees: int = 12,
    seed: int = 1,
    paper: str = "a4",
    margin: Given | None = None,
    printer: str | None = None,
    ruler: str | None = None,
    title: str = "",
) -> LessonRequest:
    """Return the lesson described by texts as a user writes them. Raises a MarkingError for the text at fault."""
    sheet, _ = read_sheet(paper, margin, printer, ruler=ruler)
    corners = read_points(points)
    found = parse_spec(spec, thread, corners)
    return LessonRequest(found, corners, trainees, seed, sheet, title or found.title)
