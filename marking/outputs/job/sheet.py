"""The sheets of a job: its pieces above a line to cut along, and the work card below it, on one page where they fit."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import cache, partial

from ...drawing.primitives import Document, Drawing
from ...errors import LayoutError
from ...quantities.shown import shown_degrees, shown_length, shown_lengths
from ...readouts import READOUTS, Joined
from ...readouts.band.layout import BandLayout
from ...readouts.part_ring.layout import RingLayout
from ...readouts.trim_band.layout import TrimBandLayout
from ...readouts.witness_pointer import Pointer, pointers
from ...sheets.blocks import columns_for, level, stacked, table
from ...sheets.furniture import LeftHand
from ...sheets.paper import Paper
from ...sheets.parts import MARKS, mark_table, mark_words, sheet_header
from ...sheets.pieces import Piece, Spot, laid, packed, reach_mm
from ...sheets.sheet import GAP_MM, Sheet, is_to_scale, too_large
from ...sheets.words import error_lines
from ..record.figure import TOP_BOX_MM, draw_plan
from ..record.sheet import plan_with_words, plan_words
from ..record.words import IN_THIS_ORDER, MANUAL_FIRST, MANUAL_REASON
from .band_plan import JobPlan
from .card import (
    BESIDE_MM,
    BLOCK_GAP_MM,
    LEAST_FILLED,
    Card,
    Note,
    Notes,
    Setting,
    flow,
    head,
    no_notes,
    set_note,
    settings_for,
    whole,
)
from .label_pages import label_pages
from .one_page import HEAD_GAP_MM, Pieces, put_on_one_page
from .pieces import (
    band_strips,
    figure_pieces,
    pointer_ways,
    ring_pieces,
    trim_strips,
)
from .trim_plan import TrimJobPlan, TrimPart
from .words import (
    BAND_FROM_START,
    FROM_START,
    PROVES_AND_RESTS,
    RESTS,
    beside_start,
    fitting_steps,
    reading_error,
    trim_notes,
    trimming_steps,
    use_steps,
)  # fmt: skip

LEAST_BEGUN = 1 / 2
"""Least share of a page's height for a card to begin there that no page holds as a whole (our choice)."""

ROW_MM, ROW_MM_PER_PT = 3.6, 0.45
"""Least height of a row of marks or errors, and that over its type, so that no letter touches the rule below it."""

PLAN_MM, HIGHEST_PLAN_MM, CLOSE_PLAN_MM, CLOSE_EDGE_MM = 85.0, 140.0, 30.0, 4.0
"""Height of the plan of the fasteners with its words, and the highest; height of the plan alone on a card that is set
close, and the part's edge on it (our choice).
"""

LARGEST_BLOCK = 0.75
"""Share of a page's height that a block of pointers takes at most: the header stands above it (our choice)."""


def draw(plan: JobPlan | TrimJobPlan, command: str = "") -> Document:
    """Return the finished pages of a job; an extra that does not join its pieces goes on a further page.

    `command` stands at the foot of every page; label stock has none.

    Raises LayoutError for what does not fit on the paper and CharacterError for a title that cannot be printed.
    """
    return _trim_document(plan, command) if isinstance(plan, TrimJobPlan) else _band_document(plan, command)


def _band_document(plan: JobPlan, command: str) -> Document:
    job, paper = plan.job, plan.job.paper
    header = sheet_header(job.title, job.spec, job.socket.printed())
    if not paper.is_sheet:
        return Document(label_pages(plan, paper), header[0], " · ".join(header[1:]))
    rings, extras = [ring for ring in plan.rings if ring is not None], _joined(plan)
    width, found = paper.content_width_mm, _pointers(plan)
    pieces = (
        Pieces(band_strips(plan, copies, width), rings, job.socket.unit, extras, found)
        for copies in dict.fromkeys((plan.copies, job.copies or 1))  # without the spare one at last
    )

    said = reading_error(plan.budgets, plan.remedies, plan.ring_budgets, job.model, plan.bands[0].closure_mm, extras)
    card = Card(
        header, job.spec, job.fasteners, steps(plan, plan.bands, rings, extras), _marks(plan, along_band=True),
        [_note("Reading error and aim", said)], *_order(plan),
    )  # fmt: skip
    return _composed(plan, paper, pieces, card, command)


