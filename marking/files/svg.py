"""Writes one page as SVG: millimetres, y down, a class for every role, text width pinned."""

from __future__ import annotations

import math
from typing import Any

from ..drawing.fonts import FAMILY, MM_PER_PT, WEIGHTS
from ..drawing.primitives import Arc, Document, Group, Line, Page, Polyline, Primitive, Text
from ..drawing.strokes import STROKES
from ..quantities.angles import polar


def svg_bytes(page: Page, document: Document) -> bytes:
    """Return the page as an SVG file of its exact size; one user unit is one millimetre."""
    import svgwrite  # loaded here so that importing the library loads no renderer

    size = (f"{page.width_mm:g}mm", f"{page.height_mm:g}mm")
    root = svgwrite.Drawing(size=size, viewBox=f"0 0 {page.width_mm:g} {page.height_mm:g}", debug=False)
    root.set_desc(title=document.title, desc=document.subject)
    root.attribs["font-family"] = f"'{FAMILY}', sans-serif"
    for placed in page.placed:
        pen = _Pen(root, placed.x, page.height_mm - placed.y)
        root.add(pen.group(placed.drawing.content))
    return ('<?xml version="1.0" encoding="utf-8"?>\n' + _lines(root)).encode()


def _lines(root: Any) -> str:
    """The file with a line for each element, so that two versions can be compared line by line."""
    from xml.etree import ElementTree

    text = ElementTree.tostring(root.get_xml(), encoding="unicode")  # faster than the root's own way over bytes
    return text.replace("><", ">\n<") + "\n"


class _Pen:
    """Draws at an offset: x to the right, y turned downwards."""

    def __init__(self, root: Any, x: float, y: float) -> None:
        self.root = root
        self.x = x
        self.y = y

    def at(self, x: float, y: float) -> tuple[float, float]:
        return _number(self.x + x), _number(self.y - y)

    def group(self, group: Group) -> Any:
        element = self.root.g(class_=group.name)
        _set_data(element, group.data)
        for item in group.items:
            element.add(self.group(item) if isinstance(item, Group) else self.primitive(item))
        return element

    def primitive(self, item: Primitive) -> Any:
        if isinstance(item, Text):
            return self.text(item)
        element = self.filled(item) if isinstance(item, Polyline) and item.fill is not None else self.stroke(item)
        _set_data(element, item.data)
        return element

    def filled(self, item: Polyline) -> Any:
        return self.root.polygon(
            [self.at(*point) for point in item.points], class_=item.role, fill=_grey(item.fill or 0.0)
        )

    def stroke(self, item: Line | Polyline | Arc) -> Any:
        style = STROKES[item.role]
        look: dict[str, Any] = {
            "class_": item.role, "fill": "none", "stroke": _grey(style.grey), "stroke_width": style.width_mm,
        }  # fmt: skip
        if style.dash_mm:
            look["stroke_dasharray"] = " ".join(f"{dash:g}" for dash in style.dash_mm)
        if isinstance(item, Line):
            return self.root.line(self.at(item.x1, item.y1), self.at(item.x2, item.y2), **look)
        if isinstance(item, Polyline):
            points = [self.at(*point) for point in item.points]
            return self.root.polygon(points, **look) if item.closed else self.root.polyline(points, **look)
        return self.arc(item, look)

    def arc(self, item: Arc, look: dict[str, Any]) -> Any:
        if item.sweep_deg >= 360:
            return self.root.circle(self.at(item.cx, item.cy), _number(item.radius), **look)
        ends = (polar(item.radius, item.start_deg + turned_deg) for turned_deg in (0.0, item.sweep_deg))
        (x1, y1), (x2, y2) = (self.at(item.cx + dx, item.cy + dy) for dx, dy in ends)
        radius, large = _number(item.radius), int(item.sweep_deg > 180)
        # The sweep flag is 0 because the y axis is turned: counterclockwise stays counterclockwise to the eye.
        return self.root.path(d=f"M{x1},{y1} A{radius},{radius} 0 {large} 0 {x2},{y2}", **look)

    def text(self, item: Text) -> Any:
        x, y = self.at(item.x, item.y)
        look: dict[str, Any] = {
            "class_": item.role, "font_size": _number(item.size_pt * MM_PER_PT), "text_anchor": item.anchor,
            "font_weight": WEIGHTS[item.weight], "fill": _grey(item.grey),
        }  # fmt: skip
        if len(item.text) > 1:
            look |= {"textLength": _number(item.width_mm), "lengthAdjust": "spacingAndGlyphs"}
        if item.rotation_deg:
            look["transform"] = f"rotate({_number(-item.rotation_deg)} {x} {y})"
        return self.root.text(item.text, insert=(x, y), **look)


def _set_data(element: Any, data: tuple[tuple[str, str], ...]) -> None:
    for name, value in data:
        element.attribs[f"data-{name}"] = value


def _number(value: float) -> float:
    """Round to 0.0001 mm, so that files do not change with the last bit of a sine; no negative zero."""
    rounded = round(value, 4)
    return 0.0 if rounded == 0 or not math.isfinite(rounded) else rounded


def _grey(grey: float) -> str:
    level = round(grey * 255)
    return f"#{level:02x}{level:02x}{level:02x}"
