"""The sheets of a job: the socket sheet with its bands, and the part sheet with ring, pointers, steps and record."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from .band import Band, BandPlan, draw_band
from .blocks import captioned, columns_for, listed, table
from .drawing import Document, Drawing, Group, moved
from .fonts import printable
from .job import Plan
from .labels import label_pages
from .paper import LabelStock, Paper
from .part import POINTER_HEIGHT_MM, POINTER_WIDTH_MM, draw_pointer, draw_ring
from .quantities import shown_degrees, shown_length
from .sheet import Sheet
from .spec import TighteningSpec
from .words import CAUTIONS, MARK_NAMES, fitting_steps, reading_error, ring_captions, use_steps

DEFAULT_TITLE = "Torque, then turn"
MAX_TITLE = 120

STEPS_WIDTH_MM = 103.0
"""A column of steps that is easy to read and leaves an A4 page room for the record beside it."""

RECORD_ROWS = 25
"""Most rows of one record table; more fasteners get more tables."""

RECORD_ROW_MM, RECORD_HEAD_MM = 6.0, 12.0


def job_document(plan: Plan, more: Sequence[Callable[[Sheet], None]] = ()) -> Document:
    """Return the finished pages of a job; each of `more` puts something on a further page.

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
        for put in more:
            sheet.new_page(job.paper)
            put(sheet)
        pages = sheet.pages()
    return Document(pages, header[0], " · ".join(header[1:]))


def sheet_header(title: str, spec: TighteningSpec, socket_line: str) -> tuple[str, str, str]:
    """Return title, spec and socket: the lines at the top of every page. Raises CharacterError for the title."""
    thread = "" if spec.clockwise else " · left-hand thread"
    return printable(title, "title", MAX_TITLE) or DEFAULT_TITLE, f"{spec.printed}{thread}", socket_line


def _socket_sheet(sheet: Sheet, plan: Plan, paper: Paper) -> None:
    """The bands, where their marks lie, how to fit them, and the reading error."""
    bands = [draw_band(band, cuts) for band, cuts in zip(plan.bands, plan.cuts, strict=True)]
    long = max(piece.width_mm for band in bands for piece in band.pieces) > paper.content_width_mm
    sheet.new_page(paper.wide if long else paper)
    for band, drawn in zip(plan.bands, bands, strict=True):
        for copy in range(1, plan.job.copies + 1):
            _put_band(sheet, plan, band, drawn, copy)
    sheet.new_row()
    sheet.put(mark_table(plan, sheet.room_mm()[0]))
    width, _ = sheet.room_mm()
    if width < 60.0:
        sheet.new_row()
        width, _ = sheet.room_mm()
    sheet.put(listed("Reading error and aim", reading_error(plan), width, numbered=False))
    sheet.new_row()
    width, _ = sheet.room_mm()
    sheet.put(listed("Fit the band", fitting_steps(plan, plan.bands[0]), min(width, 180.0), numbered=True))


def _put_band(sheet: Sheet, plan: Plan, band: BandPlan, drawn: Band, copy: int) -> None:
    """One copy of a band, each piece captioned."""
    job = plan.job
    stage = f" {'+'.join(map(str, band.stages[0].numbers))}" if len(plan.bands) > 1 else ""
    name = f"Band{' for stage' + stage if stage else ''}, copy {copy} of {job.copies}"
    size = (
        f"closed length {shown_length(job.length_mm, job.socket.unit)} on {job.socket.od_text} with stock "
        f"{shown_length(job.stock_mm, 'mm')} thick"
    )
    for piece_number, piece in enumerate(drawn.pieces, 1):
        part = f", piece {piece_number} of {len(drawn.pieces)}" if len(drawn.pieces) > 1 else ""
        words = [f"{name}{part}: {size}"]
        if piece_number == 1 and drawn.below:
            words.append(" · ".join(drawn.below))
        sheet.new_row()
        sheet.put(captioned(piece, words, min(90.0, sheet.paper.content_width_mm)))


def mark_table(plan: Plan, widest: float, along_band: bool = True) -> Drawing:
    """Return where every mark lies: degrees, along the band unless that has no one length, and in words."""
    several = len(plan.job.spec.stages) > 1
    unit = plan.job.socket.unit
    rows = []
    for mark in plan.marks:
        stage = f" ({mark.stage})" if several and mark.stage else ""
        along = shown_length(plan.job.length_mm * mark.deg / 360.0, unit)
        row = (MARK_NAMES[mark.kind] + stage, shown_degrees(mark.turn_deg, 1), along, plan.where(mark))
        rows.append(row if along_band else (*row[:2], row[3]))
    titles = ("mark", "turn", "from START", "on the socket") if along_band else ("mark", "turn", "on the socket")
    return table("Where the marks lie", columns_for(titles, rows, widest), rows)


