"""`turnband proof`: one page to measure, which shows what a printer really prints."""

from __future__ import annotations

import click

from .delivery import check_output, deliver, output_option, say_written
from .options import refusals


@click.command()
@click.option(
    "--paper", metavar="SIZE", default="a4", show_default=True, help="a4, letter, a5, a3, legal or WIDTHxHEIGHT."
)
@output_option
def proof(paper: str, output: str) -> None:
    """Print a page of lengths to measure, for the printer's true scale.

    Print it at 100 %, measure its lengths with a steel rule, and keep them with `turnband printer add`: the page says
    how.

    \b
    Examples:
      turnband proof -o proof.pdf
      turnband proof --paper letter -o proof.svg
    """
    with refusals():
        from marking.paper import parse_sheet
        from marking.proof import proof_document

        check_output(output)
        files = deliver(proof_document(parse_sheet(paper)), output)
    say_written(files)
