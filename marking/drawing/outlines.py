"""Letters as outlines, read from the embedded font, for machines that know no fonts."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

from ..quantities.angles import Point
from .fonts import MM_PER_PT, UNITS_PER_EM, Weight, font_path
from .primitives import BACK, Text

FINE_MM = 0.01
"""How far a straight stroke may leave the curve that it stands for (our choice)."""


@cache
def _font(weight: Weight) -> tuple[Any, dict[int, str]]:
    """The glyphs of one weight and their names by code point. fontTools is an extra, as only machines need it."""
    from fontTools.ttLib import TTFont

    font = TTFont(font_path(weight))
    return font.getGlyphSet(), font.getBestCmap()


def _draw(text: Text, pen: Any, place: tuple[float, ...]) -> None:
    """Draw all letters of `text` with a pen of fontTools; `place` maps the page's mm to those of the pen."""
    from fontTools.misc.transform import Transform
    from fontTools.pens.transformPen import TransformPen

    glyphs, names = _font(text.weight)
    back = text.width_mm * BACK[text.anchor]
    at = Transform(*place).translate(text.x, text.y).rotate(math.radians(text.rotation_deg)).translate(-back, 0.0)
    at = at.scale(text.size_pt * MM_PER_PT / UNITS_PER_EM)
    for char in text.text:
        glyph = glyphs[names[ord(char)]]
        glyph.draw(TransformPen(pen, at))
        at = at.translate(glyph.width, 0.0)


def svg_path(text: Text, x: float, y: float) -> str:
    """Return the outlines of a text on a page whose (0, 0) lies at (x, y) of an SVG, as path data with y down."""
    from fontTools.pens.svgPathPen import SVGPathPen

    pen = SVGPathPen(_font(text.weight)[0], lambda number: f"{number:.4f}".rstrip("0").rstrip("."))
    _draw(text, pen, (1.0, 0.0, 0.0, -1.0, x, y))
    return str(pen.getCommands())


def contours(text: Text) -> list[list[Point]]:
    """Return the closed outlines of a text as corners in mm, its curves as straight strokes that leave them by at most
    `FINE_MM`. The last corner is not the first again.
    """
    from fontTools.pens.recordingPen import DecomposingRecordingPen

    pen = DecomposingRecordingPen(_font(text.weight)[0])
    _draw(text, pen, (1.0, 0.0, 0.0, 1.0, 0.0, 0.0))
    found: list[list[Point]] = []
    for operator, points in pen.value:
        if operator == "moveTo":
            found.append([points[0]])
        elif operator == "lineTo":
            found[-1].append(points[0])
        elif operator == "qCurveTo":
            found[-1] += _strokes(found[-1][-1], points)
    return [corners[:-1] if corners[0] == corners[-1] else corners for corners in found]


def _strokes(begin: Point, points: tuple[Point, ...]) -> list[Point]:
    """The strokes of a run of TrueType curves: quadratic ones, which meet half-way between their control points."""
    from fontTools.pens.basePen import decomposeQuadraticSegment

    found: list[Point] = []
    for (cx, cy), (x2, y2) in decomposeQuadraticSegment(points):
        x1, y1 = begin
        bend = math.hypot(x1 - 2 * cx + x2, y1 - 2 * cy + y2) / 4  # of n strokes each is off by bend / n²
        count = max(1, math.ceil(math.sqrt(bend / FINE_MM)))
        for t in (k / count for k in range(1, count)):
            a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t**2
            found.append((a * x1 + b * cx + c * x2, a * y1 + b * cy + c * y2))
        found.append((x2, y2))
        begin = (x2, y2)
    return found
