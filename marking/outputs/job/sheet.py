"""The sheets of a job: the socket sheet with its bands, and the part sheet with ring, pointers, steps and record."""

from __future__ import annotations

from collections.abc import Sequence

from ...drawing.primitives import Document, Drawing, Group
from ...drawing.transform import moved
from ...quantities.angles import arc_mm
from ...quantities.shown import shown_degrees, shown_length, shown_lengths
from ...readouts import READOUTS
from ...readouts.band.figure import Band, draw_band
from ...readouts.band.layout import BandLayout
from ...readouts.part_ring.figure import draw_ring
from ...readouts.trim_band.figure import draw_trim_band
from ...readouts.trim_band.layout import TrimBandLayout
from ...readouts.witness_pointer import POINTER_HEIGHT_MM, POINTER_WIDTH_MM, Pointer, draw_pointer, pointers
from ...sheets.blocks import captioned, columns_for, listed, put_row, table
from ...sheets.paper import LabelStock, Paper
from ...sheets.parts import mark_table, put_small_record, sheet_header
from ...sheets.sheet import WIDEST_MM, Sheet
from ...sheets.words import CAUTIONS
from .band_plan import JobPlan
from .label_pages import label_pages
from .trim_plan import TrimJobPlan
from .words import (
    fitting_steps,
    pointer_captions,
    reading_error,
    ring_captions,
    trim_notes,
    trimming_steps,
    use_steps,
)

POINTER_ROWS_MM, POINTER_WORDS_MM, LEAST_POINTERS = 66.0, 89.0, 4
"""Highest block of pointers, widest caption below one, and the fewest side by side (our choice)."""

NOTHING = Drawing(0.0, 0.0, Group("pointers", ()))

STEPS_WIDTH_MM = 103.0
"""A column of steps that is easy to read and leaves an A4 page room for the record beside it."""


def draw(plan: JobPlan | TrimJobPlan) -> Document:
    """Return the finished pages of a job. Raises LayoutError and CharacterError."""
    return _trim_document(plan) if isinstance(plan, TrimJobPlan) else _band_document(plan)


def _band_document(plan: JobPlan) -> Document:
    """Return the finished pages of a job; each of its extras goes on a further page.

    Raises LayoutError for what does not fit on the paper and CharacterError for a title that cannot be printed.
    """
    job = plan.job
    header = sheet_header(job.title, job.spec, job.socket.printed())
    if isinstance(job.paper, LabelStock):
        pages = label_pages(plan, job.paper)
    else:
        sheet = Sheet(job.paper, header)
        _socket_sheet(sheet, plan, job.paper)
        _part_sheet(sheet, plan, job.paper)
        put_extras(sheet, plan, job.paper)
        pages = sheet.pages()
    return Document(pages, header[0], " · ".join(header[1:]))


def _socket_sheet(sheet: Sheet, plan: JobPlan, paper: Paper) -> None:
    """The bands, where their marks lie, how to fit them, and the reading error."""
    bands = [draw_band(band, cuts) for band, cuts in zip(plan.bands, plan.cuts, strict=True)]
    long = max(piece.width_mm for band in bands for piece in band.pieces) > paper.content_width_mm
    sheet.new_page(paper.wide if long else paper)
    for band, drawn in zip(plan.bands, bands, strict=True):
        for copy in range(1, plan.job.copies + 1):
            _put_band(sheet, plan, band, drawn, copy)
    put_row(sheet, _mark_table(plan, sheet.paper.content_width_mm))
    width, _ = sheet.room_mm()
    if width < 60.0:
        sheet.new_row()
        width, _ = sheet.room_mm()
    job = plan.job
    errors = reading_error(plan.budgets, plan.remedies, plan.ring_budgets, job.model, plan.bands[0].closure_mm)
    sheet.put(listed("Reading error and aim", errors, width, numbered=False))
    steps = fitting_steps(job.spec.clockwise, job.start, plan.bands[0].closure_mm, 1 + max(map(len, plan.cuts)))
    put_row(sheet, listed("Fit the band", steps, min(sheet.paper.content_width_mm, WIDEST_MM), numbered=True))


