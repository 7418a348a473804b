"""Reads strokes and words of finished PDFs back, through pdfium."""

from __future__ import annotations

import ctypes
import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pypdfium2
import shapely
from numpy.typing import NDArray
from pypdfium2 import raw

from kit.measure import MM_PER_PT

Corners = NDArray[np.float64]


class Subpath(NamedTuple):
    """Strokes drawn without lifting the pen, or the outline of a shade: millimetres from the lower left.

    Of what is not `straight` the points are the knots and the control points of its curves.
    """

    points: Corners
    closed: bool
    width_mm: float
    straight: bool


class PdfLine(NamedTuple):
    """A single straight stroke, from its beginning to its end."""

    x1: float
    y1: float
    x2: float
    y2: float
    width_mm: float


class Word(NamedTuple):
    """Letters without a space between them, and the middle of the box that their font gives them."""

    text: str
    size_pt: float
    x: float
    y: float


class PdfPage:
    """A page as pdfium reads it."""

    def __init__(self, page: Any) -> None:
        self.page = page
        width_pt, height_pt = page.get_size()
        self.width_mm, self.height_mm = width_pt * MM_PER_PT, height_pt * MM_PER_PT

    @property
    def subpaths(self) -> list[Subpath]:
        return [path for path in self._paths() if path.straight]

    @property
    def circles(self) -> list[Subpath]:
        """Whole circles and all else that is curved, each by its knots."""
        return [path._replace(points=path.points[::3]) for path in self._paths() if not path.straight]

    def _paths(self) -> Iterator[Subpath]:
        for number in range(raw.FPDFPage_CountObjects(self.page)):
            yield from _subpaths(self._at(number))

    @property
    def lines(self) -> list[PdfLine]:
        """The strokes of two ends."""
        single = [path for path in self.subpaths if len(path.points) == 2 and not path.closed]
        return [PdfLine(*map(float, [*path.points.ravel(), path.width_mm])) for path in single]

    @property
    def rectangles(self) -> list[tuple[float, float, float, float]]:
        """Closed paths of four upright and level sides: left, bottom, right, top."""
        found = [path.points for path in self.subpaths if path.closed and _is_rectangle(path.points)]
        return [(*points.min(axis=0).tolist(), *points.max(axis=0).tolist()) for points in found]

    @property
    def text(self) -> str:
        return str(self.page.get_textpage().get_text_bounded())

    def text_in(self, left: float, bottom: float, right: float, top: float) -> str:
        """The text inside a box, in mm from the lower left of the page, on one line."""
        box = (each / MM_PER_PT for each in (left, bottom, right, top))
        return " ".join(str(self.page.get_textpage().get_text_bounded(*box)).split())

    @property
    def white_text(self) -> str:
        """The letters that are white, one after the other."""
        text = self.page.get_textpage()
        return "".join(
            chr(raw.FPDFText_GetUnicode(text, number))
            for number in range(raw.FPDFText_CountChars(text))
            if _grey_of(text, number) == [255] * 3
        ).replace(" ", "")

    @property
    def words(self) -> list[Word]:
        return list(_words(self.page.get_textpage()))

    def _at(self, number: int) -> Any:
        found = raw.FPDFPage_GetObject(self.page, number)
        assert raw.FPDFPageObj_GetType(found) != raw.FPDF_PAGEOBJ_FORM, "shared drawings are not read"
        return found


def _grey_of(text: Any, number: int) -> list[int]:
    shades = [ctypes.c_uint() for _ in range(4)]
    raw.FPDFText_GetFillColor(text, number, *shades)
    return [shade.value for shade in shades[:3]]


def pdf_pages(pdf: bytes | Path) -> list[PdfPage]:
    return [PdfPage(page) for page in pypdfium2.PdfDocument(io.BytesIO(pdf) if isinstance(pdf, bytes) else pdf)]


def lost(wanted: Corners, found: Corners, within: float, norm: float = np.inf) -> NDArray[np.bool_]:
    """Which of the wanted rows of coordinates, two or more of them, have none of the found ones so near."""
    x, y = wanted[:, 0], wanted[:, 1]
    around = shapely.box(x - within, y - within, x + within, y + within)
    mine, theirs = shapely.STRtree(shapely.points(found[:, :2])).query(around)
    near = np.linalg.norm(wanted[mine] - found[theirs], ord=norm, axis=1) < within
    return ~np.isin(np.arange(len(wanted)), mine[near])


def _subpaths(item: Any) -> Iterator[Subpath]:
    if raw.FPDFPageObj_GetType(item) != raw.FPDF_PAGEOBJ_PATH:
        return
    width, matrix = ctypes.c_float(), raw.FS_MATRIX()
    raw.FPDFPageObj_GetStrokeWidth(item, width)
    raw.FPDFPageObj_GetMatrix(item, matrix)
    turn = np.array([[matrix.a, matrix.b], [matrix.c, matrix.d]]) * MM_PER_PT
    shift = np.array([matrix.e, matrix.f]) * MM_PER_PT
    points: list[tuple[float, float]] = []
    straight = closed = True

    def done() -> Iterator[Subpath]:
        if points:
            yield Subpath(np.array(points) @ turn + shift, closed, width.value * MM_PER_PT, straight)

    x, y = ctypes.c_float(), ctypes.c_float()
    for number in range(raw.FPDFPath_CountSegments(item)):
        segment = raw.FPDFPath_GetPathSegment(item, number)
        raw.FPDFPathSegment_GetPoint(segment, x, y)
        kind = raw.FPDFPathSegment_GetType(segment)
        if kind == raw.FPDF_SEGMENT_MOVETO:
            yield from done()
            points, straight = [], True
        straight = straight and kind != raw.FPDF_SEGMENT_BEZIERTO
        closed = bool(raw.FPDFPathSegment_GetClose(segment))
        points.append((x.value, y.value))
    yield from done()


def _is_rectangle(points: Corners) -> bool:
    corners = points[:-1] if np.allclose(points[0], points[-1]) else points
    steps = np.abs(np.diff([*corners, corners[0]], axis=0))
    return len(corners) == 4 and bool((steps.min(axis=1) < 1e-4).all())


def _words(text: Any) -> Iterator[Word]:
    letters: list[str] = []
    boxes: list[tuple[float, float, float, float]] = []
    size = 0.0
    box = raw.FS_RECTF()
    for number in range(raw.FPDFText_CountChars(text) + 1):
        letter = chr(raw.FPDFText_GetUnicode(text, number)) if number < raw.FPDFText_CountChars(text) else " "
        if not letter.isspace():
            raw.FPDFText_GetLooseCharBox(text, number, box)
            letters.append(letter)
            boxes.append((box.left, box.bottom, box.right, box.top))
            size = raw.FPDFText_GetFontSize(text, number)
        elif letters:
            left, bottom, right, top = zip(*boxes, strict=True)
            middle = (min(left) + max(right)) / 2, (min(bottom) + max(top)) / 2
            yield Word("".join(letters), size, middle[0] * MM_PER_PT, middle[1] * MM_PER_PT)
            letters, boxes = [], []
