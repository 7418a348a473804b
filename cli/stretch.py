"""`turnband stretch`: what the turn does to the fastener, as text, JSON, and a chart in PDF or SVG."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from .delivery import STDOUT, check_output, deliver, say_written
from .options import json_option, page_options, refusals, thread_option, warn, witness_option

if TYPE_CHECKING:
    from marking.stretch import StretchPlan


@click.command()
@click.argument("spec")
@click.option("--screw", metavar="THREAD", required=True, help="Thread: M12x1.75, M12 (coarse), 1/2-13, 3/4-16 UNF.")
@click.option(
    "--class", "strength", metavar="CLASS", required=True, help="8.8, 9.8, 10.9, 12.9 (metric); 5, 8 (unified)."
)
@click.option("--grip", metavar="LENGTH", required=True, help="Thickness of the parts between head and nut.")
@click.option("--shank", metavar="LENGTH", help="Unthreaded length within the grip.  [default: none]")
@click.option("--joint-modulus", metavar="MODULUS", help="Modulus of the parts: 70 GPa, 14 Mpsi.  [default: steel]")
@click.option("--friction", metavar="LIMITS", help="Limits in thread and under the head.  [default: 0.10..0.16]")
@click.option("--thread-friction", metavar="LIMITS", help="Limits in the thread, where they differ.")
@click.option("--head-friction", metavar="LIMITS", help="Limits under the head or nut that turns, where they differ.")
@click.option("--bearing", metavar="LENGTH", help="Outside diameter of the face that turns.  [default: 1.5 d]")
@click.option("--hole", metavar="LENGTH", help="Diameter of the hole below it.  [default: 1.1 d]")
@thread_option
@witness_option
@page_options
@click.option("--title", default="", help="Title of the sheet.")
@click.option("-o", "--output", metavar="FILE", help="Draw the charts too: .pdf, .svg, or - for PDF on stdout.")
@json_option
def stretch(spec: str, output: str | None, as_json: bool, **values: Any) -> None:
    """Show what SPEC does to the fastener: stretch, tension, scatter.

    How far the thread advances, how much of that stretches the screw, the tension after snug and after the turn against
    proof load and yield, and the comparison that is the point of the method: torque alone against torque, then turn.
    Everything is elastic; beyond the proof load no tension is given.

    These are teaching numbers, not tightening instructions: the manufacturer's manual decides.

    \b
    Examples:
      turnband stretch "40 N·m + 45° ±3" --screw M12x1.75 --class 10.9 --grip "120 mm" --shank "80 mm"
      turnband stretch "30 lbf·ft + 1/12 turn ±3" --screw 1/2-13 --class 8 --grip "4 in" -o chart.pdf
    """
    if output == STDOUT and as_json:
        raise click.UsageError("-o - puts the PDF on stdout; use a file name with --json")
    with refusals():
        from marking.stretch import plan_stretch
        from marking.stretch_job import read_stretch_job, stretch_data
        from marking.stretch_report import as_stretch_text, findings

        if output is not None:
            check_output(output)
        plan = plan_stretch(read_stretch_job(spec, **values))
        files = _drawn(plan, output) if output is not None else []
    warn(plan.warnings)
    if as_json:
        import json

        click.echo(json.dumps(stretch_data(plan, findings(plan), files), indent=2))
    elif output != STDOUT:
        click.echo(as_stretch_text(plan))
        say_written(files)


def _drawn(plan: StretchPlan, output: str) -> list[str]:
    from marking.stretch_sheets import stretch_document

    return deliver(stretch_document(plan), output)
