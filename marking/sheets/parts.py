"""Parts that several sheets share: headers, mark tables, records to fill in."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import NamedTuple

from ..drawing.fonts import BODY_PT, HEAD_PT, NOTE_PT, REGULAR, SEMIBOLD, face, printable, text_width_mm
from ..drawing.primitives import Drawing, Group, Line, Primitive, Text
from ..fastening.spec import LoosenStep, TighteningSpec, TorqueStep, TurnStep
from ..fastening.spec_words import tidied
from ..marks.stage_marks import Mark
from ..quantities.shown import shown_degrees
from .blocks import columns_for, stacked, table
from .furniture import LeftHand, Small
from .sheet import GAP_MM, Sheet
from .words import boxes, mark_name, turns_to_tick

DEFAULT_TITLE = "Torque, then turn"

MARKS = "Where the marks lie"

MAX_TITLE = 120

RECORD_ROWS = 25
"""Most rows of one record table; more fasteners get more tables."""

RECORD_ROW_MM, RECORD_HEAD_MM = 6.0, 12.0


def sheet_header(title: str, spec: TighteningSpec, socket_line: str) -> tuple[str, ...]:
    """Return title, spec as read and as typed, and socket: the lines at the top of every page.

    Characters of the spec that the font lacks are shown as their like, or "?". Raises CharacterError for the title.
    """
    words = spec.read_as if spec.clockwise else LeftHand(f"{spec.read_as} · left-hand thread")
    font = face(REGULAR)
    typed = "".join(next((c for c in (char, tidied(char)) if c in font), "?") for char in spec.typed)
    small = (Small(f"as typed: {typed}"),) if typed else ()
    return printable(title, "title", MAX_TITLE) or DEFAULT_TITLE, words, *small, socket_line


def mark_table(
    marks: Sequence[Mark],
    columns: Mapping[str, Callable[[Mark], str]],
    widest: float,
    row_mm: float = 4.6,
    size_pt: float = BODY_PT,
) -> Drawing:
    """Return where every mark lies: its name, its turn, and what `columns` say of it, by their titles."""
    rows = _mark_rows(marks, columns)
    widths = columns_for(("mark", "turn", *columns), rows, widest, size_pt)
    return table(MARKS, widths, rows, row_mm, size_pt=size_pt)


def mark_words(marks: Sequence[Mark], columns: Mapping[str, Callable[[Mark], str]]) -> str:
    """Return in running words what `mark_table` tells, but for the aim lines, which are checked with their windows."""
    told = [mark for mark in marks if mark.kind != "aim"]
    return " ".join(f"{name}: {', '.join(said)}." for name, *said in _mark_rows(told, columns))


def _mark_rows(marks: Sequence[Mark], columns: Mapping[str, Callable[[Mark], str]]) -> list[tuple[str, ...]]:
    several = len({mark.stage for mark in marks if mark.stage}) > 1
    return [
        (mark_name(mark, several), shown_degrees(mark.turn_deg, 1), *(say(mark) for say in columns.values()))
        for mark in marks
    ]


class Column(NamedTuple):
    """A column of a record: its title, its least width in mm, what the spec says of it, and what each row has in it."""

    title: str
    least_mm: float
    spec: str = ""
    filled: str = ""


class Form(NamedTuple):
    """The widths of a record: a torque or loosening; mark, turn and window of a stage; the columns at either side."""

    other_mm: float
    stage_mm: tuple[float, float, float]
    first: tuple[Column, ...]
    last: tuple[Column, ...]


CARD = Form(
    20.0, (13.0, 14.0, 16.0),
    (Column("order", 9.5, "spec"), Column("place", 10.0), Column("manual's", 13.0)),
    (Column("initials", 12.0), Column("checked", 13.0), Column("audit", 11.0)),
)  # fmt: skip
SMALL = Form(
    10.0, (11.5, 11.5, 13.5), (Column("no.", 7.5),),
    (Column("initials", 10.5), Column("checked", 11.5), Column("audit", 9.5)),
)  # fmt: skip
ORDERED = (Column("order", 8.5), Column("place", 8.5), Column("manual's", 12.0))
"""A record card, the small record of a job, and its first columns where it tells the order. "checked" is for a second
signature, "audit" for an inspection later."""

HEAD = (
    ("part", 5), ("joint no.", 3), ("date", 3), ("manual's reference", 4),
    ("lubricant", 3), ("wrench no.", 3), ("calibration due", 3), ("technician", 4),
)  # fmt: skip
LOW_HEAD = (("part", 5), ("date", 3), ("technician", 4), ("wrench no.", 4))
"""What is to be written in above a record, and its share of the width; the least of it, beside the record's heading."""

LOW_LINE_MM, HEAD_GAP_MM = 5.0, 1.2
"""Height of a line to write on, space below a head."""

BOXES_IN_LINE = ((150.0, 8), (80.0, 4), (0.0, 2))
"""How many boxes of a head stand in a line, from which width on (our choice)."""

WIDEST_MM, WIDEST_WORDS_MM = 190.0, 120.0
"""Widest record, as wide as a letter page allows, and widest column of words (our choice)."""

