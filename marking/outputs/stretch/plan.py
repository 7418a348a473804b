"""What the turn does to the fastener: tension after snug and after the turn, what beyond yield is left of it, scatter.

Elastic up to the tension at which a screw of its class's least strength yields in tension and twist together; beyond it
there are bounds, and no middle. Forces are newtons, stresses and moduli MPa, lengths mm, angles degrees.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import accumulate
from typing import Literal, NamedTuple

from ...errors import RangeError
from ...fastening.elastic import USUAL_FRICTION, Fastening
from ...fastening.spec import FROM_SNUG, TorqueStep, TurnStep, Window
from ...quantities.shown import rounded
from ...remarks import Remark
from ...sheets.words import left_open
from .reading import reading_error_deg
from .request import StretchRequest
from .words import (
    AFTER_TURN,
    HAND_TIGHT,
    LAST_RUN,
    MAY_BREAK,
    NO_SNUG,
    NO_STAGE_TOLERANCE,
    NO_TOLERANCE,
    SNUG_PASSES_YIELD,
    STAINLESS,
)

SMALL_TORQUE_NM, SMALL_TORQUE_PERCENT, WRENCH_PERCENT = 10.0, 6.0, 4.0
"""Largest errors of a torque wrench up to 10 N·m and above, in percent (ISO 6789-1, type II, setting tools with a
scale, from memory)."""

BREAKS_OVER_ELONGATION = 0.5
"""Plastic stretch of the weakest length, over the elongation of a tension test, from which on a screw may break (our
choice: a screw is twisted as well, and its thread necks early)."""

Source = Literal["friction", "wrench", "tolerance", "window", "reading", "settling"]
"""Where scatter comes from; `tolerance` is that of the snug torque."""


class Tensions(NamedTuple):
    """The lowest, the middle and the highest tension; no middle where the screw may have yielded at mid friction."""

    low_n: float
    mid_n: float | None
    high_n: float


class Plastic(NamedTuple):
    """Least and most that a screw of its class's least strength keeps of its stretch, and as parts of a length.

    The least share is that of the whole loaded length, evenly stretched; the most that of its weakest length alone.
    """

    low_mm: float
    high_mm: float
    low_share: float
    high_share: float


class Reached(NamedTuple):
    """Where the fastener is after a stage: turn since snug, with its window if all stages so far have one.

    Stretch of the screw and squeeze of the joint are counted from snug at mid friction; None where there is no middle.
    `reading_deg` is the error with which the turn since snug is read.
    """

    stage: int
    turn_deg: float
    window: Window | None
    reading_deg: float
    advance_mm: float
    tensions: Tensions
    stretch_mm: float | None
    squeeze_mm: float | None
    plastic: Plastic


class Part(NamedTuple):
    """What one source leaves of the scatter: ± percent of the middle."""

    source: Source
    percent: float


class Scatter(NamedTuple):
    """An interval of tension: every limit taken on its worse side at once, and ± half its width over its middle.

    `high_n` is None where the screw may break. There are no `parts` where the screw's own strength bounds the interval.
    """

    low_n: float
    high_n: float | None
    percent: float
    parts: tuple[Part, ...]


class Comparison(NamedTuple):
    """Torque alone against torque, then turn, aimed at one tension at mid friction: `aim_n`; the yield where passed.

    `harder_percent` is the scatter of torque, then turn for bolts up to their class's limit of hardness, None without
    one.
    """

    aim_n: float
    torque_nm: float
    torque_only: Scatter
    then_turn: Scatter
    snug_share: float
    harder_percent: float | None


class StretchPlan(NamedTuple):
    """All the numbers: after snug, after each stage, the turns at which the screw yields, the comparison.

    `yield_turns_deg` are the soonest over all limits, that at mid friction, and the latest; `proof_turn_deg` is where
    the elastic formulas reach the proof load at mid friction, None without a proof load.
    """

    job: StretchRequest
    wrench_percent: float
    snug: Tensions
    stages: tuple[Reached, ...]
    yield_turns_deg: tuple[float, float, float]
    proof_turn_deg: float | None
    comparison: Comparison
    warnings: tuple[Remark, ...]

    @property
    def last(self) -> Reached:
        """Where it ends."""
        return self.stages[-1]

    @property
    def passes_yield(self) -> bool:
        """Tell whether the turn goes past yield at mid friction."""
        return self.last.tensions.mid_n is None

    @property
    def all_yield(self) -> bool:
        """Tell whether every screw of just its class's strength yields, so that its strength bounds the tension."""
        return self.last.tensions.low_n == self.job.fastening.yields_n[2]

    @property
    def may_yield(self) -> bool:
        """Tell whether the turn may leave plastic stretch in some screw, so that it is for one use."""
        return self.last.plastic.high_mm > 0


