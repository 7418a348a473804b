"""The work card: what stays at the bench. Header, steps, record, reading error, marks, cautions, set in columns."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from itertools import compress, product
from typing import NamedTuple

from ...drawing.emphasis import left_hand, left_hand_size_mm
from ...drawing.fonts import (
    BODY_PT,
    DROP,
    LEADING,
    MM_PER_PT,
    NOTE_PT,
    REGULAR,
    RISE,
    SEMIBOLD,
    text_width_mm,
    wrap,
)
from ...drawing.primitives import Drawing, Group, Line, Primitive, Text
from ...errors import LayoutError
from ...fastening.spec import TighteningSpec
from ...sheets.balanced import Atom, Side, balanced, beside, columns_in, flowed, uneven
from ...sheets.blocks import entries, noted, stacked
from ...sheets.furniture import TITLE_PT
from ...sheets.paper import Paper
from ...sheets.parts import RECORD, record_head, small_records, under_head
from ...sheets.pieces import Piece, drawn
from ...sheets.sheet import GAP_MM, Sheet
from ...sheets.words import CAUTIONS
from .words import KEEP_CARD

BLOCK_GAP_MM = 0.8
"""Space above any block but a step that does not begin a column."""

LEFT_HAND_PT = 9.0

BESIDE_MM, LEAST_STEPS_MM = 32.0, 48.0
"""Least width for words or a plan beside a record, and for steps (our choice)."""

LEAST_RECORD_MM, LOW_RECORD_MM = 60.0, 180.0
"""Height given to a record that finds no room anyway, and of one that does not fill a column."""

MOST_FILLED = 1.05
"""How many times larger than the room all parts may be, column by column: beside a record some are set closer."""


LEAST_FILLED = 1 / 3
"""Least share of its height that every page but the last is filled to."""


class Setting(NamedTuple):
    """How close a card is set: type of the steps and of all else, line pitch over type, space above a step and above
    any other block, and whether notes run on behind their headings.
    """

    steps_pt: float
    note_pt: float
    leading: float
    gap_mm: float
    block_mm: float = BLOCK_GAP_MM
    run_in: bool = False


SETTINGS = (
    Setting(10.0, 8.0, 1.3, 0.8),
    Setting(9.5, 7.5, 1.25, 0.6),
    Setting(9.5, 7.0, 1.2, 0.6),
    Setting(9.5, 7.0, 1.15, 0.5),
    Setting(9.5, 7.0, 1.1, 0.4),
    Setting(9.5, 6.5, 1.1, 0.3),
    Setting(9.5, 6.5, 1.05, 0.2),
    Setting(9.5, 6.5, 1.0, 0.1),
    Setting(9.5, 6.5, 1.0, 0.1, 0.5, run_in=True),
)
"""From the most legible to the closest one that still reads well (our choice)."""

LARGE, LARGE_MM2 = (Setting(13.0, 9.0, 1.3, 1.0), Setting(11.5, 8.5, 1.3, 0.9)), 100_000.0
"""Settings for a sheet read from farther away, before those for all, and the least area of such a sheet (our choice):
A3, not legal.
"""

FLOWING = SETTINGS[1]
"""How a card is set that no page holds as a whole."""


Note = Callable[[float, Setting, bool], Drawing]
"""What draws a note from its width, a setting, and whether the card is set close."""


Notes = Callable[[float, Setting, bool, bool], list[Drawing]]
"""What draws the plan of the fasteners and the words to it from the same, and whether to set them as one block."""


def settings_for(paper: Paper) -> Sequence[Setting]:
    """Return how a card on a paper may be set, from the most legible setting to the closest."""
    return (*LARGE, *SETTINGS) if paper.width_mm * paper.height_mm >= LARGE_MM2 else SETTINGS


def no_notes(width: float, setting: Setting, close: bool, one: bool) -> list[Drawing]:
    """Draw no plan."""
    return []


def set_note(heading: str, said: Sequence[str], width: float, setting: Setting) -> Drawing:
    """Return a heading and sentences below or behind it."""
    return noted(heading, said, width, setting.note_pt, setting.leading, setting.run_in)


class Card(NamedTuple):
    """A work card's contents: `marks` and `notes` are drawn from a width, a setting, and whether the card is set close.

    `header` are the sheet's lines, the first one the title. `places` are those of the fasteners in their order and
    `order` draws their plan and the words to it, where that is asked for. The notes are left out where they stand
    `above` the card's edge. A `close` card has running words instead of a table of marks. On an `uneven` one the left
    column is as wide as the record, which stands below its steps.
    """

    header: Sequence[str]
    spec: TighteningSpec
    fasteners: int
    steps: Sequence[str]
    marks: Note
    notes: Sequence[Note]
    places: Sequence[int] = ()
    order: Notes = no_notes
    above: bool = False
    close: bool = False
    uneven: bool = False

    def blocks(self, width: float, setting: Setting) -> list[Drawing]:
        """Return all that stands in columns besides steps and record, in order."""
        cautions = set_note("Cautions", [" ".join(CAUTIONS)], width, setting)
        notes = [self.marks, *([] if self.above else self.notes)]
        drawings = (note(width, setting, self.close) for note in notes)
        return [*self.order(width, setting, self.close, self.uneven), *drawings, cautions]


def head(card: Card, width: float, edge: bool = True, close: bool = False) -> Drawing:
    """Return the upper end of a card: title, spec and socket, below the `edge` to cut along where pieces are above."""
    title, *others = card.header
    leading, space_mm = (1.1, 0.5) if close else (LEADING, 1.0)
    box_mm = 0.0 if card.spec.clockwise else left_hand_size_mm(LEFT_HAND_PT)[0] + GAP_MM
    aside_mm = box_mm if close else 0.0  # the box reaches up into the line above
    keep_mm = text_width_mm(KEEP_CARD, NOTE_PT) + GAP_MM + aside_mm if edge else 0.0
    lines = [(line, TITLE_PT, SEMIBOLD) for line in wrap(title, width - keep_mm, TITLE_PT, SEMIBOLD)]
    words = " · ".join(others)
    words_pt = BODY_PT if text_width_mm(words, BODY_PT) <= width - box_mm else NOTE_PT  # the fewest lines
    lines += [(line, words_pt, REGULAR) for line in wrap(words, width - box_mm, words_pt)]
    pitches = [size * MM_PER_PT * leading for _, size, _ in lines]
    height = 1.2 + space_mm + math.fsum(pitches)
    items: list[Primitive] = [Line(0.0, 0.6, width, 0.6, "rule-strong")]
    if edge:
        items.append(Line(0.0, height, width, height, "card-edge"))
        items.append(Text(width - aside_mm, height - 0.6 - RISE * pitches[0], KEEP_CARD, NOTE_PT, anchor="end"))
    y = height - 0.6
    for (text, size, weight), pitch in zip(lines, pitches, strict=True):
        y -= pitch
        items.append(Text(0.0, y + DROP * pitch, text, size, weight))
    if not card.spec.clockwise:
        items += left_hand(width, 1.1 + space_mm / 2, LEFT_HAND_PT, "end")
    return Drawing(width, height, Group("card-head", tuple(items)))


def whole(card: Card, width: float, height: float, settings: Sequence[Setting]) -> Piece | None:
    """Return a card below its head in one piece, in the first setting that is not too high; None if there is none."""
    for setting in settings:
        lowest = min(_ways(card, width, height, setting), key=lambda way: way.height_mm, default=None)
        if lowest is not None and lowest.height_mm <= height:
            return lowest
    return None


def _ways(card: Card, width: float, height: float, setting: Setting) -> Iterator[Piece]:
    """The ways to set a card: a record as wide as a column in one; else below them, alone or with notes beside it.

    None where there is more of it than room.
    """
    count, column = columns_in(width)

    def under(loose: Sequence[Atom], *below: Piece) -> Iterator[Piece]:
        atoms = [*steps, *loose]
        least = math.fsum(atom.drawing.height_mm for atom in atoms) / count
        if least + math.fsum(piece.height_mm for piece in below) <= height:  # else it cannot fit
            columns = balanced(atoms, width)
            yield _below(columns, *below, gap_mm=setting.block_mm) if below else columns

    drawings = _blocks(card, column, setting)
    if drawings is None or too_full(card, width, height, setting, drawings):
        return
    blocks = [Atom(block, setting.block_mm) for block in drawings]
    steps, records = _steps(card, column, setting), _records_for(card, width, height)
    if card.uneven:
        yield from _uneven(card, width, setting, drawn(stacked(records, setting.block_mm)))
        return
    if all(record.width_mm <= column for record in records):
        headed = under_head(records, column)
        yield from under([*(Atom(table, setting.block_mm) for table in headed), *blocks])
    record = drawn(stacked(records, setting.block_mm))
    yield from under(blocks, _headed(record, width))
    narrow, left = _narrow(card, width - record.width_mm - GAP_MM, setting), record.width_mm + GAP_MM
    for away in product((True, False), repeat=len(narrow)):
        if aside := list(compress(narrow, away)):
            row = beside(
                [_headed(record, record.width_mm), _below(*aside, gap_mm=setting.block_mm)], [0.0, left], width
            )
            kept = [block for block, moves in zip(blocks, away, strict=True) if not moves]
            yield from under(kept, row)


def _uneven(card: Card, width: float, setting: Setting, record: Piece) -> Iterator[Piece]:
    """A card in two columns, the left one as wide as the record below its steps; none where no words go beside that."""
    count, column = columns_in(width)
    for left in dict.fromkeys((record.width_mm, max(record.width_mm, column))):
        right = width - left - GAP_MM
        found = [_blocks(card, side, setting) if side >= BESIDE_MM else None for side in (left, right)]
        if count == 1 or None in found:
            continue
        sides = [
            Side(side, _steps(card, side, setting), [Atom(block, setting.block_mm) for block in blocks or ()])
            for side, blocks in zip((left, right), found, strict=True)
        ]
        if right < LEAST_STEPS_MM:
            sides[1] = sides[1]._replace(flowing=())
        yield uneven(sides[0], sides[1], Atom(_headed(record, left).draw(), setting.block_mm))


def too_full(card: Card, width: float, height: float, setting: Setting, blocks: Sequence[Drawing] = ()) -> bool:
    """Tell whether steps, record and blocks are more than a room holds, before they are laid out."""
    count, column = columns_in(width)
    steps = [step.drawing for step in _steps(card, column, setting)]
    drawings = [*steps, *blocks, *_records_for(card, width, height)]
    return (
        math.fsum(step.height_mm for step in steps) > count * height
        or math.fsum(drawing.width_mm * drawing.height_mm for drawing in drawings) > MOST_FILLED * width * height
    )


def _headed(record: Piece, width: float) -> Piece:
    """A record below a head of some width."""
    return _below(drawn(record_head(width, RECORD)), record, gap_mm=0.0)


def _narrow(card: Card, width: float, setting: Setting) -> list[Piece]:
    """What stands in columns besides steps and record, so narrow that it goes beside the record; else none."""
    blocks = _blocks(card, width, setting) if width >= BESIDE_MM else None
    narrow = [drawn(block) for block in blocks or ()]
    return narrow if all(piece.width_mm <= width for piece in narrow) else []


def _blocks(card: Card, width: float, setting: Setting) -> list[Drawing] | None:
    """What stands in columns besides steps and record; None where a plan's numbers would be too small to read there."""
    try:
        return card.blocks(width, setting)
    except LayoutError:
        return None


