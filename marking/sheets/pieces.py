"""Pieces to cut out, packed on pages: the higher and farther left the better, nothing over anything else."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from ..drawing.primitives import Drawing, Group
from ..drawing.transform import moved

PIECE_GAP_MM = 3.0
"""Space between two pieces: scissors go between them (our choice)."""

WORDS_GAP_MM = 1.5
"""Space between words and a piece (our choice)."""

ROUNDING_MM = 1e-6


class Piece(NamedTuple):
    """A piece of paper, or several in one block: its size, and what draws it once it has its place."""

    width_mm: float
    height_mm: float
    draw: Callable[[], Drawing]


class Spot(NamedTuple):
    """A piece and its place, in mm from the left and the upper edge of the area."""

    piece: Piece
    x: float
    down: float


def drawn(drawing: Drawing) -> Piece:
    """Return a piece that is drawn already."""
    return Piece(drawing.width_mm, drawing.height_mm, lambda: drawing)


def packed(pieces: Sequence[Piece], width_mm: float, height_mm: float = float("inf")) -> tuple[list[Spot], list[Piece]]:
    """Place pieces in order, each at the highest and then leftmost free place; return those left over as well."""
    spots: list[Spot] = []
    left = []
    for piece in pieces:
        place = _free_place(piece, spots, width_mm, height_mm)
        if place is None:
            left.append(piece)
        else:
            spots.append(Spot(piece, *place))
    return spots, left


def _free_place(
    piece: Piece, spots: Sequence[Spot], width: float, height: float, gap: float = PIECE_GAP_MM
) -> tuple[float, float] | None:
    """The highest and then leftmost place that keeps the gap between two pieces, above and below `gap`."""
    taken = sorted(
        (x, x + other.width_mm + PIECE_GAP_MM, down, down + other.height_mm + gap) for other, x, down in spots
    )
    last = height - piece.height_mm + ROUNDING_MM
    across, apart = piece.width_mm + PIECE_GAP_MM - ROUNDING_MM, piece.height_mm + gap - ROUNDING_MM
    for down in sorted({0.0, *[low for _, _, _, low in taken]}):
        if down > last:
            break
        x = 0.0
        for begin, end, high, low in taken:  # from left to right: each that is in the way moves the piece past it
            if begin >= x + across:
                break
            if x < end - ROUNDING_MM and high < down + apart and down < low - ROUNDING_MM:
                x = end
        if x + piece.width_mm <= width + ROUNDING_MM:
            return x, down
    return None


def reach_mm(spots: Sequence[Spot]) -> float:
    """How far down pieces reach."""
    return max((spot.down + spot.piece.height_mm for spot in spots), default=0.0)


def lowest(
    ways: Iterable[Sequence[Spot]], width_mm: float, loose: Sequence[Sequence[Piece]] = ()
) -> list[Sequence[Spot]]:
    """Return the ways to place pieces that reach down least, one or several of them, with `loose` pieces added.

    Those go with any way, each in one of several shapes: the one that reaches down least there.
    """
    best: list[Sequence[Spot]] = []
    least = float("inf")
    for spots in ways:
        reached = _reached(spots)
        for shapes in loose:
            if reached > least:
                break
            spots = _with_one(spots, shapes, width_mm, reached)
            reached = max(reached, _foot(spots[-1]))
        if reached < least:
            best, least = [spots], reached
        elif reached == least:
            best.append(spots)
    return best


def _with_one(spots: Sequence[Spot], shapes: Sequence[Piece], width_mm: float, reached: float) -> Sequence[Spot]:
    """Place the first of the shapes that reaches down least; the others reach down to `reached`."""
    best, least = spots, float("inf")
    for shape in shapes:
        placed = added(spots, shape, width_mm)
        foot = max(reached, _foot(placed[-1]))
        if foot < least:
            best, least = placed, foot
        if least == reached:  # no shape does better
            break
    return best


def added(spots: Sequence[Spot], words: Piece, width_mm: float) -> list[Spot]:
    """Place words at the highest and then leftmost free place; if too wide for that, below everything."""
    place = _free_place(words, spots, width_mm, float("inf"), WORDS_GAP_MM)
    return [*spots, Spot(words, *(place or (0.0, reach_mm(spots) + WORDS_GAP_MM)))]


def _foot(spot: Spot) -> float:
    """How far down a piece reaches, to a thousandth, so that rounding decides nothing."""
    return round(spot.down + spot.piece.height_mm, 3)


def _reached(spots: Sequence[Spot]) -> float:
    return max(map(_foot, spots), default=0.0)


def laid(spots: Sequence[Spot], width_mm: float) -> Drawing:
    """Return the drawing of pieces in their places."""
    height = reach_mm(spots)
    parts = tuple(moved(piece.draw().content, x, height - down - piece.height_mm) for piece, x, down in spots)
    return Drawing(width_mm, height, Group("pieces", parts))
