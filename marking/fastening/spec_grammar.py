"""Reads a tightening spec from the words of a manual. What has two readings is refused and both are shown.

    spec      = [title ":"] step {joint step} ["."]
    joint     = , ; & + . "then" "and" "plus", a line end, and/or a step's number: "2." "(b)" "Stage 2:"
    step      = fillers (torque | "hand tight" | turn | loosening)
    torque    = amount or range in a unit of torque, with a tolerance and, in brackets, the same in another unit
    turn      = [count "x"] amount or range in degrees, turns or flats, likewise; words that say it is a total
    loosening = "loosen" | "back off" [amount]
    tolerance = ± a | + a / - b | - b / + a | + a - b (plain numbers, less than half the turn) | any of them in brackets

A joint may be missing only between a torque (or hand tight) and a turn. A bare number is never a step.

How stages count is read too. The first turn of a run (see `spec`) is the same both ways. When every later turn
is called a total ("to 180° in all", "180° from snug"), stages count from snug; when only some are, the text is refused.
The parameter `witness` says it where the text does not.
"""

from __future__ import annotations

import re
from functools import lru_cache
from itertools import pairwise

from ..errors import RangeError, TextInputError, shown
from ..quantities.scanner import ANY_CASE
from . import spec_words as words
from .hand import read_thread
from .spec import (
    FROM_SNUG,
    MAX_STAGES,
    MAX_STEPS,
    NEW_MARK,
    HandTightStep,
    Hint,
    LoosenStep,
    Stage,
    Step,
    TighteningSpec,
    TorqueStep,
    TurnStep,
    runs_of,
)
from .spec_measures import Measure, MeasureScanner

WITNESSES = {"fresh": NEW_MARK, "first": FROM_SNUG}

_SAME_TORQUE = 0.05
"""How near two passes in different units are so alike that the second may repeat the first (our choice)."""

_LARGEST_TOLERANCE_DEG = 15
"""Up to this a turn behind a "+", at most a quarter of the turn before it, may be its tolerance (our choice)."""


@lru_cache(maxsize=1024)
def parse_spec(
    text: str, thread: str = "right", points: int | None = None, witness: str | None = None
) -> TighteningSpec:
    """Read a tightening spec such as "20 N·m, 60 N·m, then 90° +10/-0" or "snug tight, then 1/3 turn ±30°".

    `points` says what a flat is: 60° at 6 and 12 points, 90° at 4 and 8; without it a text with flats must state their
    degrees: "2 flats (120°)". `witness` says how stages count: "fresh" from a new mark each, "first" in all from snug.
    `thread` is read by `read_thread`.
    Raises TextInputError with a caret for what cannot be read or has two readings; RangeError for unknown arguments.
    """
    if witness is not None and witness not in WITNESSES:
        raise RangeError(f"the witness is {shown(witness)}", " or ".join(WITNESSES), value=witness, field="witness")
    return _Reader(text, points).spec(read_thread(thread), witness)


