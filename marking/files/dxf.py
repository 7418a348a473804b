"""Writes one page as DXF for cutters and engravers: millimetres, y up, layers `cut`, `fold`, `mark` and `text`."""

from __future__ import annotations

import io
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import Any

from ..drawing.outlines import contours
from ..drawing.primitives import Document, Group, Line, Page, Polyline, Primitive, Text, primitives
from ..drawing.strokes import LAYERS, STROKES
from ..quantities.angles import Point
from .cutting import layered

VERSION = "R2000"
"""The oldest one with units and closed polylines: the most machines read it."""

COLOURS = {"cut": 1, "fold": 5, "mark": 7, "text": 3}
"""Colours of the layers by number: red, blue, black or white, green. Many machines choose their tool by them."""

_ONE_AT_A_TIME = threading.Lock()


def dxf_bytes(page: Page, document: Document) -> bytes:
    """Return the page as a DXF file, its lower left corner at (0, 0), byte-identical from run to run.

    Letters and whatever is filled are closed outlines, and no line is dashed but by gaps. Raises OutputError for a page
    that is stretched for a printer.
    """
    with _ONE_AT_A_TIME, _undated():
        return _dxf_bytes(page)


@contextmanager
def _undated() -> Iterator[None]:
    """Have dates and identifiers of the file fixed; that is an option of the library as a whole."""
    from ezdxf._options import options

    before = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        options.write_fixed_meta_data_for_testing = before


def _dxf_bytes(page: Page) -> bytes:
    from ezdxf import units
    from ezdxf.filemanagement import new

    drawing = new(VERSION, units=units.MM)
    for layer in LAYERS:
        drawing.layers.add(layer, color=COLOURS[layer])
    space = drawing.modelspace()
    (placed,) = layered(page).placed
    for group in placed.drawing.content.items:
        assert isinstance(group, Group)
        for item in primitives(group):
            _put(space, group.name, item)
    out = io.StringIO()
    drawing.write(out)
    return out.getvalue().encode(drawing.output_encoding)


def _put(space: Any, layer: str, item: Primitive) -> None:
    look: dict[str, Any] = {"layer": layer}
    if isinstance(item, Text):
        for outline in contours(item):
            space.add_lwpolyline(_rounded(outline), close=True, dxfattribs=look)
        return
    if layer == "mark" and item.role in STROKES:
        look["lineweight"] = _weight(STROKES[item.role].width_mm)
    if isinstance(item, Line):
        space.add_line((item.x1, item.y1), (item.x2, item.y2), dxfattribs=look)
    elif isinstance(item, Polyline):
        space.add_lwpolyline(_rounded(item.points), close=item.closed or item.fill is not None, dxfattribs=look)
    elif item.sweep_deg >= 360.0:
        space.add_circle((item.cx, item.cy), item.radius, dxfattribs=look)
    else:
        space.add_arc((item.cx, item.cy), item.radius, item.start_deg, item.start_deg + item.sweep_deg, dxfattribs=look)


def _rounded(points: Iterable[Point]) -> list[Point]:
    """Corners to 0.0001 mm, as in SVG: a file of letters is a third smaller."""
    return [(round(x, 4), round(y, 4)) for x, y in points]


def _weight(width_mm: float) -> int:
    """The nearest of the widths that the format has, in hundredths of a millimetre."""
    from ezdxf.lldxf.const import VALID_DXF_LINEWEIGHTS

    return min(VALID_DXF_LINEWEIGHTS, key=lambda weight: (abs(weight - 100 * width_mm), weight))
