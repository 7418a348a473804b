"""What stands on a strip besides START and STOP: the second, third and fourth rank of its lettering, in that order."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

from ..drawing.emphasis import left_hand, left_hand_size_mm, underlined
from ..drawing.fonts import MM_PER_PT, SEMIBOLD, cap_mm, ink_limits_mm, text_width_mm
from ..drawing.primitives import Line, Polyline, Primitive, Text
from .room import Box, Edges, Interval, is_near
from .strip import Strip, lettered
from .strip_blocks import LEAST_OVER_MM, Row, aside, block, broken
from .strip_layout import ASCENT_EM, LANE_EDGE_MM, LEAST_PT, SIDE, StripLayout, span
from .strip_numbers import put_numbers

ARROW_MM, LEAST_ARROW_MM = 12.0, 3.5

GOOD_PART = 0.8
"""Part of its best size down to which the arrow's place counts more than its size."""

UPSIDE_DOWN_FROM_MM = 25.0
"""Least height at which START and STOP stand once more for a reader who looks from the other side (our choice)."""

TAPE_NOTES = ("▲ tape this edge to the socket", "▲ tape to the socket")


def filled(plan: StripLayout, cuts: Sequence[float] = ()) -> Strip:
    """Lay out a strip's texts, rank by rank; what finds no room goes below it. Raises what `lettered` raises."""
    strip = lettered(plan, cuts)
    arrow = _arrow(strip)
    if not plan.clockwise:
        _left_hand(strip)
    for stage in plan.stages:
        if stage.aim_label:
            # among the numbers it would be taken for the name of the tick below it; the aim line says it all
            strip.note_beside(stage, stage.aim_label, strip.numbers_top, elsewhere=False)
    _edge_note(strip)
    if plan.height_mm - plan.foot_mm >= UPSIDE_DOWN_FROM_MM:
        _upside_down(strip)
    put_numbers(strip)
    ends = [plan.lane_ends()[0], *cuts, plan.lane_ends()[1]]
    said = ""
    for piece, (left, right) in enumerate(itertools.pairwise(ends), 1):
        begin = _piece_name(strip, piece, len(cuts) + 1, left, right) if cuts else left
        lane, arrow = _lane(strip, begin, right, arrow)
        said += lane
        # among the rows of a trim band, words of a turn alone would look like a mark's
        elsewhere = [plan.ident] if plan.foot_mm else [plan.ident, plan.spec_line]
        said += " ".join(_elsewhere(strip, _named(text), left, right) for text in elsewhere if text not in lane)
    if not arrow:
        strip.below.insert(0, f"the socket turns {'to the left' if plan.clockwise else 'to the right'}")
    strip.below += [line for line in (plan.spec_line, plan.socket_line) if line not in said]
    return strip


# -- second rank


def _places(strip: Strip, width: float, height: float, floor: float | None = None) -> Iterator[tuple[Interval, float]]:
    """Every free interval for something of a width and height, with its upper edge, the highest first.

    With a `floor` only those above it, the lowest first, from right to left. Of neighbouring heights at which the same
    is free only the first is yielded: no other would be chosen.
    """
    tops = strip.tops(height)
    if floor is not None:
        tops = [top for top in reversed(tops) if top - height >= floor]
    for free, top in strip.room.places(width, height, tops):
        for room in free if floor is None else reversed(free):
            yield room, top


