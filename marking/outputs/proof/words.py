"""The sentences of the proof page."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ...drawing.fonts import BODY_PT, HEAD_PT, SEMIBOLD, text_width_mm
from ...drawing.primitives import Drawing, Group, Polyline, Text
from ...printers.profile import X_NOMINAL_MM, Y_NOMINAL_MM
from ...quantities.shown import trimmed
from ...sheets.blocks import listed, paragraph, stacked

RULER_NOTE = "This page is to be measured, whatever its rulers show: no printer profile ever corrects it."

SKEW_MM = 0.5
"""How far A to C may be off (our choice): on A4 that is a sheet that ran askew by 0.2°."""

BLANK = "_" * 8
"""11 mm to write a length in."""

BOX_PAD_MM, COMMAND_PITCH_MM = 2.5, 5.8
"""The command's box: space round it, and lines far enough apart to write in the blanks."""


def measuring_block(width: float, across: float, along: float) -> Drawing:
    """How the printed crosses are measured."""
    diagonal = trimmed(math.hypot(across, along), 2)
    steps = (
        "Print at 100 % (“actual size”), with “fit to page” off, on the printer and the paper that you will use.",
        "Let the sheet rest for half an hour: paper shrinks while it is hot and dry.",
        "Lay a steel rule from cross to cross and measure from centre to centre, to 0.1 mm: A to B, then B to C. Start "
        "at a full mark of the rule, not at its end.",
        f"Check with A to C: {diagonal} mm if all is true, else √(AB² + BC²) of what you measured. If it is more than "
        f"{SKEW_MM:g} mm off, the sheet ran askew: print again.",
        "For the thickness, measure ten sheets together with callipers and divide by ten.",
    )
    return listed("Print and measure", steps, width, numbered=True)


def storing_block(width: float, across: float, along: float) -> Drawing:
    """How what was measured is kept in a profile."""
    parts = [
        paragraph("Tell turnband", width, HEAD_PT, SEMIBOLD),
        paragraph(
            "Fill in what you measured and type this on one line, or enter it under “printers” in the browser. NAME is "
            "a name of your own; without callipers leave --stock out:",
            width,
        ),
        _command(width, across, along),
        paragraph(
            "Across is from side to side of the sheet held upright, along is from top to bottom, also for sheets "
            "printed wide: turnband turns those itself.",
            width,
        ),
    ]
    return stacked(parts, 1.8, "words")


def _command(width: float, across: float, along: float) -> Drawing:
    """The command to type, with blanks, in a box; lines break between options only."""
    parts = ["turnband printer add NAME", f'--x "{BLANK} mm"', f'--y "{BLANK} mm"']
    if (across, along) != (X_NOMINAL_MM, Y_NOMINAL_MM):
        parts += [f'--x-nominal "{trimmed(across, 0)} mm"', f'--y-nominal "{trimmed(along, 0)} mm"']
    lines = _joined([*parts, f'--stock "{BLANK} mm"'], width - 2 * BOX_PAD_MM)
    height = COMMAND_PITCH_MM * len(lines) + BOX_PAD_MM
    items = (
        Text(BOX_PAD_MM, height - COMMAND_PITCH_MM * number, line, BODY_PT, SEMIBOLD, role="command")
        for number, line in enumerate(lines, 1)
    )
    box = Polyline(((0, 0), (width, 0), (width, height), (0, height)), "box", closed=True)
    return Drawing(width, height, Group("command", (*items, box)))


def _joined(parts: Sequence[str], width: float) -> list[str]:
    """Parts with spaces between them in lines no wider than `width`, none of them broken."""
    lines = [parts[0]]
    for part in parts[1:]:
        longer = f"{lines[-1]} {part}"
        if text_width_mm(longer, BODY_PT, SEMIBOLD) <= width:
            lines[-1] = longer
        else:
            lines.append(part)
    return lines
