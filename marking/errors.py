"""What can go wrong, as exceptions that say what was wrong, what was expected and what to try."""

from __future__ import annotations

import reprlib
import unicodedata

LONGEST_SHOWN = 42
"""Characters of a foreign value in a message, quotes included (our choice: the longest printer's name fits)."""

_SHORT = reprlib.Repr()
_SHORT.fillvalue = "…"
_SHORT.maxstring = _SHORT.maxother = LONGEST_SHOWN


class MarkingError(Exception):
    """Root of every error this library raises on purpose.

    `what` says what was wrong, `expected` what would have been right, `advice` what to try; `value` keeps the
    offending value. The three texts are joined to the message a user reads.
    """

    def __init__(self, what: str, expected: str = "", advice: str = "", value: object = None) -> None:
        self.what = what
        self.expected = expected
        self.advice = advice
        self.value = value
        hints = "; ".join(hint for hint in (f"expected {expected}" if expected else "", advice) if hint)
        joint = "" if what.endswith("\n") or not hints else "; "
        super().__init__(f"{what}{joint}{hints}".rstrip("\n"))


class TextInputError(MarkingError, ValueError):
    """A text that cannot be read; the message shows it with a caret under the first character not understood.

    `position` is the index of that character in the text (its length when the text ends too early).
    """

    def __init__(self, text: str, position: int, what: str, expected: str = "", advice: str = "") -> None:
        self.position = position
        super().__init__(f"{what}\n{pointed_out(text, position)}\n", expected, advice, text)


class RangeError(MarkingError, ValueError):
    """A value that can be read but lies outside its stated limits."""


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


def pointed_out(text: str, position: int, width: int = 72) -> str:
    """Return `text` on one line and, below it, a caret under the character at `position`.

    Characters that do not show, or that would move the line about, appear as U+FFFD; long texts are cut round the
    caret to `width` columns.
    """
    start = max(0, min(position - width // 2, len(text) - width))
    cut = "".join(_visible(char) for char in text[start : start + width])
    lead, tail = ("…" if start else ""), ("…" if start + width < len(text) else "")
    before = lead + cut[: position - start]
    return f"  {lead}{cut}{tail}\n  {' ' * sum(_columns(char) for char in before)}^"


def _visible(char: str) -> str:
    steady = char.isprintable() and unicodedata.bidirectional(char) not in ("R", "AL", "AN", "NSM", "BN", "")
    return char if steady else "\ufffd"


def _columns(char: str) -> int:
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1
