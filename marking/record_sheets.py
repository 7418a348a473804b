"""The record card: a plan of the fasteners numbered in tightening order, and boxes to fill in for each stage."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from .blocks import BODY_PT, CAP_EM, NOTE_PT, captioned, line_pitch_mm, listed, paragraph, stacked, table
from .drawing import Arc, Document, Drawing, Group, Point, Polyline, Primitive, Text, moved, polar
from .errors import LayoutError
from .fonts import MM_PER_PT, SEMIBOLD
from .job_sheets import RECORD_ROW_MM, sheet_header
from .quantities import shown_degrees
from .record_job import Fastener, RecordJob, RecordPlan
from .sheet import TITLE_PT, Sheet
from .spec import TighteningSpec
from .words import CAUTIONS, direction, snug_step, whole_turns

RULER_NOTE = "This page is to be written on, not measured: but for the two rulers nothing on it is to scale."

WIDEST_MM, WIDEST_WORDS_MM = 190.0, 110.0
"""Widest record, as wide as a letter page allows, and widest column of words (our choice)."""

LEAST_BESIDE_MM = 56.0
"""Least width for words beside the plan; with less room they go below."""

CIRCLE_PITCH_MM, CIRCLE_RADII_MM = 10.0, (22.0, 48.0)
ROW_PITCHES_MM, ROW_MM = (9.0, 14.0), 96.0
"""Size of the plan where the paper has room (our choice): pitch and radii of a circle, pitches and length of a row."""

LEAST_PITCH_MM = 3.4
"""Least pitch at which a hexagon holds two digits of 5 pt."""

FLATS_PER_PITCH, MOST_FLATS_MM = 0.78, 8.5
"""Width across flats of a fastener's hexagon: its part of the pitch, and the largest."""

NUMBER_PT_PER_MM, NUMBER_SIZES_PT = 1.7, (5.0, 11.0)
"""Type size of a number for each mm across flats, and its limits."""

EDGE_MM = 8.0
"""From the fasteners' centres to the outline of the part."""

TOP_BOX_MM, TOP_MARK_MM = (48.0, 7.0), 3.0
"""The box for what is at the top of the part, and the height of the triangle that points to it."""

ARROW_RADIUS_MM, ARROW_HEAD_MM, ARROW_WORDS_MM = 3.6, 2.2, 44.0

PLAN_GAP_MM, CAPTION_MM, MOST_CAPTION_LINES = 3.0, 60.0, 4
"""Space below the plan; least width and most lines of the words under it."""

LEAST_ROWS = 4
"""A table with fewer rows than this is not begun at the foot of a page."""


def record_document(plan: RecordPlan) -> Document:
    """Return the finished pages of a record card.

    Raises LayoutError for paper on which plan or boxes find no room, CharacterError for a title that cannot be printed.
    """
    job = plan.job
    header = sheet_header(job.title, job.spec, f"record card · {job.pattern}")
    sheet = Sheet(job.paper, header, RULER_NOTE)
    sheet.new_page()
    for block in (_manual_first, _form):
        sheet.put(block(min(WIDEST_MM, sheet.room_mm()[0])))
        sheet.new_row()
    _put_plan(sheet, plan)
    _put_words(sheet, job)
    _put_record(sheet, job)
    return Document(sheet.pages(), header[0], " · ".join(header[1:]))


# -- above the plan


def _manual_first(width: float) -> Drawing:
    """The sentence that nobody may miss, in a box."""
    room = width - 2 * BODY_PT * MM_PER_PT
    title = paragraph("The manual's order comes first.", room, TITLE_PT, SEMIBOLD)
    reason = (
        "The numbers on the plan are common practice, for manuals that give no order. Where the manual gives an order, "
        "stages or a number of passes, follow it: the record has a column for its numbers."
    )
    words = stacked([title, paragraph(reason, room)], 0.0)
    height = words.height_mm + 4.0
    box = Polyline(((0, 0), (width, 0), (width, height), (0, height)), "box-strong", closed=True)
    return Drawing(width, height, Group("manual-first", (box, moved(words.content, (width - room) / 2, 2.0))))


def _form(width: float) -> Drawing:
    """Boxes for part, date, wrench and technician: one line of them, or two on narrow paper."""
    lines = [[("part", 5), ("date", 3)], [("wrench number", 3), ("calibration due", 3), ("technician", 4)]]
    if width >= 150.0:
        lines = [[box for line in lines for box in line]]
    drawn = []
    for line in lines:
        share = width / math.fsum(parts for _, parts in line)
        drawn.append(table("", [(title, share * parts) for title, parts in line], [("",)], RECORD_ROW_MM, boxed=True))
    return stacked(drawn)