LEAST_ROWS = 4
"""A table with fewer rows than this is not begun at the foot of a page."""


def record_head(width: float) -> Drawing:
    """Boxes for part, joint, date, manual, lubricant, wrench and technician."""
    in_line = next(count for least, count in BOXES_IN_LINE if width >= least)
    lines = []
    for line in (HEAD[k : k + in_line] for k in range(0, len(HEAD), in_line)):
        share = width / sum(parts for _, parts in line)
        lines.append(table("", [(title, share * parts) for title, parts in line], [("",)], RECORD_ROW_MM, boxed=True))
    return stacked(lines, 0.8)


def low_record_head(width: float, heading: str = "Record") -> Drawing:
    """The heading of a record, and on its line, or on two, what is to be written in at least."""
    count = len(LOW_HEAD) if width >= BOXES_IN_LINE[0][0] else 2
    lines = [LOW_HEAD[k : k + count] for k in range(0, len(LOW_HEAD), count)]
    items: list[Primitive] = [Text(0.0, LOW_LINE_MM * (len(lines) - 1) + 1.2, heading, HEAD_PT, SEMIBOLD)]
    for number, line in enumerate(lines, 1):
        left = text_width_mm(heading, HEAD_PT, SEMIBOLD) + GAP_MM if number == 1 else 0.0
        share, y = (width - left) / sum(parts for _, parts in line), LOW_LINE_MM * (len(lines) - number) + 1.2
        for title, parts in line:
            begin, end = left + text_width_mm(title, NOTE_PT, SEMIBOLD) + 0.8, left + share * parts
            items += [Text(left, y, title, NOTE_PT, SEMIBOLD), Line(begin, y - 0.4, end - 1.5, y - 0.4, "rule")]
            left = end
    return Drawing(width, LOW_LINE_MM * len(lines), Group("record-head", tuple(items)))


def under_low_head(records: Sequence[Drawing], width: float) -> list[Drawing]:
    """Return tables that are not headed, the first one below a low head."""
    return [stacked([low_record_head(width), records[0]], 0.0), *records[1:]]


def small_records(
    spec: TighteningSpec, fasteners: int, width_mm: float, height_mm: float, row_mm: float = RECORD_ROW_MM,
    headed: bool = True, places: Sequence[int] = (),
) -> Iterator[Drawing]:  # fmt: skip
    """Yield tables to fill in, a row per fastener, the first below a head, none wider or higher than given.

    On narrow paper several hold all columns. `places` are the numbers of the fasteners' places, if they stand in the
    order of tightening. Those that are not `headed` go below a low head.
    """
    form = SMALL._replace(first=ORDERED) if places else SMALL
    begun = [*enumerate(places, 1)] if places else [(number,) for number in range(1, fasteners + 1)]
    steps = _step_columns(spec, form, valued=True)
    for number, (heading, columns) in enumerate(_tables(form, steps, width_mm)):
        heads = [record_head(_width(columns))] if headed and not number else []
        yield from _record_tables(height_mm, heading if headed or number else "", columns, begun, row_mm, heads)


def put_record(sheet: Sheet, spec: TighteningSpec, places: Sequence[int]) -> None:
    """Tables with a row a fastener in the order of tightening, on as many pages as they need; a new page has its head.

    `places` are the numbers of the places where the fasteners stand, in that order.
    """
    width = record_width_mm(sheet)
    for heading, columns in _tables(CARD, _step_columns(spec, CARD), width):
        scale = max(1.0, width / _width(columns))
        _put_tables(sheet, heading, [column._replace(least_mm=scale * column.least_mm) for column in columns], places)


def record_width_mm(sheet: Sheet) -> float:
    """Return how wide a record and its head are."""
    return min(WIDEST_MM, sheet.paper.content_width_mm)


def new_record_page(sheet: Sheet) -> None:
    """Begin a page with the head of the record."""
    sheet.new_page()
    sheet.put(record_head(record_width_mm(sheet)))
    sheet.new_row()


def _width(columns: Iterable[Column]) -> float:
    return math.fsum(column.least_mm for column in columns)


def _tables(form: Form, steps: Sequence[Sequence[Column]], width: float) -> Iterator[tuple[str, list[Column]]]:
    """The heading and the columns of each table: the steps in order, as many as fit beside each other, evenly."""
    room = width - _width((*form.first, *form.last))
    count = len(_shared(steps, room))
    evenly = next(limit for limit in range(1, math.ceil(room) + 1) if len(_shared(steps, min(limit, room))) == count)
    parts = _shared(steps, min(evenly, room))
    for number, part in enumerate(parts, 1):
        heading = f"Record, part {number} of {len(parts)}" if len(parts) > 1 else "Record"
        yield heading, [*form.first, *(column for step in part for column in step), *form.last]


def _shared(steps: Sequence[Sequence[Column]], room: float) -> list[list[Sequence[Column]]]:
    """The steps in parts, each as long as `room` allows."""
    parts: list[list[Sequence[Column]]] = [[]]
    for step in steps:
        if parts[-1] and math.fsum(map(_width, (*parts[-1], step))) > room + 1e-6:
            parts.append([])
        parts[-1].append(step)
    return parts


