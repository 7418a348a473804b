"""From a document to finished files: the suffix decides the format, and files are written whole or not at all."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from ..drawing import Document, worked
from ..errors import OutputError

if TYPE_CHECKING:
    from .files import Writer

SUFFIXES = (".pdf", ".svg")


def format_of(target: str) -> str:
    """Return ".pdf" or ".svg", by the suffix of `target`. Raises OutputError for another one."""
    suffix = Path(target).suffix.lower()
    if suffix not in SUFFIXES:
        raise OutputError(f"cannot write {target!r}", "a name that ends in .pdf or .svg", "check --output", target)
    return suffix


def writers(document: Document, target: str) -> dict[Path, Writer]:
    """Return what writes each file that `save` would make, by name, in order: one PDF, or an SVG a page.

    An SVG of several pages goes to `name-1.svg`, `name-2.svg`, … Raises OutputError for another suffix.
    """
    path = Path(target)
    if format_of(target) == ".pdf":
        from .pdf import write_pdf

        return {path: partial(write_pdf, document)}
    from .svg import svg_bytes

    pages = worked(document.pages, partial(svg_bytes, document=document._replace(pages=())))
    count = len(document.pages)
    names = [path] if count == 1 else [path.with_stem(f"{path.stem}-{number}") for number in range(1, count + 1)]
    return {name: lambda file: file.write(next(pages)) for name in names}


def save(document: Document, target: str) -> list[str]:
    """Write `document` as PDF or SVG and return the names of the files written.

    All files are written, or none is made or changed. Raises OutputError when they cannot be written.
    """
    from .files import write_whole

    files = writers(document, target)
    write_whole(files)
    return [str(path) for path in files]
