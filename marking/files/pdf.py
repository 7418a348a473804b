"""Writes a document as PDF: exact page sizes, no scaling asked of the printer, embedded subset fonts, no dates."""

from __future__ import annotations

import contextlib
import io
import math
import os
import tempfile
import threading
import zlib
from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import IO, Any, NamedTuple

from reportlab.pdfbase.pdfdoc import PDFArray, PDFDictionary, PDFName, PDFStream

from ..drawing.fonts import MM_PER_PT, REGULAR, WEIGHTS, Weight, font_path, text_width_mm
from ..drawing.primitives import BACK, Arc, Document, Line, Page, Placed, Polyline, Text, primitives, worked
from ..drawing.strokes import STROKES, Stroke
from ..quantities.angles import polar
from .carried import packet

PT_PER_MM = 1 / MM_PER_PT

PDF_VERSION = (1, 6)
"""The first one in which a file can ask not to be scaled when printed (PrintScaling, ISO 32000-1, table 150)."""

LARGEST_BEZIER_DEG = 30.0
"""One Bézier curve for at most this much of an arc: off by less than 1e-6 of the radius."""

FORM_EDGE_PT = 6.0
"""A kept drawing may reach this far beyond its box."""

LARGEST_HELD = 2**20
"""Bytes of finished pages that are held in memory; more go to a temporary file."""

LEVEL = 4
"""How hard pages are compressed, of 9: in 40 % of the time of 6 they become 4 % larger (measured)."""

MOST_INKS = 64
"""Shared drawings whose ink is remembered."""


def pdf_bytes(document: Document) -> bytes:
    """Return the document as a PDF file, byte-identical from run to run."""
    out = io.BytesIO()
    write_pdf(document, out)
    return out.getvalue()


_ONE_AT_A_TIME = threading.Lock()
"""Fonts are read by seeking, and all files share them: of several threads, one writes."""


def write_pdf(document: Document, out: IO[bytes]) -> None:
    """Write the document as a PDF file to `out`; finished pages wait on disk when they are many."""
    with _ONE_AT_A_TIME:
        _write_pdf(document, out)


def _write_pdf(document: Document, out: IO[bytes]) -> None:
    from reportlab import rl_config  # loaded here so that importing the library loads no renderer
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.pdfdoc import PDFArray
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    rl_config.useA85 = 0  # streams as bytes, not as text: a quarter smaller, and text takes most of the time to make
    for weight in WEIGHTS:
        if _font_name(weight) not in pdfmetrics.getRegisteredFontNames():
            pdfmetrics.registerFont(TTFont(_font_name(weight), str(font_path(weight))))
    with _undated():
        canvas = Canvas(
            io.BytesIO(),
            invariant=1,
            pageCompression=1,
            pdfVersion=PDF_VERSION,
            initialFontName=_font_name(REGULAR),  # its own one would be declared on every page and never embedded
        )
    canvas._turnband_codes = {weight: ("", {}) for weight in WEIGHTS}
    canvas.setTitle(document.title)
    canvas.setSubject(document.subject)
    canvas.setAuthor("")
    canvas.setCreator("turnband")
    canvas.setProducer("turnband")
    canvas.setViewerPreference("PrintScaling", "None")
    if carried := packet(document.command):
        kind = PDFDictionary({"Type": PDFName("Metadata"), "Subtype": PDFName("XML")})
        canvas._doc.Catalog.Metadata = PDFStream(kind, carried, filters=[])
    kept: dict[str, str] = {}
    with tempfile.SpooledTemporaryFile(LARGEST_HELD) as spool:
        for page in worked(document.pages, page_ink):
            _draw_page(canvas, page, kept)
            finished = canvas._doc.Pages.pages[-1]
            texts = zlib.compress(finished.stream.encode("latin-1"), LEVEL)
            finished.Contents = PDFArray([SpooledStream(content, spool, out) for content in (page.packed, texts)])
            finished.stream = ""
        out.write(canvas.getpdfdata())  # what has not gone there yet