def _arrow(strip: Strip) -> bool:
    """An arrow for the way the socket turns, beginning at START if it can; tell whether it found room."""
    clockwise, sizes = strip.plan.clockwise, strip.sizes(strip.ranks.second_pt)
    start, (left, right) = strip.plan.x_of(0), strip.plan.ends(0.0)

    def from_start(room: Interval) -> float:
        """How far a room lies from START in the direction of rising angles."""
        return (room[0] - start if clockwise else start - room[1]) % (right - left)

    large = [size for size in sizes if size >= GOOD_PART * sizes[0]]
    for words, tried in itertools.product(("socket turns", "turns", ""), (large, sizes)):
        fitting = []
        for size in tried:
            scale = size / 6.0
            height = max(1.8 * scale, cap_mm(size))
            wide = text_width_mm(words, size, SEMIBOLD) + scale if words else 0.0
            fitting += [
                (top - height < strip.numbers_top, round(from_start(room), 1), -size, -top, room, wide, height)
                for room, top in _places(strip, wide + LEAST_ARROW_MM * scale, height)
            ]
        if fitting:
            _, _, size, top, room, wide, height = min(fitting)
            length = min(ARROW_MM * -size / 6.0, room[1] - room[0] - wide)
            begin = room[0] if clockwise else room[1] - wide - length
            box = Box(begin, -top - height, begin + wide + length, -top)
            _put_arrow(strip, Row(words, -size, SEMIBOLD), length, box)
            return True
    return False


def _put_arrow(strip: Strip, words: Row, length: float, box: Box) -> None:
    clockwise, half = strip.plan.clockwise, 0.9 * words.size_pt / 6.0
    y = (box.top + box.bottom) / 2
    tip, tail = (box.left, box.left + length) if clockwise else (box.right, box.right - length)
    back = tip + (2.0 * half if clockwise else -2.0 * half)
    strip.texts.append(Line(back, y, tail, y, "arrow"))
    strip.texts.append(Polyline(((tip, y), (back, y + half), (back, y - half)), "arrow-head", True, 0.0))
    if words.text:
        x, anchor = (box.right, "end") if clockwise else (box.left, "start")
        strip.texts.append(
            Text(x, y - cap_mm(words.size_pt) / 2, words.text, words.size_pt, SEMIBOLD, anchor, role="words")  # type: ignore[arg-type]
        )
    strip.room.take(aside(box))


def _left_hand(strip: Strip) -> None:
    """LEFT-HAND in white on black, as near to START as it fits; where it does not, the lane says it."""
    for size in strip.sizes(strip.ranks.second_pt * 1.1):
        width, height = left_hand_size_mm(size)
        fitting = [
            (top - height < strip.numbers_top, abs((room[0] + room[1]) / 2 - strip.plan.x_of(0)), -top, room)
            for room, top in _places(strip, width, height)
        ]
        if fitting:
            _, _, top, room = min(fitting)
            strip.texts += left_hand(room[0], -top - height, size)
            strip.room.take(aside(Box(room[0], -top - height, room[0] + width, -top)))
            return


def _edge_note(strip: Strip) -> None:
    """ "This edge at the fastener" with a triangle that points down to the edge, above the numbers if it can."""
    row_tops = [
        strip.plan.foot_mm + y + cap_mm(strip.ranks.third_pt) + 0.1 + LEAST_OVER_MM for y in strip.ranks.numbers_mm
    ]
    for floor in (*reversed(row_tops), strip.plan.foot_mm):
        for text in strip.plan.edge_notes:
            if _put_edge_note(strip, text, floor):
                return
    edge = "cut edge" if strip.plan.foot_mm else "the edge with the scale"
    strip.below.append(f"▼ {edge} at the fastener")


def _put_edge_note(strip: Strip, text: str, floor: float) -> bool:
    """Put the note above `floor` but as low as it fits."""
    for size in strip.sizes((strip.ranks.second_pt + strip.ranks.third_pt) / 2):
        scale = size / 5.0
        row = Row(text, size)
        width, height = row.width_mm + 2.2 * scale, row.ink[1] - row.ink[0]
        for (left, _), top in _places(strip, width, height, floor):
            x, y = left + 0.8 * scale, top - row.ink[1]
            corners = ((x, y), (x + 0.8 * scale, y + 1.2 * scale), (x - 0.8 * scale, y + 1.2 * scale))
            strip.texts.append(Polyline(corners, "edge-flag", True, 0.0))
            strip.texts.append(Text(left + 2.2 * scale, y, text, size, role="words"))
            strip.room.take(aside(Box(left, top - height, left + width, top)))
            return True
    return False


