"""Parts that several sheets share: headers, mark tables, records to fill in."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import NamedTuple

from ..drawing.fonts import printable
from ..drawing.primitives import Drawing
from ..fastening.spec import TighteningSpec
from ..marks.stage_marks import Mark, Witness, marked_anew
from ..quantities.shown import shown_degrees
from .blocks import columns_for, table
from .sheet import Sheet
from .words import MARK_NAMES

DEFAULT_TITLE = "Torque, then turn"

MAX_TITLE = 120

RECORD_ROWS = 25
"""Most rows of one record table; more fasteners get more tables."""

RECORD_ROW_MM, RECORD_HEAD_MM = 6.0, 12.0


def sheet_header(title: str, spec: TighteningSpec, socket_line: str) -> tuple[str, str, str]:
    """Return title, spec and socket: the lines at the top of every page. Raises CharacterError for the title."""
    thread = "" if spec.clockwise else " · left-hand thread"
    return printable(title, "title", MAX_TITLE) or DEFAULT_TITLE, f"{spec.printed}{thread}", socket_line


def mark_table(marks: Sequence[Mark], columns: Mapping[str, Callable[[Mark], str]], widest: float) -> Drawing:
    """Return where every mark lies: its name, its turn, and what `columns` say of it, by their titles."""
    several = len({mark.stage for mark in marks if mark.stage}) > 1
    rows = []
    for mark in marks:
        name = MARK_NAMES[mark.kind] + (f" ({mark.stage})" if several and mark.stage else "")
        rows.append((name, shown_degrees(mark.turn_deg, 1), *(say(mark) for say in columns.values())))
    return table("Where the marks lie", columns_for(("mark", "turn", *columns), rows, widest), rows)


def put_small_record(sheet: Sheet, stages: int, witness: Witness, fasteners: int) -> None:
    """A table to fill in, a row per fastener; a table a stage where the paper is too narrow for one."""
    numbers = range(1, stages + 1)
    columns = _record_columns(numbers, witness)
    if math.fsum(width for _, width in columns) <= sheet.paper.content_width_mm:
        _record_tables(sheet, "Record", columns, fasteners)
        return
    for number in numbers:
        _record_tables(sheet, f"Record, stage {number}", _record_columns([number], witness), fasteners)


def _record_columns(stages: Sequence[int], witness: Witness) -> list[tuple[str, float]]:
    """Columns to fill in; stages that count from snug have no witness mark of their own."""
    columns = [("fastener", 13.0), ("snug", 10.0)]
    for stage in stages:
        which = f" {stage}" if len(stages) > 1 else ""
        columns += [(f"marked{which}", 13.0)] if stage == 1 or witness == "fresh" else []
        columns += [(f"turned{which}", 13.0), (f"in window{which}", 15.0)]
    return [*columns, ("initials", 11.0)]


def _record_tables(sheet: Sheet, heading: str, columns: Sequence[tuple[str, float]], fasteners: int) -> None:
    every = list(range(1, fasteners + 1))
    most = min(RECORD_ROWS, int((sheet.empty_height_mm - RECORD_HEAD_MM) / RECORD_ROW_MM))
    for first in range(0, len(every), most):
        rows = [(str(number),) for number in every[first : first + most]]
        sheet.put(table(heading if first == 0 else "", columns, rows, row_mm=RECORD_ROW_MM, boxed=True))


WIDEST_MM, WIDEST_WORDS_MM = 190.0, 110.0
"""Widest record, as wide as a letter page allows, and widest column of words (our choice)."""

LEAST_ROWS = 4
"""A table with fewer rows than this is not begun at the foot of a page."""


class Column(NamedTuple):
    """A column of the record: its title, its least width in mm, and what the spec says of it."""

    title: str
    least_mm: float
    spec: str = ""


NUMBERS = (Column("no.", 9.0, "spec"), Column("manual's no.", 15.0))

INITIALS = Column("initials", 12.0)

SNUG_MM, STAGE_MM = 20.0, (12.0, 14.0, 16.0)


def put_record(sheet: Sheet, spec: TighteningSpec, witness: Witness, fasteners: int) -> None:
    """Tables with a row a fastener in the order of tightening, on as many pages as they need."""
    width = min(WIDEST_MM, sheet.paper.content_width_mm)
    parts = list(_record_parts(spec, witness, width))
    for stages, columns in parts:
        heading = f"Record, stage{_span(stages)}" if len(parts) > 1 else "Record"
        scale = max(1.0, width / math.fsum(column.least_mm for column in columns))
        widths = [(column.title, scale * column.least_mm) for column in columns]
        _put_tables(sheet, heading, widths, [column.spec for column in columns], fasteners)


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


def _record_parts(spec: TighteningSpec, witness: Witness, width: float) -> Iterator[tuple[range, list[Column]]]:
    """The stages of each table, as many as fit beside each other and evenly shared out, and its columns."""
    count = len(spec.stages)
    fixed = math.fsum(column.least_mm for column in (*NUMBERS, INITIALS)) + SNUG_MM
    fitting = max(1, int((width - fixed + 1e-6) / math.fsum(STAGE_MM)))
    share = math.ceil(count / math.ceil(count / fitting))
    for first in range(1, count + 1, share):
        stages = range(first, min(first + share, count + 1))
        snug = [_snug_column(spec)] if first == 1 else []
        turns = [column for number in stages for column in _stage_columns(spec, witness, number)]
        yield stages, [*NUMBERS, *snug, *turns, INITIALS]


def _snug_column(spec: TighteningSpec) -> Column:
    """The column of the snug torque; what the spec leaves open is left to be written in."""
    return Column("snug", SNUG_MM, "hand tight" if spec.hand_tight else spec.snug.both if spec.snug else "")


def _stage_columns(spec: TighteningSpec, witness: Witness, number: int) -> list[Column]:
    """Witness mark, turn and window of one stage; a missing window is left to be written in."""
    stage = spec.stages[number - 1]
    which = f" {number}" if len(spec.stages) > 1 else ""
    marked, turned, in_window = STAGE_MM
    columns = [
        Column(f"turned{which}", turned, shown_degrees(stage.turn_deg)),
        Column(f"in window{which}", in_window, stage.window.text if stage.window else ""),
    ]
    return [Column(f"marked{which}", marked), *columns] if marked_anew(witness, number) else columns


def _span(stages: range) -> str:
    """Stage numbers behind the word "stage": " 3", "s 1–3"."""
    return f" {stages[0]}" if len(stages) == 1 else f"s {stages[0]}–{stages[-1]}"
