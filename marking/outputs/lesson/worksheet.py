"""The worksheet of one trainee."""

from __future__ import annotations

from ...drawing.emphasis import left_hand, left_hand_size_mm
from ...drawing.fonts import BODY_PT, HEAD_PT, RISE, SEMIBOLD, line_pitch_mm, text_width_mm, wrap
from ...drawing.primitives import Drawing, Group, Line, Primitive, Text
from ...quantities.shown import shown_degrees
from ...sheets.blocks import centred, table
from ...sheets.columns import column_mm, put_columns
from ...sheets.sheet import Sheet
from .demo import DEMO
from .exercise import Exercise
from .figures import View, draw_blank
from .plan import LessonPlan
from .words import hand_of, pitch_in_words, tasks_of

ANSWER_MM, FIRST_ANSWER_MM = 8.0, 6.5
"""From one line to write on to the next, and from the question to its first line."""

NUMBER_MM = 5.0

EXERCISE_RADIUS_MM, EXERCISE_RING_MM = 27.0, 10.0


def put_worksheet(sheet: Sheet, plan: LessonPlan, exercise: Exercise) -> None:
    """One trainee's sheet, from a new page on."""
    width = column_mm(sheet)
    view = View(exercise.socket.points, exercise.spec.clockwise, (), EXERCISE_RADIUS_MM, EXERCISE_RING_MM)
    figure = centred(draw_blank(view, (("sheet", str(exercise.number)),)), width)
    strip = name_strip(plan, exercise, sheet.paper.content_width_mm)
    tasks = [_task(number, *task, width) for number, task in enumerate(tasks_of(exercise), 1)]
    put_columns(sheet, [[block] for block in (_given(exercise, width), figure, *tasks)], strip)


def sheet_number(plan: LessonPlan, exercise: Exercise) -> str:
    """Return which sheet of which series this is."""
    return f"Sheet {exercise.number} of {plan.lesson.trainees} · seed {plan.lesson.seed}"


def name_strip(plan: LessonPlan, exercise: Exercise, width: float) -> Drawing:
    """The sheet's number, LEFT-HAND where it is of such a thread, and lines for name and date, the name if known."""
    title = sheet_number(plan, exercise)
    x = text_width_mm(title, HEAD_PT, SEMIBOLD) + 6.0
    items: list[Primitive] = [Text(0.0, 1.5, title, HEAD_PT, SEMIBOLD)]
    black = () if exercise.spec.clockwise else left_hand(width, 0.8, HEAD_PT, "end")
    right = width - (left_hand_size_mm(HEAD_PT)[0] + 3.0 if black else 0.0)
    split = x + (right - x) * 0.68
    for label, begin, end in (("Name", x, split - 4.0), ("Date", split, right)):
        line = begin + text_width_mm(label, BODY_PT) + 1.5
        items += [Text(begin, 1.5, label, BODY_PT), Line(line, 1.0, end, 1.0, "rule")]
        if label == "Name":
            name_at, room = line + 1.0, end - line - 1.0
    pitch = line_pitch_mm(BODY_PT)
    lines = wrap(plan.lesson.name_of(exercise.number), room, BODY_PT, SEMIBOLD)
    names = (Text(name_at, 1.8 + pitch * k, line, BODY_PT, SEMIBOLD) for k, line in enumerate(reversed(lines)))
    return Drawing(width, 6.0 + pitch * max(0, len(lines) - 1), Group("name-strip", (*items, *names, *black)))


def _given(exercise: Exercise, width: float) -> Drawing:
    """What the sheet gives."""
    socket, thread = exercise.socket, exercise.thread
    opening = f" · opening {socket.opening.text}" if socket.opening else ""
    rows = [
        ("spec", exercise.spec.read_as),
        ("socket", f"{socket.points}-point · {socket.drive.inch} in drive{opening}"),
        ("thread", f"{thread.name}, {hand_of(exercise.spec)}, {pitch_in_words(thread)}"),
        ("slack", f"{shown_degrees(exercise.slack_deg)} each way between socket and fastener"),
        ("length", f"a strip of paper closes round the socket at {exercise.around.text}"),
    ]
    return table("", [("given", 14.0), (DEMO, width - 14.0)], rows)


def _task(number: int, question: str, labels: tuple[str, ...], width: float) -> Drawing:
    """A numbered question and lines to write on, each with its label."""
    lines = wrap(question, width - NUMBER_MM, BODY_PT)
    pitch = line_pitch_mm(BODY_PT)
    depth = pitch * len(lines) + (FIRST_ANSWER_MM + ANSWER_MM * (len(labels) - 1) if labels else 0.0)
    first = depth - RISE * pitch
    items: list[Primitive] = [
        Text(0.0, first, str(number), BODY_PT, SEMIBOLD),
        *(Text(NUMBER_MM, first - pitch * k, line, BODY_PT) for k, line in enumerate(lines)),
    ]
    y = depth - pitch * len(lines) - FIRST_ANSWER_MM
    for label in labels:
        begin = NUMBER_MM + (text_width_mm(label, BODY_PT) + 1.5 if label else 0.0)
        items += [*([Text(NUMBER_MM, y + 0.5, label, BODY_PT)] if label else []), Line(begin, y, width, y, "rule")]
        y -= ANSWER_MM
    return Drawing(width, depth, Group("task", tuple(items), (("number", str(number)),)))