def _upside_down(strip: Strip) -> None:
    """START and STOP with its window once more for who works overhead, where they cost nothing else."""
    names = [text for text in strip.texts if isinstance(text, Text) and text.role == "label"]
    size = names[0].size_pt
    both = (False, True)
    _turned_block(strip, ["START"], size, (strip.plan.x_of(0),) * 2, both)
    for stage in strip.plan.stages:
        own = [right for right in both if strip.owns(stage, strip.gap_beside(stage, right is strip.plan.clockwise))]
        others = strip.others(stage)
        box = _turned_block(strip, stage.label, size, span(strip.plan, stage), own, others)
        if box is not None:
            strip.say(stage, box)


def _turned_block(
    strip: Strip,
    words: Sequence[str],
    size: float,
    edges: Interval,
    sides: Sequence[bool],
    others: Sequence[Edges] = (),
) -> Box | None:
    """Put words upside down beside a mark's `edges`, right of it or left of it as `sides` tells, away from others."""
    for part in (1.0, 0.8, 0.6):
        lines = block(*[Row(word, part * size, SEMIBOLD) for word in words])
        for to_right in sides:
            left = edges[1] + SIDE if to_right else edges[0] - SIDE - lines.width_mm
            for top in strip.tops(lines.height_mm):
                box = Box(left, top - lines.height_mm, left + lines.width_mm, top)
                if strip.room.fits(box) and not is_near(box, others):
                    x, anchor = (box.left, "end") if to_right else (box.right, "start")
                    for row, y in zip(lines.rows, lines.baselines, strict=True):
                        strip.texts.append(
                            Text(x, box.bottom - y, row.text, row.size_pt, SEMIBOLD, anchor, 180.0, "turned-label")  # type: ignore[arg-type]
                        )
                    strip.room.take(box.grown(LEAST_OVER_MM))
                    return box
    return None


# -- fourth rank


def _piece_name(strip: Strip, number: int, of: int, left: float, right: float) -> float:
    """Which piece of which stage's band this is, where the line along the drive edge begins; return where it goes on.

    Without it pieces look alike, and joined in a wrong order they are still as long as the band. On a piece too short
    for that it stands elsewhere.
    """
    stages, name = strip.plan.stages, f"piece {number} of {of}"
    full = f"{stages[0].stage_name}, {name}" if len(stages) == 1 and stages[0].stage_name else name
    best = max(LEAST_PT, min(strip.ranks.fourth_pt, 7.0))
    for text, size in itertools.product((full, name), (best, LEAST_PT)):
        end = left + SIDE + text_width_mm(text, size, SEMIBOLD)
        if end <= right - SIDE:
            y = strip.plan.height_mm - LANE_EDGE_MM - ink_limits_mm(text, size, SEMIBOLD)[1]
            strip.texts.append(Text(left + SIDE, y, text, size, SEMIBOLD, role="piece"))
            return end + SIDE
    _elsewhere(strip, name, left, right)
    return left


def _lane(strip: Strip, left: float, right: float, arrow: bool) -> tuple[str, bool]:
    """The line along the drive edge of one piece: what the strip is for, as much of it as finds room; return it.

    Where there was no room for the arrow yet, it stands behind it; return whether there is one now.
    """
    plan, size = strip.plan, strip.ranks.fourth_pt
    left, right = left + SIDE, right - SIDE
    y = plan.height_mm - LANE_EDGE_MM - ASCENT_EM * size * MM_PER_PT
    if not plan.clockwise and not any(_says_left_hand(item, left, right) for item in strip.texts):
        width, height = left_hand_size_mm(LEAST_PT)
        if width <= right - left:
            highest = plan.height_mm - LANE_EDGE_MM - height
            strip.texts += left_hand(left, min(y + (cap_mm(size) - height) / 2, highest), LEAST_PT)
            left += width + 0.6
        else:  # on a short last piece the closure scale leaves too little
            _left_hand_below(strip, left, right)
    for text, least in _lane_texts(plan, min(size, 6.0)):
        for each in (size, 7.0, 6.5, 6.0, 5.5, 5.0):
            if least <= each <= size and text_width_mm(text, each) <= right - left:
                low = plan.height_mm - LANE_EDGE_MM - ink_limits_mm(text, each)[1]
                strip.texts.append(Text(left, min(y, low), text, each, role="lane"))
                if text.startswith(plan.ident):
                    strip.texts += underlined(Text(left, min(y, low), plan.ident, each, role="lane"))[1:]
                left += text_width_mm(text, each) + 2.0
                beyond = left if arrow else _lane_arrow(strip, left, right, y, each)
                _tape_note(strip, beyond, right, y, each)
                return text, arrow or beyond > left
    return "", arrow


