"""Property classes and grades of screws: proof, yield and tensile strength by class and size."""

from __future__ import annotations

import re
from typing import NamedTuple

from ..errors import RangeError
from ..quantities.scanner import ANY_CASE, Scanner
from ..quantities.shown import plain_number, shown_length, trimmed
from ..quantities.units import MM_PER_IN, factor
from ..tables import rows
from .thread import Thread

_WORDS = re.compile(r"(?:ISO[ ]?898-1|SAE(?:[ ]?J429)?)?[ ]*(?:class|grade|gr\.?)?", ANY_CASE)

_ISO, _SAE = "ISO 898-1", "SAE J429"

_THREADS = {_ISO: ("mm", "metric"), _SAE: ("in", "unified")}


class Strength(NamedTuple):
    """Least proof stress, yield strength and tensile strength of a screw, in MPa; `name` is "ISO 898-1 class 10.9"."""

    name: str
    proof_mpa: float
    yield_mpa: float
    tensile_mpa: float


def parse_strength(text: str, thread: Thread) -> Strength:
    """Return what a class is worth for a thread: "10.9", "8,8", "class 12.9"; "5", "grade 8", "SAE J429 grade 5".

    Property classes (ISO 898-1) are for metric threads, grades (SAE J429) for unified ones. Class 8.8 for M12 has proof
    stress 580 MPa. Raises TextInputError for what cannot be read, RangeError for a class that does not go with
    the thread or its size.
    """
    scan = Scanner(text, "strength", example="10.9")
    scan.take(_WORDS)
    value, _ = scan.number("a class such as 10.9, or a grade such as 8")
    scan.expect_end()
    wanted = plain_number(float(value))
    of_thread = [
        row
        for row in rows("property_classes")
        if row["class"] == wanted and _THREADS[row["standard"]][0] == thread.unit
    ]
    if not of_thread:
        raise _no_such(wanted, thread)
    size = thread.diameter_mm / (MM_PER_IN if thread.unit == "in" else 1.0)
    for row in of_thread:
        if float(row["over"]) < size - 1e-9 <= float(row["to"]):
            stresses = (float(row[name]) * factor(row["unit"]) for name in ("proof", "yield", "tensile"))
            return Strength(_name(row), *stresses)
    low, high = (float(of_thread[k][name]) for k, name in ((0, "over"), (-1, "to")))
    raise RangeError(
        f"{_name(of_thread[0])} does not cover {thread.name}",
        f"a diameter over {trimmed(low, 2)} {thread.unit}, up to {trimmed(high, 2)} {thread.unit}",
        f"check {{@screw}} ({shown_length(thread.diameter_mm, thread.unit)}) and {{@strength}}",
        size,
        "strength",
    )


def _no_such(wanted: str, thread: Thread) -> RangeError:
    standard, kind = next((name, kind) for name, (unit, kind) in _THREADS.items() if unit == thread.unit)
    names = dict.fromkeys(row["class"] for row in rows("property_classes") if row["standard"] == standard)
    return RangeError(
        f"the tables have no class {wanted} for the {kind} thread {thread.name}",
        f"{_kind(standard)} {', '.join(names)} of {standard}",
        "check {@strength} and {@screw}",
        wanted,
        "strength",
    )


def _name(row: dict[str, str]) -> str:
    return f"{row['standard']} {_kind(row['standard'])} {row['class']}"


def _kind(standard: str) -> str:
    return "class" if standard == _ISO else "grade"
