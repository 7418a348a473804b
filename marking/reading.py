"""From texts to a job: the one place where the words of a command line or a list become spec, socket and options."""

from __future__ import annotations

import math
import re
from dataclasses import fields
from typing import TYPE_CHECKING, Any

from .budget import PROFILED_SCALE_PERCENT, ErrorModel
from .errors import RangeError, SocketError, shown
from .job import Job
from .paper import Paper, parse_paper, parse_sheet
from .part import DEFAULT_RING_WIDTH_MM
from .quantities import ANY_CASE, Scanner, parse_length, plain_number
from .socket import MAX_OD_MM, parse_drive, parse_socket, parse_stock
from .spec import parse_spec

if TYPE_CHECKING:
    from .printers import Profile
    from .trim_job import TrimJob

_PERCENT = re.compile("%")
_DEGREE = re.compile(r"°|º|˚|deg(?:ree)?s?\b", ANY_CASE)


def read_job(
    spec: str,
    points: int,
    drive: str,
    *,
    od: str | None = None,
    around: str | None = None,
    opening: str | None = None,
    drive_end: str | None = None,
    thread: str = "right",
    stock: str | None = None,
    start: str = "corner",
    witness: str = "fresh",
    height: str | None = None,
    paper: str = "a4",
    margin: str | None = None,
    printer: str | None = None,
    copies: int = 2,
    fasteners: int = 4,
    ring: str = "full",
    ring_width: str | None = None,
    ring_bore: str | None = None,
    title: str = "",
    unit: str | None = None,
    errors: dict[str, str] | None = None,
) -> Job:
    """Return the job described by texts as a user writes them: lengths with units, a spec as in the manual.

    `errors` replaces half-widths of the error model by the names of its fields: {"witness_mm": "0.4 mm"}. `unit` is
    the unit for computed lengths, by default that of the OD. `printer` names a printer profile: it corrects the page,
    gives the stock's thickness where `stock` does not, and lowers the print-scale error. Raises a MarkingError that
    says which text is at fault.
    """
    profile = named_profile(printer)
    stock_mm = parse_stock(stock) if stock or not (profile and profile.stock_mm) else profile.stock_mm
    sheet = parse_paper(paper, margin)
    return Job(
        spec=parse_spec(spec, thread),
        socket=parse_socket(
            points,
            drive,
            od=od,
            around=around,
            opening=opening,
            drive_end=drive_end,
            stock_mm=stock_mm,
            unit=unit,
        ),
        stock_mm=stock_mm,
        start=start,
        witness=witness,
        model=read_error_model(errors or {}, profile is not None),
        height_mm=_optional_mm(height, "height"),
        paper=sheet.corrected(profile.x_scale, profile.y_scale) if profile else sheet,
        copies=copies,
        fasteners=fasteners,
        ring_width_mm=_optional_mm(ring_width, "ring width") or DEFAULT_RING_WIDTH_MM,
        ring_bore_mm=_optional_mm(ring_bore, "ring bore"),
        sector=ring == "sector",
        title=title,
    )


def _optional_mm(text: str | None, subject: str) -> float | None:
    return None if text is None else parse_length(text, subject).mm


def read_trim_job(
    spec: str,
    points: int,
    drive: str,
    *,
    od_range: str | None = None,
    trim_error: str | None = None,
    opening: str | None = None,
    drive_end: str | None = None,
    unit: str | None = None,
    copies: int = 1,
    **more: Any,
) -> TrimJob:
    """Return the trim bands of a job without a diameter, for an OD range or the drive's usual one.

    Takes what `read_job` takes but `od` and `around`; a drive end is refused. A usual range begins above the opening's
    corners. Raises a MarkingError that says which text is at fault.
    """
    from .trim_job import parse_od_range, plan_trim, usual_ods_mm

    if drive_end is not None:
        raise SocketError(
            f"the drive end of {shown(drive_end)} says nothing of a socket without a diameter", "the diameter too",
            "give --od or --around with --drive-end, or leave it out for trim bands", drive_end,
        )  # fmt: skip
    if od_range is not None:
        low, high, range_unit = parse_od_range(od_range)
    else:
        (low, high), range_unit = usual_ods_mm(parse_drive(drive)), "mm"
        if opening is not None:
            sides = 6 if points in (6, 12) else 4
            corners = parse_length(opening, "opening").mm / math.cos(math.pi / sides)
            low = max(low, math.floor(corners) + 1.0)
            high = max(high, low + 1.0)
    job = read_job(
        spec, points, drive, od=f"{plain_number(low)} mm", drive_end=f"{MAX_OD_MM:g} mm", opening=opening,
        copies=copies, unit=unit or range_unit, **more,
    )  # fmt: skip
    error = {} if trim_error is None else {"trimming_error_mm": parse_length(trim_error, "trim error", zero=True).mm}
    return plan_trim(job, low, high, **error)


def read_sheet(
    paper: str, margin: str | None = None, printer: str | None = None, stock: str | None = None
) -> tuple[Paper, float]:
    """Return a whole sheet of paper, corrected for a printer, and the stock's thickness in mm.

    The thickness is the one given, else that of the printer's profile, else the usual one. Raises a MarkingError that
    says which text is at fault; label stock is refused.
    """
    profile = named_profile(printer)
    sheet = parse_sheet(paper, margin)
    if profile is None:
        return sheet, parse_stock(stock)
    usual = profile.stock_mm or parse_stock(None)
    return sheet.corrected(profile.x_scale, profile.y_scale), usual if stock is None else parse_stock(stock)


def named_profile(printer: str | None) -> Profile | None:
    """Return the printer profile of that name, None for None. Raises a MarkingError for a name not known."""
    if printer is None:
        return None
    from .printers import profile  # loaded only when asked for: most jobs have no profile

    return profile(printer)


def read_error_model(texts: dict[str, str], profiled: bool = False) -> ErrorModel:
    """Return the error model with some half-widths replaced: lengths, "0.5 %" or "10°", by the names of its fields.

    `profiled` is for a print corrected by a printer profile, whose scale is known better.
    """
    known = {field.name for field in fields(ErrorModel)}
    values: dict[str, float] = {"print_scale_percent": PROFILED_SCALE_PERCENT} if profiled else {}
    for name, text in texts.items():
        if name not in known:
            raise RangeError(f"no error is called {shown(name)}", ", ".join(sorted(known)), "check the name", name)
        subject = name.rsplit("_", 1)[0].replace("_", " ") + " error"
        if name.endswith("_mm"):
            values[name] = parse_length(text, subject, zero=True).mm
        else:
            values[name] = (parse_percent if "percent" in name else parse_angle)(text, subject)
    return ErrorModel(**values)


def parse_percent(text: str, subject: str) -> float:
    """Read "0.5 %" and return 0.5. Raises TextInputError."""
    return _parse_with(text, subject, _PERCENT, "%")


def parse_angle(text: str, subject: str) -> float:
    """Read "10°" and return 10.0. Raises TextInputError."""
    return _parse_with(text, subject, _DEGREE, "°")


def _parse_with(text: str, subject: str, pattern: re.Pattern[str], unit: str) -> float:
    scan = Scanner(text, subject)
    value, tidy = scan.number(f"a number and {unit}")
    if not scan.take(pattern):
        raise scan.failure("has no unit" if scan.at_end() else "has an unknown unit", unit, f"write {tidy}{unit}")
    scan.expect_end()
    return float(value)
