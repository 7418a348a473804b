"""Forms made from an output's fields, and the texts that come back from them."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING, Any, NamedTuple
from urllib.parse import urlencode

import click
from click.core import ParameterSource

from marking.errors import KindError, MarkingError, named, plain_name
from marking.fields import Field
from marking.files.formats import usable_fields

from ..kept import kept_of
from . import words

if TYPE_CHECKING:
    from werkzeug.datastructures import MultiDict

    from marking.outputs import Output

Values = dict[str, Any]
"""What a form holds, as `Output.read` takes it."""

QUESTIONS = (("manual", ("spec", "thread")), ("socket", ("points", "drive", "opening")), ("od", ("od", "around")))
"""The first questions and the fields that answer them; an output asks those whose first field it has."""

LIST_QUESTIONS = (("list", ("list_file", "sockets")), ("turns", ("turns", "points", "drive")))
"""Those of a list."""

ALSO, MORE = "also", "more"

PRINTERS = "printers"

LINK = "\ue000\ue001"
"""What stands round the name of a page until its sentence becomes HTML: no key types it."""

FIRST_SHOWN = "first-page"
"""The page of a sheet from which on pages are shown; no field's name has a hyphen."""

_TYPED = ParameterSource.COMMANDLINE

_COUNT = re.compile(r"\s*-?[0-9]{1,9}\s*", re.ASCII)


class Input(NamedTuple):
    """One field as it stands in a form: its value as texts, what it takes, and what is wrong with it."""

    field: Field
    label: str
    help: str
    texts: tuple[str, ...]
    choices: tuple[str, ...]
    error: str = ""

    @property
    def text(self) -> str:
        """The value."""
        return self.texts[0] if self.texts else ""

    @property
    def changed(self) -> bool:
        """Whether it is not as usual."""
        return bool(self.error) or self.texts not in ((), ("",), (_usual(self.field),))


class Section(NamedTuple):
    """Inputs that stand together: the code of a question, or the title of a group of those folded away."""

    code: str
    title: str
    inputs: tuple[Input, ...]


def label(field: str) -> str:
    """Return what the page calls a field above its box: "Ring bore"."""
    name = plain_name(field)
    return words.LABELS.get(field) or name[0].upper() + name[1:]


def spoken(field: str) -> str:
    """Return what the page calls a field or a command in a sentence: "“Ring bore”", "“disc”"."""
    return f"“{_place(field) or label(field)}”"


def linked(field: str) -> str:
    """Return what the page calls a field in a sentence, or a mark for a link to the page of a command."""
    place = _place(field)
    return f"{LINK[0]}{place}{LINK[1]}" if place else spoken(field)


def _place(command: str) -> str:
    """The page that does what a command does, "printers" for "turnband printer add"; "" for a field."""
    _, _, words_of = command.partition(" ")
    name = words_of.partition(" ")[0]
    return PRINTERS if name == "printer" else name


def values_of(fields: Iterable[Field], given: MultiDict[str, str]) -> Values:
    """Return what a query or a form holds; empty texts are none. Raises KindError for a field given twice.

    Names that are no field stay, for `Output.read` to refuse; a file is never taken by a name. FIRST_SHOWN is left out.
    """
    known = {field.name: field for field in fields}
    found: Values = {}
    for name in given:
        if not name or name == FIRST_SHOWN:  # a part of a form may have no name
            continue
        texts = [text for text in given.getlist(name) if text.strip()]
        field = known.get(name)
        if field and field.kind == "file":
            raise KindError(f"{plain_name(name)} is the name of a file", "a file sent with the form", field=name)
        if field and field.kind == "several":
            found |= {name: tuple(texts)} if texts else {}
        elif len(set(texts)) > 1:
            raise KindError(f"the {plain_name(name)} is given twice", "one value", field=name)
        elif texts:
            found[name] = _value(field, texts[0])
    return found


def _value(field: Field | None, text: str) -> Any:
    if field and field.kind == "count" and _COUNT.fullmatch(text):
        return int(text)
    if field and field.kind == "target":  # who asks for a further file does not name it: no path is ever taken
        return field.example
    return True if field and field.kind == "flag" and text == "1" else text


