"""What is asked for when drive discs are printed, read from texts."""

from __future__ import annotations

from dataclasses import dataclass, field

from ...fastening.opening import opening_of, read_points
from ...fastening.socket import Drive, parse_drive
from ...fastening.spec import TighteningSpec
from ...fastening.spec_grammar import parse_spec
from ...fields import COPIES
from ...marks.reading_error import DISC_ERRORS, DiscErrorModel, ErrorModel, read_error_model, read_errors
from ...printers.setup import read_sheet
from ...quantities.parse import parse_length
from ...quantities.units import Given
from ...sheets.paper import SIZES, Paper
from .layout import usual_diameter_mm


@dataclass(frozen=True)
class DiscRequest:
    """What is asked for: spec, drive and disc. `diameter_mm` None takes the usual one for the drive.

    `points` is only needed to say where the marks fall on the socket. Raises RangeError for what is out of limits.
    """

    spec: TighteningSpec
    drive: Drive
    diameter_mm: float | None = None
    points: int | None = None
    model: ErrorModel = field(default_factory=ErrorModel)
    disc_model: DiscErrorModel = field(default_factory=DiscErrorModel)
    paper: Paper = field(default_factory=lambda: Paper(*SIZES["a4"]))
    copies: int = 1
    title: str = ""
    unit: str = "mm"

    def __post_init__(self) -> None:
        if self.points is not None:
            opening_of(self.points)
        COPIES.check(self.copies)

    @property
    def size_mm(self) -> float:
        """Diameter of the disc."""
        return usual_diameter_mm(self.drive) if self.diameter_mm is None else self.diameter_mm


def read(
    spec: str,
    drive: str,
    *,
    points: int | str | None = None,
    diameter: Given | None = None,
    thread: str = "right",
    witness: str | None = None,
    copies: int = 1,
    paper: str | Paper = "a4",
    margin: Given | None = None,
    printer: str | None = None,
    ruler: str | None = None,
    title: str = "",
    **errors: Given,
) -> DiscRequest:
    """Return the disc job described by texts as a user writes them.

    `errors` are half-widths of the error models, such as `witness_error="0.4 mm"`; `disc_gap` ("3 mm"), `sway_error`
    ("0.5 mm") and `unequal_scale` ("0.2 %") are the disc's own. Raises a MarkingError that says which text is at fault.
    """
    size = None if diameter is None else parse_length(diameter, "diameter")
    sheet, _ = read_sheet(paper, margin, printer, ruler=ruler)
    corners = None if points is None else read_points(points)
    found = parse_spec(spec, thread, corners, witness)
    own = {name: text for name, text in errors.items() if name in DISC_ERRORS}
    return DiscRequest(
        spec=found,
        drive=parse_drive(drive),
        diameter_mm=size.mm if size else None,
        points=corners,
        model=read_error_model({name: text for name, text in errors.items() if name not in own}),
        disc_model=DiscErrorModel(**read_errors(own, DISC_ERRORS)),
        paper=sheet,
        copies=copies,
        title=title or found.title,
        unit=size.unit if size else "mm",
    )
