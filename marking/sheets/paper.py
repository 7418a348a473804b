"""Paper sizes and what of a page can be printed on."""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import Literal, NamedTuple

from ..errors import LayoutError, shown, within
from ..quantities.parse import parse_length
from ..quantities.scanner import ANY_CASE, SPACES, check_text
from ..quantities.units import Given

SIZES = {
    "a3": (297.0, 420.0), "a4": (210.0, 297.0), "a5": (148.0, 210.0),
    "letter": (215.9, 279.4), "legal": (215.9, 355.6), "tabloid": (279.4, 431.8),
}  # fmt: skip
"""Width and height in mm. A sizes: ISO 216. Letter 8.5 × 11 in (ANSI/ASME Y14.1, size A), tabloid
11 × 17 in (its size B), legal 8.5 × 14 in (common practice, no published source)."""

MEDIA = {
    "a3": "iso_a3_297x420mm", "a4": "iso_a4_210x297mm", "a5": "iso_a5_148x210mm",
    "letter": "na_letter_8.5x11in", "legal": "na_legal_8.5x14in", "tabloid": "na_ledger_11x17in",
}  # fmt: skip
"""What print systems call these sizes (PWG 5101.1, self-describing media size names)."""

SAME_MM = 0.01
"""Sides that differ by less are those of one size."""

EDGE_MM = 6.0
"""Nothing is printed nearer to the paper's edge: many printers cannot (common practice, no published source)."""

MAX_MARGIN_MM = 30.0

LEFT_MM, RIGHT_MM, TOP_MM, BOTTOM_MM = 19.0, 8.0, 8.0, 22.0
"""Distances of a page's content from the paper's edge; the rulers stand in the left and bottom ones."""

FULL_MM = 6.5
"""Distance where a page is filled as far as can be printed (our choice: the thickest line is not half as wide)."""

MIN_SIDE_MM, MAX_SIDE_MM = 140.0, 1500.0
"""Least side for the two 100 mm rulers and their margins; largest for a plotter's roll (our choice)."""

RULER_ROOM_MM = 120.0
"""What a check ruler of 100 mm takes of a sheet's side beside the margins: where it begins, and its last number."""


class Paper(NamedTuple):
    """A paper size in mm, upright or turned, and the margin kept free all round.

    A printer that prints too small or too large is met by laying out on a paper of `width_mm` × `height_mm` that is
    larger or smaller than the real one, and stretching the finished page to it by `stretch_x` and `stretch_y`;
    `correction` tells by what, "for printer office". A `full` page is filled as far as can be printed. The upright
    ruler stands in the left margin or, with `ruler_inside`, in the upper left corner of a content that is wider by as
    much.
    """

    width_mm: float
    height_mm: float
    margin_mm: float = EDGE_MM
    stretch_x: float = 1.0
    stretch_y: float = 1.0
    correction: str = ""
    full: bool = False
    ruler_inside: bool = False

    @property
    def is_sheet(self) -> Literal[True]:
        """A whole page, with a header and check rulers: `LabelStock` is none."""
        return True

    @property
    def left_mm(self) -> float:
        """Where content begins, from the left edge."""
        return (FULL_MM if self.ruler_inside else LEFT_MM) + self.margin_mm - EDGE_MM

    @property
    def right_mm(self) -> float:
        """Where content ends, from the left edge."""
        return self.width_mm - ((FULL_MM if self.full else RIGHT_MM) + self.margin_mm - EDGE_MM)

    @property
    def top_mm(self) -> float:
        """Where the header begins, from the lower edge."""
        return self.height_mm - ((FULL_MM if self.full else TOP_MM) + self.margin_mm - EDGE_MM)

    @property
    def bottom_mm(self) -> float:
        """Where content ends, from the lower edge."""
        return BOTTOM_MM + self.margin_mm - EDGE_MM

    @property
    def content_width_mm(self) -> float:
        """Width of the content."""
        return self.right_mm - self.left_mm

    @property
    def content_height_mm(self) -> float:
        """Height of the content, the header included."""
        return self.top_mm - self.bottom_mm

    @property
    def widest_mm(self) -> float:
        """The longest strip that a page takes, turned to landscape if need be."""
        return self.wide.content_width_mm

    @property
    def highest_mm(self) -> float:
        """The highest strip that a page takes."""
        return self.content_height_mm

    @property
    def turned(self) -> Paper:
        """The same paper with its sides exchanged."""
        return Paper(self.height_mm, self.width_mm, self.margin_mm, self.stretch_y, self.stretch_x, self.correction)

    @property
    def wide(self) -> Paper:
        """The paper with its longer side across."""
        return self if self.width_mm >= self.height_mm else self.turned

    def corrected(self, x_scale: float, y_scale: float, correction: str = "") -> Paper:
        """Return the paper for a printer that prints `x_scale` mm across and `y_scale` mm along for each mm drawn.

        Across and along are those of the paper fed upright; a paper given with its longer side across is turned.
        """
        if self.width_mm > self.height_mm:
            return self.turned.corrected(x_scale, y_scale, correction).turned
        width, height = self.width_mm * x_scale, self.height_mm * y_scale
        return Paper(width, height, self.margin_mm, 1 / x_scale, 1 / y_scale, correction)


