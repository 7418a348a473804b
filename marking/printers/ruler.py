"""What the two check rulers of a page measured, where there is no profile of the printer."""

from __future__ import annotations

import re

from ..errors import RangeError, shown
from ..quantities.parse import Length, parse_length
from ..quantities.scanner import ANY_CASE, check_text
from ..quantities.shown import trimmed
from ..quantities.units import MM_PER_IN
from ..sheets.furniture import RULER_MM
from .profile import MAX_OFF

_BETWEEN = re.compile(r"(?<![a-z])(?:x|×|by)(?![a-z])", ANY_CASE)


def read_ruler(text: str) -> tuple[float, float, str]:
    """Return the scales across and along the upright sheet that `text` tells, and its lengths as they are shown.

    "99.2 mm x 99.6 mm" are the rulers across and along as measured, each drawn 100 mm long; the unit of the second one
    does for both. Raises a MarkingError for what cannot be read, or is more than 5 % off.
    """
    check_text(text, "ruler", "99.2 mm x 99.6 mm")
    parts = [part.strip() for part in _BETWEEN.split(text)]
    if len(parts) != 2:
        raise RangeError(
            f"the ruler is {shown(text)}", "what both rulers of a page measured, such as 99.2 mm x 99.6 mm",
            "measure the one across the sheet and the one along it", text, "ruler",
        )  # fmt: skip
    along = parse_length(parts[1], "ruler")
    alone, unit = re.fullmatch(r"[0-9.,]+", parts[0]), re.sub(r"^[0-9.,]+", "", parts[1])
    across = parse_length(f"{parts[0]} {unit}" if alone else parts[0], "ruler")
    scales = _scale("across", across), _scale("along", along)
    units = [across.unit, along.unit]
    first, second = (trimmed(one.mm / (MM_PER_IN if one.unit == "in" else 1.0), 3) for one in (across, along))
    return *scales, f"{first}{f' {units[0]}' if units[0] != units[1] else ''} × {second} {units[1]}"


def _scale(way: str, measured: Length) -> float:
    """What is printed for each mm drawn. Raises RangeError for more than any printer is off."""
    scale = measured.mm / RULER_MM
    if not abs(scale - 1) <= MAX_OFF:
        least, most = ((1 - MAX_OFF) * RULER_MM, (1 + MAX_OFF) * RULER_MM)
        raise RangeError(
            f"the ruler {way} the sheet measured {trimmed(measured.mm, 2)} mm: it is drawn {RULER_MM:g} mm long",
            f"{least:g} to {most:g} mm",
            "measure it from its first tick to its last; where it really is so far off, “fit to page” is on: print "
            "again at 100 %", measured.mm, "ruler",
        )  # fmt: skip
    return scale
