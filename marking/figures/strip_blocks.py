"""Blocks of words on a strip: a stop's name and window, and what is said beside it, in the ways they may be set."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Literal, NamedTuple

from ..drawing.fonts import REGULAR, SEMIBOLD, Weight, cap_mm, ink_limits_mm, text_width_mm, wrap
from .room import Box
from .strip_layout import LEAST_PT

LEAST_OVER_MM, WORDS_APART_MM = 0.5, 1.2
"""Least distance between two texts of the lower ranks, below one another and beside one another (our choices)."""

Way = Literal["usual", "in line", "broken"]
"""How a STOP stands to its window: over it, or in line where it is short of height; in line; the window broken too."""


class Row(NamedTuple):
    """One line of a block: its words, size and weight."""

    text: str
    size_pt: float
    weight: Weight = REGULAR

    @property
    def width_mm(self) -> float:
        """The advance width."""
        return text_width_mm(self.text, self.size_pt, self.weight)

    @property
    def ink(self) -> tuple[float, float]:
        """How far its ink reaches below and above its baseline."""
        return ink_limits_mm(self.text, self.size_pt, self.weight)


class Block(NamedTuple):
    """Lines below one another: `rows` with their baselines, counted from the block's upper edge, and its size."""

    rows: tuple[Row, ...]
    baselines: tuple[float, ...]
    width_mm: float
    height_mm: float


@lru_cache(maxsize=1000)  # a strip tries the same words again and again, and the next one has many of them too
def block(*rows: Row) -> Block:
    """Return lines set below one another as close as they are easy to read."""
    baselines, depth = [], 0.0
    for k, row in enumerate(rows):
        low, high = row.ink
        gap = max(0.4, 0.24 * cap_mm(min(row.size_pt, rows[k - 1].size_pt))) if k else 0.0
        depth += gap + high
        baselines.append(-depth)
        depth -= low
    return Block(rows, tuple(baselines), max(row.width_mm for row in rows), depth)


@lru_cache(maxsize=1000)  # as `block`
def stop_blocks(label: tuple[str, ...], size: float, way: Way) -> list[list[Row]]:
    """Return the ways to set a stop's name and its window: below it, behind smaller whole turns, in one line or two."""
    name, *between, last = label
    in_line, broken = [Row(" ".join([name, *between, last]), size, SEMIBOLD)], way == "broken"
    if way == "in line":
        return [in_line]
    window = [Row(text, size, SEMIBOLD) for text in (_halves(last) if broken else [last])]
    smaller = (size, max(LEAST_PT, 0.7 * size), max(LEAST_PT, 0.5 * size))
    found = [
        [*rows, *(Row(text, small, SEMIBOLD) for text in between), *window]
        for rows in _names(name, size, smaller, broken)
        for small in (smaller if between else smaller[:1])
    ]
    if broken:
        return found
    turns = [[Row(name, size, SEMIBOLD), Row(" ".join([*between, last]), size, SEMIBOLD)]] if between else []
    return [*found, in_line, *turns]


def _names(name: str, size: float, smaller: Sequence[float], broken: bool) -> list[list[Row]]:
    """A stop's name on one line, or with less below it: "STOP," and "each stage", "STOP 1" and "and 3"."""
    found = [[Row(name, size, SEMIBOLD)]]
    stop, _, rest = name.partition(" each " if "each" in name else " and ")
    if rest:
        rest = name.removeprefix(stop).strip()
        found += [[Row(stop, size, SEMIBOLD), Row(rest, small, SEMIBOLD)] for small in smaller]
        if broken:
            found.append([Row(stop, size, SEMIBOLD), *(Row(word, smaller[-1], SEMIBOLD) for word in rest.split())])
    return found


def _halves(window: str) -> list[str]:
    """A window on two lines: "90–" and "100°", "−20" and "to +20°", "1 full" and "turn"."""
    for mark in ("–", " "):
        if mark in window:
            first, second = window.split(mark, 1)
            return [first + mark.strip(), second]
    return [window]


@lru_cache(maxsize=1000)  # as `block`
def said_block(words: tuple[str, ...], count: int, size: float) -> Block:
    """Words on a line each, or on at most `count` lines."""
    return block(*[Row(line, size) for line in (broken(" · ".join(words), count, size) if count else words)])


@lru_cache(maxsize=1000)  # as `block`
def broken(text: str, count: int, size: float) -> tuple[str, ...]:
    """Return a text on at most `count` lines, as equally long as they can be, or on as few as its words allow."""
    width = max(text_width_mm(text, size) / count, *(text_width_mm(word, size) for word in text.split()))
    while len(lines := wrap(text, width, size)) > count:
        width *= 1.03
    return tuple(line.removesuffix(" ·").removeprefix("· ") for line in lines)


def aside(box: Box) -> Box:
    """A box of words with the space that keeps others from being read with them: more beside them than over them."""
    left, bottom, right, top = box
    return Box(left - WORDS_APART_MM, bottom - LEAST_OVER_MM, right + WORDS_APART_MM, top + LEAST_OVER_MM)
