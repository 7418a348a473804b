"""From a document to finished files: the suffix decides the format, and files are written whole or not at all."""

from __future__ import annotations

import itertools
import warnings
from collections.abc import Collection, Iterable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from ..drawing import Document, worked
from ..errors import OutputError, OutputWarning

if TYPE_CHECKING:
    from .files import Writer

SUFFIXES = (".pdf", ".svg")

NAMED = 4
"""Files that one warning names."""


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

    All files are written, or none is made or changed. Raises OutputError when they cannot be written; warns with
    OutputWarning of pages that an older, longer document of the same name has left.
    """
    from .files import write_whole

    files = writers(document, target)
    write_whole(files)
    warn_of_stale([target], files)
    return [str(path) for path in files]


def warn_of_stale(targets: Iterable[str], written: Collection[Path]) -> None:
    """Warn of files that look like further pages of SVG `targets`, but are not among the `written`."""
    for path in map(Path, targets):
        if path.suffix.lower() == ".svg":
            numbered = (path.with_stem(f"{path.stem}-{number}") for number in itertools.count(1))
            there = itertools.takewhile(lambda page: page in written or page.exists(), numbered)
            stale = [repr(page.name) for page in (path, *there) if page not in written and page.exists()]
            if stale:
                warnings.warn(
                    f"{', '.join(stale[:NAMED])}{' …' if stale[NAMED:] else ''} in {str(path.parent)!r} may be taken "
                    "for pages of what was just written, but an older run left them: remove them",
                    OutputWarning, stacklevel=3,
                )  # fmt: skip
