"""What clerks write into cells in words: English ones beside the trade's own, German, French and Spanish."""

from __future__ import annotations

import re
import unicodedata

from ..quantities.scanner import ANY_CASE

_WORDS: dict[str, dict[str, str]] = {
    "thread": {
        "left": (
            "links; linksgewinde; linksgängig; linkes gewinde; gauche; à gauche; filetage à gauche; pas à gauche; "
            "izquierda; izq; izq.; a izquierdas; a la izquierda; rosca izquierda; rosca a izquierdas"
        ),
        "right": (
            "rechts; rechtsgewinde; rechtsgängig; rechtes gewinde; normal; droite; à droite; filetage à droite; "
            "pas à droite; derecha; dcha; dcha.; a derechas; a la derecha; rosca derecha; rosca a derechas"
        ),
    },
    "kind": {
        "band": "markierband; bande; banda",
        "trim band": "zuschneideband; bande à couper; bande à découper; banda para recortar; banda recortable",
        "ring": "part ring; teilering; anneau; bague; anillo",
        "disc": "disk; drive disc; scheibe; disque; disco",
        "mat": "matte; unterlage; tapis; tapete; alfombrilla",
    },
    "witness": {
        "fresh": "new; new mark; neu; neue marke; neue markierung; nouveau; nouveau repère; nueva; nueva marca",
        "first": (
            "from snug; first mark; erste; erste marke; erste markierung; premier; premier repère; primera; "
            "primera marca"
        ),
    },
    "start": {
        "corner": "ecke; angle; coin; sommet; esquina; vértice",
        "flat": "mid-flat; fläche; flächenmitte; plat; méplat; cara",
    },
    "points": {
        "4": "square; vierkant; carré; cuadrado; quatre pans",
        "6": "hex; hexagon; hexagonal; sechskant; six pans; seis puntas",
        "8": "octagon; achtkant; huit pans; ocho puntas",
        "12": (
            "double hex; double hexagon; bi-hex; bihexagonal; bi-hexagonal; zwölfkant; doppelsechskant; douze pans; "
            "doce puntas"
        ),
    },
}

_INCHES = re.compile(r"(?<=[0-9¼½¾⅛⅜⅝⅞ ])(?:zoll|pouces?|pulgadas?|pulg\.?)\Z", ANY_CASE)


def simplified(text: str) -> str:
    """Return `text` as headers and words are compared: simplified(" Across_Flats ") = "across flats"."""
    return " ".join(unicodedata.normalize("NFC", text).replace("_", " ").replace("’", "'").casefold().split())


def by_word(table: dict[str, str]) -> dict[str, str]:
    """Return what each word stands for, of a table with words between semicolons."""
    return {simplified(word): meant for meant, words in table.items() for word in words.split(";")}


_MEANT = {column: by_word(words) for column, words in _WORDS.items()}


def meant(column: str, text: str) -> str:
    """Return the column's own word for what a cell says, or the cell: meant("kind", "Scheibe") = "disc"."""
    return _MEANT[column].get(simplified(text), text)


_TOTALS = by_word(
    {"total": "total; totals; sum; grand total; summe; gesamt; gesamtsumme; insgesamt; somme; total général; suma"}
)


def is_total(text: str) -> bool:
    """Tell whether a cell heads a row of totals: is_total("Summe:")."""
    return simplified(text).rstrip(": ") in _TOTALS


def in_inches(text: str) -> str:
    """Return a length with its inches in English: in_inches("1/2 Zoll") = "1/2 in"."""
    return _INCHES.sub("in", text)
