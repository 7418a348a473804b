"""What stdout and stderr can take: plain spellings where the encoding lacks a sign, and all of a PDF or an error."""

from __future__ import annotations

import codecs
import contextlib
import errno
import io
import os
import sys
import unicodedata
from typing import IO, Any

PLAIN = {
    "−": "-", "–": "-", "·": ".", "∙": ".", "⋅": ".", "×": "x", "÷": "/", "±": "+/-", "√": "sqrt ", "°": " deg",
    "π": "pi", "µ": "u", "μ": "u", "Σ": "sum ", "α": "alpha", "β": "beta", "δ": "delta", "φ": "phi", "ρ": "rho",
    "“": '"', "”": '"', "„": '"', "‘": "'", "’": "'", "′": "'", "″": '"', "…": "...", "•": "*", "→": "->",
    "≤": "<=", "≥": ">=", "≈": "~", "▲": "^", "▼": "v", "█": "#", "⁄": "/", "ß": "ss", "\N{NO-BREAK SPACE}": " ",
}  # fmt: skip
"""How a sign is spelled in ASCII."""


def spell_plainly(*streams: Any) -> None:
    """Let text streams spell what their encoding lacks in ASCII, instead of failing."""
    codecs.register_error("turnband.plain", _plain)
    codecs.register(_named_anew)
    for stream in streams:
        if isinstance(stream, io.TextIOWrapper):
            ascii_only = codecs.lookup(stream.encoding).name == "ascii"
            stream.reconfigure(encoding="turnband_ascii" if ascii_only else None, errors="turnband.plain")


def _plain(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(map(_spelled, error.object[error.start : error.end])), error.end


def _spelled(char: str) -> str:
    """A character in ASCII: its usual spelling, the letter without its accent, or its code point."""
    decomposed = "".join(PLAIN.get(part, part) for part in unicodedata.normalize("NFKD", char))
    plain = PLAIN.get(char) or decomposed.encode("ascii", "ignore").decode()
    return plain or char.encode("ascii", "backslashreplace").decode()


def _named_anew(name: str) -> codecs.CodecInfo | None:
    """ASCII under another name: click takes the usual one for a mistake and writes UTF-8."""
    if name != "turnband_ascii":
        return None
    known = codecs.lookup("ascii")
    return codecs.CodecInfo(
        known.encode, known.decode, known.streamreader, known.streamwriter, known.incrementalencoder,
        known.incrementaldecoder, name,
    )  # fmt: skip


def write_all(stream: IO[bytes], content: bytes) -> None:
    """Write all of `content`, also to a stream without a buffer, which may take a part at a time. Raises OSError."""
    rest = memoryview(content)
    while rest:
        count = stream.write(rest)
        if count is None:
            raise BlockingIOError(errno.EAGAIN, "it does not wait for its reader")
        rest = rest[count:]
    stream.flush()


def say(message: str) -> None:
    """Put a message on stderr, if there is one that takes it."""
    with contextlib.suppress(OSError, AttributeError):
        print(laid_out(f"turnband: {message}"), file=sys.stderr, flush=True)


def laid_out(message: str) -> str:
    """Wrap a message at words to the width of the terminal that stderr is; else leave it, so that scripts can grep.

    Lines that begin with a space show what was typed, above a caret: they stay as they are.
    """
    try:
        width = os.get_terminal_size(sys.stderr.fileno()).columns or 80
    except (OSError, ValueError, AttributeError):
        return message
    from textwrap import fill

    return "\n".join(
        line if line.startswith(" ") else fill(
            line, width, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False
        )
        for line in message.split("\n")
    )  # fmt: skip


def close_stdout() -> None:
    """Give up what stdout has not taken: the interpreter would try again at its end, and complain."""
    with contextlib.suppress(OSError, AttributeError):
        sys.stdout.close()
