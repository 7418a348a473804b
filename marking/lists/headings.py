"""The columns of lists and registers, as clerks head them: words that are read, and words that only look like one."""

from __future__ import annotations

import difflib
import re
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from .spoken import by_word, simplified

COLUMNS = (
    "id", "spec", "points", "drive", "opening", "od", "around", "thread", "stock", "copies", "title",
    "kind", "socket", "witness", "start", "height", "fasteners",
)  # fmt: skip

REGISTER_COLUMNS = ("id", "points", "drive", "opening", "od", "around")

LENGTHS = ("opening", "od", "around", "stock", "height")
"""Columns of lengths: their heading may give the unit of bare numbers below it, as "OD (mm)"."""

MEASURED = (*LENGTHS, "drive")

_WORDS = {
    "id": "kennung; repère; référence; referencia",
    "spec": (
        "specification; tightening spec; anzug; anziehvorschrift; anzugsvorschrift; serrage; consigne de serrage; "
        "apriete; especificación; especificación de apriete"
    ),
    "points": (
        "number of points; no of points; no. of points; ecken; eckenzahl; pans; nombre de pans; puntas; "
        "número de puntas; nº de puntas"
    ),
    "drive": (
        "drive size; square drive; drive square; antrieb; vierkant; antriebsvierkant; carré; carré d'entraînement; "
        "entraînement; cuadrado; cuadradillo; encastre"
    ),
    "opening": (
        "across flats; width across flats; af; a/f; schlüsselweite; sw; ouverture; sur plats; cote sur plats; "
        "surplat; abertura; entre caras; ancho entre caras"
    ),
    "od": (
        "outside diameter; outer diameter; o.d.; socket od; socket diameter; external diameter; außendurchmesser; "
        "aussendurchmesser; außen-ø; diamètre extérieur; ø extérieur; diámetro exterior; ø exterior"
    ),
    "around": "length round; length around; circumference; umfang; circonférence; circunferencia",
    "thread": (
        "hand; hand of thread; gewinderichtung; gewinde; sens du filetage; filetage; sentido de la rosca; "
        "sentido de rosca; rosca"
    ),
    "stock": "stock thickness; paper thickness; papierdicke; épaisseur du papier; espesor del papel",
    "copies": (
        "quantity; qty; qty.; number of copies; no of copies; no. of copies; anzahl; stück; stückzahl; menge; "
        "quantité; nombre d'exemplaires; exemplaires; cantidad; copias"
    ),
    "title": "titel; bezeichnung; titre; désignation; título; designación",
    "kind": (
        "kind of piece; piece kind; readout; stückart; art des stücks; art der anzeige; ablesung; type de pièce; "
        "genre de pièce; tipo de pieza; clase de pieza"
    ),
    "witness": "witness mark; counted from; zählung ab; gezählt ab; compté depuis; contado desde",
    "socket": (
        "socket id; socket no; socket no.; socket number; socket nr; nuss; stecknuss; steckschlüssel; douille; vaso; "
        "llave de vaso"
    ),
    "start": "start at; start bei; départ à; inicio en",
    "height": "band height; bandhöhe; hauteur de bande; altura de banda",
    "fasteners": "number of fasteners; schrauben; anzahl schrauben; vis; nombre de vis; tornillos; número de tornillos",
}

_WEAK = {
    "id": "no; no.; nr; nr.; number; nummer; n°; nº; numéro; número; item; pos; pos.",
    "opening": "size; socket size; größe; taille; tamaño; medida",
    "od": "diameter; dia; durchmesser; diamètre; diámetro",
}
"""Words that many lists use for something else beside the column: they stand for it only where it is not there."""


SYNONYMS, WEAK_SYNONYMS = by_word(_WORDS), by_word(_WEAK)
"""Other headers of a column, in English, German, French and Spanish, without regard to case, spaces and `_`."""

_LOOK_ALIKES = {
    "thread": (
        "lh", "rh", "l/r", "r/l", "lh/rh", "rh/lh", "left", "right", "left/right", "left hand", "right hand",
        "left-hand", "right-hand", "left-hand thread", "left hand thread", "left thread", "thread direction",
        "thread hand", "direction", "sense", "rotation", "handed", "handedness", "links", "rechts", "links/rechts",
        "drehrichtung", "linksgewinde", "sens", "sens de rotation", "gauche", "droite", "sentido", "izquierda",
    ),
    "od": (
        "ø", "⌀", "d", "outside", "outside dia", "outer dia", "outside ø", "outer ø", "outside d", "socket dia",
        "external dia", "o/d",
    ),
    "around": ("girth", "perimeter", "wrap", "périmètre", "perímetro"),
    "drive": ("square", "sq", "sq drive", "dr", "driver"),
    "opening": ("hex", "hex size", "across-flats", "flats", "jaw"),
    "points": ("pt", "pts", "corners"),
    "stock": ("thickness", "paper", "dicke", "épaisseur", "espesor"),
    "copies": ("count", "pieces", "pcs", "amount"),
    "kind": ("type", "typ", "art", "tipo", "piece", "shape"),
    "spec": ("tightening", "tightening specification"),
    "witness": ("counts from",),
    "height": ("high", "höhe", "hauteur", "altura"),
    "fasteners": ("bolts", "screws", "studs", "nuts"),
}  # fmt: skip

