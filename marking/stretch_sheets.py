"""The sheet of what the turn does to the fastener: charts, numbers, formulas and cautions."""

from __future__ import annotations

from .blocks import NOTE_PT, columns_for, listed, stacked, table
from .drawing import Document, Drawing
from .job_sheets import sheet_header
from .sheet import GAP_MM, Sheet
from .stretch import StretchPlan
from .stretch_chart import draw_key, draw_scatter, draw_tension, draw_torque
from .stretch_report import (
    STRETCH_CAUTIONS,
    assumptions,
    facts,
    findings,
    stage_rows,
    stage_titles,
    units_of,
    way_to_proof,
)

PANEL_MM = 66.0
"""Height of a chart."""

LEAST_COLUMN_MM, LEAST_BESIDE_MM, WIDEST_MM = 80.0, 60.0, 180.0
"""Least width of a chart beside another, and of words beside the results; widest block."""

SCALE_NOTE = "Nothing on this sheet is cut out: the rulers only show how true your printer prints."


def stretch_document(plan: StretchPlan) -> Document:
    """Return the finished pages.

    Raises LayoutError for paper that is too small and CharacterError for a title that cannot be printed.
    """
    job, fastening = plan.job, plan.job.fastening
    grip = units_of(plan).given(fastening.grip_mm)
    screw = f"{fastening.thread.name} · {fastening.strength.name} · grip {grip}"
    header = sheet_header(job.title, job.spec, screw)
    sheet = Sheet(job.paper, header, SCALE_NOTE)
    sheet.new_page()
    width = sheet.room_mm()[0]
    column = (width - GAP_MM) / 2
    if column < LEAST_COLUMN_MM:
        column = min(width, WIDEST_MM)
    _put_charts(sheet, plan, column)
    _put_numbers(sheet, plan, column)
    return Document(sheet.pages(), header[0], " · ".join(header[1:]))


def _put_charts(sheet: Sheet, plan: StretchPlan, column: float) -> None:
    width = min(sheet.room_mm()[0], WIDEST_MM)
    _put_row(sheet, draw_key(plan, width))
    _put_row(sheet, draw_tension(plan, column, PANEL_MM), draw_torque(plan, column, PANEL_MM))
    _put_row(sheet, draw_scatter(plan, width))


def _put_numbers(sheet: Sheet, plan: StretchPlan, column: float) -> None:
    """Results at the left, what they rest on at the right; one below the other where the paper has but one column."""
    wide = sheet.paper.content_width_mm
    stages = stage_rows(plan)
    results = table("After snug and after the turn", columns_for(stage_titles(plan), stages, wide), stages)
    left = min(wide, max(column, results.width_mm))
    beside = wide - left - GAP_MM >= LEAST_BESIDE_MM
    right = wide - left - GAP_MM if beside else column
    says = listed("What the numbers say", [*way_to_proof(plan), *findings(plan)], left, numbered=False)
    given = facts(plan)[1:]  # the spec stands in the header
    went_in = table("What went in", columns_for(("given", "value"), given, right), given)
    cautions = listed("Cautions", STRETCH_CAUTIONS, right, numbered=False)
    small = listed("Formulas and assumptions", assumptions(plan), left, numbered=False, size_pt=NOTE_PT)
    if not beside:
        for block in (results, says, went_in, cautions, small):
            _put_row(sheet, block)
        return
    sheet.new_row()
    all_left = stacked([results, says, small])
    together = all_left.height_mm <= sheet.room_mm()[1]
    _put_row(sheet, all_left if together else stacked([results, says]), stacked([went_in, cautions]))
    if not together:
        _put_row(sheet, small)


def _put_row(sheet: Sheet, *drawings: Drawing) -> None:
    sheet.new_row()
    for drawing in drawings:
        sheet.put(drawing)
