"""The work card: what stays at the bench. Header, steps, record, reading error, marks, cautions, set in columns."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from itertools import compress, product
from typing import Any, NamedTuple

from ...drawing.emphasis import left_hand, left_hand_size_mm
from ...drawing.fonts import BODY_PT, DROP, NOTE_PT, REGULAR, RISE, SEMIBOLD, line_pitch_mm, text_width_mm, wrap
from ...drawing.primitives import Drawing, Group, Line, Primitive, Text
from ...drawing.transform import moved
from ...fastening.spec import TighteningSpec
from ...sheets.blocks import entries, level, noted, stacked
from ...sheets.furniture import TITLE_PT
from ...sheets.parts import low_record_head, small_records, under_low_head
from ...sheets.pieces import Piece, drawn
from ...sheets.sheet import GAP_MM, Sheet
from ...sheets.words import CAUTIONS
from .words import KEEP_CARD

COLUMN_MM, MOST_COLUMNS = 80.0, 2
"""Least width of a column of steps, and most side by side (our choice)."""

ENTRY_GAP_MM, BLOCK_GAP_MM = 0.6, 2.5
"""Space above a step and above any other block that does not begin a column."""

LEFT_HAND_PT = 9.0

BESIDE_MM = 45.0
"""Least width for words beside a record."""

LEAST_RECORD_MM = 60.0
"""Height given to a record that finds no room anyway."""

LARGEST_SHARE = 0.6
"""Most of a page's height that a record takes, so that no page before it is left emptier than the rest of it."""


MOST_FILLED = 1.05
"""How many times larger than the room all parts may be, column by column: beside a record some are set closer."""


class Setting(NamedTuple):
    """How close a card is set: type of the steps and of all else, line pitch over type, height of a record's row."""

    steps_pt: float
    note_pt: float
    leading: float
    row_mm: float


SETTINGS = (
    Setting(10.0, 8.0, 1.3, 6.0),
    Setting(9.5, 7.5, 1.25, 6.0),
    Setting(9.5, 7.0, 1.2, 5.5),
    Setting(9.5, 7.0, 1.15, 5.0),
    Setting(9.5, 7.0, 1.1, 5.0),
    Setting(9.5, 6.5, 1.1, 5.0),
)
"""From the most legible to the closest one that still reads well (our choice)."""

FLOWING = SETTINGS[1]
"""How a card is set that no page holds as a whole."""


Note = Callable[[float, Setting, bool], Drawing]
"""What draws a note from its width, a setting, and whether the card is set close."""


class Card(NamedTuple):
    """A work card's contents: `notes` are drawn from a width, a setting, and whether the card is set close.

    `header` are the sheet's lines, the first one the title. `places` are those of the fasteners in their order and
    `order` draws them, where that is asked for. The first so many notes that stand `above` the card's edge are left
    out. A `close` card has of the boxes above the record the least, and running words instead of a table.
    """

    header: Sequence[str]
    spec: TighteningSpec
    fasteners: int
    steps: Sequence[str]
    notes: Sequence[Note]
    places: Sequence[int] = ()
    order: Note | None = None
    above: int = 0
    close: bool = False

    def blocks(self, width: float, setting: Setting) -> list[Drawing]:
        """Return all that stands in columns besides steps and record, in order."""
        cautions = noted("Cautions", [" ".join(CAUTIONS)], width, setting.note_pt, setting.leading)
        notes = [*filter(None, [self.order]), *self.notes[self.above :]]
        return [*(note(width, setting, self.close) for note in notes), cautions]


class _Atom(NamedTuple):
    """What no column breaks, and the space above it unless it begins a column."""

    drawing: Drawing
    gap_mm: float


