"""Straight to a printer, through the commands of CUPS: `lp` takes the pages, `lpstat` knows the queues."""

from __future__ import annotations

import io
import os
import re
import shutil
import warnings
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Any

import click
from click.core import ParameterSource

from .completion import offering, queues
from .shell import Option

if TYPE_CHECKING:
    from marking.drawing.primitives import Document

WAIT_S = 30.0
"""How long the print service may take to answer (our choice; it looks round on the network first)."""

_IN_ENGLISH = {"LC_ALL": "C"}

FIXED = ("print-scaling=none", "sides=one-sided", "number-up=1")
"""Nothing may fit pages to the paper, nor print one on the back of another that is to be cut out."""

_LISTED = re.compile(r"^(?:PageSize|media)/.*?:(.*)$", re.M)
"""What `lpoptions -l` tells of the papers of a queue: "PageSize/Media Size: *A4 Letter Custom.WIDTHxHEIGHT"."""

_SENT = re.compile(r"request id is (\S+)")

print_option = Option(
    ["--print", "queue"], metavar="QUEUE", shell_complete=offering(queues),
    help="Print on this queue of CUPS, to scale, with or without a file.",
)  # fmt: skip


def known_queues() -> tuple[str, ...]:
    """Return the names of the print queues; none where nothing knows them. Raises OutputError for a silent service."""
    if shutil.which("lpstat") is None:
        return ()
    return tuple(sorted(_answer("lpstat", "-e").split()))


def check_queue(queue: str | None) -> None:
    """Refuse a queue that cannot be printed on, before any work is done; None is none. Raises OutputError."""
    from marking.errors import OutputError, shown

    if queue is None:
        return
    if shutil.which("lp") is None:
        raise OutputError(
            "there is no `lp` here to print with", "",
            "install the client of CUPS, on Debian with `apt install cups-client`, or write a file with {@output} and "
            "print it at 100 %",
        )  # fmt: skip
    queues = known_queues()
    if queue in queues or (shutil.which("lpstat") is None and queue):
        return
    raise OutputError(
        f"no print queue is called {shown(queue)}", f"one of: {', '.join(queues)}" if queues else "",
        "check {@queue}" if queues else "set the printer up in this system first, or write a file with {@output} and "
        "print it at 100 %", queue, "queue",
    )  # fmt: skip


def printer_for(queue: str | None) -> dict[str, str]:
    """Return the printer profile that is called like a queue as the field `printer`; nothing where there is none.

    One that was asked for on the command line goes before it. Raises a MarkingError for a broken file of profiles.
    """
    context = click.get_current_context()
    asked = context.get_parameter_source("printer") is ParameterSource.COMMANDLINE
    if queue is None or asked or "printer" not in context.params:
        return {}
    from marking.printers.profile import composed
    from marking.printers.store import load_profiles

    return {"printer": queue} if composed(queue) in load_profiles() else {}


def send(document: Document, queue: str) -> list[str]:
    """Print all pages, to scale, and return the names of the jobs. Raises OutputError.

    Every run of pages of one size is a job of its own: a queue takes one size of paper a job. Warns with OutputWarning
    of paper that the queue does not list: printers cancel such jobs without a word.
    """
    from marking.drawing.primitives import sizes_mm

    sizes = sizes_mm(document.pages)
    _warn_of_unlisted(sizes, queue)
    return [_sent(part, media, queue) for media, part in _by_media(document, sizes)]


def named_jobs(jobs: Sequence[str]) -> str:
    """Return "job office-7", or "jobs office-7, office-8"."""
    return f"job{'s' * (len(jobs) > 1)} {', '.join(jobs)}"


def _warn_of_unlisted(sizes: Iterable[tuple[float, float]], queue: str) -> None:
    from marking.errors import OutputError, OutputWarning
    from marking.sheets.paper import media_names, size_name

    try:
        listed = _LISTED.search(_answer("lpoptions", "-p", queue, "-l"))
    except OutputError:  # not every queue tells
        return
    choices = {choice.strip("*").partition(".")[0].lower() for choice in listed[1].split()} if listed else set()
    for name in filter(None, dict.fromkeys(size_name(*size) for size in sizes)):
        if choices and "custom" not in choices and not choices & media_names(name):
            warnings.warn(
                f"{queue} has no {name.capitalize()} among its papers: the job may be cancelled without a word, or "
                "come out on other paper: see whether it comes, and how",
                OutputWarning, stacklevel=2,
            )  # fmt: skip


def _by_media(document: Document, sizes: Iterable[tuple[float, float]]) -> Iterator[tuple[str, Document]]:
    from marking.sheets.paper import media_name

    names = [media_name(*size) for size in sizes]
    if len(set(names)) == 1:
        yield names[0], document
        return
    for media, run in groupby(range(len(names)), names.__getitem__):
        yield media, document._replace(pages=tuple(document.pages[index] for index in run))


def _sent(document: Document, media: str, queue: str) -> str:
    """Hand one job to `lp`, by its standard input, so that no file is left anywhere; return its name."""
    from marking.files.formats import FORMATS, STREAMED

    content = io.BytesIO()
    FORMATS[STREAMED].load(document, content)
    options = [word for option in (*FIXED, f"media={media}") for word in ("-o", option)]
    said = _answer("lp", "-d", queue, *options, "-t", document.title or "turnband", "-", content=content.getvalue())
    found = _SENT.search(said)
    return found[1] if found else queue


def _answer(program: str, *arguments: str, content: bytes = b"") -> str:
    """What a program of CUPS says. Raises OutputError with its reason when it fails."""
    import subprocess  # loaded only to print: it takes its time

    from marking.errors import OutputError, shortened

    refused = "{@queue} cannot be used: "
    try:
        done: Any = subprocess.run(
            [program, *arguments], input=content, capture_output=True, timeout=WAIT_S, env=os.environ | _IN_ENGLISH,
            check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired as error:
        raise OutputError(
            f"{refused}the print service has not answered for {WAIT_S:g} s", "", "look after it, or write a file"
        ) from error
    except (OSError, ValueError) as error:  # ValueError: a name with a NUL
        raise OutputError(f"{refused}{program} does not run: {error}", "", "write a file with {@output}") from error
    if done.returncode:
        said = done.stderr.decode(errors="replace").strip().splitlines() or ["it gives no reason"]
        reason = shortened(said[-1].removeprefix(f"{program}:").strip().removeprefix("Error - ").rstrip("."))
        raise OutputError(
            f"{refused}{program} says {reason!r}", "", "look after the print service and its queue, or write a file "
            "with {@output} and print it at 100 %",
        )  # fmt: skip
    return str(done.stdout.decode(errors="replace"))
