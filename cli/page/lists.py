"""Lists and registers sent to the page: read in memory, a few at a time."""

from __future__ import annotations

import base64
import binascii
import io
import threading
from collections.abc import Collection, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from werkzeug.exceptions import abort

from marking.errors import LayoutError, MarkingError, shortened
from marking.files.formats import cut
from marking.lists.table_file import HeldFile, ListError

from . import words
from .forms import Values, fields_of, values_of
from .guard import MAX_UPLOAD
from .made import File, Made, files

if TYPE_CHECKING:
    from werkzeug.wrappers import Request

    from marking.outputs import Output

MAX_ROWS = 2_000
"""Rows of a list or a register."""

MAX_PIECES = 2_000
"""Pieces in all, copies counted."""

MAX_FAULTS = 500
"""Faults that are shown."""

_WAITING = threading.BoundedSemaphore(2)
_DRAWING = threading.Lock()


@contextmanager
def in_turn() -> Iterator[None]:
    """Work on one list at a time, and let one more wait: they are long, and other jobs need the threads."""
    if not _WAITING.acquire(blocking=False):
        abort(503)
    try:
        with _DRAWING:
            yield
    finally:
        _WAITING.release()


def template_file(name: str) -> bytes:
    """Return a list or a register to begin with, as `turnband set --template` writes it: "list.csv", "sockets.xlsx"."""
    from marking.lists.template import TABLES, WRITERS

    content = io.BytesIO()
    table, _, suffix = name.partition(".")
    WRITERS[f".{suffix}"](TABLES[table], content)
    return content.getvalue()


def sent_values(output: Output, asked: Request) -> tuple[Values, dict[str, tuple[str, str]], str]:
    """Return what a form holds with the files sent, these once more as texts, and which faults are left out.

    A page without scripts cannot keep a file chosen, so that every answer holds what it was sent. Raises ListError for
    a file that is too large.
    """
    fields = [field for field in output.fields if field.kind == "file"]
    given = asked.values.copy()
    skip = next(iter(given.poplist("skip_bad")), "")
    held: dict[str, tuple[str, str]] = {}
    found: Values = {}
    for field in fields:
        before = (
            next(iter(given.poplist(f"{field.name}_held")), ""),
            next(iter(given.poplist(f"{field.name}_name")), ""),
        )
        sent = asked.files.get(field.name)
        if sent and sent.filename:
            content, name = sent.stream.read(MAX_UPLOAD + 1), sent.filename
        elif before[0]:
            content, name = _decoded(before[0]), before[1]
        else:
            continue
        name = shortened(name.replace("\\", "/").rpartition("/")[2].strip() or field.name)
        if len(content) > MAX_UPLOAD:
            what = words.TOO_LARGE_FILE.format(name)
            raise ListError(what, words.AT_MOST, words.SPLIT_IT, field=field.name)
        found[field.name] = HeldFile(name, content, MAX_ROWS)
        held[field.name] = name, base64.b64encode(content).decode()
    return found | values_of(fields_of(output), given), held, skip


def _decoded(text: str) -> bytes:
    try:
        return base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError):
        abort(400)


def make_list(output: Output, values: Mapping[str, Any], skip_bad: str) -> Made:
    """Run the chain for a set; faults stand in the way of its pages unless just these are left out."""
    made = Made(output, values)
    try:
        made.check()
        request = output.read(**made.own)
        pieces = sum(item.copies for item in request.items)
        if pieces > MAX_PIECES:
            what, most = words.TOO_MANY.format(pieces), words.AT_MOST_PIECES.format(MAX_PIECES)
            raise LayoutError(what, most, words.IN_TERMINAL, pieces)
        sets = output.plan(request)
        made.remarks = sets.warnings
        made.faults = tuple(dict.fromkeys(sets.faults))
        if not made.faults or skip_bad == made.these_faults:
            from marking.outputs.sets.pages import set_document

            made.document = cut(set_document(next(iter(sets.plans.values())), command=made.command), made.asked)
            made.plan = sets
    except MarkingError as error:
        made.error = error
    return made


def uses(made: Made) -> list[str]:
    """Return how many pieces there are on how many pages: in all, and then in each file where there are several."""
    plans = made.plan.plans if made.good else {}
    lines = [f"{key}: " * bool(key) + words.USE.format(*_counted([plan]), plan.area_use) for key, plan in plans.items()]
    return [words.USE_IN_ALL.format(*_counted(plans.values()), len(lines)), *lines] if lines[1:] else lines


def _counted(plans: Collection[Any]) -> tuple[str, str]:
    """The pieces and pages of plans."""
    from ..delivery import counted

    pieces, pages = (sum(len(plan.parts) for plan in plans), sum(plan.pages for plan in plans))
    return counted(pieces, "piece"), counted(pages, "page")


def set_files(made: Made, name: str) -> Iterator[File]:
    """Yield the files of a set as `write_sets` names them, one for each that it is split into."""
    from marking.outputs.sets.pages import set_document

    target = Path(name)
    for key, plan in made.plan.plans.items():
        document = cut(set_document(plan, command=made.command), made.asked)
        yield from files(document, str(target.with_stem(f"{target.stem}-{key}") if key else target))
