"""`turnband record`: the record card as PDF or SVG."""

from __future__ import annotations

from typing import Any

import click

from .delivery import STDOUT, check_output, deliver, output_option, say_written
from .options import json_option, page_options, refusals, thread_option, warn, witness_option


@click.command()
@click.argument("spec")
@click.option("--fasteners", type=click.IntRange(1, 60), required=True, help="How many fasteners.")
@click.option(
    "--pattern",
    type=click.Choice(["circle", "rows"]),
    default="circle",
    show_default=True,
    help="How they stand: numbered crosswise on a circle, from the middle outward in rows.",
)
@click.option("--rows", type=click.IntRange(1, 6), help="Equal rows of --pattern rows.  [default: 2]")
@thread_option
@witness_option
@page_options
@click.option("--title", default="", help="Title of the card.")
@output_option
@json_option
def record(output: str, as_json: bool, **values: Any) -> None:
    """Print a record card for SPEC, with the tightening order.

    It shows a plan of the fasteners and has boxes for each stage. The manual's order comes first: the order on the card
    is common practice, for manuals that give none.

    \b
    Examples:
      turnband record "110 N·m + 90° +10/-0" --fasteners 8 -o card.pdf
      turnband record "60 lb-ft, 1/4 turn ±5" --fasteners 10 --pattern rows --paper letter -o card.svg
    """
    if output == STDOUT and as_json:
        raise click.UsageError("-o - puts the PDF on stdout; use a file name with --json")
    with refusals():
        from marking.record_job import plan_record, read_record_job, record_data
        from marking.record_sheets import record_document

        check_output(output)
        plan = plan_record(read_record_job(**values))
        files = deliver(record_document(plan), output)
    warn(plan.warnings)
    if as_json:
        import json

        click.echo(json.dumps(record_data(plan, files), indent=2))
    else:
        say_written(files)
