"""The numbers of corners, mid-flats and degrees on a strip: the third rank of its lettering."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from functools import cache

from ..drawing.emphasis import underlined
from ..drawing.fonts import MM_PER_PT, REGULAR, SEMIBOLD, Weight, cap_mm, ink_limits_mm, text_width_mm
from ..drawing.primitives import Text, new
from . import label_step_deg
from .room import CLOSE_ENOUGH, Box, Interval
from .strip import Strip
from .strip_marks import within_windows

WORD_GAP_MM, NUMBERS_APART_MM = 1.6, 1.2
"""Least space between a number and words on its line, lest it be read with them, "aim 90° 30°", and between numbers of
corners and mid-flats (our choices)."""


def put_numbers(strip: Strip) -> None:
    """Put numbers over their ticks where they find room beside the words that stand already."""
    words = [_bounds(text) for text in strip.texts if isinstance(text, Text)]
    words = [box for box in words if box.bottom < strip.numbers_top]  # no number meets the others
    strip.figures = [*_corners(strip, words), *_degrees(strip, words)]
    strip.room.take_all(
        [new(Box, (left - WORD_GAP_MM, low, right + WORD_GAP_MM, high)) for left, low, right, high in strip.figures]
    )


def _bounds(text: Text) -> Box:
    if not text.rotation_deg:
        (left, bottom), _, (right, top), _ = text.box
        return Box(left, bottom, right, top)
    xs, ys = zip(*text.box, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def _corners(strip: Strip, words: Sequence[Box]) -> list[Box]:
    """Corner and mid-flat numbers on the lower row: mid-flat ones all or, when one would touch, none."""
    plan, size = strip.plan, strip.ranks.third_pt
    count = len(plan.features) // 2
    left, right = plan.ends(plan.height_mm)
    mids = _mid_flats(count)
    widest = max(text_width_mm(text, size) for text in mids)
    corner_width = text_width_mm(str(count), size, SEMIBOLD)
    corners = [(feature.deg, str(feature.index)) for feature in plan.features if feature.kind == "corner"]
    found = _numbers(strip, corners, 0, SEMIBOLD, words)
    if (widest + corner_width) / 2 + NUMBERS_APART_MM < (right - left) / count / 2:
        between = [(feature.deg, mids[feature.index - 1]) for feature in plan.features if feature.kind == "mid-flat"]
        found += _numbers(strip, between, 0, REGULAR, words)
    return found


@cache
def _mid_flats(count: int) -> list[str]:
    """What mid-flats between so many corners are called: "1–2", … "12–1"."""
    return [f"{number}–{number % count + 1}" for number in range(1, count + 1)]


def _degrees(strip: Strip, words: Sequence[Box]) -> list[Box]:
    """Degrees on the upper row, where there is one; within windows too, where a reading is noted."""
    size = strip.ranks.third_pt
    left, right = strip.plan.ends(strip.plan.height_mm)
    if len(strip.ranks.numbers_mm) < 2:
        return []
    room = text_width_mm("330°", size) + 0.25 * size * MM_PER_PT
    step = label_step_deg(right - left, room, strip.plan.tick_deg)
    degrees = [(deg, f"{deg}°") for deg in range(step, 360, step)]
    return _numbers(strip, degrees, 1, REGULAR, words, within_windows(strip))


def _numbers(
    strip: Strip, numbers: Sequence[tuple[float, str]], row: int, weight: Weight, words: Sequence[Box],
    more: Sequence[Interval] = (),
) -> list[Box]:  # fmt: skip
    """Put numbers over their ticks where it is free, or in what is free of `more`; return what their ink takes.

    One that finds no room is left out, as beside its tick it would name another, and one that would lengthen `words`.
    """
    size, found = strip.ranks.third_pt, list[Box]()
    y = strip.plan.foot_mm + strip.ranks.numbers_mm[row]
    bottom, middle, top = y - 0.2 * size * MM_PER_PT, y + cap_mm(size) / 2, y + cap_mm(size)
    beside = [(box.left, box.right) for box in words if box.bottom < top and bottom < box.top]
    free = sorted([*strip.room.free(bottom, top), *more])
    for deg, text in numbers:
        x, half = strip.plan.x_of(deg, middle), text_width_mm(text, size, weight) / 2
        left, right = x - half, x + half
        if beside and any(left - WORD_GAP_MM < end and begin < right + WORD_GAP_MM for begin, end in beside):
            continue
        k = bisect_right(free, (left + CLOSE_ENOUGH, math.inf)) - 1
        if k >= 0 and right - CLOSE_ENOUGH <= free[k][1]:
            begin, end = free[k]
            free[k : k + 1] = [(a, b) for a, b in ((begin, left - 0.4), (right + 0.4, end)) if a < b]
            low, high = ink_limits_mm(text, size, weight)
            found.append(new(Box, (left, y + low, right, y + high)))
            strip.texts += underlined(new(Text, (x, y, text, size, weight, "middle", 0.0, "number", 0.0)))
    strip.room.take_all([new(Box, (left - 0.4, bottom, right + 0.4, top)) for left, _, right, _ in found])
    return found
