"""`turnband again`: the job of a finished sheet once more, from the command that its file carries."""

from __future__ import annotations

import shlex
from collections.abc import Mapping, Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING, Any

import click
from click.core import ParameterSource

from .completion import files
from .kept import OFF
from .options import refusals
from .shell import Command, Option

if TYPE_CHECKING:
    from marking.outputs import Output

WRITTEN_TOO = {"output", "skip_bad"}
"""What a carried command may hold beside its output's fields; its file name counts for nothing."""

_without = Option(
    ["--without"], multiple=True, metavar="OPTION", help="Leave out an option that the file carries, such as ring."
)


@click.command(context_settings={"ignore_unknown_options": True, "allow_interspersed_args": False})
@click.argument("file", shell_complete=files)
@click.argument("changes", nargs=-1, type=click.UNPROCESSED, metavar="[CHANGED OPTIONS]")
@click.pass_context
def again(context: click.Context, file: str, changes: tuple[str, ...]) -> None:
    """Print the job of a finished sheet again, from what its FILE carries.

    FILE is a PDF or an SVG of turnband. Behind it stands what is to be different, as the command that made it takes it
    (`turnband again FILE --help` lists that), and with -o or --print where it goes. Lists are read from this folder.

    \b
    Examples:
      turnband again bracket.pdf -o letter.pdf --paper letter
      turnband again bracket.pdf "110 Nm + 95 deg +5/-0" -o bracket-95.pdf
      turnband again hub.svg --without ring --print office
    """
    if file.startswith("-"):
        raise click.UsageError(f"the file stands first, then what is to be different: turnband again FILE {file} …")
    with refusals():
        from marking.files.carried import carried_command

        output, carried, more = _carried(context, file, carried_command(file))
        changed, delivery = _changed(context, output, changes, carried)
        words = [*_words(output, changed), *more, *delivery]
    click.echo(f"again: {shlex.join(['turnband', *words])}", err=True)
    context.meta[OFF] = True
    _run(context, words)


def _command(context: click.Context, name: str) -> click.Command:
    """One of our own commands. Its options are all that it can be told."""
    group = context.find_root().command
    assert isinstance(group, click.Group)
    command = group.get_command(context, name)
    assert command is not None
    return command


def _run(context: click.Context, words: Sequence[str]) -> None:
    """Run one of our own commands in this process."""
    name, *arguments = words
    command = _command(context, name)
    with command.make_context(name, arguments, parent=context.parent) as own:
        command.invoke(own)


def _given(context: click.Context, command: click.Command, words: Sequence[str]) -> dict[str, Any]:
    """What stands on a command line, by the names of the command's parameters. Raises a ClickException."""
    for param in command.params:
        param.required = False
    if isinstance(command, Command):
        command.target = False
    read = command.make_context(f"{context.command_path} FILE", list(words))
    return {
        name: value
        for name, value in read.params.items()
        if read.get_parameter_source(name) is ParameterSource.COMMANDLINE
    }


def _carried(context: click.Context, file: str, line: str) -> tuple[Output, dict[str, Any], list[str]]:
    """The output that a carried command makes, the values of its fields, and what else it asks for.

    Raises CarriedError for anything but what turnband writes into its files: only one of our outputs, none of the
    options that read or write elsewhere, and lists by their names alone.
    """
    from marking.errors import shortened
    from marking.files.carried import CarriedError
    from marking.outputs import OUTPUTS

    try:
        words = shlex.split(line)
        program, name = (*words[:2], "", "")[:2]
        if program != "turnband" or name not in OUTPUTS:
            raise ValueError("it is none of the commands that write pages")
        output = OUTPUTS[name]
        command = _command(context, name)
        command.add_help_option = False
        given = _given(context, command, words[2:])
        fields = {field.name: field for field in output.fields}
        if strange := given.keys() - fields.keys() - WRITTEN_TOO:
            raise ValueError(f"it asks for {', '.join(sorted(strange))}")
        if far := [one for one in given if one in fields and fields[one].kind == "file" and _far(given[one])]:
            raise ValueError(f"it reads a file of another folder for {far[0]}")
    except (ValueError, click.ClickException) as error:
        reason = error.message if isinstance(error, click.ClickException) else str(error)
        raise CarriedError(
            f"the command in {file!r} is not one that this version writes: {shortened(reason)}", "",
            "read it at the foot of the pages and type what you want of it", field="file",
        ) from error  # fmt: skip
    more = ["--skip-bad"] if given.get("skip_bad") else []
    return output, {name: value for name, value in given.items() if name in fields}, more


def _far(name: str) -> bool:
    return PurePath(name).name != name


def _changed(
    context: click.Context, output: Output, changes: Sequence[str], carried: Mapping[str, Any]
) -> tuple[dict[str, Any], list[str]]:
    """The values of fields with what is to be different, and the words that say where the pages go."""
    from marking.fields import INSTEAD

    command = _command(context, output.name)
    command.params.append(_without)
    given = _given(context, command, changes)
    fields = {field.name: field for field in output.fields}
    left_out = {name for one in given.pop("without", ()) for name in _named(output, one)}
    for group in INSTEAD:
        if group & given.keys():
            left_out |= group
    kept = {name: value for name, value in carried.items() if name not in left_out and value != ""}
    for name in kept.keys() - given.keys():
        if fields[name].kind == "target":
            flag = fields[name].flag
            raise click.UsageError(
                f"the sheet has {flag} {kept[name]}, a file of its own: say with {flag} where it goes now, or leave it "
                f"out with --without {flag.lstrip('-')}"
            )
    changed = kept | {name: value for name, value in given.items() if name in fields}
    words = [
        word
        for param in command.params
        if param.name in given and param.name not in fields
        for word in ([param.opts[0]] if getattr(param, "is_flag", False) else [param.opts[0], str(given[param.name])])
    ]
    return changed, words


def _named(output: Output, option: str) -> list[str]:
    """The field that an option names. Raises UsageError for one that its output does not have."""
    found = [field.name for field in output.fields if field.flag.lstrip("-") == option.lstrip("-")]
    if not found:
        raise click.UsageError(f"turnband {output.name} has no option --{option.lstrip('-')} to leave out")
    return found


def _words(output: Output, values: Mapping[str, Any]) -> list[str]:
    """The command of these values, without a file to write."""
    return shlex.split(output._replace(writes="never").command(**values))[1:]
