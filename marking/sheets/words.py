"""Sentences and words that several sheets share, and what plans have to say of a spec."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from ..fastening.spec import Stage, TighteningSpec
from ..marks.places import turns_in_words
from ..marks.reading_error import Budget
from ..marks.stage_marks import Witness, marked_anew
from ..quantities.angles import full_turns
from ..quantities.shown import shown_degrees
from ..remarks import Remark, Template

NO_SNUG = Template("no-snug", "the spec has no snug torque: take it from the manual before the turn")
NO_TOLERANCE = Template(
    "no-tolerance",
    "the turn of {turn:deg} has no tolerance: the manual's tolerance is missing, so only a stop line is printed, with "
    "no window and no aim",
)
NO_STAGE_TOLERANCE = Template(
    "no-tolerance",
    "stage {stage}, {turn:deg}, has no tolerance: the manual's tolerance is missing, so only a stop line is printed, "
    "with no window and no aim",
)


def left_open(
    spec: TighteningSpec,
    no_snug: Template = NO_SNUG,
    no_tolerance: Template = NO_TOLERANCE,
    no_stage_tolerance: Template = NO_STAGE_TOLERANCE,
) -> Iterator[Remark]:
    """Yield what a spec leaves open: its snug torque, the tolerance of its turn or of one of its stages."""
    if spec.snug is None and not spec.hand_tight:
        yield no_snug()
    missing = no_stage_tolerance if len(spec.stages) > 1 else no_tolerance
    for number, stage in enumerate(spec.stages, 1):
        if stage.window is None:
            yield missing(stage=number, turn=stage.turn_deg)


CAUTIONS = (
    "The manufacturer's manual decides: torque, angle, order, lubricant and reuse. This sheet only marks the angle.",
    "Fasteners tightened by angle are often for single use: fit new ones when the manual says so.",
    "Clean and oil threads and seats, or leave them dry, exactly as the manual says.",
    "Hand tools only: never use a band, ring, disc or pointer on an impact wrench.",
    "Wear eye protection.",
    "Local rules and licensed practice come before this sheet.",
)

OVERSHOT = (
    "Overshot: stop. Do what the manual says, often a new fastener from the beginning. Never turn back and guess."
)

MARK_NAMES = {
    "start": "START",
    "stop-low": "STOP, low edge",
    "stop-high": "STOP, high edge",
    "stop": "STOP",
    "aim": "aim line",
}


def direction(spec: TighteningSpec) -> str:
    """The way to tighten, in words."""
    turned = "clockwise" if spec.clockwise else "counterclockwise"
    left = "" if spec.clockwise else " (left-hand thread)"
    return f"{turned}, seen from the drive end{left}"


def snug_step(spec: TighteningSpec) -> str:
    """How to reach the snug torque."""
    if spec.hand_tight:
        return "Turn the fastener in until it is hand tight."
    if spec.snug is None:
        return "Tighten to the snug torque that the manual gives, with a torque wrench."
    return f"Tighten to the snug torque, {spec.snug.both}, with a torque wrench, {direction(spec)}."


def whole_turns(stage: Stage, anew: bool) -> str:
    """Whole turns in words, to stand before "until": a window round a whole turn is reached at once, but not meant.

    A turn that does not begin `anew` is a total from snug.
    """
    low, high = stage.window or (stage.turn_deg, stage.turn_deg)
    counted = "" if anew else "counted from snug, "
    if full_turns(high) > full_turns(low):
        return f"{counted}about {turns_in_words(full_turns(high))}, round "
    return f"{counted}{turns_in_words(full_turns(low))}, then on " if full_turns(low) else ""


class Turning(NamedTuple):
    """What a readout calls a turn's marks.

    `kept` says what stays as it was set for the first stage, when a later one counts from snug; `at_line` and
    `in_window` when to stop: "the pointer stands at the line STOP", "… in the window STOP".
    """

    kept: str
    at_line: str
    in_window: str


def stage_steps(
    spec: TighteningSpec,
    witness: Witness,
    budgets: Sequence[Budget],
    set_mark: Callable[[int], str],
    turning: Callable[[int], Turning],
) -> list[str]:
    """For every stage how to set its mark, as `set_mark` says it of a stage's number, and how to turn."""
    steps = []
    for number, (stage, budget) in enumerate(zip(spec.stages, budgets, strict=True), 1):
        lead = f"Stage {number}: " if len(spec.stages) > 1 else ""
        anew, words = marked_anew(witness, number), turning(number)
        if anew:
            steps.append(led(lead, set_mark(number)))
            lead = ""
        begin = "turn" if anew else f"{words.kept} and turn on"
        end = turn_end(stage, anew, words.at_line, words.in_window, budget.aim_deg)
        text = f"{begin} in one smooth pull, {direction(spec)}: {whole_turns(stage, anew)}until {end}"
        steps.append(led(lead, text))
    return steps


def turn_end(
    stage: Stage, anew: bool, at_line: str, in_window: str, aim_deg: float | None = None, missing: str = "look it up"
) -> str:
    """Where a turn ends, to stand behind "until"; `missing` says what to do about a missing tolerance."""
    since = "" if anew else " from snug"
    if stage.window is None:
        return f"{at_line} ({shown_degrees(stage.turn_deg)}{since}). The manual's tolerance is missing: {missing}."
    aim = f", at the aim line ({shown_degrees(aim_deg, 1)})" if aim_deg is not None else ""
    return f"{in_window}, {stage.window.text}{since}{aim}."


def led(lead: str, text: str) -> str:
    """Return a sentence behind its lead, "Stage 2: turn …"; without one it begins with a capital."""
    return lead + text if lead else text[0].upper() + text[1:]


def error_lines(budgets: Sequence[Budget]) -> list[str]:
    """The reading error of each stage and where to aim."""
    return [led(f"Stage {budget.stage}: " if len(budgets) > 1 else "", _error_line(budget)) for budget in budgets]


def _error_line(budget: Budget) -> str:
    error = f"the reading error is ±{shown_degrees(budget.expanded_deg, 1)} (U, k = 2)"
    if budget.window is None:
        return f"{error}; without a tolerance there is no window to aim inside."
    zone = budget.aim_zone
    if zone is None or budget.aim_deg is None:
        return f"{error}: too large to prove the window {budget.window.text}."
    low, high = shown_degrees(zone.low_deg, 1), shown_degrees(zone.high_deg, 1)
    return f"{error}, so aim at {shown_degrees(budget.aim_deg, 1)}, between {low} and {high}."
