"""A teaching set as numbers: a worked example, exercises drawn from a seed, and every answer worked out by the library.

Exercises are invented: the screws, openings and pitches are standard ones, but torques, turns, tolerances and lengths
are demo data that go with no real equipment.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple, TypeVar

from .errors import RangeError
from .geometry import SAME_DEG, Mark, arc_mm, mark_at, stop_marks, where
from .job import place_in_words
from .paper import SIZES, Paper
from .quantities import Length, Torque, factor, parse_length
from .reading import read_sheet
from .report import spec_data
from .socket import POINTS, Socket, parse_socket
from .spec import Stage, TighteningSpec, parse_spec
from .strength import parse_strength
from .stretch import Fastening
from .threads import Thread, parse_thread

MAX_TRAINEES = 60
"""Most worksheets of one set (our choice: two school classes)."""

MAX_SEED = 999_999
"""Largest seed (our choice: six digits are read out and typed without a slip)."""

DEMO = "demo data, not for real equipment"

DEMO_THREAD = "M12x1.75"
DEMO_FRICTION = 0.12
"""Thread and friction coefficient (thread and head alike) that the handout's sums use. VDI 2230 Part 1 lists 0.08 to
0.16 for metal with common lubricants (from memory)."""


@dataclass(frozen=True)
class Lesson:
    """What is asked for: the spec of the worked example, how many worksheets, and the seed they are drawn from.

    Raises RangeError for what is out of limits.
    """

    spec: TighteningSpec
    points: int = 12
    trainees: int = 12
    seed: int = 1
    paper: Paper = field(default_factory=lambda: Paper(*SIZES["a4"]))
    title: str = ""

    def __post_init__(self) -> None:
        if self.points not in POINTS:
            raise RangeError(f"a socket with {self.points} points", "4, 6, 8 or 12 points", "check --points")
        if not 1 <= self.trainees <= MAX_TRAINEES:
            raise RangeError(
                f"{self.trainees} trainees", f"1 to {MAX_TRAINEES}", "check --trainees, or print two sets",
                self.trainees,
            )  # fmt: skip
        if not 0 <= self.seed <= MAX_SEED:
            raise RangeError(f"the seed is {self.seed}", f"0 to {MAX_SEED}", "check --seed", self.seed)


class Exercise(NamedTuple):
    """What one worksheet gives: a spec of one stage with a tolerance, a socket, a thread, and readings to judge.

    `around` is the length at which a strip of the band's own stock just closes round the socket; `slack_deg` how far
    the fastener turns freely in the opening, each way. `overshoot_deg` is a reading past the window,
    `slack_reading_deg` one taken with a witness mark that was made before the slack was taken up.
    """

    number: int
    spec: TighteningSpec
    socket: Socket
    around: Length
    thread: Thread
    readings_deg: tuple[float, ...]
    overshoot_deg: float
    slack_deg: float
    slack_reading_deg: float

    @property
    def stage(self) -> Stage:
        """The one stage."""
        return self.spec.stages[0]

    @property
    def limits_deg(self) -> tuple[float, float]:
        """The window's low and high edge."""
        window = self.stage.window
        assert window is not None, "exercises are drawn with a tolerance"
        return window.low_deg, window.high_deg

    @property
    def snug(self) -> Torque:
        """The snug torque."""
        assert self.spec.snug is not None, "exercises are drawn with a snug torque"
        return self.spec.snug

    @property
    def pitch_deg(self) -> float:
        """The angle from one corner to the next."""
        return 360.0 / self.socket.points


class Place(NamedTuple):
    """Where an angle falls on the socket: whole `corners` on from corner 1 and `rest_deg` more, and in words."""

    name: str
    deg: float
    corners: int
    rest_deg: float
    where: str


class Answers(NamedTuple):
    """The results of one worksheet; angles in degrees, lengths in mm."""

    places: tuple[Place, ...]
    clockwise: bool
    advance_mm: float
    inside: tuple[bool, ...]
    past_deg: float
    past_mm: float
    along_mm: float
    fastener_deg: float
    fastener_inside: bool
    torque: Torque