def _step_columns(spec: TighteningSpec, form: Form, valued: bool = False) -> list[list[Column]]:
    """The columns of every step in order; what the spec leaves open is left to be written in.

    `valued` titles have a pass's torque in them, for tables without a row of what the spec says.
    """
    found = [[Column("snug", form.other_mm)]] if isinstance(spec.steps[0], TurnStep) else []
    snugs = sum(map(spec.begins_run, range(1, len(spec.stages) + 1)))
    passes = 0
    for step, after in zip_longest(spec.steps, spec.steps[1:]):
        if isinstance(step, TurnStep):
            found.append(_stage_columns(spec, step.number, form.stage_mm))
            continue
        said = step.both if isinstance(step, TorqueStep) else step.read_as
        if isinstance(after, TurnStep):
            title = f"snug {after.number}" if snugs > 1 else "snug"
        elif isinstance(step, TorqueStep):
            passes += 1
            title = step.read_as if valued else f"torque {passes}"
        else:
            title = "loosened" if isinstance(step, LoosenStep) else step.read_as
            said = "" if title == said else said
        found.append([Column(title, max(form.other_mm, text_width_mm(title, NOTE_PT, SEMIBOLD) + CELL_MM), said)])
    return found


CELL_MM = 2.4
"""Space beside the title of a column."""


def _stage_columns(spec: TighteningSpec, number: int, widths: tuple[float, float, float]) -> list[Column]:
    """Witness mark, turn and window of one stage, or the line where it has no tolerance and so no window."""
    stage = spec.stages[number - 1]
    which = f" {number}" if len(spec.stages) > 1 else ""
    marked, turned, in_window = widths
    ticks = boxes(turns_to_tick(stage))
    turned = max(turned, text_width_mm(ticks, BODY_PT) + CELL_MM)
    columns = [
        Column(f"turned{which}", turned, shown_degrees(stage.turn_deg), ticks),
        Column(f"in window{which}", in_window, stage.window.text)
        if stage.window
        else Column(f"at line{which}", in_window),
    ]
    return [Column(f"marked{which}", marked), *columns] if spec.marked_anew(number) else columns


def _sized(columns: Iterable[Column]) -> list[tuple[str, float]]:
    """Titles and widths, as a table takes them."""
    return [(column.title, column.least_mm) for column in columns]


def _row(columns: Sequence[Column], *begin: int) -> list[str]:
    """A row to fill in, its first cells filled."""
    return [*map(str, begin), *(column.filled for column in columns[len(begin) :])]


def _record_tables(
    height_mm: float,
    heading: str,
    columns: Sequence[Column],
    begun: Sequence[Sequence[int]],
    row_mm: float,
    heads: Sequence[Drawing],
) -> Iterator[Drawing]:
    most = min(
        RECORD_ROWS,
        int((height_mm - RECORD_HEAD_MM - math.fsum(drawn.height_mm + HEAD_GAP_MM for drawn in heads)) / row_mm),
    )
    for first in range(0, len(begun), most):
        rows = [_row(columns, *begin) for begin in begun[first : first + most]]
        drawn = table("" if first else heading, _sized(columns), rows, row_mm, boxed=True)
        yield stacked([*heads, drawn], HEAD_GAP_MM)
        heads = []


def _put_tables(sheet: Sheet, heading: str, columns: Sequence[Column], places: Sequence[int]) -> None:
    """Put a table on this page if it fits, else on new ones, evenly; this one is begun on if that saves a page."""
    spec = [column.spec for column in columns]
    titles_mm = table(heading, _sized(columns), [spec], RECORD_ROW_MM, boxed=True).height_mm
    head_mm = record_head(record_width_mm(sheet)).height_mm + GAP_MM

    def fitting(height: float) -> int:
        return max(0, int((height - titles_mm + 1e-6) / RECORD_ROW_MM))

    sheet.new_row()
    here, a_page, count = fitting(sheet.room_mm()[1]), fitting(sheet.empty_height_mm - head_mm), len(places)
    first = 1
    for begun, rows in enumerate(_rows_a_page(count, here, max(1, a_page))):
        if begun or rows > here:
            new_record_page(sheet)
        cells = [_row(columns, n, places[n - 1]) for n in range(first, first + rows)]
        title = heading if first == 1 else f"{heading}, continued"
        sheet.put(table(title, _sized(columns), [spec, *cells], RECORD_ROW_MM, boxed=True))
        sheet.new_row()
        first += rows


def _rows_a_page(count: int, here: int, a_page: int) -> list[int]:
    """How many rows stand on each page, where `here` are left on the first and a new one holds `a_page`."""
    if count <= here:
        return [count]
    pages = -(-count // a_page)
    begin = [here] if here >= LEAST_ROWS and -(-(count - here) // a_page) < pages else []
    left, pages = count - sum(begin), pages - len(begin)
    return [*begin, *(left // pages + (k < left % pages) for k in range(pages))]
