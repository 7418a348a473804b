"""Outside diameters that are not known but lie in a range: as given, or what sockets of a drive usually have."""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from ..errors import RangeError, SocketError, TextInputError, shown
from ..quantities.parse import parse_length
from ..quantities.shown import shown_length
from ..quantities.units import Given
from .hexagons import parse_opening
from .opening import opening_of
from .sanity import LEAST_WALL_MM
from .socket import MAX_OD_MM, MIN_OD_MM, Drive

_RANGE = re.compile(r"\s*(?P<low>[^.]*(?:\.[0-9][^.]*)?)\s*(?:\.\.|…|–)\s*(?P<high>.*)")


class OdRange(NamedTuple):
    """The smallest and the largest OD, the unit of the first, and whether they are only the usual ones of a drive."""

    low_mm: float
    high_mm: float
    unit: str
    usual: bool


def read_od_range(text: str | None, drive: Drive, points: int, opening: Given | None) -> OdRange:
    """Return the ODs of a range, or for None the usual ones of a drive that hold the opening.

    A usual range begins where the wall round the opening's corners is thick enough. Raises a MarkingError that says
    which text is at fault.
    """
    corners = 0.0
    if opening is not None:
        across = parse_opening(opening)[0]
        corners = opening_of(points).across_corners_mm(across.mm)
    if text is None:
        low, high = drive.usual_ods_mm
        if opening is not None:
            low = max(low, math.ceil((corners + 2 * LEAST_WALL_MM) * 10) / 10)
            high = max(high, low + 1.0)
        return OdRange(low, high, "mm", True)
    low, high, unit = parse_od_range(text)
    if low <= corners:
        raise SocketError(
            f"a socket at the beginning of the OD range {shown(text)} cannot hold an opening of {across.text}",
            f"a range from above {shown_length(corners, unit)}, the opening across its corners",
            "check {@od_range} (outside) and {@opening} (across flats)", text, "od_range",
        )  # fmt: skip
    return OdRange(low, high, unit, False)


def parse_od_range(text: str) -> tuple[float, float, str]:
    """Read "24 mm..32 mm" or "24..32 mm" and return both ends in mm and the unit of the first, "mm" or "in".

    Raises TextInputError for what cannot be read and RangeError for ends out of order or outside 6 .. 300 mm.
    """
    found = _RANGE.fullmatch(text) if len(text) <= 60 else None
    if not found:
        raise TextInputError(
            text, 0, "cannot be read", "two lengths such as 24 mm..32 mm", "", "od_range", "the OD range"
        )
    high = parse_length(found["high"], "od_range", subject="upper end of the OD range")
    unit = "in" if high.unit == "in" else "mm"
    low_text = found["low"].strip()
    low = parse_length(low_text if re.search(r"[^0-9.,/ ¼½¾-]", low_text) else f"{low_text} {unit}", "od_range")
    if not MIN_OD_MM <= low.mm < high.mm <= MAX_OD_MM:
        raise RangeError(
            f"the OD range is {low.text} to {high.text}", f"rising, within {MIN_OD_MM:g} to {MAX_OD_MM:g} mm",
            value=text, field="od_range",
        )  # fmt: skip
    return low.mm, high.mm, low.unit
