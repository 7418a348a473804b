"""What a plan has to say beside its numbers: a code with values, made into a sentence only when somebody reads it."""

from __future__ import annotations

import string
from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from .errors import Namer, named, plain_name
from .quantities.shown import shown_degrees, shown_length


class Template(NamedTuple):
    """A whole sentence with named places for values, and the code by which programs know it.

    Behind a place stands how its value is shown: `{turn:deg}`, `{error:deg1}` (one decimal), `{od:length}` (mm and
    unit), `{ways:or}` (remarks or texts, joined by ", or "), `{names:list}`; `{@paper}` names a field. `command` is
    added where a reader has words of his own for fields, at a prompt; on paper it would help nobody.
    """

    code: str
    text: str
    command: str = ""

    def __call__(self, **values: Any) -> Remark:
        """Return the remark with these values."""
        return Remark(self, values)


class Remark(NamedTuple):
    """Something a user has to know: which sentence, and its values."""

    template: Template
    values: Mapping[str, Any]

    @property
    def code(self) -> str:
        """What programs decide on; nothing ever reads the sentence."""
        return self.template.code

    def said(self, name: Namer = plain_name) -> str:
        """Return the sentence, with the reader's own words for fields."""
        command = "" if name is plain_name else self.template.command
        return _Sentence(name).vformat(named(self.template.text + command, name), (), self.values)

    def __str__(self) -> str:
        """Return the sentence as the library says it."""
        return self.said()


def once(remarks: Iterable[Remark]) -> tuple[Remark, ...]:
    """Return the remarks in their order, each that says the same only once."""
    return tuple({str(remark): remark for remark in remarks}.values())


class _Sentence(string.Formatter):
    def __init__(self, name: Namer) -> None:
        self.name = name

    def format_field(self, value: Any, format_spec: str) -> str:
        match format_spec:
            case "deg":
                return shown_degrees(value)
            case "deg1":
                return shown_degrees(value, 1)
            case "length":
                return shown_length(*value)
            case "or" | "list":
                return {"or": ", or ", "list": ", "}[format_spec].join(self.format_field(item, "") for item in value)
        if isinstance(value, Remark):
            return value.said(self.name)
        return str(super().format_field(value, format_spec))
