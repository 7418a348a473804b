"""The sheets of a teaching set: the handout, worksheets, practice pages, and the answer key."""

from __future__ import annotations

from ...drawing.fonts import printable
from ...drawing.primitives import Document
from ...sheets.furniture import RULER_NOTE
from ...sheets.parts import MAX_TITLE
from ...sheets.sheet import Sheet
from .answer_key import put_key
from .demo import DEMO
from .handout import put_handout
from .plan import LessonPlan
from .practice_page import put_practice
from .words import DEFAULT_TITLE, TEACHING, use_of
from .worksheet import put_worksheet


def draw(plan: LessonPlan, command: str = "") -> Document:
    """Return the finished pages of a teaching set: handout, worksheets, practice pages, answer key.

    `command` stands at the foot of each. The key is a document apart where a file is named for it. Raises
    CharacterError for a title that cannot be printed and LayoutError for paper too small.
    """
    lesson = plan.lesson
    count = f"{lesson.trainees} worksheet{'' if lesson.trainees == 1 else 's'}"
    header = (
        printable(lesson.title, "title", MAX_TITLE) or DEFAULT_TITLE,
        f"{count} · seed {lesson.seed} · {DEMO}",
        TEACHING,
    )
    sheet = Sheet(lesson.paper, header, "", command)
    put_handout(sheet, plan)
    ends = [sheet.page_count]
    for exercise in plan.exercises:
        put_worksheet(sheet, plan, exercise)
    ends.append(sheet.page_count)
    sheet.ruler_note = RULER_NOTE
    for exercise, practice in zip(plan.exercises, plan.practices, strict=False):
        put_practice(sheet, plan, exercise, practice)
    ends.append(sheet.page_count)
    sheet.ruler_note = ""
    key = Sheet(lesson.paper, header, "", command) if lesson.key else sheet
    put_key(key, plan)
    ends.append(sheet.page_count)
    document = sheet.document()._replace(use=use_of(ends, lesson.trainees, lesson.key))
    return document._replace(apart=((lesson.key, key.document()),)) if lesson.key else document
