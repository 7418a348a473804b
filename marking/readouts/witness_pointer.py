"""The witness pointer: a printed witness mark to stick on the part."""

from __future__ import annotations

from ..drawing.fonts import SEMIBOLD, SMALL_PT
from ..drawing.primitives import Drawing, Group, Line, Polyline, Primitive, Text

POINTER_WIDTH_MM, POINTER_HEIGHT_MM = 11.0, 18.0


def draw_pointer(number: int) -> Drawing:
    """Draw one stick-on witness pointer: a hairline to lay beside START, and the fastener's number."""
    width, height, middle = POINTER_WIDTH_MM, POINTER_HEIGHT_MM, POINTER_WIDTH_MM / 2
    items: tuple[Primitive, ...] = (
        Polyline(((0, 0), (width, 0), (width, height), (0, height)), "cut", True),
        Line(middle, height - 7.5, middle, height, "witness"),
        Polyline(
            ((middle, height - 6.5), (middle + 1.0, height - 8.5), (middle - 1.0, height - 8.5)),
            "flag",
            True,
            0.0,
        ),
        Text(middle, height - 10.8, "to START", SMALL_PT, anchor="middle"),
        Text(middle, 2.0, str(number), 12.0, SEMIBOLD, "middle"),
    )
    return Drawing(width, height, Group("witness-pointer", items, (("number", str(number)),)))
