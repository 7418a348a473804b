"""Hexagons of screws by their thread size: which width across flats they have."""

from __future__ import annotations

import re

from ..errors import SocketError, shown
from ..quantities.parse import Length, parse_length
from ..quantities.units import Given
from ..tables import rows

_THREAD_SIZE = re.compile(r"\s*[Mm]\s*([0-9.,]+)\s*(?:[x×*]\s*[0-9.,]+\s*)?")

_HEXAGONS = "ISO 4014"
"""The table's heads of bolts; the nuts of ISO 4032 have the same widths across flats."""


def parse_opening(text: Given | Length) -> tuple[Length, str]:
    """Read a width across flats, or the thread size whose hexagon has it: `19 mm`, `3/4 in AF`, `M14`, `M14x1.5`.

    Returns the width, and the hexagon that it was looked up from, or "": "M14 (ISO 4014)". Raises what `parse_length`
    raises, and SocketError for a size that the table lacks.
    """
    found = _THREAD_SIZE.fullmatch(text) if isinstance(text, str) and len(text) <= 20 else None
    if not found:
        return parse_length(text, "opening"), ""
    size = f"M{found[1]}"
    widths = {row["size"]: float(row["s_max_mm"]) for row in rows("hexagons") if row["standard"] == _HEXAGONS}
    if size not in widths:
        raise SocketError(
            f"no hexagon is known for the thread size {shown(size)}", f"one of {', '.join(widths)}",
            "or give the width across flats, such as 19 mm", text, "opening",
        )  # fmt: skip
    return Length(widths[size], "mm", f"{widths[size]:g} mm"), f"{size} ({_HEXAGONS})"


def old_width_mm(hexagon: str) -> float | None:
    """Return the width across flats that a hexagon, as `parse_opening` names it, had in DIN 931, if it was another."""
    size = hexagon.partition(" ")[0]
    old = (row for row in rows("hexagons") if row["standard"].startswith("DIN"))
    return next((float(row["s_max_mm"]) for row in old if row["size"] == size), None)
