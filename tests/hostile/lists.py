"""Hostile CSV lists and registers: foreign encodings, quotes, dialects and headers, formulas, and good lists spoilt."""

from __future__ import annotations

import csv
import io
import random
import tempfile
from functools import cache
from pathlib import Path
from typing import NamedTuple

from hostile.harness import Kind, check_message
from marking import MarkingError
from marking.lists.headings import COLUMNS, SYNONYMS, WEAK_SYNONYMS
from marking.lists.read import read_list, read_register

GOOD = {
    "id": "B1", "spec": "110 N·m + 90° +10/-0", "points": "12", "drive": "1/2", "opening": "19 mm", "od": "27,8 mm",
    "around": "", "thread": "LH", "stock": "0,1 mm", "copies": "2", "title": "Größe Ж", "kind": "ring",
    "socket": "S1", "witness": "fresh", "start": "flat", "height": "20 mm", "fasteners": "3",
}  # fmt: skip
HEADERS = (
    *COLUMNS,
    *SYNONYMS,
    *WEAK_SYNONYMS,
    "OD mm",
    "height (mm)",
    "od [mm]",
    "LH",
    "threads",
    "Ø",
    "remark",
    "",
    "x" * 300,
    "=1+1",
    "\x1b[31m",
    "İd",
)
CELLS = (
    "", "27.8 İN", "1/2 ın", "10 lbſ·ft + 90°", "=cmd|' /C calc'!A0", "\x1b[31m", "\u202eabc", "a\tb", "a\nb", "1e999",
    "90° ±5, 30°", "½", "１２", "٣ mm", "nan", "-0", "x" * 10_001, "9" * 5_000, "01. Feb", "'", '"', "\x00",
    "\u0130\u0131\u017f\ufb01", "CON", "../a", "\U0001f527", "ﬁ", "e\u0301",
)  # fmt: skip
ENCODINGS = ("utf-8", "utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252", "cp1250", "cp1251", "latin-1", "utf-7")
BYTES = b",;\t\"'\r\n\0\x1a\x7f\x80\x81\xe9\xff\xfe\xef=+-@0 \xc2\xb0"


class Table(NamedTuple):
    """The bytes of a file, and whether it is to be read as a register."""

    raw: bytes
    is_register: bool


def good(rng: random.Random) -> Table:
    """Return a list whose rows are all right."""
    columns = [name for name in GOOD if name != "socket"]
    rng.shuffle(columns)
    return Table(_written(rng, [columns, *[[GOOD[name] for name in columns]] * rng.randint(1, 4)]), rng.random() < 0.2)


def spoilt_cells(rng: random.Random) -> Table:
    """Return a list some of whose headers and cells are hostile."""
    columns = [name if rng.random() < 0.98 else rng.choice(HEADERS) for name in GOOD if rng.random() < 0.9]
    rows = [
        [rng.choice(CELLS) if rng.random() < 0.1 else GOOD.get(name, "x") for name in columns]
        for _ in range(rng.randint(1, 5))
    ]
    if rng.random() < 0.2:
        rows.append([rng.choice(CELLS)] * rng.randint(1, 80))
    return Table(_written(rng, [columns, *rows]), rng.random() < 0.3)


def spoilt_bytes(rng: random.Random) -> Table:
    """Return a list with bytes changed, doubled, or cut away."""
    raw, is_register = good(rng) if rng.random() < 0.5 else spoilt_cells(rng)
    data = bytearray(raw)
    for _ in range(rng.randint(1, 8)):
        at = rng.randrange(len(data) + 1)
        match rng.randrange(3):
            case 0:
                data[at : at + 1] = bytes([rng.choice(BYTES)]) * rng.choice((1, 1, 2, 300))
            case 1:
                del data[at : at + rng.randint(1, 20)]
            case _:
                data[at:at] = data[at : at + rng.randint(1, 60)]
    return Table(bytes(data), is_register)


def _written(rng: random.Random, rows: list[list[str]]) -> bytes:
    out = io.StringIO()
    end = rng.choice(("\r\n", "\n", "\r"))
    csv.writer(out, delimiter=rng.choice(",;\t"), lineterminator=end).writerows(rows)
    return out.getvalue().encode(rng.choice(ENCODINGS), "replace")


@cache
def _folder() -> tempfile.TemporaryDirectory[str]:
    return tempfile.TemporaryDirectory(prefix="hostile-")


def read_table(raw: bytes, name: str, is_register: bool) -> bool:
    """Return whether a file is read with pieces, or sockets, or is refused; every fault must be one clean line."""
    path = Path(_folder().name) / name
    path.write_bytes(raw)
    try:
        found = read_register(path) if is_register else read_list(path)
    except MarkingError as error:
        check_message(str(error))
        return False
    for text in (*(fault.text for fault in found.faults), *map(str, found.warnings)):
        check_message(text)
        assert "\n" not in text
    return bool(found[0])


def feed(table: Table) -> bool:
    return read_table(table.raw, "list.csv", table.is_register)


KINDS = (
    Kind("good lists in all dialects", good, feed),
    Kind("lists with hostile cells", spoilt_cells, feed),
    Kind("lists with hostile bytes", spoilt_bytes, feed),
)
