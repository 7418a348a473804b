"""A socket seen from above: the outline of its opening, its corners numbered, and where turns end on it.

Seen from above means drive end up, looking down on the drive end: the opening lies at the far end and is dashed. The
socket turns with the fastener, so its marks lie against the tightening direction: for a right-hand thread, tightened
clockwise, corners and turns are counted counterclockwise from START; for a left-hand thread clockwise.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from ..drawing.fonts import REGULAR, SEMIBOLD, Weight, cap_mm, text_width_mm
from ..drawing.primitives import Group, Polyline, Primitive, Text
from ..errors import SocketError
from ..fastening.opening import corner_radius_mm, opening_outline
from ..marks.places import Feature, features
from ..quantities.angles import SAME_DEG, arc_deg, polar, position_deg
from ..quantities.shown import shown_degrees, shown_length
from .dial import Dial, Lanes, grows_clockwise, upright_middle

NUMBER_PT = 8.0

TURN_EM = 1.25
"""Type size of the corners' numbers, and how many times larger turns and START are written (our choice)."""

MARK_PART = 0.75
"""How much of the wall between corner and rim a mark takes (our choice)."""

GAP_MM = 0.9
"""Space between the rim, the corners' numbers and the turns (our choice)."""

START_WORD = "START"


def socket_reach_mm(od_mm: float, size_pt: float = NUMBER_PT) -> tuple[float, float]:
    """Return how far a socket's view with its turns reaches from its axis, to either side and up or down, in mm."""
    turns_from, size = _turns_from_mm(od_mm, size_pt), size_pt * TURN_EM
    return turns_from + text_width_mm("120°", size, SEMIBOLD), turns_from + cap_mm(size) + GAP_MM


def draw_socket(
    points: int,
    od_mm: float,
    across_flats_mm: float,
    *,
    clockwise: bool = True,
    turns_deg: Sequence[float] = (),
    drive_mm: float = 0.0,
    size_pt: float = NUMBER_PT,
) -> Group:
    """Draw a socket seen from above round (0, 0), START and corner 1 up, as a group "socket-view".

    `clockwise` is how the thread tightens seen from above; START, the corners' numbers and a mark for each of
    `turns_deg` lie the other way round, and an arrow shows how the socket turns. `drive_mm` is the side of the driving
    square, 0 to leave it out, `size_pt` the type size of the numbers. Turns nearer than some 15° to START or to each
    other write over one another. Raises SocketError for points that no socket has or a rim inside the opening's
    corners, and RangeError for an opening that is not more than zero.
    """
    rim, corner = od_mm / 2, corner_radius_mm(points, across_flats_mm)
    if not corner < rim < math.inf:
        raise SocketError(
            f"an outside diameter of {shown_length(od_mm, 'mm')} cannot hold this opening",
            f"more than {shown_length(2 * corner, 'mm')}, the opening across its corners", "check {@od} and {@opening}",
            od_mm,
        )  # fmt: skip
    inner = rim - MARK_PART * (rim - corner)
    turns_from = _turns_from_mm(od_mm, size_pt)
    lanes = Lanes((inner, rim), rim, True, rim, (rim, turns_from + 2.0))
    dial = Dial(lanes, grows_clockwise(clockwise, turns=True), (0.0, 360.0))
    dial.arc(rim, 0.0, 360.0, "socket")
    dial.items.append(Polyline(opening_outline(points, across_flats_mm), "opening", True))
    if drive_mm:
        half = drive_mm / 2
        dial.items.append(Polyline(((-half, -half), (half, -half), (half, half), (-half, half)), "drive-square", True))
    corners = [feature for feature in features(points) if feature.kind == "corner"]
    dial.items += [
        _upright(str(c.index), dial.page_deg(c.deg), rim + GAP_MM, size_pt, "corner-number") for c in corners
    ]
    _start(dial, turns_from, size_pt)
    for deg in turns_deg:
        _turn(dial, deg, corners, turns_from, size_pt)
    dial.arrow("", forwards=False)
    return Group("socket-view", tuple(dial.items), (("points", str(points)),))


def _turns_from_mm(od_mm: float, size_pt: float) -> float:
    """Where the turns are written: beyond the rim and the widest number."""
    return od_mm / 2 + text_width_mm("12", size_pt) + 2 * GAP_MM


def _start(dial: Dial, turns_from: float, size_pt: float) -> None:
    """START's line and flag in the wall, its word beyond corner 1; the arrow keeps clear of the word."""
    inner, rim = dial.lanes.marks
    dial.radial(0.0, inner, rim, "start")
    half = arc_deg(math.tau * inner, 0.4 * (rim - inner))
    base = (polar(inner, dial.page_deg(half)), polar(inner, dial.page_deg(-half)))
    dial.items.append(Polyline((polar(rim, dial.page_deg(0.0)), *base), "start-flag", True, 0.0))
    size = size_pt * TURN_EM
    dial.items.append(_upright(START_WORD, dial.page_deg(0.0), turns_from, size, "label", SEMIBOLD))
    half = math.degrees(math.asin(min(1.0, (text_width_mm(START_WORD, size, SEMIBOLD) / 2 + 2 * GAP_MM) / turns_from)))
    dial.taken_text.append((-half, half))


def _turn(dial: Dial, deg: float, corners: Sequence[Feature], turns_from: float, size_pt: float) -> None:
    """The mark of one turn and its degrees; where no corner's number lies between the two, a leader joins them."""
    inner, rim = dial.lanes.marks
    data = (("deg", f"{deg:g}"),)
    dial.radial(deg, inner, rim, "turn", data)
    if all(abs(corner.deg - position_deg(deg)) > SAME_DEG for corner in corners):
        dial.radial(deg, rim, turns_from - GAP_MM, "turn-leader", data)
    text = shown_degrees(deg)
    dial.items.append(_upright(text, dial.page_deg(deg), turns_from, size_pt * TURN_EM, "turn-label", SEMIBOLD))


def _upright(text: str, at: float, radius: float, size_pt: float, role: str, weight: Weight = REGULAR) -> Primitive:
    """Text that stays upright beyond `radius`: its box touches the circle's tangent there and lies beyond it."""
    width, height = text_width_mm(text, size_pt, weight), cap_mm(size_pt)
    x, y = upright_middle(at, radius, width, height)
    return Text(x, y - height / 2, text, size_pt, weight, "middle", role=role)