class Shares(NamedTuple):
    """How a torque is spent, as parts of 1: on the pitch (which makes the preload), thread friction, head friction."""

    pitch: float
    thread: float
    head: float

    @property
    def friction(self) -> float:
        """What friction takes in all."""
        return self.thread + self.head


class LessonPlan(NamedTuple):
    """All the numbers of a teaching set."""

    lesson: Lesson
    marks: tuple[Mark, ...]
    exercises: tuple[Exercise, ...]
    answers: tuple[Answers, ...]


class _Joint(NamedTuple):
    """A screw with the socket that fits it; the length round the socket and the snug torques are demo data."""

    thread: str
    opening: str
    drive: str
    around: str
    snug: tuple[str, ...]


_JOINTS = (
    _Joint("M8x1.25", "13 mm", "3/8", "58.2 mm", ("12 N·m", "15 N·m")),
    _Joint("M10x1.5", "16 mm", "1/2", "73.6 mm", ("25 N·m", "30 N·m")),
    _Joint("M10x1.25", "16 mm", "1/2", "74.3 mm", ("28 N·m", "32 N·m")),
    _Joint("M12x1.75", "18 mm", "1/2", "80.4 mm", ("45 N·m", "50 N·m")),
    _Joint("M12x1.5", "18 mm", "1/2", "81.7 mm", ("48 N·m", "55 N·m")),
    _Joint("M14x2", "21 mm", "1/2", "92.5 mm", ("70 N·m", "80 N·m")),
    _Joint("M16x2", "24 mm", "3/4", "112.8 mm", ("110 N·m", "120 N·m")),
    _Joint("M16x1.5", "24 mm", "3/4", "110.6 mm", ("115 N·m", "125 N·m")),
    _Joint("M20x2.5", "30 mm", "3/4", "135.4 mm", ("200 N·m", "220 N·m")),
    _Joint("3/8-16", "9/16 in", "3/8", "2-1/2 in", ("18 lbf·ft", "20 lbf·ft")),
    _Joint("1/2-13", "3/4 in", "1/2", "3-3/8 in", ("40 lbf·ft", "45 lbf·ft")),
    _Joint("1/2-20", "3/4 in", "1/2", "3-7/16 in", ("42 lbf·ft", "48 lbf·ft")),
    _Joint("5/8-11", "15/16 in", "3/4", "4-1/4 in", ("80 lbf·ft", "90 lbf·ft")),
    _Joint("3/4-10", "1-1/8 in", "3/4", "5 in", ("130 lbf·ft", "150 lbf·ft")),
)
"""Screws and openings of ISO 272 and ASME B18.2.1 with common drives; four sizes come with a fine thread too."""

_TURNS = (60, 75, 90, 90, 105, 120, 135, 150, 180, 240)
_TOLERANCES = ((10, 0), (15, 0), (8, 0), (5, 5), (10, 5), (0, 10), (8, 8))
LEFT_HAND_EVERY = 3
"""Turns, tolerances (plus, minus) and how often a thread is left-hand: our choice, of the kind that manuals give."""

_SHEETS_A_SEED = 100

Chosen = TypeVar("Chosen")


class _Draw:
    """Chance that stays the same: only `random.Random(int).random()` is used, whose sequence Python guarantees to keep.

    (Python library reference, module random, "Notes on Reproducibility"; choice and shuffle may change.)
    """

    def __init__(self, seed: int, number: int) -> None:
        self._random = random.Random(seed * _SHEETS_A_SEED + number).random

    def whole(self, low: int, high: int) -> int:
        """Return a whole number from `low` to `high`, both included."""
        return low + int(self._random() * (high - low + 1))

    def one_of(self, choices: Sequence[Chosen]) -> Chosen:
        return choices[self.whole(0, len(choices) - 1)]

    def mixed(self, items: Sequence[Chosen]) -> list[Chosen]:
        """Return the items in another order."""
        return [item for _, item in sorted(((self._random(), item) for item in items), key=lambda pair: pair[0])]


