"""The record card: a plan of the fasteners numbered in tightening order, and boxes to fill in for each stage."""

from __future__ import annotations

import math

from ...drawing.fonts import BODY_PT, MM_PER_PT, NOTE_PT, SEMIBOLD, line_pitch_mm
from ...drawing.primitives import Document, Drawing, Group, Polyline
from ...drawing.transform import moved
from ...errors import LayoutError
from ...sheets.blocks import captioned, listed, paragraph, stacked, table
from ...sheets.furniture import TITLE_PT
from ...sheets.parts import RECORD_ROW_MM, WIDEST_MM, WIDEST_WORDS_MM, put_record, sheet_header
from ...sheets.sheet import Sheet
from ...sheets.words import CAUTIONS
from .figure import draw_plan, tightening_arrow
from .plan import RecordPlan
from .request import RecordRequest
from .words import steps

RULER_NOTE = "This page is to be written on, not measured: but for the two rulers nothing on it is to scale."

LEAST_BESIDE_MM = 56.0
"""Least width for words beside the plan; with less room they go below."""

PLAN_GAP_MM, CAPTION_MM, MOST_CAPTION_LINES = 3.0, 60.0, 4
"""Space below the plan; least width and most lines of the words under it."""


def draw(plan: RecordPlan) -> Document:
    """Return the finished pages of a record card.

    Raises LayoutError for paper on which plan or boxes find no room, CharacterError for a title that cannot be printed.
    """
    job = plan.job
    header = sheet_header(job.title, job.spec, f"record card · {job.pattern}")
    sheet = Sheet(job.paper, header, RULER_NOTE)
    sheet.new_page()
    for block in (_manual_first, _form):
        sheet.put(block(min(WIDEST_MM, sheet.room_mm()[0])))
        sheet.new_row()
    _put_plan(sheet, plan)
    _put_words(sheet, job)
    put_record(sheet, job.spec, job.fasteners)
    return Document(sheet.pages(), header[0], " · ".join(header[1:]))


def _manual_first(width: float) -> Drawing:
    """The sentence that nobody may miss, in a box."""
    room = width - 2 * BODY_PT * MM_PER_PT
    title = paragraph("The manual's order comes first.", room, TITLE_PT, SEMIBOLD)
    reason = (
        "The numbers on the plan are common practice, for manuals that give no order. Where the manual gives an order, "
        "stages or a number of passes, follow it: the record has a column for its numbers."
    )
    words = stacked([title, paragraph(reason, room)], 0.0)
    height = words.height_mm + 4.0
    box = Polyline(((0, 0), (width, 0), (width, height), (0, height)), "box-strong", closed=True)
    return Drawing(width, height, Group("manual-first", (box, moved(words.content, (width - room) / 2, 2.0))))


def _form(width: float) -> Drawing:
    """Boxes for part, date, wrench and technician: one line of them, or two on narrow paper."""
    upper, lower = [("part", 5), ("date", 3)], [("wrench number", 3), ("calibration due", 3), ("technician", 4)]
    drawn = []
    for line in [upper + lower] if width >= 150.0 else [upper, lower]:
        share = width / math.fsum(parts for _, parts in line)
        drawn.append(table("", [(title, share * parts) for title, parts in line], [("",)], RECORD_ROW_MM, boxed=True))
    return stacked(drawn)


def _put_plan(sheet: Sheet, plan: RecordPlan) -> None:
    """The plan on this page, or on a page of its own when it would be too small to read on the rest of this one."""
    width, height = sheet.room_mm()
    try:
        sheet.put(_plan_with_words(plan, width, height))
    except LayoutError:
        sheet.put(_plan_with_words(plan, width, sheet.empty_height_mm))


def _plan_with_words(plan: RecordPlan, width: float, height: float) -> Drawing:
    """The plan, the way to tighten below it, and what its numbers mean."""
    rule = "crosswise" if plan.job.rows is None else "from the middle outward"
    order = f"Each number is a fastener's place in the order, {rule}. " if plan.job.fasteners > 1 else ""
    words = (
        f"Plan, not to scale, seen from the drive end. {order}The box is for what is at the top of the part, such as "
        "its front."
    )
    arrow = tightening_arrow(plan.job.spec)
    below = arrow.height_mm + PLAN_GAP_MM + MOST_CAPTION_LINES * line_pitch_mm(NOTE_PT)
    return captioned(stacked([draw_plan(plan, width, height - below), arrow], PLAN_GAP_MM), [words], CAPTION_MM)


def _put_words(sheet: Sheet, job: RecordRequest) -> None:
    """Put the steps beside the plan or below it, and the cautions under them or across the page, whichever is lower."""
    width, height = sheet.room_mm()
    if width < LEAST_BESIDE_MM or _work(job, width).height_mm > height:
        sheet.new_row()
        width, height = sheet.room_mm()
    work, cautions = _work(job, width), _cautions(sheet.paper.content_width_mm)
    both = stacked([work, _cautions(min(width, WIDEST_WORDS_MM))])
    more_mm = both.height_mm - max(sheet.row_mm, work.height_mm)
    if both.height_mm <= height and more_mm < cautions.height_mm:
        sheet.put(both)
        return
    sheet.put(work)
    sheet.new_row()
    sheet.put(cautions)


def _work(job: RecordRequest, width: float) -> Drawing:
    return listed("Work in this order", steps(job.spec, job.fasteners), min(width, WIDEST_WORDS_MM), numbered=True)


def _cautions(width: float) -> Drawing:
    return listed("Cautions", CAUTIONS, min(width, WIDEST_MM), numbered=False)
