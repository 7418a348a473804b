"""Sentences and words that several sheets share, and what plans have to say of a spec."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import NamedTuple

from ..fastening.spec import HandTightStep, LoosenStep, Stage, Step, TighteningSpec, TorqueStep, TurnStep
from ..marks.places import turns_in_words
from ..marks.reading_error import Budget
from ..marks.stage_marks import Mark
from ..quantities.angles import full_turns
from ..quantities.shown import shown_degrees
from ..remarks import Remark, Template

NO_SNUG = Template("no-snug", "the spec has no snug torque: take it from the manual before the turn")
NO_TOLERANCE = Template(
    "no-tolerance",
    "the turn of {turn:deg} has no tolerance, so only a stop line is printed, with no window and no aim: stop at the "
    "line, not short of it; ask the manual's maker for a tolerance where it matters",
)
NO_STAGE_TOLERANCE = Template(
    "no-tolerance",
    "stage {stage}, {turn:deg}, has no tolerance, so only a stop line is printed, with no window and no aim: stop at "
    "the line, not short of it; ask the manual's maker for a tolerance where it matters",
)
GROWING_TURNS = Template(
    "growing-turns",
    "every turn counts from a new mark, {value:deg} from snug in all; if the manual's turns are totals, say so, with "
    "{@witness} first",
)
FALLING_TORQUE = Template(
    "falling-torque", "step {value:.0f} tightens to less than the step before it; if the manual loosens first, say so"
)
SECOND_FASTENER = Template(
    "second-fastener",
    "step {value:.0f} comes after a turn and tightens to no more than a step before it: if these are two fasteners, "
    "make a job for each; if the manual loosens first, say so",
)
LEFT_HAND_TITLE = Template(
    "left-hand-title", "the title speaks of a left-hand thread, but {@thread} is right: all marks are for right-hand"
)
HINTS = {hint.code: hint for hint in (GROWING_TURNS, FALLING_TORQUE, SECOND_FASTENER, LEFT_HAND_TITLE)}


def left_open(
    spec: TighteningSpec,
    no_snug: Template = NO_SNUG,
    no_tolerance: Template = NO_TOLERANCE,
    no_stage_tolerance: Template = NO_STAGE_TOLERANCE,
    earlier: int = 0,
) -> Iterator[Remark]:
    """Yield what a spec leaves open or what may be meant otherwise; stages are counted on from `earlier` ones.

    That is how growing turns count, a torque that falls, a hand that the title contradicts, the snug torque, and the
    tolerance of a turn.
    """
    yield from (HINTS[code](value=value) for code, value in spec.hints)
    if spec.snugs[0] is None:
        yield no_snug()
    missing = no_stage_tolerance if earlier + len(spec.stages) > 1 else no_tolerance
    for number, stage in enumerate(spec.stages, earlier + 1):
        if stage.window is None:
            yield missing(stage=number, turn=stage.turn_deg)


CAUTIONS = (
    "The manufacturer's manual decides: torque, angle, order, lubricant and reuse. This sheet only marks the angle.",
    "Fasteners tightened by angle are often for single use: fit new ones when the manual says so.",
    "Clean and oil threads and seats, or leave them dry, exactly as the manual says.",
    "Hand tools only: never use a band, ring, disc, pointer or marked socket on an impact wrench.",
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


def mark_name(mark: Mark, several: bool) -> str:
    """Return what a mark is called in a table, with its stage where there are `several`."""
    return MARK_NAMES[mark.kind] + (f" ({mark.stage})" if several and mark.stage else "")


def direction(spec: TighteningSpec, loosening: bool = False) -> str:
    """The way to tighten, or to loosen, in words."""
    turned = "clockwise" if spec.clockwise is not loosening else "counterclockwise"
    left = "" if spec.clockwise else " (left-hand thread)"
    return f"{turned}, seen from the drive end{left}"


VOID_MARK = "The witness mark no longer counts: wipe it off."


def steps_of(
    spec: TighteningSpec, turn: Callable[[int], Iterable[str]], void: str, every: str = "", then: str = ""
) -> Iterator[str]:
    """Yield what to do, in the order of the spec; `turn` says it of a stage's number.

    `void` is added to the first step after a turn, as the marks made for it count no more. `every` (" all") stands for
    what is tightened, `then` behind every step but the turns.
    """
    before: Step | None = None
    if isinstance(spec.steps[0], TurnStep):
        yield f"Tighten{every} to the snug torque that the manual gives, with a torque wrench.{then}"
    for step, after in zip_longest(spec.steps, spec.steps[1:]):
        if isinstance(step, TurnStep):
            yield from turn(step.number)
        else:
            ended = f" {void}" if isinstance(before, TurnStep) else ""
            yield f"{_other_step(spec, step, isinstance(after, TurnStep), every)}{then}{ended}"
        before = step


def _other_step(spec: TighteningSpec, step: Step, to_snug: bool, every: str) -> str:
    """How to do a step that is no turn; `to_snug` when a turn follows it."""
    match step:
        case TorqueStep():
            to = f"the snug torque, {step.both}," if to_snug else step.both
            return f"Tighten{every} to {to} with a torque wrench, {direction(spec)}."
        case LoosenStep():
            how = "fully" if step.deg is None else f"by {step.read_as.removeprefix('loosen ')}"
            return f"Loosen{every} {how}: turn {direction(spec, loosening=True)}."
        case HandTightStep(words="snug tight"):
            return f"Tighten{every} until snug tight, as the manual describes it, {direction(spec)}."
        case _:
            what, are = ("all", "they are") if every else ("the fastener", "it is")
            return f"Turn {what} in until {are} {step.read_as}."


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

    `kept` says what stays as it was set for the stage before, when a later one counts from snug; `at_line` and
    `in_window` when to stop: "the pointer stands at the line STOP", "… in the window STOP".
    """

    kept: str
    at_line: str
    in_window: str