class LabelStock(NamedTuple):
    """Tape or label stock too narrow for a sheet: `width_mm` across, `length_mm` along the feed, None for a roll."""

    width_mm: float
    length_mm: float | None = None
    margin_mm: float = 1.5
    stretch_across: float = 1.0
    stretch_along: float = 1.0
    correction: str = ""

    @property
    def is_sheet(self) -> Literal[False]:
        """Too narrow for a header and check rulers."""
        return False

    @property
    def inner_width_mm(self) -> float:
        """Width between the margins."""
        return self.width_mm - 2 * self.margin_mm

    @property
    def inner_length_mm(self) -> float:
        """Length between the margins; a roll is taken to be as long as any band."""
        return (MAX_SIDE_MM if self.length_mm is None else self.length_mm) - 2 * self.margin_mm

    @property
    def widest_mm(self) -> float:
        """The longest strip that it takes."""
        return self.inner_length_mm

    @property
    def highest_mm(self) -> float:
        """The highest strip that it takes."""
        return self.inner_width_mm

    def corrected(self, x_scale: float, y_scale: float, correction: str = "") -> LabelStock:
        """Return the stock for a printer that prints `x_scale` mm across and `y_scale` mm along for each mm drawn."""
        length = None if self.length_mm is None else self.length_mm * y_scale
        return LabelStock(self.width_mm * x_scale, length, self.margin_mm, 1 / x_scale, 1 / y_scale, correction)


MIN_LABEL_MM = 12.0
"""The narrowest tape on which a band is legible (our choice)."""


def size_name(width_mm: float, height_mm: float) -> str:
    """Return the name of a paper size, either way round: "a4"; "" for one without a name."""
    sides = sorted((width_mm, height_mm))
    same = (name for name, size in SIZES.items() if math.dist(sides, size) < SAME_MM)
    return next(same, "")


def media_name(width_mm: float, height_mm: float) -> str:
    """Return what CUPS calls the paper of a page, as it is fed: "iso_a4_210x297mm", "Custom.24x97.7mm".

    Sheets are fed upright; pages of label stock, whose height is that of the tape, along their width.
    """
    if name := size_name(width_mm, height_mm):
        return MEDIA[name]
    fed = (height_mm, width_mm) if height_mm < MIN_SIDE_MM else sorted((width_mm, height_mm))
    across, along = (f"{round(side, 2):g}" for side in fed)
    return f"Custom.{across}x{along}mm"


def media_names(size: str) -> set[str]:
    """Return what queues list a size of `SIZES` as, in small letters: "a4" and "iso_a4_210x297mm"."""
    return {size, MEDIA[size]} | ({"ledger", "11x17"} if size == "tabloid" else set())


_GAP = f"[{SPACES}]{{0,2}}"

_SIDE = rf"([0-9.,]{{1,8}}){_GAP}(mm|in|)"

