"""Holds a finished PDF, as another program draws and reads it, against the drawings placed on its pages.

All strokes and letters that were placed must be ink at their places, all letters must be read there, and there must be
no other ink.
"""

from __future__ import annotations

import ctypes
import functools
import itertools
from collections.abc import Iterator
from typing import Any, NamedTuple

import numpy as np
import pypdfium2
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from pypdfium2 import raw

from kit.pdf_reading import lost
from marking.drawing.fonts import MM_PER_PT, face
from marking.drawing.primitives import Arc, Document, Line, Page, Polyline, Primitive, Text, primitives
from marking.drawing.strokes import STROKES
from marking.files.pdf import pdf_bytes
from marking.quantities.angles import Point, polar

DPI = 100
LEAST_INK = 20
"""Of 255: that of a grey hair line, which the renderer spreads over two pixels."""

LEAST_DASHED = 0.2
"""Share of a dashed stroke that is ink, at least."""

READ_MM = 0.02
"""A letter is read within this of where it was placed."""

APART = 1000.0
"""Millimetres that two letters of neighbouring code points count as being apart."""

Array = NDArray[np.float64]
Grey = NDArray[np.uint8]


class Trace(NamedTuple):
    """Points of a placed thing, `share` of which are to be ink of at least `ink`; and where its ink may be at most."""

    name: str
    points: list[Point]
    share: float
    ink: int
    outline: list[Point]
    width_mm: float = 0.0


def assert_all_is_ink(document: Document, pdf: bytes | None = None) -> None:
    """The finished file has the document's pages, and on each all that is placed there and nothing else."""
    found = pypdfium2.PdfDocument(pdf_bytes(document) if pdf is None else pdf)
    assert len(found) == len(document.pages)
    for number, drawn in enumerate(document.pages, 1):
        faults = page_faults(found[number - 1], drawn)
        assert not faults, f"page {number}: {len(faults)} faults, such as {faults[:3]}"
    found.close()


def page_faults(page: Any, drawn: Page) -> list[str]:
    """What of a page's drawings is not in the finished page, and what else is."""
    ink = 255 - page.render(scale=DPI / 72, grayscale=True).to_numpy().squeeze()
    # the renderer rounds the page up to whole pixels and stretches it to them
    px = np.array([ink.shape[1] / drawn.width_mm, ink.shape[0] / drawn.height_mm])

    def pixels(points: list[Point]) -> Array:
        return np.asarray((np.array(points) * [1, -1] + [0, drawn.height_mm]) * px)

    items = list(placed_items(drawn))
    traces = [trace(x, y, item) for x, y, item in items]
    return [
        *faint(traces, spread(ink, 1), pixels),
        *unread(items, page),
        *stray(traces, ink, pixels, px[0]),
    ]


def spread(grey: Grey, px: int) -> Grey:
    """The highest value within so many pixels of each."""
    for axis in (0, 1):
        lines = np.pad(np.moveaxis(grey, axis, 0), [(px, px), (0, 0)])
        count = len(lines) - 2 * px
        grey = np.moveaxis(functools.reduce(np.maximum, [lines[k : k + count] for k in range(2 * px + 1)]), 0, axis)
    return grey


def placed_items(page: Page) -> Iterator[tuple[float, float, Primitive]]:
    for placed in page.placed:
        for item in primitives(placed.drawing.content):
            if not isinstance(item, Text) or item.text.strip():
                yield placed.x, placed.y, item


def trace(x: float, y: float, item: Primitive) -> Trace:
    if isinstance(item, Text):
        (ax, ay), (bx, by), _, (dx, dy) = corners = [(x + cx, y + cy) for cx, cy in item.box]
        grid = [(u / 8, v / 4) for u in range(1, 8) for v in range(1, 4)]
        inside = [(ax + u * (bx - ax) + v * (dx - ax), ay + u * (by - ay) + v * (dy - ay)) for u, v in grid]
        return Trace(repr(item.text), inside, 0.01, LEAST_INK, [*corners, corners[0]])
    corners = [(x + cx, y + cy) for cx, cy in bends(item)]
    steps = 8 if len(corners) < 10 else 2
    along = [
        (ax + k / steps * (bx - ax), ay + k / steps * (by - ay))
        for (ax, ay), (bx, by) in itertools.pairwise(corners)
        for k in range(steps + 1)
    ]
    if isinstance(item, Polyline) and item.fill is not None:
        return Trace(item.role, along, 0.5, round(127 * (1 - item.fill)), corners)
    style = STROKES[item.role]
    return Trace(item.role, along, LEAST_DASHED if style.dash_mm else 1.0, LEAST_INK, corners, style.width_mm)


