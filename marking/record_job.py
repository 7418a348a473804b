"""A record card as numbers: from spec and pattern to places, order and warnings, before anything is drawn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from .drawing import Point
from .errors import RangeError, shown
from .job import check_witness
from .order import DEFAULT_ROWS, circle_places, crosswise, middle_outward, row_places
from .paper import SIZES, Paper
from .reading import read_sheet
from .report import spec_data
from .spec import TighteningSpec, parse_spec

PATTERNS = ("circle", "rows")


@dataclass(frozen=True)
class RecordJob:
    """What is asked for: spec, fasteners and paper. `rows` is None for a circle.

    Raises RangeError for what is out of limits.
    """

    spec: TighteningSpec
    fasteners: int
    rows: int | None = None
    witness: str = "fresh"
    paper: Paper = field(default_factory=lambda: Paper(*SIZES["a4"]))
    title: str = ""

    def __post_init__(self) -> None:
        check_witness(self.spec, self.witness)

    @property
    def pattern(self) -> str:
        """The pattern in words: "8 fasteners on a circle", "10 fasteners in 2 rows"."""
        fasteners = f"{self.fasteners} fastener{'s' if self.fasteners > 1 else ''}"
        if self.rows is None:
            return f"{fasteners} on a circle" if self.fasteners > 1 else fasteners
        return f"{fasteners} in {self.rows} row{'s' if self.rows > 1 else ''}"


class Fastener(NamedTuple):
    """One fastener: its place in the order of tightening, its position's number, and where it stands.

    `place` is counted from the middle of the pattern, x to the right and y up, seen from the drive end, in radii of
    the circle or in pitches of the rows.
    """

    number: int
    position: int
    place: Point


class RecordPlan(NamedTuple):
    """All the numbers of a record card; `fasteners` in the order of tightening."""

    job: RecordJob
    fasteners: tuple[Fastener, ...]
    warnings: tuple[str, ...]


def plan_record(job: RecordJob) -> RecordPlan:
    """Return places and order of a record card's fasteners. Raises RangeError for counts and rows out of limits."""
    if job.rows is None:
        places, order = circle_places(job.fasteners), crosswise(job.fasteners)
    else:
        places, order = row_places(job.fasteners, job.rows), middle_outward(job.fasteners, job.rows)
    fasteners = (Fastener(number, position, places[position - 1]) for number, position in enumerate(order, 1))
    return RecordPlan(job, tuple(fasteners), tuple(_warnings(job.spec)))


def _warnings(spec: TighteningSpec) -> list[str]:
    """What a spec leaves unsaid, so that it has to be written on the card by hand."""
    warnings = []
    if spec.snug is None and not spec.hand_tight:
        warnings.append("the spec has no snug torque: write the manual's on the card")
    for number, stage in enumerate(spec.stages, 1):
        if stage.window is None:
            name = f"the turn of {stage.printed}" if len(spec.stages) == 1 else f"stage {number}, {stage.printed},"
            warnings.append(f"{name} has no tolerance: write the manual's window on the card")
    return warnings


def read_record_job(
    spec: str,
    fasteners: int,
    *,
    pattern: str = "circle",
    rows: int | None = None,
    thread: str = "right",
    witness: str = "fresh",
    paper: str = "a4",
    margin: str | None = None,
    printer: str | None = None,
    title: str = "",
) -> RecordJob:
    """Return the record card described by texts as a user writes them; `rows` is by default 2 when the pattern is rows.

    Raises a MarkingError that says which text is at fault.
    """
    if pattern not in PATTERNS:
        raise RangeError(f"the pattern is {shown(pattern)}", " or ".join(PATTERNS), "check --pattern", pattern)
    if pattern == "circle" and rows is not None:
        raise RangeError("a circle has no rows", "--rows with --pattern rows only", "leave one of them out", rows)
    if pattern == "rows" and rows is None:
        rows = DEFAULT_ROWS
    sheet, _ = read_sheet(paper, margin, printer)
    return RecordJob(parse_spec(spec, thread), fasteners, rows, witness, sheet, title)


def record_data(plan: RecordPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return everything about a record card as JSON-ready data; numbers are not rounded.

    `x` and `y` are counted from the middle of the pattern, seen from the drive end, in the `unit` "radius" or "pitch".
    """
    job = plan.job
    return {
        "spec": spec_data(job.spec),
        "pattern": {
            "kind": "circle" if job.rows is None else "rows", "rows": job.rows, "count": job.fasteners,
            "unit": "radius" if job.rows is None else "pitch",
        },
        "fasteners": [
            {"order": fastener.number, "position": fastener.position, "x": fastener.place[0], "y": fastener.place[1]}
            for fastener in plan.fasteners
        ],
        "warnings": list(plan.warnings),
        "files": list(files),
    }  # fmt: skip