_CUSTOM = rf"{_SIDE}{_GAP}(?:[x×]{_GAP}(?:{_SIDE}|roll)|tape)"

TAPES_MM = (12.0, 18.0, 24.0, 36.0)
"""Widths of tapes for label printers; in inches they are sold under names up to 0.5 mm off, 0.47 in for 12 mm (from
memory)."""


@lru_cache(maxsize=64)
def parse_paper(text: str, margin: Given | None = None) -> Paper | LabelStock:
    """Read a paper size: a4 or another of `SIZES`, WIDTHxHEIGHT such as `210x297` (mm) or `8.5x11in`, `62mm x roll`.

    Sizes with a side under 140 mm, and rolls (`24mm tape` too), are label stock. `margin` is a length up to 30 mm;
    sheets need 6 mm, their default, labels take 1.5 mm by default, rolls none. Raises LayoutError for what cannot be
    read and RangeError for a size outside 12 .. 1500 mm.
    """
    check_text(text, "paper size", "a4")
    name = text.strip().lower()
    if name in SIZES:
        return _sheet(*SIZES[name], margin)
    found = re.fullmatch(_CUSTOM, name, ANY_CASE)
    if not found:
        raise LayoutError(
            f"the paper size {shown(text)} is not known",
            f"{', '.join(SIZES)}, WIDTHxHEIGHT in mm, WIDTHxroll, or 24mm tape",
            value=text, field="paper",
        )  # fmt: skip
    unit = found[2] or found[4] or "mm"
    if found[3] is None:
        return LabelStock(_tape_mm(found[1], unit), None, _margin_mm(margin, 0.0))
    width = _side_mm(found[1], unit, "paper width")
    height = _side_mm(found[3], found[4] or found[2] or "mm", "paper height")
    if min(width, height) < MIN_SIDE_MM:
        return LabelStock(min(width, height), max(width, height), _margin_mm(margin, 0.0, 1.5))
    return _sheet(width, height, margin)


def _tape_mm(number: str, unit: str) -> float:
    """The width of a roll; one in inches is that of the tape sold under that name."""
    mm = parse_length(f"{number} {unit}", "paper", subject="paper width").mm
    near = min(TAPES_MM, key=lambda tape: abs(tape - mm))
    if unit == "in" and abs(near - mm) <= 0.5:
        return near
    return _side_mm(number, unit, "paper width")


def _sheet(width: float, height: float, margin: Given | None) -> Paper:
    """A sheet whose margin leaves room for the check rulers."""
    paper = Paper(width, height, _margin_mm(margin, EDGE_MM))
    most = (min(width, height) - RULER_ROOM_MM) / 2
    if paper.margin_mm > most:
        raise LayoutError(
            f"a margin of {paper.margin_mm:g} mm leaves no room for the 100 mm rulers on {width:g} × {height:g} mm",
            f"at most {most:g} mm", "choose a smaller {@margin} or a larger {@paper}", margin, "margin",
        )  # fmt: skip
    return paper


def parse_sheet(text: str, margin: Given | None = None) -> Paper:
    """Read a paper size as `parse_paper` does, for what needs a whole sheet: refuses label stock with a LayoutError."""
    paper = parse_paper(text, margin)
    if not paper.is_sheet:
        raise LayoutError(
            f"label stock {shown(text)} is too narrow", f"a sheet of at least {MIN_SIDE_MM:g} mm either way",
            "choose another {@paper}", text, "paper",
        )  # fmt: skip
    return paper


def _side_mm(number: str, unit: str, subject: str) -> float:
    mm = parse_length(f"{number} {unit}", "paper", subject=subject).mm
    within(f"the {subject} is {{}} mm", mm, MIN_LABEL_MM, MAX_SIDE_MM, "paper", "{:g}".format, " mm")
    return mm


def _margin_mm(text: Given | None, least: float, usual: float | None = None) -> float:
    mm = (least if usual is None else usual) if text is None else parse_length(text, "margin", zero=True).mm
    within("the margin is {} mm", mm, least, MAX_MARGIN_MM, "margin", "{:g}".format, " mm")
    return mm
