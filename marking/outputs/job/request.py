"""From texts to a job: the one place where the words of a command line or a list become spec, socket and options."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from ...errors import RangeError, SocketError, TextInputError, shown, within
from ...fastening.hexagons import parse_opening
from ...fastening.opening import opening_of, read_points
from ...fastening.sanity import LEAST_WALL_MM
from ...fastening.socket import (
    DEFAULT_STOCK_MM,
    MAX_OD_MM,
    MIN_OD_MM,
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
from ...printers.setup import named_profile
from ...quantities.angles import closed_length_mm
from ...quantities.parse import Length, computed_length, mm_or, parse_length
from ...quantities.shown import shown_length
from ...quantities.units import Given
from ...readouts import extra_of
from ...readouts.band.layout import DEFAULT_HEIGHT_MM, MAX_HEIGHT_MM, MIN_HEIGHT_MM
from ...readouts.part_ring.layout import DEFAULT_RING_WIDTH_MM, RING_CLEARANCE_MM
from ...readouts.trim_band.layout import MM_PER_MM_OF_OD
from ...sheets.paper import SIZES, LabelStock, Paper, parse_paper
from . import FASTENERS, START

TRIMMING_ERROR_MM = 0.25
"""Half-width of the error of cutting along a row: a working assumption from memory."""


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
    return read_job(spec, points, drive, od=od, around=around, copies=copies or 2, **more)


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
    copies: int = 2,
    fasteners: int = 4,
    ring: str = "full",
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
    print by kind, "disc". `unit` is the unit for computed lengths, by default that of the OD. `printer` names a printer
    profile: it corrects the page and gives the stock's thickness where `stock` does not. A `paper` read before is
    corrected already. Raises a MarkingError that says which text is at fault.
    """
    profile = named_profile(printer)
    stock_mm = parse_stock(stock) if stock or not (profile and profile.stock_mm) else profile.stock_mm
    if isinstance(paper, str):
        paper = parse_paper(paper, margin)
        paper = paper.corrected(profile.x_scale, profile.y_scale) if profile else paper
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
        ring_width_mm=mm_or(ring_width, "ring_width", DEFAULT_RING_WIDTH_MM),
        ring_bore_mm=mm_or(ring_bore, "ring_bore", None),
        sector=ring == "sector",
        title=title or found.title,
        extras=tuple(extras),
    )


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
    corners = 0.0
    if opening is not None:
        across = parse_opening(opening)[0]
        corners = opening_of(points).across_corners_mm(across.mm)
    if od_range is not None:
        low, high, range_unit = parse_od_range(od_range)
    else:
        (low, high), range_unit = parse_drive(drive).usual_ods_mm, "mm"
        if opening is not None:
            low = max(low, math.ceil((corners + 2 * LEAST_WALL_MM) * 10) / 10)
            high = max(high, low + 1.0)
    if od_range is not None and low <= corners:
        raise SocketError(
            f"a socket at the beginning of the OD range {shown(od_range)} cannot hold an opening of {across.text}",
            f"a range from above {shown_length(corners, range_unit)}, the opening across its corners",
            "check {@od_range} (outside) and {@opening} (across flats)", od_range, "od_range",
        )  # fmt: skip
    job = read_job(
        spec, points, drive, od=computed_length(low, "mm"), opening=opening, copies=copies, unit=unit or range_unit,
        **more,
    )  # fmt: skip
    error_mm = TRIMMING_ERROR_MM if trim_error is None else parse_length(trim_error, "trim_error", zero=True).mm
    model = replace(job.model, trimmed_od_mm=error_mm / MM_PER_MM_OF_OD)
    return TrimRequest(replace(job, model=model), low, high, od_range is None)


@dataclass(frozen=True)
class JobRequest:
    """What is asked for: spec, socket, how to mark it, and what to print it on.

    `height_mm` None takes the drive's usual height, `ring_bore_mm` None the OD + 1 mm.
    """

    spec: TighteningSpec
    socket: Socket
    stock_mm: float = DEFAULT_STOCK_MM
    start: Start = "corner"
    model: ErrorModel = field(default_factory=ErrorModel)
    height_mm: float | None = None
    paper: Paper | LabelStock = field(default_factory=lambda: Paper(*SIZES["a4"]))
    copies: int = 2
    fasteners: int = 4
    ring_width_mm: float = DEFAULT_RING_WIDTH_MM
    ring_bore_mm: float | None = None
    sector: bool = False
    title: str = ""
    extras: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        for field_, value in ((START, self.start), (COPIES, self.copies), (FASTENERS, self.fasteners)):
            field_.check(value)
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
        """Height of the band: as asked for, or the drive's usual one as far as label stock holds it."""
        if self.height_mm is not None:
            return self.height_mm
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


_RANGE = r"\s*(?P<low>[^.]*(?:\.[0-9][^.]*)?)\s*(?:\.\.|…|–)\s*(?P<high>.*)"


def parse_od_range(text: str) -> tuple[float, float, str]:
    """Read "24 mm..32 mm" or "24..32 mm" and return both ends in mm and the unit of the first, "mm" or "in".

    Raises TextInputError for what cannot be read and RangeError for ends out of order or outside 6 .. 300 mm.
    """
    found = re.fullmatch(_RANGE, text) if len(text) <= 60 else None
    if not found:
        raise TextInputError(
            text, 0, "cannot be read", "two lengths such as 24 mm..32 mm", "", "od_range", "the OD range"
        )
    high = parse_length(found["high"], "od_range", subject="upper end of the OD range")
    unit = "in" if high.unit == "in" else "mm"
    low_text = found["low"].strip()
    low = parse_length(low_text if re.search(r"[^0-9.,/ ¼½¾-]", low_text) else f"{low_text} {unit}", "od_range")
    if not MIN_OD_MM <= low.mm < high.mm <= MAX_OD_MM:
        raise RangeError(
            f"the OD range is {low.text} to {high.text}", f"rising, within {MIN_OD_MM:g} to {MAX_OD_MM:g} mm",
            value=text, field="od_range",
        )  # fmt: skip
    return low.mm, high.mm, low.unit
