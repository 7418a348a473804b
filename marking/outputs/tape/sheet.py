"""The sheets of a diameter tape: the strip, how to read it with a worked reading enlarged, how to cut and wrap it."""

from __future__ import annotations

from ...drawing.primitives import Document
from ...quantities.shown import shown_length
from ...sheets.blocks import captioned, listed
from ...sheets.sheet import Sheet
from .examples import draw_reading, draw_wrapped
from .figure import draw_tape, graduations_between
from .layout import TapeLayout, TapeReading, reading_of
from .plan import TapePlan
from .words import cautions, paper_thickness, reading_steps, wrapping_steps

EXAMPLE_OD_MM = 27.8
"""The OD that the worked reading shows where the tape reads it, else one in the middle of its range."""

TEXT_WIDTH_MM = 80.0


def draw(planned: TapePlan, command: str = "") -> Document:
    """Return the finished pages of a diameter tape, each with `command` at its foot.

    The page is turned when the strip is longer than it is wide; a strip longer still comes in pieces. Raises
    LayoutError for what does not fit on the paper.
    """
    plan, paper = planned.layout, planned.request.paper
    pieces = draw_tape(plan)
    upright = max(piece.width_mm for piece in pieces) <= paper.content_width_mm
    title = f"Diameter tape for {_range(plan)}"
    scale = plan.scale
    resolution = f"{scale.text(scale.resolution)} {scale.unit}"
    subtitle = (
        f"Reads the outside diameter of a socket to {resolution} · for paper {paper_thickness(plan.stock_mm)} thick"
    )
    sheet = Sheet(paper if upright else paper.wide, (title, subtitle), command=command)
    for number, piece in enumerate(pieces, 1):
        sheet.new_row()
        sheet.put(captioned(piece, [_caption(plan, number)], min(90.0, sheet.paper.content_width_mm)))
    sheet.new_row()
    reading = example(plan)
    width = min(TEXT_WIDTH_MM, sheet.paper.content_width_mm)
    sheet.put(draw_wrapped())
    sheet.put(listed("Cut it out and wrap it", wrapping_steps(bool(plan.cuts)), width, numbered=True))
    sheet.put(
        listed("What to keep in mind", cautions(plan.stock_mm, plan.high_mm, plan.scale.unit), width, numbered=False)
    )
    sheet.new_row()
    sheet.put(draw_reading(reading))
    sheet.put(listed("Read it", reading_steps(reading), width, numbered=True))
    return sheet.document()


def _range(plan: TapeLayout) -> str:
    low, high = shown_length(plan.low_mm, plan.scale.unit), shown_length(plan.high_mm, plan.scale.unit)
    return f"{low.removesuffix(plan.scale.unit).strip()} to {high}"


def _caption(plan: TapeLayout, number: int) -> str:
    """What a piece of the tape reads: its first and last graduation."""
    ends = [-plan.grip_mm, *plan.cuts, plan.end]
    inside = graduations_between(plan, ends[number - 1], ends[number])
    scale = plan.scale
    decimals = min(2, scale.decimals)
    shown = [scale.text(n * scale.step, decimals) for n in (inside[0], inside[-1])] if inside else []
    lines = f"first line {shown[0]} {scale.unit}, last line {shown[1]} {scale.unit}" if shown else "no graduations"
    name = f"Piece {number} of {len(ends) - 1}" if plan.cuts else "The tape"
    return f"{name}: {lines}; for paper {paper_thickness(plan.stock_mm)} thick"


def example(plan: TapeLayout) -> TapeReading:
    """Return the reading that the sheet works out: 27.8 mm where the tape reads it, else one near its middle.

    It lies between two graduations, so that there is something to add.
    """
    inside = plan.low_mm <= EXAMPLE_OD_MM <= plan.high_mm
    reading = reading_of(EXAMPLE_OD_MM if inside else (plan.low_mm + plan.high_mm) / 2, plan.scale)
    return reading if reading.line else reading._replace(line=plan.scale.divisions // 2)
