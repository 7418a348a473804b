"""Elastic stretch, squeeze and torque of a screw in a joint: formulas only."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from ..errors import RangeError, within
from ..quantities.shown import shown_length, trimmed
from .strength import Strength
from .thread import Thread

STEEL_MPA = 207_000.0
"""Modulus of steel, of the screw always and of the joint by default (Shigley, Table 8-8: 207 GPa, 30.0 Mpsi)."""

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

CONE_TAN = math.tan(math.radians(30.0))
"""Half apex angle of the pressure cones in the joint, 30° (Shigley, 8-5)."""


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
    """A screw in its joint. `shank_mm` is the unthreaded length within the grip, `bearing_mm` and `hole_mm` the
    outside diameter of the face that turns and the clearance hole below it.

    Raises RangeError for what cannot be.
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

    def __post_init__(self) -> None:
        d = self.thread.diameter_mm
        self._hold("grip", self.grip_mm, MIN_GRIP * d, MAX_GRIP * d, "grip")
        advice = "check {@shank} and {@grip}"
        self._hold("unthreaded shank within the grip", self.shank_mm, 0.0, self.grip_mm, "shank", advice)
        self._hold("hole", self.hole_mm, d, 2 * d, "hole")
        self._hold("bearing face", self.bearing_mm, 1.05 * self.hole_mm, MAX_BEARING_OVER_DIAMETER * d, "bearing")
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

    @property
    def screw_n_per_mm(self) -> float:
        """Stiffness of the screw, Ad At E / (Ad lt + At ld) (Shigley, eq. 8-17); head and nut are left out.

        5/8-11 with grip 1.5 in, half of it shank: 5.21 Mlbf/in (Example 8-4).
        """
        shank_area = math.pi / 4 * self.thread.diameter_mm**2
        threaded_mm = self.grip_mm - self.shank_mm
        area = self.thread.area_mm2
        return shank_area * area * STEEL_MPA / (shank_area * threaded_mm + area * self.shank_mm)

    @property
    def joint_n_per_mm(self) -> float:
        """Stiffness of the parts, two 30° frusta (Shigley, eq. 8-20; with a bearing face of 1.5 d it is eq. 8-22).

        5/8-11 with grip 1.5 in in cast iron of 14 Mpsi: 8.95 Mlbf/in (Example 8-4).
        """
        d, face, spread = self.thread.diameter_mm, self.bearing_mm, self.grip_mm * CONE_TAN
        ratio = ((spread + face - d) * (face + d)) / ((spread + face + d) * (face - d))
        return math.pi * self.joint_mpa * d * CONE_TAN / (2 * math.log(ratio))

    @property
    def stretch_share(self) -> float:
        """Part of the advance that stretches the screw, km / (kb + km); the rest squeezes the joint."""
        screw, joint = self.screw_n_per_mm, self.joint_n_per_mm
        return joint / (screw + joint)

    @property
    def n_per_deg(self) -> float:
        """Tension gained by a degree of turn while everything is elastic: P/360 · kb km / (kb + km)."""
        return self.thread.advance_mm(1.0) * self.screw_n_per_mm * self.stretch_share

    @property
    def proof_n(self) -> float:
        """Proof load, proof stress times stress area (ISO 898-1): 70.0 kN for M12, class 10.9."""
        return self.strength.proof_mpa * self.thread.area_mm2

    @property
    def yield_n(self) -> float:
        """Load at the least yield strength."""
        return self.strength.yield_mpa * self.thread.area_mm2

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
