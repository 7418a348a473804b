"""Stretch, squeeze, torque and yield of a screw in a joint: formulas only."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from ..errors import RangeError, within
from ..quantities.shown import shown_length, trimmed
from .elastic_terms import (
    BETWEEN,
    ENGAGED_OVER_DIAMETER,
    NO_WASHERS,
    Head,
    Joint,
    Section,
    Spring,
    Washers,
    check_sections,
    check_washers,
    circle_mm2,
    end_springs,
    joint_mm_per_n,
    settling_mm,
)
from .strength import STEEL_MPA, Strength
from .thread import Thread

MIN_JOINT_MPA, MAX_JOINT_MPA = 1_000.0, 1_000_000.0
"""From soft plastic to beyond tungsten carbide (our choice)."""

MIN_GRIP, MAX_GRIP = 0.2, 100.0
"""Least and largest grip over the screw's diameter (our choice)."""

MIN_FRICTION, MAX_FRICTION = 0.01, 1.0
"""Limits of a coefficient of friction (our choice: outside them it is a slip of the keyboard)."""

BEARING_OVER_DIAMETER = 1.5
"""Usual outside diameter of the bearing face over the screw's (Shigley, 8-5: washer face half as large again)."""

HOLE_OVER_DIAMETER = 1.1
"""Usual clearance hole over the screw's diameter (our choice; ISO 273, medium, has 1.08 to 1.13, from memory)."""

MAX_BEARING_OVER_DIAMETER = 6.0

YIELD_STRAIN = 0.002
"""What a screw keeps of its stretch at its yield strength: 0.2 % (ISO 898-1, Rp0.2)."""

MAX_SEAMS, MAX_SETTLING_MM = 20, 1.0
"""Most faces between parts, and most that a joint settles (our choice)."""


class Friction(NamedTuple):
    """Limits of one coefficient of friction."""

    low: float
    high: float

    @property
    def mid(self) -> float:
        """The middle of the limits."""
        return (self.low + self.high) / 2

    @property
    def text(self) -> str:
        """The limits as printed: "0.10 to 0.16", or "0.12" where they are one."""
        low, high = self.texts
        return low if self.low == self.high else f"{low} to {high}"

    @property
    def texts(self) -> tuple[str, str]:
        """Both limits as printed: "0.10", "0.16"."""
        low, high = (max(trimmed(value, 3), f"{value:.2f}", key=len) for value in self)
        return low, high


USUAL_FRICTION = Friction(0.10, 0.16)
"""Limits taken when none are given (our choice, within friction class B of VDI 2230, 0.08 to 0.16, from memory)."""