def draw_exercise(seed: int, number: int) -> Exercise:
    """Return the exercise of worksheet `number` (from 1): the same for the same seed, however many trainees there are.

    Screws are dealt round the class, so that neighbours have different ones, and every third thread is left-hand. The
    readings are the window's two edges, one inside, one below and one above, one of the five left out.
    """
    deal, draw = _Draw(seed, 0), _Draw(seed, number)
    joint = deal.mixed(_JOINTS)[number % len(_JOINTS)]
    hand = "left" if (number + deal.whole(1, LEFT_HAND_EVERY)) % LEFT_HAND_EVERY == 0 else "right"
    turn, (plus, minus) = draw.one_of(_TURNS), draw.one_of(_TOLERANCES)
    spec = parse_spec(f"{draw.one_of(joint.snug)} + {turn}° +{plus}/-{minus}", hand)
    socket = parse_socket(draw.one_of((6, 12)), joint.drive, around=joint.around, opening=joint.opening)
    play = socket.play()
    assert play is not None, f"the tables lack the opening {joint.opening}"
    low, high = turn - minus, turn + plus
    readings = [low, high, draw.whole(low + 1, high - 1), low - draw.whole(1, 9), high + draw.whole(1, 9)]
    return Exercise(
        number=number,
        spec=spec,
        socket=socket,
        around=parse_length(joint.around),
        thread=parse_thread(joint.thread),
        readings_deg=tuple(map(float, draw.mixed(readings)[:4])),
        overshoot_deg=float(high + draw.whole(3, 20)),
        slack_deg=round(play.deg, 1),  # the worksheet gives it to 0.1°, and the answer starts from what it gives
        slack_reading_deg=float(draw.whole(low, high)),
    )


def answers_to(exercise: Exercise) -> Answers:
    """Return every result that a worksheet asks for. A reading exactly on an edge is inside the window."""
    low_deg, high_deg = exercise.limits_deg
    past_deg = exercise.overshoot_deg - high_deg
    fastener_deg = exercise.slack_reading_deg - 2 * exercise.slack_deg
    named = (("low edge", low_deg), ("turn", exercise.stage.turn_deg), ("high edge", high_deg))
    return Answers(
        places=tuple(_place(name, deg, exercise.socket.points) for name, deg in named),
        clockwise=exercise.spec.clockwise,
        advance_mm=exercise.thread.advance_mm(exercise.stage.turn_deg),
        inside=tuple(_inside(deg, exercise.stage) for deg in exercise.readings_deg),
        past_deg=past_deg,
        past_mm=exercise.thread.advance_mm(past_deg),
        along_mm=arc_mm(exercise.around.mm, low_deg),
        fastener_deg=fastener_deg,
        fastener_inside=_inside(fastener_deg, exercise.stage),
        torque=_other_unit(exercise.snug),
    )


def _place(name: str, deg: float, points: int) -> Place:
    corners = math.floor((deg + SAME_DEG) * points / 360.0)
    return Place(name, deg, corners, max(0.0, deg - corners * 360.0 / points), where(deg, points))


def _inside(deg: float, stage: Stage) -> bool:
    window = stage.window
    return window is not None and window.low_deg - SAME_DEG <= deg <= window.high_deg + SAME_DEG


def _other_unit(torque: Torque) -> Torque:
    """Return a torque in lbf·ft as N·m, and any other one as lbf·ft."""
    if torque.unit == "lbf·ft":
        return Torque(torque.nm, "N·m")
    return Torque(torque.nm / nm_per_lbf_ft(), "lbf·ft")


def nm_per_lbf_ft() -> float:
    """Return how many N·m make one lbf·ft: 1.3558, from the exact pound, foot and standard gravity."""
    return factor("pound_force * foot", "newton * metre")


def demo_fastening() -> Fastening:
    """Return the screw of the handout's sums; its class and grip do not enter them.

    Its face turns on a ring from d to 1.5 d, so that the mean diameter of the friction under the head is 1.25 d
    (Shigley, Mechanical Engineering Design, 9th ed., section 8-8).
    """
    thread = parse_thread(DEMO_THREAD)
    d = thread.diameter_mm
    return Fastening(thread, parse_strength("10.9", thread), 3 * d, bearing_mm=1.5 * d, hole_mm=d)


