"""From a document to finished files: the suffix decides the format, and files are written whole or not at all."""

from __future__ import annotations

import itertools
import warnings
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from functools import cache, partial
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any, NamedTuple

from ..errors import KindError, OutputError, OutputWarning, shown
from ..fields import FILE_FIELDS, Field

if TYPE_CHECKING:
    from ..drawing.primitives import Document
    from .whole import Writer


class Format(NamedTuple):
    """A kind of file, written by a function of the module `home`, which loads when something is written.

    It writes a document, `function(document, file)`, or with `a_page` returns one page as bytes for a file of its own:
    `function(page, document)`, where the document has no pages, only what describes it. `takes` are those of the
    `FILE_FIELDS` that the function takes besides, by name. `needs` are modules that are no part of every installation,
    with the requirements that bring them; the extras of pyproject.toml name the same. `media_type` is for the page.
    """

    home: str
    function: str
    a_page: bool = False
    takes: tuple[str, ...] = ()
    needs: tuple[tuple[str, str], ...] = ()
    media_type: str = "application/octet-stream"

    @property
    def at_hand(self) -> bool:
        """Whether the modules that it needs are there."""
        return not _lacking(self.needs)

    @property
    def load(self) -> Callable[..., Any]:
        """The function."""
        function: Callable[..., Any] = getattr(import_module(self.home, __package__), self.function)
        return function


CUTTER = (("ezdxf", "ezdxf>=1.3,<2"), ("fontTools", "fonttools>=4.50"), ("shapely", "shapely>=2.0"))
"""What pieces and outlines need, in any format."""

PICTURE = (("pypdfium2", "pypdfium2>=4.30"), ("PIL", "pillow>=10"))

FORMATS = {
    ".pdf": Format(".pdf", "write_pdf", media_type="application/pdf"),
    ".svg": Format(".svg", "svg_bytes", True, ("text",), media_type="image/svg+xml"),
    ".dxf": Format(".dxf", "dxf_bytes", True, (), CUTTER, "image/vnd.dxf"),
    ".png": Format(".picture", "png_bytes", True, ("dpi", "one_bit"), PICTURE, "image/png"),
}
"""The formats by suffix."""

STREAMED = ".pdf"
"""What goes to stdout."""

NAMED = 4
"""Files that one warning names."""


def format_of(target: str, field: str = "output") -> Format:
    """Return the format that the suffix of `target`, which stands in `field`, names. Raises OutputError for another."""
    suffix = Path(target).suffix.lower()
    if suffix not in FORMATS:
        known = " or ".join(FORMATS)
        raise OutputError(f"cannot write {target!r}", f"a name that ends in {known}", value=target, field=field)
    return FORMATS[suffix]


def check_asked(target: str, asked: Mapping[str, Any]) -> None:
    """Raise a MarkingError unless a file can be written as `asked`, by the names of `FILE_FIELDS`.

    It may need packages that are not there, or be of a format that something asked for says nothing of.
    """
    check_fields(asked)
    found, suffix = format_of(target), Path(target).suffix.lower()
    for name, value in asked.items():
        takers = [suffix for suffix, one in FORMATS.items() if name in one.takes]
        if takers and name not in found.takes:
            what = f"{{@{name}}} says nothing of a {suffix} file"
            raise OutputError(what, f"a name that ends in {' or '.join(takers)}", f"leave {{@{name}}} out", value)
    for_cutter = "pieces" in asked or asked.get("text") == "outlines"
    lacking = _lacking([*found.needs, *(CUTTER if for_cutter else ())])
    if lacking:
        modules, requirements = ", ".join(lacking), " ".join(f'"{one}"' for one in lacking.values())
        what = f"a file for a cutter needs {modules}" if for_cutter else f"a {suffix} file needs {modules}"
        raise OutputError(what, "", f"run pip install {requirements}", target)


