"""The figures of a teaching set: sockets seen from above with and without marks, where the torque goes, the slack.

A socket is seen from above, facing its drive end: the opening, at the far end, is dashed. The ring round it is its
band, spread flat, so that the marks can be seen from above.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from ...drawing.fonts import (
    HEAD_PT,
    NOTE_PT,
    REGULAR,
    SEMIBOLD,
    SMALL_PT,
    cap_mm,
    line_pitch_mm,
    text_width_mm,
)
from ...drawing.primitives import Arc, Data, Drawing, Group, Line, Polyline, Primitive, Text, moved
from ...fastening.opening import opening_of
from ...fastening.spec import Stage
from ...figures.dial import NEARBY_DEG, Dial, Lanes, bent_arrow, grows_clockwise, upright_middle
from ...marks.places import features
from ...marks.stage_marks import StageMarks
from ...quantities.angles import Point, polar
from .demo import Shares

CORNER_RADIUS, CORNER_TICK, NUMBER_AT = 0.62, 0.88, 0.75

SQUARE, ARROW_AT = 0.36, 0.40
"""Over the socket's radius (our choice): the opening's corners, where their ticks begin, where their numbers stand, the
side of the drive square, the arrow round it."""

DEGREE_STEP = 5
"""Degrees between two ticks of a worksheet's ring; the ticks every 15° and 30° are longer."""

WITNESS_MM = 4.0

GAP_MM = 0.8
"""Height of the witness mark; space between the ring and what stands round it."""

FARTHEST_DEG = 60
"""How far a label may stand from its mark."""

BAR_MM = 7.0

LOOSE = 1.09
"""Opening over fastener in the slack figures: far looser than any real one, so that the slack shows."""

Box = tuple[float, float, float, float]


class View(NamedTuple):
    """A socket seen from above: `clockwise` tells how it tightens, `turned_deg` how far it has been turned.

    `mirrored` puts its marks on the wrong side of START, for the figure that warns of it. `radius` and `ring_mm` are
    the socket's and its ring's on paper.
    """

    points: int
    clockwise: bool
    stages: tuple[StageMarks, ...] = ()
    radius: float = 10.5
    ring_mm: float = 4.5
    turned_deg: float = 0.0
    mirrored: bool = False

    @property
    def outer(self) -> float:
        """Radius of the ring's outer edge."""
        return self.radius + self.ring_mm

    @property
    def dial(self) -> Dial:
        """An empty dial whose angles run from START against the tightening direction, like those of all marks."""
        ring = (self.radius, self.outer)
        way = grows_clockwise(self.clockwise, turns=True, wrong_way=self.mirrored)
        return Dial(Lanes(ring, self.radius, False, self.radius, ring), way, (0.0, 360.0))

    def seen_deg(self, deg: float) -> float:
        """Return where the mark at `deg` stands now, on the dial, whose zero is at the witness mark."""
        return (deg + (self.turned_deg if self.mirrored else -self.turned_deg)) % 360.0


def draw_blank(view: View, data: Data) -> Drawing:
    """Draw the socket of a worksheet: corner 1 up at the witness mark, degree ticks, no marks and no other numbers."""
    dial = view.dial
    for deg in range(0, 360, DEGREE_STEP):
        length = 3.0 if deg % 30 == 0 else 2.2 if deg % 15 == 0 else 1.4
        dial.radial(deg, view.radius, view.radius + length, "degree", (("deg", str(deg)),))
    return _boxed("exercise-socket", [*_body(view, 1), *dial.items, *_witness(view)], data)


def draw_key(view: View, data: Data) -> Drawing:
    """Draw a small socket with all its corners numbered, START up, the window hatched, and how the socket turns."""
    start = Text(0.0, view.outer + GAP_MM, "START", SMALL_PT, SEMIBOLD, "middle")
    arrow = _turn_arrow(view.radius * ARROW_AT, 230.0, view.clockwise)
    return _boxed("key-socket", [*_body(view, view.points), *_marks(view), *arrow, start], data)


