"""What is asked for when a lesson is printed."""

from __future__ import annotations

from dataclasses import dataclass, field

from ...errors import RangeError
from ...fastening.opening import opening_of, read_points
from ...fastening.spec import TighteningSpec
from ...fastening.spec_grammar import parse_spec
from ...files.formats import format_of
from ...printers.setup import read_sheet
from ...quantities.units import Given
from ...remarks import Remark
from ...sheets.paper import SIZES, Paper
from . import KEY, SEED, THREADS, TRAINEES, UNITS, USUAL_TRAINEES
from .names import Names, read_names


@dataclass(frozen=True)
class LessonRequest:
    """What is asked for: the spec of the worked example, how many worksheets, and the seed they are drawn from.

    `names` are those of the first trainees, `key` the file that the answer key goes to, "" for none of its own, and
    `units` and `threads` what the worksheets deal with. Raises RangeError for what is out of limits.
    """

    spec: TighteningSpec
    points: int = 12
    trainees: int = 12
    seed: int = 1
    paper: Paper = field(default_factory=lambda: Paper(*SIZES["a4"]))
    title: str = ""
    names: tuple[str, ...] = ()
    units: str = "both"
    threads: str = "both"
    key: str = ""
    practice: bool = True
    remarks: tuple[Remark, ...] = ()

    def __post_init__(self) -> None:
        opening_of(self.points)
        TRAINEES.check(self.trainees)
        SEED.check(self.seed)
        UNITS.check(self.units)
        THREADS.check(self.threads)
        if len(self.names) > self.trainees:
            raise RangeError(
                f"{len(self.names)} names for {self.trainees} trainees", "no more names than trainees",
                "check {@names} and {@trainees}", self.names, "trainees",
            )  # fmt: skip

    def name_of(self, number: int) -> str:
        """Return the name on worksheet `number`, from 1; "" for none."""
        return self.names[number - 1] if number <= len(self.names) else ""


def read(
    spec: str,
    *,
    points: int | str = 12,
    thread: str = "right",
    trainees: int | None = None,
    names: Names | None = None,
    units: str = "both",
    threads: str = "both",
    key: str = "",
    no_practice: bool = False,
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
    if key:
        format_of(key, KEY.name)
    known, remarks = read_names(names) if names is not None else ((), ())
    return LessonRequest(
        found, corners, trainees or len(known) or USUAL_TRAINEES, seed, sheet, title or found.title, known, units,
        threads, key, not no_practice, remarks,
    )  # fmt: skip
