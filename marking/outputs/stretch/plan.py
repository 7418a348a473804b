"""What the turn does to the fastener: stiffness, tension after snug and after the turn, and what friction makes of it.

A through screw and nut clamp parts of one material. Everything is elastic, and no tension is given beyond the screw's
proof load. Forces are newtons, stresses and moduli MPa, lengths mm, angles degrees.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import accumulate
from typing import NamedTuple

from ...errors import RangeError
from ...fastening.elastic import Fastening
from ...fastening.spec import FROM_SNUG, TurnStep, Window
from ...quantities.shown import rounded
from ...remarks import Remark, Template
from ...sheets.words import left_open
from .request import StretchRequest

HAND_TIGHT = Template("hand-tight", "hand tight: the tension after snug is taken as zero")
NO_SNUG = Template("no-snug", "the spec has no snug torque: the tension after snug is taken as zero")
NO_TOLERANCE = Template(
    "no-tolerance",
    "the turn has no tolerance, so there is no window; ask the manual's maker for a tolerance where it matters",
)
NO_STAGE_TOLERANCE = Template(
    "no-tolerance",
    "stage {stage}, {turn:deg}, has no tolerance, so there is no window; ask the manual's maker for a tolerance where "
    "it matters",
)
LAST_RUN = Template("last-run", "the figures are those of {run} alone: what comes before it counts no more")
AFTER_TURN = Template("after-turn", "what follows the last turn, {step}, is not in the figures")
SNUG_PASSES_PROOF = Template("snug-passes-proof", "at low friction the snug torque alone passes the proof load")


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


class StretchPlan(NamedTuple):
    """All the numbers: after snug, after each stage, the turns at which the proof load is reached, the comparison.

    `proof_turns_deg` are for low, mid and high friction at snug.
    """

    job: StretchRequest
    snug: Tensions
    stages: tuple[Reached, ...]
    proof_turns_deg: tuple[float, float, float]
    comparison: Comparison
    warnings: tuple[Remark, ...]

    @property
    def passes_proof(self) -> bool:
        """Tell whether the turn goes past the proof load at mid friction."""
        return self.stages[-1].tensions.mid_n is None


def plan(job: StretchRequest) -> StretchPlan:
    """Return all the numbers of a job. Raises RangeError when the snug torque alone passes the proof load.

    M12 × 1.75 of class 10.9 with grip 60 mm in steel gains 1.23 kN a degree: 30° make 36.9 kN.
    """
    fastening = job.fastening
    snug = _snug_tensions(job)
    stages = tuple(_reached(job, snug, number) for number in range(1, len(job.run.stages) + 1))
    at_high, at_mid, at_low = (max(0.0, fastening.proof_n - tension) / fastening.n_per_deg for tension in snug)
    return StretchPlan(
        job,
        _clipped(fastening, *snug),
        stages,
        (at_low, at_mid, at_high),
        _comparison(job, snug),
        tuple(_warnings(job)),
    )


def _snug_tensions(job: StretchRequest) -> tuple[float, float, float]:
    """Tension from the snug torque at high, mid and low friction: lowest first."""
    if job.run.snug is None:
        return 0.0, 0.0, 0.0
    torque, fastening = job.run.snug, job.fastening
    low, mid, high = (torque.nm * 1000.0 / arm for arm in reversed(fastening.arms_mm))
    if mid >= fastening.proof_n:
        limit = torque.value * fastening.proof_n / mid
        raise RangeError(
            f"the snug torque {torque.both} alone takes {fastening.thread.name}, {fastening.strength.name}, to its "
            "proof load",
            f"less than {rounded(limit, 4)} {torque.unit} at mid friction",
            "check the spec, {@screw}, {@strength} and the friction", torque, "spec",
        )  # fmt: skip
    return low, mid, high


def _warnings(job: StretchRequest) -> Iterator[Remark]:
    """What the spec leaves open, and a snug torque that is too much for some screws."""
    yield from _beside_the_run(job)
    if job.run.hand_tight:
        yield HAND_TIGHT()
    yield from left_open(job.run, NO_SNUG, NO_TOLERANCE, NO_STAGE_TOLERANCE, _earlier(job))
    if _snug_tensions(job)[2] > job.fastening.proof_n:
        yield SNUG_PASSES_PROOF()


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


def total_turns(job: StretchRequest) -> list[tuple[float, Window | None]]:
    """Return for each stage the turn since snug and its window, None from the first stage without a tolerance on.

    Turns that begin anew add, and so do their windows; turns that state totals from snug stand as they are.
    """
    stages = job.run.stages
    if job.spec.counted_from == FROM_SNUG:
        return [(stage.turn_deg, stage.window) for stage in stages]
    turns = accumulate(stage.turn_deg for stage in stages)
    return list(zip(turns, accumulate((stage.window for stage in stages), _both), strict=True))


def _both(one: Window | None, other: Window | None) -> Window | None:
    return one and other and Window(one.low_deg + other.low_deg, one.high_deg + other.high_deg)


def _elastic(job: StretchRequest, snug: tuple[float, float, float], number: int) -> tuple[float, float, float]:
    """Lowest, middle and highest tension after a stage, as if everything stayed elastic."""
    turn_deg, window = total_turns(job)[number - 1]
    first, last = window or (turn_deg, turn_deg)
    rate = job.fastening.n_per_deg
    return snug[0] + rate * first, snug[1] + rate * turn_deg, snug[2] + rate * last


def _clipped(fastening: Fastening, low: float, mid: float, high: float) -> Tensions:
    within = fastening.proof_n * (1 + 1e-12)
    return Tensions(*(tension if tension <= within else None for tension in (low, mid, high)))


def _reached(job: StretchRequest, snug: tuple[float, float, float], number: int) -> Reached:
    fastening = job.fastening
    turn_deg, window = total_turns(job)[number - 1]
    tensions = _clipped(fastening, *_elastic(job, snug, number))
    advance = fastening.thread.advance_mm(turn_deg)
    stretch = None if tensions.mid_n is None else advance * fastening.stretch_share
    squeeze = None if stretch is None else advance - stretch
    return Reached(_earlier(job) + number, turn_deg, window, advance, tensions, stretch, squeeze)


def _comparison(job: StretchRequest, snug: tuple[float, float, float]) -> Comparison:
    fastening = job.fastening
    low, mid, high = _elastic(job, snug, len(job.run.stages))
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
    known = job.run.snug is not None or window is not None
    return Comparison(
        aim,
        torque / 1000.0,
        torque_only,
        Scatter(elastic.low_n, elastic.high_n, (high - low) * percent if known else None, elastic.high_n is None),
        snug[1] / aim,
        (snug[2] - snug[0]) * percent if job.run.snug else None,
        fastening.n_per_deg * (window.high_deg - window.low_deg) * percent if window else None,
    )