class Snug(NamedTuple):
    """Tension after snug as the elastic formulas have it, lowest, middle, highest, and what its range is made of."""

    low_n: float
    mid_n: float
    high_n: float
    ranges_n: tuple[tuple[Source, float], ...]


class Turned(NamedTuple):
    """The turn since snug after a stage, its window, and the error with which it is read."""

    turn_deg: float
    window: Window | None
    reading_deg: float


def plan(job: StretchRequest) -> StretchPlan:
    """Return all the numbers of a job. Raises RangeError when the snug torque alone makes the screw yield.

    M12 × 1.75 of class 10.9 with grip 60 mm in steel, all of it thread, gains 0.94 kN a degree: 30° make 28.1 kN.
    """
    fastening = job.fastening
    snug = _snug(job)
    stages = tuple(_reached(job, snug, *numbered) for numbered in enumerate(turned(job), 1))
    proof_n = fastening.proof_n
    return StretchPlan(
        job,
        _wrench_percent(job),
        Tensions(fastening.least_n(snug.low_n), snug.mid_n, fastening.most_n(snug.high_n)),
        stages,
        _yield_turns_deg(fastening, snug),
        None if proof_n is None else max(0.0, proof_n - snug.mid_n) / fastening.n_per_deg,
        _comparison(job, snug),
        tuple(_warnings(job, snug, stages[-1].plastic)),
    )


def _yield_turns_deg(fastening: Fastening, snug: Snug) -> tuple[float, float, float]:
    """The turns to yield: soonest, at mid friction, latest.

    Thread and head need not rub alike: after little snug torque a screw yields soonest with a thread that sticks.
    """
    thread, head = fastening.thread_friction, fastening.head_friction
    strong, _, weak = fastening.arms_mm
    of_thread = (thread.low, thread.mid, thread.high)

    def left_n(friction: float, head_friction: float, snug_nmm: float) -> float:
        return fastening.yield_n(friction) - snug_nmm / fastening.torque_arm_mm(friction, head_friction)

    soonest = min(left_n(friction, head.low, snug.high_n * strong) for friction in of_thread)
    latest = max(left_n(friction, head.high, snug.low_n * weak) for friction in of_thread)
    rate = fastening.n_per_deg
    return max(0.0, soonest) / rate, (fastening.yields_n[1] - snug.mid_n) / rate, latest / rate


def _wrench_percent(job: StretchRequest) -> float:
    if job.given_wrench_percent is not None:
        return job.given_wrench_percent
    small = job.run.snug is not None and job.run.snug.nm <= SMALL_TORQUE_NM
    return SMALL_TORQUE_PERCENT if small else WRENCH_PERCENT