@contextlib.contextmanager
def _undated() -> Iterator[None]:
    """Hide SOURCE_DATE_EPOCH: the canvas takes date and file identifier from there even when told to be invariant."""
    hidden = os.environ.pop("SOURCE_DATE_EPOCH", None)
    try:
        yield
    finally:
        if hidden is not None:
            os.environ["SOURCE_DATE_EPOCH"] = hidden


def _draw_page(canvas: Any, page: PageInk, kept: dict[str, str]) -> None:
    """Draw texts and shared drawings of one page; `kept` are those that the file holds already.

    In the file they go by numbers, in order: what a drawing is called may hold any character, and is no PDF name.
    """
    canvas.setPageSize((page.width_mm * PT_PER_MM, page.height_mm * PT_PER_MM))
    for name, size, ink in page.drawings:
        if name not in kept:
            kept[name] = str(len(kept) + 1)
            _keep(canvas, kept[name], size, ink)
    _put_texts(canvas, page.runs)
    for name, x, y in page.shared:
        canvas.addLiteral(f"q 1 0 0 1 {_xy(x, y)} cm")
        canvas.doForm(kept[name])
        canvas.addLiteral("Q")
    canvas.showPage()


def _font_name(weight: Weight) -> str:
    return f"turnband-{weight}"


def _keep(canvas: Any, name: str, size: tuple[float, float], ink: Ink) -> None:
    """Keep a drawing in the file once (a form XObject, ISO 32000-1, 8.10), with room for strokes on its edge."""
    width, height = size[0] * PT_PER_MM, size[1] * PT_PER_MM
    canvas.beginForm(name, -FORM_EDGE_PT, -FORM_EDGE_PT, width + FORM_EDGE_PT, height + FORM_EDGE_PT)
    if ink.operators:
        canvas.addLiteral(ink.operators)
    _put_texts(canvas, ink.runs)
    canvas.endForm()


Run = tuple[str, Weight, float, float, str]
"""A text: the matrix that places it, weight, size in points, grey, and what it says. Its codes depend on the file's
fonts and come last. A plain tuple, as hundreds a page travel from process to process."""


class Ink(NamedTuple):
    """What is drawn somewhere: operators for shades, strokes and fills, and the texts."""

    operators: str
    runs: tuple[Run, ...]


class PageInk(NamedTuple):
    """A page ready to be written: its own ink, the drawings it shares with others, and where these go.

    `packed` are the operators of its shades, strokes and fills, compressed: whoever makes the ink has that work too.
    """

    width_mm: float
    height_mm: float
    packed: bytes
    runs: tuple[Run, ...]
    drawings: tuple[tuple[str, tuple[float, float], Ink], ...]
    shared: tuple[tuple[str, float, float], ...]


def page_ink(page: Page) -> PageInk:
    """Return the ink of a page. It needs nothing of the file, so that any process can make it."""
    drawings = {}
    for placed in page.placed:
        if placed.shared and placed.shared not in drawings:
            size = (placed.drawing.width_mm, placed.drawing.height_mm)
            drawings[placed.shared] = (placed.shared, size, _shared_ink(placed))
    own = _ink([placed for placed in page.placed if not placed.shared])
    shared = tuple((placed.shared, placed.x, placed.y) for placed in page.placed if placed.shared)
    packed = zlib.compress(f"{own.operators}\n".encode("ascii"), LEVEL)
    return PageInk(page.width_mm, page.height_mm, packed, own.runs, tuple(drawings.values()), shared)


_known_inks: dict[int, tuple[Placed, Ink]] = {}