def _note(heading: str, said: Sequence[str]) -> Note:
    """What draws sentences below a heading, on a close card as running words."""

    def drawn_note(width: float, setting: Setting, close: bool) -> Drawing:
        return set_note(heading, [" ".join(said)] if close else said, width, setting)

    return cache(drawn_note)


def _joined(plan: JobPlan | TrimJobPlan) -> list[Joined]:
    """The extras that stand among the pieces."""
    asked = zip(plan.job.extras, plan.extras, strict=True)
    return [READOUTS[kind].joined(extra) for kind, extra in asked if READOUTS[kind].joins]


def steps(
    plan: JobPlan,
    strips: Sequence[BandLayout | TrimBandLayout],
    rings: Sequence[RingLayout],
    extras: Sequence[Joined] = (),
    trimmed: Sequence[TrimPart] = (),
) -> list[str]:
    """Return what to do, in order: fit the band, tighten, check.

    `strips` bear the stages' marks; `rings` and `extras` go with them, `trimmed` are the ranges of bands that are cut
    along a row.
    """
    job = plan.job
    budgets = [budget for part in trimmed for budget in part.plan.budgets] or plan.budgets
    held = {n: k for k, strip in enumerate(strips) for marks in strip.stages for n in marks.numbers}
    bands = [held[budget.stage] for budget in plan.budgets]
    several = len(set(bands)) > 1
    measured = bool(extras)
    if trimmed:
        fit = trimming_steps(job.spec.clockwise, job.start, several, measured)
    else:
        pieces = 1 + max(map(len, plan.cuts))
        fit = fitting_steps(job.spec.clockwise, job.start, _closure(plan), pieces, several, measured)
    ringed = {number for ring in rings for marks in ring.stages for number in marks.numbers}
    return [
        *(extra.instead for extra in extras),
        *fit,
        *use_steps(job.spec, budgets, job.socket.play(), job.fasteners, bands, ringed, extras, job.model.gap_mm),
    ]


def _closure(plan: JobPlan) -> str:
    """How far the band's end may miss the closure line, in the job's unit and in mm."""
    mm = shown_length(round(plan.bands[0].closure_mm, 2), "mm")
    unit = plan.job.socket.unit
    return mm if unit == "mm" else f"{shown_length(plan.bands[0].closure_mm, unit)} ({mm})"


def _order(plan: JobPlan) -> tuple[Sequence[int], Notes]:
    """The places of the fasteners in the order of tightening, and what draws them; neither where none is asked for."""
    order = plan.order
    if order is None:
        return (), no_notes

    @cache
    def in_width(width: float, close: bool, low: bool = False) -> Drawing:
        if close:
            high = CLOSE_PLAN_MM - (TOP_BOX_MM[1] if low and order.job.rows is None else 0.0)
            return _within_heights(partial(draw_plan, order, width, edge_mm=CLOSE_EDGE_MM, low=low), high)
        return _within_heights(partial(plan_with_words, order, width), PLAN_MM)

    @cache
    def drawn_plan(width: float, setting: Setting, close: bool, one: bool) -> list[Drawing]:
        shown, said = (
            in_width(width, close),
            [f"{MANUAL_FIRST} {MANUAL_REASON}", *([plan_words(order)] if close else [])],
        )
        words = partial(set_note, IN_THIS_ORDER, said, setting=setting)
        left = shown.width_mm + GAP_MM
        if close and one and width - left >= BESIDE_MM:
            aside = words(width=width - left)
            if aside.height_mm <= shown.height_mm:
                return [level([shown, aside], (0.0, left), width, "plan-and-words")]
        parts = [in_width(width, close, low=close), words(width=width)]
        return [stacked(parts, BLOCK_GAP_MM)] if close and one else parts

    return [fastener.position for fastener in order.fasteners], drawn_plan


