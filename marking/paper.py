"""Paper sizes and what of a page can be printed on."""

from __future__ import annotations

import re
from typing import NamedTuple

from .errors import LayoutError, RangeError
from .quantities import parse_length

SIZES = {
    "a3": (297.0, 420.0), "a4": (210.0, 297.0), "a5": (148.0, 210.0),
    "letter": (215.9, 279.4), "legal": (215.9, 355.6),
}  # fmt: skip
"""Width and height in mm. A sizes: ISO 216. Letter 8.5 × 11 in (ANSI/ASME Y14.1, size A), legal
8.5 × 14 in (common practice, no published source)."""

EDGE_MM = 6.0
"""Nothing is printed nearer to the paper's edge: many printers cannot (common practice, no published source)."""

LEFT_MM, RIGHT_MM, TOP_MM, BOTTOM_MM = 19.0, 8.0, 8.0, 22.0
"""Margins round a page's content; the rulers stand in the left and bottom ones."""

MIN_SIDE_MM, MAX_SIDE_MM = 140.0, 1500.0
"""Least side for the two 100 mm rulers and their margins; largest for a plotter's roll (our choice)."""


class Paper(NamedTuple):
    """A paper size in mm, upright or turned."""

    width_mm: float
    height_mm: float

    @property
    def content_width_mm(self) -> float:
        """Width between the margins."""
        return self.width_mm - LEFT_MM - RIGHT_MM

    @property
    def content_height_mm(self) -> float:
        """Height between the margins, the header still included."""
        return self.height_mm - TOP_MM - BOTTOM_MM

    @property
    def turned(self) -> Paper:
        """The same paper with its sides exchanged."""
        return Paper(self.height_mm, self.width_mm)

    @property
    def wide(self) -> Paper:
        """The paper with its longer side across."""
        return self if self.width_mm >= self.height_mm else self.turned


_CUSTOM = re.compile(r"([0-9.,]{1,8})\s{0,2}(mm|in|)\s{0,2}[x×]\s{0,2}([0-9.,]{1,8})\s{0,2}(mm|in|)", re.IGNORECASE)


def parse_paper(text: str) -> Paper:
    """Read a paper size: a4, letter, a5, a3, legal, or width × height such as `210x297` (mm) or `8.5x11in`.

    Raises LayoutError for what cannot be read and RangeError for a size outside 140 .. 1500 mm.
    """
    name = text.strip().lower()
    if name in SIZES:
        return Paper(*SIZES[name])
    found = _CUSTOM.fullmatch(name)
    if not found:
        raise LayoutError(
            f"the paper size {text[:40]!r} is not known", f"{', '.join(SIZES)}, or WIDTHxHEIGHT in mm",
            "check --paper", text,
        )  # fmt: skip
    unit = found[4] or found[2] or "mm"
    sides = [parse_length(f"{found[1]} {found[2] or unit}", "paper width").mm]
    sides.append(parse_length(f"{found[3]} {unit}", "paper height").mm)
    for side in sides:
        if not MIN_SIDE_MM <= side <= MAX_SIDE_MM:
            raise RangeError(
                f"a side of the paper is {side:g} mm", f"{MIN_SIDE_MM:g} to {MAX_SIDE_MM:g} mm, so that both 100 mm "
                "rulers fit", "check --paper", side,
            )  # fmt: skip
    return Paper(*sides)
