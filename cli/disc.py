"""`turnband disc`: the drive disc as PDF or SVG."""

from __future__ import annotations

from typing import Any

import click

from .delivery import STDOUT, check_output, deliver, output_option, say_written
from .options import ERRORS, json_option, page_options, refusals, thread_option, warn, witness_option


@click.command()
@click.argument("spec")
@click.option("--drive", metavar="SIZE", required=True, help="Driving square: 1/4, 3/8, 1/2, 3/4, 1, 1-1/2 (in).")
@click.option(
    "--points", type=click.Choice(["4", "6", "8", "12"]), help="Corners of the opening: says where marks fall."
)
@click.option("--diameter", metavar="LENGTH", help="Diameter of the disc.  [default: 70 mm; more for large drives]")
@thread_option
@witness_option
@click.option("--copies", type=click.IntRange(1, 50), default=1, show_default=True, help="Copies of the disc.")
@page_options
@click.option("--title", default="", help="Title of the sheet.")
@click.option("--witness-error", metavar="LENGTH", help="Half-width for setting the pointer.  [default: 0.25 mm]")
@click.option("--stop-error", metavar="LENGTH", help="Half-width for reading the stop.  [default: 0.25 mm]")
@click.option("--view-angle", metavar="ANGLE", help="How far from square one looks.  [default: 10°]")
@click.option("--disc-gap", metavar="LENGTH", help="Gap between disc and pointer, for parallax.  [default: 3 mm]")
@click.option(
    "--unequal-scale",
    metavar="PERCENT",
    help="Half-width for scales that differ across and along the page.  [default: 0.2 %]",
)
@output_option
@json_option
def disc(output: str, as_json: bool, points: str | None, **values: Any) -> None:
    """Print a drive disc for SPEC, read by a fixed pointer.

    The disc goes on the driver's square between wrench and socket and turns with them, so that no outside diameter is
    needed.

    \b
    Examples:
      turnband disc "110 N·m + 90° +10/-0" --drive 1/2 -o disc.pdf
      turnband disc "60 lb-ft, 1/4 turn ±5" --drive 1/2 --diameter "4 in" --thread left --paper letter -o disc.svg
    """
    if output == STDOUT and as_json:
        raise click.UsageError("-o - puts the PDF on stdout; use a file name with --json")
    errors = {ERRORS[name]: values.pop(name) for name in ("witness_error", "stop_error", "view_angle")}
    with refusals():
        from marking.disc_job import disc_data, plan_discs, read_disc_job
        from marking.disc_sheets import disc_document

        check_output(output)
        given = {name: text for name, text in errors.items() if text is not None}
        plan = plan_discs(read_disc_job(points=int(points) if points else None, errors=given, **values))
        files = deliver(disc_document(plan), output)
    warn(plan.warnings)
    if as_json:
        import json

        click.echo(json.dumps(disc_data(plan, files), indent=2))
    else:
        say_written(files)
