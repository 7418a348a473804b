"""`turnband set`: many bands, rings, discs and trim bands from a list, packed on pages with an index."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from itertools import chain
from typing import TYPE_CHECKING, Any

import click

from .command import help_of, output_option
from .completion import files
from .delivery import (
    STDOUT,
    check_alone,
    check_output,
    counted,
    deliver,
    echo_json,
    files_beside,
    on_paper,
    say_sent,
    say_written,
    take_asked,
    then_print,
)
from .kept import with_kept
from .options import json_option, option_of, parameters, refusals, tell, warn
from .printing import check_queue, named_jobs, print_option, printer_for, send
from .shell import Command, Option

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from marking.lists.items import Fault
    from marking.outputs import Output
    from marking.outputs.sets.plan import SetsPlan

WRAP_ONE = "then wrap a band: its end must land inside the OK bracket."


def set_command(output: Output) -> click.Command:
    """Return the command for sets, which report faults of a list, their use of paper, and their progress."""
    more = [
        Option(["--skip-bad"], is_flag=True, help="Print the good rows and list the bad ones."),
        Option(
            ["--template"],
            metavar="FILE",
            shell_complete=files,
            help="Write a list to fill in, .xlsx or .csv, and its register beside it.",
        ),
        Option(
            ["--find"],
            metavar="WORDS",
            help='Say which piece it is: "88 mm 90", its closed length and turn, or an id. Page and place are '
            "those of a set printed with the same options.",
        ),
        Option(["--dry-run"], is_flag=True, help="Say how many pages it takes, and write nothing."),
        Option(
            ["--jobs"], type=click.IntRange(1, 64), default=1, show_default=True, help="Processes that plan and draw."
        ),
        output_option(),
        print_option,
    ]
    return Command(
        "set",
        params=[*parameters(output.all_fields), *more, json_option],
        callback=partial(_run, output),
        help=help_of(output),
    )


def _run(
    made: Output, list_file: str | None, output: str | None, queue: str | None, as_json: bool, dry_run: bool,
    template: str | None, find: str | None, jobs: int, skip_bad: bool, **values: Any,
) -> None:  # fmt: skip
    if template is not None:
        return _write_templates(template)
    if output == STDOUT and (as_json or values["split_by"]):
        raise click.UsageError("-o - puts one PDF on stdout; use a file name with --json or --split-by")
    if output is None and queue is None and not dry_run and find is None:
        raise click.UsageError("say with -o which file to write, with --print where to print, or ask for a --dry-run")
    from marking.outputs.sets.plan import plan

    asked = take_asked(values)
    if output is not None or queue is not None:
        check_alone(asked, output, queue)
    with refusals():
        check_output(output, asked)
        check_queue(queue)
        made, given = with_kept(made, values, printer_for(queue))
        sets = plan(made.read(list_file, **given), jobs)
        listed = list_file is not None or values["sockets"] is not None
        # what pieces warn of may only follow from a fault, and was said when those that are looked for were printed
        spoilt = (sets.faults and not skip_bad) or find is not None
        warn(sets.list_warnings if spoilt else sets.warnings, _column_or_option if listed else None)
        _report_faults(sets, skip_bad)
        if find is not None:
            return _say_found(sets, find, as_json)
        if dry_run:
            return echo_json(made.data(sets)) if as_json else _say_use(sets)
        command = again(made.command(list_file, **given), sets.faults)
        there = files_beside(output or "")
        written = _written(sets, output, jobs, command, asked)
        sent = _sent(sets, queue, jobs, command)
    if as_json:
        echo_json(made.data(sets, written))
    pages, then = _rows(sets) + _pages(sets), then_of(made, sets)
    if "pieces" in asked:  # nothing is beside the pieces then, no ruler either
        only = "pieces" if asked["pieces"].strip().lower() == "all" else asked["pieces"]
        pages, then = f"{_rows(sets)}only {only}", ""
    if not as_json:
        say_written(chain.from_iterable(written.values()), there, pages, then_print(then))
    if queue:
        say_sent(queue, f"{pages} ({sent})", then, as_json or output == STDOUT)


def _written(
    sets: SetsPlan, output: str | None, jobs: int, command: str, asked: Mapping[str, Any]
) -> dict[str, list[str]]:
    """Write a set where it was asked for; return its files by what it is split by."""
    from marking.outputs.sets.files import write_sets
    from marking.outputs.sets.pages import set_document

    if output is None:
        return {}
    with _progress(sum(plan.pages for plan in sets.plans.values())) as drawn:
        if output != STDOUT:
            return write_sets(sets, output, jobs, drawn, command, **asked)
        deliver(set_document(sets.plans[""], jobs, drawn, command), output, asked)
        return {}


def _sent(sets: SetsPlan, queue: str | None, jobs: int, command: str) -> str:
    """Print a set where that was asked for; return the names of the jobs."""
    from marking.outputs.sets.pages import set_document

    if queue is None:
        return ""
    plans = sets.plans.values()
    return named_jobs([job for plan in plans for job in send(set_document(plan, jobs, command=command), queue)])


def again(command: str, faults: Sequence[Fault]) -> str:
    """Return the command that prints a set again: a list with faults, as it is, prints again only without them."""
    return command.replace(" set", " set --skip-bad", 1) if faults else command


def _write_templates(path: str) -> None:
    with refusals():
        from marking.lists.template import write_templates

        listed, register = map(click.format_filename, write_templates(path))
    then = f"turnband set {listed} --sockets {register} -o set.pdf"
    click.echo(f"wrote {listed} and {register}. Fill them in, then: {then}")


def _say_found(sets: SetsPlan, query: str, as_json: bool) -> None:
    from marking.outputs.sets.find import find

    found = find(sets, query)
    if as_json:
        echo_json({"format": 2, "found": [{"id": one.part.item.id, "words": one.words} for one in found]})
    for one in found if not as_json else ():
        click.echo(one.words)
    if not found:
        tell(f"nothing in the list answers {query!r}; try fewer words, or the length alone")
        raise click.exceptions.Exit(1)


def _rows(sets: SetsPlan) -> str:
    """How many of the list's rows are printed, where others are at fault: "9 of 23 rows, "."""
    items = {(part.item.file, part.item.row) for plan in sets.plans.values() for part in plan.parts}
    lists = {file for file, _ in items}
    bad = {(fault.file, fault.row) for fault in sets.faults if fault.file in lists}
    return f"{len(items - bad)} of {counted(len(items | bad), 'row')}, " if bad else ""


