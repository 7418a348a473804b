"""What is asked for when a mat is printed, read from texts."""

from __future__ import annotations

from dataclasses import dataclass, field

from ...errors import RangeError
from ...fastening.od_range import read_od_range
from ...fastening.opening import read_points
from ...fastening.socket import Socket, parse_drive, parse_socket
from ...fastening.spec import TighteningSpec
from ...fastening.spec_grammar import parse_spec
from ...marks.places import Start
from ...marks.reading_error import ErrorModel, read_error_model, read_errors
from ...printers.setup import read_sheet
from ...quantities.parse import computed_length
from ...quantities.shown import shown_lengths
from ...quantities.units import Given
from ...sheets.paper import SIZES, Paper
from .error import MAT_ERRORS, MatErrorModel

USUAL_POINTS = 6
"""The opening is taken for a hexagon's where the points are not given: the widest is the same on 6 and 12 points."""


@dataclass(frozen=True)
class MatRequest:
    """What is asked for: spec, socket and what to print.

    `socket` is that of the smallest OD; `high_od_mm` is the largest, None where the OD is known. `points` are the
    socket's where they were given. `usual` tells that the range is only what the drive usually has.
    """

    spec: TighteningSpec
    socket: Socket
    points: int | None = None
    high_od_mm: float | None = None
    usual: bool = False
    start: Start = "corner"
    model: ErrorModel = field(default_factory=ErrorModel)
    mat_model: MatErrorModel = field(default_factory=MatErrorModel)
    paper: Paper = field(default_factory=lambda: Paper(*SIZES["a4"]))
    fasteners: int = 4
    title: str = ""

    @property
    def ods_text(self) -> str:
        """The outside diameter, or the range of them: "OD 12.5–48 mm"."""
        if self.high_od_mm is None:
            return self.socket.od_text
        return f"OD {shown_lengths(self.socket.od_mm, self.high_od_mm, self.socket.unit)}"

    @property
    def socket_line(self) -> str:
        """The socket in words: "12-point · 1/2 in drive · 19 mm · OD 27.8 mm"."""
        points = [f"{self.points}-point"] if self.points else []
        opening = [self.socket.opening.text] if self.socket.opening else []
        return " · ".join([*points, f"{self.socket.drive.inch} in drive", *opening, self.ods_text])


def read(
    spec: str,
    drive: str,
    *,
    points: int | str | None = None,
    od: Given | None = None,
    around: Given | None = None,
    od_range: str | None = None,
    opening: Given | None = None,
    unit: str | None = None,
    thread: str = "right",
    stock: Given | None = None,
    start: Start = "corner",
    witness: str | None = None,
    paper: str | Paper = "a4",
    margin: Given | None = None,
    printer: str | None = None,
    ruler: str | None = None,
    fasteners: int = 4,
    title: str = "",
    **errors: Given,
) -> MatRequest:
    """Return the mat described by texts as a user writes them; without a diameter it is for the drive's usual ones.

    `errors` are half-widths of the error models, such as `witness_error="0.4 mm"`; `centring_error`, `pen_error` and
    `unequal_scale` ("0.2 %") are the mat's own. Raises a MarkingError that says which text is at fault.
    """
    sheet, stock_mm = read_sheet(paper, margin, printer, stock, ruler)
    corners = None if points is None else read_points(points)
    found = parse_spec(spec, thread, corners, witness)
    known = od is not None or around is not None
    if known and od_range is not None:
        what, advice = (
            "an OD range is for a diameter that is not known",
            "leave out {@od_range}, or {@od} and {@around}",
        )
        raise RangeError(what, "one or the other", advice, field="od_range")
    own = {name: text for name, text in errors.items() if name in MAT_ERRORS}
    ods = None if known else read_od_range(od_range, parse_drive(drive), corners or USUAL_POINTS, opening)
    socket = parse_socket(
        corners or USUAL_POINTS,
        drive,
        od=computed_length(ods.low_mm, "mm") if ods else od,
        around=around,
        opening=opening,
        stock_mm=stock_mm,
        unit=unit or (ods.unit if ods else None),
    )
    return MatRequest(
        spec=found,
        socket=socket,
        points=corners,
        high_od_mm=ods.high_mm if ods else None,
        usual=bool(ods and ods.usual),
        start=start,
        model=read_error_model({name: text for name, text in errors.items() if name not in own}, socket.play()),
        mat_model=MatErrorModel(**read_errors(own, MAT_ERRORS)),
        paper=sheet,
        fasteners=fasteners,
        title=title or found.title,
    )
