"""Rows of words bent round (0, 0), word by word, tops outwards: what dials are labelled with."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from ..drawing.emphasis import (
    LEFT_HAND,
    PAD_EM,
    UNDERLINE_EM,
    left_hand,
    left_hand_size_mm,
    misread_upside_down,
    underlined,
)
from ..drawing.fonts import MM_PER_PT, REGULAR, Weight, ink_limits_mm, text_width_mm
from ..drawing.primitives import Primitive, Text, moved
from ..drawing.transform import rotated

ROW_GAP_MM = 0.45
"""Least space between two rows."""


class Row(NamedTuple):
    """One row of a block; `hand` tells that the word LEFT-HAND in it is the thread's, to be drawn white on black."""

    text: str
    size_pt: float
    weight: Weight = REGULAR
    hand: bool = False


class Block(NamedTuple):
    """Rows from the outermost inwards, each with the radius of its baseline, and half the angle that they take."""

    rows: tuple[tuple[Row, float], ...]
    half_deg: float

    @property
    def base(self) -> float:
        """Radius of the innermost baseline."""
        return self.rows[-1][1]

    def drawn(self, at_deg: float, role: str) -> Iterator[Primitive]:
        """Yield its words round (0, 0), the block's middle at a direction of the page."""
        for row, radius in self.rows:
            way = at_deg + _half_deg(row, radius)
            for word in row.text.split():
                half = _word_half_deg(word, row, radius)
                for item in _word(word, row, role):
                    yield rotated(moved(item, 0.0, radius), way - half - 90.0)
                way -= 2 * half + _space_deg(row, radius)


def smaller(rows: Sequence[Row], share: float) -> tuple[Row, ...]:
    """Return the rows in smaller type, down to 5 pt."""
    return tuple(row._replace(size_pt=max(5.0, row.size_pt * share)) for row in rows)


def in_rows(text: str, most: int, size_pt: float, anywhere: bool = False) -> tuple[Row, ...]:
    """Break a text behind commas and "·", or `anywhere` between words, into at most so many rows of equal width.

    A number stays with the word before it and with its unit and tolerance: "then 60 N·m", "stage 2:", "take 4.6°".
    """
    pieces = re.split(r"(?<!\d) (?![\d±+])" if anywhere else r"(?<=[,·]) ", text)
    width = text_width_mm(text, size_pt) / most
    while True:
        rows = [""]
        for piece in pieces:
            longer = f"{rows[-1]} {piece}".strip()
            if rows[-1] and text_width_mm(longer, size_pt) > width:
                rows.append(piece)
            else:
                rows[-1] = longer
        if len(rows) <= most:
            return tuple(Row(row.removesuffix(" ·"), size_pt) for row in rows)
        width *= 1.1


def block_of(rows: Sequence[Row], inner: float, reach: float) -> Block | None:
    """Return rows laid from the radius `reach` inwards, or None when they do not stay outside `inner`."""
    laid: list[tuple[Row, float]] = []
    for row in rows:
        sizes = [_size_mm(word, row) for word in row.text.split()]
        half = max(width for width, _, _ in sizes) / 2
        if half >= reach:
            return None
        radius = math.sqrt(reach**2 - half**2) - max(above for _, _, above in sizes)
        reach = radius + min(below for _, below, _ in sizes)
        if reach < inner:
            return None
        laid.append((row, radius))
        reach -= ROW_GAP_MM
    return Block(tuple(laid), max(_half_deg(row, radius) for row, radius in laid))


@lru_cache(maxsize=4096)  # the same words are tried in many places
def _size_mm(word: str, row: Row) -> tuple[float, float, float]:
    """Width of a word, and how far it reaches below (negative) and above its baseline."""
    if row.hand and word == LEFT_HAND:
        (width, height), pad = left_hand_size_mm(row.size_pt), PAD_EM * row.size_pt * MM_PER_PT
        return width, -pad, height - pad
    below, above = ink_limits_mm(word, row.size_pt, row.weight)
    line = 1.5 * UNDERLINE_EM * row.size_pt * MM_PER_PT if _lined(word, row) else 0.0  # half of it again for the stroke
    return text_width_mm(word, row.size_pt, row.weight), min(below, -line), above


def _lined(word: str, row: Row) -> bool:
    """Tell whether a word is a number without any other word beside it that is another one upside down."""
    return word in row.text.split(" · ") and misread_upside_down(word)


def _word(word: str, row: Row, role: str) -> tuple[Primitive, ...]:
    """A word upright, its baseline's middle at (0, 0)."""
    if row.hand and word == LEFT_HAND:
        return left_hand(0.0, _size_mm(word, row)[1], row.size_pt, "middle")
    text = Text(0.0, 0.0, word, row.size_pt, row.weight, "middle", role=role)
    return underlined(text) if _lined(word, row) else (text,)


def _word_half_deg(word: str, row: Row, radius: float) -> float:
    """Half the angle that a word takes, at its feet."""
    width, below, _ = _size_mm(word, row)
    return math.degrees(math.atan(width / 2 / (radius + min(0.0, below))))


def _space_deg(row: Row, radius: float) -> float:
    return math.degrees(text_width_mm(" ", row.size_pt, row.weight) / radius)


def _half_deg(row: Row, radius: float) -> float:
    words = row.text.split()
    spaces = _space_deg(row, radius) * (len(words) - 1)
    return math.fsum([_word_half_deg(word, row, radius) for word in words] + [spaces / 2])