def draw_view(view: View, name: str, numbered: bool = False) -> Drawing:
    """Draw a socket with its labelled marks, the witness mark above, and how the socket turns.

    A label that finds no room near its mark is left out.
    """
    witness = _witness(view)
    labels = _Labels(view.outer + GAP_MM, witness)
    dial = view.dial
    start = labels.put(("START",), dial.page_deg(view.seen_deg(0.0)))  # first: a window must not push it away
    stops: list[Text] = []
    for stage in view.stages:
        low, high = stage.stage.window or (stage.stage.turn_deg, stage.stage.turn_deg)
        stops += labels.put(stage.label, dial.page_deg(view.seen_deg((low + high) / 2)))
    body = _body(view, view.points if numbered else 0)
    arrow = _turn_arrow(view.radius * ARROW_AT, 230.0, view.clockwise)
    return _boxed(name, [*body, *_marks(view), *arrow, *witness, *stops, *start], ())


class _Labels:
    """Upright labels round a ring of `radius`, off each other and off what is `taken` already."""

    def __init__(self, radius: float, taken: Sequence[Primitive]) -> None:
        self.radius = radius
        self.boxes = [_box([item]) for item in taken]

    def put(self, lines: Sequence[str], at_deg: float) -> list[Text]:
        """Return lines beyond the ring, as near to a direction of the page as there is room; none without room."""
        for off in NEARBY_DEG:
            texts = self._block(lines, at_deg + off)
            if abs(off) <= FARTHEST_DEG and not any(_meet(_box(texts), box) for box in self.boxes):
                self.boxes.append(_box(texts))
                return texts
        return []

    def _block(self, lines: Sequence[str], at_deg: float) -> list[Text]:
        pitch, cap = line_pitch_mm(NOTE_PT), cap_mm(NOTE_PT)
        width = max(text_width_mm(line, NOTE_PT, SEMIBOLD) for line in lines)
        height = pitch * (len(lines) - 1) + cap
        x, y = upright_middle(at_deg, self.radius, width, height)
        top = y + height / 2 - cap
        return [
            Text(x, top - pitch * k, line, NOTE_PT, REGULAR if k else SEMIBOLD, "middle", role="label")
            for k, line in enumerate(lines)
        ]