def _below(*pieces: Piece, gap_mm: float = BLOCK_GAP_MM) -> Piece:
    """Parts of a card below each other, drawn when asked for."""
    height = math.fsum(piece.height_mm for piece in pieces) + gap_mm * (len(pieces) - 1)
    width = max(piece.width_mm for piece in pieces)
    return Piece(width, height, lambda: stacked([piece.draw() for piece in pieces], gap_mm))


def flow(sheet: Sheet, card: Card) -> None:
    """Put a card that no page holds as a whole, from the sheet's present page on, a page after the other."""
    setting, width = FLOWING, sheet.paper.content_width_mm
    _, column = columns_in(width)
    blocks = _blocks(card, column, setting)
    order: list[Drawing] = []
    if blocks is None:  # the plan needs the page's width
        order = card.order(width, setting, card.close, False)
        blocks = card._replace(order=no_notes).blocks(column, setting)
    flowed(sheet, [*_steps(card, column, setting), *(Atom(block, BLOCK_GAP_MM) for block in blocks)])
    for drawing in order:
        sheet.new_row()
        sheet.put(drawing)
    tables = _tables(card, width, sheet.empty_height_mm, sheet.room_mm()[1])
    flowed(sheet, [Atom(table, BLOCK_GAP_MM) for table in tables if table.width_mm <= column])
    for table in (table for table in tables if table.width_mm > column):
        sheet.new_row()
        if sheet.room_mm()[1] < table.height_mm:
            sheet.new_page(to_scale=False)
        sheet.put(table)