def _within_heights(draw_plan: Callable[[float, bool], Drawing], height: float) -> Drawing:
    """The plan of the fasteners within a height, or higher where it has to be. Raises LayoutError."""
    for least, sparse in ((height, False), (HIGHEST_PLAN_MM, False)):
        try:
            return draw_plan(least, sparse)
        except LayoutError:
            continue
    return draw_plan(HIGHEST_PLAN_MM, True)


def _pointers(plan: JobPlan) -> list[Pointer]:
    return pointers(plan.job.spec, plan.job.fasteners, plan.job.title)


def _marks(plan: JobPlan, along_band: bool) -> Note:
    """What draws where every mark lies: degrees, along the band unless that has no one length, and on the socket."""
    unit, clockwise = plan.job.socket.unit, plan.job.spec.clockwise
    along = {"on the band": lambda mark: beside_start(plan.from_start_mm(mark), clockwise, unit)} if along_band else {}
    columns = {**along, "on the socket": plan.where}
    marks, words = plan.marks, f"{BAND_FROM_START if along_band else FROM_START} {mark_words(plan.marks, columns)}"

    @cache
    def in_table(widest: float, size_pt: float) -> Drawing:
        return mark_table(marks, columns, widest, _row_mm(size_pt), size_pt)

    def drawn_marks(widest: float, setting: Setting, close: bool) -> Drawing:
        if close:
            return set_note(MARKS, [words], widest, setting)
        return in_table(widest, setting.note_pt)

    return cache(drawn_marks)


def _row_mm(size_pt: float) -> float:
    return max(ROW_MM, ROW_MM_PER_PT * size_pt)


def _trim_document(trim: TrimJobPlan, command: str) -> Document:
    """Return the finished pages of a job without a diameter."""
    job, paper = trim.job, trim.job.paper
    ends = f"OD {shown_lengths(trim.parts[0].low_od_mm, trim.parts[-1].high_od_mm, trim.unit)}"
    header = sheet_header(job.title, job.spec, f"{job.socket.points}-point · {job.socket.drive.inch} in drive · {ends}")
    if not paper.is_sheet:
        return Document(label_pages(trim, paper), header[0], " · ".join(header[1:]))
    plan = trim.parts[0].plan
    rings, extras = [part.ring for part in trim.parts if part.ring is not None], _joined(trim)
    pieces = [Pieces(trim_strips(trim), rings, trim.unit, extras, _pointers(plan))]

    said = trim_notes(trim.remedies, job.model, bool(rings), extras)
    card = Card(
        header, job.spec, job.fasteners, steps(plan, trim.parts[0].bands, rings, extras, trim.parts),
        _marks(trim.parts[-1].plan, along_band=False), [cache(partial(_trim_errors, trim, said))], *_order(plan),
    )  # fmt: skip
    return _composed(trim, paper, pieces, card, command)


def _trim_errors(trim: TrimJobPlan, said: Sequence[str], width: float, setting: Setting, close: bool) -> Drawing:
    """How well each trim band and ring reads, in a table or on a close card in words, and what is said of that."""
    heading, rows = "Reading error and aim, at the smallest ODs", []
    readouts = {
        f"{name}, from OD {shown_length(part.low_od_mm, trim.unit)}": budgets
        for part in trim.parts
        for name, budgets in (("band", part.plan.budgets), ("ring", part.ring_budgets))
    }
    if close:
        lines = error_lines({name: (budgets, ()) for name, budgets in readouts.items()})
        return _note(heading, list(dict.fromkeys([*lines, *said])))(width, setting, close)
    for name, budgets in readouts.items():
        for budget in budgets:
            zone = budget.aim_zone
            aim = f"{shown_degrees(zone.low_deg, 1)} to {shown_degrees(zone.high_deg, 1)}" if zone else "no aim"
            rows.append((name, str(budget.stage), aim, shown_degrees(budget.expanded_deg, 1)))
    columns = columns_for(("readout", "stage", "aim between", "read, give or take"), rows, width, setting.note_pt)
    errors = table(heading, columns, rows, _row_mm(setting.note_pt), size_pt=setting.note_pt)
    rests = _note(PROVES_AND_RESTS if trim.remedies else RESTS, said)(width, setting, close)
    return stacked([errors, rests], BLOCK_GAP_MM)


