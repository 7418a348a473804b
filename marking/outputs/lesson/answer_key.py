"""The answer key of a lesson."""

from __future__ import annotations

from collections.abc import Sequence

from ...drawing.emphasis import left_hand, left_hand_size_mm
from ...drawing.fonts import HEAD_PT, RISE, SEMIBOLD, line_pitch_mm, wrap
from ...drawing.primitives import Drawing, Group, Line, Primitive, Text, moved
from ...marks.stage_marks import stages_of
from ...sheets.blocks import paragraph
from ...sheets.columns import WIDEST_MM, begin_page
from ...sheets.furniture import TITLE_PT
from ...sheets.sheet import GAP_MM, Sheet
from .exercise import Exercise
from .figures import View, draw_key
from .plan import Answers, LessonPlan
from .words import hand_of, key_lines, practice_line
from .worksheet import NUMBER_MM, sheet_number

KEY_TITLE = "Answer key: for the instructor"

KEY_PT = 8.5

LEFT_HAND_DROP_MM = 0.8
"""How far the black box of LEFT-HAND reaches below the title's baseline."""

KEY_RADIUS_MM, KEY_RING_MM = 12.5, 4.5


def put_key(sheet: Sheet, plan: LessonPlan) -> None:
    """All results, sheet by sheet, each with its working beside a small socket, which the smallest pages leave out."""
    width = sheet.paper.content_width_mm
    strip = paragraph(KEY_TITLE, width, TITLE_PT, SEMIBOLD)
    begin_page(sheet, strip)
    highest = sheet.room_mm()[1]
    for exercise, answers in zip(plan.exercises, plan.answers, strict=True):
        key = _key(plan, exercise, answers, min(width, 2 * WIDEST_MM), beside=True)
        if key.height_mm > highest:
            key = _key(plan, exercise, answers, width, beside=False)
        if key.height_mm > sheet.room_mm()[1]:
            begin_page(sheet, strip)
        sheet.put(key)
        sheet.new_row()


def _key(plan: LessonPlan, exercise: Exercise, answers: Answers, width: float, beside: bool) -> Drawing:
    """One sheet's results, `beside` its socket or without it."""
    stages = stages_of((exercise.stage,))
    view = View(exercise.socket.points, exercise.spec.clockwise, stages, KEY_RADIUS_MM, KEY_RING_MM)
    figure = draw_key(view, (("sheet", str(exercise.number)),))
    left = figure.width_mm + GAP_MM if beside else 0.0
    about = (
        f"{exercise.spec.read_as} · {exercise.socket.points}-point · {exercise.thread.name}, {hand_of(exercise.spec)}"
    )
    lines = [*key_lines(exercise, answers), *([practice_line(exercise)] if plan.practices else [])]
    title = " · ".join(filter(None, (sheet_number(plan, exercise), plan.lesson.name_of(exercise.number))))
    words = _results(title, about, lines, width - left, exercise.spec.clockwise)
    height = max(figure.height_mm if beside else 0.0, words.height_mm) + 2.0
    parts: tuple[Primitive | Group, ...] = (
        Line(0.0, height, width, height, "rule"),
        *([moved(figure.content, 0.0, height - 2.0 - figure.height_mm)] if beside else []),
        moved(words.content, left, height - 2.0 - words.height_mm),
    )
    return Drawing(width, height, Group("key", parts, (("sheet", str(exercise.number)),)))


def _results(title: str, about: str, lines: Sequence[tuple[str, str]], width: float, clockwise: bool) -> Drawing:
    """A title, LEFT-HAND behind it where the thread is one, what was given, and numbered results."""
    pitch = line_pitch_mm(KEY_PT)
    wrapped = [(number, wrap(text, width - NUMBER_MM, KEY_PT)) for number, text in lines]
    titles = wrap(title, width - (0.0 if clockwise else left_hand_size_mm(HEAD_PT)[0] + GAP_MM), HEAD_PT, SEMIBOLD)
    head = line_pitch_mm(HEAD_PT)
    given = wrap(about, width, KEY_PT)
    depth = head * len(titles) + pitch * (len(given) + sum(len(rows) for _, rows in wrapped)) + 1.0
    y = depth - RISE * head
    items: list[Primitive] = [Text(0.0, y - head * k, line, HEAD_PT, SEMIBOLD) for k, line in enumerate(titles)]
    if not clockwise:
        items += left_hand(width, y - LEFT_HAND_DROP_MM, HEAD_PT, "end")
    y = depth - head * len(titles) - RISE * pitch
    for line in given:
        items.append(Text(0.0, y, line, KEY_PT, SEMIBOLD))
        y -= pitch
    y -= 1.0
    for number, rows in wrapped:
        items.append(Text(0.0, y, number, KEY_PT, SEMIBOLD))
        items += [Text(NUMBER_MM, y - pitch * k, row, KEY_PT) for k, row in enumerate(rows)]
        y -= pitch * len(rows)
    return Drawing(width, depth, Group("results", tuple(items)))