def _left_hand_below(strip: Strip, left: float, right: float) -> None:
    """LEFT-HAND below the lane, as high as it fits into a room that begins within it."""
    width, height = left_hand_size_mm(LEAST_PT)
    for (a, _), top in _places(strip, width, height):
        if left - LEAST_OVER_MM <= a < right:
            strip.texts += left_hand(a, top - height, LEAST_PT)
            strip.room.take(Box(a, top - height, a + width, top).grown(LEAST_OVER_MM))
            return


def _lane_arrow(strip: Strip, left: float, right: float, y: float, size: float) -> float:
    """The arrow for the way the socket turns, on the line along the drive edge; return where it ends."""
    words = Row("socket turns", size, SEMIBOLD)
    width = words.width_mm + size / 6.0 * (1.0 + LEAST_ARROW_MM)
    if width > right - left:
        return left
    _put_arrow(strip, words, LEAST_ARROW_MM * size / 6.0, Box(left, y, left + width, y + cap_mm(size)))
    return left + width + 2.0


def _lane_texts(plan: StripLayout, good_pt: float) -> Iterator[tuple[str, float]]:
    """What to say along the drive edge, the most first, each with the least type size that it is to have."""
    ident = [plan.ident] if plan.ident else []
    full = " · ".join([*ident, plan.spec_line, plan.socket_line])
    spec = " · ".join([*ident, plan.spec_line, plan.od_text])
    yield from ((text, least) for text in (full, spec) for least in (good_pt, LEAST_PT))
    if plan.stages:
        turns = ", ".join(stage.stage.in_degrees for stage in plan.stages)
        yield " · ".join([*ident, turns, plan.od_text]), LEAST_PT
    yield " · ".join([*ident, plan.od_text]), LEAST_PT
    for count in range(len(plan.ident) - 1, 0, -1):
        yield f"{plan.ident[:count]}… · {plan.od_text}", LEAST_PT
    yield plan.od_text, LEAST_PT


def _elsewhere(strip: Strip, text: str, left: float, right: float) -> str:
    """Id or spec somewhere else on a piece whose lane is too short for it; return it if it finds room."""
    for size, count in itertools.product((6.0, 5.5, 5.0), (1, 2, 3)):
        lines = block(*[Row(line, size) for line in broken(text, count, size)])
        for (a, b), top in _places(strip, lines.width_mm, lines.height_mm):
            at = max(a, left)
            if min(b, right) - at >= lines.width_mm:
                box = Box(at, top - lines.height_mm, at + lines.width_mm, top)
                strip.put(lines, box, True, "spec")
                strip.room.take(box.grown(LEAST_OVER_MM))
                return text
    return ""


def _named(text: str) -> str:
    """A text that stands alone: bare figures would be taken for a corner or degrees."""
    return f"no. {text}" if text.isdigit() else text


def _tape_note(strip: Strip, left: float, right: float, y: float, size: float) -> None:
    for text in TAPE_NOTES:
        if text_width_mm(text, size, SEMIBOLD) <= right - left:
            strip.texts.append(Text(right, y, text, size, SEMIBOLD, "end", role="tape-edge"))
            return


def _says_left_hand(item: Primitive, left: float, right: float) -> bool:
    """Tell whether `item` is LEFT-HAND between two places."""
    return isinstance(item, Text) and item.role == "left-hand" and left <= item.x <= right
