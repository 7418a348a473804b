"""`turnband lesson`: a teaching set as PDF or SVG."""

from __future__ import annotations

from typing import Any

import click

from .delivery import STDOUT, check_output, deliver, output_option, say_written
from .options import json_option, page_options, refusals


@click.command()
@click.argument("spec")
@click.option(
    "--points",
    type=click.Choice(["4", "6", "8", "12"]),
    default="12",
    show_default=True,
    help="Corners of the worked example's socket.",
)
@click.option(
    "--thread",
    type=click.Choice(["right", "left"]),
    default="right",
    show_default=True,
    help="Thread of the worked example.",
)
@click.option("--trainees", type=click.IntRange(1, 60), default=12, show_default=True, help="Number of worksheets.")
@click.option(
    "--seed", type=click.IntRange(0, 999_999), default=1, show_default=True, help="Same seed, same worksheets."
)
@page_options
@click.option("--title", default="", help="Title of the sheets.")
@output_option
@json_option
def lesson(output: str, as_json: bool, points: str, **values: Any) -> None:
    """Print a lesson on SPEC: handout, worksheets and answer key.

    SPEC is the worked example. Each worksheet has numbers of its own, which are invented; the key shows every result
    with its working. An SVG goes to NAME-1.svg, NAME-2.svg, …

    \b
    Examples:
      turnband lesson "110 N·m + 90° +10/-0" --trainees 12 --seed 7 -o lesson.pdf
      turnband lesson "60 lb-ft, 1/4 turn ±5" --points 6 --thread left --paper letter -o lesson.pdf
    """
    if output == STDOUT and as_json:
        raise click.UsageError("-o - puts the PDF on stdout; use a file name with --json")
    with refusals():
        from marking.lesson import lesson_data, plan_lesson, read_lesson
        from marking.lesson_sheets import lesson_document

        check_output(output)
        plan = plan_lesson(read_lesson(points=int(points), **values))
        files = deliver(lesson_document(plan), output)
    if as_json:
        import json

        click.echo(json.dumps(lesson_data(plan, files), indent=2))
    else:
        say_written(files)
