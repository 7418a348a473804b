"""One command for each output, made from its fields: read, plan, draw, deliver, report."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import click

from marking.errors import named
from marking.files.formats import FORMATS, STREAMED

from .completion import files
from .delivery import (
    STDOUT,
    check_alone,
    check_output,
    cut,
    deliver,
    echo_json,
    files_beside,
    pages_of,
    say_sent,
    say_written,
    take_asked,
    then_measure,
    then_print,
)
from .kept import with_kept
from .options import first_unit, json_option, names_of, parameters, refusals, warn
from .printing import check_queue, named_jobs, print_option, printer_for, send
from .shell import Command, Option

if TYPE_CHECKING:
    from marking.outputs import Output


def output_option() -> click.Option:
    """Return the option -o, whose help tells the formats there are."""
    return Option(
        ["-o", "--output"], metavar="FILE", shell_complete=files,
        help=f"File to write: {', '.join(FORMATS)}, or - for {STREAMED[1:].upper()} on stdout.",
    )  # fmt: skip


def command_of(output: Output) -> click.Command:
    """Return the command that makes an output: a thin shell over its chain, with the same names."""
    options: list[click.Parameter] = []
    if output.writes != "never":
        options = [
            output_option(),
            print_option,
            Option(["--open", "open_after"], is_flag=True, help="Open the finished file with the viewer."),
        ]
    made = Command(
        output.name,
        params=[*parameters(output.all_fields), *options, json_option],
        callback=lambda **values: run(output, **values),
        help=help_of(output),
    )
    made.target = output.writes == "always"
    made.example = "\n".join(_broken(f"  turnband {plainly(output.examples[0])}")) if output.examples else ""
    return made


def help_of(output: Output) -> str:
    """Return what --help says above the options: what the output is, and examples."""
    lines = (line for example in output.examples for line in _broken(f"  turnband {plainly(example)}"))
    return "\n".join([named(output.help, names_of(output.fields)), "", "\b", "Examples:", *lines])


KEYBOARD = {"N·m": "Nm", "lbf·ft": "lbf-ft", "°": " deg", "±": "+/-", "−": "-", "×": "x"}
"""How signs are typed that keyboards lack; they are read alike."""


def plainly(line: str) -> str:
    """Return an example as any keyboard types it."""
    for sign, typed in KEYBOARD.items():
        line = line.replace(sign, typed)
    return line


def _broken(line: str, width: int = 78) -> list[str]:
    """Break a command line before its options, as a shell takes it."""
    lines = [""]
    for part in re.split(r" (?=-)", line):
        if lines[-1] and len(lines[-1]) + len(part) > width - 2:
            lines[-1] += " \\"
            lines.append("     ")
        lines[-1] += f" {part}" if lines[-1] else part
    return lines


def run(
    made: Output,
    output: str | None = None,
    queue: str | None = None,
    open_after: bool = False,
    as_json: bool = False,
    **values: Any,
) -> None:
    """Make an output: its pages into a file, on stdout or on a printer, and its numbers as JSON or as text."""
    if output == STDOUT and (as_json or open_after):
        raise click.UsageError("-o - puts the PDF on stdout; use a file name with --json or --open")
    if output is None and open_after:
        raise click.UsageError("say with -o which file to write and --open")
    asked = take_asked(values)
    check_alone(asked, output, queue)
    with refusals():
        check_output(output, asked)
        check_queue(queue)
        made, given = with_kept(made, values, printer_for(queue))
        given = first_unit() | given
        plan = made.plan(made.read(**given))
        document = cut(made.draw(plan, made.command(**given)), asked) if output or queue else None
        if document and document.apart and output is None:
            from marking.errors import OutputError

            names = ", ".join(name for name, _ in document.apart)
            raise OutputError(f"--print alone writes no {names}", "", "use -o FILE too")
        there = files_beside(output or "", *(name for name, _ in document.apart) if document else ())
        files = deliver(document, output, asked) if document and output else []
        jobs = send(document, queue) if document and queue else []
    warn(plan.warnings)
    if as_json:
        echo_json(made.data(plan, files))
    elif made.writes != "always" and output != STDOUT:
        click.echo(made.text(plan))
    if document:
        then = then_measure(document, made.then)
        if not as_json:
            say_written(files, there, pages_of(document), then_print(then))
        if queue:
            say_sent(
                queue,
                f"{pages_of(document._replace(apart=()))} ({named_jobs(jobs)})",
                then,
                as_json or output == STDOUT,
            )
        if document.use and not as_json and output != STDOUT:
            click.echo(document.use)
    if open_after and not as_json:
        click.launch(files[0])
