"""Templates filled in: what they know, links in sentences, and sheets at their places."""

from __future__ import annotations

import re
from collections.abc import Mapping, MutableMapping, Sequence
from contextvars import ContextVar
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader
from markupsafe import Markup, escape

from marking import OUTPUTS
from marking.errors import named
from marking.outputs import Output
from marking.sheets.words import CAUTIONS, direction

from ..delivery import counted
from . import words
from .forms import FIRST_SHOWN, LINK, PRINTERS, label, query, spoken
from .made import NOTHING, Sheet

SLOT = Markup("<!--sheet-->")
"""Where a sheet stands in a page; what is typed is escaped and never looks so."""

_LINK = re.compile("{}([a-z]+){}".format(*LINK))

_PRESENT: ContextVar[tuple[str, Mapping[str, Any]]] = ContextVar("present", default=("", {}))
"""Where the page is mounted, and the job that links lead on with, while a page is filled in."""


class Templates(Environment):
    """Templates that are filled in quickly.

    Their globals are all there before the first is loaded, where Jinja looks through a chain at each filling, and what
    stands behind a dot is an attribute and nothing else.
    """

    getattr: Any = staticmethod(getattr)

    def make_globals(self, d: MutableMapping[str, Any] | None) -> MutableMapping[str, Any]:
        """Return what every template knows."""
        return {**self.globals, **(d or {})}


@cache
def templates() -> Templates:
    """Return the templates, and what they know of."""
    place = FileSystemLoader(Path(__file__).parent / "templates")
    found = Templates(loader=place, autoescape=True, trim_blocks=True, lstrip_blocks=True, auto_reload=False)
    found.globals.update(
        words=words,
        head=head,
        direction=direction,
        label=label,
        spoken=spoken,
        footer=footer,
        zooms=zooms,
        with_spec=with_spec,
        onward=onward,
        counted=counted,
        first_shown=FIRST_SHOWN,
        sheet_slot=SLOT,
    )
    found.filters.update(prose=prose, told=told)
    for name in ("reading", "input"):  # macros, which a template would import at each filling
        found.globals[name] = vars(found.get_template(f"{name}.html").module)[name]
    return found


def filled(
    template: str, root: str, job: Mapping[str, Any] = NOTHING, sheets: Sequence[Sheet] = (), **values: Any
) -> bytes:
    """Return a page that is mounted at `root`, and from which links lead on with the present `job`.

    Its sheets stand in it as they were written: our own renderer escapes every text.
    """
    _PRESENT.set((root, job))
    before, *after = _text(template, root, **values).encode().split(SLOT.encode())
    parts = (part for sheet, rest in zip(sheets, after, strict=True) for part in (sheet.svg, rest))
    return b"".join((before, *parts))


def _text(template: str, root: str, **values: Any) -> str:
    return templates().get_template(template).render(values, root=root)


def refusal(code: int, root: str = "") -> bytes:
    """Return a page that says in words why a request is refused."""
    title, text = words.REFUSED.get(code, words.REFUSED[400])
    return filled("refused.html", root, title=title, text=text)


def head(output: Output) -> str:
    """Return what an output does, in a line."""
    return _head(output.help)


@cache
def _head(told: str) -> str:
    return named(told.partition("\n")[0], lambda field: words.THE.get(field, label(field)))


@lru_cache
def footer(root: str, here: str) -> Markup:
    """Return what ends every page: the cautions, and the list of everything, in which `here` is the present output."""
    return Markup(_text("footer.html", root, here=here, cautions=CAUTIONS, outputs=OUTPUTS))


@cache
def zooms() -> Markup:
    """Return the choice of how closely a sheet is looked at."""
    return Markup(_text("zooms.html", ""))


def onward(here: str, name: str, job: str) -> Markup:
    """Return links to all other outputs that ask for a spec, with the present job: a query."""
    return Markup(_onward(here, name).replace("?", f"?{escape(job)}"))


@lru_cache
def _onward(here: str, name: str) -> str:
    return "\n".join(f'<a href="{escape(here)}/for/{other}?">{other}</a>' for other in with_spec() if other != name)


def told(message: str) -> Markup:
    """Return a message as HTML, line by line; what was typed, and the caret below it, stand as they are."""
    return Markup("\n").join(
        Markup('<code tabindex="0">{}</code>').format(line)
        if line.startswith(" ")
        else Markup("<span>{}</span>").format(prose(line))
        for line in message.splitlines()
    )


def prose(text: str) -> Markup:
    """Return a sentence as HTML: where it speaks of a command, with a link to the page that does the same.

    Numbers stay in a line with their units.
    """
    said = str(escape(words.held(text)))
    return Markup(_LINK.sub(_link, said) if LINK[0] in said else said)


def _link(found: re.Match[str]) -> str:
    """A link to another output with all of the present job that it asks for, or to the printers."""
    name = found[1]
    root, values = _PRESENT.get()
    if name == PRINTERS:
        return f'<a href="{escape(root)}/{name}">{name}</a>'
    if name not in OUTPUTS:
        return name
    return f'<a href="{escape(root)}/{name}?{escape(query(OUTPUTS[name], values))}">{name}</a>'


@cache
def with_spec() -> tuple[str, ...]:
    """Return the names of the outputs that ask for a spec: each can be made of what another was given."""
    return tuple(name for name, output in OUTPUTS.items() if any(field.name == "spec" for field in output.fields))
