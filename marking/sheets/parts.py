"""Parts that several sheets share: headers, mark tables, records to fill in."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import NamedTuple

from ..drawing.fonts import BODY_PT, HEAD_PT, NOTE_PT, REGULAR, SEMIBOLD, face, printable, text_width_mm
from ..drawing.primitives import Drawing, Group, Line, Primitive, Text
from ..fastening.spec import LoosenStep, TighteningSpec, TorqueStep, TurnStep
from ..fastening.spec_words import tidied
from ..marks.stage_marks import Mark
from ..quantities.shown import shown_degrees
from .blocks import TITLE_ROW_MM, columns_for, stacked, table
from .furniture import LeftHand, Small
from .sheet import GAP_MM, Sheet
from .words import boxes, mark_name, turns_to_tick

DEFAULT_TITLE = "Torque, then turn"

MARKS = "Where the marks lie"

MAX_TITLE = 120

RECORD_ROWS = 40
"""Most rows of one record table; more fasteners get more tables."""

RECORD_ROW_MM, RECORD_HEAD_MM = 6.0, 12.0
"""Height of a row, which a hand still writes in, and room for a table's titles and heading."""


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
    rows = [(mark_name(kind, stages), *cells) for (kind, *cells), stages in _cells(marks, columns).items()]
    widths = columns_for(("mark", "turn", *columns), rows, widest, size_pt)
    return table(MARKS, widths, rows, row_mm, size_pt=size_pt)


def mark_words(marks: Sequence[Mark], columns: Mapping[str, Callable[[Mark], str]]) -> str:
    """Return in running words what `mark_table` tells of the stop marks."""
    told: list[str] = []
    for (kind, *said), stages in _cells([mark for mark in marks if mark.kind.startswith("stop")], columns).items():
        place = ", ".join(said)
        if kind == "stop-high":  # behind its low edge
            told[-1] += f"; to {place}"
        else:
            told.append(f"{mark_name('stop', stages)}: {place}")
    return " ".join(f"{one}." for one in told)


def _cells(
    marks: Sequence[Mark], columns: Mapping[str, Callable[[Mark], str]]
) -> dict[tuple[str, ...], list[int | None]]:
    """The stages of marks by their kind, their turn, and what `columns` say: the marks of equal stages stand once."""
    several = len({mark.stage for mark in marks if mark.stage}) > 1
    found: dict[tuple[str, ...], list[int | None]] = {}
    for mark in marks:
        cells = shown_degrees(mark.turn_deg, 1), *(say(mark) for say in columns.values())
        found.setdefault((mark.kind, *cells), []).append(mark.stage if several else None)
    return found


class Column(NamedTuple):
    """A column of a record: its title, its least width in mm, what the spec says of it, and what each row has in it."""

    title: str
    least_mm: float
    spec: str = ""
    filled: str = ""


class Form(NamedTuple):
    """The widths of a record: a torque or loosening; mark, turns, reading and window of a stage; the columns at either
    side.
    """

    other_mm: float
    stage_mm: tuple[float, float, float, float]
    first: tuple[Column, ...]
    last: tuple[Column, ...]


CARD = Form(
    20.0, (12.5, 12.0, 12.5, 15.5),
    (Column("order", 9.5, "spec"), Column("place", 10.0), Column("manual's", 13.0)),
    (Column("initials", 12.0), Column("checked", 13.0), Column("audit", 11.0)),
)  # fmt: skip
SMALL = Form(
    10.0, (11.0, 11.0, 11.0, 13.5), (Column("no.", 7.5),),
    (Column("initials", 10.0), Column("checked", 10.0), Column("audit", 8.0)),
)  # fmt: skip
ORDERED = (Column("order", 7.5), Column("place", 7.5), Column("manual's", 11.0))
"""A record card, the small record of a job, and its first columns where it tells the order. "checked" is for a second
signature, "audit" for an inspection later."""

RECORD = "Record"

