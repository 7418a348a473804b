"""Writes one page as a picture, PNG, for label printers and documents: drawn from its PDF, to the exact dot."""

from __future__ import annotations

import io
import math
import threading

from ..drawing.primitives import Document, Page, Placed
from ..errors import OutputError
from ..quantities.units import MM_PER_IN
from .pdf import pdf_bytes

USUAL_DPI = 600

MOST_DOTS = 150_000_000
"""Of one picture, a byte each while it is drawn (our choice: A4 at 1,200 dots per inch)."""

PAPER_FROM = 160
"""Of 255: from this grey on a dot of a one-bit picture is left white. All lines and letters are darker."""

_ONE_AT_A_TIME = threading.Lock()
"""PDFium is not safe with threads."""


def dots(mm: float, dpi: int) -> int:
    """Return a length in dots, rounded to the nearest one, half a dot up."""
    return math.floor(mm * dpi / MM_PER_IN + 0.5)


def png_bytes(page: Page, document: Document, dpi: int = USUAL_DPI, one_bit: bool = False) -> bytes:
    """Return the page as a PNG file of `dots` of its width by `dots` of its height, in greys, and its resolution.

    The upper left corners of page and picture are the same, and what is x mm from there is x · dpi / 25.4 dots from
    there, whatever the rounding of the size. With `one_bit` every dot is black or white, without a pattern for greys.
    Raises OutputError for a picture of more than 150 million dots.
    """
    width, height = dots(page.width_mm, dpi), dots(page.height_mm, dpi)
    if width * height > MOST_DOTS:
        raise OutputError(
            f"a page of {page.width_mm:g} × {page.height_mm:g} mm has {width * height:,} dots at {dpi} dots per inch",
            f"at most {MOST_DOTS:,}", "choose a smaller {@dpi}", dpi, field="dpi",
        )  # fmt: skip
    sides = width * MM_PER_IN / dpi, height * MM_PER_IN / dpi
    whole = _of_whole_dots(page, *sides)
    with _ONE_AT_A_TIME:
        return _drawn(pdf_bytes(document._replace(pages=(whole,))), width, height, dpi, one_bit)


def _of_whole_dots(page: Page, width_mm: float, height_mm: float) -> Page:
    """The page cut or widened to whole dots, by half a dot at most, at the right and the lower edge."""
    down = height_mm - page.height_mm
    placed = tuple(Placed(one.drawing, one.x, one.y + down, one.shared) for one in page.placed)
    return page._replace(width_mm=width_mm, height_mm=height_mm, placed=placed)


def _drawn(pdf: bytes, width: int, height: int, dpi: int, one_bit: bool) -> bytes:
    import pypdfium2
    from pypdfium2 import raw

    document = pypdfium2.PdfDocument(pdf)
    try:
        bitmap = pypdfium2.PdfBitmap.new_native(width, height, raw.FPDFBitmap_Gray)
        bitmap.fill_rect((255, 255, 255, 255), 0, 0, width, height)
        # whatever is black or white alone is drawn so: a line between two dots would be half grey in both
        smooth = raw.FPDF_RENDER_NO_SMOOTHTEXT | raw.FPDF_RENDER_NO_SMOOTHPATH if one_bit else 0
        flags = raw.FPDF_GRAYSCALE | smooth
        page = document[0]
        raw.FPDF_RenderPageBitmap(bitmap, page, 0, 0, width, height, 0, flags)
        picture = bitmap.to_pil().convert("L")
        if one_bit:
            picture = picture.point(lambda grey: 255 * (grey >= PAPER_FROM)).convert("1")
        out = io.BytesIO()
        picture.save(out, "PNG", dpi=(dpi, dpi))
        return out.getvalue()
    finally:
        document.close()
