"""Pieces to cut out, packed on pages: the higher and farther left the better, nothing over anything else."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from ..drawing.primitives import Drawing, Group, moved

PIECE_GAP_MM = 3.0
"""Space between two pieces: scissors go between them (our choice)."""

WORDS_GAP_MM = 1.5
"""Space between words and a piece (our choice)."""

ROUNDING_MM = 1e-6


Part = tuple[float, float, float, float]
"""Where something begins and ends, across and downwards."""


class Piece(NamedTuple):
    """A piece of paper, or several in one block: its size, and what draws it once it has its place.

    Those of one `series`, such as numbers, keep their order: each stands right of the one before it or below it, on its
    page or a later one.
    `parts` are what it takes of its box, from its left and upper edge, where that is not all: others may stand in what
    is free.
    """

    width_mm: float
    height_mm: float
    draw: Callable[[], Drawing]
    series: str = ""
    parts: Sequence[Part] = ()


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
    left: list[Piece] = []
    for piece in pieces:
        in_order = piece.series != ""
        before = [spot for spot in spots if in_order and spot.piece.series == piece.series][-1:]
        waits = in_order and piece.series in (other.series for other in left)
        taken = sorted([*_taken(spots), *(area for spot in before for area in _before(spot))])
        place = None if waits else _free_place(piece, taken, width_mm, height_mm)
        if place is None:
            left.append(piece)
        else:
            spots.append(Spot(piece, *place))
    return spots, left


_Taken = list[Part]
"""Where pieces and the gaps behind and below them begin and end, across and downwards, from left to right."""


def _taken(spots: Sequence[Spot], gap: float = PIECE_GAP_MM) -> _Taken:
    """What pieces take with the gap between two beside them, and `gap` below them."""
    return sorted(
        [
            (x + begin, x + end + PIECE_GAP_MM, down + top, down + foot + gap)
            for piece, x, down in spots
            for begin, end, top, foot in piece.parts or ((0.0, piece.width_mm, 0.0, piece.height_mm),)
        ]
    )


def _before(spot: Spot) -> _Taken:
    """What lies before a piece: above it, and left of it as far as it reaches down."""
    right, foot = spot.x + spot.piece.width_mm + PIECE_GAP_MM, spot.down + spot.piece.height_mm + PIECE_GAP_MM
    return [(0.0, float("inf"), 0.0, spot.down), (0.0, right, 0.0, foot)]


def _free_place(
    piece: Piece, taken: _Taken, width: float, height: float, gap: float = PIECE_GAP_MM
) -> tuple[float, float] | None:
    """The highest and then leftmost place that keeps the gap between two pieces, and `gap` to what is below."""
    wide, high = piece.width_mm + PIECE_GAP_MM - ROUNDING_MM, piece.height_mm + gap - ROUNDING_MM
    most, deepest = width - piece.width_mm + ROUNDING_MM, height - piece.height_mm + ROUNDING_MM
    for down in sorted({0.0, *[below for _, _, _, below in taken]}):
        if down > deepest:
            return None
        x, foot, begun = 0.0, down + high, down + ROUNDING_MM
        for begin, end, top, below in taken:
            if top < foot and begun < below and begin < x + wide and x + ROUNDING_MM < end:
                x = end
                if x > most:
                    break
        if x <= most:
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
        reached = _rounded(reach_mm(spots))
        for shapes in loose:
            if reached > least:
                break
            spots, reached = _with_one(spots, reached, shapes, width_mm)
        if reached < least:
            best, least = [spots], reached
        elif reached == least:
            best.append(spots)
    return best


def _with_one(
    spots: Sequence[Spot], reached: float, shapes: Sequence[Piece], width_mm: float
) -> tuple[Sequence[Spot], float]:
    """Place the first of the shapes that reaches down least; return how far down all reach then."""
    best, least, taken = spots, float("inf"), _taken(spots, WORDS_GAP_MM)
    for shape in shapes:
        x, down = _place_of_words(shape, spots, taken, width_mm)
        reach = max(reached, _rounded(down + shape.height_mm))
        if reach < least:
            best, least = [*spots, Spot(shape, x, down)], reach
        if least == reached:  # no shape does better
            break
    return best, least


def _place_of_words(words: Piece, spots: Sequence[Spot], taken: _Taken, width_mm: float) -> tuple[float, float]:
    """The highest and then leftmost free place of words; if they are too wide for that, below everything."""
    place = _free_place(words, taken, width_mm, float("inf"), WORDS_GAP_MM)
    return place or (0.0, reach_mm(spots) + WORDS_GAP_MM)


def _rounded(mm: float) -> float:
    """A length to a thousandth, so that rounding decides nothing."""
    return round(mm, 3)


def laid(spots: Sequence[Spot], width_mm: float) -> Drawing:
    """Return the drawing of pieces in their places."""
    height = reach_mm(spots)
    parts = tuple(moved(piece.draw().content, x, height - down - piece.height_mm) for piece, x, down in spots)
    return Drawing(width_mm, height, Group("pieces", parts))
