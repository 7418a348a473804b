"""`turnband job`: the band and the part sheet as PDF or SVG."""

from __future__ import annotations

from typing import Any

import click

from .delivery import STDOUT, check_output, deliver, output_option, say_written
from .options import error_options, job_options, json_option, plan_options, refusals, sheet_options, warn


@click.command()
@job_options
@sheet_options
@error_options
@output_option
@click.option(
    "--with", "extras", multiple=True, type=click.Choice(["disc"]), help="Print a drive disc too (see turnband disc)."
)
@click.option("--open", "open_after", is_flag=True, help="Open the finished file with the system's viewer.")
@json_option
def job(output: str, open_after: bool, as_json: bool, extras: tuple[str, ...], **values: Any) -> None:
    """Print the band and the part sheet for SPEC.

    SPEC is the snug torque, then one or more turns, as the manual writes them. An SVG of several pages goes to
    NAME-1.svg, NAME-2.svg, …

    Without --od and --around it prints trim bands: each serves a range of ODs and is cut along the row of the socket's
    own.

    \b
    Examples:
      turnband job "110 N·m + 90° +10/-0" --points 12 --drive 1/2 \\
          --opening "19 mm" --od "27.8 mm" -o bracket.pdf
      turnband job "60 lb-ft, 1/4 turn ±5, 1/4 turn ±5" --points 6 --drive 1/2 \\
          --around "3-7/16 in" --thread left --paper letter -o hub.svg
      turnband job "110 N·m + 90° +10/-0" --points 12 --drive 1/2 --od-range "24 mm..32 mm" -o trim.pdf
    """
    if output == STDOUT and (as_json or open_after):
        raise click.UsageError("-o - puts the PDF on stdout; use a file name with --json or --open")
    with refusals():
        from marking.outputs import data_of, disc_for, document_of

        check_output(output)
        planned = plan_options(values)
        disc = disc_for(planned) if "disc" in extras else None
        files = deliver(document_of(planned, disc), output)
    warn(tuple(dict.fromkeys([*planned.warnings, *(disc.warnings if disc else ())])))
    if as_json:
        import json

        click.echo(json.dumps(data_of(planned, files, disc), indent=2))
    else:
        say_written(files)
    if open_after:
        click.launch(files[0])