HEAD = (
    ("part", 5), ("joint no.", 2), ("date", 3), ("manual's reference", 4),
    ("lubricant", 4), ("wrench no.", 3), ("calibration due", 3), ("technician", 4),
)  # fmt: skip
"""What is to be written in above a record, on every page of it, and shares of the room for that."""

HEAD_LINE_MM, HEAD_GAP_MM = 6.0, 1.2
"""Height of a line to write on, space below a head."""

FIELDS_IN_LINE = ((110.0, 4), (80.0, 3), (0.0, 2))
"""How many fields of a head stand in a line, from which width on (our choice)."""

WIDEST_MM, WIDEST_WORDS_MM = 190.0, 120.0
"""Widest record, as wide as a letter page allows, and widest column of words (our choice)."""

LEAST_ROWS = 4
"""A table with fewer rows than this is not begun at the foot of a page."""


def record_head(width: float, heading: str = "") -> Drawing:
    """The heading of a record, if any, and lines for part, joint, date, manual, lubricant, wrench and technician."""
    count = next(fields for least, fields in FIELDS_IN_LINE if width >= least)
    lines = [HEAD[k : k + count] for k in range(0, len(HEAD), count)]
    y = HEAD_LINE_MM * (len(lines) - 1) + HEAD_GAP_MM
    items: list[Primitive] = [Text(0.0, y, heading, HEAD_PT, SEMIBOLD)] if heading else []
    left = text_width_mm(heading, HEAD_PT, SEMIBOLD) + GAP_MM if heading else 0.0
    for line in lines:
        titles_mm = [text_width_mm(title, NOTE_PT, SEMIBOLD) + 0.8 for title, _ in line]
        share = (width - left - math.fsum(titles_mm)) / sum(parts for _, parts in line)
        for (title, parts), title_mm in zip(line, titles_mm, strict=True):
            begin, end = left + title_mm, left + title_mm + share * parts
            items += [Text(left, y, title, NOTE_PT, SEMIBOLD), Line(begin, y - 0.4, end - 1.5, y - 0.4, "rule")]
            left = end
        left, y = 0.0, y - HEAD_LINE_MM
    return Drawing(width, HEAD_LINE_MM * len(lines), Group("record-head", tuple(items)))


def under_head(records: Sequence[Drawing], width: float) -> list[Drawing]:
    """Return tables that are not headed, the first one below a head."""
    return [stacked([record_head(width, RECORD), records[0]], 0.0), *records[1:]]


def small_records(
    spec: TighteningSpec, fasteners: int, width_mm: float, height_mm: float, row_mm: float = RECORD_ROW_MM,
    headed: bool = True, places: Sequence[int] = (), room_mm: float = 0.0,
) -> Iterator[Drawing]:  # fmt: skip
    """Yield tables to fill in, a row per fastener, each below a head, none wider or higher than given.

    The first one is as high as `room_mm` allows if some rows fit there. On narrow paper several hold all columns.
    `places` are the numbers of the fasteners' places, if they stand in the order of tightening. Those that are not
    `headed` go below one head.
    """
    form = SMALL._replace(first=ORDERED) if places else SMALL
    begun = [*enumerate(places, 1)] if places else [(number,) for number in range(1, fasteners + 1)]
    for number, (heading, columns) in enumerate(_tables(form, _step_columns(spec, form), width_mm)):
        head_mm = record_head(_width(columns)).height_mm + TITLE_ROW_MM if headed else RECORD_HEAD_MM
        here, a_table = (min(RECORD_ROWS, int((high - head_mm) / row_mm)) for high in (room_mm, height_mm))
        in_room = here if not number and LEAST_ROWS <= here < len(begun) else 0
        first = 0
        for count in filter(None, [in_room, *_evenly(len(begun) - in_room, a_table)]):
            rows = [_row(columns, *begin) for begin in begun[first : first + count]]
            title = f"{heading}, continued" if first else heading
            if headed:
                drawn = table("", _sized(columns), rows, row_mm, boxed=True)
                yield stacked([record_head(drawn.width_mm, title), drawn], 0.0)
            else:
                yield table(title if number or first else "", _sized(columns), rows, row_mm, boxed=True)
            first += count


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
    limits = range(1, math.ceil(room) + 1)
    evenly = bisect_left(limits, True, key=lambda limit: len(_shared(steps, min(limit, room))) == count)
    parts = _shared(steps, min(limits[evenly], room))
    for number, part in enumerate(parts, 1):
        heading = f"{RECORD}, part {number} of {len(parts)}" if len(parts) > 1 else RECORD
        yield heading, [*form.first, *(column for step in part for column in step), *form.last]


