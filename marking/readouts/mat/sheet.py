"""The sheet of a mat: the mat, where its marks lie, how well they read, how to mark the socket and to tighten."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from ...drawing.primitives import Document, Drawing
from ...marks.stage_marks import Mark
from ...quantities.shown import shown_degrees, shown_length
from ...sheets.blocks import captioned, listed, stacked
from ...sheets.parts import mark_table, sheet_header, small_records
from ...sheets.sheet import GAP_MM, WIDEST_MM, Sheet
from ...sheets.words import CAUTIONS
from .figure import draw_mat
from .plan import MatPlan
from .words import caption, marking_steps, reading_error, use_steps

BESIDE_MM, LEAST_BESIDE_MM = 65.0, 60.0
"""Least width for table and words beside the mat, and for words beside the table; with less room they go below."""

COLUMN_MM, RECORD_GAP_MM, ROW_MM = 80.0, 2.5, 5.0
"""Least width of a column of steps, the space between steps and record, height of the record's rows."""


def draw(plan: MatPlan) -> Document:
    """Return the finished pages of a mat.

    Raises LayoutError for what does not fit on the paper and CharacterError for a title that cannot be printed.
    """
    job = plan.job
    header = sheet_header(job.title, job.spec, f"{job.socket_line} · mat")
    sheet = Sheet(job.paper, header)
    sheet.new_page()
    width = sheet.paper.content_width_mm
    put_mat(
        sheet,
        plan,
        list(small_records(job.spec, job.fasteners, width, sheet.empty_height_mm, ROW_MM, low_head=True)),
    )
    return Document(sheet.pages(), header[0], " · ".join(header[1:]))


def put_mat(sheet: Sheet, plan: MatPlan, records: Sequence[Drawing] = ()) -> None:
    """Put mat, marks, reading error, steps, cautions and records on a sheet, from a new row of its present page on.

    Raises LayoutError for a mat larger than the paper.
    """
    sheet.new_row()
    words = caption(plan.layout.clockwise, bool(plan.layout.corners))
    mat = captioned(draw_mat(plan.layout), [words], 60.0)
    sheet.put(mat)
    _put_numbers(sheet, plan, mat.height_mm)
    sheet.new_row()
    room = sheet.room_mm()[0]
    wide = room >= 2 * COLUMN_MM
    column = (room - GAP_MM) / 2 if wide else min(room, WIDEST_MM)
    mark = listed("Mark the socket", _marking(plan), column, numbered=True)
    tighten = listed("Tighten", _use(plan), column, numbered=True)
    cautions = listed("Cautions", CAUTIONS, column, numbered=False)
    columns = (stacked([mark, cautions]), stacked([tighten, *records], RECORD_GAP_MM))
    fit = wide and all(c.width_mm <= column and c.height_mm <= sheet.room_mm()[1] for c in columns)
    for block in columns if fit else (mark, tighten, cautions, *records):
        sheet.put(block)


def _marking(plan: MatPlan) -> list[str]:
    job, layout = plan.job, plan.layout
    return marking_steps(layout.clockwise, layout.stages, layout.known, job.ods_text, job.start, job.mat_model)


def _use(plan: MatPlan) -> list[str]:
    job = plan.job
    play = job.socket.play()
    return use_steps(job.spec, plan.budgets, play.deg if play else None, job.model.gap_mm)


def _put_numbers(sheet: Sheet, plan: MatPlan, height: float) -> None:
    """Where the marks lie and the reading error: beside the mat, `height` high, if there is room, else below it."""
    room = sheet.room_mm()[0]
    if room >= BESIDE_MM:
        numbers = stacked([_mark_table(plan, room), _error_list(plan, room)])
        if numbers.height_mm <= height:
            sheet.put(numbers)
            return
        sheet.put(_error_list(plan, room))
        sheet.new_row()
        sheet.put(_mark_table(plan, sheet.room_mm()[0]))
        return
    sheet.new_row()
    sheet.put(_mark_table(plan, sheet.room_mm()[0]))
    if sheet.room_mm()[0] < LEAST_BESIDE_MM:
        sheet.new_row()
    sheet.put(_error_list(plan, min(sheet.room_mm()[0], WIDEST_MM)))


def _error_list(plan: MatPlan, width: float) -> Drawing:
    job, layout = plan.job, plan.layout
    ods = (shown_length(layout.low_od_mm, layout.unit), shown_length(layout.high_od_mm, layout.unit))
    lines = reading_error(plan.budgets, plan.largest, plan.aim_from, ods, job.model, job.mat_model)
    return listed("Reading error and aim", lines, width, numbered=False)


def _mark_table(plan: MatPlan, widest: float) -> Drawing:
    """Where every mark lies: degrees, round the wall where the OD is known, and on the socket where its points are."""
    columns: dict[str, Callable[[Mark], str]] = {}
    if any(mark.full_turns for mark in plan.marks):
        columns["on the mat"] = lambda mark: shown_degrees(mark.deg, 1)
    if plan.layout.known:
        columns["round the wall"] = lambda mark: shown_length(plan.along_mm(mark) or 0.0, plan.layout.unit)
    if plan.job.points:
        columns["on the socket"] = lambda mark: plan.where(mark) or ""
    return mark_table(plan.marks, columns, widest)
