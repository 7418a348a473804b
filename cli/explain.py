"""`turnband explain`: the numbers of a job, without a drawing."""

from __future__ import annotations

from typing import Any

import click

from .options import error_options, job_options, json_option, plan_options, refusals, warn


@click.command()
@job_options
@error_options
@json_option
def explain(as_json: bool, **values: Any) -> None:
    """Show where the marks of SPEC fall, and how well they can be read.

    \b
    Examples:
      turnband explain "110 N·m + 90° +10/-0" --points 12 --drive 1/2 --od "27.8 mm"
      turnband explain "hand tight then 2 flats ±5" --points 6 --drive 3/8 --around "66,4 mm"
    """
    with refusals():
        from marking.outputs import data_of, text_of

        planned = plan_options(values)
    warn(planned.warnings)
    if as_json:
        import json

        click.echo(json.dumps(data_of(planned), indent=2))
    else:
        click.echo(text_of(planned))
