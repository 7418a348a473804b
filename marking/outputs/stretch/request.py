"""What the turn does to the fastener, from the texts of a command line to numbers, and the numbers as JSON data."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from ...errors import RangeError, shown, within
from ...fastening.elastic import (
    BEARING_OVER_DIAMETER,
    HOLE_OVER_DIAMETER,
    USUAL_FRICTION,
    Fastening,
    Friction,
)
from ...fastening.elastic_terms import NO_WASHERS, Head, Joint, Section, Washers
from ...fastening.opening import read_points
from ...fastening.spec import TighteningSpec
from ...fastening.spec_grammar import parse_spec
from ...fastening.strength import STEEL_MPA, parse_strength
from ...fastening.thread import parse_thread
from ...printers.setup import read_sheet
from ...quantities.parse import mm_or, parse_angle, parse_length, parse_percent
from ...quantities.scanner import ANY_CASE, Scanner, check_text
from ...quantities.shown import shown_length
from ...quantities.units import Given, factor, measured
from ...sheets.paper import SIZES, Paper
from . import BAND

_MODULI = {
    "gpa": "GPa", "kn/mm²": "GPa", "kn/mm2": "GPa", "mpa": "MPa", "n/mm²": "MPa", "n/mm2": "MPa",
    "psi": "psi", "ksi": "ksi", "kpsi": "ksi", "msi": "Mpsi", "mpsi": "Mpsi",
}  # fmt: skip

_MODULUS_UNIT = re.compile("|".join(sorted(map(re.escape, _MODULI), key=len, reverse=True)), ANY_CASE)

_EXPONENT = re.compile(r"[eE]\+?([0-9]{1,2})(?![0-9])|[ ]?[x×·*][ ]?10\^([0-9]{1,2})(?![0-9])")

_TO = re.compile(r"\.{2,3}|…|to\b|[-−–]")

_BY = re.compile("[x×*]", ANY_CASE)

_TIMES = re.compile(r"[ ]*([0-9]{1,3})[ ]*[x×*]", ANY_CASE)

MAX_SECTIONS = 8

MAX_WRENCH_PERCENT, MAX_READING_DEG = 50.0, 60.0
"""Most that a wrench and a reading may be wrong (our choice: beyond it is a slip of the keyboard)."""

MAX_OD_MM = 1000.0

OD_OVER_DIAMETER = 2.25
"""Usual outside diameter of a socket over the thread's (our choice: width across flats 1.5 d, half as much more)."""


def read(
    spec: str,
    screw: str,
    strength: str,
    grip: Given,
    *,
    shank: Given | None = None,
    waist: str | None = None,
    head: Head = "hexagon",
    joint: Joint = "nut",
    washers: str | None = None,
    joint_modulus: Given | None = None,
    seams: int = 1,
    settling: Given | None = None,
    friction: str | None = None,
    thread_friction: str | None = None,
    head_friction: str | None = None,
    bearing: Given | None = None,
    hole: Given | None = None,
    wrench: Given | None = None,
    readout: str = BAND,
    socket_od: Given | None = None,
    reading_error: Given | None = None,
    thread: str = "right",
    witness: str | None = None,
    points: int | str | None = None,
    paper: str = "a4",
    margin: Given | None = None,
    printer: str | None = None,
    ruler: str | None = None,
    title: str = "",
) -> StretchRequest:
    """Return the job described by texts as a user writes them: "M12x1.75", "10.9", "60 mm", "0.10..0.16", "70 GPa".

    `friction` gives the limits for thread and bearing face alike; the other two replace them for one of both. Raises a
    MarkingError that says which text is at fault.
    """
    sheet, _ = read_sheet(paper, margin, printer, ruler=ruler)
    found = parse_thread(screw)
    d = found.diameter_mm
    grip_length = parse_length(grip, "grip")
    both = USUAL_FRICTION if friction is None else parse_friction(friction)
    fastening = Fastening(
        thread=found,
        strength=parse_strength(strength, found),
        grip_mm=grip_length.mm,
        bearing_mm=mm_or(bearing, "bearing", BEARING_OVER_DIAMETER * d),
        hole_mm=mm_or(hole, "hole", HOLE_OVER_DIAMETER * d),
        shank_mm=0.0 if shank is None else parse_length(shank, "shank", zero=True).mm,
        joint_mpa=STEEL_MPA if joint_modulus is None else parse_modulus(joint_modulus),
        thread_friction=both if thread_friction is None else parse_friction(thread_friction, "thread_friction"),
        head_friction=both if head_friction is None else parse_friction(head_friction, "head_friction"),
        waist=() if waist is None else parse_sections(waist),
        joint=joint,
        head=head,
        washers=NO_WASHERS if washers is None else parse_washers(washers),
        seams=seams,
        given_settling_mm=None if settling is None else parse_length(settling, "settling", zero=True).mm,
    )
    spec_read = parse_spec(spec, thread, read_points(points) if points else None, witness)
    return StretchRequest(
        spec_read,
        fastening,
        grip_length.unit,
        sheet,
        title or spec_read.title,
        None if wrench is None else parse_percent(wrench, "wrench"),
        readout,
        mm_or(socket_od, "socket_od", OD_OVER_DIAMETER * d),
        None if reading_error is None else parse_angle(reading_error, "reading_error"),
    )


