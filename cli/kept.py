"""Defaults of the user's own: the commands that keep them, and what they give to all others."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import click
from click.core import ParameterSource

from .completion import names, offering, values_of_name
from .delivery import echo_json
from .options import json_option, refusals, tell

if TYPE_CHECKING:
    from marking.outputs import Output

OFF = "turnband.no_kept_defaults"
"""Where a context notes that kept defaults do not count."""


def with_kept(made: Output, values: Mapping[str, Any], decided: Mapping[str, Any]) -> tuple[Output, dict[str, Any]]:
    """Return an output and the values it is given, with the kept defaults of fields that nobody has given.

    The `decided` values go before all. An empty text stands for a field that is not given, whatever is kept. The output
    tells its command in full where defaults are kept, so that it makes the same without them. Raises a MarkingError.
    """
    context = click.get_current_context()
    given = {name: value for name, value in {**values, **decided}.items() if value is not None}
    kept = {} if context.meta.get(OFF) else kept_of(made)
    used = {
        name: value
        for name, value in kept.items()
        if name not in decided and context.get_parameter_source(name) is ParameterSource.DEFAULT
    }
    if used:
        tell(f"your defaults: {', '.join(f'{name} {value}' for name, value in used.items())}")
    empty = {field.name for field in made.fields if field.kept and given.get(field.name) == ""}
    return explicit(made, kept), {name: value for name, value in (given | used).items() if name not in empty}


def kept_of(made: Output) -> dict[str, str]:
    """Return the kept defaults of an output's fields. Raises a MarkingError for a file that cannot be used."""
    from marking.printers.defaults import load_defaults

    kept = load_defaults()
    names = {field.name for field in made.fields if field.kept} if kept else ()
    return {name: value for name, value in kept.items() if name in names}


def explicit(made: Output, kept: Mapping[str, str]) -> Output:
    """Return the output whose command tells in full what has a kept default."""
    if not kept:
        return made
    return made._replace(fields=tuple(field._replace(explicit=field.name in kept) for field in made.fields))


@click.group(invoke_without_command=True, params=[json_option])
@click.pass_context
def defaults(context: click.Context, as_json: bool) -> None:
    """Keep what counts when an option is not given: paper, unit, printer, stock, thread.

    Options go before them, and so do variables of the environment such as TURNBAND_PRINTER; an empty one
    (--printer "") is as if nothing were kept. Every run says which it used.

    \b
    Examples:
      turnband defaults
      turnband defaults set paper letter
      turnband defaults unset paper
    """
    if context.invoked_subcommand is not None:
        return
    with refusals():
        from marking.errors import OutputError
        from marking.printers.defaults import defaults_path, load_defaults

        kept = load_defaults()
        try:
            defaults_path()
        except OutputError as error:
            tell(error.message())
    if as_json:
        echo_json({"format": 2, "defaults": kept})
    elif kept:
        click.echo("\n".join(f"{name:8} {value}" for name, value in kept.items()))
    else:
        click.echo("no defaults yet: keep one with `turnband defaults set paper letter`", err=True)


@defaults.command("set")
@click.argument("name", shell_complete=offering(names))
@click.argument("value", shell_complete=values_of_name)
def keep(name: str, value: str) -> None:
    """Keep VALUE as the default of NAME.

    NAME is paper, unit, printer, stock (the paper's thickness) or thread.

    \b
    Examples:
      turnband defaults set paper letter
      turnband defaults set unit in
      turnband defaults set printer "office"
      turnband defaults set stock "0.11 mm"
    """
    with refusals():
        from marking.printers.defaults import defaults_path, keep_default

        value = keep_default(_name(name), value)
    click.echo(f"kept in {click.format_filename(defaults_path())}: {_name(name)} {value}")


@defaults.command("unset")
@click.argument("name", shell_complete=offering(names))
def forget(name: str) -> None:
    """Forget the default of NAME.

    \b
    Examples:
      turnband defaults unset paper
    """
    with refusals():
        from marking.printers.defaults import remove_default

        remove_default(_name(name))
    click.echo(f"forgotten: {_name(name)}")


def _name(typed: str) -> str:
    """The name of a field, from what was typed: "--paper" and "thickness" too."""
    from .mistakes import SYNONYMS

    name = typed.lstrip("-").lower()
    return SYNONYMS.get(name, (name,))[0]
