"""From texts to a job: the one place where the words of a command line or a list become spec, socket and options."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from ...errors import RangeError, within
from ...fastening.od_range import read_od_range
from ...fastening.opening import read_points
from ...fastening.socket import (
    DEFAULT_STOCK_MM,
    Socket,
    parse_drive,
    parse_socket,
    parse_stock,
)
from ...fastening.spec import TighteningSpec
from ...fastening.spec_grammar import parse_spec
from ...fields import COPIES
from ...marks.places import Start
from ...marks.reading_error import ErrorModel, read_error_model
from ...printers.setup import read_any_paper, read_correction
from ...quantities.angles import closed_length_mm
from ...quantities.parse import Length, computed_length, mm_or, parse_length
from ...quantities.shown import shown_length
from ...quantities.units import Given
from ...readouts import extra_of
from ...readouts.band.layout import DEFAULT_HEIGHT_MM, MAX_HEIGHT_MM, MIN_HEIGHT_MM
from ...readouts.part_ring.layout import DEFAULT_RING_WIDTH_MM, RING_CLEARANCE_MM
from ...readouts.trim_band.layout import MM_PER_MM_OF_OD
from ...sheets.paper import SIZES, LabelStock, Paper
from ..record.request import RecordRequest, read_rows
from . import FASTENERS, RING, START

TRIMMING_ERROR_MM = 0.25
"""Half-width of the error of cutting along a row: a working assumption from memory."""


Ring = Literal["full", "sector"]
"""How far round a part ring goes."""


def read(
    spec: str,
    points: int | str,
    drive: str,
    *,
    od: Given | None = None,
    around: Given | None = None,
    od_range: str | None = None,
    trim_error: Given | None = None,
    copies: int | None = None,
    **more: Any,
) -> JobRequest | TrimRequest:
    """Return the job described by texts; without `od` and `around` that of trim bands. See `read_job`."""
    if od is None and around is None:
        return read_trim_job(spec, points, drive, od_range=od_range, trim_error=trim_error, copies=copies or 1, **more)
    if od_range is not None or trim_error is not None:
        raise RangeError(
            "an OD range and a trim error are for jobs without a diameter", "one or the other",
            "leave out {@od_range} and {@trim_error}, or {@od} and {@around}", field="od_range",
        )  # fmt: skip
    return read_job(spec, points, drive, od=od, around=around, copies=copies, **more)


def read_job(
    spec: str,
    points: int | str,
    drive: str,
    *,
    od: Given | Length | None = None,
    around: Given | None = None,
    opening: Given | None = None,
    thread: str = "right",
    stock: Given | None = None,
    start: Start = "corner",
    witness: str | None = None,
    height: Given | None = None,
    paper: str | Paper | LabelStock = "a4",
    margin: Given | None = None,
    printer: str | None = None,
    ruler: str | None = None,
    copies: int | None = None,
    fasteners: int = 4,
    no_ruler: bool = False,
    pattern: str | None = None,
    rows: int | None = None,
    ring: Ring | None = None,
    ring_width: Given | None = None,
    ring_bore: Given | None = None,
    title: str = "",
    unit: str | None = None,
    extras: Sequence[str] = (),
    **errors: Given,
) -> JobRequest:
    """Return the job described by texts as a user writes them: lengths with units, a spec as in the manual.

    Lengths may be quantities of pint instead.

    `errors` are half-widths of the error model, such as `witness_error="0.4 mm"`, and `extras` the other readouts to
    print by kind, "disc". A part ring is printed where `ring`, its width or its bore is given, a plan of the
    fasteners in tightening order where `pattern` or `rows` is. `unit` is the unit for computed lengths, by default that
    of the OD. `printer` names a printer profile: it corrects the page and gives the stock's thickness where `stock`
    does not. `ruler` corrects it too, by what both rulers of a page measured. A `paper` read before is corrected
    already. Raises a MarkingError that says which text is at fault.
    """
    correction = read_correction(printer, ruler)
    stock_mm = parse_stock(stock) if stock or not (correction and correction.stock_mm) else correction.stock_mm
    if isinstance(paper, str):
        paper = read_any_paper(paper, margin, correction, ruler)
    corners = read_points(points)
    found = parse_spec(spec, thread, corners, witness)
    socket = parse_socket(corners, drive, od=od, around=around, opening=opening, stock_mm=stock_mm, unit=unit)
    return JobRequest(
        spec=found,
        socket=socket,
        stock_mm=stock_mm,
        start=start,
        model=read_error_model(errors, socket.play()),
        height_mm=mm_or(height, "height", None),
        paper=paper,
        copies=copies,
        fasteners=fasteners,
        order=_order(found, fasteners, pattern, rows),
        ruler=not no_ruler,
        ring_width_mm=mm_or(ring_width, "ring_width", DEFAULT_RING_WIDTH_MM),
        ring_bore_mm=mm_or(ring_bore, "ring_bore", None),
        ring=ring or ("full" if ring_width is not None or ring_bore is not None else None),
        title=title or found.title,
        extras=tuple(extras),
    )


def _order(spec: TighteningSpec, fasteners: int, pattern: str | None, rows: int | None) -> RecordRequest | None:
    """The plan of the fasteners that is asked for, if any."""
    if pattern is None and rows is None:
        return None
    return RecordRequest(spec, fasteners, read_rows(pattern or "rows", rows))


def read_trim_job(
    spec: str,
    points: int | str,
    drive: str,
    *,
    od_range: str | None = None,
    trim_error: Given | None = None,
    opening: Given | None = None,
    unit: str | None = None,
    copies: int = 1,
    **more: Any,
) -> TrimRequest:
    """Return what is asked for without a diameter: trim bands for an OD range or the drive's usual one.

    Takes what `read_job` takes but `od` and `around`. A usual range begins where the wall round the opening's corners
    is thick enough. Raises a MarkingError that says which text is at fault.
    """
    ods = read_od_range(od_range, parse_drive(drive), read_points(points), opening)
    first = computed_length(ods.low_mm, "mm")
    job = read_job(spec, points, drive, od=first, opening=opening, copies=copies, unit=unit or ods.unit, **more)
    error_mm = TRIMMING_ERROR_MM if trim_error is None else parse_length(trim_error, "trim_error", zero=True).mm
    model = replace(job.model, trimmed_od_mm=error_mm / MM_PER_MM_OF_OD)
    return TrimRequest(replace(job, model=model), ods.low_mm, ods.high_mm, ods.usual)


@dataclass(frozen=True)
class JobRequest:
    """What is asked for: spec, socket, how to mark it, and what to print it on.

    `height_mm` None takes the drive's usual height, `ring_bore_mm` None the OD + 1 mm, `ring` None prints no part ring,
    `copies` None two copies of a single band, else one of each; `order` is the plan of the fasteners that is asked for.
    """

    spec: TighteningSpec
    socket: Socket
    stock_mm: float = DEFAULT_STOCK_MM
    start: Start = "corner"
    model: ErrorModel = field(default_factory=ErrorModel)
    height_mm: float | None = None
    paper: Paper | LabelStock = field(default_factory=lambda: Paper(*SIZES["a4"]))
    copies: int | None = None
    fasteners: int = 4
    order: RecordRequest | None = None
    ring_width_mm: float = DEFAULT_RING_WIDTH_MM
    ring_bore_mm: float | None = None
    ring: Ring | None = None
    title: str = ""
    extras: tuple[str, ...] = ()
    ruler: bool = True

    def __post_init__(self) -> None:
        if self.fasteners == 0 and self.paper.is_sheet:
            what = "a page without fasteners has no record"
            raise RangeError(what, "at least 1; 0 is for label stock", value=0, field="fasteners")
        for field_, value in ((START, self.start), (FASTENERS, self.fasteners)):
            field_.check(value)
        for field_, asked in ((COPIES, self.copies), (RING, self.ring)):
            if asked is not None:
                field_.check(asked)
        height, socket = self.band_height_mm, self.socket
        within("the band is {} mm high", height, MIN_HEIGHT_MM, MAX_HEIGHT_MM, "height", "{:g}".format, " mm")
        if not socket.od_mm <= self.bore_mm <= 2 * socket.od_mm:
            small = not self.bore_mm >= socket.od_mm
            raise RangeError(
                f"a ring with a bore of {shown_length(self.bore_mm, socket.unit)} "
                f"{'does not go round' if small else 'lies too far from'} the socket",
                f"at {'least' if small else 'most twice'} the {socket.od_text}",
                value=self.bore_mm,
                field="ring_bore",
            )
        for kind in self.extras:
            extra_of(kind)

    @property
    def band_height_mm(self) -> float:
        """Height of the band: as asked for, that of a roll, or the drive's usual one as far as label stock holds it."""
        if self.height_mm is not None:
            return self.height_mm
        if not self.paper.is_sheet and self.paper.length_mm is None:
            return min(self.paper.highest_mm, MAX_HEIGHT_MM)  # the tape's own edge is the reading edge
        return self.usual_height_mm

    @property
    def usual_height_mm(self) -> float:
        """The drive's usual height of a band, as far as the paper holds it."""
        return min(DEFAULT_HEIGHT_MM[self.socket.drive.inch], self.paper.highest_mm)

    @property
    def bore_mm(self) -> float:
        """Bore of the part ring."""
        return self.socket.od_mm + RING_CLEARANCE_MM if self.ring_bore_mm is None else self.ring_bore_mm

    @property
    def length_mm(self) -> float:
        """Closed length of the band."""
        return closed_length_mm(self.socket.od_mm, self.stock_mm)

    @property
    def length(self) -> Length:
        """Closed length of the band, in the user's unit."""
        return computed_length(self.length_mm, self.socket.unit)


@dataclass(frozen=True)
class TrimRequest:
    """What is asked for without a diameter: trim bands for ODs from `low_od_mm` to `high_od_mm`.

    `job` is the job at the smallest OD. `usual` tells that no range was given: it is the drive's usual one.
    """

    job: JobRequest
    low_od_mm: float
    high_od_mm: float
    usual: bool = False
