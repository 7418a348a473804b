"""What is asked for when a record card is printed, read from texts."""

from __future__ import annotations

from dataclasses import dataclass, field

from ...errors import RangeError
from ...fastening.opening import read_points
from ...fastening.spec import TighteningSpec
from ...fastening.spec_grammar import parse_spec
from ...fields import PATTERN, ROWS
from ...printers.setup import read_sheet
from ...quantities.units import Given
from ...sheets.paper import SIZES, Paper
from . import FASTENERS
from .order import DEFAULT_ROWS


@dataclass(frozen=True)
class RecordRequest:
    """What is asked for: spec, fasteners and paper. `rows` is None for a circle.

    Raises RangeError for what is out of limits.
    """

    spec: TighteningSpec
    fasteners: int
    rows: int | None = None
    paper: Paper = field(default_factory=lambda: Paper(*SIZES["a4"]))
    title: str = ""

    def __post_init__(self) -> None:
        FASTENERS.check(self.fasteners)
        if self.rows is not None:
            ROWS.check(self.rows)

    @property
    def pattern(self) -> str:
        """The pattern in words: "8 fasteners on a circle", "10 fasteners in 2 rows"."""
        fasteners = f"{self.fasteners} fastener{'s' if self.fasteners > 1 else ''}"
        if self.rows is None:
            return f"{fasteners} on a circle" if self.fasteners > 1 else fasteners
        return f"{fasteners} in {self.rows} row{'s' if self.rows > 1 else ''}"


def read_rows(pattern: str, rows: int | None) -> int | None:
    """Return the rows of a pattern, by default 2; None for a circle. Raises RangeError for a circle's rows."""
    PATTERN.check(pattern)
    if pattern == "circle" and rows is not None:
        expected = "{@rows} with {@pattern} rows only"
        raise RangeError("a circle has no rows", expected, "leave one of them out", rows, "rows")
    return DEFAULT_ROWS if pattern == "rows" and rows is None else rows


def read(
    spec: str,
    fasteners: int,
    *,
    pattern: str = "circle",
    rows: int | None = None,
    thread: str = "right",
    witness: str | None = None,
    points: int | str | None = None,
    paper: str = "a4",
    margin: Given | None = None,
    printer: str | None = None,
    ruler: str | None = None,
    title: str = "",
) -> RecordRequest:
    """Return the record card described by texts as a user writes them; `rows` is by default 2 when the pattern is rows.

    Raises a MarkingError that says which text is at fault.
    """
    rows = read_rows(pattern, rows)
    sheet, _ = read_sheet(paper, margin, printer, ruler=ruler)
    found = parse_spec(spec, thread, read_points(points) if points else None, witness)
    return RecordRequest(found, fasteners, rows, sheet, title or found.title)