def _snug(job: StretchRequest) -> Snug:
    """Tension from the snug torque: its tolerance, the wrench and friction each on its worse side."""
    step = job.run.snugs[0]
    if not isinstance(step, TorqueStep):
        return Snug(0.0, 0.0, 0.0, ())
    fastening, wrong = job.fastening, _wrench_percent(job) / 100.0
    strong, mid, weak = (1000.0 / arm for arm in fastening.arms_mm)
    low_nm, high_nm = step.low_nm or step.nm, step.high_nm or step.nm
    torque, middle_n, limit_n = step.torque, step.nm * mid, fastening.yields_n[1]
    if middle_n >= limit_n:
        limit = torque.value * limit_n / middle_n
        raise RangeError(
            f"the snug torque {torque.both} alone takes {fastening.thread.name}, {fastening.strength.name}, to its "
            "yield",
            f"less than {rounded(limit, 4)} {torque.unit} at mid friction",
            "check the spec, {@screw}, {@strength} and the friction", torque, "spec",
        )  # fmt: skip
    by_friction = step.nm * (strong - weak)
    by_tolerance = (high_nm - step.nm) * strong + (step.nm - low_nm) * weak
    by_wrench = wrong * (high_nm * strong + low_nm * weak)
    found: tuple[tuple[Source, float], ...] = (
        ("friction", by_friction), ("tolerance", by_tolerance), ("wrench", by_wrench),
    )  # fmt: skip
    return Snug(
        low_nm * (1 - wrong) * weak,
        middle_n,
        high_nm * (1 + wrong) * strong,
        tuple((source, newtons) for source, newtons in found if newtons > 0),
    )


def _warnings(job: StretchRequest, snug: Snug, plastic: Plastic) -> Iterator[Remark]:
    """What the spec leaves open, a snug torque that is too much for some screws, and a turn that may break one."""
    yield from _beside_the_run(job)
    if job.run.hand_tight:
        yield HAND_TIGHT()
    yield from left_open(job.run, NO_SNUG, NO_TOLERANCE, NO_STAGE_TOLERANCE, _earlier(job))
    if snug.high_n > job.fastening.yields_n[0]:
        yield SNUG_PASSES_YIELD()
    if job.fastening.strength.stainless and job.fastening.thread_friction == USUAL_FRICTION:
        yield STAINLESS()
    elongation = job.fastening.strength.elongation
    if elongation and plastic.high_share >= BREAKS_OVER_ELONGATION * elongation:
        yield MAY_BREAK(share=100.0 * plastic.high_share, elongation=100.0 * elongation)


def _earlier(job: StretchRequest) -> int:
    """How many stages come before the last run."""
    return len(job.spec.stages) - len(job.run.stages)


def _beside_the_run(job: StretchRequest) -> Iterator[Remark]:
    """Turns and loosenings before the last run, and a torque behind it: they are not in the figures."""
    if _earlier(job):
        yield LAST_RUN(run=job.run.read_as)
    last = job.spec.steps[-1]
    if not isinstance(last, TurnStep):
        yield AFTER_TURN(step=last.read_as)


def turned(job: StretchRequest) -> list[Turned]:
    """Return for each stage the turn since snug and its window, None from the first stage without a tolerance on.

    Turns that begin anew add, and so do their windows and reading errors; turns that state totals from snug stand as
    they are.
    """
    stages = [
        Turned(stage.turn_deg, stage.window, _reading_deg(job, stage.turn_deg, stage.window))
        for stage in job.run.stages
    ]
    return stages if job.spec.counted_from == FROM_SNUG else list(accumulate(stages, _both))


def _reading_deg(job: StretchRequest, turn_deg: float, window: Window | None) -> float:
    if job.given_reading_deg is not None:
        return job.given_reading_deg
    return reading_error_deg(job.readout, job.od_mm, turn_deg, window)


def _both(one: Turned, other: Turned) -> Turned:
    window = (
        Window(one.window.low_deg + other.window.low_deg, one.window.high_deg + other.window.high_deg)
        if one.window and other.window
        else None
    )
    return Turned(one.turn_deg + other.turn_deg, window, one.reading_deg + other.reading_deg)


