"""What went in, and what each part of the fastening adds, in words."""

from __future__ import annotations

import math

from ...fastening.elastic import Fastening
from ...fastening.elastic_terms import Spring
from ...quantities.shown import rounded, shown_degrees, trimmed
from ...quantities.units import factor
from .units import Units
from .words import percent

THREADED = "thread through the whole grip"

HELD_BY = {"nut": "bolt with a nut", "tapped": "bolt in a tapped hole", "stud": "stud in a tapped hole, with a nut"}

READ_ON = {"band": "a band", "ring": "a part ring", "disc": "a drive disc", "mat": "marks from the mat"}

PART_NAMES = {
    "head": "head", "shank": "shank", "waist": "section", "thread": "free thread", "engaged": "engaged thread",
    "nut": "nut", "tapped": "tapped hole",
}  # fmt: skip


def bolt_fact(fastening: Fastening, units: Units) -> str:
    """Thread, class and area, and what of it is from memory."""
    thread, strength = fastening.thread, fastening.strength
    area = "" if thread.area_source == "table" else " (by formula: not in the tables)"
    memory = "; strengths from memory, not seen in print" if strength.from_memory else ""
    return f"{thread.name}, {strength.name}{memory}, stress area {units.area(thread.area_mm2)}{area}"


def joint_fact(fastening: Fastening, units: Units) -> str:
    """What is clamped, by what, and of what."""
    held = HELD_BY[fastening.joint]
    shank = f"of it {units.given(fastening.shank_mm)} unthreaded shank" if fastening.shank_mm else ""
    sections = "".join(f"; {units.given(s.length_mm)} of Ø {units.given(s.diameter_mm)}" for s in fastening.waist)
    inside = f"{shank}{sections}".removeprefix("; ") or THREADED
    of = f"{_parts(fastening, units)}{_washers(fastening, units)}"
    return f"{held}, grip {units.given(fastening.grip_mm)}, {inside}; {of}"


def _parts(fastening: Fastening, units: Units) -> str:
    """The joint's modulus in words, with the unit of the thread's system."""
    gpa = f"{rounded(fastening.joint_mpa / 1000.0)} GPa"
    mpsi = fastening.joint_mpa / factor("Mpsi")
    return f"parts of {rounded(mpsi)} Mpsi ({gpa})" if units.inch else f"parts of {gpa}"


def _washers(fastening: Fastening, units: Units) -> str:
    count, thickness_mm = fastening.washers
    if not count:
        return ""
    return f"; {count} steel washer{'s' if count > 1 else ''} of {units.given(thickness_mm)}"


def friction_fact(fastening: Fastening) -> str:
    """The limits of friction."""
    thread, head = fastening.thread_friction, fastening.head_friction
    if thread == head:
        return f"{thread.text} in the thread and under the head"
    return f"{thread.text} in the thread, {head.text} under the head"


def bearing_fact(fastening: Fastening, units: Units) -> str:
    """The face that turns."""
    return f"face {units.given(fastening.bearing_mm)} round a hole of {units.given(fastening.hole_mm)}"


def wrench_fact(wrong_percent: float, given: bool) -> str:
    """How far the torque may be off."""
    return f"±{trimmed(wrong_percent, 2)} %" + ("" if given else " (ISO 6789-1, type II, from memory)")


def reading_fact(error_deg: float, readout: str, od: str, given: bool, several: bool) -> str:
    """How well the turn is read, of several stages the last since snug."""
    error = f"±{shown_degrees(error_deg, 1)}{' in all' if several else ''}, U (k = 2)"
    if given:
        return f"{error}, as given"
    return f"{error}, of {READ_ON[readout]}" + (" of 70 mm" if readout == "disc" else f" on a socket of {od}")


def settling_fact(settling: str, force: str, given: bool) -> str:
    """How much settles, and what it costs."""
    source = "as given" if given else "VDI 2230, smooth steel faces, from memory"
    return f"at most {settling}, which costs {force} ({source})"


def strength_facts(fastening: Fastening, units: Units) -> list[tuple[str, str]]:
    """The loads at proof, yield and tensile strength."""
    strength, area_mm2, proof_n = fastening.strength, fastening.weakest_mm2, fastening.proof_n
    _, at_mid, _ = fastening.yields_n
    proof = (
        "none in its standard" if proof_n is None else f"{units.both(proof_n)}, at {units.stress(proof_n / area_mm2)}"
    )
    hardest = fastening.hardest_n
    above = (
        "; its standard sets no upper limit"
        if hardest is None
        else f"; up to {units.force(hardest)} at its class's limit of hardness"
    )
    return [
        ("proof load", proof),
        (
            "yield",
            f"{units.both(strength.yield_mpa * area_mm2)}, at {units.stress(strength.yield_mpa)}; with the twist of "
            f"tightening {units.force(at_mid)}",
        ),
        ("tensile", f"{units.both(fastening.tensile_n)}, at {units.stress(strength.tensile_mpa)}{above}"),
    ]


# -- what each part adds


def spring_titles(units: Units) -> tuple[str, ...]:
    """The titles over `spring_rows`."""
    return ("part", "counts as", units.compliance_name, "share")


def spring_rows(fastening: Fastening, units: Units) -> list[tuple[str, ...]]:
    """What each part gives under load, and its share of the whole."""
    joint, total, washers = 1 / fastening.joint_n_per_mm, fastening.mm_per_n, fastening.washers
    found = [
        (PART_NAMES[spring.part], _counts_as(spring, fastening, units), spring.mm_per_n) for spring in fastening.springs
    ]
    if washers.number:
        name = "washers squeezed" if washers.number > 1 else "washer squeezed"
        found.append((name, f"{units.given(washers.total_mm)} of 30° cones", fastening.washers_mm_per_n))
        joint -= fastening.washers_mm_per_n
    found += [("parts squeezed", "30° cones", joint), ("all", "", total)]
    return [(name, words, units.compliance(give), percent(give / total)) for name, words, give in found]


def _counts_as(spring: Spring, fastening: Fastening, units: Units) -> str:
    """The length and section that stand for a part."""
    over_d = f"{trimmed(spring.length_mm / fastening.thread.diameter_mm, 2)} d"
    match spring.part:
        case "engaged":
            return f"{over_d} at the root"
        case "head" | "nut" | "tapped":
            return f"{over_d} of shank"
        case "thread":
            return f"{units.given(spring.length_mm)} at the root"
        case "waist":
            return f"{units.given(spring.length_mm)} of Ø {units.given(math.sqrt(4 * spring.area_mm2 / math.pi))}"
        case _:
            return units.given(spring.length_mm)