def head(card: Card, width: float, edge: bool = True) -> Drawing:
    """Return the upper end of a card: title, spec and socket, below the `edge` to cut along where pieces are above."""
    title, *others = card.header
    keep_mm = text_width_mm(KEEP_CARD, NOTE_PT) + GAP_MM if edge else 0.0
    box_mm = 0.0 if card.spec.clockwise else left_hand_size_mm(LEFT_HAND_PT)[0] + GAP_MM
    lines = [(line, TITLE_PT, SEMIBOLD) for line in wrap(title, width - keep_mm, TITLE_PT, SEMIBOLD)]
    lines += [(line, BODY_PT, REGULAR) for line in wrap(" · ".join(others), width - box_mm, BODY_PT)]
    height = 3.0 + math.fsum(line_pitch_mm(size) for _, size, _ in lines)
    items: list[Primitive] = [Line(0.0, 1.0, width, 1.0, "rule-strong")]
    if edge:
        items.append(Line(0.0, height, width, height, "card-edge"))
        items.append(Text(width, height - 1.0 - RISE * line_pitch_mm(TITLE_PT), KEEP_CARD, NOTE_PT, anchor="end"))
    y = height - 1.0
    for text, size, weight in lines:
        y -= line_pitch_mm(size)
        items.append(Text(0.0, y + DROP * line_pitch_mm(size), text, size, weight))
    if not card.spec.clockwise:
        items += left_hand(width, 2.0, LEFT_HAND_PT, "end")
    return Drawing(width, height, Group("card-head", tuple(items)))


def whole(card: Card, width: float, height: float, settings: Sequence[Setting] = SETTINGS) -> Drawing | None:
    """Return a card below its head in one piece, in the first setting that is not too high; None if there is none."""
    for setting in settings:
        lowest = min(_ways(card, width, height, setting), key=lambda way: way.height_mm, default=None)
        if lowest is not None and lowest.height_mm <= height:
            return lowest.draw()
    return None


def _ways(card: Card, width: float, height: float, setting: Setting) -> Iterator[Piece]:
    """The ways to set a card: a record as wide as a column in one; else below them, alone or with notes beside it.

    None where there is more of it than room.
    """
    count, column = _columns(width)
    steps = _steps(card, column, setting)
    if math.fsum(step.drawing.height_mm for step in steps) > count * height:
        return
    blocks = [_Atom(block, BLOCK_GAP_MM) for block in card.blocks(column, setting)]
    highest = max(height, LEAST_RECORD_MM)
    records = _records(card.spec, card.fasteners, width, highest, setting.row_mm, not card.close, tuple(card.places))
    drawings = [*(atom.drawing for atom in (*steps, *blocks)), *records]
    if math.fsum(drawing.width_mm * drawing.height_mm for drawing in drawings) > MOST_FILLED * width * height:
        return
    if all(record.width_mm <= column for record in records):
        headed = under_low_head(records, column) if card.close else records
        yield _balanced([*steps, *(_Atom(table, BLOCK_GAP_MM) for table in headed), *blocks], width)
    above = [drawn(low_record_head(width))] if card.close else []
    record = drawn(stacked(records, BLOCK_GAP_MM))
    yield _below(_balanced([*steps, *blocks], width), _below(*above, record, gap_mm=0.0))
    rest = width - record.width_mm - GAP_MM
    if rest >= BESIDE_MM:
        narrow = [drawn(block) for block in card.blocks(rest, setting)]
        for away in product((True, False), repeat=len(blocks)):
            beside = list(compress(narrow, away))
            if not beside or any(piece.width_mm > rest for piece in beside):
                continue
            row = _side_by_side([record, _below(*beside)], [0.0, record.width_mm + GAP_MM], width)
            kept = (block for block, moves in zip(blocks, away, strict=True) if not moves)
            yield _below(_balanced([*steps, *kept], width), _below(*above, row, gap_mm=0.0))


def _below(*pieces: Piece, gap_mm: float = BLOCK_GAP_MM) -> Piece:
    """Parts of a card below each other, drawn when asked for."""
    height = math.fsum(piece.height_mm for piece in pieces) + gap_mm * (len(pieces) - 1)
    width = max(piece.width_mm for piece in pieces)
    return Piece(width, height, lambda: stacked([piece.draw() for piece in pieces], gap_mm))


def _side_by_side(pieces: Sequence[Piece], lefts: Sequence[float], width: float) -> Piece:
    """Parts of a card at given places from the left, their tops level, drawn when asked for."""
    height = max(piece.height_mm for piece in pieces)
    return Piece(width, height, lambda: level([piece.draw() for piece in pieces], lefts, width, "columns"))


