"""The sheets of a teaching set: the handout, a worksheet for each trainee, and the answer key."""

from __future__ import annotations

from ...drawing.fonts import printable
from ...drawing.primitives import Document
from ...sheets.parts import MAX_TITLE
from ...sheets.sheet import Sheet
from .answer_key import put_key
from .demo import DEMO
from .handout import put_handout
from .plan import LessonPlan
from .words import TEACHING
from .worksheet import put_worksheet

DEFAULT_TITLE = "Torque, then turn: a lesson"


def draw(plan: LessonPlan, command: str = "") -> Document:
    """Return the finished pages of a teaching set: handout, worksheets, answer key, `command` at the foot of each.

    Raises CharacterError for a title that cannot be printed and LayoutError for paper too small.
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
    for exercise in plan.exercises:
        put_worksheet(sheet, plan, exercise)
    put_key(sheet, plan)
    return sheet.document()
