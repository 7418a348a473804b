"""The two figures on a diameter tape's sheet: the tape wrapped round a socket, and a worked reading enlarged."""

from __future__ import annotations

import math
from collections.abc import Iterator

from ...drawing.fonts import BODY_PT, HEAD_PT, NOTE_PT, REGULAR, SEMIBOLD, text_width_mm
from ...drawing.primitives import Arc, Drawing, Group, Line, Polyline, Primitive, Text, moved
from .layout import HALF_MM, HEIGHT_MM, SCALES, TapeReading

ENLARGED = 4.0

TAIL_MM, TONGUE_MM = 15.0, 13.0
"""The worked reading: how many times larger than the tape; heights of tail and tongue in it."""

RADIUS_MM = 16.0

ABOVE_MM, BELOW_MM = 7.0, 9.0
"""The wrapped tape: radius of the socket shown; how far it shows above and below the tape."""

HEADING_MM = 5.0


def draw_reading(reading: TapeReading) -> Drawing:
    """Draw a reading enlarged: tail above, tongue below, the index past a line, the vernier's line that meets one."""
    scale = reading.scale
    pitch = ENLARGED * math.pi * scale.od_mm(1)
    before, after = 2, scale.divisions + 1
    index = pitch * (before + reading.line / scale.divisions) + 3.0
    meets = index + ENLARGED * math.pi * scale.offset_mm(reading.line)
    width = pitch * (before + after) + 6.0
    bottom = 11.0
    edge = bottom + TONGUE_MM
    top = edge + TAIL_MM
    items: list[Primitive] = [
        Line(0.0, edge, width, edge, "rule-strong"),
        *(Line(0.0, y, width, y, "rule") for y in (bottom, top)),
        Line(index, bottom, index, edge, "enlarged-index"),
        Polyline(
            ((index, bottom - 0.6), (index + 1.0, bottom - 2.4), (index - 1.0, bottom - 2.4)), "pointer", True, 0.0
        ),
        Polyline(((meets, top + 0.6), (meets + 1.0, top + 2.4), (meets - 1.0, top + 2.4)), "pointer", True, 0.0),
        Arc(meets, edge, 2.0, 0.0, 360.0, "rule-strong"),
        *_enlarged_tail(reading, pitch, before, after, edge),
        *_enlarged_vernier(index, edge, reading),
        Text(index, bottom - 5.4, f"the index is past {reading.passed}", BODY_PT, REGULAR, "middle"),
        Text(meets, top + 3.4, f"this line meets a line: {reading.rest}", BODY_PT, REGULAR, "middle"),
        Text(
            width / 2, 0.8, f"{reading.passed} + {reading.rest} = {reading.value} {scale.unit}", HEAD_PT, SEMIBOLD,
            "middle",
        ),
        Text(0.0, top + 8.4, f"A worked reading, {ENLARGED:g} times enlarged", HEAD_PT, SEMIBOLD),
    ]  # fmt: skip
    return Drawing(width, top + 11.6, Group("worked-reading", tuple(items)))


def _enlarged_tail(reading: TapeReading, pitch: float, before: int, after: int, edge: float) -> Iterator[Primitive]:
    scale = reading.scale
    for place in range(before + after + 1):
        number = reading.graduation - before + place
        x, numbered = 3.0 + pitch * place, number % scale.numbered[0] == 0
        yield Line(x, edge, x, edge + (9.0 if numbered else 5.5), "enlarged")
        if numbered:
            text = scale.text(number * scale.step, 0 if scale.unit == "mm" else 1)
            yield Text(x, edge + 10.2, text, HEAD_PT, SEMIBOLD, "middle")


def _enlarged_vernier(index: float, edge: float, reading: TapeReading) -> Iterator[Primitive]:
    scale = reading.scale
    for k in range(1, scale.divisions + 1):
        x = index + ENLARGED * math.pi * scale.offset_mm(k)
        yield Line(x, edge - 6.0, x, edge, "enlarged")
        weight = SEMIBOLD if k == reading.line else REGULAR
        yield Text(x, edge - 9.2, str(k * scale.figure), BODY_PT, weight, "middle")
    yield Text(index + 1.2, edge - TONGUE_MM + 0.9, scale.counts, NOTE_PT)


def draw_wrapped() -> Drawing:
    """Draw the front of a socket with the tape round it: tongue below, tail above it and pulled off to the right.

    The socket's front is seen square, so that a place at angle φ round it appears at R sin φ.
    """
    hold, pull = "hold the tongue", "pull the tail"
    left = text_width_mm(hold, NOTE_PT) + 2.0
    free = RADIUS_MM + 9.0
    right = free + 2.0 + text_width_mm(pull, NOTE_PT)
    grip = _seen(-12.0)
    top = HEIGHT_MM + ABOVE_MM
    items: list[Primitive] = [
        Line(-RADIUS_MM, -BELOW_MM, -RADIUS_MM, top, "rule-strong"),
        Line(RADIUS_MM, -BELOW_MM, RADIUS_MM, HALF_MM, "rule-strong"),
        Line(RADIUS_MM, HEIGHT_MM, RADIUS_MM, top, "rule-strong"),
        Line(-RADIUS_MM, top, RADIUS_MM, top, "rule-strong"),
        Line(-RADIUS_MM, -BELOW_MM, RADIUS_MM, -BELOW_MM, "rule-strong"),
        Line(free, HALF_MM, free, HEIGHT_MM, "box"),
        Line(-RADIUS_MM, HALF_MM, free, HALF_MM, "box"),
        Line(-RADIUS_MM, HEIGHT_MM, free, HEIGHT_MM, "box"),
        Line(grip, 0.0, grip, HALF_MM, "box"),
        Line(grip, 0.0, RADIUS_MM, 0.0, "box"),
        Line(0.0, 0.0, 0.0, HALF_MM, "enlarged"),
        *_wrapped_ticks(),
        Line(-RADIUS_MM - 1.2, 2.2, grip + 2.0, 2.2, "rule"),
        Text(-RADIUS_MM - 2.0, 1.6, hold, NOTE_PT, anchor="end"),
        Text(free + 1.6, HALF_MM + 2.2, pull, NOTE_PT),
        Polyline(((0.0, -0.6), (1.0, -2.4), (-1.0, -2.4)), "pointer", True, 0.0),
        Text(0.0, -5.0, "read here", NOTE_PT, anchor="middle"),
        Text(-RADIUS_MM - left, top + 2.4, "The tape round a socket", HEAD_PT, SEMIBOLD),
    ]
    group = moved(Group("wrapped-tape", tuple(items)), RADIUS_MM + left, BELOW_MM)
    return Drawing(RADIUS_MM + left + right, BELOW_MM + top + HEADING_MM, group)


def _seen(u: float) -> float:
    """Return where a place u mm along the tape from the index appears from the front."""
    return RADIUS_MM * math.sin(u / RADIUS_MM)


def _wrapped_ticks() -> Iterator[Primitive]:
    """Graduations and vernier, where the socket's round does not crowd them."""
    metric = SCALES["mm"]
    pitch = math.pi * metric.od_mm(1)
    for n in range(-10, 11):
        x, length = _seen(pitch * (n - 0.6)), 2.8 if n % 2 == 0 else 1.5
        yield Line(x, HALF_MM, x, HALF_MM + length, "degree")
    for k in range(1, metric.divisions + 1):
        x = _seen(math.pi * metric.offset_mm(k))
        yield Line(x, HALF_MM - 1.9, x, HALF_MM, "degree")
