"""What keeps a word from being misread: a line under numbers that are others upside down, LEFT-HAND white on black."""

from __future__ import annotations

from functools import lru_cache

from .fonts import CAP_EM, MM_PER_PT, SEMIBOLD, text_width_mm
from .primitives import BACK, Anchor, Line, Polyline, Primitive, Text

UPSIDE_DOWN = dict(zip("01689", "01986", strict=True))
"""Figures that are figures upside down too."""

UNDERLINE_EM = 0.16
"""How far below its baseline a number is underlined, in ems."""

LEFT_HAND = "LEFT-HAND"

PAD_EM = 0.22
"""Black beyond the letters on every side, in ems."""


@lru_cache(maxsize=1024)  # the same numbers stand on every scale
def misread_upside_down(text: str) -> bool:
    """Tell whether `text` is a number that is another one upside down: 6, 9, 68 (89), 16 (91); not 8, 11 or 69."""
    digits = text.removesuffix("°")
    turned = "".join(UPSIDE_DOWN.get(char, " ") for char in reversed(digits))
    return bool(digits) and turned.isdigit() and turned not in (digits, "") and not turned.startswith("0")


def underlined(text: Text) -> tuple[Primitive, ...]:
    """Return a number, with a line under it where it would be another one upside down.

    Only for text that is not rotated; the line has the role "underline".
    """
    if not misread_upside_down(text.text):
        return (text,)
    left = text.x - text.width_mm * BACK[text.anchor]
    y = text.y - UNDERLINE_EM * text.size_pt * MM_PER_PT
    return text, Line(left, y, left + text.width_mm, y, "underline")


def left_hand_size_mm(size_pt: float) -> tuple[float, float]:
    """Return width and height of the black box of `left_hand`."""
    em = size_pt * MM_PER_PT
    return text_width_mm(LEFT_HAND, size_pt, SEMIBOLD) + 2 * PAD_EM * em, (CAP_EM + 2 * PAD_EM) * em


def left_hand(x: float, y: float, size_pt: float, anchor: Anchor = "start") -> tuple[Polyline, Text]:
    """Return LEFT-HAND in white on a black box; (x, y) is the box's lower left, lower middle or lower right corner.

    The box has the role "left-hand-box", the text "left-hand".
    """
    width, height = left_hand_size_mm(size_pt)
    left = x - width * BACK[anchor]
    corners = ((left, y), (left + width, y), (left + width, y + height), (left, y + height))
    pad = PAD_EM * size_pt * MM_PER_PT
    words = Text(left + pad, y + pad, LEFT_HAND, size_pt, SEMIBOLD, role="left-hand", grey=1.0)
    return Polyline(corners, "left-hand-box", True, 0.0), words
