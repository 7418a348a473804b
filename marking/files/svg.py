"""Writes one page as SVG: millimetres, y down, a class for every role, text width pinned."""

from __future__ import annotations

from functools import cache, lru_cache

from ..drawing.fonts import FAMILY, MM_PER_PT, WEIGHTS
from ..drawing.outlines import svg_path
from ..drawing.primitives import Arc, Data, Document, Group, Line, Page, Polyline, Text
from ..drawing.strokes import STROKES
from ..quantities.angles import polar
from .carried import element

NAMESPACES = {
    "xmlns": "http://www.w3.org/2000/svg", "xmlns:ev": "http://www.w3.org/2001/xml-events",
    "xmlns:xlink": "http://www.w3.org/1999/xlink",
}  # fmt: skip

ESCAPED = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;"})


def svg_bytes(page: Page, document: Document, text: str = "live") -> bytes:
    """Return the page as an SVG file (1.1, 2nd edition) of its exact size; one user unit is one millimetre.

    With "outlines" for `text` letters are paths, and the file needs no font.
    """
    width, height = f"{page.width_mm:g}", f"{page.height_mm:g}"
    outlines = text == "outlines"
    look = {"baseProfile": "full", "version": "1.1"}
    look |= {} if outlines else {"font-family": f"'{FAMILY}', sans-serif"}
    size = {"width": f"{width}mm", "height": f"{height}mm", "viewBox": f"0 0 {width} {height}"}
    pen = _Pen(outlines)
    for name, said in (("title", document.title), ("desc", document.subject), ("defs", "")):
        pen.element(name, {}, said)
    if carried := element(document.command):
        pen.lines.append(f"<metadata>{carried}</metadata>")
    for placed in page.placed:
        pen.x, pen.y = placed.x, page.height_mm - placed.y
        pen.group(placed.drawing.content)
    begin = f"<{_tag('svg', look | size | NAMESPACES)}>"
    return "\n".join(['<?xml version="1.0" encoding="utf-8"?>', begin, *pen.lines, "</svg>\n"]).encode()