def parse_sections(text: str) -> tuple[Section, ...]:
    """Read lengths of a shank with diameters of their own: "40 mm x 9 mm", "10 mm x 12.5 mm + 30 mm x 9 mm".

    Raises TextInputError, and RangeError for more than eight.
    """
    check_text(text, "waist", "40 mm x 9 mm")
    pieces = text.split("+")
    if len(pieces) > MAX_SECTIONS:
        raise RangeError(f"{len(pieces)} sections", f"at most {MAX_SECTIONS}", value=text, field="waist")
    found = []
    for piece in pieces:
        length, *diameter = _BY.split(piece)
        if len(diameter) != 1:
            raise RangeError(
                f"the section is {shown(piece.strip())}", "a length and a diameter, such as 40 mm x 9 mm",
                value=text, field="waist",
            )  # fmt: skip
        found.append(Section(parse_length(length, "waist").mm, parse_length(diameter[0], "waist").mm))
    return tuple(found)


def parse_washers(text: str) -> Washers:
    """Read washers: "2.5 mm" is one, "2 x 2.5 mm" two of them. Raises TextInputError."""
    check_text(text, "washers", "2 x 2.5 mm")
    times = _TIMES.match(text)
    thickness = parse_length(text[times.end() :] if times else text, "washers")
    return Washers(int(times[1]) if times else 1, thickness.mm)


def parse_friction(text: str, field: str = "friction") -> Friction:
    """Read the limits of a coefficient of friction: "0.10..0.16", "0,1 to 0,16", or one value.

    Raises TextInputError.
    """
    scan = Scanner(text, field)
    low, _ = scan.number("a coefficient such as 0.10, or limits such as 0.10..0.16")
    high = low
    if scan.take(_TO):
        high, _ = scan.number("the upper limit, such as 0.16")
    scan.expect_end()
    return Friction(float(low), float(high))


def parse_modulus(text: Given, field: str = "joint_modulus") -> float:
    """Read a modulus of elasticity and return it in MPa: "70 GPa", "210000 N/mm²", "10e6 psi", "14 Mpsi".

    Raises TextInputError, and what `measured` raises.
    """
    if not isinstance(text, str):
        return measured(text, ("MPa",), field, "70 GPa")[0]
    scan = Scanner(text, field)
    value, tidy = scan.number("a modulus such as 70 GPa")
    power = scan.take(_EXPONENT)
    found = scan.take(_MODULUS_UNIT)
    if not found:
        what = "has no unit" if scan.at_end() else "has an unknown unit"
        raise scan.failure(what, "GPa, MPa, N/mm², psi, ksi or Mpsi", f"write {tidy} GPa or {tidy} Mpsi")
    scan.expect_end()
    exponent = int(power[1] or power[2]) if power else 0
    return float(value) * 10.0**exponent * factor(_MODULI[found[0].lower()])


@dataclass(frozen=True)
class StretchRequest:
    """A spec, the fastening that it is for, how it is tightened and read, and the sheet.

    Lengths are shown in `unit`, "mm" or "in". `given_wrench_percent` and `given_reading_deg` are None where the usual
    ones count. Raises RangeError for errors that nobody has.
    """

    spec: TighteningSpec
    fastening: Fastening
    unit: str = "mm"
    paper: Paper = field(default_factory=lambda: Paper(*SIZES["a4"]))
    title: str = ""
    given_wrench_percent: float | None = None
    readout: str = BAND
    od_mm: float = 27.0
    given_reading_deg: float | None = None

    def __post_init__(self) -> None:
        within("the wrench's error is {} %", self.given_wrench_percent or 0, 0.0, MAX_WRENCH_PERCENT, "wrench", _plain)
        within("the reading error is {}°", self.given_reading_deg or 0, 0.0, MAX_READING_DEG, "reading_error", _plain)
        d = self.fastening.thread.diameter_mm
        within(
            "the socket's outside diameter is {}",
            self.od_mm,
            d,
            MAX_OD_MM,
            "socket_od",
            lambda mm: shown_length(mm, self.unit),
        )

    @property
    def run(self) -> TighteningSpec:
        """What the tension comes from: the last run of turns and its snug; whatever lies before is undone or passed."""
        return self.spec.last_run()


def _plain(value: float) -> str:
    return f"{value:g}"
