"""`turnband tape`: the diameter tape as PDF or SVG."""

from __future__ import annotations

from typing import Any

import click

from .delivery import check_output, deliver, output_option, say_written
from .options import refusals, sheet_paper_options


@click.command()
@click.option("--from", "low", metavar="LENGTH", default="8 mm", show_default=True, help="Smallest OD to read.")
@click.option("--to", "high", metavar="LENGTH", default="60 mm", show_default=True, help="Largest OD to read.")
@click.option("--unit", type=click.Choice(["mm", "in"]), help="Unit of the graduations.  [default: that of --from]")
@sheet_paper_options
@output_option
def tape(low: str, high: str, unit: str | None, output: str, **values: Any) -> None:
    """Print a paper tape that reads a socket's outside diameter (OD).

    Wrapped round the socket it reads the OD to 0.1 mm or 0.005 in, ready for the option --od of the other commands. A
    long tape comes in pieces to glue together. An SVG of several pages goes to NAME-1.svg, NAME-2.svg, …

    \b
    Examples:
      turnband tape -o tape.pdf
      turnband tape --from "3/8 in" --to "2 in" --paper letter -o tape.pdf
      turnband tape --from "60 mm" --to "120 mm" --stock "0.2 mm" -o large.svg
    """
    with refusals():
        from marking.quantities import parse_length
        from marking.reading import read_sheet
        from marking.tape_sheets import tape_document

        check_output(output)
        first, last = parse_length(low, "--from"), parse_length(high, "--to")
        paper, stock_mm = read_sheet(**values)
        files = deliver(tape_document(first.mm, last.mm, unit or first.unit, stock_mm, paper), output)
    say_written(files)