def torque_shares(fastening: Fastening, friction: float) -> Shares:
    """Return how the torque on a screw is spent when thread and head have the same coefficient of friction.

    Each of the three terms of `Fastening.torque_arm_mm` (ISO 16047, VDI 2230) over their sum. M12 × 1.75 with
    μ = 0.12 and a mean bearing diameter of 1.25 d: 0.144, 0.390, 0.466.
    """
    pitch = fastening.torque_arm_mm(0.0, 0.0)
    thread = fastening.torque_arm_mm(friction, 0.0) - pitch
    head = fastening.torque_arm_mm(0.0, friction) - pitch
    total = pitch + thread + head
    return Shares(pitch / total, thread / total, head / total)


def preload_gain(fastening: Fastening, more: float, less: float) -> float:
    """Return how many times the preload grows when friction falls from `more` to `less` at the same torque.

    M12 × 1.75 from 0.14 to 0.10, with a mean bearing diameter of 1.25 d: 1.33.
    """
    return fastening.torque_arm_mm(more, more) / fastening.torque_arm_mm(less, less)


def plan_lesson(lesson: Lesson) -> LessonPlan:
    """Return all the numbers of a teaching set."""
    stops = (mark for number, stage in enumerate(lesson.spec.stages, 1) for mark in stop_marks(stage, number))
    exercises = tuple(draw_exercise(lesson.seed, number) for number in range(1, lesson.trainees + 1))
    return LessonPlan(lesson, (mark_at("start", None, 0.0), *stops), exercises, tuple(map(answers_to, exercises)))


def read_lesson(
    spec: str,
    *,
    points: int = 12,
    thread: str = "right",
    trainees: int = 12,
    seed: int = 1,
    paper: str = "a4",
    margin: str | None = None,
    printer: str | None = None,
    title: str = "",
) -> Lesson:
    """Return the lesson described by texts as a user writes them. Raises a MarkingError for the text at fault."""
    sheet, _ = read_sheet(paper, margin, printer)
    return Lesson(parse_spec(spec, thread), points, trainees, seed, sheet, title)


def lesson_data(plan: LessonPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return all questions and answers as JSON-ready data; numbers are not rounded."""
    lesson = plan.lesson
    return {
        "spec": spec_data(lesson.spec),
        "points": lesson.points,
        "seed": lesson.seed,
        "marks": [
            {
                "kind": mark.kind,
                "stage": mark.stage,
                "deg": mark.deg,
                "full_turns": mark.full_turns,
                "where": place_in_words(mark, lesson.points),
            }
            for mark in plan.marks
        ],
        "sheets": [
            {"sheet": exercise.number, "given": _given(exercise), "answers": _results(answers)}
            for exercise, answers in zip(plan.exercises, plan.answers, strict=True)
        ],
        "files": list(files),
    }


def _given(exercise: Exercise) -> dict[str, Any]:
    opening = exercise.socket.opening
    return {
        "spec": spec_data(exercise.spec),
        "points": exercise.socket.points,
        "drive_in": exercise.socket.drive.size_in,
        "opening_mm": opening.mm if opening else None,
        "around_mm": exercise.around.mm,
        "thread": exercise.thread.name,
        "pitch_mm": exercise.thread.pitch_mm,
        "readings_deg": list(exercise.readings_deg),
        "overshoot_deg": exercise.overshoot_deg,
        "slack_deg": exercise.slack_deg,
        "slack_reading_deg": exercise.slack_reading_deg,
    }


def _results(answers: Answers) -> dict[str, Any]:
    return {
        "places": [{"name": place.name, "deg": place.deg, "where": place.where} for place in answers.places],
        "socket_turns": "clockwise" if answers.clockwise else "counterclockwise",
        "window_on_socket": "counterclockwise" if answers.clockwise else "clockwise",
        "window_on_part_ring": "clockwise" if answers.clockwise else "counterclockwise",
        "advance_mm": answers.advance_mm,
        "inside": list(answers.inside),
        "past_deg": answers.past_deg,
        "past_mm": answers.past_mm,
        "along_mm": answers.along_mm,
        "fastener_deg": answers.fastener_deg,
        "fastener_inside": answers.fastener_inside,
        "torque": answers.torque.value,
        "torque_unit": answers.torque.unit,
    }
