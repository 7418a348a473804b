"""`turnband chart`: the wall chart as PDF or SVG."""

from __future__ import annotations

import click

from .delivery import check_output, deliver, output_option, say_written
from .options import margin_option, printer_option, refusals, thread_option


@click.command()
@thread_option
@click.option(
    "--paper", metavar="SIZE", default="a4", show_default=True, help="a4, letter, a3, legal or a larger WIDTHxHEIGHT."
)
@margin_option
@printer_option
@click.option("--title", default="", help="Title of the chart.")
@output_option
def chart(thread: str, paper: str, margin: str | None, printer: str | None, title: str, output: str) -> None:
    """Print a wall chart of where common turns end on every opening.

    One page with sockets seen from above, degrees as parts of a turn, flats and notches, torque in all units, the
    method in short and the cautions. Larger paper enlarges it.

    \b
    Examples:
      turnband chart --paper a3 -o chart.pdf
      turnband chart --thread left --title "Tram depot, bogie bay" -o left.svg
    """
    with refusals():
        from marking.chart_sheets import chart_document
        from marking.reading import read_sheet

        check_output(output)
        sheet, _ = read_sheet(paper, margin, printer)
        files = deliver(chart_document(sheet, thread == "right", title), output)
    say_written(files)