def bends(item: Line | Polyline | Arc) -> list[Point]:
    """The corners of a stroke, an arc's a few degrees apart."""
    if isinstance(item, Line):
        return [(item.x1, item.y1), (item.x2, item.y2)]
    if isinstance(item, Polyline):
        return [*item.points, item.points[0]] if item.closed or item.fill is not None else list(item.points)
    spokes = (polar(item.radius, item.start_deg + item.sweep_deg * k / 60) for k in range(61))
    return [(item.cx + x, item.cy + y) for x, y in spokes]


def faint(traces: list[Trace], near: Grey, pixels: Any) -> list[str]:
    """What is not ink, or too little of it; `near` is the darkest ink within a pixel."""
    at = np.floor(pixels([point for want in traces for point in want.points])).astype(int)
    columns, rows = (np.clip(at[:, axis], 0, near.shape[1 - axis] - 1) for axis in (0, 1))
    counts = [len(want.points) for want in traces]
    owner = np.repeat(np.arange(len(traces)), counts)
    inked = near[rows, columns] >= np.array([want.ink for want in traces])[owner]
    shares = np.bincount(owner, inked) / counts
    return [
        f"no ink of {want.name} at {want.points[0]}"
        for want, share in zip(traces, shares, strict=True)
        if share < want.share
    ]


def unread(items: list[tuple[float, float, Primitive]], page: Any) -> list[str]:
    """Texts with a letter that is not read where it was placed."""
    texts = [(x, y, item) for x, y, item in items if isinstance(item, Text)]
    placed = [(spot, item) for x, y, item in texts for spot in spots(x, y, item)]
    if not placed:
        return []
    scale = [1, 1, APART]
    found = np.array(list(letters(page)) or [(0, 0, 0)]) * scale
    unseen = lost(np.array([spot for spot, _ in placed]) * scale, found, READ_MM, norm=2)
    such = {item.text: spot for (spot, item), away in zip(placed, unseen, strict=True) if away}
    return [f"{text!r} is not read, such as {chr(spot[2])!r} at {spot[:2]}" for text, spot in such.items()]


def spots(x: float, y: float, item: Text) -> Iterator[tuple[float, float, int]]:
    """Origin in mm and code point of every letter of a text."""
    along, up = polar(1.0, item.rotation_deg)
    em = item.size_pt * MM_PER_PT
    done = -{"start": 0.0, "middle": 0.5, "end": 1.0}[item.anchor] * item.width_mm
    for char in item.text:
        if char != " ":
            seen = "f" if "ﬀ" <= char <= "ﬄ" else char  # a ligature is read as its letters
            yield x + item.x + done * along, y + item.y + done * up, ord(seen)
        done += face(item.weight).glyph(char).advance * em


def letters(page: Any) -> Iterator[tuple[float, float, int]]:
    """Origin in mm and code point of every letter that is read from a finished page."""
    text = page.get_textpage()
    x, y = ctypes.c_double(), ctypes.c_double()
    for number in range(raw.FPDFText_CountChars(text)):
        raw.FPDFText_GetCharOrigin(text, number, x, y)
        yield x.value * MM_PER_PT, y.value * MM_PER_PT, raw.FPDFText_GetUnicode(text, number)


def stray(traces: list[Trace], ink: Grey, pixels: Any, scale: float) -> list[str]:
    """Ink where nothing was placed, two pixels apart from everything."""
    edge = 3  # beyond the page, so that what lies on its very edge is drawn too
    allowed = Image.new("L", (ink.shape[1] + 2 * edge, ink.shape[0] + 2 * edge))
    pen = ImageDraw.Draw(allowed)
    numbers = iter((pixels([point for want in traces for point in want.outline]) + edge).ravel().tolist())
    for want in traces:
        outline = list(itertools.islice(numbers, 2 * len(want.outline)))
        if want.width_mm == 0:
            pen.polygon(outline, fill=255)
        pen.line(outline, fill=255, width=round(want.width_mm * scale) + 1)
    near = spread(np.asarray(allowed), 2)[edge:-edge, edge:-edge]
    other = np.argwhere((ink > LEAST_INK) & (near == 0))
    return [f"{len(other)} pixels of other ink, such as {other[0]} of {ink.shape}"] if len(other) else []
