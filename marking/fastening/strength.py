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

STEEL_MPA = 207_000.0
"""Modulus of steel, of the screw and of the joint by default (Shigley, Table 8-8: 207 GPa, 30.0 Mpsi)."""

ELASTIC_OVER_YIELD = 0.6
"""Stress up to which a screw without a proof stress counts as elastic, over its yield strength (our choice: austenitic
steel begins to bend long before the stress that leaves 0.2 %)."""

_WORDS = re.compile(r"(?:ISO[ ]?(?:898|3506)-1|SAE(?:[ ]?J429)?)?[ ]*(?:class|grade|gr\.?)?", ANY_CASE)

_STAINLESS = re.compile(r"(A[1-5])[ ]?-?[ ]?([0-9]{2,3})(?![0-9])", ANY_CASE)

_ISO, _SAE, _STAINLESS_ISO = "ISO 898-1", "SAE J429", "ISO 3506-1"

_UNITS = {_ISO: "mm", _SAE: "in", _STAINLESS_ISO: "mm"}

_KINDS = {"mm": "metric", "in": "unified"}


class Strength(NamedTuple):
    """Least proof stress, yield strength and tensile strength of a screw, in MPa; `name` is "ISO 898-1 class 10.9".

    `proof_mpa` is None where the standard gives none, `hardest_mpa` the tensile strength at the class's upper limit of
    hardness, None where it has none; `elongation` the least elongation after fracture as a part of 1. `from_memory`
    tells that the strengths were not seen in print.
    """

    name: str
    proof_mpa: float | None
    yield_mpa: float
    tensile_mpa: float
    hardest_mpa: float | None = None
    elongation: float = 0.0
    modulus_mpa: float = STEEL_MPA
    from_memory: bool = False
    stainless: bool = False

    @property
    def elastic_mpa(self) -> float:
        """Stress up to which the screw certainly springs back: its proof stress, else 0.6 of its yield strength."""
        return ELASTIC_OVER_YIELD * self.yield_mpa if self.proof_mpa is None else self.proof_mpa


def parse_strength(text: str, thread: Thread) -> Strength:
    """Return what a class is worth for a thread: "10.9", "8,8", "A2-70"; "5", "grade 8", "SAE J429 grade 5".

    Property classes (ISO 898-1, ISO 3506-1) are for metric threads, grades (SAE J429) for unified ones. Class 8.8 for
    M12 has proof stress 580 MPa. Raises TextInputError for what cannot be read, RangeError for a class that does not go
    with the thread or its size.
    """
    scan = Scanner(text, "strength", example="10.9")
    scan.take(_WORDS)
    stainless = scan.take(_STAINLESS)
    if stainless:
        wanted = f"{stainless[1].upper()}-{stainless[2]}"
    else:
        wanted = plain_number(float(scan.number("a class such as 10.9 or A2-70, or a grade such as 8")[0]))
    scan.expect_end()
    of_thread = [
        row for row in rows("property_classes") if row["class"] == wanted and _UNITS[row["standard"]] == thread.unit
    ]
    if not of_thread:
        raise _no_such(wanted, thread)
    size = thread.diameter_mm / (MM_PER_IN if thread.unit == "in" else 1.0)
    for row in of_thread:
        if float(row["over"]) < size - 1e-9 <= float(row["to"]):
            return _strength(row)
    low, high = (float(of_thread[k][name]) for k, name in ((0, "over"), (-1, "to")))
    raise RangeError(
        f"{_name(of_thread[0])} does not cover {thread.name}",
        f"a diameter over {trimmed(low, 2)} {thread.unit}, up to {trimmed(high, 2)} {thread.unit}",
        f"check {{@screw}} ({shown_length(thread.diameter_mm, thread.unit)}) and {{@strength}}",
        size,
        "strength",
    )


def _strength(row: dict[str, str]) -> Strength:
    proof, yielding, tensile = (float(row[k]) * factor(row["unit"]) if row[k] else None for k in _STRESSES)
    assert yielding is not None
    assert tensile is not None
    return Strength(
        _name(row),
        proof,
        yielding,
        tensile,
        float(row["hardest"]) if row["hardest"] else None,
        float(row["elongation"]) / 100.0,
        float(row["modulus"]) * factor("GPa") if row["modulus"] else STEEL_MPA,
        row["seen"] == "memory",
        row["standard"] == _STAINLESS_ISO,
    )


_STRESSES = ("proof", "yield", "tensile")


def _no_such(wanted: str, thread: Thread) -> RangeError:
    kind, known = _KINDS[thread.unit], []
    for standard, unit in _UNITS.items():
        names = dict.fromkeys(row["class"] for row in rows("property_classes") if row["standard"] == standard)
        if unit == thread.unit:
            known.append(f"{_kind(standard)} {', '.join(names)} of {standard}")
    return RangeError(
        f"the tables have no class {wanted} for the {kind} thread {thread.name}",
        " or ".join(known),
        "check {@strength} and {@screw}",
        wanted,
        "strength",
    )


def _name(row: dict[str, str]) -> str:
    return f"{row['standard']} {_kind(row['standard'])} {row['class']}"


def _kind(standard: str) -> str:
    return "grade" if standard == _SAE else "class"