_MEANT = {word: column for column, words in _LOOK_ALIKES.items() for word in words}
"""Headers that most likely mean a column, though not surely enough to read them as it."""

CELLS = {
    "thread": "right or left in the cells",
    "spec": "torque and turn together in its cells, as 110 N·m + 90° +10/-0",
}
"""What the cells below a header hold, where a mark in the header does not do."""

_UNIT = re.compile(
    r"(?:(?P<open>[\[({])|,? +(?:in +)?|, *)"
    r"(?P<unit>mm|cm|inch(?:es)?|in|\"|″|zoll|pouces?|pulgadas?)(?(open)[\])}])\Z"
)

_MARKS = " .,:;*?!#-'\"″"

_TAIL = re.compile(r"[\[({,].*|(?<=.)[ .:/-]*(?:mm|cm|\b(?:in \w+|m|in|inch|inches|pcs))\Z")


class Heading(NamedTuple):
    """What a header names: a column, the `unit` of bare numbers below it ("" for none), and whether `weak`ly."""

    column: str
    unit: str = ""
    weak: bool = False


@lru_cache(maxsize=1024)
def heading_of(header: str, columns: tuple[str, ...]) -> Heading | None:
    """Return which of `columns` a header names: heading_of("A/F [mm]", COLUMNS) = Heading("opening", "mm").

    Below the words for a socket, a register, which has no such column, holds its id. None for a header that names none.
    """
    text = simplified(header[:100])
    found = _UNIT.search(text)
    tries = [(text, "")]
    if found:
        unit = found["unit"] if found["unit"] in ("mm", "cm") else "in"
        tries.append((text[: found.start()].strip(), unit))
    for word, unit in tries:
        column = SYNONYMS.get(word) or WEAK_SYNONYMS.get(word, word)
        if column == "socket" and "socket" not in columns:
            return Heading("id", weak=True)
        if column in columns and (not unit or column in MEASURED):
            return Heading(column, unit, word in WEAK_SYNONYMS)
    return None


def look_alike(header: str, columns: tuple[str, ...]) -> str | None:
    """Return the one of `columns` that a header, which names none, looks like: look_alike("threads", COLUMNS).

    Brackets or marks round a known word look like it, and so does a slip of the pen.
    """
    text = simplified(header[:60])
    for word in (text, text.strip(_MARKS), _TAIL.sub("", text).strip(_MARKS)):
        column = _MEANT.get(word, SYNONYMS.get(word, word))
        if column in columns:
            return column
        for near in difflib.get_close_matches(word, (*columns, *SYNONYMS), 3, 0.8):
            if near[0] == word[0] and SYNONYMS.get(near, near) in columns:
                return SYNONYMS.get(near, near)
    return None


_OTHER_UNITS = {"", "-", "–", "—", "°", "deg", "nm", "n·m", "pcs", "pcs.", "stk", "stk."}


def is_units(cells: Sequence[str]) -> bool:
    """Tell whether a row below the headings holds their units, one of a length among them: ["", "", "in", "[mm]"]."""
    bare = [simplified(cell[:20]).strip("[](){}") for cell in cells]
    lengths = [bool(_UNIT.search(f", {cell}")) and " " not in cell for cell in bare]
    return any(lengths) and all(length or cell in _OTHER_UNITS for length, cell in zip(lengths, bare, strict=True))


def with_unit(heading: str, unit: str, columns: tuple[str, ...]) -> str:
    """Return a heading of lengths with the unit from the row below it: with_unit("OD", "mm", COLUMNS) = "OD (mm)".

    Others stay as they are; one that has another unit itself becomes a heading that is not read.
    """
    found = heading_of(heading, columns)
    if not found or found.column not in MEASURED or not unit.strip("-–— "):
        return heading
    of_both = heading_of(f"{found.column} ({unit.strip('[](){} ')})", columns)
    return heading if of_both and found.unit == of_both.unit else f"{heading} ({unit.strip('[](){} ')})"