# -- the plan


def _put_plan(sheet: Sheet, plan: RecordPlan) -> None:
    """The plan on this page, or on a page of its own when it would be too small to read on the rest of this one."""
    width, height = sheet.room_mm()
    try:
        sheet.put(_plan_with_words(plan, width, height))
    except LayoutError:
        sheet.put(_plan_with_words(plan, width, sheet.empty_height_mm))


def _plan_with_words(plan: RecordPlan, width: float, height: float) -> Drawing:
    """The plan, the way to tighten below it, and what its numbers mean."""
    rule = "crosswise" if plan.job.rows is None else "from the middle outward"
    order = f"Each number is a fastener's place in the order, {rule}. " if plan.job.fasteners > 1 else ""
    words = (
        f"Plan, not to scale, seen from the drive end. {order}The box is for what is at the top of the part, such as "
        "its front."
    )
    arrow = _tightening_arrow(plan.job.spec)
    below = arrow.height_mm + PLAN_GAP_MM + MOST_CAPTION_LINES * line_pitch_mm(NOTE_PT)
    return captioned(stacked([draw_plan(plan, width, height - below), arrow], PLAN_GAP_MM), [words], CAPTION_MM)


def draw_plan(plan: RecordPlan, width: float, height: float) -> Drawing:
    """Return the plan within `width` × `height` mm: outline, numbered fasteners, and the box at the top of the part.

    Hexagons carry their order and position as data. Raises LayoutError when their numbers would be too small to read.
    """
    top_mm = TOP_BOX_MM[1] + TOP_MARK_MM
    unit, flats = _scale(plan, width, height - top_mm)
    reach_x, reach_y = (unit * reach + EDGE_MM for reach in _reach(plan))
    across = max(2 * reach_x, TOP_BOX_MM[0])
    items: list[Primitive | Group] = [_outline(plan.job.rows is None, reach_x, reach_y)]
    items += [_fastener(fastener, unit, flats) for fastener in plan.fasteners]
    items.append(_top_box(reach_y))
    content = moved(Group("plan", tuple(items)), across / 2, reach_y)
    return Drawing(across, 2 * reach_y + top_mm, content)


def _reach(plan: RecordPlan) -> Point:
    """How far the fasteners' centres reach from the middle, to the side and up."""
    if plan.job.rows is None:
        return (1.0, 1.0) if plan.job.fasteners > 1 else (0.0, 0.0)
    xs, ys = zip(*(fastener.place for fastener in plan.fasteners), strict=True)
    return max(xs), max(ys)


def _scale(plan: RecordPlan, width: float, height: float) -> tuple[float, float]:
    """Millimetres for a unit of the fasteners' places, and the hexagons' width across flats."""
    count, (reach_x, reach_y) = plan.job.fasteners, _reach(plan)
    if plan.job.rows is None:
        least, most = CIRCLE_RADII_MM
        wanted = min(most, max(least, count * CIRCLE_PITCH_MM / math.tau))
        chord = 2 * math.sin(math.pi / max(2, count))
    else:
        least, most = ROW_PITCHES_MM
        wanted = min(most, max(least, ROW_MM / max(1.0, 2 * reach_x)))
        chord = 1.0
    rooms = [(side / 2 - EDGE_MM) / reach for side, reach in ((width, reach_x), (height, reach_y)) if reach]
    unit = min([wanted, *rooms])
    if unit * chord < LEAST_PITCH_MM:
        raise LayoutError(
            f"a plan of {plan.job.pattern} has no room for legible numbers on this paper",
            f"{LEAST_PITCH_MM:g} mm or more from fastener to fastener", "choose a larger --paper",
        )  # fmt: skip
    return unit, min(MOST_FLATS_MM, FLATS_PER_PITCH * unit * chord)


def _outline(round_part: bool, reach_x: float, reach_y: float) -> Primitive:
    if round_part:
        return Arc(0, 0, reach_x, 0, 360, "part-outline")
    corners = ((-reach_x, -reach_y), (reach_x, -reach_y), (reach_x, reach_y), (-reach_x, reach_y))
    return Polyline(corners, "part-outline", closed=True)


def _fastener(fastener: Fastener, unit: float, flats: float) -> Group:
    """A hexagon with the fastener's place in the order."""
    x, y = fastener.place[0] * unit, fastener.place[1] * unit
    corners = tuple(polar(flats / math.sqrt(3), 60.0 * k) for k in range(6))
    least, most = NUMBER_SIZES_PT
    size = min(most, max(least, NUMBER_PT_PER_MM * flats))
    baseline = -CAP_EM * size * MM_PER_PT / 2
    data = (("order", str(fastener.number)), ("position", str(fastener.position)))
    number = Text(0, baseline, str(fastener.number), size, SEMIBOLD, "middle", role="order-number")
    return moved(Group("fastener", (Polyline(corners, "fastener", closed=True), number), data), x, y)


