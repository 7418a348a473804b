"""The numbers of a lesson as JSON-ready data."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ...marks.stage_marks import place_in_words
from ...reports import spec_data
from .exercise import Exercise
from .plan import Answers, LessonPlan


def data(plan: LessonPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return all questions and answers as JSON-ready data; numbers are not rounded."""
    lesson = plan.lesson
    return {
        "spec": spec_data(lesson.spec),
        "points": lesson.points,
        "seed": lesson.seed,
        "marks": [mark._asdict() | {"where": place_in_words(mark, lesson.points)} for mark in plan.marks],
        "sheets": [
            {
                "sheet": exercise.number,
                "name": lesson.name_of(exercise.number) or None,
                "given": _given(exercise),
                "answers": _results(answers),
            }
            for exercise, answers in zip(plan.exercises, plan.answers, strict=True)
        ],
        "warnings": [*map(str, plan.warnings)],
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