class _Pen:
    """Draws at an offset: x to the right, y turned downwards; a line for each element, to compare versions by."""

    def __init__(self, outlines: bool) -> None:
        self.lines: list[str] = []
        self.outlines = outlines
        self.x = self.y = 0.0
        self.numbers = _Numbers()

    def element(self, name: str, attributes: dict[str, str], text: str = "") -> None:
        tag = _tag(name, attributes)
        self.lines.append(f"<{tag}>{_escaped(text)}</{name}>" if text else f"<{tag} />")

    def at(self, x: float, y: float) -> tuple[str, str]:
        return self.numbers[self.x + x], self.numbers[self.y - y]

    def points(self, item: Polyline) -> str:
        return " ".join([f"{x},{y}" for x, y in (self.at(*point) for point in item.points)])

    def group(self, group: Group) -> None:
        attributes = {"class": group.name, **_data(group.data)}
        if not group.items:
            self.element("g", attributes)
            return
        self.lines.append(f"<{_tag('g', attributes)}>")
        for item in group.items:
            if isinstance(item, Group):
                self.group(item)
            elif isinstance(item, Text):
                self.text(item)
            else:
                self.stroke(item)
        self.lines.append("</g>")

    def stroke(self, item: Line | Polyline | Arc) -> None:
        if isinstance(item, Line):
            x1, y1, x2, y2, role, data = item
            (from_x, from_y), (to_x, to_y) = self.at(x1, y1), self.at(x2, y2)
            self.lines.append(f'<{_line_tag(role, data)} x1="{from_x}" x2="{to_x}" y1="{from_y}" y2="{to_y}" />')
            return
        attributes = {"class": item.role, **_data(item.data)}
        if isinstance(item, Polyline) and item.fill is not None:
            self.element("polygon", attributes | {"points": self.points(item), "fill": _grey(item.fill)})
            return
        attributes |= _look(item.role)
        if isinstance(item, Polyline):
            self.element("polygon" if item.closed else "polyline", attributes | {"points": self.points(item)})
        else:
            self.arc(item, attributes)

    def arc(self, item: Arc, attributes: dict[str, str]) -> None:
        radius = _number(item.radius)
        if item.sweep_deg >= 360:
            cx, cy = self.at(item.cx, item.cy)
            self.element("circle", attributes | {"cx": f"{cx}", "cy": f"{cy}", "r": f"{radius}"})
            return
        ends = (polar(item.radius, item.start_deg + turned_deg) for turned_deg in (0.0, item.sweep_deg))
        (x1, y1), (x2, y2) = (self.at(item.cx + dx, item.cy + dy) for dx, dy in ends)
        large = int(item.sweep_deg > 180)
        # The sweep flag is 0 because the y axis is turned: counterclockwise stays counterclockwise to the eye.
        path = f"M{x1},{y1} A{radius},{radius} 0 {large} 0 {x2},{y2}"
        self.element("path", attributes | {"d": path})

    def text(self, item: Text) -> None:
        if self.outlines:
            said = item.text.translate(ESCAPED)
            path = {"class": item.role, "d": svg_path(item, self.x, self.y), "fill": _grey(item.grey)}
            self.element("path", path | {"aria-label": said})
            return
        x, y = self.at(item.x, item.y)
        size, weight = self.numbers[item.size_pt * MM_PER_PT], WEIGHTS[item.weight]
        fitted, pinned, turned = "", "", ""
        if len(item.text) > 1:
            fitted, pinned = ' lengthAdjust="spacingAndGlyphs"', f' textLength="{self.numbers[item.width_mm]}"'
        if item.rotation_deg:
            turned = f' transform="rotate({_number(-item.rotation_deg)} {x} {y})"'
        # written out, in alphabetical order as in `_tag`: half of a page is texts
        self.lines.append(
            f'<text class="{item.role}" fill="{_grey(item.grey)}" font-size="{size}" font-weight="{weight}"{fitted}'
            f' text-anchor="{item.anchor}"{pinned}{turned} x="{x}" y="{y}">{_escaped(item.text)}</text>'
        )


class _Numbers(dict[float, str]):
    """Lengths as they are written by their mm: the marks of a scale stand upright, and begin and end at one height."""

    def __missing__(self, mm: float) -> str:
        found = self[mm] = f"{_number(mm)}"
        return found


def _look(role: str) -> dict[str, str]:
    style = STROKES[role]
    stroke = _hex(*style.colour) if style.colour else _grey(style.grey)
    look = {"fill": "none", "stroke": stroke, "stroke-width": str(style.width_mm)}
    return look | ({"stroke-dasharray": " ".join(f"{dash:g}" for dash in style.dash_mm)} if style.dash_mm else {})


@lru_cache(maxsize=4096)  # ticks are most of a page, and the same on every one
def _line_tag(role: str, data: Data) -> str:
    """What stands in the brackets of a line before its ends, which come last in alphabetical order."""
    return _tag("line", {"class": role, **_data(data), **_look(role)})


def _tag(name: str, attributes: dict[str, str]) -> str:
    """What stands in the brackets of an element: its name and its attributes in alphabetical order."""
    return " ".join([name, *(f'{key}="{value}"' for key, value in sorted(attributes.items()))])


def _data(data: Data) -> dict[str, str]:
    return {f"data-{name}": value.translate(ESCAPED) for name, value in data if value}


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _number(value: float) -> float:
    """Round to 0.0001 mm, so that files do not change with the last bit of a sine; no negative zero."""
    return round(value, 4) + 0.0


@cache
def _grey(grey: float) -> str:
    return _hex(grey, grey, grey)


def _hex(*parts: float) -> str:
    return "#" + "".join(f"{round(part * 255):02x}" for part in parts)
