"""The plan of the fasteners with the numbers of their places."""

from __future__ import annotations

import math

from ...drawing.fonts import BODY_PT, NOTE_PT, SEMIBOLD, cap_mm
from ...drawing.primitives import Arc, Drawing, Group, Polyline, Primitive, Text, moved
from ...errors import LayoutError
from ...fastening.spec import TighteningSpec
from ...figures.dial import bent_arrow
from ...figures.room import Box
from ...quantities.angles import Point, polar
from ...sheets.blocks import paragraph
from ...sheets.words import direction
from .plan import Fastener, RecordPlan

CIRCLE_PITCH_MM, CIRCLE_RADII_MM = 10.0, (22.0, 48.0)

ROW_PITCHES_MM, ROW_MM = (9.0, 14.0), 96.0
"""Size of the plan where the paper has room (our choice): pitch and radii of a circle, pitches and length of a row."""

LEAST_PITCH_MM, LEAST_PITCH_OF_THREE_MM = 3.4, 4.4
"""Least pitch at which a hexagon holds two digits of 5 pt, and three."""

LEAST_DOT_MM = 1.2
"""Least pitch on a circle whose numbers stand inside it, at every second, fifth or tenth fastener."""

NUMBER_APART_MM, NUMBER_IN_MM = 6.0, 3.0
"""How far such numbers are from each other at least, and from their hexagons."""

FLATS_PER_PITCH, MOST_FLATS_MM = 0.78, 8.5
"""Width across flats of a fastener's hexagon: its part of the pitch, and the largest."""

NUMBER_PT_PER_MM, NUMBER_OF_THREE_PT_PER_MM, NUMBER_SIZES_PT = 1.7, 1.5, (5.0, 11.0)
"""Type size of a number for each mm across flats, of one of three digits, and its limits."""

EDGE_MM = 8.0
"""From the fasteners' centres to the outline of the part."""

LEAST_FREE_MM = 0.6
"""Least space between a corner of a hexagon and the outline (our choice)."""

TOP_BOX_MM, TOP_MARK_MM = (48.0, 7.0), 3.0
"""The box for what is at the top of the part, and the height of the triangle that points to it."""

BESIDE_MM, LEAST_BOX_MM = 1.5, 26.0
"""The space between the outline and a box beside its top, and the least width of that box (our choice)."""

ARROW_RADIUS_MM, ARROW_HEAD_MM, ARROW_WORDS_MM = 3.6, 2.2, 44.0


def draw_plan(
    plan: RecordPlan, width: float, height: float, sparse: bool = False, edge_mm: float = EDGE_MM, low: bool = False
) -> Drawing:
    """Return the plan within `width` × `height` mm: outline, numbered fasteners, and the box at the top of the part.

    `edge_mm` lie between the fasteners' centres and the outline of the part. Hexagons carry their order and position as
    data. A `sparse` plan of a circle may leave out numbers, a `low` one has its box beside the top. Raises LayoutError
    when numbers would be too small to read.
    """
    low = low and plan.job.rows is None
    top_mm = TOP_MARK_MM if low else TOP_BOX_MM[1] + TOP_MARK_MM
    unit, flats, every = _scale(plan, width - 2 * edge_mm, height - top_mm - 2 * edge_mm, sparse)
    flats = min(flats, math.sqrt(3) * (edge_mm - LEAST_FREE_MM))
    reach_x, reach_y = (unit * reach + edge_mm for reach in _reach(plan))
    box = _box_beside(reach_x, width) if low else _box_above(reach_y, width)
    if low and box.right - box.left < LEAST_BOX_MM:
        return draw_plan(plan, width, height, sparse, edge_mm)
    items = (
        _outline(plan.job.rows is None, reach_x, reach_y),
        *(_fastener(fastener, unit, flats, every, plan.job.fasteners) for fastener in plan.fasteners),
        _top_box(reach_y, box),
    )
    left = max(reach_x, -box.left)
    content = moved(Group("plan", items), left, reach_y)
    return Drawing(left + max(reach_x, box.right), 2 * reach_y + top_mm, content)


def _box_above(reach_y: float, width: float) -> Box:
    """The box above the triangle at the top of the outline, within a width."""
    across, high = TOP_BOX_MM
    half, low = min(width, across) / 2, reach_y + TOP_MARK_MM
    return Box(-half, low, half, low + high)


def _box_beside(radius: float, width: float) -> Box:
    """The box beside the triangle at the top of a round outline, within a width that it shares with that."""
    across, high = TOP_BOX_MM
    top = radius + TOP_MARK_MM
    left = math.sqrt(max(0.0, radius**2 - (top - high) ** 2)) + BESIDE_MM
    return Box(left, top - high, min(left + across, width - radius), top)


def _reach(plan: RecordPlan) -> Point:
    """How far the fasteners' centres reach from the middle, to the side and up."""
    if plan.job.rows is None:
        return (1.0, 1.0) if plan.job.fasteners > 1 else (0.0, 0.0)
    xs, ys = zip(*(fastener.place for fastener in plan.fasteners), strict=True)
    return max(xs), max(ys)