class _Reader:
    """One pass over a spec's text."""

    def __init__(self, text: str, points: int | None) -> None:
        self.scan = MeasureScanner(text, points)
        self.steps: list[Step] = []
        self.starts: list[int] = []
        self.said: dict[int, set[str]] = {}  # how a turn counts, "total", "further" or a bare "to", by its number
        self.figures: list[str] = []
        self.joint = ""  # the last one, as typed
        self.worded = False  # whether a word or sign, more than a comma or line end, joins any two steps
        self.numbered: tuple[str, int, int] | None = None  # kind, number and place of the last step's number

    def spec(self, thread: str, witness: str | None) -> TighteningSpec:
        scan = self.scan
        colon = words.title_end(scan.text)
        scan.position = 0 if colon is None else colon + 1
        self._skip_lines()
        self._step_number()
        joined = True
        while True:
            self._step(joined)
            if scan.take(words.END):
                break
            joined = self._joint()
        self._check_figures()
        if not self.said:
            raise scan.failure("has no turn", "a turn behind the torque", "such as + 90° +10/-0", at=len(scan.typed))
        title = scan.typed[: colon or 0].strip()
        counted_from = self._counted_from(witness)
        hints = tuple(self._hints(counted_from == NEW_MARK and witness is None))
        if thread == "right" and words.LEFT_HAND.search(title):
            hints += (("left-hand-title", 0),)
        try:
            return TighteningSpec(tuple(self.steps), thread, counted_from, title, scan.typed, hints)
        except RangeError as failure:
            if not isinstance(failure.value, int):
                raise
            raise self._pointed(self.starts[failure.value], failure) from None

    def _pointed(self, at: int, failure: RangeError) -> TextInputError:
        what, expected, advice = f"in the spec, {failure.what}", failure.expected, failure.advice
        return TextInputError(self.scan.typed, at, what, expected, advice, "spec")

    # --- what stands between steps --------------------------------------------------------------------------------

    def _skip_lines(self) -> bool:
        found = False
        while self.scan.take(words.LINE_END):
            found = True
        return found

    def _joint(self) -> bool:
        """Read what joins two steps and tell whether anything did."""
        scan = self.scan
        begun = scan.position
        found = scan.take(words.MARK) is not None
        found |= self._skip_lines()
        worded = scan.take(words.SYMBOL) is not None
        found |= self._skip_lines()
        for _ in range(3):
            worded |= scan.take(words.JOIN_WORD) is not None
        self.worded |= worded
        self.joint = scan.text[begun : scan.position].strip().lower()
        found |= worded | self._step_number()
        if not found and not isinstance(self.steps[-1], TorqueStep | HandTightStep):
            raise scan.unexpected("the end, or “then”, “+” or a comma before the next step")
        return found

    def _step_number(self) -> bool:
        scan = self.scan
        scan.skip_spaces()
        at = scan.position
        found = scan.take(words.STEP_NUMBER)
        if not found:
            return False
        kind, number = found.lastgroup or "", words.step_number(found)
        last_kind, last, _ = self.numbered or (kind, 0, 0)
        if self.numbered is None and self.steps:
            raise scan.failure("numbers a step but not the first", "numbers at all steps, or at none", at=at)
        if (kind, number) != (last_kind, last + 1):
            raise scan.failure(f"has step {number} after step {last}", "steps numbered 1, 2, 3 in one way", at=at)
        self.numbered = (kind, number, at)
        self._skip_lines()
        return True

    def _check_figures(self) -> None:
        """Refuse points that may belong to step numbers or to decimals: "1. 5 N·m", "1.30 N·m, 2.60 N·m"."""
        dotted = [re.match(rf"{index}\.\d", figures) for index, figures in enumerate(self.figures, 1)]
        decimals = not self.numbered and not self.worded and len(dotted) > 1 and all(dotted)
        if decimals or (self.numbered is not None and self.numbered[:2] == ("dot", 1)):
            at = self.numbered[2] if self.numbered else self.starts[0]
            advice = "number all steps with a blank behind each point, or none"
            raise self.scan.two_ways(at, "steps numbered 1, 2 …", "a number with decimals", advice)

    # --- steps ----------------------------------------------------------------------------------------------------

    def _step(self, joined: bool) -> None:
        scan = self.scan
        scan.skip_spaces()
        at = scan.position
        if len(self.steps) >= MAX_STEPS:
            raise scan.failure("has too many steps", f"at most {MAX_STEPS}")
        seen: set[str] = set()
        for _ in range(12):
            if scan.take(words.LOOSEN):
                return self._loosen(at, joined)
            if found := scan.take(words.HAND_TIGHT):
                how = "snug" if found["snug"] else (found["how"] or "hand").lower()
                return self._add(at, joined, HandTightStep(f"{how} tight", self._typed(at)))
            name = next((name for name, pattern in words.BEFORE.items() if scan.take(pattern)), None)
            if name is None:
                break
            seen.add(name)
        times, measure = scan.repeated_measure("between" in seen, MAX_STAGES)
        self.figures.append(measure.first.raw)
        if measure.is_torque:
            if seen & {"total", "further"}:
                raise scan.failure("counts a torque up", "each torque as the wrench is set", at=at)
            scan.take(words.TORQUE_NOUN)
            self._add(at, joined, self._torque(at, measure))
        else:
            self._turn(at, joined, times, measure, seen)

    def _typed(self, at: int) -> str:
        return self.scan.typed[at : self.scan.position].strip()

    def _add(self, at: int, joined: bool, step: Step) -> None:
        if not joined and not isinstance(step, TurnStep):
            raise self.scan.unexpected("a turn, or “then”, “+” or a comma before the next step", at=at)
        self.steps.append(step)
        self.starts.append(at)

    def _torque(self, at: int, measure: Measure) -> TorqueStep:
        plus, minus = (None if side is None else float(side) for side in (measure.plus, measure.minus))
        try:
            step = TorqueStep(float(measure.value), measure.unit, plus, minus, self._typed(at), measure.shown)
        except RangeError as failure:
            raise self._pointed(measure.first.at, failure) from None
        before = self.steps[-1] if self.steps else None
        other = before if isinstance(before, TorqueStep) and before.unit != step.unit else None
        if other and abs(step.nm - other.nm) <= _SAME_TORQUE * other.nm:
            raise self.scan.two_ways(
                at, f"{other.read_as}, then {step.read_as}", f"{other.read_as} ({step.read_as})",
                "put the same torque in another unit in brackets",
            )  # fmt: skip
        return step

    def _turn(self, at: int, joined: bool, times: int, measure: Measure, seen: set[str]) -> None:
        scan = self.scan
        if measure.unit == "°":
            scan.take(words.TURN_NOUN)
        for _ in range(3):
            name = next((name for name, pattern in words.BEHIND.items() if scan.take(pattern)), None)
            if name is None:
                break
            seen.add(name)
        if {"total", "further"} <= seen:
            raise scan.two_ways(at, f"{measure.shown} in all", f"a further {measure.shown}", "say which")
        if "total" in seen and measure.from_to:
            raise scan.two_ways(
                measure.first.at, f"a range {measure.shown} in all", f"{measure.first.text}, then on to a total",
                "write a range as 90–100°",
            )  # fmt: skip
        self._refuse_one_sided_tolerance(at, measure)
        plus, minus = (None if side is None else float(side) for side in (measure.plus, measure.minus))
        try:
            stage = Stage(float(measure.value), plus, minus, measure.shown)
        except RangeError as failure:
            raise self._pointed(measure.first.at, failure) from None
        for _ in range(times):
            number = len(self.said) + 1
            if number > MAX_STAGES or len(self.steps) >= MAX_STEPS:
                raise scan.failure("has too many turns or steps", f"at most {MAX_STAGES} and {MAX_STEPS}", at=at)
            self.said[number] = seen
            self._add(at, joined, TurnStep(number, stage, self._typed(at)))

    def _refuse_one_sided_tolerance(self, at: int, measure: Measure) -> None:
        """Refuse "90° + 5°", which may mean 90 to 95°."""
        before = self.steps[-1] if self.steps else None
        behind_plus = self.joint.endswith(("+", "plus"))  # alone, or behind a comma: "90°, +10°"
        if not isinstance(before, TurnStep) or not behind_plus or at != measure.first.at:
            return
        if measure.plus is None and measure.value <= min(_LARGEST_TOLERANCE_DEG, before.stage.turn_deg / 4):
            raise self.scan.two_ways(
                at, f"{before.read_as}, then {measure.shown}", f"{before.read_as} +{measure.shown}/−0°",
                "join steps with “then”, and write tolerances as +10/-0",
            )  # fmt: skip

    def _loosen(self, at: int, joined: bool) -> None:
        scan = self.scan
        scan.skip_spaces()
        next_step = self.numbered and words.STEP_NUMBER.match(scan.text, scan.position)
        if not next_step and re.compile(words.AMOUNT_AHEAD, ANY_CASE).match(scan.text, scan.position):
            turn = scan.simple_turn()
            scan.take(words.TURN_NOUN)
            try:
                step = LoosenStep(float(turn.value), self._typed(at), f"loosen {turn.shown}")
            except RangeError as failure:
                raise self._pointed(turn.first.at, failure) from None
        else:
            step = LoosenStep(None, self._typed(at))
        self._add(at, joined, step)

    # --- how stages count -----------------------------------------------------------------------------------------

    def _counted_from(self, witness: str | None) -> str:
        """Return how the stages count, and refuse a mixture."""
        self._refuse_total_without_snug()
        later = [turn for run in runs_of(self.steps) for turn in run.turns[1:]]
        if witness is None:
            any_total = any("total" in said for said in self.said.values())
            from_snug = any_total and (not later or not all("further" in self.said[turn.number] for turn in later))
        else:
            from_snug = WITNESSES[witness] == FROM_SNUG
        for turn in later:
            total, further, to = (word in self.said[turn.number] for word in ("total", "further", "to"))
            if (not total and (further or witness is None)) if from_snug else (to or total):
                raise self.scan.two_ways(
                    self.starts[self.steps.index(turn)],
                    f"a further {turn.read_as}", f"{turn.read_as} in all from snug",
                    "say it of every turn, with “a further …” or “… from snug”, and choose the witness mark alike",
                )  # fmt: skip
        return FROM_SNUG if from_snug else NEW_MARK

    def _refuse_total_without_snug(self) -> None:
        for index, (before, step) in enumerate(pairwise(self.steps), 1):
            if isinstance(before, LoosenStep) and isinstance(step, TurnStep):
                raise self.scan.failure(
                    "has a turn straight after a loosening", "a torque or “hand tight” to count the turn from",
                    at=self.starts[index],
                )  # fmt: skip

    def _hints(self, unsaid: bool) -> list[Hint]:
        """Return the codes of what is readable but odd; see `TighteningSpec`."""
        found: list[Hint] = []
        for index, (before, step) in enumerate(pairwise(self.steps), 1):
            if isinstance(before, TorqueStep) and isinstance(step, TorqueStep) and step.nm < before.nm:
                found.append(("falling-torque", index + 1))
        highest = 0.0
        for index, step in enumerate(self.steps):
            if isinstance(step, LoosenStep):
                highest = 0.0
            elif isinstance(step, TorqueStep):
                if step.nm <= highest and isinstance(self.steps[index - 1], TurnStep):
                    found.append(("second-fastener", index + 1))
                highest = max(highest, step.nm)
        for _, turns in runs_of(self.steps):
            degs = [turn.stage.turn_deg for turn in turns]
            grows = len(degs) > 1 and all(a < b for a, b in pairwise(degs))
            if unsaid and grows and not all("further" in self.said[turn.number] for turn in turns[1:]):
                found.append(("growing-turns", sum(degs)))
        return found
