"""Numbers, lengths and angles as people read them."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

from .units import MM_PER_IN


def plain_number(value: float) -> str:
    """Write a float so that it reads back exactly, without exponent or needless decimals: 27.8, 110, 0.0001."""
    return f"{Decimal(repr(float(value))):f}".removesuffix(".0")


def mixed(value: Fraction) -> str:
    """Write a number as workshops do: "1/4", "1-1/2", "3"."""
    whole, part = divmod(value.numerator, value.denominator)
    if not part:
        return str(whole)
    return f"{f'{whole}-' if whole else ''}{part}/{value.denominator}"


def rounded(value: float, digits: int = 3) -> str:
    """Write a float with at least `digits` significant figures and no needless decimals: 81.1, 1490, 0.417."""
    if value == 0 or not math.isfinite(value):
        return "0" if value == 0 else str(value)
    return trimmed(value, max(0, digits - 1 - math.floor(math.log10(abs(value)))))


def trimmed(value: float, decimals: int) -> str:
    """Write a float with at most `decimals` decimals and no trailing zeros: trimmed(90.0, 1) = "90"."""
    text = f"{value:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def shown_length(mm: float, unit: str) -> str:
    """Write a computed length in the user's unit, to 0.01 mm or 0.001 in: "87.65 mm", "3.451 in"."""
    return f"{_length_number(mm, unit)} {'in' if unit == 'in' else 'mm'}"


def shown_lengths(low_mm: float, high_mm: float, unit: str) -> str:
    """Write a range of computed lengths: "24–32 mm"."""
    return f"{_length_number(low_mm, unit)}–{shown_length(high_mm, unit)}"


def _length_number(mm: float, unit: str) -> str:
    return trimmed(mm / MM_PER_IN, 3) if unit == "in" else trimmed(mm, 2)


def shown_degrees(deg: float, decimals: int = 2) -> str:
    """Write an angle: "90°", "97.9°"."""
    return f"{trimmed(deg, decimals)}°"
