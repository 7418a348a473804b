"""Pieces packed on a page: those of one series keep their order, and nothing else holds them back."""

from __future__ import annotations

from marking.drawing.primitives import Drawing, Group
from marking.sheets.pieces import PIECE_GAP_MM, Piece, packed


def a_piece(width: float, height: float, series: str = "") -> Piece:
    return Piece(width, height, lambda: Drawing(width, height, Group("piece", ())), series)


def test_a_piece_of_a_series_stands_right_of_the_one_before_it_or_below_it() -> None:
    wide, first, second = a_piece(60.0, 10.0), a_piece(80.0, 10.0, "n"), a_piece(30.0, 10.0, "n")
    spots, left = packed([wide, first, second], 100.0)
    below = 10.0 + PIECE_GAP_MM
    assert [(spot.x, spot.down) for spot in spots] == [(0.0, 0.0), (0.0, below), (0.0, 2 * below)]
    assert not left
    free = [wide, first._replace(series=""), second._replace(series="")]
    assert packed(free, 100.0)[0][-1].down == 0.0, "beside the wide one, where nothing keeps it behind the first"


def test_a_piece_of_a_series_waits_for_the_one_before_it_and_for_no_other() -> None:
    large, first, second = a_piece(50.0, 50.0), a_piece(50.0, 30.0, "n"), a_piece(50.0, 10.0, "n")
    assert packed([first, second], 50.0, 20.0) == ([], [first, second])
    spots, left = packed([large, second], 50.0, 20.0)
    assert [spot.piece for spot in spots] == [second]
    assert left == [large]
