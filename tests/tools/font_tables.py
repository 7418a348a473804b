"""Makes marking/tables/glyphs-*.txt from the font: run `python tests/font_tables.py` after a change of font."""

from __future__ import annotations

from pathlib import Path

from marking.drawing.fonts import UNITS_PER_EM, WEIGHTS, Weight, font_path

TABLES = Path(__file__).parents[2] / "marking" / "tables"


def glyph_table(weight: Weight) -> str:
    """Return the table of one weight: code point, advance width, lowest and highest ink of every character."""
    from fontTools.ttLib import TTFont

    font = TTFont(str(font_path(weight)))
    assert font["head"].unitsPerEm == UNITS_PER_EM
    lines = [
        f"# Glyphs of {font['name'].getDebugName(4)} {weight}: code point (hex), advance, lowest and highest ink.",
        f"# Units: 1/{UNITS_PER_EM} em. Source: the font file itself, {font['name'].getDebugName(5).split(';')[0]}.",
        "# Made by tests/font_tables.py; do not edit.",
    ]
    for code, name in sorted(font.getBestCmap().items()):
        outline = font["glyf"][name]
        low, high = (outline.yMin, outline.yMax) if outline.numberOfContours else (0, 0)
        lines.append(f"{code:04X} {font['hmtx'].metrics[name][0]} {low} {high}")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    for weight in WEIGHTS:
        (TABLES / f"glyphs-{weight}.txt").write_text(glyph_table(weight), encoding="ascii")
