"""The diameter tape as a drawing."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence

from ...drawing.fonts import REGULAR, SEMIBOLD, SMALL_PT
from ...drawing.primitives import Drawing, Group, Line, Polyline, Primitive, Text, moved
from ...quantities.shown import plain_number, shown_length
from .layout import HALF_MM, HEIGHT_MM, NUMBER_PT, OVER_EDGE_MM, TAB_INSET_MM, TAB_MM, TapeLayout

NUMBER_BASE_MM = 3.3
"""Least space between two numbers; their baseline above the reading edge."""


def draw_tape(plan: TapeLayout) -> tuple[Drawing, ...]:
    """Draw the tape, one drawing a piece, from the tongue to the tail's end.

    Each has the group `diameter-tape`; of several pieces each says its number in `data-piece`. Graduations and the
    vernier's lines carry their OD, or difference of OD, in mm as `data-od`. The index line is the vernier's line 0.
    """
    items = [*_graduations(plan), *_vernier(plan), *_words(plan)]
    ends = [-plan.grip_mm, *plan.cuts, plan.end]
    return tuple(
        _piece(plan, items, number, a, b) for number, (a, b) in enumerate(itertools.pairwise(ends), 1)
    )  # fmt: skip


def graduations_between(plan: TapeLayout, a: float, b: float) -> list[int]:
    """Return the numbers of the graduations from u = a to u = b."""
    return [number for number in range(plan.first, plan.last + 1) if a <= plan.u_of(number) <= b]


def _graduations(plan: TapeLayout) -> Iterator[Primitive]:
    """The tail's lines upwards from the reading edge, and the numbers over them."""
    for number in range(plan.first, plan.last + 1):
        u, numbered = plan.u_of(number), number % plan.per_number == 0
        top = 2.8 if numbered else 2.2 if number % plan.scale.middle == 0 else 1.5
        data = (("od", plain_number(plan.scale.od_mm(number))),)
        yield Line(u, HALF_MM - OVER_EDGE_MM, u, HALF_MM + top, "graduation", data)
        if numbered:
            text, y = plan.number_text(number), HALF_MM + NUMBER_BASE_MM
            yield Text(u, y, text, NUMBER_PT, SEMIBOLD, "middle", role="number")


def _vernier(plan: TapeLayout) -> Iterator[Primitive]:
    """The tongue's lines downwards from the reading edge: the index over the whole tongue, then the vernier."""
    scale = plan.scale
    yield Line(0.0, 0.0, 0.0, HALF_MM + OVER_EDGE_MM, "index")
    yield Polyline(((0.0, 1.9), (0.9, 0.0), (-0.9, 0.0)), "index-flag", True, 0.0)
    for k in range(1, scale.divisions + 1):
        u, figured = math.pi * scale.offset_mm(k), scale.figure == 1 or k % 2 == 0
        data = (("od", plain_number(scale.offset_mm(k))),)
        yield Line(u, HALF_MM - (1.9 if figured else 1.4), u, HALF_MM + OVER_EDGE_MM, "vernier", data)
        if figured:
            yield Text(u, HALF_MM - 3.5, str(k * scale.figure), SMALL_PT, anchor="middle", role="number")


def _words(plan: TapeLayout) -> list[Primitive]:
    """What the vernier counts, the body's unit and stock, and where to hold and to pull."""
    body = plan.tongue_end + 0.8
    stock = f"paper {shown_length(plan.stock_mm, 'mm')}"
    return [
        Text(1.6, 0.75, plan.scale.counts, SMALL_PT, role="words"),
        Text(body, HALF_MM + 3.4, f"OD in {plan.scale.name}", SMALL_PT, SEMIBOLD, role="words"),
        Text(body, HALF_MM + 1.2, stock, SMALL_PT, role="words"),
        Text(-plan.grip_mm + 0.9, 2.5, "hold", SMALL_PT, role="words"),
        Text(plan.end - 1.2, HALF_MM + 2.4, "pull", SMALL_PT, REGULAR, "end", role="words"),
    ]


def _piece(plan: TapeLayout, items: Sequence[Primitive], number: int, a: float, b: float) -> Drawing:
    """The piece from u = a to u = b with its outline and tab, moved to begin at x = 0."""
    last = not plan.cuts or b == plan.end
    own = [item for item in items if a <= _left(item) < b]
    content = [*own, *_outline(plan, a, b, first=number == 1, last=last), *([] if last else _tab(plan, b))]
    data = (("piece", str(number)),) if plan.cuts else ()
    width = b - a + (0.0 if last else TAB_MM)
    foot = plan.edges(a)[0] - (OVER_EDGE_MM if a >= plan.tail_start else 0.0)
    return Drawing(width, HEIGHT_MM - foot, moved(Group("diameter-tape", tuple(content), data), -a, -foot))


def _left(item: Primitive) -> float:
    if isinstance(item, Text):
        return item.box[0][0]
    assert isinstance(item, Line | Polyline)  # a tape is straight
    return item.x1 if isinstance(item, Line) else min(x for x, _ in item.points)


def _outline(plan: TapeLayout, a: float, b: float, first: bool, last: bool) -> Iterator[Primitive]:
    """The cut lines of a piece, and the splices at its ends.

    The reading edges are solid: what the scissors leave of them is the base line of the graduations.
    """
    steps = [u for u in (plan.tongue_end, plan.tail_start) if a < u < b]
    yield from (Line(u, HALF_MM, u, 0.0 if u == plan.tail_start else HEIGHT_MM, "cut") for u in steps)
    for left, right in itertools.pairwise([a, *steps, b]):
        yield from (Line(left, y, right, y, "reading-edge" if y == HALF_MM else "cut") for y in plan.edges(left))
    begin, end = plan.edges(a), plan.edges(math.nextafter(b, a))
    yield Line(a, begin[0], a, begin[1], "cut" if first else "splice-edge")
    yield Line(b, end[0], b, end[1], "cut" if last else "splice")


def _tab(plan: TapeLayout, u: float) -> list[Primitive]:
    """The glue tab right of a splice, with its words."""
    (foot, top), right = plan.edges(u), u + TAB_MM
    low, high = foot + TAB_INSET_MM, top - TAB_INSET_MM
    middle = (low + high) / 2
    return [
        Line(u, low, right, low, "tab-edge"),
        Line(u, high, right, high, "tab-edge"),
        Line(right, low, right, high, "tab-edge"),
        Line(u, foot, u, low, "tab-edge"),
        Line(u, high, u, top, "tab-edge"),
        Text(u + TAB_MM / 2, middle + 0.6, "glue under", SMALL_PT, anchor="middle"),
        Text(u + TAB_MM / 2, middle - 1.7, "next piece", SMALL_PT, anchor="middle"),
    ]
