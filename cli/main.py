"""The command `turnband` and its subcommands."""

from __future__ import annotations

import click

from .chart import chart
from .disc import disc
from .explain import explain
from .job import job
from .lesson import lesson
from .printer import printer
from .proof import proof
from .record import record
from .set import set_command
from .stretch import stretch
from .tape import tape


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="turnband", message="%(prog)s %(version)s")
def main() -> None:
    """Print paper marks, to scale, that turn any socket into an angle gauge.

    For fasteners tightened by torque, then turn: the marks show on the socket where the turn must end.

    \b
    Examples:
      turnband job "110 N·m + 90° +10/-0" --points 12 --drive 1/2 --od "27.8 mm" -o bracket.pdf
      turnband explain "80 lbf·ft + 1/4 turn" --points 6 --drive 1/2 --around "3-7/16 in"

    The manufacturer's manual decides; turnband only marks the angle it states.

    \b
    Shell completion (bash; likewise zsh and fish):
      eval "$(_TURNBAND_COMPLETE=bash_source turnband)"
    """


main.add_command(job)
main.add_command(explain)
main.add_command(disc)
main.add_command(chart)
main.add_command(proof)
main.add_command(printer)
main.add_command(tape)
main.add_command(record)
main.add_command(lesson)
main.add_command(set_command)
main.add_command(stretch)
