"""Parts of a page in columns, broken between them: steps, tables and notes, in one piece or over several pages."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable, Sequence
from itertools import accumulate, compress, pairwise, product
from operator import not_
from typing import NamedTuple

from ..drawing.primitives import Drawing, Group, moved
from .blocks import level, listed
from .pieces import Piece
from .sheet import GAP_MM, Sheet

COLUMN_MM, MOST_COLUMNS = 80.0, 2
"""Least width of a column, and most side by side (our choice)."""


class Atom(NamedTuple):
    """What no column breaks, and the space above it unless it begins a column."""

    drawing: Drawing
    gap_mm: float


HEADING_GAP_MM = 3.0
"""Space above the heading of a list."""


def list_atoms(heading: str, entries: Sequence[str], width: float) -> list[Atom]:
    """Return numbered entries that columns may break between, the first one below the heading."""
    first, *others = (
        listed("" if k else heading, [entry], width, True, first=k + 1) for k, entry in enumerate(entries)
    )
    return [Atom(first, HEADING_GAP_MM), *(Atom(other, 0.0) for other in others)]


def columns_in(width: float) -> tuple[int, float]:
    """How many columns a width takes, and how wide each is."""
    count = max(1, min(MOST_COLUMNS, int((width + GAP_MM) / (COLUMN_MM + GAP_MM))))
    return count, (width + GAP_MM) / count - GAP_MM


def _ends(sizes: Iterable[tuple[float, float]], height: float, count: int) -> list[int]:
    """Fill columns of a height in order with atoms of such heights and gaps; return how many each column ends after."""
    ends: list[int] = []
    used, begun, number = 0.0, 0, 0
    for number, (mm, gap) in enumerate(sizes):
        above = gap if number > begun else 0.0
        if used + above + mm > height + 1e-6:
            ends.append(number)
            if len(ends) == count or number == begun or mm > height + 1e-6:
                return ends
            used, above, begun = 0.0, 0.0, number
        used += above + mm
    return [*ends, number + 1]


def _sizes(atoms: Sequence[Atom]) -> list[tuple[float, float]]:
    return [(atom.drawing.height_mm, atom.gap_mm) for atom in atoms]


def _filled(atoms: Sequence[Atom], height: float, width: float) -> tuple[list[Sequence[Atom]], Sequence[Atom]]:
    """Fill columns of a height in order; return them, and what found no room."""
    ends = _ends(_sizes(atoms), height, columns_in(width)[0])
    return [atoms[a:b] for a, b in pairwise([0, *ends])], atoms[ends[-1] :]


def balanced(atoms: Sequence[Atom], width: float) -> Piece:
    """Return atoms in columns of the least height that holds them all, to half a millimetre."""
    count, _ = columns_in(width)
    sizes = _sizes(atoms)
    heights = [mm for mm, _ in sizes]
    least = max(math.fsum(heights) / count, *heights)
    most = math.fsum(heights) + math.fsum(gap for _, gap in sizes)
    tried = range(int(2 * (most - least)) + 2)  # half millimetres more than the least
    more = bisect_left(tried, True, key=lambda more: _ends(sizes, least + 0.5 * more, count)[-1] == len(sizes))
    return _set(_filled(atoms, least + 0.5 * more, width)[0], width)


class Side(NamedTuple):
    """One of two columns: its width, what flows through both, and what may stand below that on either, set for it."""

    width_mm: float
    flowing: Sequence[Atom]
    loose: Sequence[Atom]


def uneven(left: Side, right: Side, foot: Atom) -> Piece:
    """Return two columns, each of its own width, parted where they are lowest, `foot` at the end of the left one.

    What flows begins in the left one; of what is loose, all may go to the right.
    """
    count, ended = len(left.flowing), _deep_mm([foot])
    begun = [*accumulate(map(_one_mm, left.flowing), initial=ended)]
    to_come = [*accumulate(map(_one_mm, reversed(right.flowing)), initial=0.0)][::-1]
    sides = [[_one_mm(atom) for atom in side.loose] for side in (left, right)]
    ways = (
        (max(begun[k] + kept_mm, (to_come[k] if right.flowing else 0.0) + away_mm), k, away)
        for away in product((True, False), repeat=len(left.loose))
        for kept_mm in [math.fsum(compress(sides[0], map(not_, away)))]
        for away_mm in [math.fsum(compress(sides[1], away))]
        for k in range(1 if right.flowing else count, count + 1)
    )
    _, k, away = min(ways)
    columns = [
        [*left.flowing[:k], *compress(left.loose, map(not_, away)), foot],
        [*right.flowing[k:], *compress(right.loose, away)],
    ]
    across = left.width_mm + GAP_MM
    parts = [_column(atoms) for atoms in columns if atoms]
    return beside(parts, [0.0, across][: len(parts)], across + right.width_mm)


def _one_mm(atom: Atom) -> float:
    return atom.drawing.height_mm + atom.gap_mm


def _deep_mm(atoms: Sequence[Atom]) -> float:
    """How high atoms below each other are, the space above the first included."""
    return math.fsum(map(_one_mm, atoms))


def _set(columns: Sequence[Sequence[Atom]], width: float) -> Piece:
    """Filled columns side by side."""
    _, column = columns_in(width)
    parts = [_column(atoms) for atoms in columns if atoms]
    return beside(parts, [(column + GAP_MM) * k for k in range(len(parts))], width)


def _column(atoms: Sequence[Atom]) -> Piece:
    """Atoms below each other, drawn when asked for."""
    height = _deep_mm(atoms) - atoms[0].gap_mm
    width = max(atom.drawing.width_mm for atom in atoms)

    def draw() -> Drawing:
        parts, top = [], height + atoms[0].gap_mm
        for drawing, gap in atoms:
            top -= drawing.height_mm + gap
            parts.append(moved(drawing.content, 0.0, top))
        return Drawing(width, height, Group("column", tuple(parts)))

    return Piece(width, height, draw)


def beside(pieces: Sequence[Piece], lefts: Sequence[float], width: float) -> Piece:
    """Parts of a card at given places from the left, their tops level, drawn when asked for."""
    height = max(piece.height_mm for piece in pieces)
    return Piece(width, height, lambda: level([piece.draw() for piece in pieces], lefts, width, "columns"))


def flowed(sheet: Sheet, atoms: Sequence[Atom]) -> None:
    """Put atoms in columns from a new row of the present page on, and on further pages without rulers."""
    sheet.new_row()
    width = sheet.paper.content_width_mm
    while atoms:
        height = sheet.room_mm()[1]
        columns, after = _filled(atoms, height, width)
        if columns and columns[0]:
            sheet.put((_set(columns, width) if after else balanced(atoms, width)).draw())
            sheet.new_row()
        elif height >= sheet.empty_height_mm:
            sheet.put(atoms[0].drawing)  # says that it does not fit
        atoms = after
        if atoms:
            sheet.new_page(to_scale=False)