def _scale(plan: RecordPlan, width: float, height: float, sparse: bool) -> tuple[float, float, int]:
    """Millimetres for a unit of the fasteners' places, the hexagons' width across flats, and which are numbered.

    The centres keep within `width` × `height`.
    Every fastener is numbered in its hexagon (1), or every second, fifth or tenth beside it.
    """
    count, (reach_x, reach_y) = plan.job.fasteners, _reach(plan)
    least_pitch = LEAST_PITCH_MM if count < 100 else LEAST_PITCH_OF_THREE_MM
    if plan.job.rows is None:
        least, most = CIRCLE_RADII_MM
        wanted = max(min(most, max(least, count * CIRCLE_PITCH_MM / math.tau)), count * least_pitch / math.tau)
        chord = 2 * math.sin(math.pi / max(2, count))
    else:
        least, most = ROW_PITCHES_MM
        wanted = min(most, max(least, ROW_MM / max(1.0, 2 * reach_x)))
        chord = 1.0
    rooms = [side / 2 / reach for side, reach in ((width, reach_x), (height, reach_y)) if reach]
    unit = min([wanted, *rooms])
    pitch, every = unit * chord, 1
    if sparse and plan.job.rows is None and LEAST_DOT_MM <= pitch < least_pitch:
        every = next((k for k in (2, 5, 10) if k * pitch >= NUMBER_APART_MM), 10)
    elif pitch < least_pitch:
        raise LayoutError(
            f"a plan of {plan.job.pattern} has no room for legible numbers on this paper",
            f"{least_pitch:g} mm or more from fastener to fastener", "choose a larger {@paper}", field="paper",
        )  # fmt: skip
    return unit, min(MOST_FLATS_MM, FLATS_PER_PITCH * pitch), every


def _outline(round_part: bool, reach_x: float, reach_y: float) -> Primitive:
    if round_part:
        return Arc(0, 0, reach_x, 0, 360, "part-outline")
    corners = ((-reach_x, -reach_y), (reach_x, -reach_y), (reach_x, reach_y), (-reach_x, reach_y))
    return Polyline(corners, "part-outline", closed=True)


def _fastener(fastener: Fastener, unit: float, flats: float, every: int, count: int) -> Group:
    """A hexagon with the number of the fastener's place, in it or, of `every` so many of the `count`, towards the
    middle.
    """
    x, y = fastener.place[0] * unit, fastener.place[1] * unit
    corners = tuple(polar(flats / math.sqrt(3), 60.0 * k) for k in range(6))
    least, most = NUMBER_SIZES_PT
    per_mm = NUMBER_PT_PER_MM if fastener.position < 100 else NUMBER_OF_THREE_PT_PER_MM
    size = min(most, max(least, per_mm * flats))
    baseline = -cap_mm(size) / 2
    data = (("order", str(fastener.number)), ("position", str(fastener.position)))
    inwards = -NUMBER_IN_MM / unit if every > 1 else 0.0
    number = Text(
        inwards * x, inwards * y + baseline, str(fastener.position), size, SEMIBOLD, "middle", role="place-number"
    )
    to_first = count + 1 - fastener.position
    numbered = every == 1 or fastener.position == 1 or (fastener.position % every == 0 and to_first >= every)
    items: tuple[Primitive, ...] = (Polyline(corners, "fastener", closed=True), *([number] if numbered else []))
    return moved(Group("fastener", items, data), x, y)


def _top_box(reach_y: float, box: Box) -> Group:
    """A triangle at the top of the outline, and a box to write in what is there."""
    left, bottom, right, top = box
    tip = reach_y + TOP_MARK_MM
    outline = Polyline(((left, bottom), (right, bottom), (right, top), (left, top)), "box", True)
    triangle = Polyline(((0.0, tip - 0.4), (-1.6, tip - 2.6), (1.6, tip - 2.6)), "arrow-head", True, 0.0)
    return Group("plan-top", (triangle, outline, Text(left + 1.6, bottom + 2.4, "this side up:", NOTE_PT)))


def tightening_arrow(spec: TighteningSpec) -> Drawing:
    """A round arrow the way the fasteners are tightened, with words."""
    words = paragraph(f"Tighten {direction(spec)}.", ARROW_WORDS_MM, BODY_PT, SEMIBOLD)
    way = -1.0 if spec.clockwise else 1.0  # counterclockwise on the page is positive
    bent = bent_arrow(ARROW_RADIUS_MM, 90.0 - way * 150.0, 90.0 + way * 150.0, ARROW_HEAD_MM, 1.0)
    across = 2 * (ARROW_RADIUS_MM + 1.0)
    height = max(across, words.height_mm)
    arrow = moved(Group("tightening", bent), across / 2, height / 2)
    text = moved(words.content, across + 3.0, (height - words.height_mm) / 2)
    return Drawing(across + 3.0 + words.width_mm, height, Group("direction", (arrow, text)))
