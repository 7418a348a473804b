"""The record card: a plan of the fasteners numbered in tightening order, and boxes to fill in for each stage."""

from __future__ import annotations

from ...drawing.fonts import BODY_PT, MM_PER_PT, NOTE_PT, SEMIBOLD, line_pitch_mm
from ...drawing.primitives import Document, Drawing, Group, Polyline, moved
from ...errors import LayoutError
from ...sheets.blocks import captioned, listed, paragraph, stacked
from ...sheets.furniture import TITLE_PT
from ...sheets.parts import (
    WIDEST_MM,
    WIDEST_WORDS_MM,
    new_record_page,
    put_record,
    record_head,
    record_width_mm,
    sheet_header,
)
from ...sheets.procedure import joined, procedure
from ...sheets.sheet import Sheet
from ...sheets.words import CAUTIONS
from .figure import draw_plan, tightening_arrow
from .plan import RecordPlan
from .request import RecordRequest
from .words import CROSSWISE, MANUAL_FIRST, MANUAL_REASON, ORDER, OUTWARD, PLAN

LEAST_BESIDE_MM = 56.0
"""Least width for words beside the plan; with less room they go below."""

PLAN_GAP_MM, CAPTION_MM, MOST_CAPTION_LINES = 2.0, 60.0, 4
"""Space below the plan; least width and most lines of the words under it."""


def draw(plan: RecordPlan, command: str = "") -> Document:
    """Return the finished pages of a record card, each with `command` at its foot.

    Raises LayoutError for paper on which plan or boxes find no room, CharacterError for a title that cannot be printed.
    """
    job = plan.job
    header = sheet_header(job.title, job.spec, f"record card · {job.pattern}")
    sheet = Sheet(job.paper, header, "", command)
    sheet.new_page()
    for block in (_manual_first, record_head):
        sheet.put(block(record_width_mm(sheet)))
        sheet.new_row()
    _put_plan(sheet, plan)
    _put_words(sheet, job)
    put_record(sheet, job.spec, [fastener.position for fastener in plan.fasteners])
    return sheet.document()


def _manual_first(width: float) -> Drawing:
    """The sentence that nobody may miss, in a box."""
    room = width - 2 * BODY_PT * MM_PER_PT
    words = stacked([paragraph(MANUAL_FIRST, room, TITLE_PT, SEMIBOLD), paragraph(MANUAL_REASON, room)], 0.0)
    height = words.height_mm + 4.0
    box = Polyline(((0, 0), (width, 0), (width, height), (0, height)), "box-strong", closed=True)
    return Drawing(width, height, Group("manual-first", (box, moved(words.content, (width - room) / 2, 2.0))))


def _put_plan(sheet: Sheet, plan: RecordPlan) -> None:
    """The plan on this page, or on a page of its own when it would be too small to read on the rest of this one."""
    try:
        sheet.put(plan_with_words(plan, *sheet.room_mm()))
    except LayoutError:
        new_record_page(sheet)
        try:
            drawn = plan_with_words(plan, *sheet.room_mm())
        except LayoutError:
            drawn = plan_with_words(plan, *sheet.room_mm(), sparse=True)
        sheet.put(drawn)


def plan_with_words(plan: RecordPlan, width: float, height: float, sparse: bool = False) -> Drawing:
    """Return the plan, the way to tighten below it, and what its numbers mean.

    Raises LayoutError where its numbers would be too small to read, or, if `sparse`, its fasteners.
    """
    arrow = tightening_arrow(plan.job.spec)
    below = arrow.height_mm + PLAN_GAP_MM + MOST_CAPTION_LINES * line_pitch_mm(NOTE_PT)
    plan_and_arrow = stacked([draw_plan(plan, width, height - below, sparse), arrow], PLAN_GAP_MM)
    return captioned(plan_and_arrow, [plan_words(plan)], CAPTION_MM)


def plan_words(plan: RecordPlan) -> str:
    """What the plan is, and what its numbers mean."""
    order = [ORDER.format(rule=CROSSWISE if plan.job.rows is None else OUTWARD)] if plan.job.fasteners > 1 else []
    return joined(PLAN, *order)


def _put_words(sheet: Sheet, job: RecordRequest) -> None:
    """Put the steps beside the plan or below it, and the cautions under them or across the page, whichever is lower."""
    width, height = sheet.room_mm()
    if width < LEAST_BESIDE_MM or _work(job, width).height_mm > height:
        sheet.new_row()
        width, height = sheet.room_mm()
    if _work(job, width).height_mm > height:
        new_record_page(sheet)
        width, height = sheet.room_mm()
    first = 1
    while (work := _work(job, width, first)).height_mm > height:
        first += _put_some(sheet, job, width, first)
        width, height = sheet.room_mm()
    cautions = _cautions(sheet.paper.content_width_mm)
    both = stacked([work, _cautions(min(width, WIDEST_WORDS_MM))])
    more_mm = both.height_mm - max(sheet.row_mm, work.height_mm)
    if both.height_mm <= height and more_mm < cautions.height_mm:
        sheet.put(both)
        return
    sheet.put(work)
    sheet.new_row()
    if cautions.height_mm > sheet.room_mm()[1]:
        new_record_page(sheet)
    sheet.put(cautions)


def _put_some(sheet: Sheet, job: RecordRequest, width: float, first: int) -> int:
    """Put as many steps as this page holds, begin the next, and return how many they were."""
    height, count = sheet.room_mm()[1], 1
    while _work(job, width, first, count + 1).height_mm <= height:
        count += 1
    sheet.put(_work(job, width, first, count))
    new_record_page(sheet)
    return count


def _work(job: RecordRequest, width: float, first: int = 1, count: int | None = None) -> Drawing:
    """The steps from `first` on, all of them or so many."""
    entries = procedure(job.spec, job.fasteners)[first - 1 :][:count]
    heading = "Work in this order" if first == 1 else "Work in this order, continued"
    return listed(heading, entries, min(width, WIDEST_WORDS_MM), numbered=True, first=first)


def _cautions(width: float) -> Drawing:
    return listed("Cautions", CAUTIONS, min(width, WIDEST_MM), numbered=False)
