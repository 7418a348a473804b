"""The sentences of a lesson: teaching, tasks and the working of the answers."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from functools import partial

from ...fastening.elastic import Fastening
from ...fastening.spec import Stage, TighteningSpec
from ...fastening.thread import Thread
from ...quantities.shown import rounded, shown_degrees, shown_length, trimmed
from ...quantities.units import NM_PER_LBF_FT
from ...sheets.procedure import steps_of
from ...sheets.words import NO_TOLERANCE_GIVEN, VOID_MARK, direction, led
from .demo import DEMO_FRICTION, EXAMPLE, preload_gain, torque_shares
from .exercise import Exercise
from .plan import Answers, Place
from .practice_words import practice_answer

DEFAULT_TITLE = "Torque, then turn: a lesson"

TEACHING = "Teaching numbers, not tightening instructions: the manufacturer's manual decides."


def use_of(ends: Sequence[int], trainees: int, key: str) -> str:
    """What becomes of the printed pages; `ends` are the last pages of handout, worksheets, practice pages and key."""
    handout, worksheets, practice, last = (_pages(a, b) for a, b in itertools.pairwise([0, *ends]))
    times = "once" if trainees == 1 else f"{trainees} times"
    parts = (
        (handout, f"print {times}, a handout for each trainee"),
        (worksheets, "print once, a worksheet for each"),
        (practice, "print once, at 100 %, a practice page for each, to be cut up"),
        (key or last, "the answer key, for the instructor"),
    )
    return " ".join(f"{pages}: {what}." for pages, what in parts if pages)


def _pages(before: int, last: int) -> str:
    """Pages by their numbers: "Pages 3–14", "Page 3"; "" for none."""
    if last == before:
        return ""
    return f"Page {last}" if last == before + 1 else f"Pages {before + 1}–{last}"


def why_angle(fastening: Fastening) -> list[str]:
    """Why the angle, with numbers for one thread."""
    shares = torque_shares(fastening, DEMO_FRICTION)
    gain = 100 * (preload_gain(fastening, 0.14, 0.10) - 1)
    return [
        "A tightened bolt is a stretched spring: its pull, the preload, holds the joint. A torque wrench does not "
        "measure this pull; it measures how hard the bolt is to turn, and most of that is friction.",
        f"For {fastening.thread.name} with a friction coefficient of {DEMO_FRICTION:g} in thread and head, "
        f"{100 * shares.friction:.0f} % of the torque goes into friction. If dirt or another lubricant moves it from "
        f"0.14 to 0.10, the same torque gives {gain:.0f} % more preload. (Formula of ISO 16047 and VDI 2230, with the "
        "bearing diameter 1.25 d of Shigley's handbook.)",
        "An angle is different. Once the parts lie firmly together, each degree moves the thread on by the same small "
        "way, whatever the friction. That is why the snug torque comes first: it closes the gaps. Then the turn sets "
        "the stretch.",
    ]


HOW = (
    "Read the spec in the manual: snug torque, turn, tolerance. Low edge = turn − minus; high edge = turn + plus.",
    "Clean and lubricate thread and seat as the manual says, or leave them dry.",
    "Mark the socket: START on a corner, and the stop window at its turn from START.",
    "Tighten to the snug torque. Pull lightly on, to take up the slack, and hold.",
    "Put the witness mark on the part, beside START.",
    "Turn in one smooth pull until the witness mark stands in the stop window. Look square on it.",
)

WHICH_WAY = (
    "The marks travel with the socket. What is to arrive later must lie farther back: marks are counted from START "
    "against the tightening direction.",
    "A right-hand thread tightens clockwise. Seen from above, facing the drive end, its window lies counterclockwise "
    "of START. From the side, drive end up, it lies to the right.",
    "A part ring stands still, and START travels over it: there the window lies clockwise of the zero.",
    "A left-hand thread mirrors all of this.",
)

WRONG = (
    "Dirt or paint under the head: the gaps are not closed at snug, so part of the turn is spent on closing them.",
    "The wrong lubricant, or none: the snug torque is reached too late or too early, and the turn begins from there.",
    "A wrench out of calibration: the snug torque is wrong, and nobody can see it.",
    "Guessing by eye: the window is often 10° wide, a third of the way between two corners of a 12-point socket.",
    "Slack left in: the socket turns before the fastener does (see the figure).",
    "The mirrored mark: the window on the wrong side of START. Check: turn the socket in your hand "
    "the way it tightens; the window must come to the place where START was, after the turn and not before.",
    "START on another corner after the socket was taken off: put it back on the same corner.",
    "Past the window: stop and do what the manual says, often a new fastener. Never turn back and guess.",
)


def hand_of(spec: TighteningSpec) -> str:
    """Return which way the thread of a spec goes."""
    return "right-hand" if spec.clockwise else "left-hand"


def example_steps(spec: TighteningSpec) -> list[str]:
    """How the worked example's window comes about, stage by stage."""
    several = len(spec.stages) > 1

    def turn(number: int) -> list[str]:
        return [led(f"Stage {number}: " if several else "", _edges(spec.stages[number - 1]))]

    if all(map(spec.marked_anew, range(2, len(spec.stages) + 1))):
        counts = ["Each stage begins anew: put a fresh witness mark beside START before its turn."] if several else []
    else:
        counts = ["The turns of stages that follow one another count from snug in all: keep the same witness mark."]
    return [*steps_of(spec, turn, VOID_MARK), *counts, f"Turn {direction(spec)}."]