def _pages(sets: SetsPlan) -> str:
    """How many pages there are in all, and of which paper."""
    plans = sets.plans.values()
    papers = (plan.options.paper for plan in plans if plan.options.tape is None)
    sizes = ((paper.width_mm * paper.stretch_x, paper.height_mm * paper.stretch_y) for paper in papers)
    tapes = {f", tape {plan.options.tape.width_mm:g} mm wide" for plan in plans if plan.options.tape}
    return on_paper(sum(plan.pages for plan in plans), sizes) + "".join(tapes)


def then_of(made: Output, sets: SetsPlan) -> str:
    """Return what to do with the finished pages: to measure their rulers, or what proves their scale without any."""
    first, *_ = sets.plans.values()
    if first.options.label_stock is None:
        return made.then.format(rulers="both rulers")
    return made.then.format(rulers="the ruler") if first.front.pages else WRAP_ONE


def _column_or_option(field: str) -> str:
    """Return what a list or register calls a field: its column, if it has one."""
    from marking.lists.headings import COLUMNS

    return field if field in COLUMNS else option_of(field)


def _report_faults(sets: SetsPlan, skip: bool) -> None:
    from marking.lists.items import told

    for text in told(sets.faults, option_of):
        tell(text)
    if sets.faults and not skip:
        raise click.exceptions.Exit(1)


def _say_use(sets: SetsPlan) -> None:
    """Say of every file how many pieces and pages it holds, and of several together."""
    for key, plan in sets.plans.items():
        name = f"{key}: " if key else _rows(sets)
        pieces, pages = counted(len(plan.parts), "piece"), counted(plan.pages, "page")
        index = f", {plan.front.pages} of them index" if plan.front.pages else ""
        click.echo(f"{name}{pieces} on {pages}{index}, {plan.area_use:.0%} of the area used")
    if len(sets.plans) > 1:
        click.echo(f"{len(sets.plans)} files: {_rows(sets)}{_pages(sets)}")


@contextmanager
def _progress(pages: int) -> Iterator[Callable[[int], None] | None]:
    """A bar on stderr while pages are drawn, when somebody is looking."""
    if not sys.stderr.isatty():
        yield None
        return
    with click.progressbar(length=pages, label="drawing pages", show_pos=True, file=sys.stderr) as bar:
        yield lambda _: bar.update(1)
