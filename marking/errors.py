"""What can go wrong, as exceptions that say what was wrong, what was expected and what to try."""

from __future__ import annotations

import re
import reprlib
import unicodedata
from collections.abc import Callable
from typing import Any

Namer = Callable[[str], str]
"""Gives a reader's own word for a field: "OD" in the library, "--od" on a command line, "od" in a list; and for a
command, which has a space in its name: "turnband disc"."""


def plain_name(field: str) -> str:
    """Return a field's name as it stands in a sentence."""
    return {"od": "OD", "od_range": "OD range"}.get(field, field.replace("_", " "))


def named(text: str, name: Namer = plain_name) -> str:
    """Return `text` with the reader's words for fields and commands that it names: `{@paper}`, `{@turnband disc}`."""
    return re.sub(r"\{@([\w ]+)\}", lambda found: name(found[1]), text)


LONGEST_SHOWN = 42
"""Characters of a foreign value in a message, quotes included (our choice: the longest printer's name fits)."""

_SHORT = reprlib.Repr()

_SHORT.fillvalue = "…"

_SHORT.maxstring = _SHORT.maxother = LONGEST_SHOWN


class MarkingError(Exception):
    """Root of every error this library raises on purpose.

    `what` says what was wrong, `expected` what would have been right, `advice` what to try; `value` keeps the
    offending value, `field` the name of the field it came from. The three texts, in which `{@paper}` stands for the
    field `paper`, are joined to the message a user reads; without advice, it is to check the field.
    """

    def __init__(self, what: str, expected: str = "", advice: str = "", value: object = None, field: str = "") -> None:
        self.what = what
        self.expected = expected
        self.advice = advice or (f"check {{@{field}}}" if field else "")
        self.value = value
        self.field = field
        super().__init__(self.message())

    def message(self, name: Namer = plain_name) -> str:
        """Return what a user reads, with the reader's own words for fields."""
        hints = "; ".join(hint for hint in (f"expected {self.expected}" if self.expected else "", self.advice) if hint)
        joint = "" if self.what.endswith("\n") or not hints else "; "
        return named(f"{self.what}{joint}{hints}".rstrip("\n"), name)


class KindError(MarkingError, TypeError):
    """A value, given from Python, of a kind that is not taken: a bare number where a length is wanted."""


class TextInputError(MarkingError, ValueError):
    """A text that cannot be read; the message shows it with a caret under the first character not understood.

    `position` is the index of that character in the text (its length when the text ends too early). `problem` says
    what is wrong with `subject` ("the spec", "has no turn"), or all of it when that is empty.
    """

    def __init__(
        self, text: str, position: int, problem: str, expected: str = "", advice: str = "", field: str = "",
        subject: str = "",
    ) -> None:  # fmt: skip
        self.position, self.problem, self.subject = position, problem, subject
        super().__init__(f"{subject} {problem}:\n{pointed_out(text, position)}\n".lstrip(), expected, advice, text)
        self.field = field  # only now: the caret tells what to check


class RangeError(MarkingError, ValueError):
    """A value that can be read but lies outside its stated limits."""


def within(
    what: str, value: float, low: float, high: float, field: str, show: Callable[[Any], str] = str,
    more: str = "", advice: str = "",
) -> None:  # fmt: skip
    """Raise RangeError unless `value` lies within `low` to `high`.

    `{}` in `what` stands for the value; `show` writes value and limits, and `more` stands behind the limits.
    """
    if not low <= value <= high:
        raise RangeError(what.format(show(value)), f"{show(low)} to {show(high)}{more}", advice, value, field)


class SocketError(MarkingError, ValueError):
    """A socket that cannot exist as described."""


class LayoutError(MarkingError, ValueError):
    """Something that does not fit where it has to go: on the band, on the ring, on the paper."""


class CharacterError(MarkingError, ValueError):
    """A character that the embedded font cannot print."""


class OutputError(MarkingError, OSError):
    """A file that cannot be written."""


class OutputWarning(UserWarning):
    """Files beside those written that may be taken for theirs."""


def shown(value: object) -> str:
    """Return `value` as in source code, for a message: whole if short, else its two ends: 'office', 'aaaaaa…aaaaaa'."""
    return _SHORT.repr(value)


def shortened(text: str, width: int = 100) -> str:
    """Return `text` for a message: whole if it has at most `width` characters, else its two ends."""
    return text if len(text) <= width else f"{text[: width // 2]}…{text[1 - width // 2 :]}"


_UNSTEADY = ("R", "AL", "AN", "NSM", "BN", "")
"""Classes of characters that would move a line about, or have no place of their own (Unicode, bidirectional class)."""


def pointed_out(text: str, position: int, width: int = 72) -> str:
    """Return `text` on one line and, below it, a caret under the character at `position`.

    Characters that do not show, or that would move the line about, appear as U+FFFD; long texts are cut round the
    caret to `width` columns.
    """
    start = max(0, min(position - width // 2, len(text) - width))
    cut = "".join(
        char if char.isprintable() and unicodedata.bidirectional(char) not in _UNSTEADY else "\ufffd"
        for char in text[start : start + width]
    )
    lead, tail = ("…" if start else ""), ("…" if start + width < len(text) else "")
    before = lead + cut[: position - start]
    columns = len(before) + sum(unicodedata.east_asian_width(char) in "WF" for char in before)
    return f"  {lead}{cut}{tail}\n  {' ' * columns}^"