def flow(sheet: Sheet, card: Card) -> None:
    """Put a card that no page holds as a whole, from the sheet's present page on, a page after the other."""
    setting, width = FLOWING, sheet.paper.content_width_mm
    _, column = _columns(width)
    highest = LARGEST_SHARE * sheet.empty_height_mm
    tables = small_records(card.spec, card.fasteners, width, highest, setting.row_mm, places=card.places)
    records = [_Atom(table, BLOCK_GAP_MM) for table in tables]
    wide = [record for record in records if record.drawing.width_mm > column]
    atoms = [*_steps(card, column, setting), *(record for record in records if record not in wide)]
    atoms += [_Atom(block, BLOCK_GAP_MM) for block in card.blocks(column, setting)]
    while atoms:
        _, height = sheet.room_mm()
        columns, after = _filled(atoms, height, width)
        if columns and columns[0]:
            sheet.put((_set(columns, width) if after else _balanced(atoms, width)).draw())
            sheet.new_row()
        elif height >= sheet.empty_height_mm:
            sheet.put(atoms[0].drawing)  # says that it does not fit
        atoms = after
        if atoms:
            sheet.new_page(to_scale=False)
    for record in wide:
        sheet.new_row()
        if sheet.room_mm()[1] < record.drawing.height_mm:
            sheet.new_page(to_scale=False)
        sheet.put(record.drawing)


def _columns(width: float) -> tuple[int, float]:
    """How many columns a width takes, and how wide each is."""
    count = max(1, min(MOST_COLUMNS, int((width + GAP_MM) / (COLUMN_MM + GAP_MM))))
    return count, (width + GAP_MM) / count - GAP_MM


def _steps(card: Card, column: float, setting: Setting) -> list[_Atom]:
    return _set_steps(tuple(card.steps), column, setting.steps_pt, setting.leading)


@lru_cache(maxsize=16)  # the same steps are tried with and without what stands beside them
def _set_steps(steps: tuple[str, ...], column: float, size_pt: float, leading: float) -> list[_Atom]:
    return [_Atom(drawing, ENTRY_GAP_MM) for drawing in entries(steps, column, size_pt, leading)]


@lru_cache(maxsize=16)  # as `_set_steps`
def _records(*asked: Any) -> list[Drawing]:
    """What `small_records` yields."""
    return list(small_records(*asked))


def _filled(atoms: Sequence[_Atom], height: float, width: float) -> tuple[list[list[_Atom]], list[_Atom]]:
    """Fill columns of a height in order; return them, and what found no room."""
    count, _ = _columns(width)
    columns: list[list[_Atom]] = [[]]
    used = 0.0
    for number, (drawing, gap) in enumerate(atoms):
        above = gap if columns[-1] else 0.0
        if used + above + drawing.height_mm > height + 1e-6:
            if len(columns) == count or not columns[-1]:
                return columns, list(atoms[number:])
            columns.append([])
            used, above = 0.0, 0.0
            if drawing.height_mm > height + 1e-6:
                return columns, list(atoms[number:])
        columns[-1].append(atoms[number])
        used += above + drawing.height_mm
    return columns, []


def _balanced(atoms: Sequence[_Atom], width: float) -> Piece:
    """Return atoms in columns of the least height that holds them all, to half a millimetre."""
    count, _ = _columns(width)
    heights = [atom.drawing.height_mm for atom in atoms]
    least, most = (
        max(math.fsum(heights) / count, *heights),
        math.fsum(heights) + math.fsum(atom.gap_mm for atom in atoms),
    )
    tried = range(int(2 * (most - least)) + 2)  # half millimetres more than the least
    more = bisect_left(tried, True, key=lambda more: not _filled(atoms, least + 0.5 * more, width)[1])
    return _set(_filled(atoms, least + 0.5 * more, width)[0], width)


def _set(columns: Sequence[Sequence[_Atom]], width: float) -> Piece:
    """Filled columns side by side."""
    _, column = _columns(width)
    parts = [_column(atoms) for atoms in columns if atoms]
    return _side_by_side(parts, [(column + GAP_MM) * k for k in range(len(parts))], width)


def _column(atoms: Sequence[_Atom]) -> Piece:
    """Atoms below each other, drawn when asked for."""
    height = math.fsum(atom.drawing.height_mm + atom.gap_mm for atom in atoms) - atoms[0].gap_mm
    width = max(atom.drawing.width_mm for atom in atoms)

    def draw() -> Drawing:
        parts, top = [], height + atoms[0].gap_mm
        for drawing, gap in atoms:
            top -= drawing.height_mm + gap
            parts.append(moved(drawing.content, 0.0, top))
        return Drawing(width, height, Group("column", tuple(parts)))

    return Piece(width, height, draw)
