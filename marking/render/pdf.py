"""Writes a document as PDF: exact page sizes, no scaling asked of the printer, embedded subset fonts, no dates."""

from __future__ import annotations

import io
import math
from collections import defaultdict
from collections.abc import Iterable, Sequence
from typing import Any

from ..drawing import STROKES, Arc, Document, Line, Placed, Polyline, Text, polar, primitives
from ..fonts import MM_PER_PT, WEIGHTS, font_path

PT_PER_MM = 1 / MM_PER_PT

LARGEST_BEZIER_DEG = 30.0
"""One Bézier curve for at most this much of an arc: off by less than 1e-6 of the radius."""


FORM_EDGE_PT = 6.0
"""A kept drawing may reach this far beyond its box."""


def pdf_bytes(document: Document) -> bytes:
    """Return the document as a PDF file, byte-identical from run to run."""
    from reportlab import rl_config  # loaded here so that importing the library loads no renderer
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    rl_config.useA85 = 0  # streams as bytes, not as text: a quarter smaller, and text takes most of the time to make
    for weight in WEIGHTS:
        if _font_name(weight) not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(_font_name(weight), str(font_path(weight))))
    out = io.BytesIO()
    canvas = Canvas(out, invariant=1, pageCompression=1)
    canvas.setTitle(document.title)
    canvas.setSubject(document.subject)
    canvas.setAuthor("")
    canvas.setCreator("turnband")
    canvas.setProducer("turnband")
    canvas.setViewerPreference("PrintScaling", "None")
    kept: set[str] = set()
    for page in document.pages:
        canvas.setPageSize((page.width_mm * PT_PER_MM, page.height_mm * PT_PER_MM))
        for placed in page.placed:
            if placed.shared and placed.shared not in kept:
                kept.add(placed.shared)
                _keep(canvas, placed)
        _draw(canvas, [placed for placed in page.placed if not placed.shared])
        for placed in page.placed:
            if placed.shared:
                _draw_kept(canvas, placed)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _font_name(weight: str) -> str:
    return f"turnband-{weight}"


def _keep(canvas: Any, placed: Placed) -> None:
    """Keep a drawing in the file once (a form XObject, ISO 32000-1, 8.10), with room for strokes on its edge."""
    width, height = placed.drawing.width_mm * PT_PER_MM, placed.drawing.height_mm * PT_PER_MM
    canvas.beginForm(placed.shared, -FORM_EDGE_PT, -FORM_EDGE_PT, width + FORM_EDGE_PT, height + FORM_EDGE_PT)
    _draw(canvas, [placed._replace(x=0.0, y=0.0)])
    canvas.endForm()


def _draw_kept(canvas: Any, placed: Placed) -> None:
    canvas.saveState()
    canvas.translate(placed.x * PT_PER_MM, placed.y * PT_PER_MM)
    canvas.doForm(placed.shared)
    canvas.restoreState()


def _draw(canvas: Any, every: Sequence[Placed]) -> None:
    """Draw what is placed: grey shades, then strokes of one role as one path, then black fills, then text."""
    strokes: dict[str, list[str]] = defaultdict(list)
    fills: dict[float, list[str]] = defaultdict(list)
    texts: list[tuple[float, float, Text]] = []
    for placed in every:
        x, y = placed.x, placed.y
        for item in primitives(placed.drawing.content):
            if isinstance(item, Text):
                texts.append((x, y, item))
            elif isinstance(item, Polyline) and item.fill is not None:
                fills[item.fill].append(_polyline(x, y, item))
            else:
                strokes[item.role].append(_path(x, y, item))
    _fill(canvas, {grey: paths for grey, paths in fills.items() if grey > 0})
    for role, paths in strokes.items():
        style = STROKES[role]
        canvas.setLineWidth(style.width_mm * PT_PER_MM)
        canvas.setDash([dash * PT_PER_MM for dash in style.dash_mm])
        canvas.setStrokeGray(style.grey)
        canvas.addLiteral("\n".join([*paths, "S"]))
    _fill(canvas, {grey: paths for grey, paths in fills.items() if grey == 0})
    _write(canvas, texts)


def _fill(canvas: Any, fills: dict[float, list[str]]) -> None:
    for grey, paths in fills.items():
        canvas.setFillGray(grey)
        canvas.addLiteral("\n".join([*paths, "f"]))


