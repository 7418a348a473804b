"""The command that prints a file again, carried by the file itself: written alike in every format, and found in any.

A PDF holds it in its metadata (XMP, ISO 16684-1), which other programs keep and leave uncompressed, so that it is found
without taking the file apart; an SVG in its `metadata` element. It stands there as XML in UTF-8.
"""

from __future__ import annotations

import re
from html import escape, unescape
from pathlib import Path
from typing import IO

from ..errors import MarkingError, OutputError, shown

MAX_COMMAND = 20_000
"""Longest command in bytes (our choice: a set that names a thousand pieces stays below)."""

MAX_FILE_BYTES = 2**30
"""How far into a file it is looked for (our choice)."""

CHUNK_BYTES = 2**20

ELEMENT = '<turnband:command xmlns:turnband="urn:turnband">{}</turnband:command>'

PACKET = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about="">
{}
</rdf:Description></rdf:RDF>
<?xpacket end="r"?>"""

_NO_XML = re.compile("[^\t\n\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What no XML document may hold (XML 1.0, production 2); the name of a list may."""

_BEGIN = b"<turnband:command"

_WHOLE = re.compile(rb"<turnband:command[^<>]{0,200}>([^<>]+)</turnband:command>")


class CarriedError(MarkingError, ValueError):
    """A file that carries no command, or one that is not as it was written."""


def element(command: str) -> str:
    """Return the XML element that holds a command; "" for none, and for one with characters that XML has not."""
    return ELEMENT.format(escape(command, quote=False)) if command and not _NO_XML.search(command) else ""


def packet(command: str) -> bytes:
    """Return the XMP packet that holds a command; nothing where `element` is empty."""
    carried = element(command)
    return PACKET.format(carried).encode() if carried else b""


def carried_command(path: str) -> str:
    """Return the command that a file carries, as it was written.

    Raises OutputError for a file that cannot be read and CarriedError for one that carries none.
    """
    try:
        if Path(path).exists() and not Path(path).is_file():  # opening a pipe would wait for ever
            raise CarriedError(f"{shown(path)} is no ordinary file", "a PDF or an SVG of turnband", field="file")
        with open(path, "rb") as file:
            found = _found(file)
    except (OSError, ValueError) as error:  # ValueError: a name with a NUL
        if isinstance(error, MarkingError):
            raise
        reason = (getattr(error, "strerror", None) or str(error)).lower()
        raise OutputError(f"cannot read {shown(path)}: {reason}", "", "check its name", path, "file") from error
    if not found:
        raise CarriedError(
            f"{shown(path)} carries no command of turnband", "a PDF or an SVG written by turnband 0.2 or later",
            "another program may have taken it out: it also stands at the foot of the pages", path, "file",
        )  # fmt: skip
    return found


def _found(file: IO[bytes]) -> str:
    """The first command in a file; "" where there is none that is whole and of a sound length."""
    before = b""
    for _ in range(0, MAX_FILE_BYTES, CHUNK_BYTES):
        chunk = file.read(CHUNK_BYTES)
        place = (before + chunk).find(_BEGIN)
        if place >= 0:
            there = (before + chunk)[place:] + file.read(MAX_COMMAND)
            whole = _WHOLE.match(there[: MAX_COMMAND + 300])
            return unescape(whole[1].decode("utf-8", "replace")) if whole else ""
        if not chunk:
            break
        before = chunk[-len(_BEGIN) :]
    return ""
