"""What the turn does to the fastener: stiffness, tension after snug and after the turn, and what friction makes of it.

A through screw and nut clamp parts of one material. Everything is elastic, and no tension is given beyond the screw's
proof load. Forces are newtons, stresses and moduli MPa, lengths mm, angles degrees.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import accumulate
from typing import NamedTuple

from .errors import RangeError
from .job import check_witness
from .paper import SIZES, Paper
from .quantities import rounded, shown_degrees, shown_length, trimmed
from .spec import TighteningSpec, Window
from .strength import Strength
from .threads import Thread

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
        low, high = (max(trimmed(value, 3), f"{value:.2f}", key=len) for value in self)
        return low if self.low == self.high else f"{low} to {high}"


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
        self._hold("grip", self.grip_mm, MIN_GRIP * d, MAX_GRIP * d, "--grip")
        self._hold("unthreaded shank within the grip", self.shank_mm, 0.0, self.grip_mm, "--shank and --grip")
        self._hold("hole", self.hole_mm, d, 2 * d, "--hole")
        self._hold("bearing face", self.bearing_mm, 1.05 * self.hole_mm, MAX_BEARING_OVER_DIAMETER * d, "--bearing")
        if not MIN_JOINT_MPA <= self.joint_mpa <= MAX_JOINT_MPA:
            raise RangeError(
                f"the joint's modulus is {self.joint_mpa / 1000:g} GPa",
                f"{MIN_JOINT_MPA / 1000:g} to {MAX_JOINT_MPA / 1000:g} GPa", "check --joint-modulus", self.joint_mpa,
            )  # fmt: skip
        for name, friction in (("thread", self.thread_friction), ("head", self.head_friction)):
            if not MIN_FRICTION <= friction.low <= friction.high <= MAX_FRICTION:
                raise RangeError(
                    f"the {name} friction is {trimmed(friction.low, 6)} to {trimmed(friction.high, 6)}",
                    f"rising limits within {MIN_FRICTION:g} to {MAX_FRICTION:g}", "check the friction", friction,
                )  # fmt: skip

    def _hold(self, name: str, mm: float, low: float, high: float, option: str) -> None:
        if not low <= mm <= high:
            unit = self.thread.unit
            raise RangeError(
                f"the {name} is {shown_length(mm, unit)}",
                f"{shown_length(low, unit)} to {shown_length(high, unit)} with {self.thread.name}",
                f"check {option}",
                mm,
            )

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


class Tensions(NamedTuple):
    """The lowest, the middle and the highest tension; None where the elastic formulas no longer hold (past proof)."""

    low_n: float | None
    mid_n: float | None
    high_n: float | None


class Reached(NamedTuple):
    """Where the fastener is after a stage: turn since snug, with its window if all stages so far have one.

    Stretch of the screw and squeeze of the joint are counted from snug at mid friction; None past the proof load.
    """

    stage: int
    turn_deg: float
    window: Window | None
    advance_mm: float
    tensions: Tensions
    stretch_mm: float | None
    squeeze_mm: float | None


class Scatter(NamedTuple):
    """The tensions that a method leaves, and ± half their range over its middle, in percent; None past the proof load,
    and where the spec says nothing that could scatter.

    `at_most`: the highest passes the proof load, where the screw gains less than it would elastically, so that the
    percentage is an upper bound.
    """

    low_n: float | None
    high_n: float | None
    percent: float | None
    at_most: bool = False


class Comparison(NamedTuple):
    """Torque alone against torque, then turn, aimed at one tension at mid friction: `aim_n`.

    `snug_percent` and `window_percent` are the parts of the angle's scatter that friction at snug and the window leave.
    """

    aim_n: float
    torque_nm: float
    torque_only: Scatter
    then_turn: Scatter | None
    snug_share: float
    snug_percent: float | None
    window_percent: float | None


@dataclass(frozen=True)
class StretchJob:
    """A spec, the fastening that it is for, and the sheet. Lengths are shown in `unit`, "mm" or "in".

    Raises RangeError for turns that contradict `witness`.
    """

    spec: TighteningSpec
    fastening: Fastening
    witness: str = "fresh"
    unit: str = "mm"
    paper: Paper = field(default_factory=lambda: Paper(*SIZES["a4"]))
    title: str = ""

    def __post_init__(self) -> None:
        check_witness(self.spec, self.witness)


class StretchPlan(NamedTuple):
    """All the numbers: after snug, after each stage, the turns at which the proof load is reached, the comparison.

    `proof_turns_deg` are for low, mid and high friction at snug.
    """

    job: StretchJob
    snug: Tensions
    stages: tuple[Reached, ...]
    proof_turns_deg: tuple[float, float, float]
    comparison: Comparison
    warnings: tuple[str, ...]

    @property
    def passes_proof(self) -> bool:
        """Tell whether the turn goes past the proof load at mid friction."""
        return self.stages[-1].tensions.mid_n is None


def plan_stretch(job: StretchJob) -> StretchPlan:
    """Return all the numbers of a job. Raises RangeError when the snug torque alone passes the proof load.

    M12 × 1.75 of class 10.9 with grip 60 mm in steel gains 1.23 kN a degree: 30° make 36.9 kN.
    """
    fastening = job.fastening
    snug = _snug_tensions(job)
    stages = tuple(_reached(job, snug, number) for number in range(1, len(job.spec.stages) + 1))
    at_high, at_mid, at_low = (max(0.0, fastening.proof_n - tension) / fastening.n_per_deg for tension in snug)
    return StretchPlan(
        job,
        _clipped(fastening, *snug),
        stages,
        (at_low, at_mid, at_high),
        _comparison(job, snug),
        tuple(_warnings(job)),
    )


def _snug_tensions(job: StretchJob) -> tuple[float, float, float]:
    """Tension from the snug torque at high, mid and low friction: lowest first."""
    if job.spec.snug is None:
        return 0.0, 0.0, 0.0
    torque, fastening = job.spec.snug, job.fastening
    low, mid, high = (torque.nm * 1000.0 / arm for arm in reversed(fastening.arms_mm))
    if mid >= fastening.proof_n:
        limit = torque.value * fastening.proof_n / mid
        raise RangeError(
            f"the snug torque {torque.both} alone takes {fastening.thread.name}, {fastening.strength.name}, to its "
            "proof load",
            f"less than {rounded(limit, 4)} {torque.unit} at mid friction",
            "check the spec, --screw, --class and the friction", torque,
        )  # fmt: skip
    return low, mid, high


def _warnings(job: StretchJob) -> list[str]:
    """What the spec leaves unsaid, and a snug torque that is too much for some screws."""
    found = []
    if job.spec.snug is None:
        why = "hand tight" if job.spec.hand_tight else "the spec has no snug torque"
        found.append(f"{why}: the tension after snug is taken as zero")
    for number, stage in enumerate(job.spec.stages, 1):
        if stage.window is None:
            name = f"stage {number}, {shown_degrees(stage.turn_deg)}," if len(job.spec.stages) > 1 else "the turn"
            found.append(f"{name} has no tolerance: look it up in the manual; without it there is no window")
    if _snug_tensions(job)[2] > job.fastening.proof_n:
        found.append("at low friction the snug torque alone passes the proof load")
    return found


def total_turns(job: StretchJob) -> list[tuple[float, Window | None]]:
    """Return for each stage the turn since snug and its window, None from the first stage without a tolerance on.

    Turns that begin anew add, and so do their windows; turns that state totals from snug stand as they are.
    """
    stages = job.spec.stages
    if job.witness == "first":
        return [(stage.turn_deg, stage.window) for stage in stages]
    turns = accumulate(stage.turn_deg for stage in stages)
    windows: list[Window | None] = []
    low = high = 0.0
    for stage in stages:
        if stage.window is None or (windows and windows[-1] is None):
            windows.append(None)
            continue
        low, high = low + stage.window.low_deg, high + stage.window.high_deg
        windows.append(Window(low, high))
    return list(zip(turns, windows, strict=True))


def _elastic(job: StretchJob, snug: tuple[float, float, float], number: int) -> tuple[float, float, float]:
    """Lowest, middle and highest tension after a stage, as if everything stayed elastic."""
    turn_deg, window = total_turns(job)[number - 1]
    first, last = window or (turn_deg, turn_deg)
    rate = job.fastening.n_per_deg
    return snug[0] + rate * first, snug[1] + rate * turn_deg, snug[2] + rate * last


def _clipped(fastening: Fastening, low: float, mid: float, high: float) -> Tensions:
    within = fastening.proof_n * (1 + 1e-12)
    return Tensions(*(tension if tension <= within else None for tension in (low, mid, high)))


def _reached(job: StretchJob, snug: tuple[float, float, float], number: int) -> Reached:
    fastening = job.fastening
    turn_deg, window = total_turns(job)[number - 1]
    tensions = _clipped(fastening, *_elastic(job, snug, number))
    advance = fastening.thread.advance_mm(turn_deg)
    stretch = None if tensions.mid_n is None else advance * fastening.stretch_share
    squeeze = None if stretch is None else advance - stretch
    return Reached(number, turn_deg, window, advance, tensions, stretch, squeeze)


def _comparison(job: StretchJob, snug: tuple[float, float, float]) -> Comparison:
    fastening = job.fastening
    low, mid, high = _elastic(job, snug, len(job.spec.stages))
    elastic = _clipped(fastening, low, mid, high)
    aim = fastening.proof_n if elastic.mid_n is None else mid
    arms = fastening.arms_mm
    torque = aim * arms[1]
    by_torque = _clipped(fastening, torque / arms[2], aim, torque / arms[0])
    # The torque balances friction whether or not the screw stays elastic, so that this ratio always holds.
    torque_only = Scatter(by_torque.low_n, by_torque.high_n, 100.0 * (arms[2] - arms[0]) / (arms[2] + arms[0]))
    if elastic.mid_n is None:
        return Comparison(aim, torque / 1000.0, torque_only, None, snug[1] / aim, None, None)
    percent = 100.0 / (low + high)
    window = total_turns(job)[-1][1]
    known = job.spec.snug is not None or window is not None
    return Comparison(
        aim,
        torque / 1000.0,
        torque_only,
        Scatter(elastic.low_n, elastic.high_n, (high - low) * percent if known else None, elastic.high_n is None),
        snug[1] / aim,
        (snug[2] - snug[0]) * percent if job.spec.snug else None,
        fastening.n_per_deg * (window.high_deg - window.low_deg) * percent if window else None,
    )
