"""How a spec is worked off, step by step: one procedure for every readout and for the record card."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import zip_longest

from ..fastening.socket import Play
from ..fastening.spec import HandTightStep, LoosenStep, Step, TighteningSpec, TorqueStep, TurnStep
from ..marks.reading_error import Budget
from ..marks.stage_marks import stage_marks
from ..quantities.angles import full_turns
from ..quantities.shown import shown_degrees
from . import words

MOST_IN_ONE_PULL_DEG = 180.0
"""A turn of so much or more is no single pull on a bar (our choice)."""


def procedure(
    spec: TighteningSpec,
    fasteners: int,
    turning: words.Turning = words.BY_WITNESS_MARK,
    budgets: Sequence[Budget] = (),
    play: Play | None = None,
    before: Mapping[int, str] | None = None,
    recorded: bool = True,
    also: Mapping[int, Sequence[str]] | None = None,
) -> list[str]:
    """Return the steps that tighten so many fasteners, every pass, loosening and stage of the spec in order.

    `budgets` tell where to aim, of several for a stage some perhaps nowhere, `play` how much slack there may be,
    where known, and `before` what to do before a stage, such as a change of bands. `recorded` tells whether a record
    goes with it, `also` what is to be said with a stage's fresh mark.
    """
    several = fasteners > 1

    def turn(number: int) -> Iterator[str]:
        if before and number in before:
            yield before[number]
        anew = spec.marked_anew(number)
        most = words.MOST_SLACK.format(slack=shown_degrees(2 * play.deg, 1)) if play and play.deg else ""
        pull = words.PULL if number == 1 else words.PULL_AGAIN
        first = pull.format(way=words.way(spec), most=most) if anew else words.PUT_BACK
        lead = _lead(spec, number, several)
        if anew or several:
            again = [turning.fresh, *(also or {}).get(number, ())] if anew and number > 1 else []
            yield joined(words.led(lead, first), *again)
            lead = ""
        if number == 1:
            yield turning.mark
        turned = words.led(lead, joined(*_turn(spec, number, turning, _aim(budgets, number), recorded)))
        if number > 1:
            yield joined(turned, words.READ_AND_NOTE_AGAIN if recorded else words.READ_AGAIN)
        else:
            yield turned
            note = [words.NOTE_EACH if several else words.NOTE] if recorded else []
            yield joined(turning.read, *note)
        if number == len(spec.stages):  # before a torque that may follow: then the mark no longer counts
            yield joined(*short, words.PAST, words.ONCE)
            yield words.CAME_OFF

    torques = isinstance(spec.steps[0], TurnStep) or any(isinstance(step, TorqueStep) for step in spec.steps)
    windows = {stage.window is not None for stage in spec.stages}
    short = [words.SHORT_OF_WINDOW] * (True in windows) + [words.SHORT_OF_LINE] * (False in windows)
    return [
        words.PREPARE,
        *([words.IN_ORDER.format(count=fasteners)] if several else []),
        *([words.SET_WRENCH] if torques else []),
        *steps_of(spec, turn, turning.void, (words.TO_BAR, words.TO_WRENCH), " all" if several else ""),
        *([words.AUDIT.format(what=words.ALL_FASTENERS if several else words.A_FASTENER)] if recorded else []),
    ]


def joined(*sentences: str) -> str:
    """Return sentences as one text."""
    return " ".join(sentences)


def _lead(spec: TighteningSpec, number: int, several: bool) -> str:
    stages = len(spec.stages) > 1
    return {
        (False, False): "", (True, False): words.STAGE, (False, True): words.EACH, (True, True): words.STAGE_EACH,
    }[stages, several].format(number=number)  # fmt: skip


def _aim(budgets: Sequence[Budget], number: int) -> str:
    """Where to aim in a stage, or that no reading of its window is fine enough; "" where nothing is to be said."""
    judged = [budget for budget in budgets if budget.stage == number]
    if judged and all(budget.verdict in ("narrow", "unproved") for budget in judged):
        return words.NO_AIM
    aims = [budget.aim_deg for budget in judged]
    text = words.AIM_WHERE if None in aims else words.AIM
    return next((text.format(aim=shown_degrees(aim_deg, 1)) for aim_deg in aims if aim_deg is not None), "")


def _turn(spec: TighteningSpec, number: int, turning: words.Turning, aim: str, recorded: bool) -> Iterator[str]:
    """The sentences that turn: how, until where, and what to know of it."""
    stage, anew, total_deg = spec.stages[number - 1], spec.marked_anew(number), spec.totals_from_snug_deg[number - 1]
    here_deg = stage.turn_deg if anew else total_deg - spec.totals_from_snug_deg[number - 2]
    one_pull = here_deg < MOST_IN_ONE_PULL_DEG
    text = {
        (True, True): words.ONE_PULL, (True, False): words.PULLS,
        (False, True): words.ON_ONE_PULL, (False, False): words.ON_PULLS,
    }[anew, one_pull]  # fmt: skip
    whole = words.whole_turns(stage, anew)
    yield text.format(kept=turning.kept, way=words.way(spec), whole=whole, end=_end(spec, number, turning))
    if stage.window is None:
        yield f"{words.NO_TOLERANCE_GIVEN}."
    elif aim:
        yield aim
    if anew and total_deg != stage.turn_deg:
        yield words.IN_ALL.format(total=shown_degrees(total_deg))
    if turns := full_turns(stage.turn_deg):
        yield words.TICK_RECORD if recorded else words.TICK.format(boxes=words.boxes(turns))
    elif words.turns_to_tick(stage):
        yield words.TICK_TURNED_RECORD if recorded else words.TICK_TURNED


def _end(spec: TighteningSpec, number: int, turning: words.Turning) -> str:
    """Where a turn ends."""
    stage, anew = spec.stages[number - 1], spec.marked_anew(number)
    name = {n: marks.name for marks in stage_marks(spec) for n in marks.numbers}[number]
    if stage.window is None:
        text, turns = words.LINE_END if anew else words.LINE_END_FROM_SNUG, full_turns(stage.turn_deg)
        round_ = (words.AGAIN if turns == 1 else words.TIMES_ROUND).format(turns=turns)
        place = turning.at_line.format(name=name) + (round_ if words.ends_at_start(stage) else "")
        return text.format(place=place, turn=shown_degrees(stage.turn_deg))
    text = words.WINDOW_END if anew else words.WINDOW_END_FROM_SNUG
    return text.format(place=turning.in_window.format(name=name), turn=stage.window.text)


def steps_of(
    spec: TighteningSpec,
    turn: Callable[[int], Iterable[str]],
    void: str,
    tools: tuple[str, str] | None = None,
    every: str = "",
) -> Iterator[str]:
    """Yield what to do, in the order of the spec; `turn` says it of a stage's number.

    `void` is added to the first step after a turn, as the marks made for it count no more. Of the `tools` the first is
    added to a torque that a turn follows, the second stands before one that follows a turn. `every` (" all") stands for
    what is tightened.
    """
    before: Step | None = None
    direction = words.direction(spec)
    to_bar, to_wrench = ([tool] for tool in tools) if tools else ([], [])
    if isinstance(spec.steps[0], TurnStep):
        yield joined(words.OPEN_SNUG.format(every=every, direction=direction), *to_bar)
    for step, after in zip_longest(spec.steps, spec.steps[1:]):
        if isinstance(step, TurnStep):
            yield from turn(step.number)
        else:
            to_snug = isinstance(after, TurnStep)
            turned, torque = isinstance(before, TurnStep), isinstance(step, TorqueStep)
            begun, change = to_wrench if turned and torque else [], to_bar if to_snug and torque else []
            yield joined(*begun, _other_step(spec, step, to_snug, every), *change, *([void] if turned else []))
        before = step


def _other_step(spec: TighteningSpec, step: Step, to_snug: bool, every: str) -> str:
    """How to do a step that is no turn; `to_snug` when a turn follows it."""
    direction = words.direction(spec)
    match step:
        case TorqueStep():
            text = words.SNUG if to_snug else words.TORQUE
            return text.format(every=every, torque=step.both, direction=direction)
        case LoosenStep():
            text = words.LOOSEN_FULLY if step.deg is None else words.LOOSEN
            back = words.direction(spec, loosening=True)
            return text.format(every=every, turn=step.read_as.removeprefix("loosen "), direction=back)
        case HandTightStep(words="snug tight"):
            return words.SNUG_TIGHT.format(every=every, direction=direction)
        case _:
            text = words.HAND_TIGHT_ALL if every else words.HAND_TIGHT_ONE
            return text.format(how=step.read_as, direction=direction)
