"""The columns of lists and registers, as clerks head them: words that are read, and words that only look like one."""

from __future__ import annotations

import difflib
import re

COLUMNS = (
    "id", "spec", "points", "drive", "opening", "od", "around", "thread", "stock", "copies", "title",
    "kind", "socket",
)  # fmt: skip

REGISTER_COLUMNS = ("id", "points", "drive", "opening", "od", "around")

SYNONYMS = {
    "specification": "spec", "tightening spec": "spec",
    "drive size": "drive", "square drive": "drive",
    "across flats": "opening", "width across flats": "opening", "af": "opening", "a/f": "opening",
    "outside diameter": "od", "outer diameter": "od", "o.d.": "od",
    "hand": "thread", "stock thickness": "stock", "quantity": "copies", "qty": "copies", "socket id": "socket",
}  # fmt: skip
"""Other headers that the trade writes over a column; headers are compared without regard to case, spaces and `_`."""

_LOOK_ALIKES = {
    "thread": (
        "lh", "rh", "l/r", "r/l", "lh/rh", "rh/lh", "left", "right", "left/right", "left hand", "right hand",
        "left-hand", "right-hand", "left-hand thread", "left hand thread", "left thread", "thread direction",
        "thread hand", "hand of thread", "direction", "sense", "rotation", "handed", "handedness",
    ),
    "od": (
        "diameter", "dia", "ø", "⌀", "d", "outside", "outside dia", "outer dia", "outside ø", "outer ø", "outside d",
        "socket od", "socket diameter", "socket dia", "external diameter", "external dia", "o/d",
    ),
    "around": ("circumference", "girth", "perimeter", "length round", "length around", "wrap"),
    "drive": ("square", "sq", "sq drive", "dr", "driver", "drive square"),
    "opening": ("size", "socket size", "hex", "hex size", "across-flats", "flats", "jaw", "sw"),
    "points": ("pt", "pts", "no of points", "no. of points", "number of points", "corners"),
    "stock": ("thickness", "paper", "paper thickness"),
    "copies": ("count", "pieces", "pcs", "amount", "no of copies", "number of copies"),
    "kind": ("type", "piece", "shape", "kind of piece"),
    "spec": ("tightening", "tightening specification"),
    "socket": ("socket no", "socket no.", "socket number", "socket nr"),
}  # fmt: skip

_MEANT = {word: column for column, words in _LOOK_ALIKES.items() for word in words}
"""Headers that most likely mean a column, though not surely enough to read them as it."""

_LENGTH = "the unit in every cell, as 27.8 mm"

CELLS = {
    "thread": "right or left in the cells", "od": _LENGTH, "around": _LENGTH, "opening": _LENGTH,
    "stock": "the unit in every cell, as 0.1 mm",
}  # fmt: skip
"""What the cells below a header hold, where a unit or a mark in the header does not do."""

_MARKS = " .,:;*?!#-'\"″"

_TAIL = re.compile(r"[\[({,].*|(?<=.)[ .:/-]*(?:mm|cm|\b(?:in \w+|m|in|inch|inches|pcs))\Z")


def simplified(text: str) -> str:
    """Return `text` as headers are compared: simplified(" Across_Flats ") = "across flats"."""
    return " ".join(text.replace("_", " ").casefold().split())


def column_of(header: str) -> str:
    """Return the column that a header names: column_of(" A/F ") = "opening"; unknown ones simplified."""
    name = simplified(header)
    return SYNONYMS.get(name, name)


def look_alike(header: str, columns: tuple[str, ...]) -> str | None:
    """Return the one of `columns` that a header, which names none, looks like: look_alike("OD mm", COLUMNS) = "od".

    A unit, brackets or marks round a known word look like it, and so does a slip of the pen.
    """
    text = simplified(header[:60])
    for word in (text, text.strip(_MARKS), _TAIL.sub("", text).strip(_MARKS)):
        column = _MEANT.get(word, column_of(word))
        if column in columns:
            return column
        for near in difflib.get_close_matches(word, (*columns, *SYNONYMS), 3, 0.8):
            if near[0] == word[0] and column_of(near) in columns:
                return column_of(near)
    return None
