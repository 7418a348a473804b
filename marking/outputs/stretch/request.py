"""What the turn does to the fastener, from the texts of a command line to numbers, and the numbers as JSON data."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from ...fastening.elastic import (
    BEARING_OVER_DIAMETER,
    HOLE_OVER_DIAMETER,
    STEEL_MPA,
    USUAL_FRICTION,
    Fastening,
    Friction,
)
from ...fastening.opening import read_points
from ...fastening.spec import TighteningSpec
from ...fastening.spec_grammar import parse_spec
from ...fastening.strength import parse_strength
from ...fastening.thread import parse_thread
from ...printers.setup import read_sheet
from ...quantities.parse import mm_or, parse_length
from ...quantities.scanner import ANY_CASE, Scanner
from ...quantities.units import Given, factor, measured
from ...sheets.paper import SIZES, Paper

_MODULI = {
    "gpa": "GPa", "kn/mm²": "GPa", "kn/mm2": "GPa", "mpa": "MPa", "n/mm²": "MPa", "n/mm2": "MPa",
    "psi": "psi", "ksi": "ksi", "kpsi": "ksi", "msi": "Mpsi", "mpsi": "Mpsi",
}  # fmt: skip

_MODULUS_UNIT = re.compile("|".join(sorted(map(re.escape, _MODULI), key=len, reverse=True)), ANY_CASE)

_EXPONENT = re.compile(r"[eE]\+?([0-9]{1,2})(?![0-9])|[ ]?[x×·*][ ]?10\^([0-9]{1,2})(?![0-9])")

_TO = re.compile(r"\.{2,3}|…|to\b|[-−–]")


def read(
    spec: str,
    screw: str,
    strength: str,
    grip: Given,
    *,
    shank: Given | None = None,
    joint_modulus: Given | None = None,
    friction: str | None = None,
    thread_friction: str | None = None,
    head_friction: str | None = None,
    bearing: Given | None = None,
    hole: Given | None = None,
    thread: str = "right",
    witness: str | None = None,
    points: int | str | None = None,
    paper: str = "a4",
    margin: Given | None = None,
    printer: str | None = None,
    title: str = "",
) -> StretchRequest:
    """Return the job described by texts as a user writes them: "M12x1.75", "10.9", "60 mm", "0.10..0.16", "70 GPa".

    `friction` gives the limits for thread and bearing face alike; the other two replace them for one of both. Raises a
    MarkingError that says which text is at fault.
    """
    sheet, _ = read_sheet(paper, margin, printer)
    found = parse_thread(screw)
    grip_length = parse_length(grip, "grip")
    both = USUAL_FRICTION if friction is None else parse_friction(friction)
    fastening = Fastening(
        thread=found,
        strength=parse_strength(strength, found),
        grip_mm=grip_length.mm,
        bearing_mm=mm_or(bearing, "bearing", BEARING_OVER_DIAMETER * found.diameter_mm),
        hole_mm=mm_or(hole, "hole", HOLE_OVER_DIAMETER * found.diameter_mm),
        shank_mm=0.0 if shank is None else parse_length(shank, "shank", zero=True).mm,
        joint_mpa=STEEL_MPA if joint_modulus is None else parse_modulus(joint_modulus),
        thread_friction=both if thread_friction is None else parse_friction(thread_friction, "thread_friction"),
        head_friction=both if head_friction is None else parse_friction(head_friction, "head_friction"),
    )
    spec_read = parse_spec(spec, thread, read_points(points) if points else None, witness)
    return StretchRequest(spec_read, fastening, grip_length.unit, sheet, title or spec_read.title)


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
    """A spec, the fastening that it is for, and the sheet. Lengths are shown in `unit`, "mm" or "in"."""

    spec: TighteningSpec
    fastening: Fastening
    unit: str = "mm"
    paper: Paper = field(default_factory=lambda: Paper(*SIZES["a4"]))
    title: str = ""

    @property
    def run(self) -> TighteningSpec:
        """What the tension comes from: the last run of turns and its snug; whatever lies before is undone or passed."""
        return self.spec.last_run()
