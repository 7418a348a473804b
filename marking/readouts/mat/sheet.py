"""The sheet of a mat: the mat, where its marks lie, how well they read, how to mark the socket and to tighten."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from ...drawing.primitives import Document, Drawing
from ...marks.stage_marks import Mark
from ...quantities.shown import shown_degrees, shown_length
from ...sheets.blocks import captioned, listed, stacked
from ...sheets.parts import sheet_header, small_records, under_low_head
from ...sheets.sheet import GAP_MM, WIDEST_MM, Sheet
from ...sheets.words import CAUTIONS
from ..numbers import put_numbers
from .figure import draw_mat
from .plan import MatPlan
from .words import caption, marking_steps, reading_error, use_steps

BESIDE_MM = 65.0
"""Least width for table and words beside the mat; with less room they go below."""

COLUMN_MM, RECORD_GAP_MM, ROW_MM = 80.0, 2.5, 5.0
"""Least width of a column of steps, the space between steps and record, height of the record's rows."""


def draw(plan: MatPlan, command: str = "") -> Document:
    """Return the finished pages of a mat, each with `command` at its foot.

    Raises LayoutError for what does not fit on the paper and CharacterError for a title that cannot be printed.
    """
    job = plan.job
    header = sheet_header(job.title, job.spec, f"{job.socket_line} · mat")
    sheet = Sheet(job.paper, header, command=command)
    sheet.new_page()
    width = sheet.paper.content_width_mm
    records = list(small_records(job.spec, job.fasteners, width, sheet.empty_height_mm, ROW_MM, headed=False))
    put_mat(sheet, plan, under_low_head(records, records[0].width_mm))
    return sheet.document()


def put_mat(sheet: Sheet, plan: MatPlan, records: Sequence[Drawing] = ()) -> None:
    """Put mat, marks, reading error, steps, cautions and records on a sheet, from a new row of its present page on.

    Raises LayoutError for a mat larger than the paper.
    """
    job, layout = plan.job, plan.layout
    sheet.new_row()
    mat = captioned(draw_mat(layout), [caption(layout.clockwise, bool(layout.corners))], 60.0)
    sheet.put(mat)
    ods = shown_length(layout.low_od_mm, layout.unit), shown_length(layout.high_od_mm, layout.unit)
    errors = reading_error(plan.budgets, plan.largest, plan.aim_from, ods, job.model, job.mat_model)
    put_numbers(sheet, plan.marks, _columns(plan), errors, BESIDE_MM, mat.height_mm)
    sheet.new_row()
    room = sheet.room_mm()[0]
    wide = room >= 2 * COLUMN_MM
    column = (room - GAP_MM) / 2 if wide else min(room, WIDEST_MM)
    marking = marking_steps(layout.clockwise, layout.stages, layout.known, job.ods_text, job.start, job.mat_model)
    steps = use_steps(job.spec, plan.budgets, job.socket.play(), job.model.gap_mm)
    mark = listed("Mark the socket", marking, column, numbered=True)
    tighten = listed("Tighten", steps, column, numbered=True)
    cautions = listed("Cautions", CAUTIONS, column, numbered=False)
    columns = (stacked([mark, cautions]), stacked([tighten, *records], RECORD_GAP_MM))
    fit = wide and all(c.width_mm <= column and c.height_mm <= sheet.room_mm()[1] for c in columns)
    for block in columns if fit else (mark, tighten, cautions, *records):
        sheet.put(block)


def _columns(plan: MatPlan) -> dict[str, Callable[[Mark], str]]:
    """Where a mark lies: degrees, round the wall where the OD is known, and on the socket where its points are."""
    columns: dict[str, Callable[[Mark], str]] = {}
    if any(mark.full_turns for mark in plan.marks):
        columns["on the mat"] = lambda mark: shown_degrees(mark.deg, 1)
    if plan.layout.known:
        columns["round the wall"] = lambda mark: shown_length(plan.along_mm(mark) or 0.0, plan.layout.unit)
    if plan.job.points:
        columns["on the socket"] = lambda mark: plan.where(mark) or ""
    return columns