def _mark_table(plan: JobPlan, widest: float, along_band: bool = True) -> Drawing:
    """Where every mark lies: degrees, along the band unless that has no one length, and on the socket."""
    unit = plan.job.socket.unit
    along = {"from START": lambda mark: shown_length(arc_mm(plan.job.length_mm, mark.deg), unit)} if along_band else {}
    return mark_table(plan.marks, {**along, "on the socket": plan.where}, widest)


def _put_band(sheet: Sheet, plan: JobPlan, band: BandLayout, drawn: Band, copy: int) -> None:
    """One copy of a band, each piece captioned."""
    job = plan.job
    stage = f" {'+'.join(map(str, band.stages[0].numbers))}" if len(plan.bands) > 1 else ""
    name = f"Band{' for stage' + stage if stage else ''}, copy {copy} of {job.copies}"
    size = (
        f"closed length {job.length.text} on {job.socket.od_text} with paper {shown_length(job.stock_mm, 'mm')} thick"
    )
    for piece_number, piece in enumerate(drawn.pieces, 1):
        part = f", piece {piece_number} of {len(drawn.pieces)}" if len(drawn.pieces) > 1 else ""
        below = [" · ".join(drawn.below)] if piece_number == 1 and drawn.below else []
        put_row(sheet, captioned(piece, [f"{name}{part}: {size}", *below], min(90.0, sheet.paper.content_width_mm)))


def _part_sheet(sheet: Sheet, plan: JobPlan, paper: Paper) -> None:
    """Ring and pointers, the steps, the record, the cautions."""
    sheet.new_page(paper)
    for ring in plan.rings:
        if ring is not None:
            sheet.put(captioned(draw_ring(ring), ring_captions(ring, plan.job.socket.unit), 55.0))
    put_use(sheet, plan, plan.bands, any(plan.rings))


def put_use(sheet: Sheet, plan: JobPlan, strips: Sequence[BandLayout | TrimBandLayout], ring: bool) -> None:
    """Put what goes with every job: pointers, the steps, the record, the cautions.

    `strips` bear the stages' marks; `ring` tells whether a part ring goes with them.
    """
    job, play = plan.job, plan.job.socket.play()
    _pointers(sheet, pointers(job.spec, job.fasteners))
    sheet.new_row()
    width = min(STEPS_WIDTH_MM, sheet.room_mm()[0])
    held = {n: (k, marks.name) for k, strip in enumerate(strips) for marks in strip.stages for n in marks.numbers}
    bands = [held[budget.stage] for budget in plan.budgets]
    steps = use_steps(job.spec, plan.budgets, play.deg if play else None, job.fasteners, bands, ring)
    sheet.put(listed("Tighten", steps, width, numbered=True))
    put_small_record(sheet, job.spec, job.fasteners)
    put_row(sheet, listed("Cautions", CAUTIONS, min(sheet.paper.content_width_mm, WIDEST_MM), numbered=False))


def put_extras(sheet: Sheet, plan: JobPlan | TrimJobPlan, paper: Paper) -> None:
    """Put each of the job's other readouts on a page of its own."""
    for kind, extra in zip(plan.job.extras, plan.extras, strict=True):
        sheet.new_page(paper)
        READOUTS[kind].put(sheet, extra)


