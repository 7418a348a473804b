"""The practice page of one trainee: what is cut out above a heavy line, what is done and filled in below it."""

from __future__ import annotations

from ...drawing.fonts import NOTE_PT, RISE, line_pitch_mm
from ...drawing.primitives import Drawing, Group, Line, Text
from ...readouts.mat.figure import draw_mat
from ...readouts.part_ring.figure import draw_ring
from ...sheets.blocks import level, listed, paragraph, stacked, table
from ...sheets.sheet import GAP_MM, Sheet
from ..blank.figure import draw_blank_band
from .exercise import Exercise
from .plan import LessonPlan
from .practice import Practice
from .practice_words import HEADING, LOOSE, READ_CARD, ROWS, STAYS, TABLE, TITLES, band_lines, needs, practice_steps
from .worksheet import name_strip

STEP_PT, ROW_MM, BLOCK_GAP_MM = 8.0, 5.8, 1.5

STEPS_SHARE, BOX_MM = 0.5, 13.0
"""Part of the width that the steps take, and width of a column to write in: a number with its unit, by hand."""


def put_practice(sheet: Sheet, plan: LessonPlan, exercise: Exercise, practice: Practice) -> None:
    """One trainee's practice page, from a new page on. Raises LayoutError for pieces larger than the page."""
    sheet.new_page()
    for band in practice.bands:
        sheet.put(draw_blank_band(band, band_lines(exercise.number, exercise.socket.points, practice.ods)))
        sheet.new_row()
    mat, card = draw_mat(practice.mat), draw_ring(practice.card)
    beside = sheet.paper.content_width_mm - mat.width_mm - GAP_MM
    words = [
        paragraph(text, max(card.width_mm, beside), STEP_PT) for text in (READ_CARD, needs(exercise, practice.ods))
    ]
    sheet.put(mat)
    sheet.put(stacked([card, *words], BLOCK_GAP_MM, "card"))
    sheet.new_row()
    sheet.put(_work(plan, exercise, sheet.paper.content_width_mm))
    sheet.new_row()


def _work(plan: LessonPlan, exercise: Exercise, width: float) -> Drawing:
    """What stays: whose it is, what to do, and what it should be and was."""
    steps_mm = width * STEPS_SHARE - GAP_MM
    table_mm = width - steps_mm - GAP_MM
    steps = listed(HEADING, practice_steps(exercise), steps_mm, numbered=True, size_pt=STEP_PT)
    columns = [(TITLES[0], table_mm - 3 * BOX_MM), *((title, BOX_MM) for title in TITLES[1:])]
    filled = table(TABLE, columns, [(what, should, "", "") for what, should in ROWS], ROW_MM, boxed=True)
    beside = stacked([filled, paragraph(LOOSE, table_mm, STEP_PT)], BLOCK_GAP_MM)
    blocks = level([steps, beside], (0.0, steps_mm + GAP_MM), width, "work")
    return stacked([_edge(width), name_strip(plan, exercise, width), blocks], BLOCK_GAP_MM, "practice")


def _edge(width: float) -> Drawing:
    """The heavy line below which the page stays whole."""
    height = line_pitch_mm(NOTE_PT) + 1.0
    words = Text(width, line_pitch_mm(NOTE_PT) * (1 - RISE), STAYS, NOTE_PT, anchor="end")
    return Drawing(width, height, Group("edge", (Line(0.0, height, width, height, "card-edge"), words)))
