"""The sheet of what the turn does to the fastener: charts, numbers, formulas and cautions."""

from __future__ import annotations

from collections.abc import Sequence

from ...drawing.fonts import NOTE_PT
from ...drawing.primitives import Document, Drawing
from ...sheets.blocks import columns_for, listed, put_row, stacked, table
from ...sheets.parts import sheet_header
from ...sheets.sheet import GAP_MM, WIDEST_MM, Sheet
from .charts import draw_legend, draw_scatter, draw_tension, draw_torque
from .plan import StretchPlan
from .told import facts, findings, part_table, spring_table, stage_table, way_to_yield
from .units import units_of
from .words import GLOSSARY, STRETCH_CAUTIONS, assumptions

PANEL_MM = 66.0
"""Height of a chart."""

LEAST_COLUMN_MM, LEAST_BESIDE_MM = 80.0, 60.0
"""Least width of a chart beside another, and of words beside the results."""


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
    """Results at the left, what they are made of at the right; one below the other where the paper has one column.

    What went in, and the formulas, follow below or on the next page.
    """
    wide = sheet.paper.content_width_mm
    titles, stages = stage_table(plan)
    results = table("After snug and after the turn", columns_for(titles, stages, wide), stages)
    left = min(wide, max(column, results.width_mm))
    beside = wide - left - GAP_MM >= LEAST_BESIDE_MM
    right = wide - left - GAP_MM if beside else column
    says = listed("What the numbers say", findings(plan), left, numbered=False)
    way = listed("Until it yields", way_to_yield(plan), right, numbered=False)
    cautions = listed("Cautions", STRETCH_CAUTIONS, right, numbered=False)
    parts = _table("What the scatter is made of", part_table(plan), right)
    springs = _table("What each part adds to the stretch", spring_table(plan), right)
    given = facts(plan)[1:]  # the spec stands in the header
    went_in = _table("What went in", (("given", "value"), given), left)
    terms = listed("Words", GLOSSARY, right, numbered=False, size_pt=NOTE_PT)
    unified = plan.job.fastening.thread.unit == "in"
    small = listed("Formulas and assumptions", assumptions(unified), left, numbered=False, size_pt=NOTE_PT)
    if not beside:
        for block in (results, says, parts, cautions, springs, way, went_in, small, terms):
            put_row(sheet, block)
        return
    put_row(sheet, stacked([results, says]), stacked([parts, cautions]))
    put_row(sheet, stacked([went_in, small]), stacked([springs, way, terms]))


def _table(heading: str, titled: tuple[Sequence[str], Sequence[Sequence[str]]], width: float) -> Drawing:
    titles, rows = titled
    return table(heading, columns_for(titles, rows, width), rows)