def _edges(stage: Stage) -> str:
    """How the edges of a window follow from turn and tolerance."""
    turn = shown_degrees(stage.turn_deg)
    window = stage.window
    if window is None:
        return f"turn {turn}. {NO_TOLERANCE_GIVEN}."
    minus, plus = shown_degrees(stage.minus_deg or 0.0), shown_degrees(stage.plus_deg or 0.0)
    low, high = shown_degrees(window.low_deg), shown_degrees(window.high_deg)
    return f"low edge {turn} − {minus} = {low}; high edge {turn} + {plus} = {high}."


def worked_sums(thread: Thread) -> list[str]:
    """The formulas of the worksheets, each with one sum worked out."""
    advance = _advance(thread, EXAMPLE.turn_deg, thread.advance_mm(EXAMPLE.turn_deg))
    return [
        "Corners of a 6-point socket are 360° ÷ 6 = 60° apart, of a 12-point socket 30°. Count from corner 1, which is "
        "START; half way between two corners is a mid-flat.",
        f"Advance of the thread = pitch × turn ÷ 360. {thread.name}: {advance}. With threads per inch, the pitch is "
        "1 in ÷ threads.",
        "Place of a mark along the band = length round the socket × angle ÷ 360.",
        f"1 lbf·ft = {trimmed(NM_PER_LBF_FT, 4)} N·m.",
        "A reading exactly on an edge is inside the window.",
    ]


def pitch_in_words(thread: Thread) -> str:
    """Return the pitch in the thread’s own terms."""
    return f"pitch {trimmed(thread.pitch_mm, 4)} mm" if thread.tpi is None else f"{thread.tpi:g} threads per inch"


Task = tuple[str, tuple[str, ...]]
"""The question, and what stands before each line to write on."""


def tasks_of(exercise: Exercise) -> tuple[Task, ...]:
    """The questions of one worksheet, in order."""
    turn = shown_degrees(exercise.stage.turn_deg)
    to, hint = ("N·m", "×") if exercise.snug.unit == "lbf·ft" else ("lbf·ft", "÷")
    return (
        (
            "Mark the socket, seen from above, facing the drive end. Corner 1 stands at the witness mark. Number the "
            "other corners, draw START, then the low and the high edge of the stop window, and hatch it. Ticks are 5° "
            "apart.",
            (),
        ),
        (
            "On which corner or mid-flat does each fall, or how many degrees past which corner?",
            ("low edge", "turn", "high edge"),
        ),
        (
            "Which way round, seen from above? Write clockwise or counterclockwise.",
            ("the socket turns", "on the socket the window lies, from START", "on a part ring it lies, from zero"),
        ),
        (f"How far does the thread advance in a turn of {turn}?", ("",)),
        ("Inside the window or not?", tuple(f"{shown_degrees(deg)} is" for deg in exercise.readings_deg)),
        (
            f"The wrench stopped only at {shown_degrees(exercise.overshoot_deg)}. How far past the window is that, how "
            "much farther has the thread advanced than at the high edge, and what do you do?",
            ("past by", "farther by", "do"),
        ),
        ("How far from START, along the band, is the low edge?", ("",)),
        (
            "The witness mark was made with the slack left in, so that the socket turned by twice the slack before it "
            f"moved the fastener. The mark shows {shown_degrees(exercise.slack_reading_deg)}: how far did the fastener "
            "turn, and is that inside the window?",
            ("fastener", "inside?"),
        ),
        (f"Write the snug torque in {to} ({hint} {trimmed(NM_PER_LBF_FT, 4)}).", ("",)),
    )