def _box(items: Sequence[Primitive]) -> Box:
    """The box (left, bottom, right, top) that holds texts, lines, outlines and circles."""
    spots: list[Point] = []
    for item in items:
        if isinstance(item, Text | Polyline):
            spots += item.box if isinstance(item, Text) else item.points
        elif isinstance(item, Line):
            spots += ((item.x1, item.y1), (item.x2, item.y2))
        else:
            spots += ((item.cx - item.radius, item.cy - item.radius), (item.cx + item.radius, item.cy + item.radius))
    xs, ys = zip(*spots, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _meet(one: Box, other: Box) -> bool:
    """Tell whether two boxes come nearer than the gap that keeps labels apart."""
    return (
        one[0] < other[2] + GAP_MM and other[0] < one[2] + GAP_MM
        and one[1] < other[3] + GAP_MM and other[1] < one[3] + GAP_MM
    )  # fmt: skip


def _boxed(name: str, items: Sequence[Primitive], data: Data) -> Drawing:
    """Put a figure into a box of its own."""
    left, bottom, right, top = _box(items)
    return Drawing(right - left, top - bottom, moved(Group(name, tuple(items), data), -left, -bottom))


def _marks(view: View) -> list[Primitive]:
    """START and the stages' marks where they stand now."""
    dial = view.dial
    start_deg = view.seen_deg(0.0)
    dial.radial(start_deg, view.radius * CORNER_TICK, view.outer, "start")
    dial.flag(start_deg, view.radius, "start-flag")
    dial.stage_marks([_farther(stage, start_deg) for stage in view.stages])
    return dial.items


def _farther(stage: StageMarks, deg: float) -> StageMarks:
    """The same marks, standing farther round by `deg` because the socket has been turned."""
    if not deg:
        return stage
    given = stage.stage
    return stage._replace(stage=Stage(given.turn_deg + deg, given.plus_deg, given.minus_deg))


def _body(view: View, numbered: int) -> list[Primitive]:
    """Socket, drive square, opening, ring; a tick at every corner, the first `numbered` of them with their numbers."""
    dial = view.dial
    first_deg = dial.page_deg(view.seen_deg(0.0))
    half_diagonal = view.radius * SQUARE / math.sqrt(2)
    across_flats = 2 * view.radius * CORNER_RADIUS * opening_of(view.points).flats_per_corners
    dial.items += [
        Arc(0.0, 0.0, view.radius, 0.0, 360.0, "socket"),
        Arc(0.0, 0.0, view.outer, 0.0, 360.0, "rule"),
        Polyline(tuple(polar(half_diagonal, first_deg + deg) for deg in (45, 135, 225, 315)), "drive-square", True),
        Polyline(opening_of(view.points).outline(across_flats, first_deg), "opening", True),
    ]
    size = SMALL_PT if view.radius < 20.0 else NOTE_PT
    for corner in (found for found in features(view.points) if found.kind == "corner"):
        deg = view.seen_deg(corner.deg)
        dial.radial(deg, view.radius * CORNER_TICK, view.radius, "corner", (("index", str(corner.index)),))
        if corner.index <= numbered:
            x, y = polar(view.radius * NUMBER_AT, dial.page_deg(deg))
            below = cap_mm(size) / 2
            dial.items.append(Text(x, y - below, str(corner.index), size, SEMIBOLD, "middle", role="number"))
    return dial.items


def _witness(view: View) -> list[Primitive]:
    """The witness mark on the part, above the ring."""
    foot = view.outer + GAP_MM
    return [Line(0.0, foot, 0.0, foot + WITNESS_MM, "witness"), Text(1.2, foot + 1.6, "witness mark", NOTE_PT)]


def _turn_arrow(radius: float, sweep_deg: float, clockwise: bool) -> list[Primitive]:
    """A bent arrow round (0, 0), its gap at the bottom or its middle at the top."""
    way = -1 if clockwise else 1
    tail = 90.0 - way * sweep_deg / 2
    return [*bent_arrow(radius, tail, tail + way * sweep_deg)]


def draw_slack(radius: float, taken_up: bool) -> Drawing:
    """Draw a hexagon in a loose 6-point opening that turns clockwise: its slack left in, or taken up.

    The opening stands still on the page; when it turns clockwise, the fastener lags behind it, counterclockwise.
    """
    hexagon = opening_of(6)
    across_flats = 2 * radius * CORNER_RADIUS * hexagon.flats_per_corners
    slack_deg = hexagon.play_deg(LOOSE, 1.0)
    fastener = hexagon.outline(across_flats / LOOSE, 90.0 + (slack_deg if taken_up else -slack_deg))
    items = [
        Polyline(fastener, "fastener", True, 0.8),
        Arc(0.0, 0.0, radius, 0.0, 360.0, "socket"),
        Polyline(hexagon.outline(across_flats, 90.0), "rule-strong", True),
        *_turn_arrow(radius + 1.8, 70.0, clockwise=True),
    ]
    return _boxed("slack", items, (("taken-up", str(taken_up).lower()),))


def draw_shares(shares: Shares, width: float) -> Drawing:
    """Draw how a torque is spent as one bar: preload black, friction in the thread and under the head grey."""
    names = ("preload", "friction in the thread", "friction under the head")
    items: list[Primitive] = []
    x = 0.0
    for name, part, grey in zip(names, shares, (0.0, 0.62, 0.86), strict=True):
        end = x + width * part
        items += [
            Polyline(((x, 0.0), (end, 0.0), (end, BAR_MM), (x, BAR_MM)), "bar", True, grey),
            Text(x, BAR_MM + 1.2, f"{100 * part:.0f} %", HEAD_PT, SEMIBOLD),
            Text(x, -3.0, name, NOTE_PT),
        ]
        x = end
    return _boxed("torque-shares", items, ())