def _pointers(sheet: Sheet, wanted: Sequence[Pointer]) -> None:
    """The witness pointers in blocks of equal columns, beside the ring as far as they fit there."""
    pitch_x, pitch_y = POINTER_WIDTH_MM + 1.0, POINTER_HEIGHT_MM + 1.0
    captions = pointer_captions(wanted)
    while wanted:
        width, height = sheet.room_mm()
        words_mm = captioned(NOTHING, captions, min(width, POINTER_WORDS_MM)).height_mm
        columns = int((width + 1.0) // pitch_x)
        rows = int((min(height, sheet.row_mm or POINTER_ROWS_MM) - words_mm + 1.0) // pitch_y)
        if columns < LEAST_POINTERS or rows < 1:
            sheet.new_row()
            if sheet.room_mm()[1] < POINTER_ROWS_MM:
                sheet.new_page()
            continue
        block, wanted = wanted[: columns * rows], wanted[columns * rows :]
        sheet.put(captioned(_pointer_block(block, columns, pitch_x, pitch_y), captions, min(width, POINTER_WORDS_MM)))
        captions = []


def _pointer_block(block: Sequence[Pointer], columns: int, pitch_x: float, pitch_y: float) -> Drawing:
    rows = -(-len(block) // columns)
    parts = [
        moved(draw_pointer(pointer).content, pitch_x * (place % columns), pitch_y * (rows - 1 - place // columns))
        for place, pointer in enumerate(block)
    ]
    width = pitch_x * min(columns, len(block)) - 1.0
    return Drawing(width, pitch_y * rows - 1.0, Group("pointers", tuple(parts)))


def _trim_document(trim: TrimJobPlan) -> Document:
    """Return the finished pages of a job without a diameter: trim bands, how to cut them, and the part sheet.

    Each of its extras goes on a further page.
    """
    job = trim.job
    low, high = trim.parts[0].low_od_mm, trim.parts[-1].high_od_mm
    ends = f"OD {shown_lengths(low, high, trim.unit)}"
    header = sheet_header(job.title, job.spec, f"{job.socket.points}-point · {job.socket.drive.inch} in drive · {ends}")
    paper = job.paper
    assert not isinstance(paper, LabelStock)  # plan_trim refuses it
    sheet = Sheet(paper, header)
    drawn = [(part, band, *draw_trim_band(band)) for part in trim.parts for band in part.bands]
    long = max(drawing.width_mm for _, _, drawing, _ in drawn) > paper.content_width_mm
    sheet.new_page(paper.wide if long else paper)
    for part, band, drawing, below in drawn:
        caption = f"Trim band, {band.socket_line}, paper {shown_length(part.plan.job.stock_mm, 'mm')} thick"
        words = [caption, *(text for text in below if text != band.socket_line)]
        for _ in range(job.copies):
            put_row(sheet, captioned(drawing, words, 90.0))
    _trim_words(sheet, trim)
    sheet.new_page(paper)
    for part in trim.parts:
        if part.ring is not None:
            sheet.put(captioned(draw_ring(part.ring), ring_captions(part.ring, trim.unit), 55.0))
    put_use(sheet, trim.parts[0].plan, trim.parts[0].bands, any(part.ring for part in trim.parts))
    put_extras(sheet, trim, paper)
    return Document(sheet.pages(), header[0], " · ".join(header[1:]))


def _trim_words(sheet: Sheet, trim: TrimJobPlan) -> None:
    """How to cut and fit, where the marks lie, and how well each band reads."""
    room = sheet.paper.content_width_mm
    steps = trimming_steps(trim.job.spec.clockwise, trim.job.start)
    put_row(sheet, listed("Cut and fit a trim band", steps, min(WIDEST_MM, room), numbered=True))
    put_row(sheet, _mark_table(trim.parts[-1].plan, room, along_band=False))
    rows, rings = [], any(part.ring for part in trim.parts)
    for part in trim.parts:
        for name, budgets in (("band", part.plan.budgets), ("ring", part.ring_budgets)):
            for budget in budgets:
                zone = budget.aim_zone
                aim = f"{shown_degrees(zone.low_deg, 1)} to {shown_degrees(zone.high_deg, 1)}" if zone else "no aim"
                od = shown_length(part.low_od_mm, trim.unit)
                error = shown_degrees(budget.expanded_deg, 1)
                rows.append((f"{name}, from OD {od}", str(budget.stage), aim, error))
    titles = ("readout", "stage", "aim between", "right, give or take")
    sheet.put(table("Reading error and aim, at the smallest ODs", columns_for(titles, rows, 120.0), rows))
    notes = trim_notes(trim.remedies, trim.job.model, rings)
    put_row(sheet, listed("What can prove it, and what it rests on", notes, min(WIDEST_MM, room), numbered=False))