def _shared_ink(placed: Placed) -> Ink:
    """The ink of a shared drawing, remembered as long as pages repeat it: a thousand copies fill many pages."""
    known = _known_inks.get(id(placed.drawing))  # no other drawing has this id while the one kept with it lives
    if known is None:
        if len(_known_inks) >= MOST_INKS:
            _known_inks.clear()
        known = _known_inks[id(placed.drawing)] = (placed, _ink([placed._replace(x=0.0, y=0.0)]))
    return known[1]


def _ink(every: Sequence[Placed]) -> Ink:
    """The ink of what is placed: grey shades, then strokes of one role as one path, then black fills, then text.

    Path operators (ISO 32000-1, 8.5.2) are written directly: the canvas formats each number in a slow loop of its own,
    which dominated the run time. Most lines stand upright or lie level: what both ends have in common is written once.
    """
    ends = _Points()
    strokes: dict[str, list[str]] = defaultdict(list)
    fills: dict[float, list[str]] = defaultdict(list)
    runs: list[Run] = []
    for placed in every:
        x, y = placed.x, placed.y
        for item in primitives(placed.drawing.content):
            if isinstance(item, Line):
                x1, y1, x2, y2, role, _ = item
                if x1 == x2:
                    place = "%.3f" % ((x + x1) * PT_PER_MM)  # a third faster than an f-string
                    strokes[role].append(f"{place} {ends[y + y1]} m {place} {ends[y + y2]} l")
                elif y1 == y2:
                    place = "%.3f" % ((y + y1) * PT_PER_MM)
                    strokes[role].append(f"{ends[x + x1]} {place} m {ends[x + x2]} {place} l")
                else:
                    strokes[role].append(f"{_xy(x + x1, y + y1)} m {_xy(x + x2, y + y2)} l")
            elif isinstance(item, Text):
                runs.append(_run(x, y, item))
            elif isinstance(item, Arc):
                strokes[item.role].append(_arc(x + item.cx, y + item.cy, item))
            elif item.fill is None:
                strokes[item.role].append(_polyline(x, y, item))
            else:
                fills[item.fill].append(_polyline(x, y, item))
    operators = _filled({grey: paths for grey, paths in fills.items() if grey > 0})
    for role, paths in strokes.items():
        style = STROKES[role]
        dash = " ".join(map(_pt, style.dash_mm))
        operators.append(f"{_pt(style.width_mm)} w [{dash}] 0 d {_pen(style)}")
        operators += [*paths, "S"]
    operators += _filled({grey: paths for grey, paths in fills.items() if grey == 0})
    return Ink("\n".join(operators), tuple(runs))


def _pen(style: Stroke) -> str:
    """The operator that sets the colour of strokes."""
    return f"{style.grey:.3f} G" if style.colour is None else f"{' '.join(f'{part:.3f}' for part in style.colour)} RG"


def _filled(fills: dict[float, list[str]]) -> list[str]:
    return [operator for grey, paths in fills.items() for operator in (f"{grey:.3f} g", *paths, "f")]


def _pt(mm: float) -> str:
    """A length in points to 0.001 pt, which is 0.4 µm."""
    return f"{mm * PT_PER_MM:.3f}"


class _Points(dict[float, str]):
    """Lengths in points by those in mm: the marks of a scale begin and end at the same heights."""

    def __missing__(self, mm: float) -> str:
        found = self[mm] = _pt(mm)
        return found


def _xy(x: float, y: float) -> str:
    return "%.3f %.3f" % (x * PT_PER_MM, y * PT_PER_MM)  # noqa: UP031  # as in `_ink`


def _polyline(x: float, y: float, item: Polyline) -> str:
    path = " l ".join(["%.3f %.3f"] * len(item.points)).replace(" l ", " m ", 1)
    points = path % tuple([end * PT_PER_MM for px, py in item.points for end in (x + px, y + py)])
    return f"{points} l h" if item.closed or item.fill is not None else f"{points} l"


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


