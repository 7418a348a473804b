"""Text is measured as it will be set, and what cannot be printed is named."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.each import each
from marking.drawing.fonts import WEIGHTS, Weight, face, font_path, ink_limits_mm, printable, text_width_mm, wrap
from marking.errors import CharacterError
from tools.font_tables import TABLES, glyph_table


@pytest.mark.parametrize("weight", WEIGHTS)
def test_the_glyph_tables_are_those_of_the_embedded_font(weight: Weight) -> None:
    assert (TABLES / f"glyphs-{weight}.txt").read_text("ascii") == glyph_table(weight)


@each("weight", WEIGHTS)
def test_widths_are_those_that_the_pdf_writer_sets(weight: Weight) -> None:
    from reportlab.pdfbase.ttfonts import TTFont

    font = TTFont(f"check-{weight}", str(font_path(weight)))
    for text in ("110 N·m + 90° +10/−0", "Ж Ω ½ ″", "START"):
        assert text_width_mm(text, 7.0, weight) == pytest.approx(font.stringWidth(text, 7.0) * 25.4 / 72, rel=1e-6)


@given(st.text(alphabet="adhijmnoIWÅ ·Ж", max_size=60))
def test_widths_are_sums_rounded_once_so_that_every_python_lays_out_alike(text: str) -> None:
    """From Python 3.12 on the built-in sum of floats rounds otherwise than before."""
    exact = sum(Fraction(face("regular").glyph(char).advance) for char in text)
    assert face("regular").advance(text) == float(exact)


def test_ink_limits_hold_accents_and_descenders() -> None:
    low, high = ink_limits_mm("Ågy", 10.0)
    assert low < ink_limits_mm("A", 10.0)[0] <= 0.02
    assert high > ink_limits_mm("A", 10.0)[1]


REFUSED = {
    "\u202e": "RIGHT-TO-LEFT OVERRIDE",
    "\u200f": "RIGHT-TO-LEFT MARK",
    "漢": "CJK",
    "א": "HEBREW LETTER ALEF",
    "\x1b": "control",
    "\n": "control",
    "😀": "GRINNING FACE",
    "\u2028": "LINE SEPARATOR",
    "x\u0323\u0301": "COMBINING",
    "\ud800": "no name",
    "\ue000": "no name",
    "\u00ad": "SOFT HYPHEN",
    "\ufeff": "NO-BREAK SPACE",
}


@each(("text", "name"), REFUSED.items())
def test_what_cannot_be_printed_is_refused_by_name(text: str, name: str) -> None:
    with pytest.raises(CharacterError, match=name):
        printable(f"Bogie {text}", "title")


def test_composed_forms_are_printed() -> None:
    assert printable("e\u0301 Straße Žižkov Ωμέγα Вагон", "title") == "é Straße Žižkov Ωμέγα Вагон"


@given(st.text(alphabet="abc dé—°W ", max_size=80), st.floats(3, 60))
def test_wrapped_lines_fit_and_lose_nothing(text: str, width: float) -> None:
    lines = wrap(text, width, 8.0)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    for line in lines:
        assert text_width_mm(line, 8.0) <= width + 1e-6 or len(line) == 1
