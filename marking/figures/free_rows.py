"""Places labels on rows of free space, so that no text touches another or a mark."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from ..drawing.fonts import REGULAR, Weight, text_width_mm, wrap

Interval = tuple[float, float]


class Spot(NamedTuple):
    """Where a block of lines goes: its first row from the top, its left and right ends, and its lines."""

    row: int
    left: float
    right: float
    lines: tuple[str, ...]


class FreeRows:
    """Rows of equal pitch, counted from the top, each with the intervals of x that are still free."""

    def __init__(self, count: int, free: Iterable[Interval]) -> None:
        self._free: list[list[Interval]] = [sorted(free)] * count

    def __len__(self) -> int:
        return len(self._free)

    def block(self, row: int, count: int, left: float, right: float) -> None:
        """Take left..right on `count` rows from `row` on out of the free space."""
        for index in range(row, row + count):
            rest: list[Interval] = []
            for a, b in self._free[index]:
                if b <= left or a >= right:
                    rest.append((a, b))
                    continue
                rest += [(a, left)] if a < left else []
                rest += [(right, b)] if b > right else []
            self._free[index] = rest

    def fits(self, row: int, count: int, left: float, right: float) -> bool:
        """Tell whether left..right is free on `count` rows from `row` on."""
        return all(
            any(a <= left + 1e-9 and right <= b + 1e-9 for a, b in self._free[index])
            for index in range(row, row + count)
        )

    def common(self, row: int, count: int) -> list[Interval]:
        """Return the intervals free on all of `count` rows from `row` on."""
        shared = self._free[row]
        for index in range(row + 1, row + count):
            shared = [(max(a, c), min(b, d)) for a, b in shared for c, d in self._free[index] if max(a, c) < min(b, d)]
        return shared

    def find(self, text: str, size_pt: float, weight: Weight = REGULAR, indent: float = 0.0) -> Spot | None:
        """Return the place for `text` on the fewest rows, widest interval first, or None when it fits nowhere.

        `indent` is room kept free left of the text. Single words are not broken.
        """
        widest_word = max(text_width_mm(word, size_pt, weight) for word in text.split())
        for count in range(1, len(self) + 1):
            spots: list[tuple[float, Spot]] = []
            for row in range(len(self) - count + 1):
                for a, b in self.common(row, count):
                    room = b - a - indent
                    if room < widest_word:
                        continue
                    lines = tuple(wrap(text, room, size_pt, weight))
                    if len(lines) <= count:
                        width = indent + max(text_width_mm(line, size_pt, weight) for line in lines)
                        spots.append((-room, Spot(row, a, a + width, lines)))
            if spots:
                return min(spots, key=lambda scored: (scored[1].row, scored[0]))[1]
        return None