def key_lines(exercise: Exercise, answers: Answers) -> list[tuple[str, str]]:
    """Return the results of one worksheet with their working: (number of the task, text)."""
    way, back = ("clockwise", "counterclockwise") if answers.clockwise else ("counterclockwise", "clockwise")
    thread, stage = exercise.thread, exercise.stage
    reading, slack = shown_degrees(exercise.slack_reading_deg), shown_degrees(exercise.slack_deg)
    low, along = exercise.limits_deg[0], shown_length(answers.along_mm, exercise.around.unit)
    return [
        ("1", f"START on corner 1; the window lies {back} of it (see the figure); corners are numbered {back}."),
        *(("2" if k == 0 else "", _place_line(place, exercise)) for k, place in enumerate(answers.places)),
        ("3", f"The socket turns {way}. On the socket the window lies {back} of START, on a part ring {way} of zero."),
        ("4", f"{_advance(thread, stage.turn_deg, answers.advance_mm)}."),
        ("5", f"{'; '.join(map(partial(_judged, stage), exercise.readings_deg, answers.inside))}."),
        (
            "6",
            f"{shown_degrees(exercise.overshoot_deg)} − {shown_degrees(exercise.limits_deg[1])} = "
            f"{shown_degrees(answers.past_deg)} past the window. {_advance(thread, answers.past_deg, answers.past_mm)} "
            "farther. Stop and do what the manual says; never turn back and guess.",
        ),
        ("7", f"{exercise.around.text} × {trimmed(low, 2)} ÷ 360 = {along}."),
        (
            "8",
            f"{reading} − 2 × {slack} = {shown_degrees(answers.fastener_deg)}: "
            f"{'inside' if answers.fastener_inside else 'not inside'}.",
        ),
        (
            "9",
            f"{exercise.snug.text} {'×' if exercise.snug.unit == 'lbf·ft' else '÷'} {trimmed(NM_PER_LBF_FT, 4)} = "
            f"{rounded(answers.torque.value)} {answers.torque.unit}.",
        ),
    ]


def practice_line(exercise: Exercise) -> tuple[str, str]:
    """Return what the key says of the practice page, behind its letter."""
    window = exercise.stage.window
    assert window is not None, "exercises are drawn with a tolerance"
    return "P", f"Practice: {practice_answer(window, exercise.around.mm, exercise.around.unit)}"


def _place_line(place: Place, exercise: Exercise) -> str:
    """Where an angle falls, counted in corners."""
    corners = f"{place.corners} corner{'' if place.corners == 1 else 's'}"
    rest = f" and {shown_degrees(place.rest_deg)}" if place.rest_deg > 0.005 else ""
    return (
        f"{place.name}: {shown_degrees(place.deg)} ÷ {shown_degrees(360.0 / exercise.socket.points)} = {corners}{rest} "
        f"on from corner 1: {place.where}."
    )


def _advance(thread: Thread, turn_deg: float, advance_mm: float) -> str:
    """The advance of a thread for a turn, worked out in the thread's own unit."""
    if thread.tpi is None:
        pitch, result = f"{trimmed(thread.pitch_mm, 4)} mm", f"{trimmed(advance_mm, 4)} mm"
    else:
        pitch, result = f"1/{thread.tpi:g} in", f"{trimmed(advance_mm / (thread.pitch_mm * thread.tpi), 5)} in"
    return f"{pitch} × {trimmed(turn_deg, 2)} ÷ 360 = {result}"


def _judged(stage: Stage, deg: float, inside: bool) -> str:
    """A reading held against the window: "97° lies in 90–100°: inside"."""
    window = stage.window
    assert window is not None, "exercises are drawn with a tolerance"
    reading = shown_degrees(deg)
    if inside:
        return f"{reading} lies in {window.text}: inside"
    side, edge_deg = ("below", window.low_deg) if deg < window.low_deg else ("above", window.high_deg)
    return f"{reading} is {side} {shown_degrees(edge_deg)}: not inside"