def _shared(steps: Sequence[Sequence[Column]], room: float) -> list[list[Sequence[Column]]]:
    """The steps in parts, each as long as `room` allows."""
    parts: list[list[Sequence[Column]]] = [[]]
    for step in steps:
        if parts[-1] and math.fsum(map(_width, (*parts[-1], step))) > room + 1e-6:
            parts.append([])
        parts[-1].append(step)
    return parts


def _step_columns(spec: TighteningSpec, form: Form) -> list[list[Column]]:
    """The columns of every step in order; what the spec leaves open is left to be written in."""
    found = [[Column("snug", form.other_mm)]] if isinstance(spec.steps[0], TurnStep) else []
    snugs = sum(map(spec.begins_run, range(1, len(spec.stages) + 1)))
    for step, after in zip_longest(spec.steps, spec.steps[1:]):
        if isinstance(step, TurnStep):
            found.append(_stage_columns(spec, step.number, form.stage_mm))
            continue
        to_turn = isinstance(after, TurnStep)
        if isinstance(step, TorqueStep):
            title, said = "snug" if to_turn else step.read_as, step.both
        else:
            title, said = "loosened" if isinstance(step, LoosenStep) else step.read_as, step.read_as
        said = "" if title == said else said
        title += f" {after.number}" if isinstance(after, TurnStep) and snugs > 1 else ""
        found.append([Column(title, max(form.other_mm, text_width_mm(title, NOTE_PT, SEMIBOLD) + CELL_MM), said)])
    return found


CELL_MM = 2.4
"""Space beside the title of a column."""


def _stage_columns(spec: TighteningSpec, number: int, widths: tuple[float, float, float, float]) -> list[Column]:
    """Witness mark, full turns to tick, reading and window of one stage, the line where it has no window; as asked."""
    stage = spec.stages[number - 1]
    which = f" {number}" if len(spec.stages) > 1 else ""
    marked, turned, reading, in_window = widths
    turn, ticks = shown_degrees(stage.turn_deg), boxes(turns_to_tick(stage))
    turns = [Column(f"turned{which}", max(turned, text_width_mm(ticks, BODY_PT) + CELL_MM), turn, ticks)]
    window = ("in window", stage.window.text) if stage.window else ("at line", "")
    return [
        *([Column(f"marked{which}", marked)] if spec.marked_anew(number) else []),
        *(turns if ticks else []),
        Column(f"reading{which}", reading, "" if ticks else turn),
        Column(f"{window[0]}{which}", in_window, window[1]),
    ]


def _sized(columns: Iterable[Column]) -> list[tuple[str, float]]:
    """Titles and widths, as a table takes them."""
    return [(column.title, column.least_mm) for column in columns]


def _row(columns: Sequence[Column], *begin: int) -> list[str]:
    """A row to fill in, its first cells filled."""
    return [*map(str, begin), *(column.filled for column in columns[len(begin) :])]


def _evenly(count: int, most: int) -> Iterator[int]:
    """Share rows among as few tables as can be, of nearly as many rows each."""
    tables = -(-count // max(1, most))
    yield from (count // tables + (k < count % tables) for k in range(tables))


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
    return [*begin, *_evenly(count - sum(begin), a_page)]
