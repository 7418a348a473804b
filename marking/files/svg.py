"""Writes one page as SVG: millimetres, y down, a class for every role, text width pinned."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from ..drawing.fonts import FAMILY, MM_PER_PT, WEIGHTS
from ..drawing.primitives import Arc, Data, Document, Group, Line, Page, Polyline, Primitive, Text
from ..drawing.strokes import STROKES
from ..quantities.angles import polar

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

NAMESPACES = {
    "xmlns": "http://www.w3.org/2000/svg", "xmlns:ev": "http://www.w3.org/2001/xml-events",
    "xmlns:xlink": "http://www.w3.org/1999/xlink",
}  # fmt: skip


def svg_bytes(page: Page, document: Document) -> bytes:
    """Return the page as an SVG file (1.1, 2nd edition) of its exact size; one user unit is one millimetre."""
    from xml.etree import ElementTree  # loaded here so that importing the library loads no renderer

    width, height = f"{page.width_mm:g}", f"{page.height_mm:g}"
    look = {"baseProfile": "full", "version": "1.1", "font-family": f"'{FAMILY}', sans-serif"}
    size = {"width": f"{width}mm", "height": f"{height}mm", "viewBox": f"0 0 {width} {height}"}
    pen = _Pen()
    root = pen.element("svg", look | size | NAMESPACES)
    for name, text in (("title", document.title), ("desc", document.subject), ("defs", "")):
        said = pen.element(name, {})
        said.text = text
        root.append(said)
    for placed in page.placed:
        pen.x, pen.y = placed.x, page.height_mm - placed.y
        root.append(pen.group(placed.drawing.content))
    text = ElementTree.tostring(root, encoding="unicode")
    # a line for each element, so that two versions can be compared line by line
    lines = text.replace("><", ">\n<")
    return f'<?xml version="1.0" encoding="utf-8"?>\n{lines}\n'.encode()


class _Pen:
    """Draws at an offset: x to the right, y turned downwards."""

    def __init__(self) -> None:
        from xml.etree.ElementTree import Element

        self._element = Element
        self.x = self.y = 0.0

    def element(self, name: str, attributes: dict[str, str]) -> Element:
        """An element, its attributes in alphabetical order."""
        return self._element(name, dict(sorted(attributes.items())))

    def at(self, x: float, y: float) -> tuple[float, float]:
        return _number(self.x + x), _number(self.y - y)

    def points(self, item: Polyline) -> str:
        return " ".join([f"{x},{y}" for x, y in (self.at(*point) for point in item.points)])

    def group(self, group: Group) -> Element:
        element = self.element("g", {"class": group.name, **_data(group.data)})
        for item in group.items:
            element.append(self.group(item) if isinstance(item, Group) else self.primitive(item))
        return element

    def primitive(self, item: Primitive) -> Element:
        if isinstance(item, Text):
            return self.text(item)
        attributes = {"class": item.role, **_data(item.data)}
        if isinstance(item, Polyline) and item.fill is not None:
            return self.element("polygon", attributes | {"points": self.points(item), "fill": _grey(item.fill)})
        style = STROKES[item.role]
        attributes |= {"fill": "none", "stroke": _grey(style.grey), "stroke-width": str(style.width_mm)}
        if style.dash_mm:
            attributes["stroke-dasharray"] = " ".join(f"{dash:g}" for dash in style.dash_mm)
        if isinstance(item, Line):
            (x1, y1), (x2, y2) = self.at(item.x1, item.y1), self.at(item.x2, item.y2)
            return self.element("line", attributes | {"x1": f"{x1}", "y1": f"{y1}", "x2": f"{x2}", "y2": f"{y2}"})
        if isinstance(item, Polyline):
            return self.element("polygon" if item.closed else "polyline", attributes | {"points": self.points(item)})
        return self.arc(item, attributes)

    def arc(self, item: Arc, attributes: dict[str, str]) -> Element:
        radius = _number(item.radius)
        if item.sweep_deg >= 360:
            cx, cy = self.at(item.cx, item.cy)
            return self.element("circle", attributes | {"cx": f"{cx}", "cy": f"{cy}", "r": f"{radius}"})
        ends = (polar(item.radius, item.start_deg + turned_deg) for turned_deg in (0.0, item.sweep_deg))
        (x1, y1), (x2, y2) = (self.at(item.cx + dx, item.cy + dy) for dx, dy in ends)
        large = int(item.sweep_deg > 180)
        # The sweep flag is 0 because the y axis is turned: counterclockwise stays counterclockwise to the eye.
        path = f"M{x1},{y1} A{radius},{radius} 0 {large} 0 {x2},{y2}"
        return self.element("path", attributes | {"d": path})

    def text(self, item: Text) -> Element:
        x, y = self.at(item.x, item.y)
        attributes = {
            "class": item.role, "x": f"{x}", "y": f"{y}", "font-size": f"{_number(item.size_pt * MM_PER_PT)}",
            "text-anchor": item.anchor, "font-weight": str(WEIGHTS[item.weight]), "fill": _grey(item.grey),
        }  # fmt: skip
        if len(item.text) > 1:
            attributes |= {"textLength": f"{_number(item.width_mm)}", "lengthAdjust": "spacingAndGlyphs"}
        if item.rotation_deg:
            attributes["transform"] = f"rotate({_number(-item.rotation_deg)} {x} {y})"
        element = self.element("text", attributes)
        element.text = item.text
        return element


def _data(data: Data) -> dict[str, str]:
    return {f"data-{name}": value for name, value in data if value}


def _number(value: float) -> float:
    """Round to 0.0001 mm, so that files do not change with the last bit of a sine; no negative zero."""
    rounded = round(value, 4)
    return 0.0 if rounded == 0 or not math.isfinite(rounded) else rounded


def _grey(grey: float) -> str:
    level = round(grey * 255)
    return f"#{level:02x}{level:02x}{level:02x}"
