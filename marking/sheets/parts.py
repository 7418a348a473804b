"""Parts that several sheets share: headers, mark tables, records to fill in."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import NamedTuple

from ..drawing.fonts import BODY_PT, NOTE_PT, REGULAR, SEMIBOLD, face, printable, text_width_mm
from ..drawing.primitives import Drawing
from ..fastening.spec import LoosenStep, TighteningSpec, TorqueStep, TurnStep
from ..fastening.spec_words import tidied
from ..marks.stage_marks import Mark
from ..quantities.shown import shown_degrees
from .blocks import columns_for, table
from .furniture import Small
from .sheet import Sheet
from .words import mark_name

DEFAULT_TITLE = "Torque, then turn"

MAX_TITLE = 120

RECORD_ROWS = 25
"""Most rows of one record table; more fasteners get more tables."""

RECORD_ROW_MM, RECORD_HEAD_MM = 6.0, 12.0


def sheet_header(title: str, spec: TighteningSpec, socket_line: str) -> tuple[str, ...]:
    """Return title, spec as read and as typed, and socket: the lines at the top of every page.

    Characters of the spec that the font lacks are shown as their like, or "?". Raises CharacterError for the title.
    """
    thread = "" if spec.clockwise else " · left-hand thread"
    font = face(REGULAR)
    typed = "".join(next((c for c in (char, tidied(char)) if c in font), "?") for char in spec.typed)
    small = (Small(f"as typed: {typed}"),) if typed else ()
    return printable(title, "title", MAX_TITLE) or DEFAULT_TITLE, f"{spec.read_as}{thread}", *small, socket_line


def mark_table(
    marks: Sequence[Mark],
    columns: Mapping[str, Callable[[Mark], str]],
    widest: float,
    row_mm: float = 4.6,
    size_pt: float = BODY_PT,
) -> Drawing:
    """Return where every mark lies: its name, its turn, and what `columns` say of it, by their titles."""
    several = len({mark.stage for mark in marks if mark.stage}) > 1
    rows = [
        (mark_name(mark, several), shown_degrees(mark.turn_deg, 1), *(say(mark) for say in columns.values()))
        for mark in marks
    ]
    widths = columns_for(("mark", "turn", *columns), rows, widest, size_pt)
    return table("Where the marks lie", widths, rows, row_mm, size_pt=size_pt)


class Column(NamedTuple):
    """A column of a record: its title, its least width in mm, and what the spec says of it."""

    title: str
    least_mm: float
    spec: str = ""


SMALL_SNUG_MM, SMALL_STAGE_MM = 10.0, (13.0, 13.0, 15.0)
SNUG_MM, STAGE_MM = 20.0, (12.0, 14.0, 16.0)
"""Least widths of the columns of small records and of record cards: a torque or loosening; mark, turn and window."""

SMALL_FIRST, SMALL_LAST = (Column("fastener", 13.0),), (Column("initials", 11.0),)
FIRST, LAST = (Column("no.", 9.0, "spec"), Column("manual's no.", 15.0)), (Column("initials", 12.0),)

WIDEST_MM, WIDEST_WORDS_MM = 190.0, 110.0
"""Widest record, as wide as a letter page allows, and widest column of words (our choice)."""

LEAST_ROWS = 4
"""A table with fewer rows than this is not begun at the foot of a page."""


def put_small_record(sheet: Sheet, spec: TighteningSpec, fasteners: int) -> None:
    """A table to fill in, a row per fastener; more tables where the paper is too narrow for one."""
    for drawing in small_records(spec, fasteners, sheet.paper.content_width_mm, sheet.empty_height_mm):
        sheet.put(drawing)


def small_records(
    spec: TighteningSpec, fasteners: int, width_mm: float, height_mm: float, row_mm: float = RECORD_ROW_MM
) -> Iterator[Drawing]:
    """Yield tables to fill in, a row per fastener, none wider or higher than given."""
    steps = _step_columns(spec, SMALL_SNUG_MM, SMALL_STAGE_MM, valued=True)
    most = min(RECORD_ROWS, int((height_mm - RECORD_HEAD_MM) / row_mm))
    for heading, columns in _tables(SMALL_FIRST, steps, SMALL_LAST, width_mm):
        widths = [(column.title, column.least_mm) for column in columns]
        for first in range(1, fasteners + 1, most):
            rows = [(str(number),) for number in range(first, min(first + most, fasteners + 1))]
            yield table(heading if first == 1 else "", widths, rows, row_mm, boxed=True)


def put_record(sheet: Sheet, spec: TighteningSpec, fasteners: int) -> None:
    """Tables with a row a fastener in the order of tightening, on as many pages as they need."""
    width = min(WIDEST_MM, sheet.paper.content_width_mm)
    for heading, columns in _tables(FIRST, _step_columns(spec, SNUG_MM, STAGE_MM), LAST, width):
        scale = max(1.0, width / _width(columns))
        widths = [(column.title, scale * column.least_mm) for column in columns]
        _put_tables(sheet, heading, widths, [column.spec for column in columns], fasteners)


def _width(columns: Iterable[Column]) -> float:
    return math.fsum(column.least_mm for column in columns)


def _tables(
    first: Sequence[Column], steps: Sequence[Sequence[Column]], last: Sequence[Column], width: float
) -> Iterator[tuple[str, list[Column]]]:
    """The heading and the columns of each table: the steps in order, as many as fit beside each other, evenly."""
    room = width - _width((*first, *last))
    count = len(_shared(steps, room))
    evenly = next(limit for limit in range(1, math.ceil(room) + 1) if len(_shared(steps, min(limit, room))) == count)
    parts = _shared(steps, min(evenly, room))
    for number, part in enumerate(parts, 1):
        heading = f"Record, part {number} of {len(parts)}" if len(parts) > 1 else "Record"
        yield heading, [*first, *(column for step in part for column in step), *last]


def _shared(steps: Sequence[Sequence[Column]], room: float) -> list[list[Sequence[Column]]]:
    """The steps in parts, each as long as `room` allows."""
    parts: list[list[Sequence[Column]]] = [[]]
    for step in steps:
        if parts[-1] and math.fsum(map(_width, (*parts[-1], step))) > room + 1e-6:
            parts.append([])
        parts[-1].append(step)
    return parts


def _step_columns(
    spec: TighteningSpec, other_mm: float, stage_mm: tuple[float, float, float], valued: bool = False
) -> list[list[Column]]:
    """The columns of every step in order; what the spec leaves open is left to be written in.

    `valued` titles have a pass's torque in them, for tables without a row of what the spec says.
    """
    found = [[Column("snug", other_mm)]] if isinstance(spec.steps[0], TurnStep) else []
    snugs = sum(map(spec.begins_run, range(1, len(spec.stages) + 1)))
    passes = 0
    for step, after in zip_longest(spec.steps, spec.steps[1:]):
        if isinstance(step, TurnStep):
            found.append(_stage_columns(spec, step.number, stage_mm))
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
        found.append([Column(title, max(other_mm, text_width_mm(title, NOTE_PT, SEMIBOLD) + CELL_MM), said)])
    return found


CELL_MM = 2.4
"""Space beside the title of a column."""


def _stage_columns(spec: TighteningSpec, number: int, widths: tuple[float, float, float]) -> list[Column]:
    """Witness mark, turn and window of one stage; a missing window is left to be written in."""
    stage = spec.stages[number - 1]
    which = f" {number}" if len(spec.stages) > 1 else ""
    marked, turned, in_window = widths
    columns = [
        Column(f"turned{which}", turned, shown_degrees(stage.turn_deg)),
        Column(f"in window{which}", in_window, stage.window.text if stage.window else ""),
    ]
    return [Column(f"marked{which}", marked), *columns] if spec.marked_anew(number) else columns


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
