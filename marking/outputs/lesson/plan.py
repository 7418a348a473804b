"""A lesson as numbers: the exercises of one seed and the answers to them."""

from __future__ import annotations

import math
from typing import NamedTuple

from ...fastening.spec import Stage
from ...marks.places import where
from ...marks.stage_marks import Mark, mark_at, stop_marks
from ...quantities.angles import SAME_DEG, arc_mm
from ...quantities.torque import Torque
from ...quantities.units import NM_PER_LBF_FT
from ...remarks import Remark
from .exercise import Exercise, draw_exercise
from .practice import LEAST_PAPER_MM, Practice, practice_for
from .practice_words import TOO_SMALL
from .request import LessonRequest


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


class LessonPlan(NamedTuple):
    """All the numbers of a teaching set."""

    lesson: LessonRequest
    marks: tuple[Mark, ...]
    exercises: tuple[Exercise, ...]
    answers: tuple[Answers, ...]
    practices: tuple[Practice, ...]
    """None, or one for each exercise."""
    warnings: tuple[Remark, ...] = ()


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
    return Torque(torque.nm / NM_PER_LBF_FT, "lbf·ft")


def plan(lesson: LessonRequest) -> LessonPlan:
    """Return all the numbers of a teaching set, without practice pages where the paper is too small for them."""
    stops = (mark for number, stage in enumerate(lesson.spec.stages, 1) for mark in stop_marks(stage, number))
    exercises = tuple(
        draw_exercise(lesson.seed, number, lesson.units, lesson.threads) for number in range(1, lesson.trainees + 1)
    )
    fits = lesson.paper.content_width_mm >= LEAST_PAPER_MM[0] and lesson.paper.content_height_mm >= LEAST_PAPER_MM[1]
    return LessonPlan(
        lesson,
        (mark_at("start", None, 0.0), *stops),
        exercises,
        tuple(map(answers_to, exercises)),
        tuple(practice_for(exercise, lesson.paper) for exercise in exercises if lesson.practice and fits),
        (*lesson.remarks, *([TOO_SMALL()] if lesson.practice and not fits else [])),
    )
