"""What gives when a screw is tightened, part by part: its springs, the cones in the joint, the faces that settle."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Literal, NamedTuple

from ..errors import RangeError, within
from ..quantities.shown import shown_length

Joint = Literal["nut", "tapped", "stud"]
"""What holds the screw: a nut, a tapped hole, or both ends of a stud, one in a tapped hole and one in a nut."""

Head = Literal["hexagon", "socket"]

HEAD_OVER_DIAMETER: dict[Head, float] = {"hexagon": 0.5, "socket": 0.4}

ENGAGED_OVER_DIAMETER, NUT_OVER_DIAMETER, TAPPED_OVER_DIAMETER = 0.5, 0.4, 0.33
"""Lengths that stand for head, engaged thread (at the root), nut and tapped hole, over the screw's diameter (VDI 2230
Part 1, 2003 and 2015, resilience of the bolt, from memory)."""

SETTLING_MM = {"thread": 0.003, "seat": 0.003, "seam": 0.002}
"""How far an engaged thread, the seat of a head or nut, and a face between two parts settle at most: steel, Rz 10 to
40 µm, drawn by its axis (VDI 2230 Part 1, 2003, table of amounts of embedding, from memory)."""

CONE_TAN = math.tan(math.radians(30.0))
"""Half apex angle of the pressure cones in the joint, 30° (Shigley, 8-5)."""

SLIMMEST, THICKEST = 0.5, 1.5
"""Limits of a section's diameter over the thread's (our choice)."""


class Section(NamedTuple):
    """A length of the shank with a diameter of its own: a waist, or a step."""

    length_mm: float
    diameter_mm: float

    @property
    def area_mm2(self) -> float:
        """Its cross-section."""
        return circle_mm2(self.diameter_mm)


class Washers(NamedTuple):
    """Steel washers under the faces that seat: how many, and how thick each is."""

    number: int = 0
    thickness_mm: float = 0.0

    @property
    def total_mm(self) -> float:
        """What they add to the clamped length."""
        return self.number * self.thickness_mm


NO_WASHERS = Washers()


class Spring(NamedTuple):
    """One spring of a screw: its part, and length, cross-section and modulus that give its compliance.

    `part` is "head", "shank", "waist", "thread" (free and loaded), "engaged" (thread in nut or hole), "nut", "tapped"
    (what carries the thread).
    """

    part: str
    length_mm: float
    area_mm2: float
    modulus_mpa: float

    @property
    def mm_per_n(self) -> float:
        """Compliance, L / (A E)."""
        return self.length_mm / (self.area_mm2 * self.modulus_mpa)


BETWEEN = ("shank", "waist", "thread")
"""The parts between the faces that seat; the others are ends."""


def circle_mm2(diameter_mm: float) -> float:
    """Return the area of a circle."""
    return math.pi / 4 * diameter_mm**2


def end_springs(
    joint: Joint, head: Head, diameter_mm: float, root_mm2: float, screw_mpa: float, joint_mpa: float
) -> list[Spring]:
    """Return the springs at the ends of a screw: head, engaged threads, nut and tapped hole (VDI 2230).

    M12 × 1.75 with a hexagon head and a nut, at 205 GPa: 2.588, 3.839 and 2.070 in 10⁻⁷ mm/N.
    """
    nominal = circle_mm2(diameter_mm)
    engaged = Spring("engaged", ENGAGED_OVER_DIAMETER * diameter_mm, root_mm2, screw_mpa)
    nut = Spring("nut", NUT_OVER_DIAMETER * diameter_mm, nominal, screw_mpa)
    tapped = Spring("tapped", TAPPED_OVER_DIAMETER * diameter_mm, nominal, joint_mpa)
    if joint == "stud":
        return [engaged._replace(length_mm=2 * engaged.length_mm), nut, tapped]
    return [
        Spring("head", HEAD_OVER_DIAMETER[head] * diameter_mm, nominal, screw_mpa),
        engaged,
        nut if joint == "nut" else tapped,
    ]


def cone_mm_per_n(layers: Iterable[tuple[float, float]], face_mm: float, bore_mm: float) -> float:
    """Return the compliance of a cone that widens by 30° from a face on, through layers of (thickness, modulus).

    Each layer is a frustum round the bore (Shigley, eq. 8-20).
    """
    total, wide = 0.0, face_mm
    for thickness, mpa in layers:
        wider = wide + 2 * thickness * CONE_TAN
        ratio = (wider - bore_mm) * (wide + bore_mm) / ((wider + bore_mm) * (wide - bore_mm))
        total += math.log(ratio) / (math.pi * mpa * bore_mm * CONE_TAN)
        wide = wider
    return total


def joint_mm_per_n(joint: Joint, layers: tuple[tuple[float, float], ...], face_mm: float, bore_mm: float) -> float:
    """Return the compliance of the clamped layers, from the face that seats down.

    With a nut two cones meet half way; above a tapped hole one cone goes through (VDI 2230, from memory).
    """
    if joint != "nut":
        return cone_mm_per_n(layers, face_mm, bore_mm)
    half = math.fsum(thickness for thickness, _ in layers) / 2
    return math.fsum(cone_mm_per_n(_down_to(half, way), face_mm, bore_mm) for way in (layers, layers[::-1]))


def _down_to(depth_mm: float, layers: Iterable[tuple[float, float]]) -> Iterable[tuple[float, float]]:
    """The layers as far as a depth."""
    left = depth_mm
    for thickness, mpa in layers:
        if left > 0:
            yield min(left, thickness), mpa
        left -= thickness


def settling_mm(joint: Joint, washers: int, seams: int) -> float:
    """Return how far everything settles at most: 0.011 mm for a bolt with a nut and one seam between two parts."""
    threads, seats = {"nut": (1, 2), "tapped": (1, 1), "stud": (2, 1)}[joint]
    return threads * SETTLING_MM["thread"] + seats * SETTLING_MM["seat"] + (seams + washers) * SETTLING_MM["seam"]


def check_sections(sections: Iterable[Section], diameter_mm: float, unit: str) -> None:
    """Raise RangeError for a section of a diameter that no screw has."""
    for section in sections:
        within(
            "a section of the shank has a diameter of {}", section.diameter_mm, SLIMMEST * diameter_mm,
            THICKEST * diameter_mm, "waist", lambda mm: shown_length(mm, unit),
        )  # fmt: skip


def check_washers(washers: Washers, joint: Joint, diameter_mm: float, unit: str) -> None:
    """Raise RangeError for more washers than there are faces, and for washers thicker than the screw."""
    most = 2 if joint == "nut" else 1
    if not 0 <= washers.number <= most:
        raise RangeError(
            f"{washers.number} washers", f"at most {most}, one under each face that seats",
            "count packing among the parts, in {@grip}", washers.number, "washers",
        )  # fmt: skip
    within("a washer is {} thick", washers.thickness_mm, 0.0, diameter_mm, "washers", lambda mm: shown_length(mm, unit))