def _part_sheet(sheet: Sheet, plan: Plan, paper: Paper) -> None:
    """Ring and pointers, the steps, the record, the cautions."""
    sheet.new_page(paper)
    for ring in plan.rings:
        if ring is not None:
            sheet.put(captioned(draw_ring(ring), ring_captions(plan, ring), 55.0))
    put_use(sheet, plan)


def put_use(sheet: Sheet, plan: Plan) -> None:
    """Put what goes with every job: pointers, the steps, the record, the cautions."""
    _pointers(sheet, plan.job.fasteners)
    sheet.new_row()
    width = min(STEPS_WIDTH_MM, sheet.room_mm()[0])
    sheet.put(listed("Tighten", use_steps(plan), width, numbered=True))
    _record(sheet, plan)
    sheet.new_row()
    sheet.put(listed("Cautions", CAUTIONS, min(sheet.room_mm()[0], 180.0), numbered=False))


def _pointers(sheet: Sheet, count: int) -> None:
    """The witness pointers in blocks of equal columns, beside the ring as far as they fit there."""
    pitch_x, pitch_y = POINTER_WIDTH_MM + 1.0, POINTER_HEIGHT_MM + 1.0
    number = 1
    while number <= count:
        width, height = sheet.room_mm()
        columns, rows = int((width + 1.0) // pitch_x), int(min(height, sheet.row_mm or 60.0) // pitch_y)
        if columns < 3 or rows < 1:
            sheet.new_row()
            if sheet.room_mm()[1] < pitch_y:
                sheet.new_page()
            continue
        wanted = range(number, min(count + 1, number + columns * rows))
        sheet.put(_pointer_block(wanted, columns, pitch_x, pitch_y))
        number = wanted.stop


def _pointer_block(numbers: range, columns: int, pitch_x: float, pitch_y: float) -> Drawing:
    rows = -(-len(numbers) // columns)
    parts = []
    for place, number in enumerate(numbers):
        x, y = pitch_x * (place % columns), pitch_y * (rows - 1 - place // columns)
        parts.append(moved(draw_pointer(number).content, x, y))
    width = pitch_x * min(columns, len(numbers)) - 1.0
    block = Drawing(width, pitch_y * rows - 1.0, Group("pointers", tuple(parts)))
    return captioned(block, ["Witness pointers, one per fastener: stick on the part."], 0.0)


def _record(sheet: Sheet, plan: Plan) -> None:
    """A table to fill in, a row per fastener; a table a stage where the paper is too narrow for one."""
    stages = range(1, len(plan.job.spec.stages) + 1)
    columns = _record_columns(stages, plan.job.witness)
    if math.fsum(width for _, width in columns) <= sheet.paper.content_width_mm:
        _record_tables(sheet, plan, "Record", columns)
        return
    for stage in stages:
        _record_tables(sheet, plan, f"Record, stage {stage}", _record_columns([stage], plan.job.witness))


def _record_columns(stages: Sequence[int], witness: str) -> list[tuple[str, float]]:
    """Columns to fill in; stages that count from snug have no witness mark of their own."""
    columns = [("fastener", 13.0), ("snug", 10.0)]
    for stage in stages:
        which = f" {stage}" if len(stages) > 1 else ""
        columns += [(f"marked{which}", 13.0)] if stage == 1 or witness == "fresh" else []
        columns += [(f"turned{which}", 13.0), (f"in window{which}", 15.0)]
    return [*columns, ("initials", 11.0)]


def _record_tables(sheet: Sheet, plan: Plan, heading: str, columns: Sequence[tuple[str, float]]) -> None:
    every = list(range(1, plan.job.fasteners + 1))
    most = min(RECORD_ROWS, int((sheet.empty_height_mm - RECORD_HEAD_MM) / RECORD_ROW_MM))
    for first in range(0, len(every), most):
        rows = [(str(number),) for number in every[first : first + most]]
        sheet.put(table(heading if first == 0 else "", columns, rows, row_mm=RECORD_ROW_MM, boxed=True))