def _path(x: float, y: float, item: Line | Polyline | Arc) -> str:
    """The path operators (ISO 32000-1, 8.5.2) of one stroke, in points to 0.0001 pt.

    Written directly: the canvas formats each number in a slow loop of its own, which dominated the run time.
    """
    if isinstance(item, Line):
        return f"{_xy(x + item.x1, y + item.y1)} m {_xy(x + item.x2, y + item.y2)} l"
    if isinstance(item, Polyline):
        return _polyline(x, y, item)
    return _arc(x + item.cx, y + item.cy, item)


def _xy(x: float, y: float) -> str:
    return f"{x * PT_PER_MM:.4f} {y * PT_PER_MM:.4f}"


def _polyline(x: float, y: float, item: Polyline) -> str:
    first, *rest = (_xy(x + px, y + py) for px, py in item.points)
    closed = " h" if item.closed or item.fill is not None else ""
    return " ".join([f"{first} m", *(f"{point} l" for point in rest)]) + closed


def _arc(cx: float, cy: float, arc: Arc) -> str:
    """An arc as Bézier curves: control points at 4/3·tan(δ/4) of the radius along the tangents."""
    pieces = max(1, math.ceil(arc.sweep_deg / LARGEST_BEZIER_DEG))
    step = arc.sweep_deg / pieces
    reach = 4 / 3 * math.tan(math.radians(step) / 4) * arc.radius
    x, y = polar(arc.radius, arc.start_deg)
    operators = [f"{_xy(cx + x, cy + y)} m"]
    for number in range(pieces):
        begin, end = arc.start_deg + number * step, arc.start_deg + (number + 1) * step
        (x1, y1), (x2, y2) = polar(arc.radius, begin), polar(arc.radius, end)
        (tx1, ty1), (tx2, ty2) = polar(reach, begin + 90), polar(reach, end - 90)
        controls = f"{_xy(cx + x1 + tx1, cy + y1 + ty1)} {_xy(cx + x2 + tx2, cy + y2 + ty2)}"
        operators.append(f"{controls} {_xy(cx + x2, cy + y2)} c")
    return " ".join(operators) + (" h" if arc.sweep_deg >= 360 else "")


def _write(canvas: Any, texts: Iterable[tuple[float, float, Text]]) -> None:
    """Write all texts as one text object (ISO 32000-1, 9.4), each placed by its own matrix.

    The canvas' own text object spends most of a page's time on formatting numbers; here the encoded text comes from
    the font and the operators are written directly.
    """
    operators = ["BT"]
    grey = -1.0
    for x, y, item in texts:
        back = {"start": 0.0, "middle": 0.5, "end": 1.0}[item.anchor] * item.width_mm
        if item.grey != grey:
            grey = item.grey
            operators.append(f"{grey:.3f} g")
        if item.rotation_deg:
            cos, sin = math.cos(math.radians(item.rotation_deg)), math.sin(math.radians(item.rotation_deg))
            place = _xy(x + item.x - back * cos, y + item.y - back * sin)
            operators.append(f"{cos:.6f} {sin:.6f} {-sin:.6f} {cos:.6f} {place} Tm")
        else:
            operators.append(f"1 0 0 1 {_xy(x + item.x - back, y + item.y)} Tm")
        operators += [f"{name} {item.size_pt:.4f} Tf {shown} Tj" for name, shown in _encoded(canvas, item)]
    if len(operators) > 1:
        canvas.addLiteral("\n".join([*operators, "ET"]))


def _encoded(canvas: Any, item: Text) -> list[tuple[str, str]]:
    """The text in the codes of its font's subsets: runs of (font name in the file, PDF string)."""
    known: dict[tuple[str, str], list[tuple[str, str]]] = canvas.__dict__.setdefault("_turnband_encoded", {})
    key = (item.weight, item.text)
    if key not in known:
        from reportlab.pdfbase import pdfmetrics

        font, file = pdfmetrics.getFont(_font_name(item.weight)), canvas._doc
        known[key] = [
            (font.getSubsetInternalName(subset, file), f"({canvas._escape(codes)})")
            for subset, codes in font.splitString(item.text, file)
        ]
    return known[key]
