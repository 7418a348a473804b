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
    downs = sorted({0.0, *(spot.down + spot.piece.height_mm + gap for spot in spots)})
    places = sorted({0.0, *(spot.x + spot.piece.width_mm + PIECE_GAP_MM for spot in spots)})
    for down in downs:
        for x in places:
            inside = x + piece.width_mm <= width + ROUNDING_MM and down + piece.height_mm <= height + ROUNDING_MM
            if inside and not any(_meets(piece, x, down, spot, gap) for spot in spots):
                return x, down
    return None


def _meets(piece: Piece, x: float, down: float, spot: Spot, gap: float) -> bool:
    """True when a piece at a place comes nearer to another one than the gap between two, above and below `gap`."""
    across, gap = PIECE_GAP_MM - ROUNDING_MM, gap - ROUNDING_MM
    return (
        x < spot.x + spot.piece.width_mm + across
        and spot.x < x + piece.width_mm + across
        and down < spot.down + spot.piece.height_mm + gap
        and spot.down < down + piece.height_mm + gap
    )


def reach_mm(spots: Sequence[Spot]) -> float:
    """How far down pieces reach."""
    return max((spot.down + spot.piece.height_mm for spot in spots), default=0.0)


def lowest(ways: Iterable[Sequence[Piece]], width_mm: float, loose: Sequence[Sequence[Piece]] = ()) -> list[list[Spot]]:
    """Place the pieces of the ways that reach down least, one or several of them.

    `loose` are pieces that go with any way, each in one of several shapes: the one that reaches down least there.
    """
    best: list[list[Spot]] = []
    for pieces in ways:
        spots, left = packed(pieces, width_mm)
        if left or (best and _reached(spots) > _reached(best[0])):
            continue
        for shapes in loose:
            spots = min((added(spots, shape, width_mm) for shape in shapes), key=_reached)
        if not best or _reached(spots) < _reached(best[0]):
            best = [spots]
        elif _reached(spots) == _reached(best[0]):
            best.append(spots)
    return best


def added(spots: Sequence[Spot], words: Piece, width_mm: float) -> list[Spot]:
    """Place words at the highest and then leftmost free place; if too wide for that, below everything."""
    place = _free_place(words, spots, width_mm, float("inf"), WORDS_GAP_MM)
    return [*spots, Spot(words, *(place or (0.0, reach_mm(spots) + WORDS_GAP_MM)))]


def _reached(spots: Sequence[Spot]) -> float:
    """How far down pieces reach, to a thousandth, so that rounding decides nothing."""
    return round(reach_mm(spots), 3)


def laid(spots: Sequence[Spot], width_mm: float) -> Drawing:
    """Return the drawing of pieces in their places."""
    height = reach_mm(spots)
    parts = tuple(moved(piece.draw().content, x, height - down - piece.height_mm) for piece, x, down in spots)
    return Drawing(width_mm, height, Group("pieces", parts))