def _elastic(fastening: Fastening, snug: Snug, turn: Turned) -> tuple[float, float, float]:
    """Lowest, middle and highest tension after a turn, as if everything stayed elastic."""
    first, last = turn.window or (turn.turn_deg, turn.turn_deg)
    rate = fastening.n_per_deg
    low = snug.low_n + rate * (first - turn.reading_deg) - fastening.settling_n
    return max(0.0, low), snug.mid_n + rate * turn.turn_deg, snug.high_n + rate * (last + turn.reading_deg)


def _reached(job: StretchRequest, snug: Snug, number: int, turn: Turned) -> Reached:
    fastening = job.fastening
    low, mid, high = _elastic(fastening, snug, turn)
    elastic = mid <= fastening.yields_n[1]
    advance = fastening.thread.advance_mm(turn.turn_deg)
    stretch = advance * fastening.stretch_share if elastic else None
    return Reached(
        _earlier(job) + number,
        *turn,
        advance,
        Tensions(fastening.least_n(low), mid if elastic else None, fastening.most_n(high)),
        stretch,
        None if stretch is None else advance - stretch,
        _plastic(fastening, low, high),
    )


def _plastic(fastening: Fastening, low: float, high: float) -> Plastic:
    """What the advance makes beyond what the tension takes of it, between the bounds of both."""
    least = (low - fastening.most_n(low)) * fastening.mm_per_n
    most = (high - fastening.least_n(high)) * fastening.mm_per_n
    return Plastic(least, most, least / fastening.loaded_mm, most / fastening.weakest_mm)


def _comparison(job: StretchRequest, snug: Snug) -> Comparison:
    fastening = job.fastening
    turn = turned(job)[-1]
    _, mid, _ = _elastic(fastening, snug, turn)
    aim = min(mid, fastening.yields_n[1])
    torque = aim * fastening.arms_mm[1]
    return Comparison(
        aim, torque / 1000.0, _by_torque(job, torque), _by_turn(fastening, snug, turn), snug.mid_n / aim,
        _harder_percent(fastening, snug, turn),
    )  # fmt: skip


def _harder_percent(fastening: Fastening, snug: Snug, turn: Turned) -> float | None:
    if fastening.hardest_n is None:
        return None
    low, _, high = _elastic(fastening, snug, turn)
    least, most = fastening.least_n(low), min(high, fastening.hardest_n)
    return 100.0 * (most - least) / (most + least)


def _by_torque(job: StretchRequest, torque_nmm: float) -> Scatter:
    """What a torque alone leaves. It balances friction whether or not the screw yields, until the screw breaks."""
    strong, _, weak = (torque_nmm / arm for arm in job.fastening.arms_mm)
    wrong = _wrench_percent(job) / 100.0
    low, high = weak * (1 - wrong), strong * (1 + wrong)
    percent = 100.0 / (low + high)
    parts = (Part("friction", (strong - weak) * percent), Part("wrench", wrong * (strong + weak) * percent))
    return Scatter(low, high if high <= job.fastening.tensile_n else None, (high - low) * percent, parts)


def _by_turn(fastening: Fastening, snug: Snug, turn: Turned) -> Scatter:
    """What snug and turn leave: the elastic interval and what it is made of, or what the screw's strength bounds."""
    low, _, high = _elastic(fastening, snug, turn)
    least, most = fastening.least_n(low), fastening.most_n(high)
    percent = 100.0 / (least + most)
    if (least, most) != (low, high):
        return Scatter(least, most, (most - least) * percent, ())
    window = turn.window.high_deg - turn.window.low_deg if turn.window else 0.0
    ranges: list[tuple[Source, float]] = [
        *snug.ranges_n,
        ("window", fastening.n_per_deg * window),
        ("reading", 2 * fastening.n_per_deg * turn.reading_deg),
        ("settling", fastening.settling_n),
    ]
    # Where the lowest tension would be below zero, the parts together are larger than what is left of them.
    each = percent * (high - low) / (math.fsum(n for _, n in ranges) or 1.0)
    return Scatter(low, high, (high - low) * percent, tuple(Part(source, n * each) for source, n in ranges if n))
