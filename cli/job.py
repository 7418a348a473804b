"""`turnband job`: the band and the part sheet as PDF or SVG."""

from __future__ import annotations

from typing import Any

import click

from .options import error_options, job_options, json_option, read_options, refusals, sheet_options, warn

STDOUT = "-"


@click.command()
@job_options
@sheet_options
@error_options
@click.option(
    "-o", "--output", required=True, metavar="FILE", help="File to write: .pdf, .svg, or - for PDF on stdout."
)
@click.option("--open", "open_after", is_flag=True, help="Open the finished file with the system's viewer.")
@json_option
def job(output: str, open_after: bool, as_json: bool, **values: Any) -> None:
    """Print the band and the part sheet for SPEC.

    SPEC is the snug torque, then one or more turns, as the manual writes them. An SVG of several pages goes to
    NAME-1.svg, NAME-2.svg, …

    \b
    Examples:
      turnband job "110 N·m + 90° +10/-0" --points 12 --drive 1/2 \\
          --opening "19 mm" --od "27.8 mm" -o bracket.pdf
      turnband job "60 lb-ft, 1/4 turn ±5, 1/4 turn ±5" --points 6 --drive 1/2 \\
          --around "3-7/16 in" --thread left --paper letter -o hub.svg
    """
    if output == STDOUT and (as_json or open_after):
        raise click.UsageError("-o - puts the PDF on stdout; use a file name with --json or --open")
    with refusals():
        from marking import as_data, job_document, plan_job, save
        from marking.render import format_of

        if output != STDOUT:
            format_of(output)
        plan = plan_job(read_options(values))
        document = job_document(plan)
        files = save(document, output) if output != STDOUT else []
    warn(plan.warnings)
    if output == STDOUT:
        from marking.render.pdf import pdf_bytes

        click.echo(pdf_bytes(document), nl=False)
    elif as_json:
        import json

        click.echo(json.dumps(as_data(plan, files), indent=2))
    else:
        click.echo(f"wrote {', '.join(click.format_filename(name) for name in files)}")
    if open_after:
        click.launch(files[0])