def _run(x: float, y: float, text: Text) -> Run:
    """A text with its matrix: where its left end stands and which way it runs (ISO 32000-1, 9.4)."""
    along, up, words, size_pt, weight, anchor, rotation_deg, _, grey = text
    cos, sin, direction = _direction(rotation_deg)
    back = BACK[anchor] and BACK[anchor] * text_width_mm(words, size_pt, weight)
    left, base = (x + along - back * cos) * PT_PER_MM, (y + up - back * sin) * PT_PER_MM
    return "%s %.3f %.3f Tm" % (direction, left, base), weight, size_pt, grey, words  # noqa: UP031  # as in `_ink`


@lru_cache(maxsize=1024)
def _direction(rotation_deg: float) -> tuple[float, float, str]:
    """Cosine and sine of a direction, and the part of a text's matrix that they make."""
    cos, sin = polar(1.0, rotation_deg)
    return cos, sin, " ".join(f"{round(part, 6) + 0.0:.6f}".rstrip("0").rstrip(".") for part in (cos, sin, -sin, cos))


def _put_texts(canvas: Any, runs: Sequence[Run]) -> None:
    """Put texts on the page or form being made, as one text object; their look is told where it changes.

    The canvas' own calls spend most of a page's time on formatting numbers, so the operators are written directly.
    """
    operators, before = [], None
    for matrix, weight, size_pt, grey, text in runs:
        for name, shown in _encoded(canvas, weight, text):
            if before != (before := (grey, name, size_pt)):
                operators.append(f"{grey:.3f} g {name} {size_pt:.4f} Tf")
            operators.append(f"{matrix} {shown} Tj")
    if operators:
        canvas.addLiteral("\n".join(["BT", *operators, "ET"]))


def _encoded(canvas: Any, weight: Weight, text: str) -> list[tuple[str, str]]:
    """The text in the codes of its font's subsets: runs of (font name in the file, PDF string).

    Codes of the first subset, which holds all that most files say, are remembered: they are the same in any text.
    """
    name, known = canvas._turnband_codes[weight]
    try:
        return [(name, f"({''.join(map(known.__getitem__, text))})")] if text else []
    except KeyError:
        pass
    from reportlab.pdfbase import pdfmetrics

    font, file = pdfmetrics.getFont(_font_name(weight)), canvas._doc
    runs = font.splitString(text, file)
    if [subset for subset, _ in runs] == [0]:
        known.update(zip(text, map(canvas._escape, map(chr, runs[0][1])), strict=True))
        canvas._turnband_codes[weight] = font.getSubsetInternalName(0, file), known
    return [(font.getSubsetInternalName(subset, file), f"({canvas._escape(codes)})") for subset, codes in runs]


_DEFLATED = PDFDictionary({"Filter": PDFArray([PDFName("FlateDecode")])})
"""Every stream writes a copy with its length: a hundred thousand bands fill thousands of pages."""


class SpooledStream(PDFStream):  # type: ignore[misc]  # reportlab has no types
    """A page's compressed content (FlateDecode, ISO 32000-1, 7.4.4), kept in `spool` until the file is put together.

    The canvas alone holds every page three times then: 1,650 MB for 100,000 bands, and 560 MB with compressed pages. No
    public call lets go of what is finished, so this hands it to `out`: 130 MB (measured, each without the plan).
    """

    def __init__(self, packed: bytes, spool: IO[bytes], out: IO[bytes]) -> None:
        super().__init__(_DEFLATED, b"")
        self._spool, self._out = spool, out
        self._start, self._length = spool.seek(0, 2), spool.write(packed)

    def format(self, document: Any) -> bytes:
        """Return the object's bytes; what the canvas has gathered before them goes to `out`."""
        gathered = document.__accum__.strings  # parts of the file; their offsets are counted elsewhere
        self._out.writelines(gathered)
        gathered.clear()
        self._spool.seek(self._start)
        self.content = self._spool.read(self._length)
        formatted = bytes(super().format(document))
        self.content = b""
        return formatted
