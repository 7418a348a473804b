"""`turnband set`: many bands, rings, discs and trim bands from a list, packed on pages with an index."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

import click

from .command import help_of, output_help
from .delivery import STDOUT, check_output, deliver
from .options import json_option, parameter, refusals, warn

if TYPE_CHECKING:
    from collections.abc import Callable

    from marking.outputs import Output
    from marking.outputs.sets.plan import SetPlan


def set_command(output: Output) -> click.Command:
    """Return the command for sets, which report faults of a list, their use of paper, and their progress."""
    more = [
        click.Option(["--skip-bad"], is_flag=True, help="Print the good rows and list the bad ones."),
        click.Option(["--dry-run"], is_flag=True, help="Say how many pages it takes, and write nothing."),
        click.Option(["--jobs"], type=click.IntRange(1, 64), default=1, show_default=True, help="Processes that draw."),
        click.Option(["-o", "--output"], metavar="FILE", help=output_help()),
    ]
    return click.Command(
        "set", params=[*map(parameter, output.fields), *more, json_option], callback=_run, help=help_of(output)
    )


def _run(list_file: str | None, output: str | None, as_json: bool, dry_run: bool, **values: Any) -> None:
    if output == STDOUT and (as_json or values["split_by"]):
        raise click.UsageError("-o - puts one PDF on stdout; use a file name with --json or --split-by")
    if output is None and not dry_run:
        raise click.UsageError("say with -o which file to write, or ask for a --dry-run")
    if (list_file is None) == (values["turns"] is None):
        raise click.UsageError("give either a LIST or --turns")
    with refusals():
        from marking.outputs.sets.files import plan_sets, write_sets
        from marking.outputs.sets.pages import set_document
        from marking.outputs.sets.plan import grouped

        if output is not None:
            check_output(output)
        plans = plan_sets(
            list_file, **{name: value for name, value in values.items() if name not in ("jobs", "skip_bad")}
        )
        faults = [fault.text for plan in plans.values() for fault in plan.faults]
        warn(grouped(remark for plan in plans.values() for remark in plan.remarks))
        _report_faults(faults, values["skip_bad"])
        if dry_run or output is None:
            return _say_use(plans)
        with _progress(sum(len(plan.papers) for plan in plans.values())) as made:
            if output == STDOUT:
                deliver(set_document(plans[""], values["jobs"], made), output)
                return
            written = write_sets(plans, output, values["jobs"], made)
    _report(plans, written, as_json)


def _report_faults(faults: list[str], skip: bool) -> None:
    for text in dict.fromkeys(faults):
        click.echo(f"turnband: {text}", err=True)
    if faults and not skip:
        raise click.exceptions.Exit(1)


def _say_use(plans: dict[str, SetPlan]) -> None:
    for key, plan in plans.items():
        name = f"{key}: " if key else ""
        pieces, pages = _counted(len(plan.parts), "piece"), _counted(len(plan.papers), "page")
        click.echo(f"{name}{pieces} on {pages}, {plan.area_use:.0%} of the area used")


def _counted(count: int, thing: str) -> str:
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"


def _report(plans: dict[str, SetPlan], written: dict[str, tuple[list[str], int]], as_json: bool) -> None:
    if as_json:
        import json

        from marking.outputs.sets.report import set_data

        data = [set_data(plan, written[key][1], written[key][0]) for key, plan in plans.items()]
        click.echo(json.dumps(data[0] if list(plans) == [""] else {"sets": data}, indent=2))
        return
    files = [name for names, _ in written.values() for name in names]
    if files:
        click.echo(f"wrote {', '.join(click.format_filename(name) for name in files)}")


@contextmanager
def _progress(pages: int) -> Iterator[Callable[[int], None] | None]:
    """A bar on stderr while pages are drawn, when somebody is looking."""
    if not sys.stderr.isatty():
        yield None
        return
    with click.progressbar(length=pages, label="drawing pages", show_pos=True, file=sys.stderr) as bar:
        yield lambda _: bar.update(1)
