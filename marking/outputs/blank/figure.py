"""A blank band: a trim band without a window, and boxes above it to write in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...drawing.emphasis import left_hand, left_hand_size_mm
from ...drawing.fonts import SMALL_PT
from ...drawing.primitives import Drawing, Group, Line, Polyline, Primitive, Text, moved, primitives
from ...figures.strip_layout import TAB_MM
from ...readouts.trim_band.figure import draw_trim_band
from ...readouts.trim_band.layout import LABEL_MM, TrimBandLayout
from .lettering import LANE_MM, head, rows
from .words import BOXES, RIGHT_HAND

BOX_MM, EDGE_MM = 6.5, 0.8
"""Height of a box, which leaves 4.5 mm to write on, and its distance from the cut and from the words below."""

PAD_MM = 0.6

LEFT_HAND_PTS = (7.5, 6.5, 5.5, 5.0)

BOX_ROWS: tuple[tuple[float, tuple[tuple[float, ...], ...]], ...] = (
    (90.0, ((38.0, 22.0, 16.0, 14.0),)),
    (34.0, ((21.0, 13.0), (19.0, 15.0))),
    (0.0, ((1.0,), (1.0, 1.0), (1.0,))),
)
"""From which width on the boxes stand in how many rows, and how they share each."""


KEPT_TEXTS = {"row-number", "closure-number", "closure-unit", "ok", "tab", "text"}
"""Roles of a trim band's texts that stay. Its other lettering makes way for stops; a blank band's is for the pen."""

DROPPED = {"start", "drive-edge", "arrow", "arrow-head", "edge-flag", "left-hand-box", "underline"}
"""Roles of strokes that go with the other lettering, or are drawn anew."""


def draw_blank_band(plan: TrimBandLayout, lines: Sequence[str]) -> Drawing:
    """Draw a blank band; the first of `lines` that fits says what it is. Raises LayoutError for a band too slim.

    The strip goes on beyond the trim band's upper edge, by a lane for that line and by the boxes.
    """
    trim = draw_trim_band(plan)[0]
    drawn = primitives(trim.content)
    kept = [i for i in drawn if (i.role in KEPT_TEXTS if isinstance(i, Text) else i.role not in DROPPED)]
    ticks = max(max(item.y1, item.y2) for item in kept if isinstance(item, Line) and item.role == "corner")
    left, right = plan.ends(plan.height_mm)
    shares = next(shares for least, shares in BOX_ROWS if right - left - 2 * EDGE_MM >= least)
    lettered = rows(plan, ticks)
    low, bottom = plan.height_mm, lettered.top + LANE_MM + EDGE_MM
    top = bottom + BOX_MM * len(shares) + EDGE_MM
    outline = [
        Line(left, top, right + TAB_MM, top, "drive-edge"),
        Line(left, low, left, top, "cut"),
        Line(right, low, right, top, "tab-line"),
        Line(right + TAB_MM, low, right + TAB_MM, top, "tab-edge"),
    ]
    boxes = Group("boxes", tuple(_boxes(plan, shares, right - left - 2 * EDGE_MM)))
    added = Group("blank", (*outline, *head(plan, lettered, lines), moved(boxes, left + EDGE_MM, bottom)))
    return Drawing(trim.width_mm, top, Group("trim-band", (*kept, *moved(added, LABEL_MM, 0.0).items)))


def _boxes(plan: TrimBandLayout, rows_of: tuple[tuple[float, ...], ...], width: float) -> Iterator[Primitive]:
    """The boxes from the upper left on, each with its name; the thread's hand is printed, not written."""
    names = iter(BOXES)
    for number, shares in enumerate(rows_of, 1):
        x, y = 0.0, BOX_MM * (len(rows_of) - number)
        for share in shares:
            name, wide = next(names), width * share / sum(shares)
            yield Polyline(((x, y), (x + wide, y), (x + wide, y + BOX_MM), (x, y + BOX_MM)), "box", True)
            label = Text(x + PAD_MM, y + BOX_MM - 1.9, name, SMALL_PT, role="box-name")
            yield from _hand(plan.clockwise, label, wide) if name == BOXES[1] else (label,)
            x += wide


def _hand(clockwise: bool, label: Text, wide: float) -> Iterator[Primitive]:
    """The name of the thread's box and its hand behind it; the hand alone where the box is too narrow for both."""
    beside = wide - 3 * PAD_MM - label.width_mm
    if clockwise:
        hand = label._replace(text=RIGHT_HAND, x=label.x + wide - 2 * PAD_MM, anchor="end")
        yield from (label, hand) if hand.width_mm <= beside else (hand,)
        return
    sizes = [(pt, room) for room in (beside, wide - 2 * PAD_MM) for pt in LEFT_HAND_PTS]
    pt, room = next((pair for pair in sizes if left_hand_size_mm(pair[0])[0] <= pair[1]), sizes[-1])
    top = label.y + 1.5
    yield from (label,) if room == beside else ()
    yield from left_hand(label.x + wide - 2 * PAD_MM, top - left_hand_size_mm(pt)[1], pt, "end")
