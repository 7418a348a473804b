"""The witness pointer: a printed witness mark to stick on the part; it folds up to the band where the part lies lower.

Flat, it lies on the part, its hairline's upper end at the band's edge. Folded up on one of its dotted lines, its tip
stands beside the band: the part of it beyond the line is as high as the line's number says, in mm.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from ..drawing.emphasis import left_hand, underlined
from ..drawing.fonts import SEMIBOLD, text_width_mm
from ..drawing.primitives import Drawing, Group, Line, Polyline, Primitive, Text
from ..fastening.spec import Stage, TighteningSpec
from ..quantities.shown import shown_degrees

POINTER_WIDTH_MM, POINTER_HEIGHT_MM = 14.0, 20.0
"""It fits on tape 24 mm wide, also where a printer profile makes that a little narrower."""

FOLDS_MM = (3.0, 6.0, 10.0)
"""Heights of the folded tip (our choice): a thick washer or thin flange, a flange, a recessed seat."""

NUMBER_PT, TIP_NUMBER_PT, WORD_PT, LINE_PT, LEFT_HAND_PT = 12.0, 7.0, 5.5, 5.0, 5.0

STAGES_MM, NUMBER_MM, LINE_MM = 8.25, 4.85, 2.5
"""Baselines on the foot: of the stages, of the name, and of what the pointer is for."""

ARROW_MM = (1.4, 1.0)
"""Width and height of the arrow head at the hairline's end."""

LETTERS = "abcdef"
"""Of a fastener's pointers: as many as a spec may have stages."""

SIDE_MM = 0.6
"""Least distance of words from the hairline and the cut."""


class Pointer(NamedTuple):
    """One pointer: its `name`, "1", or "1a" where a fastener takes several; the stages that it serves, if several.

    `lines` say what it is for, the longest first: the first that fits stands on its foot.
    """

    name: str
    stages: str
    clockwise: bool
    lines: tuple[str, ...] = ()


def pointers(spec: TighteningSpec, fasteners: int, title: str = "") -> list[Pointer]:
    """Return a pointer for every fastener and every stage with a new mark, those of one mark together."""
    count = len(spec.stages)
    begins = [number for number in range(1, count + 1) if spec.marked_anew(number)]
    found = []
    for letter, begin, after in zip(LETTERS, begins, [*begins[1:], count + 1], strict=False):
        serves = f"stage {begin}" if after == begin + 1 else f"stages {begin}–{after - 1}"
        lines = _lines(spec.stages[begin - 1 : after - 1], title)
        found += [
            Pointer(
                f"{fastener}{letter if len(begins) > 1 else ''}", serves if count > 1 else "", spec.clockwise, lines
            )
            for fastener in range(1, fasteners + 1)
        ]  # fmt: skip
    return found


def _lines(stages: Sequence[Stage], title: str) -> tuple[str, ...]:
    """What a pointer is for, from title and turns down to the turns without their tolerances."""
    turns = ", ".join(stage.in_degrees for stage in stages)
    bare = ", ".join(shown_degrees(stage.turn_deg) for stage in stages)
    return (*([f"{title} · {turns}"] if title else []), turns, bare)


@lru_cache(maxsize=64)  # laid in one way and another
def draw_pointer(pointer: Pointer) -> Drawing:
    """Draw one pointer, its tip uppermost: there the hairline ends in an arrow head beside START."""
    width, height, middle = POINTER_WIDTH_MM, POINTER_HEIGHT_MM, POINTER_WIDTH_MM / 2
    left, (low, between, high) = middle / 2 - 0.1, (height - mm for mm in FOLDS_MM)
    tip = (
        (middle, height),
        (middle - ARROW_MM[0] / 2, height - ARROW_MM[1]),
        (middle + ARROW_MM[0] / 2, height - ARROW_MM[1]),
    )
    items: list[Primitive] = [
        Polyline(((0, 0), (width, 0), (width, height), (0, height)), "cut", True),
        Line(middle, high - 0.2, middle, height, "witness"),
        Polyline(tip, "flag", True, 0.0),
        Text(middle - 2 * SIDE_MM, low + 0.65, "START", WORD_PT, SEMIBOLD, "end"),
    ]
    for mm in FOLDS_MM:
        y = height - mm
        items.append(Line(0, y, width, y, "fold", (("mm", f"{mm:g}"),)))
        items.append(Text(middle + SIDE_MM, y + 0.5, f"{mm:g} mm", WORD_PT))
    items += [
        *_named(Text(left, between + 0.8, pointer.name, TIP_NUMBER_PT, SEMIBOLD, "middle")),
        Text(left, high + 1.4, "fold", WORD_PT, anchor="middle"),
        *_named(Text(middle, NUMBER_MM, pointer.name, NUMBER_PT, SEMIBOLD, "middle")),
    ]
    if pointer.stages:
        items.append(Text(middle, STAGES_MM, pointer.stages, LINE_PT, anchor="middle"))
    fits = (line for line in pointer.lines if text_width_mm(line, LINE_PT) <= width - 2 * SIDE_MM)
    if line := next(fits, ""):
        items.append(Text(middle, LINE_MM, line, LINE_PT, anchor="middle"))
    if not pointer.clockwise:
        items += left_hand(middle, 0.2, LEFT_HAND_PT, "middle")
    return Drawing(width, height, Group("witness-pointer", tuple(items), (("number", pointer.name),)))


def _named(text: Text) -> tuple[Primitive, ...]:
    """A name whose number is underlined like one that stands alone: 6b upside down is nearly q9."""
    number = Text(text.x - text.width_mm / 2, text.y, text.text.rstrip(LETTERS), text.size_pt, text.weight)
    return text, *underlined(number)[1:]
