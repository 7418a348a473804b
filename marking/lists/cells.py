"""The cells of a list: each kind of text read or refused."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import lru_cache
from typing import Any

from ..drawing.fonts import printable
from ..errors import MarkingError, RangeError, TextInputError, named
from ..fastening.hand import read_thread
from ..fastening.opening import ANY_POINTS, POINTS
from ..fastening.socket import parse_drive
from ..fastening.spec import Stage
from ..fastening.spec_grammar import parse_spec
from ..fields import FASTENERS
from ..quantities.scanner import ANY_CASE
from ..readouts import READOUTS
from .headings import LENGTHS
from .spoken import meant, simplified
from .table_file import MAX_CELL, ListError, shown

MAX_ID = 60

MAX_COPIES = 1000
"""Limits of our own choosing, far above any real list."""


@lru_cache(maxsize=16_384)
def tried(read: Callable[..., Any], *arguments: Any) -> tuple[Any, MarkingError | None]:
    """Return what `read` makes of a text, or the error; lists repeat themselves, so both are kept."""
    try:
        return read(*arguments), None
    except MarkingError as error:
        return None, error.with_traceback(None)


_POINTS = re.compile(r"([0-9]{1,2})(?:[ -]?(?:pt|points?|kant|kt\.?|pans|puntas))?", ANY_CASE)

_COUNT = re.compile(r"([0-9]{1,9})(?:[.,]0)?(?: ?(?:x|×|pcs?|pieces?|stk|stück|pièces?|uds?|piezas?)\.?)?", ANY_CASE)

_UNITS = "\"″”“'′%°"

_NO_FILE_NAME = re.compile(r"""[/\\:*?"<>|]|\A[=+@.~-]|\.\Z|\A(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\..*)?\Z""", re.I)

_DATE = re.compile(r"\d{4}-\d\d-\d\d.*|\d{1,2}[. -]+[^\W\d_]{3,9}\.?|[^\W\d_]{3,9}\.?[ -]+\d{1,2}")


def read_points(text: str) -> int:
    """Read a number of points: "12" or "12-point". Raises RangeError."""
    found = _POINTS.fullmatch(meant("points", text))
    if not found or int(found[1]) not in POINTS:
        raise RangeError(f"{shown(text)} is no number of points", ANY_POINTS, "count the corners", text)
    return int(found[1])


def read_drive(text: str) -> str:
    """Read a driving square and return its name in inches. Raises a MarkingError."""
    return parse_drive(text).inch


def read_hand(text: str) -> str:
    """Read a thread's hand in English, German, French or Spanish: "left" or "right". Raises RangeError."""
    return read_thread(meant("thread", text))


def is_bare(text: str) -> bool:
    """Tell whether a cell holds a number without a unit, a diameter's sign perhaps before it: is_bare("Ø27,8")."""
    return not any(char.isalpha() or char in _UNITS for char in text.lstrip("Øø⌀∅ "))


def read_turn(text: str) -> Stage:
    """Read one turn without a torque. Raises a MarkingError."""
    spec = parse_spec(text)
    if len(spec.steps) != 1:
        raise RangeError(f"{shown(text)} is more than a turn", "one turn, such as 90° +10/-0", "put commas between")
    return spec.stages[0]


def read_kind(text: str) -> str:
    """Read the kind of a piece. Raises RangeError."""
    kind = simplified(meant("kind", text))
    if kind not in READOUTS:
        raise RangeError(f"{shown(text)} is no kind of piece", f"one of: {', '.join(READOUTS)}", "check the cell", text)
    return kind


def read_copies(text: str) -> int:
    """Read a number of copies. Raises RangeError."""
    return _read_count(text, "copies", MAX_COPIES)


def read_fasteners(text: str) -> int:
    """Read a number of fasteners, each with a witness pointer. Raises RangeError."""
    return _read_count(text, "fasteners", FASTENERS.high or 0)


def _read_count(text: str, things: str, most: int) -> int:
    found = _COUNT.fullmatch(text)
    if not found or not 1 <= int(found[1]) <= most:
        raise RangeError(f"{shown(text)} is no number of {things}", f"1 to {most}", "check the cell", text)
    return int(found[1])


def read_choice(text: str, column: str, choices: tuple[str, ...]) -> str:
    """Read one of some words, without regard to case or language. Raises RangeError."""
    word = simplified(meant(column, text))
    if word not in choices:
        raise RangeError(f"{shown(text)} is no {column}", " or ".join(choices), "check the cell", text)
    return word


def read_id(text: str) -> str:
    """Return an id that can be printed and can name a file on every system. Raises CharacterError or ListError."""
    name = printable(text, "id", MAX_ID)
    if _NO_FILE_NAME.search(name):
        raise ListError(
            f"{shown(name)} cannot name a file",
            'no / \\ : * ? " < > | in it, none of = + @ . ~ - first, no dot last, no name that systems reserve',
            "choose another id",
            name,
        )
    return name


def message_of(error: MarkingError, column: str, text: str = "") -> str:
    """Return the error on one line, in the words of a list: with the cell for its subject, columns for options."""
    what, advice = error.what, error.advice
    if isinstance(error, TextInputError):
        cell, at = str(error.value), error.position
        what = f"{shown(cell)} {error.problem}" if error.subject else f"{error.problem}: {shown(cell)}"
        rest = f"“{shown(cell[at:], 20)}”"
        what += f" at {rest}" if 0 < at < len(cell) <= MAX_CELL and rest not in error.problem else ""
    if column in ("drive", *LENGTHS) and _DATE.fullmatch(text):
        advice = "the spreadsheet made a date of it: format the column as text and type it again"
    parts = (what, f"expected {error.expected}" if error.expected else "", advice)
    return shown(named("; ".join(part for part in parts if part), column_of), 500)


def column_of(field: str) -> str:
    """Return the column that holds a field, "od"; for a command what a list has in its place, "kind disc"."""
    return field.replace("turnband ", "kind ").replace("_", " ")
