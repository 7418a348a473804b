"""The sheet of a mat: the mat, where its marks lie, how well they read, how to mark the socket and to tighten."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from ...drawing.fonts import NOTE_PT
from ...drawing.primitives import Document, Drawing
from ...marks.stage_marks import Mark
from ...quantities.shown import shown_degrees, shown_length
from ...sheets.balanced import HEADING_GAP_MM, Atom, columns_in, flowed, list_atoms
from ...sheets.blocks import captioned, noted, put_row
from ...sheets.parts import sheet_header, small_records, under_head
from ...sheets.sheet import Sheet
from ...sheets.words import CAUTIONS
from ..numbers import put_numbers
from .figure import draw_mat
from .plan import MatPlan
from .words import MARK_THE_SOCKET, RULERS, caption, marking_steps, reading_error, use_steps

BESIDE_MM = 65.0
"""Least width for table and words beside the mat; with less room they go below."""


def draw(plan: MatPlan, command: str = "") -> Document:
    """Return the finished pages of a mat, each with `command` at its foot.

    Raises LayoutError for what does not fit on the paper and CharacterError for a title that cannot be printed.
    """
    job = plan.job
    header = sheet_header(job.title, job.spec, f"{job.socket_line} · mat")
    sheet = Sheet(job.paper, header, command=command)
    sheet.new_page()
    width = sheet.paper.content_width_mm
    records = list(small_records(job.spec, job.fasteners, width, sheet.empty_height_mm, headed=False))
    _put(sheet, plan, under_head(records, records[0].width_mm))
    return sheet.document()


def marking(plan: MatPlan) -> list[str]:
    """Return how to mark the socket on the mat, step by step, once the rulers are measured."""
    job, layout = plan.job, plan.layout
    return marking_steps(layout.clockwise, layout.stages, layout.known, job.ods_text, job.start, job.mat_model)


def _put(sheet: Sheet, plan: MatPlan, records: Sequence[Drawing]) -> None:
    """Put mat, marks, reading error, steps, cautions and records on a sheet."""
    job, layout = plan.job, plan.layout
    mat = captioned(draw_mat(layout), [caption(layout.clockwise, bool(layout.corners))], 60.0)
    sheet.put(mat)
    ods = shown_length(layout.low_od_mm, layout.unit), shown_length(layout.high_od_mm, layout.unit)
    errors = reading_error(plan.budgets, plan.largest, plan.aim_from, ods, job.model, job.mat_model)
    put_numbers(sheet, plan.marks, _columns(plan), errors, BESIDE_MM, mat.height_mm)
    _, column = columns_in(sheet.paper.content_width_mm)
    steps = use_steps(job.spec, plan.budgets, job.socket.play(), job.model.gap_mm)
    mark, tighten = list_atoms(MARK_THE_SOCKET, [RULERS, *marking(plan)], column), list_atoms("Tighten", steps, column)
    blocks = [noted("Cautions", [" ".join(CAUTIONS)], column, NOTE_PT), *records]
    narrow, wide = ([block for block in blocks if (block.width_mm <= column) is fits] for fits in (True, False))
    flowed(sheet, [*mark, *tighten, *(Atom(block, HEADING_GAP_MM) for block in narrow)])
    for block in wide:
        put_row(sheet, block)


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