def _composed(
    plan: JobPlan | TrimJobPlan, paper: Paper, choices: Iterable[Pieces], card: Card, command: str
) -> Document:
    """Return the finished pages of a job: one for the first choice of pieces that fits there with the card.

    Else those of the pieces of the first choice and then the card.
    """
    title, *others = card.header
    words = " · ".join(others)
    sheet = Sheet(paper, (title, words if card.spec.clockwise else LeftHand(words)), command=command)
    tried: list[Pieces] = []
    for pieces in choices:
        tried.append(pieces)
        if put_on_one_page(sheet, paper, pieces, card):
            break
    else:
        _put_pages(sheet, paper, tried[0], card)
    for kind, extra in zip(plan.job.extras, plan.extras, strict=True):
        if not READOUTS[kind].joins:
            sheet.new_page(paper)
            READOUTS[kind].put(sheet, extra)
    return sheet.document()


def _put_pages(sheet: Sheet, paper: Paper, pieces: Pieces, card: Card) -> None:
    """Put the pieces on as few pages as they need, then the card: below them, else on a page of its own."""
    width = paper.content_width_mm
    rings = [*zip(*(ring_pieces(ring, pieces.unit, width) for ring in pieces.rings), strict=False)] or [()]
    blocks = pointer_ways(pieces.pointers, width, LARGEST_BLOCK * paper.content_height_mm)
    strips = [strip.captioned(width) for strip in pieces.strips]
    figures = [piece for extra in pieces.figures for piece in figure_pieces(extra, width, extra.captions)]
    ways = ([*strips, *ring, *figures, *block] for ring in rings for block in blocks)
    pages = min((_paged(sheet, paper, way) for way in ways), key=lambda found: (len(found), reach_mm(found[-1][1])))
    for page, spots in pages:
        drawing = laid(spots, page.content_width_mm)
        sheet.new_page(page, to_scale=is_to_scale(drawing.content))
        sheet.put(drawing)
    sheet.new_row()
    width, room = sheet.room_mm()
    top = head(card, width)
    body = _whole(card, sheet.paper, width, room - top.height_mm - HEAD_GAP_MM)
    if body is None and room < (1 - LEAST_FILLED) * sheet.empty_height_mm:
        width, high = sheet.page_room_mm(paper, titled=False, to_scale=False)
        own = head(card, width, edge=False)
        body = _whole(card, paper, width, high - own.height_mm - HEAD_GAP_MM)
        if body is not None or sheet.paper is not paper or room < LEAST_BEGUN * sheet.empty_height_mm:
            sheet.new_page(paper, titled=False, to_scale=False)
            top = own
    if body is not None:
        sheet.put(stacked([top, body.draw()], HEAD_GAP_MM, "work-card"))
    else:
        sheet.put(top)
        sheet.new_row()
        flow(sheet, card)


def _whole(card: Card, paper: Paper, width: float, height: float) -> Piece | None:
    """A card in one piece on a paper, set close where it has to be; None where it does not fit."""
    ways = (whole(own, width, height, settings_for(paper)) for own in (card, card._replace(close=True)))
    return next((body for body in ways if body is not None), None)


def _paged(sheet: Sheet, paper: Paper, pieces: Sequence[Piece]) -> list[tuple[Paper, list[Spot]]]:
    """Return pages of pieces in order, each turned as long as a piece that needs the width is left.

    Whatever fits beside and below the first piece of a page goes there too. Raises LayoutError for a larger one.
    """
    pages: list[tuple[Paper, list[Spot]]] = []
    while pieces:
        long = any(piece.width_mm > paper.content_width_mm for piece in pieces)
        page = paper.wide if long else paper
        width, height = sheet.page_room_mm(page)
        too_large(pieces[0], width, height)
        spots, pieces = packed(pieces, width, height)
        pages.append((page, spots))
    return pages