def fields_of(output: Output) -> tuple[Field, ...]:
    """Return what a form asks for: an output's fields, and how its file is written as far as that is installed."""
    return output.fields if output.writes == "never" else (*output.fields, *usable_fields())


def query(output: Output, values: Mapping[str, Any]) -> str:
    """Return values as the query of an address, those of them that the output asks for and that are not as usual."""
    pairs = [
        (field.name, one)
        for field in fields_of(output)
        if field.name in values
        for one in _texts(values[field.name])
        if field.kind != "file" and (field.required or one != _usual(field))
    ]
    return urlencode(pairs or _some(output))


def _some(output: Output) -> list[tuple[str, str]]:
    """Something as usual: an address without a query begins anew, with what the environment says."""
    return [(field.name, _usual(field)) for field in output.fields if field.default][:1]


def _usual(field: Field) -> str:
    return "" if field.default is None else str(field.default)


def _texts(value: Any) -> tuple[str, ...]:
    if value is None or value is False:
        return ()
    if value is True:
        return ("1",)
    return tuple(value) if isinstance(value, tuple) else (str(value),)


def first_values(output: Output) -> Values:
    """Return what a form holds before anything is typed: kept defaults and the environment, as on the command line."""
    found = {field.name: os.environ.get(field.variable) for field in output.fields if field.variable}
    return kept_defaults(output) | {name: value for name, value in found.items() if value}


def kept_defaults(output: Output) -> dict[str, str]:
    """Return the kept defaults of an output's fields; none where their file cannot be used."""
    try:
        return kept_of(output)
    except MarkingError:
        return {}


def sections(
    output: Output, values: Mapping[str, Any], error: MarkingError | None, printers: Sequence[str]
) -> list[Section]:
    """Return the parts of an output's form: its questions, what else must be known, and then all that may be."""
    inputs = {field.name: _input(field, values, error, printers) for field in fields_of(output)}
    asked = LIST_QUESTIONS if "list_file" in inputs else QUESTIONS
    found = [
        Section(code, words.QUESTIONS[code], tuple(inputs.pop(name) for name in names if name in inputs))
        for code, names in asked
        if names[0] in inputs
    ]
    first = {name for _, names in asked for name in names}
    also = [name for name, one in inputs.items() if name in first or one.field.required]
    if also:
        found.append(Section(ALSO, words.ALSO if found else "", tuple(inputs.pop(name) for name in also)))
    groups: dict[str, list[Input]] = {}
    for one in inputs.values():
        groups.setdefault(one.field.group or words.OTHER, []).append(one)
    return found + [Section(MORE, group, tuple(members)) for group, members in groups.items()]


def _input(field: Field, values: Mapping[str, Any], error: MarkingError | None, printers: Sequence[str]) -> Input:
    told = field.told(linked)
    usual = words.USUALLY.format(named(field.usual, spoken)) if field.usual else ""
    example = words.EXAMPLE.format(field.example) if field.example else ""
    wrong = error.message(linked) if error and error.field == field.name else ""
    texts = _texts(values[field.name]) if field.name in values else tuple(filter(None, [_usual(field)]))
    if field.reader and texts:
        texts = _read(field, texts[0])
    choices = tuple(printers) if field.name == "printer" else field.choices
    return Input(field, label(field.name), " ".join(filter(None, [told, usual, example])), texts, choices, wrong)


def _read(field: Field, text: str) -> tuple[str, ...]:
    """A choice that may be said in other words: "LH" is "left"."""
    try:
        return (field.reader(text) if field.reader else text,)
    except MarkingError:
        return (text,)


@cache
def example_query(name: str) -> str:
    """Return the first example of an output's help as a query; "" where it needs files."""
    import shlex

    from marking import OUTPUTS

    from ..main import Commands

    output = OUTPUTS[name]
    commands = Commands()
    command = commands.get_command(click.Context(commands), name)
    if command is None or not output.examples or any(field.kind == "file" for field in output.fields):
        return ""
    _, *line = shlex.split(output.examples[0])
    read = command.make_context(name, line, resilient_parsing=True)
    typed = {one: value for one, value in read.params.items() if read.get_parameter_source(one) is _TYPED}
    return query(output, typed)
