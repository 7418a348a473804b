"""The answer key of a lesson."""

from __future__ import annotations

from collections.abc import Sequence

from ...drawing.fonts import HEAD_PT, NOTE_PT, RISE, SEMIBOLD, line_pitch_mm, wrap
from ...drawing.primitives import Drawing, Group, Line, Primitive, Text
from ...drawing.transform import moved
from ...marks.stage_marks import stages_of
from ...sheets.blocks import paragraph
from ...sheets.columns import WIDEST_MM, begin_page
from ...sheets.furniture import TITLE_PT
from ...sheets.sheet import GAP_MM, Sheet
from .exercise import Exercise
from .figures import View, draw_key
from .plan import Answers, LessonPlan
from .words import hand_of, key_lines
from .worksheet import NUMBER_MM, sheet_number

KEY_TITLE = "Answer key: for the instructor"

KEY_RADIUS_MM, KEY_RING_MM = 12.5, 4.5


def put_key(sheet: Sheet, plan: LessonPlan) -> None:
    """All results, sheet by sheet, each with its working and a small socket."""
    width = sheet.paper.content_width_mm
    strip = paragraph(KEY_TITLE, width, TITLE_PT, SEMIBOLD)
    begin_page(sheet, strip)
    for exercise, answers in zip(plan.exercises, plan.answers, strict=True):
        key = _key(plan, exercise, answers, min(width, 2 * WIDEST_MM))
        if key.height_mm > sheet.room_mm()[1]:
            begin_page(sheet, strip)
        sheet.put(key)
        sheet.new_row()


def _key(plan: LessonPlan, exercise: Exercise, answers: Answers, width: float) -> Drawing:
    """One sheet's results beside its socket."""
    view = View(
        exercise.socket.points, exercise.spec.clockwise, stages_of((exercise.stage,)), KEY_RADIUS_MM, KEY_RING_MM
    )
    figure = draw_key(view, (("sheet", str(exercise.number)),))
    left = figure.width_mm + GAP_MM
    about = (
        f"{exercise.spec.read_as} · {exercise.socket.points}-point · {exercise.thread.name}, {hand_of(exercise.spec)}"
    )
    words = _results(sheet_number(plan, exercise), about, key_lines(exercise, answers), width - left)
    height = max(figure.height_mm, words.height_mm) + 2.0
    parts = (
        Line(0.0, height, width, height, "rule"),
        moved(figure.content, 0.0, height - 2.0 - figure.height_mm),
        moved(words.content, left, height - 2.0 - words.height_mm),
    )
    return Drawing(width, height, Group("key", parts, (("sheet", str(exercise.number)),)))


def _results(title: str, about: str, lines: Sequence[tuple[str, str]], width: float) -> Drawing:
    """A title, what was given, and numbered results."""
    pitch = line_pitch_mm(NOTE_PT)
    wrapped = [(number, wrap(text, width - NUMBER_MM, NOTE_PT)) for number, text in lines]
    head = line_pitch_mm(HEAD_PT)
    given = wrap(about, width, NOTE_PT)
    depth = head + pitch * (len(given) + sum(len(rows) for _, rows in wrapped)) + 1.0
    y = depth - RISE * head
    items: list[Primitive] = [Text(0.0, y, title, HEAD_PT, SEMIBOLD)]
    y = depth - head - RISE * pitch
    for line in given:
        items.append(Text(0.0, y, line, NOTE_PT, SEMIBOLD))
        y -= pitch
    y -= 1.0
    for number, rows in wrapped:
        items.append(Text(0.0, y, number, NOTE_PT, SEMIBOLD))
        items += [Text(NUMBER_MM, y - pitch * k, row, NOTE_PT) for k, row in enumerate(rows)]
        y -= pitch * len(rows)
    return Drawing(width, depth, Group("results", tuple(items)))
