"""Bands as read back from finished drawings, piece by piece."""

from __future__ import annotations

import math
from typing import NamedTuple
from xml.etree.ElementTree import Element

from shapely import box
from shapely.geometry.base import BaseGeometry

from kit.measure import MM_PER_PT, SVG, Stroke, groups, of_role, only, strokes, svg_root
from marking.drawing.fonts import CAP_EM, REGULAR, SEMIBOLD, ink_limits_mm
from marking.drawing.primitives import Document


class Written(NamedTuple):
    """A text of an SVG: its class, words, size and the box of its ink, y upwards."""

    role: str
    text: str
    size_pt: float
    shape: BaseGeometry

    @property
    def cap_mm(self) -> float:
        return self.size_pt * MM_PER_PT * CAP_EM


class Piece(NamedTuple):
    """A cut-out piece of an SVG: its texts, its lines and its outline without the tab."""

    texts: list[Written]
    lines: list[Stroke]
    element: Element

    @property
    def left(self) -> float:
        return min(line.x1 for line in of_role(self.lines, "seam", "splice-edge"))

    @property
    def right(self) -> float:
        return max(line.x1 for line in of_role(self.lines, "closure", "splice"))

    @property
    def foot(self) -> float:
        return only(self.lines, "fastener-edge").y1

    @property
    def height(self) -> float:
        return only(self.lines, "drive-edge").y1 - self.foot

    def words(self, *roles: str) -> list[Written]:
        return [text for text in self.texts if text.role in roles]

    def polygons(self, role: str) -> list[list[tuple[float, float]]]:
        found = [e for e in self.element.iter(f"{SVG}polygon") if e.get("class") == role]
        pairs = [[pair.split(",") for pair in str(e.get("points")).split()] for e in found]
        return [[(float(x), -float(y)) for x, y in corners] for corners in pairs]


def written(element: Element) -> Written:
    size_mm, width = float(element.get("font-size", "nan")), float(element.get("textLength", "nan"))
    size_pt, words = size_mm / MM_PER_PT, str(element.text)
    low, high = ink_limits_mm(words, size_pt, SEMIBOLD if element.get("font-weight") == "600" else REGULAR)
    x, y = float(element.get("x", "nan")), -float(element.get("y", "nan"))
    width = size_mm * 0.6 if math.isnan(width) else width
    left = x - width * {"start": 0.0, "middle": 0.5, "end": 1.0}[element.get("text-anchor", "start")]
    shape = box(left, y + low, left + width, y + high)
    if "transform" in element.attrib:
        assert str(element.get("transform")).startswith("rotate(-180")
        shape = box(2 * x - left - width, y - high, 2 * x - left, y - low)
    return Written(element.get("class", ""), words, size_pt, shape)


def pieces_of(document: Document) -> list[Piece]:
    """The bands and trim bands of a document, or their pieces, where they are spliced."""
    found = []
    for page in document.pages:
        root = svg_root(page, document, "band", "trim-band", "band-piece")
        whole = [
            band for name in ("band", "trim-band") for band in groups(root, name) if not groups(band, "band-piece")
        ]
        for element in groups(root, "band-piece") + whole:
            found.append(Piece([written(e) for e in element.iter(f"{SVG}text")], strokes(element), element))
    return found
