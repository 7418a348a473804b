"""Sentences and words that several sheets share, and what plans have to say of a spec."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import NamedTuple

from ..fastening.spec import Stage, TighteningSpec
from ..marks.places import turns_in_words
from ..marks.reading_error import Budget
from ..quantities.angles import full_turns, position_deg
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
    "Hand tools only: never use a band, ring, disc, pointer or marked socket on an impact wrench.",
    "Wear eye protection.",
    "Local rules and licensed practice come before this sheet.",
)

MARK_NAMES = {
    "start": "START",
    "stop-low": "STOP, low edge",
    "stop-high": "STOP, high edge",
    "stop": "STOP",
    "aim": "aim line",
}


def mark_name(kind: str, stages: Sequence[int | None] = ()) -> str:
    """Return what a kind of mark is called in a table, with its stages where they are told: "STOP (1, 2)"."""
    told = ", ".join(str(stage) for stage in stages if stage)
    return MARK_NAMES[kind] + (f" ({told})" if told else "")


def direction(spec: TighteningSpec, loosening: bool = False) -> str:
    """The way to tighten, or to loosen, in words."""
    turned = "clockwise" if spec.clockwise is not loosening else "counterclockwise"
    left = "" if spec.clockwise else " (left-hand thread)"
    return f"{turned}, seen from the drive end{left}"


def way(spec: TighteningSpec) -> str:
    """The way to tighten, short, for steps that follow one which says from where it is seen."""
    return "clockwise" if spec.clockwise else "counterclockwise"


# -- the steps of tightening: `procedure` chooses among them, a sentence is said where it is needed

PREPARE = (
    "Read the manual: order, passes, lubricant, reuse. Clean threads and seats, oiled or dry as it says. Hold the "
    "other end, nut or bolt head."
)
IN_ORDER = "Do each pass and stage on all {count} fasteners, in order, before the next."

SET_WRENCH = (
    "Set the torque wrench: an adapter (crowfoot) changes the setting; add a lock nut's running torque if the manual "
    "says."
)
TORQUE = "Tighten{every} to {torque}, {direction}."
SNUG = "Tighten{every} to the snug torque, {torque}, {direction}."
OPEN_SNUG = "Tighten{every} to the snug torque that the manual gives, {direction}."
SNUG_TIGHT = "Tighten{every} until snug tight, as the manual describes it, {direction}."
HAND_TIGHT_ONE = "Turn the fastener in, {direction}, until it is {how}."
HAND_TIGHT_ALL = "Turn all in, {direction}, until they are {how}."
LOOSEN = "Loosen{every} by {turn}: turn {direction}."
LOOSEN_FULLY = "Loosen{every} fully: turn {direction}."
TO_BAR, TO_WRENCH = "Then change to a bar for the turn.", "Change back to the torque wrench."
VOID_MARK = "The witness mark no longer counts."

STAGE, EACH = "Stage {number}: ", "At each fastener: "
STAGE_EACH = "Stage {number}, at each fastener: "
"""What stands before the first step of a stage: of several stages, of one for several fasteners, of both."""

PULL = "pull lightly, {way}, to take up the slack{most}, and hold it. The fastener must not move."
PULL_AGAIN = "pull lightly, {way}, to take up the slack again, and hold it."
PUT_BACK = "put the socket back so that, while you pull lightly, it reads what you noted. The fastener must not move."
MOST_SLACK = " (up to {slack})"
ONE_PULL = "Turn in one smooth pull, {way}, {whole}until {end}."
PULLS = "Turn in smooth pulls, {way}, {whole}until {end}."
ON_ONE_PULL = "{kept}. Turn on in one smooth pull, {way}, {whole}until {end}."
ON_PULLS = "{kept}. Turn on in smooth pulls, {way}, {whole}until {end}."
WINDOW_END, WINDOW_END_FROM_SNUG = "{place}, {turn}", "{place}, {turn} from snug"
LINE_END, LINE_END_FROM_SNUG = "{place} ({turn})", "{place} ({turn} from snug)"
AIM, AIM_WHERE = "Aim at the aim line, {aim}.", "Aim at the aim line, {aim}, where there is one."
IN_ALL = "By the spec: {total} from snug in all."
NO_AIM = "No aim: this reading alone cannot prove the window."
TICK = "Tick each full turn: {boxes}"
TICK_RECORD = "Tick each full turn in the record."
TICK_TURNED_RECORD = "Before the turn the mark stands there too: tick in the record what has been turned."
TICK_TURNED = "Before the turn the mark stands there too: make sure that it has been turned."
READ_AGAIN, READ_AND_NOTE_AGAIN = "Read it in the same way.", "Read and note as before."
NOTE, NOTE_EACH = (
    "Note the reading before you lift the socket.",
    "Note the reading before you lift the socket; then the next one.",
)

SHORT_OF_WINDOW = "Short of the window: turn on."
SHORT_OF_LINE = "Short of a stop line: turn on."
PAST = "Past it: stop and do what the manual says, never turn back."
ONCE = "Never repeat the angle on a fastener."
CAME_OFF = "If the socket has to come off before the stop, note the reading first; put it back to read the same."
AUDIT = "At the end draw a line from {what} onto the part: it shows any movement. Fill in the record."
A_FASTENER, ALL_FASTENERS = "the fastener", "every fastener"


class Turning(NamedTuple):
    """What a readout calls a turn's marks, and how they are set and read: whole sentences.

    `mark` sets the first mark, `fresh` a later one, `kept` says what stays as it was set where a stage counts from
    snug, without its capital and its full stop. `at_line` and `in_window` tell where a turn ends: "the line “STOP”
    stands at …".
    """

    mark: str
    fresh: str
    kept: str
    at_line: str
    in_window: str
    read: str
    void: str = VOID_MARK


BY_WITNESS_MARK = Turning(
    mark="Put the witness mark on the part beside START while you hold: a thin line, not on a washer or flange that "
    "turns along.",
    fresh="Cross out the old mark and put a fresh one beside START.",
    kept="keep the same witness mark",
    at_line="the line “{name}” stands at the witness mark",
    in_window="the witness mark stands in window “{name}”",
    read="Read while you still pull lightly, looking square on the mark: if let go, the socket falls back. The middle "
    "of a line counts.",
)
"""How a band is read, and whatever else has START and its stop marks on the socket."""


FRESH_RING = "Tape the part ring on anew, ZERO at START."
"""What goes with a fresh mark where the stage before was read on the same ring."""


def whole_turns(stage: Stage, anew: bool) -> str:
    """Whole turns in words, to stand before "until": a window round a whole turn is reached at once, but not meant.

    A turn that does not begin `anew` is a total from snug.
    """
    low, high = stage.window or (stage.turn_deg, stage.turn_deg)
    counted = "" if anew else "counted from snug, "
    if full_turns(high) > full_turns(low):
        nearly = "nearly" if full_turns(stage.turn_deg) < full_turns(high) else "about"
        return f"{counted}{nearly} {turns_in_words(full_turns(high))}, "
    # "then on" to a line that is START's own would be a turn more
    on = ", " if ends_at_start(stage) else ", then on "
    return f"{counted}{turns_in_words(full_turns(low))}{on}" if full_turns(low) else ""


def ends_at_start(stage: Stage) -> bool:
    """Tell whether a turn without a tolerance ends where START stands, after whole turns."""
    return stage.window is None and position_deg(stage.turn_deg) == 0.0


AGAIN, TIMES_ROUND = " again", ", {turns} times round"
"""What stands behind the line where START stands again."""

MOST_BOXES = 3


def turns_to_tick(stage: Stage) -> int:
    """How many full turns are ticked: all that are complete, one for a window that is first met before any turn."""
    reached = stage.turn_deg if stage.window is None else stage.window.high_deg
    return full_turns(stage.turn_deg) or min(1, full_turns(reached))


def boxes(count: int) -> str:
    """Boxes to tick for so many full turns; for more than three a place to write their number in."""
    return " ".join("☐" * count) if count <= MOST_BOXES else f"__ of {count}"


NO_TOLERANCE_GIVEN = (
    "The manual gives no tolerance: stop at the line, not short of it; ask the manual's maker for a tolerance where it "
    "matters"
)


NO_WINDOW = (
    "Without a tolerance there is no window to aim inside: stop at the line, not short of it; ask the manual's maker "
    "for a tolerance where it matters."
)


def led(lead: str, text: str) -> str:
    """Return a sentence behind its lead, "Stage 2: turn …"; without one it begins with a capital."""
    return lead + text if lead else text[0].upper() + text[1:]


RESTS_ON = "“Give or take” holds for about 95 of 100 readings. Working assumptions:"
YOUR_OWN = "Where yours differ, print again."
"""What stands before and behind the assumptions of a reading error."""


Judged = tuple[Sequence[Budget], Sequence[Remark | None]]
"""The budgets of a readout, by stage, and what can prove a window that it cannot: one a budget, or none at all."""


def error_lines(readouts: Mapping[str, Judged]) -> list[str]:
    """Where to aim on each readout and its reading error, once for equal stages, and what to do without a tolerance."""
    lines, judged = [], [budget for budgets, _ in readouts.values() for budget in budgets]
    of = len({budget.stage for budget in judged})  # a readout may be left out in some stages
    for readout, (budgets, remedies) in readouts.items():
        stages: dict[str, list[int]] = {}
        for budget, remedy in zip_longest(budgets, remedies):
            can = "" if remedy is None else f" {led('', str(remedy))}."
            stages.setdefault(f"{_error_line(budget)}{can}", []).append(budget.stage)
        lines += [f"{led('', readout)}{_of_stages(alike, of)}: {said}" for said, alike in stages.items()]
    return [*lines, *([NO_WINDOW] if any(budget.window is None for budget in judged) else [])]


def _of_stages(numbers: Sequence[int], of: int) -> str:
    """Which stages of so many a line is about, behind the readout's name; "" where there is only one."""
    if of == 1:
        return ""
    if len(numbers) == of:
        return EACH_STAGE
    return (SOME_STAGES if len(numbers) > 1 else ONE_STAGE).format(numbers=", ".join(map(str, numbers)))


EACH_STAGE, ONE_STAGE, SOME_STAGES = ", each stage", ", stage {numbers}", ", stages {numbers}"


def _error_line(budget: Budget) -> str:
    error = f"give or take {shown_degrees(budget.expanded_deg, 1)}"
    zone = budget.aim_zone
    if budget.window is None:
        return f"read {error}."
    if zone is None or budget.aim_deg is None:
        if budget.verdict == "unproved":
            return f"no aim: read {error}, it cannot prove the window {budget.window.text}."
        return f"no aim: read {error}, what is left of {budget.window.text} is too narrow to hit."
    low, high = shown_degrees(zone.low_deg, 1), shown_degrees(zone.high_deg, 1)
    return f"aim at {shown_degrees(budget.aim_deg, 1)}, between {low} and {high}, read {error}."
