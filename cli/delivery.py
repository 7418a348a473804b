"""Where finished sheets go: the option, the files or stdout, and the word about it."""

from __future__ import annotations

import io
import os
import sys
from collections.abc import Collection, Iterable, Mapping, Sequence
from contextlib import suppress
from itertools import starmap
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from .streams import close_stdout, write_all

if TYPE_CHECKING:
    from marking.drawing.primitives import Document

STDOUT, STREAMED_NAME = "-", "stdout"


def take_asked(values: dict[str, Any]) -> dict[str, Any]:
    """Take those of a command's values that say how its file is written, and return those that are given."""
    from marking.fields import FILE_FIELDS

    asked = {field.name: values.pop(field.name, None) for field in FILE_FIELDS}
    return {name: value for name, value in asked.items() if value is not None and value is not False}


def check_alone(asked: Mapping[str, Any], output: str | None, queue: str | None) -> None:
    """Refuse what is `asked` of a file where none is written, or pages are printed too. Raises UsageError."""
    from .options import option_of

    if asked and (output is None or queue is not None):
        option = option_of(next(iter(asked)))
        if queue is not None:
            raise click.UsageError(f"{option} is for a file: give -o without --print, or leave out {option}")
        raise click.UsageError(f"say with -o which file to write, or leave out {option}")


def check_output(output: str | None, asked: Mapping[str, Any]) -> None:
    """Refuse a name that says no format, or what does not go with it, before any work is done; None is no file.

    Raises MarkingError.
    """
    from marking.files.formats import STREAMED, check_asked

    if output is not None:
        check_asked(STREAMED_NAME + STREAMED if output == STDOUT else output, asked)


def cut(document: Document, asked: dict[str, Any]) -> Document:
    """Return the document as `asked`, and take what was asked for that from it."""
    from marking.files.formats import cut

    found = cut(document, asked)
    for name in ("pieces", "kerf"):
        asked.pop(name, None)
    return found


def deliver(document: Document, output: str, asked: Mapping[str, Any]) -> list[str]:
    """Write the document and return the names of the files; a dash puts the PDF on stdout and returns none."""
    from marking import save
    from marking.errors import OutputError

    if output != STDOUT:
        return save(document, output, **asked)
    if document.apart:
        names = ", ".join(name for name, _ in document.apart)
        raise OutputError(f"-o - puts one PDF on stdout, without {names}", "", "use -o FILE")
    from marking.files.formats import STREAMED, writers

    content = io.BytesIO()
    (write,) = writers(document, STREAMED_NAME + STREAMED, **asked).values()
    write(content)
    if sys.stdout is None:
        raise OutputError("cannot write to stdout: it is closed", "", "use -o FILE")
    try:
        write_all(sys.stdout.buffer, content.getvalue())
    except BrokenPipeError:  # whoever reads has had enough: no fault, click ends quietly
        raise
    except OSError as error:
        close_stdout()
        reason = (error.strerror or str(error)).lower()
        raise OutputError(f"cannot write to stdout: {reason}", "room where it goes", "use -o FILE") from error
    return []


def echo_json(data: object) -> None:
    """Print data as JSON, with real characters where stdout takes them all."""
    import json

    unicode = (getattr(sys.stdout, "encoding", None) or "").lower().startswith("utf")
    click.echo(json.dumps(data, indent=2, ensure_ascii=not unicode))


def files_beside(*outputs: str) -> set[str]:
    """Return what lies in the folders of files that are about to be written: which of it they will replace."""
    found: set[str] = set()
    for folder in {Path(output).parent for output in outputs}:
        with suppress(OSError):
            found.update(str(folder / name) for name in os.listdir(folder))
    return found


def say_written(files: Iterable[str], there: Collection[str], what: str, then: str = "") -> None:
    """Say which files were written, and which of those that were `there` are replaced; what is in them; what to do."""
    names: dict[str, list[str]] = {}
    for name in files:
        names.setdefault("replaced" if str(Path(name)) in there else "wrote", []).append(name)
    if names:
        done = " and ".join(f"{verb} {_listed(names[verb])}" for verb in sorted(names, reverse=True))
        click.echo(f"{done}: {what}.{' ' * bool(then)}{then}")


def say_sent(queue: str, what: str, then: str, aside: bool) -> None:
    """Say what was printed on which queue, and what to do then; `aside`, on stderr, where stdout holds data."""
    click.echo(f"sent to {queue}: {what}.{' ' * bool(then)}{then[:1].upper()}{then[1:]}", err=aside)


def _listed(files: Sequence[str]) -> str:
    """Files by name, or how many and where."""
    from marking.files.formats import NAMED

    if len(files) <= NAMED:
        return ", ".join(map(click.format_filename, files))
    folder = Path(files[0]).parent
    return f"{len(files)} files in {'this folder' if folder == Path() else click.format_filename(folder) + os.sep}"


def counted(count: int, thing: str) -> str:
    """Return "1 page" or "2 pages"."""
    return f"{count} {thing}{'' if count == 1 else 's'}"


def pages_of(document: Document) -> str:
    """Return how many pages there are, and of which paper: "2 pages, A4"."""
    pages = [page for one in (document, *(apart for _, apart in document.apart)) for page in one.pages]
    return on_paper(len(pages), ((page.width_mm, page.height_mm) for page in pages))


def on_paper(count: int, sizes_mm: Iterable[tuple[float, float]]) -> str:
    """Return how many pages there are, with every size of paper among them by its name."""
    return ", ".join([counted(count, "page"), *dict.fromkeys(starmap(_paper_name, sizes_mm))])


def _paper_name(width_mm: float, height_mm: float) -> str:
    """The name of a paper size, either way round, or its measures."""
    from marking.sheets.paper import size_name

    return size_name(width_mm, height_mm).capitalize() or f"{round(width_mm, 1):g} × {round(height_mm, 1):g} mm"


AT_FULL_SCALE = "Print at 100 %, {}"
"""What to do with a finished file, before what to do with its printed pages."""


def then_print(advice: str) -> str:
    """Return what to do with a file, from the advice for after printing; "" for none."""
    return AT_FULL_SCALE.format(advice) if advice else ""


def then_measure(document: Document, advice: str) -> str:
    """Return the advice for after printing, which names the check rulers as {rulers}; "" for pages without any."""
    from marking.drawing.primitives import Line, groups

    placed = (placed for page in document.pages for placed in reversed(page.placed))  # they lie last
    rulers = (group for one in placed for group in groups(one.drawing.content) if group.name == "check-ruler")
    for ruler in rulers:
        lines = [item.role for item in ruler.items if isinstance(item, Line)]
        both = "ruler-x" in lines and "ruler-y" in lines
        return advice.format(rulers="both rulers" if both else "the ruler")
    return ""
