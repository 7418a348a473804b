"""Printer profiles: chosen by anybody, made and forgotten at the machine itself."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import click

from marking import OUTPUTS, add_profile, load_profiles, read_profile, remove_profile
from marking.errors import MarkingError
from marking.fields import Field
from marking.printers.profile import profile_text

from ..printer import add
from . import words
from .forms import Input, label, linked, spoken

if TYPE_CHECKING:
    from marking.printers.profile import Profile


def names() -> tuple[str, ...]:
    """Return the names of the known printers; none where their file cannot be read: their own page says so."""
    try:
        return tuple(sorted(load_profiles()))
    except MarkingError:
        return ()


def described() -> dict[str, str]:
    """Return every known printer as lines to read. Raises a MarkingError."""
    return {name: profile_text(profile).partition("\n")[2] for name, profile in sorted(load_profiles().items())}


def inputs(values: Mapping[str, str], error: MarkingError | None, paper: str) -> list[Input]:
    """Return what `turnband printer add` asks for as inputs; the lengths of the proof page on `paper` are known."""
    known = dict(zip(("x_nominal", "y_nominal"), _proof_lengths(paper), strict=True)) | dict(values)
    found = []
    for param in add.params:
        field = _field(param)
        wrong = error.message(linked) if error and error.field == field.name else ""
        text = known.get(field.name, "")
        found.append(Input(field, label(field.name), field.help, (text,) if text else (), (), wrong))
    return found


def _field(param: click.Parameter) -> Field:
    """A parameter of the command as a field."""
    assert param.name is not None
    if not isinstance(param, click.Option):
        return Field(param.name, "text", words.PRINTER_NAME, required=param.required)
    said = (param.help or "").partition("  [")[0]
    return Field(param.name, "flag" if param.is_flag else "length", said, required=param.required)


def _proof_lengths(paper: str) -> tuple[str, str]:
    """The lengths that the proof page states, across and along; none for what is no paper."""
    proof = OUTPUTS["proof"]
    try:
        data = proof.data(proof.plan(proof.read(paper=paper)))
    except MarkingError:
        return "", ""
    return f"{data['x_mm']:g} mm", f"{data['y_mm']:g} mm"


def keep(given: Mapping[str, str]) -> Profile:
    """Keep the printer that a form describes. Raises a MarkingError."""
    texts: dict[str, Any] = {name: text for name, text in given.items() if text.strip() and name != "replace"}
    for param in add.params:
        if param.required and param.name not in texts:
            raise MarkingError(words.NEEDED.format(spoken(param.name or "")), field=param.name or "")
    profile = read_profile(**texts)
    add_profile(profile, bool(given.get("replace")))
    return profile


def known_params() -> tuple[str, ...]:
    """Return the names of what a printer is described by."""
    return tuple(param.name or "" for param in add.params)


def forget(name: str) -> None:
    """Forget a printer. Raises a MarkingError."""
    remove_profile(name)
