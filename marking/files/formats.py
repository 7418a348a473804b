"""From a document to finished files: the suffix decides the format, and files are written whole or not at all."""

from __future__ import annotations

import itertools
import warnings
from collections.abc import Callable, Collection, Iterable, Iterator
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any, NamedTuple

from ..errors import OutputError, OutputWarning

if TYPE_CHECKING:
    from ..drawing.primitives import Document
    from .whole import Writer


class Format(NamedTuple):
    """A kind of file, written by a function of the module `home`, which loads when something is written.

    It writes a document, `function(document, file)`, or with `a_page` returns one page as bytes for a file of its own:
    `function(page, document)`, where the document has no pages, only what describes it.
    """

    home: str
    function: str
    a_page: bool = False

    @property
    def load(self) -> Callable[..., Any]:
        """The function."""
        function: Callable[..., Any] = getattr(import_module(self.home, __package__), self.function)
        return function


FORMATS = {".pdf": Format(".pdf", "write_pdf"), ".svg": Format(".svg", "svg_bytes", a_page=True)}
"""The formats by suffix."""

STREAMED = ".pdf"
"""What goes to stdout."""

NAMED = 4
"""Files that one warning names."""


def format_of(target: str) -> Format:
    """Return the format that the suffix of `target` names. Raises OutputError for another one."""
    suffix = Path(target).suffix.lower()
    if suffix not in FORMATS:
        known = " or ".join(FORMATS)
        raise OutputError(f"cannot write {target!r}", f"a name that ends in {known}", value=target, field="output")
    return FORMATS[suffix]


def writers(document: Document, target: str) -> dict[Path, Writer]:
    """Return what writes each file that `save` would make, by name; they are to be called in order.

    Several pages of a format with a file a page go to `name-1.svg`, `name-2.svg`, … Raises OutputError for another
    suffix.
    """
    path, found = Path(target), format_of(target)
    if not found.a_page:
        return {path: partial(found.load, document)}
    from ..drawing.primitives import worked

    pages = enumerate(worked(document.pages, partial(found.load, document=document._replace(pages=()))), 1)
    numbers = range(1, len(document.pages) + 1)
    if len(numbers) == 1:
        return {path: partial(_write_page, pages, 1)}
    return {path.with_stem(f"{path.stem}-{number}"): partial(_write_page, pages, number) for number in numbers}


def _write_page(pages: Iterator[tuple[int, bytes]], number: int, file: IO[bytes]) -> None:
    """Write the page that comes next: pages are drawn one after the other, or by other processes in that order."""
    drawn, content = next(pages)
    assert drawn == number
    file.write(content)


def save(document: Document, target: str) -> list[str]:
    """Write `document` in the format that the suffix of `target` names and return the names of the files written.

    All files are written, or none is made or changed. Raises OutputError when they cannot be written; warns with
    OutputWarning of pages that an older, longer document of the same name has left.
    """
    from .whole import write_whole

    files = writers(document, target)
    write_whole(files)
    warn_of_stale([target], files)
    return [str(path) for path in files]


def warn_of_stale(targets: Iterable[str], written: Collection[Path]) -> None:
    """Warn of files that look like further pages of `targets` with a file a page, but are not among the `written`."""
    for path in map(Path, targets):
        if format_of(str(path)).a_page:
            numbered = (path.with_stem(f"{path.stem}-{number}") for number in itertools.count(1))
            there = itertools.takewhile(lambda page: page in written or page.exists(), numbered)
            stale = [repr(page.name) for page in (path, *there) if page not in written and page.exists()]
            if stale:
                warnings.warn(
                    f"{', '.join(stale[:NAMED])}{' …' if stale[NAMED:] else ''} in {str(path.parent)!r} may be taken "
                    "for pages of what was just written, but an older run left them: remove them",
                    OutputWarning, stacklevel=3,
                )  # fmt: skip