def _tables(card: Card, width: float, height: float, room: float) -> list[Drawing]:
    """Headed records, each no higher than a page, so many rows in each that they need the fewest pages.

    Of two that stand side by side low ones are better; of wide ones few, but such as begin in the `room` on this page
    where that is nearly all of it.
    """
    low, here, high = (
        list(small_records(card.spec, card.fasteners, width, highest, places=card.places))
        for highest in (min(height, LOW_RECORD_MM), max(room, LEAST_RECORD_MM), height)
    )
    count, column = columns_in(width)
    if count > 1 and all(table.width_mm <= column for table in high):
        return min(low, high, key=lambda way: -(-len(way) // count))
    begun = list(small_records(card.spec, card.fasteners, width, height, places=card.places, room_mm=room))
    one, nearly_empty = stacked(high, GAP_MM), room > (1 - LEAST_FILLED) * height
    ways = [here, begun, high, *([[one]] if one.height_mm <= height else [])]
    return min(
        ways,
        key=lambda way: (_pages_begun(room, height, way), nearly_empty and way[0].height_mm > room, len(way)),
    )


def _pages_begun(room: float, height: float, tables: Sequence[Drawing]) -> int:
    """How many pages tables begin that stand below each other, after the `room` on one."""
    pages = 0
    for table in tables:
        if table.height_mm > room:
            pages, room = pages + 1, height
        room -= table.height_mm + GAP_MM
    return pages


def _steps(card: Card, column: float, setting: Setting) -> list[Atom]:
    return _set_steps(tuple(card.steps), column, setting)


@lru_cache(maxsize=16)  # the same steps are tried with and without what stands beside them
def _set_steps(steps: tuple[str, ...], column: float, setting: Setting) -> list[Atom]:
    drawn_steps = entries(steps, column, setting.steps_pt, setting.leading)
    return [Atom(drawing, setting.gap_mm) for drawing in drawn_steps]


def _records_for(card: Card, width: float, height: float) -> list[Drawing]:
    """Records without their head, for a card of some height."""
    return _records(card.spec, card.fasteners, width, max(height, LEAST_RECORD_MM), tuple(card.places))


@lru_cache(maxsize=16)  # as `_set_steps`
def _records(
    spec: TighteningSpec, fasteners: int, width: float, highest: float, places: tuple[int, ...]
) -> list[Drawing]:
    return list(small_records(spec, fasteners, width, highest, headed=False, places=places))
