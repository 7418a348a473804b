"""The sheets of blank bands: the bands, how to cut and fit them, how to mark a window."""

from __future__ import annotations

from ...drawing.fonts import printable
from ...drawing.primitives import Document
from ...quantities.shown import shown_length, shown_lengths
from ...readouts.trim_band.layout import TrimBandLayout
from ...sheets.blocks import captioned, listed
from ...sheets.parts import MAX_TITLE
from ...sheets.sheet import WIDEST_MM, Sheet
from ...sheets.words import CAUTIONS
from ..job.words import trimming_steps
from .figure import draw_blank_band
from .plan import BlankPlan
from .words import band_lines, socket_words, thread_words, window_steps


def draw(plan: BlankPlan, command: str = "") -> Document:
    """Return the finished pages, each with `command` at its foot.

    Raises LayoutError for what does not fit and CharacterError for the title."""
    request, paper = plan.request, plan.request.paper
    ods = shown_lengths(plan.bands[0].low_od_mm, plan.bands[-1].high_od_mm, request.unit)
    title = printable(request.title, "title", MAX_TITLE) or "Blank bands"
    subtitle = f"{socket_words(request, ods)} · {thread_words(request.clockwise)}"
    sheet = Sheet(paper, (title, subtitle), command=command)
    drawn = [(band, draw_blank_band(band, band_lines(request, _ods(band)))) for band in plan.bands]
    long = max(drawing.width_mm for _, drawing in drawn) > paper.content_width_mm
    sheet.new_page(paper.wide if long else paper)
    for band, drawing in drawn:
        caption = f"Blank band for OD {_ods(band)}, paper {shown_length(request.stock_mm, 'mm')} thick"
        for _ in range(request.copies):
            sheet.new_row()
            sheet.put(captioned(drawing, [caption], 90.0))
    for heading, steps, numbered in (
        ("Cut and fit a band", trimming_steps(request.clockwise, "corner"), True),
        ("Mark the window, before the band is fitted", window_steps(request.clockwise, request.points), True),
        ("Cautions", CAUTIONS, False),
    ):
        sheet.new_row()
        sheet.put(listed(heading, steps, min(WIDEST_MM, sheet.room_mm()[0]), numbered))
    return sheet.document()


def _ods(band: TrimBandLayout) -> str:
    return shown_lengths(band.low_od_mm, band.high_od_mm, band.unit)