def _top_box(reach_y: float) -> Group:
    """A triangle at the top of the outline, and above it a box to write in what is there."""
    width, height = TOP_BOX_MM
    low = reach_y + TOP_MARK_MM
    box = Polyline(
        ((-width / 2, low), (width / 2, low), (width / 2, low + height), (-width / 2, low + height)), "box", True
    )
    triangle = Polyline(((0.0, low - 0.4), (-1.6, low - 2.6), (1.6, low - 2.6)), "arrow-head", True, 0.0)
    label = Text(1.6 - width / 2, low + 2.4, "this side up:", NOTE_PT)
    return Group("plan-top", (triangle, box, label))


def _tightening_arrow(spec: TighteningSpec) -> Drawing:
    """A round arrow the way the fasteners are tightened, with words."""
    words = paragraph(f"Tighten {direction(spec)}.", ARROW_WORDS_MM, BODY_PT, SEMIBOLD)
    way = -1.0 if spec.clockwise else 1.0  # counterclockwise on the page is positive
    head = math.degrees(ARROW_HEAD_MM / ARROW_RADIUS_MM)
    tip_deg = 90.0 + way * 150.0
    neck_deg = tip_deg - way * head
    shaft = Arc(0, 0, ARROW_RADIUS_MM, min(neck_deg, 90.0 - way * 150.0), 300.0 - head, "arrow")
    neck = (polar(ARROW_RADIUS_MM + 1.0, neck_deg), polar(ARROW_RADIUS_MM - 1.0, neck_deg))
    tip = Polyline((polar(ARROW_RADIUS_MM, tip_deg), *neck), "arrow-head", True, 0.0)
    across = 2 * (ARROW_RADIUS_MM + 1.0)
    height = max(across, words.height_mm)
    arrow = moved(Group("tightening", (shaft, tip)), across / 2, height / 2)
    text = moved(words.content, across + 3.0, (height - words.height_mm) / 2)
    return Drawing(across + 3.0 + words.width_mm, height, Group("direction", (arrow, text)))


# -- the words


def _put_words(sheet: Sheet, job: RecordJob) -> None:
    """Put the steps beside the plan or below it, and the cautions under them or across the page, whichever is lower."""
    width, height = sheet.room_mm()
    if width < LEAST_BESIDE_MM or _work(job, width).height_mm > height:
        sheet.new_row()
        width, height = sheet.room_mm()
    work, cautions = _work(job, width), _cautions(sheet.paper.content_width_mm)
    both = stacked([work, _cautions(min(width, WIDEST_WORDS_MM))])
    more_mm = both.height_mm - max(sheet.row_mm, work.height_mm)
    if both.height_mm <= height and more_mm < cautions.height_mm:
        sheet.put(both)
        return
    sheet.put(work)
    sheet.new_row()
    sheet.put(cautions)


def _work(job: RecordJob, width: float) -> Drawing:
    return listed("Work in this order", steps(job), min(width, WIDEST_WORDS_MM), numbered=True)


def _cautions(width: float) -> Drawing:
    return listed("Cautions", CAUTIONS, min(width, WIDEST_MM), numbered=False)


def steps(job: RecordJob) -> list[str]:
    """How to work with the card, step by step, with this job's numbers."""
    found = [
        "Read the manual: order, stages, number of passes, lubricant, and whether the fasteners may be used again.",
        "Hold the card as the part lies, and write in the box what is at its top.",
        snug_step(job.spec),
    ]
    if job.fasteners > 1:
        found.insert(2, "Finish each stage on all fasteners, in this order, before the next stage begins.")
        found[-1] += f" Do so on all fasteners, 1 to {job.fasteners}."
    found += [_stage_step(job, number) for number in range(1, len(job.spec.stages) + 1)]
    found.append("Write down each fastener at once. Overshot: stop, write it down, and do what the manual says.")
    return found


