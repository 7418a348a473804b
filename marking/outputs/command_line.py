"""The shell line that makes an output again, from the values that its fields were given."""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

from ..errors import MarkingError
from ..fields import FIRST_LENGTHS, Field
from ..quantities.parse import parse_length

if TYPE_CHECKING:
    from ..fastening.spec import TighteningSpec

TARGET = "again.pdf"
"""The file that a line writes, whatever the first one was called: the same page whichever file it goes to."""

LINES = "{}.txt"
"""The file of a field whose lines were typed."""


def command_line(name: str, fields: Sequence[Field], given: Mapping[str, Any], target: str = TARGET) -> str:
    """Return `turnband job "110 N·m + 90°" --points 12 …`: what a POSIX shell, or `shlex`, takes apart again.

    Options stand in the order of the fields, those that are as usual are left out, but for explicit ones, of which ""
    is none. `given` holds values as `Output.read` takes them. Files to read go by their names alone, so that the line
    is the same wherever they lie, and a spec stands on one line where that reads equal. The line writes `target`, or
    nothing where that is "".
    """
    if _first_length(given) == "opening":  # read alone, it leaves them in mm; on a line it gives their unit
        given = {"unit": "mm", **given}
    full = {field.name: "" if field.default is None else field.default for field in fields if field.explicit}
    given = full | dict(given)
    told = [field for field in fields if given.get(field.name) is not None]
    given |= dict(_plainly(told, given))
    values = {field: given[field.name] for field in told if not _usual(field, given)}
    options = [word for field, value in values.items() if not field.positional for word in _option(field, value)]
    first = [_typed(value) for field, value in values.items() if field.positional]
    options += ["-o", target] if target else []
    words = [*options, "--", *first] if any(word.startswith("-") for word in first) else [*first, *options]
    return " ".join(["turnband", name, *map(_quoted, words)])


def _plainly(fields: Sequence[Field], given: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    """Yield the names of files without their folders, one for lines that were typed, and a spec on one line."""
    for field in fields:
        value = given[field.name]
        if field.kind == "lines" and isinstance(value, str):
            yield field.name, LINES.format(field.name)
        elif field.kind in ("file", "lines", "target"):
            yield field.name, PurePath(str(value)).name
        elif field.kind == "spec":
            plain = " ".join(value.split())
            if plain != value and _read(plain, given) == _read(value, given):
                yield field.name, plain


def _read(spec: str, given: Mapping[str, Any]) -> TighteningSpec | None:
    """What a spec says beside the other values, None for one that cannot be read."""
    from ..fastening.spec_grammar import parse_spec  # outputs without a spec do without it

    points = given.get("points")
    with suppress(MarkingError, ValueError):
        return parse_spec(spec, points=None if points is None else int(points), witness=given.get("witness"))
    return None


def _usual(field: Field, given: Mapping[str, Any]) -> bool:
    """Tell whether a field has the value that it has without being given."""
    value = given[field.name]
    if field.explicit:
        return False
    if field.name == "unit":
        return bool(value == _first_unit(given))
    if field.reader is not None:
        value = field.reader(value)
    return value is None or value is False or value == () or (not field.required and str(value) == str(field.default))


def _first_length(given: Mapping[str, Any]) -> str | None:
    """The field of the first length on the line, if any."""
    return next((name for name in FIRST_LENGTHS if given.get(name) is not None), None)


def _first_unit(given: Mapping[str, Any]) -> str | None:
    """The unit that computed lengths have without being asked for; None where no single length tells it."""
    first = _first_length(given)
    try:
        return None if first is None else parse_length(given[first]).unit
    except MarkingError:  # a range, or a thread size beside a drive's usual range of ODs
        return "mm" if first == "opening" else None


def _option(field: Field, value: Any) -> Iterator[str]:
    """The words of an option: a flag alone, a choice of several once for each."""
    for one in value if field.kind == "several" else [value]:
        yield field.flag
        if field.kind != "flag":
            yield _typed(one)


def _typed(value: Any) -> str:
    """A value as it is typed: a text, a number, the name of a file, or a length or quantity with its unit."""
    if hasattr(value, "mm"):
        return str(value.text)
    return f"{value:~}" if hasattr(value, "magnitude") else str(value)


def _quoted(word: str) -> str:
    """A word as a person quotes it: in double quotes where it needs any, in single ones where those do not do."""
    if shlex.quote(word) == word:
        return word
    return shlex.quote(word) if set('"\\$`!') & set(word) else f'"{word}"'
