"""Bands that come in several pieces: each tells inside its cut which piece it is, and what goes on its tab."""

from __future__ import annotations

from kit.band_pieces import Piece, pieces_of
from kit.each import each
from kit.measure import a_document, placed_texts
from marking.drawing.primitives import Document

LONG = {"spec": "900 N·m + 180° ±5", "points": 12, "drive": "1-1/2", "od": "140 mm", "copies": 1}


def pieces_by_name(document: Document) -> dict[str, Piece]:
    return {word.text: piece for piece in pieces_of(document) for word in piece.words("piece")}


@each("thread", ["right", "left"])
@each("paper", ["a5", "100x180", "62x180"])
def test_pieces_tell_their_order_inside_the_cut(paper: str, thread: str) -> None:
    document = a_document(**LONG, paper=paper, thread=thread, height="20 mm")
    found = pieces_by_name(document)
    count = len(pieces_of(document))
    assert list(found) == [f"piece {k} of {count}" for k in range(1, count + 1)]
    for number, piece in enumerate(found.values(), 1):
        (name,) = piece.words("piece")
        left, bottom, right, top = name.shape.bounds
        assert piece.left < left < right < piece.right, "not on the tab, which is glued under"
        assert piece.foot < bottom < top < piece.foot + piece.height
        tab = " ".join(word.text for word in piece.words("tab"))
        assert (f"glue this under piece {number + 1}" in tab) is (number < count)


def test_pieces_of_one_band_a_stage_name_their_stage() -> None:
    document = a_document("900 N·m + 200° ±5, 60° ±5, 20° ±5", 12, "1-1/2", od="140 mm", paper="a5", copies=1)
    names = set(pieces_by_name(document))
    assert {"stage 1, piece 1 of 4", "stage 3, piece 3 of 3"} <= names
    assert len(names) == len(pieces_of(document))


def test_the_step_that_glues_them_says_in_order_and_how_to_check() -> None:
    document = a_document(**LONG, paper="a5")
    words = " ".join(text.text for page in document.pages for text in placed_texts(page))
    assert "Glue the pieces in order, piece 1 first" in words
    assert "corners and degrees run on across every joint" in words