def _stage_step(job: RecordJob, number: int) -> str:
    stage = job.spec.stages[number - 1]
    lead = f"Stage {number}: " if len(job.spec.stages) > 1 else ""
    anew, whole = _marked_anew(job, number), whole_turns(stage)
    each = "each fastener in turn" if job.fasteners > 1 else "the fastener"
    begin = f"put {'a fresh' if number > 1 else 'the'} witness mark beside START, then turn in one smooth pull: "
    if not anew:
        begin = f"keep the first witness mark and turn on in one smooth pull: {'counted from snug, ' if whole else ''}"
    since = "" if anew else " from snug"
    if stage.window is None:
        end = f"the stop line stands at the witness mark ({shown_degrees(stage.turn_deg)}{since}). The manual's "
        end += "tolerance is missing: look it up and write its window on the card."
    else:
        end = f"the witness mark stands in the stop window, {stage.window.text}{since}."
    text = f"at {each} {begin}{whole}until {end}"
    return lead + text if lead else text[0].upper() + text[1:]


def _marked_anew(job: RecordJob, number: int) -> bool:
    """Tell whether a stage begins with a witness mark of its own; totals from snug keep the first one."""
    return number == 1 or job.witness == "fresh"


# -- the record


class Column(NamedTuple):
    """A column of the record: its title, its least width in mm, and what the spec says of it."""

    title: str
    least_mm: float
    spec: str = ""


NUMBERS = (Column("no.", 9.0, "spec"), Column("manual's no.", 15.0))
INITIALS = Column("initials", 12.0)
SNUG_MM, STAGE_MM = 20.0, (12.0, 14.0, 16.0)


def _put_record(sheet: Sheet, job: RecordJob) -> None:
    """Tables with a row a fastener in the order of tightening, on as many pages as they need."""
    width = min(WIDEST_MM, sheet.paper.content_width_mm)
    parts = list(_record_parts(job, width))
    for stages, columns in parts:
        heading = f"Record, stage{_span(stages)}" if len(parts) > 1 else "Record"
        scale = max(1.0, width / math.fsum(column.least_mm for column in columns))
        widths = [(column.title, scale * column.least_mm) for column in columns]
        _put_tables(sheet, heading, widths, [column.spec for column in columns], job.fasteners)


def _put_tables(
    sheet: Sheet, heading: str, columns: Sequence[tuple[str, float]], spec: Sequence[str], count: int
) -> None:
    head_mm = table(heading, columns, [spec], RECORD_ROW_MM, boxed=True).height_mm
    first = 1
    while first <= count:
        sheet.new_row()
        fitting = int((sheet.room_mm()[1] - head_mm + 1e-6) / RECORD_ROW_MM)
        if fitting < min(LEAST_ROWS, count - first + 1):
            fitting = max(1, int((sheet.empty_height_mm - head_mm + 1e-6) / RECORD_ROW_MM))
        last = min(count, first + fitting - 1)
        rows = [spec, *([str(number)] for number in range(first, last + 1))]
        title = heading if first == 1 else f"{heading}, continued"
        sheet.put(table(title, columns, rows, RECORD_ROW_MM, boxed=True))
        first = last + 1


def _record_parts(job: RecordJob, width: float) -> Iterator[tuple[range, list[Column]]]:
    """The stages of each table, as many as fit beside each other and evenly shared out, and its columns."""
    count = len(job.spec.stages)
    fixed = math.fsum(column.least_mm for column in (*NUMBERS, INITIALS)) + SNUG_MM
    fitting = max(1, int((width - fixed + 1e-6) / math.fsum(STAGE_MM)))
    share = math.ceil(count / math.ceil(count / fitting))
    for first in range(1, count + 1, share):
        stages = range(first, min(first + share, count + 1))
        snug = [_snug_column(job.spec)] if first == 1 else []
        turns = [column for number in stages for column in _stage_columns(job, number)]
        yield stages, [*NUMBERS, *snug, *turns, INITIALS]


def _snug_column(spec: TighteningSpec) -> Column:
    """The column of the snug torque; what the spec leaves open is left to be written in."""
    return Column("snug", SNUG_MM, "hand tight" if spec.hand_tight else spec.snug.both if spec.snug else "")


def _stage_columns(job: RecordJob, number: int) -> list[Column]:
    """Witness mark, turn and window of one stage; a missing window is left to be written in."""
    stage = job.spec.stages[number - 1]
    which = f" {number}" if len(job.spec.stages) > 1 else ""
    marked, turned, in_window = STAGE_MM
    columns = [
        Column(f"turned{which}", turned, shown_degrees(stage.turn_deg)),
        Column(f"in window{which}", in_window, stage.window.text if stage.window else ""),
    ]
    return [Column(f"marked{which}", marked), *columns] if _marked_anew(job, number) else columns


def _span(stages: range) -> str:
    """Stage numbers behind the word "stage": " 3", "s 1–3"."""
    return f" {stages[0]}" if len(stages) == 1 else f"s {stages[0]}–{stages[-1]}"