def stage_steps(
    spec: TighteningSpec, number: int, aim_deg: float | None, set_mark: Sequence[str], turning: Turning
) -> list[str]:
    """How to set the mark of a stage where it begins anew, in the sentences `set_mark`, and how to turn."""
    stage, anew = spec.stages[number - 1], spec.marked_anew(number)
    lead = f"Stage {number}: " if len(spec.stages) > 1 else ""
    begin = "turn" if anew else f"{turning.kept} and turn on"
    end = turn_end(stage, anew, turning.at_line, turning.in_window, aim_deg)
    text = f"{begin} in one smooth pull, {direction(spec)}: {whole_turns(stage, anew)}until {end}"
    if not anew:
        return [led(lead, text)]
    *first, mark = set_mark
    total_deg = spec.totals_from_snug_deg[number - 1]
    in_all = f" That makes {shown_degrees(total_deg)} from snug in all." if total_deg != stage.turn_deg else ""
    return [*first, led(lead, mark), led("", text) + in_all]


NO_WINDOW = (
    "Without a tolerance there is no window to aim inside: stop at the line, not short of it; ask the manual's maker "
    "for a tolerance where it matters."
)
NO_TOLERANCE_GIVEN = (
    "The manual gives no tolerance: stop at the line, not short of it; ask the manual's maker for a tolerance where it "
    "matters"
)


def turn_end(
    stage: Stage, anew: bool, at_line: str, in_window: str, aim_deg: float | None = None, then: str = ""
) -> str:
    """Where a turn ends, to stand behind "until"; `then` says what else to do where the manual gives no tolerance."""
    since = "" if anew else " from snug"
    if stage.window is None:
        return f"{at_line} ({shown_degrees(stage.turn_deg)}{since}). {NO_TOLERANCE_GIVEN}{then}."
    aim = f", at the aim line ({shown_degrees(aim_deg, 1)})" if aim_deg is not None else ""
    return f"{in_window}, {stage.window.text}{since}{aim}."


def led(lead: str, text: str) -> str:
    """Return a sentence behind its lead, "Stage 2: turn …"; without one it begins with a capital."""
    return lead + text if lead else text[0].upper() + text[1:]


RESTS_ON = "Working assumptions, U with k = 2:"
YOUR_OWN = "Where yours differ, give your own."
"""What stands before and behind the assumptions of a reading error."""


Judged = tuple[Sequence[Budget], Sequence[Remark | None]]
"""The budgets of a readout, by stage, and what can prove a window that it cannot: one a budget, or none at all."""


def error_lines(readouts: Mapping[str, Judged]) -> list[str]:
    """Where to aim on each readout and its reading error, by stage, and what to do where there is no tolerance."""
    lines, judged = [], [budget for budgets, _ in readouts.values() for budget in budgets]
    for readout, (budgets, remedies) in readouts.items():
        for budget, remedy in zip_longest(budgets, remedies):
            stage = f", stage {budget.stage}" if len(budgets) > 1 else ""
            can = "" if remedy is None else f" {led('', str(remedy))}."
            lines.append(f"{led('', readout)}{stage}: {_error_line(budget)}{can}")
    return [*lines, *([NO_WINDOW] if any(budget.window is None for budget in judged) else [])]


def _error_line(budget: Budget) -> str:
    error = f"give or take {shown_degrees(budget.expanded_deg, 1)}"
    zone = budget.aim_zone
    if budget.window is None:
        return f"a reading is right {error}."
    if zone is None or budget.aim_deg is None:
        if budget.verdict == "unproved":
            return f"no aim. A reading is right {error}, which cannot prove the window {budget.window.text}."
        return f"no aim. A reading is right {error}: what is left of {budget.window.text} is too narrow to hit."
    low, high = shown_degrees(zone.low_deg, 1), shown_degrees(zone.high_deg, 1)
    return f"aim at {shown_degrees(budget.aim_deg, 1)}, between {low} and {high}. A reading is right {error}."
