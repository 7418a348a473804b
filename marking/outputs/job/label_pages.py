"""A job on tape or label stock: bands one after the other along the feed, then pointers and a check ruler if wanted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...drawing.fonts import NOTE_PT, SMALL_PT, line_pitch_mm, wrap
from ...drawing.primitives import Drawing, Group, Page, Placed, Text
from ...errors import LayoutError
from ...readouts.band.figure import draw_band
from ...readouts.trim_band.figure import draw_trim_band
from ...readouts.witness_pointer import POINTER_HEIGHT_MM, draw_pointer, pointers
from ...sheets.blocks import paragraph
from ...sheets.furniture import RULER_MM, ruler_ticks, stretched
from ...sheets.paper import LabelStock
from .band_plan import JobPlan
from .trim_plan import TrimJobPlan
from .words import pointer_captions

GAP_MM = 3.0

GOOD_PT = 6.0
"""Least type beside a band where the stock holds it."""

LEAST_RULER_MM = 50.0

NUMBER_MM = 0.8
"""Half the height, or the width, of a number at the end of a ruler, with some space."""

RULER_TEXT = "check: this ruler measures {mm:g} mm ± {off:g} mm, or do not use the band"


def label_pages(plan: JobPlan | TrimJobPlan, stock: LabelStock) -> tuple[Page, ...]:
    """Return the pages of a job on label stock: on a roll one for each piece, so that the printer cuts them apart.

    On labels each page holds as much as goes. A page lies with the feed across: it is as wide as the label is long.
    Raises LayoutError for a band that is higher than the stock.
    """
    job = plan.job
    parts = list(_trim_bands(plan) if isinstance(plan, TrimJobPlan) else _bands(plan, stock))
    if stock.inner_width_mm >= POINTER_HEIGHT_MM and job.fasteners:
        found = pointers(job.spec, job.fasteners, job.title)
        parts += [(draw_pointer(pointer),) for pointer in found]
        parts.append(tuple(_caption(words, stock) for words in pointer_captions(found)))
    if job.ruler:
        parts.append((label_ruler(stock),))
    if stock.length_mm is None:
        return tuple(_page(stock, placed) for part in parts for placed in _columns(part, stock))
    return tuple(_page(stock, placed) for placed in _columns([one for part in parts for one in part], stock))


def _bands(plan: JobPlan, stock: LabelStock) -> Iterator[tuple[Drawing, ...]]:
    """The copies of every band, the words that found no room beside the first piece of each."""
    for band, cuts in zip(plan.bands, plan.cuts, strict=True):
        drawn = draw_band(band, cuts)
        words = (_caption(" · ".join(drawn.below), stock),) if drawn.below else ()
        for _ in range(plan.copies):
            yield from ((piece, *(() if number else words)) for number, piece in enumerate(drawn.pieces))


def _trim_bands(plan: TrimJobPlan) -> Iterator[tuple[Drawing, ...]]:
    """The copies of every trim band."""
    for part in plan.parts:
        for band in part.bands:
            yield from ((draw_trim_band(band)[0],) for _ in range(plan.job.copies or 1))


def _columns(parts: Sequence[Drawing], stock: LabelStock) -> list[list[Placed]]:
    """Place parts in columns along the feed, as many below one another as the width holds; a list a page."""
    pages: list[list[Placed]] = [[]]
    left, depth, widest = stock.margin_mm, 0.0, 0.0
    for part in parts:
        if part.height_mm > stock.inner_width_mm + 1e-6 or part.width_mm > stock.inner_length_mm + 1e-6:
            raise LayoutError(
                f"a part of {part.width_mm:.0f} × {part.height_mm:.0f} mm does not fit on the label stock",
                f"at most {stock.inner_length_mm:.0f} × {stock.inner_width_mm:.1f} mm",
                "use a smaller {@height}, or wider stock",
                field="height",
            )
        if depth and depth + part.height_mm > stock.inner_width_mm + 1e-6:
            left, depth, widest = left + widest + GAP_MM, 0.0, 0.0
        if left + part.width_mm > stock.margin_mm + stock.inner_length_mm + 1e-6:
            pages.append([])
            left, depth, widest = stock.margin_mm, 0.0, 0.0
        top = stock.margin_mm + stock.inner_width_mm - depth
        pages[-1].append(Placed(part, left, top - part.height_mm))
        depth += part.height_mm + GAP_MM
        widest = max(widest, part.width_mm)
    return pages


def _page(stock: LabelStock, placed: Sequence[Placed]) -> Page:
    end = max(item.x + item.drawing.width_mm for item in placed) + stock.margin_mm
    length = end if stock.length_mm is None else stock.length_mm
    across, along = stock.stretch_across, stock.stretch_along
    pieces = stretched(placed, along, across)
    return Page(length * along, stock.width_mm * across, pieces, (along, across) != (1.0, 1.0))


def _caption(text: str, stock: LabelStock) -> Drawing:
    """What found no room on a band, as a piece of its own beside it: as narrow as the stock's width allows."""
    width = 20.0
    while len(wrap(text, width, GOOD_PT)) * line_pitch_mm(GOOD_PT) > stock.inner_width_mm:
        width += 10.0
    return paragraph(text, width, GOOD_PT)


def label_ruler(stock: LabelStock) -> Drawing:
    """Return the check rulers along and across the feed: 100 mm, or the largest tens of mm that fit."""
    along = min(RULER_MM, _tens(stock.inner_length_mm - 16.0))
    across = min(RULER_MM, _tens(stock.inner_width_mm - 2 * NUMBER_MM))
    if along < LEAST_RULER_MM:
        raise LayoutError(
            f"label stock {stock.length_mm:g} mm long holds no check ruler",
            f"at least {LEAST_RULER_MM + 16.0 + 2 * stock.margin_mm:g} mm",
            "use longer stock or a roll",
        )
    text = RULER_TEXT.format(mm=along, off=round(0.005 * along, 2))
    lines = wrap(text, along, NOTE_PT) if stock.inner_width_mm >= 6.0 + 3 * line_pitch_mm(NOTE_PT) else []
    size = NOTE_PT
    if not lines:
        size = GOOD_PT if stock.inner_width_mm >= 5.5 + line_pitch_mm(GOOD_PT) else SMALL_PT
        lines = wrap(f"{along:g} mm ± {round(0.005 * along, 2):g} mm", along, size)
    upright = across >= 10.0
    x0, y0 = (10.0, NUMBER_MM) if upright else (NUMBER_MM, 0.1)
    pitch = line_pitch_mm(size)
    height = max(across + 2 * NUMBER_MM if upright else 0.0, y0 + 5.4 + pitch * len(lines))
    items = (
        *ruler_ticks(x0, y0, along, along_x=True),
        *(ruler_ticks(0.1, y0, across, along_x=False) if upright else ()),
        *(Text(x0, y0 + 5.7 + pitch * (len(lines) - 1 - k), line, size) for k, line in enumerate(lines)),
    )
    return Drawing(x0 + along + 6.0, height, Group("check-ruler", items))


def _tens(mm: float) -> float:
    return 10.0 * int(mm / 10.0)
