"""What shows where a strip's end has to land: the OK bracket and the closure line."""

from __future__ import annotations

from ..drawing.fonts import MM_PER_PT, SEMIBOLD, cap_mm
from ..drawing.primitives import Line, Polyline, Primitive, Text
from ..quantities.angles import Point

BAR_MM = 0.6
"""Width of the bracket's bars: four dots at 180 dpi."""

OK_PT = 6.0

OUTSIDE_MM = BAR_MM + 0.4
"""What a bar takes beyond the place that it limits, with some space."""


def ok_bracket(foot: Point, top: Point, halves: tuple[float, float], flag: Point) -> list[Primitive]:
    """Return the closure line from `foot` to `top` and a bar on either side of it; `flag` is the middle left of OK.

    Between the bars lies what the strip's end may miss its line by: `halves` each way at foot and top. The bars' inner
    sides are the limits. They are broken into squares, so that the one that stays in sight looks like no mark.
    """
    drawn: list[Primitive] = [Line(*foot, *top, "closure")]
    for side in (-1, 1):
        ends = [(x + side * (half + BAR_MM / 2), y) for (x, y), half in zip((foot, top), halves, strict=True)]
        drawn.append(Line(*ends[0], *ends[1], "ok-bracket"))
    x, y = flag
    text = Text(x + 0.5, y - cap_mm(OK_PT) / 2, "OK", OK_PT, SEMIBOLD, role="ok", grey=1.0)
    right, low, high = x + text.width_mm + 1.0, y - OK_HEIGHT_MM / 2, y + OK_HEIGHT_MM / 2
    return [*drawn, Polyline(((x, low), (right, low), (right, high), (x, high)), "ok-flag", True, 0.0), text]


OK_HEIGHT_MM = cap_mm(OK_PT) + 0.44 * OK_PT * MM_PER_PT
"""Height of the black flag that says OK."""