@dataclass(frozen=True)
class Fastening:
    """A screw in its joint, all lengths in mm.

    The clamped length is `grip_mm` and the washers. In it lie the unthreaded shank of the thread's diameter,
    `shank_mm`, sections of other diameters, `waist`, and thread for the rest. `bearing_mm` and `hole_mm` are the
    outside diameter of the face that turns and the clearance hole below it, `seams` the faces between parts.
    `given_settling_mm` stands in place of what is reckoned. Raises RangeError for what cannot be.
    """

    thread: Thread
    strength: Strength
    grip_mm: float
    bearing_mm: float
    hole_mm: float
    shank_mm: float = 0.0
    joint_mpa: float = STEEL_MPA
    thread_friction: Friction = USUAL_FRICTION
    head_friction: Friction = USUAL_FRICTION
    waist: tuple[Section, ...] = ()
    joint: Joint = "nut"
    head: Head = "hexagon"
    washers: Washers = NO_WASHERS
    seams: int = 1
    given_settling_mm: float | None = None

    def __post_init__(self) -> None:
        d, unit = self.thread.diameter_mm, self.thread.unit
        self._hold("grip", self.grip_mm, MIN_GRIP * d, MAX_GRIP * d, "grip")
        check_washers(self.washers, self.joint, d, unit)
        advice = "check {@shank} and {@grip}"
        self._hold("unthreaded shank within the grip", self.shank_mm, 0.0, self.clamped_mm, "shank", advice)
        check_sections(self.waist, d, unit)
        sections_mm = math.fsum(section.length_mm for section in self.waist)
        left_mm, advice = self.clamped_mm - self.shank_mm, "check {@waist}, {@shank} and {@grip}"
        self._hold("length of all sections within the grip", sections_mm, 0.0, left_mm, "waist", advice)
        self._hold("hole", self.hole_mm, d, 2 * d, "hole")
        self._hold("bearing face", self.bearing_mm, 1.05 * self.hole_mm, MAX_BEARING_OVER_DIAMETER * d, "bearing")
        self._hold("settling", self.settling_mm, 0.0, MAX_SETTLING_MM, "settling")
        within(
            "the joint's modulus is {} GPa", self.joint_mpa, MIN_JOINT_MPA, MAX_JOINT_MPA, "joint_modulus",
            lambda mpa: f"{mpa / 1000:g}", " GPa",
        )  # fmt: skip
        for name, friction in (("thread", self.thread_friction), ("head", self.head_friction)):
            if not MIN_FRICTION <= friction.low <= friction.high <= MAX_FRICTION:
                raise RangeError(
                    f"the {name} friction is {trimmed(friction.low, 6)} to {trimmed(friction.high, 6)}",
                    f"rising limits within {MIN_FRICTION:g} to {MAX_FRICTION:g}", "check the friction", friction,
                    f"{name}_friction",
                )  # fmt: skip

    def _hold(self, name: str, mm: float, low: float, high: float, field: str, advice: str = "") -> None:
        unit, more = self.thread.unit, f" with {self.thread.name}"
        within(f"the {name} is {{}}", mm, low, high, field, lambda mm: shown_length(mm, unit), more, advice)

    # -- lengths and areas

    @property
    def clamped_mm(self) -> float:
        """Length between the faces that seat: grip and washers."""
        return self.grip_mm + self.washers.total_mm

    @property
    def loaded_mm(self) -> float:
        """Length that carries the whole load: the clamped length and what counts of the engaged thread (VDI 2230)."""
        return self.clamped_mm + self.engaged_mm

    @property
    def engaged_mm(self) -> float:
        """What counts of the engaged thread: half a diameter, of a stud at both ends (VDI 2230)."""
        return ENGAGED_OVER_DIAMETER * self.thread.diameter_mm * (2 if self.joint == "stud" else 1)

    @property
    def free_thread_mm(self) -> float:
        """Thread within the clamped length, loaded but engaged nowhere."""
        return max(0.0, self.clamped_mm - self.shank_mm - math.fsum(section.length_mm for section in self.waist))

    @property
    def weakest_mm2(self) -> float:
        """The smallest cross-section, where the screw yields: the thread's stress area, or a slimmer waist."""
        return min((self.thread.area_mm2, *(section.area_mm2 for section in self.waist)))

    @property
    def weakest_mm(self) -> float:
        """How long the weakest cross-section is: free thread and what counts of the engaged one, or the waist."""
        weakest = self.weakest_mm2
        if weakest == self.thread.area_mm2:
            return self.free_thread_mm + self.engaged_mm
        return math.fsum(section.length_mm for section in self.waist if section.area_mm2 == weakest)

    # -- springs

    @property
    def springs(self) -> tuple[Spring, ...]:
        """What stretches with the screw, part by part; free thread counts with its root diameter (VDI 2230)."""
        d, mpa = self.thread.diameter_mm, self.strength.modulus_mpa
        root_mm2 = circle_mm2(self.thread.d3_mm)
        between = (
            Spring("shank", self.shank_mm, circle_mm2(d), mpa),
            *(Spring("waist", section.length_mm, section.area_mm2, mpa) for section in self.waist),
            Spring("thread", self.free_thread_mm, root_mm2, mpa),
        )
        ends = end_springs(self.joint, self.head, d, root_mm2, mpa, self.joint_mpa)
        return (*(spring for spring in between if spring.length_mm > 0), *ends)

    @property
    def screw_n_per_mm(self) -> float:
        """Stiffness of the screw with head, nut or tapped hole, and engaged thread (VDI 2230).

        M12 × 1.75 with grip 60 mm, half of it shank: 249 kN/mm at 207 GPa.
        """
        return 1 / math.fsum(spring.mm_per_n for spring in self.springs)

    @property
    def rigid_ends_n_per_mm(self) -> float:
        """What the screw's stiffness would be with rigid head, nut and engaged thread."""
        return 1 / math.fsum(spring.mm_per_n for spring in self.springs if spring.part in BETWEEN)

    @property
    def textbook_n_per_mm(self) -> float:
        """That by the textbook, which takes the stress area for the thread (Shigley, eq. 8-17).

        5/8-11 with grip 1.5 in, half of it shank: 5.21 Mlbf/in (Example 8-4).
        """
        thread_mm2 = {"thread": self.thread.area_mm2}
        springs = (s._replace(area_mm2=thread_mm2.get(s.part, s.area_mm2)) for s in self.springs if s.part in BETWEEN)
        return 1 / math.fsum(spring.mm_per_n for spring in springs)

    @property
    def joint_n_per_mm(self) -> float:
        """Stiffness of washers and parts, 30° frusta round the hole (Shigley, eq. 8-20).

        With a bearing face of 1.5 d and a hole of d it is eq. 8-22: 5/8-11 with a nut and grip 1.5 in in cast iron of
        14 Mpsi: 8.95 Mlbf/in (Example 8-4).
        """
        return 1 / self._joint_mm_per_n()

    @property
    def washers_mm_per_n(self) -> float:
        """What the washers give of that: what would be missing if they were rigid."""
        return self._joint_mm_per_n() - self._joint_mm_per_n(washer_mpa=math.inf)

    def _joint_mm_per_n(self, washer_mpa: float = STEEL_MPA) -> float:
        washer = (self.washers.thickness_mm, washer_mpa)
        parts = (self.grip_mm, self.joint_mpa)
        layers = (*[washer][: self.washers.number], parts, *[washer][: self.washers.number - 1])
        return joint_mm_per_n(self.joint, layers, self.bearing_mm, self.hole_mm)

    @property
    def mm_per_n(self) -> float:
        """Compliance of screw and joint together, 1/kb + 1/km: what a newton takes of the thread's advance."""
        return 1 / self.screw_n_per_mm + 1 / self.joint_n_per_mm

    @property
    def stretch_share(self) -> float:
        """Part of the advance that stretches the screw, km / (kb + km); the rest squeezes the joint."""
        screw, joint = self.screw_n_per_mm, self.joint_n_per_mm
        return joint / (screw + joint)

    @property
    def n_per_deg(self) -> float:
        """Tension gained by a degree of turn while everything is elastic: P/360 · kb km / (kb + km).

        M12 × 1.75 with grip 60 mm, half of it shank: 1.06 kN a degree.
        """
        return self.per_degree(self.screw_n_per_mm)

    def per_degree(self, screw_n_per_mm: float) -> float:
        """Return what a degree of turn would gain with a screw of another stiffness."""
        return self.thread.advance_mm(1.0) / (1 / screw_n_per_mm + 1 / self.joint_n_per_mm)

    @property
    def settling_mm(self) -> float:
        """How far thread, seats and seams settle at most; what comes during the turn, the turn does not stretch."""
        if self.given_settling_mm is not None:
            return self.given_settling_mm
        return settling_mm(self.joint, self.washers.number, self.seams)

    @property
    def settling_n(self) -> float:
        """The tension that settling costs at most: its length over the compliance of screw and joint (VDI 2230)."""
        return self.settling_mm / self.mm_per_n

    # -- strength

    @property
    def proof_n(self) -> float | None:
        """Proof load, proof stress times the weakest area (ISO 898-1): 70.0 kN for M12, class 10.9; or None."""
        return None if self.strength.proof_mpa is None else self.strength.proof_mpa * self.weakest_mm2

    @property
    def tensile_n(self) -> float:
        """Load at the least tensile strength."""
        return self.strength.tensile_mpa * self.weakest_mm2

    @property
    def hardest_n(self) -> float | None:
        """Load at the tensile strength of the hardest screw of the class; None where its standard has no limit."""
        return None if self.strength.hardest_mpa is None else self.strength.hardest_mpa * self.weakest_mm2

    def twist_factor(self, thread_friction: float) -> float:
        """Return equivalent stress over tensile stress while tightening, √(1 + 3 (3/2 · d2/d0 · (P/πd2 + 1.155 µ))²).

        Friction in the thread twists the screw; tension and twist make it yield together (von Mises), over the whole
        section (VDI 2230 Part 1, 2003, assembly preload, from memory). M12 with µ 0.12: 1.126.
        """
        d2, d0 = self.thread.d2_mm, math.sqrt(4 * self.weakest_mm2 / math.pi)
        slope = self.thread.pitch_mm / (math.pi * d2) + thread_friction * 2 / math.sqrt(3)
        return math.sqrt(1 + 3 * (1.5 * d2 / d0 * slope) ** 2)

    def yield_n(self, thread_friction: float) -> float:
        """Return the tension at which a screw of the least yield strength yields while it is tightened."""
        return self.strength.yield_mpa * self.weakest_mm2 / self.twist_factor(thread_friction)

    @property
    def yields_n(self) -> tuple[float, float, float]:
        """That tension at low, mid and high friction."""
        friction = self.thread_friction
        return self.yield_n(friction.low), self.yield_n(friction.mid), self.yield_n(friction.high)

    @property
    def elastic_n(self) -> float:
        """The tension up to which every screw of the class springs back: proof stress, twist at high friction."""
        return self.strength.elastic_mpa * self.weakest_mm2 / self.twist_factor(self.thread_friction.high)

    def least_n(self, elastic_n: float) -> float:
        """Return the least tension where elastic formulas give `elastic_n`, of a screw of the least strength.

        Up to its yield strength such a screw keeps at most 0.2 % of its weakest length, from there on it may yield
        without gaining.
        """
        late_n = elastic_n - self._kept_at_yield_n
        return min(elastic_n, max(self.elastic_n, min(late_n, self.yields_n[2])))

    @property
    def _kept_at_yield_n(self) -> float:
        """The tension that 0.2 % of the weakest length costs, of the advance."""
        return YIELD_STRAIN * self.weakest_mm / self.mm_per_n

    @property
    def kinks_n(self) -> tuple[float, float, float]:
        """Where the least tension changes its way: it stands at the elastic limit, rises to yield, stands there."""
        kept = self._kept_at_yield_n
        return self.elastic_n, self.elastic_n + kept, self.yields_n[2] + kept

    def most_n(self, elastic_n: float) -> float:
        """Return the largest tension where elastic formulas give `elastic_n`: no more, nor more than its strength."""
        return min(elastic_n, self.tensile_n)

    # -- torque

    def torque_arm_mm(self, thread_friction: float, head_friction: float) -> float:
        """Return torque over tension, P/2π + µt d2/(2 cos 30°) + µb Db/2, with Db = (face + hole)/2.

        Formula: ISO 16047, VDI 2230; 1/(2 cos 30°) is the 0.577 that ISO 16047 prints. M12 × 1.75 with both µ 0.12 on a
        face of 18 mm round a hole of 13.2 mm: 1.967 mm, so that 100 N·m make 50.8 kN.
        """
        pitch, d2 = self.thread.pitch_mm, self.thread.d2_mm
        mean_bearing_mm = (self.bearing_mm + self.hole_mm) / 2
        return pitch / math.tau + thread_friction * d2 / math.sqrt(3) + head_friction * mean_bearing_mm / 2

    @property
    def arms_mm(self) -> tuple[float, float, float]:
        """Torque over tension at low, mid and high friction."""
        thread, head = self.thread_friction, self.head_friction
        return (
            self.torque_arm_mm(thread.low, head.low),
            self.torque_arm_mm(thread.mid, head.mid),
            self.torque_arm_mm(thread.high, head.high),
        )