def check_fields(asked: Mapping[str, Any]) -> None:
    """Raise a MarkingError for what cannot be `asked` of any file."""
    fields = {field.name: field for field in FILE_FIELDS}
    for name, value in asked.items():
        if name not in fields:
            raise KindError(f"a file has no field {shown(name)}", ", ".join(fields), "check the name", name)
        fields[name].check(value)
    if "kerf" in asked and "pieces" not in asked:
        advice = "give {@pieces} too: disc, or all"
        raise OutputError("{@kerf} is given without {@pieces}", "which pieces a machine cuts", advice, field="pieces")


FIELD_NEEDS = {"pieces": CUTTER, "kerf": CUTTER, "text": CUTTER, "dpi": PICTURE, "one_bit": PICTURE}


def usable_fields() -> tuple[Field, ...]:
    """Return those of the `FILE_FIELDS` that can be asked for with what is installed."""
    return tuple(field for field in FILE_FIELDS if not _lacking(FIELD_NEEDS.get(field.name, ())))


def _lacking(needs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """The requirements that are not met, by the modules that they bring."""
    return {module: requirement for module, requirement in needs if not is_there(module)}


@cache
def is_there(module: str) -> bool:
    """Whether a module is installed; looking for it takes as long as a small sheet."""
    return find_spec(module) is not None


def cut(document: Document, asked: Mapping[str, Any]) -> Document:
    """Return a document as `asked`: its pieces alone, or all of it. Raises a MarkingError as `save` does."""
    if "pieces" not in asked:
        return document
    from .cutting import cut_out  # loaded here: few files go to a cutter

    return cut_out(document, asked["pieces"], asked.get("kerf"))


def writers(document: Document, target: str, **asked: Any) -> dict[Path, Writer]:
    """Return what writes each file that `save` would make, by name; they are to be called in order.

    Several pages of a format with a file a page go to `name-1.svg`, `name-2.svg`, …; documents apart to files of their
    own. Raises a MarkingError as `save` does for what is `asked`, for another suffix, or for two documents in a file.
    """
    check_asked(target, asked)
    document = cut(document, asked)
    files = _writers(document, target, asked)
    for name, apart in document.apart:
        check_asked(name, {})
        more = _writers(apart, name, asked)
        if files.keys() & more.keys():
            raise OutputError(f"{name!r} is one of the files of {target!r}", "a name of its own", value=name)
        files |= more
    return files


def _writers(document: Document, target: str, asked: Mapping[str, Any]) -> dict[Path, Writer]:
    path, found = Path(target), format_of(target)
    if not found.a_page:
        return {path: partial(found.load, document)}
    from ..drawing.primitives import worked

    own = {name: value for name, value in asked.items() if name in found.takes}
    pages = enumerate(worked(document.pages, partial(found.load, document=document._replace(pages=()), **own)), 1)
    numbers = range(1, len(document.pages) + 1)
    if len(numbers) == 1:
        return {path: partial(_write_page, pages, 1)}
    return {path.with_stem(f"{path.stem}-{number}"): partial(_write_page, pages, number) for number in numbers}


def _write_page(pages: Iterator[tuple[int, bytes]], number: int, file: IO[bytes]) -> None:
    """Write the page that comes next: pages are drawn one after the other, or by other processes in that order."""
    drawn, content = next(pages)
    assert drawn == number
    file.write(content)


def save(document: Document, target: str, **asked: Any) -> list[str]:
    """Write `document` in the format that the suffix of `target` names and return the names of the files written.

    `asked` tells how, by the names of `FILE_FIELDS`: `pieces="band,ring"` leaves all else out, for a cutter, and draws
    lines to cut solid and once; `kerf="0.15 mm"` makes good for the width of its cut; `text="outlines"` is for SVG,
    `dpi=300` and `one_bit=True` for PNG.

    Documents apart go to files of their own, by their own suffixes. All files are written, or none is made or changed.
    Raises OutputError when they cannot be written or need a package that is not there, another MarkingError for what
    cannot be asked; warns with OutputWarning of pages that an older, longer document of the same name has left.
    """
    from .whole import write_whole

    files = writers(document, target, **asked)
    write_whole(files)
    warn_of_stale([target, *(name for name, _ in document.apart)], files)
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
