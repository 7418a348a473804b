"""From texts to a job: the one place where the words of a command line or a list become spec, socket and options."""

from __future__ import annotations

import re
from dataclasses import fields
from typing import TYPE_CHECKING

from .budget import PROFILED_SCALE_PERCENT, ErrorModel
from .errors import RangeError
from .job import Job
from .paper import parse_paper
from .part import DEFAULT_RING_WIDTH_MM
from .quantities import Scanner, parse_length
from .socket import parse_socket, parse_stock
from .spec import parse_spec

if TYPE_CHECKING:
    from .printers import Profile

_PERCENT = re.compile("%")
_DEGREE = re.compile(r"°|º|˚|deg(?:ree)?s?\b", re.IGNORECASE)


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
            raise RangeError(f"no error is called {name!r}", ", ".join(sorted(known)), "check the name", name)
        subject = name.rsplit("_", 1)[0].replace("_", " ") + " error"
        if name.endswith("_mm"):
            values[name] = parse_length(text, subject, zero=True).mm
        else:
            values[name] = _parse_with(text, subject, *((_PERCENT, "%") if "percent" in name else (_DEGREE, "°")))
    return ErrorModel(**values)


def _parse_with(text: str, subject: str, pattern: re.Pattern[str], unit: str) -> float:
    scan = Scanner(text, subject)
    value, tidy = scan.number(f"a number and {unit}")
    if not scan.take(pattern):
        raise scan.failure("has no unit" if scan.at_end() else "has an unknown unit", unit, f"write {tidy}{unit}")
    scan.expect_end()
    return float(value)
