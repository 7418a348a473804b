"""The sentences that go with a diameter tape."""

from __future__ import annotations

from ...quantities.shown import shown_length
from ...sheets.furniture import RULER_MM, RULER_TOLERANCE_MM
from .layout import TapeReading

ORDINALS = ("", "first", "second", "third", "fourth")


def paper_thickness(stock_mm: float) -> str:
    """The thickness for which a tape is right."""
    return shown_length(stock_mm, "mm")


def reading_steps(reading: TapeReading) -> list[str]:
    """How one example is read."""
    scale = reading.scale
    return [
        f"Find the last line on the tail that the index line has passed: the one left of it. Here {reading.passed}.",
        "Find the line of the vernier, right of the index, that meets a line of the tail; if none meets exactly, the "
        f"nearest. Here the {ORDINALS[reading.line]} one: {reading.rest} {scale.unit}. If the index itself meets a "
        "line, add nothing; the vernier’s last line then meets one too.",
        f"Add: {reading.passed} + {reading.rest} = {reading.value} {scale.unit}.",
        f"That is the outside diameter (OD) to print a band for: {reading.value} {scale.unit}.",
    ]


def wrapping_steps(spliced: bool) -> list[str]:
    """How a tape is cut, glued and wrapped."""
    splice = [
        "Glue the pieces in order: the tab under the next piece, whose end meets the solid line; lay the long edges "
        "along a ruler."
    ]
    return [
        "Cut along the dashed lines and along the thin solid ones, which are the reading edges: cut "
        "them cleanly, and no farther than into the corners.",
        *(splice if spliced else []),
        "Wipe the socket. Wrap the tape round the place where the band will sit, printed side out, numbers upright, "
        "tongue below: the tail comes round from the left and passes above the tongue.",
        "Hold the tongue’s end and pull the tail tight. The two reading edges must touch all along, with no gap and "
        "no overlap: then the tape is square. Let the rest of the tail stand off.",
    ]


def cautions(stock_mm: float, high_mm: float, unit: str) -> list[str]:
    """What a reading of ODs up to `high_mm` is worth.

    Print errors cancel: a tape printed at the scale s reads D' where s (D' + t) = D + t, and a band drawn for D' and
    printed at the same scale is s π (D' + t) = π (D + t) long.
    """
    percent = 100.0 * RULER_TOLERANCE_MM / RULER_MM
    wrong, od = (shown_length(mm, unit) for mm in (high_mm * percent / 100.0, high_mm))
    return [
        f"The tape is right for paper {paper_thickness(stock_mm)} thick. On thicker paper it reads too much by the "
        "difference: 0.05 mm thicker, 0.05 mm too much. For other paper print a tape of its own.",
        "Read twice, the tape a quarter turn farther on. Two readings that differ by more than two divisions mean a "
        "loose tape, dirt, or a socket that is not round there.",
        f"Rulers at their limit mean a reading {percent:g} % wrong: {wrong} on an OD of {od}. Print tape and band with "
        "the same printer on the same paper, lying the same way on the page: then the two errors cancel.",
    ]
