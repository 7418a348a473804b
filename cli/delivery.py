"""Where finished sheets go: the option, the files or stdout, and the word about it."""

from __future__ import annotations

import io
import sys
from typing import TYPE_CHECKING

import click

from .streams import close_stdout, write_all

if TYPE_CHECKING:
    from marking.drawing.primitives import Document

STDOUT = "-"


def check_output(output: str) -> None:
    """Refuse a name that says no format, before any work is done. Raises OutputError."""
    from marking.files.formats import format_of

    if output != STDOUT:
        format_of(output)


def deliver(document: Document, output: str) -> list[str]:
    """Write the document and return the names of the files; a dash puts the PDF on stdout and returns none."""
    from marking import save
    from marking.errors import OutputError

    if output != STDOUT:
        return save(document, output)
    from marking.files.formats import FORMATS, STREAMED

    content = io.BytesIO()
    FORMATS[STREAMED].load(document, content)
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


def say_written(files: list[str]) -> None:
    """Say which files were written, if any."""
    if files:
        click.echo(f"wrote {', '.join(click.format_filename(name) for name in files)}")
