"""The sheet of what the turn does to the fastener: charts, numbers, formulas and cautions."""

from __future__ import annotations

from ...drawing.fonts import NOTE_PT
from ...drawing.primitives import Document
from ...sheets.blocks import columns_for, listed, put_row, stacked, table
from ...sheets.parts import sheet_header
from ...sheets.sheet import GAP_MM, WIDEST_MM, Sheet
from .charts import draw_legend, draw_scatter, draw_tension, draw_torque
from .plan import StretchPlan
from .units import units_of
from .words import STRETCH_CAUTIONS, assumptions, facts, findings, stage_rows, stage_titles, way_to_proof

PANEL_MM = 66.0
"""Height of a chart."""

LEAST_COLUMN_MM, LEAST_BESIDE_MM = 80.0, 60.0
"""Least width of a chart beside another, and of words beside the results; widest block."""


def draw(plan: StretchPlan, command: str = "") -> Document:
    """Return the finished pages, each with `command` at its foot.

    Raises LayoutError for paper that is too small and CharacterError for a title that cannot be printed.
    """
    job, fastening = plan.job, plan.job.fastening
    grip = units_of(plan).given(fastening.grip_mm)
    screw = f"{fastening.thread.name} · {fastening.strength.name} · grip {grip}"
    header = sheet_header(job.title, job.spec, screw)
    sheet = Sheet(job.paper, header, "", command)
    sheet.new_page()
    width = sheet.room_mm()[0]
    column = (width - GAP_MM) / 2
    if column < LEAST_COLUMN_MM:
        column = min(width, WIDEST_MM)
    _put_charts(sheet, plan, column)
    _put_numbers(sheet, plan, column)
    return sheet.document()


def _put_charts(sheet: Sheet, plan: StretchPlan, column: float) -> None:
    width = min(sheet.room_mm()[0], WIDEST_MM)
    put_row(sheet, draw_legend(plan, width))
    put_row(sheet, draw_tension(plan, column, PANEL_MM), draw_torque(plan, column, PANEL_MM))
    put_row(sheet, draw_scatter(plan, width))


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
            put_row(sheet, block)
        return
    sheet.new_row()
    all_left = stacked([results, says, small])
    together = all_left.height_mm <= sheet.room_mm()[1]
    put_row(sheet, all_left if together else stacked([results, says]), stacked([went_in, cautions]))
    if not together:
        put_row(sheet, small)
