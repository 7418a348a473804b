"""Options that commands share, and what they have in common: refusals, warnings, reading the job."""

from __future__ import annotations

import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from marking import Plan
    from marking.trim_job import TrimJob

Command = TypeVar("Command", bound=Callable[..., Any])

FIRST_LENGTH = "turnband.first_length"

ERRORS = {
    "od_error": "od_measured_mm", "around_error": "od_around_mm", "stock_error": "stock_mm",
    "scale_error": "print_scale_percent", "witness_error": "witness_mm", "stop_error": "stop_mm",
    "gap": "gap_mm", "view_angle": "view_angle_deg",
}  # fmt: skip
"""Option names of the error model's half-widths, and the library's names for them."""


class Refusal(click.ClickException):
    """A job that cannot be done as asked: the reason on stderr, exit code 1."""

    exit_code = 1

    def show(self, file: Any = None) -> None:
        """Print the reason."""
        click.echo(f"turnband: {self.message}", err=True, file=file)


@contextmanager
def refusals() -> Iterator[None]:
    """Turn the library's errors into refusals, and its warnings into ours."""
    from marking.errors import MarkingError, OutputWarning  # loads only when a command runs: --help stays quick

    with warnings.catch_warnings():
        warnings.simplefilter("always", OutputWarning)
        usual = warnings.showwarning
        warnings.showwarning = lambda message, category, *more: (
            warn((str(message),)) if issubclass(category, OutputWarning) else usual(message, category, *more)
        )
        try:
            yield
        except MarkingError as error:
            raise Refusal(str(error)) from error


def warn(messages: tuple[str, ...]) -> None:
    """Print warnings on stderr."""
    for message in messages:
        click.echo(f"turnband: warning: {message}", err=True)


def plan_options(values: dict[str, Any]) -> Plan | TrimJob:
    """Return the numbers of the job that a command's option values describe; without a diameter, its trim bands."""
    from marking import plan_job, read_job, read_trim_job

    given = {name: value for name, value in values.items() if value is not None and name not in ERRORS}
    errors = {ERRORS[name]: value for name, value in values.items() if name in ERRORS and value is not None}
    given["points"] = int(given["points"])
    common = {**given, "errors": errors, "unit": _first_unit()}
    if "od" not in given and "around" not in given:
        return read_trim_job(**common)
    if {"od_range", "trim_error"} & set(given):
        raise click.UsageError("--od-range and --trim-error are for jobs without --od and --around")
    return plan_job(read_job(**common))


def _note_length(ctx: click.Context, _: click.Parameter, value: str | None) -> str | None:
    """Remember the first length on the command line: computed lengths are shown in its unit."""
    if value is not None:
        ctx.meta.setdefault(FIRST_LENGTH, value)
    return value


def _first_unit() -> str | None:
    from marking.quantities import parse_length

    text = click.get_current_context().meta.get(FIRST_LENGTH)
    return parse_length(text).unit if text else None


def _together(*options: Callable[[Command], Command]) -> Callable[[Command], Command]:
    """Join option decorators so that --help lists them in the order written."""

    def decorate(command: Command) -> Command:
        for option in reversed(options):
            command = option(command)
        return command

    return decorate


stock_option = click.option(
    "--stock", metavar="LENGTH", help="Thickness of the printed material.  [default: the profile's, or 0.1 mm]"
)
margin_option = click.option("--margin", metavar="LENGTH", help="Margin kept free.  [default: 6 mm; 1.5 mm on labels]")
printer_option = click.option(
    "--printer",
    metavar="NAME",
    envvar="TURNBAND_PRINTER",
    help="Printer profile that corrects the print (see turnband printer).",
)

thread_option = click.option(
    "--thread", type=click.Choice(["right", "left"]), default="right", show_default=True, help="Thread."
)
witness_option = click.option(
    "--witness",
    type=click.Choice(["fresh", "first"]),
    default="fresh",
    show_default=True,
    help='"first": the manual states every turn as a total from snug.',
)
page_options = _together(
    click.option(
        "--paper", metavar="SIZE", default="a4", show_default=True, help="a4, letter, a5, a3, legal or WIDTHxHEIGHT."
    ),
    margin_option,
    printer_option,
)
"""Options for what goes on whole sheets only."""

sheet_paper_options = _together(stock_option, page_options)
"""The same for what depends on the stock's thickness."""

job_options = _together(
    click.argument("spec"),
    click.option("--points", type=click.Choice(["4", "6", "8", "12"]), required=True, help="Corners of the opening."),
    click.option("--drive", metavar="SIZE", required=True, help="Driving square: 1/4, 3/8, 1/2, 3/4, 1, 1-1/2 (in)."),
    click.option("--od", metavar="LENGTH", callback=_note_length, help="Outside diameter where the band sits."),
    click.option(
        "--around",
        metavar="LENGTH",
        callback=_note_length,
        help="Instead of --od: length at which a strip of the same paper just closes round the socket.",
    ),
    click.option("--od-range", metavar="RANGE", help='Trim bands for a range of ODs: "24 mm..32 mm".'),
    click.option(
        "--opening",
        metavar="LENGTH",
        callback=_note_length,
        help="Width across flats; adds the slack to the steps.",
    ),
    click.option("--drive-end", metavar="LENGTH", help="Diameter of the drive end, if the socket is thicker there."),
    thread_option,
    stock_option,
    click.option("--height", metavar="LENGTH", help="Height of the band.  [default: by drive, 14 to 30 mm]"),
    click.option(
        "--start",
        type=click.Choice(["corner", "flat"]),
        default="corner",
        show_default=True,
        help="Where START lies.",
    ),
    witness_option,
    click.option(
        "--paper",
        metavar="SIZE",
        default="a4",
        show_default=True,
        help="a4, letter, a5, a3, legal, WIDTHxHEIGHT, or WIDTHxroll for tape and labels.",
    ),
    margin_option,
    printer_option,
)

error_options = _together(
    click.option("--od-error", metavar="LENGTH", help="Half-width for a measured OD.  [default: 0.05 mm]"),
    click.option("--around-error", metavar="LENGTH", help="Half-width for --around.  [default: 0.25 mm]"),
    click.option("--stock-error", metavar="LENGTH", help="Half-width for the stock.  [default: 0.02 mm]"),
    click.option("--scale-error", metavar="PERCENT", help="Half-width for the print scale.  [default: 0.5 %]"),
    click.option("--witness-error", metavar="LENGTH", help="Half-width for the witness mark.  [default: 0.25 mm]"),
    click.option("--stop-error", metavar="LENGTH", help="Half-width for reading the stop.  [default: 0.25 mm]"),
    click.option("--trim-error", metavar="LENGTH", help="Half-width for trimming along a row.  [default: 0.25 mm]"),
    click.option("--gap", metavar="LENGTH", help="Gap between band and part, for parallax.  [default: 1 mm]"),
    click.option("--view-angle", metavar="ANGLE", help="How far from square one looks.  [default: 10°]"),
)

sheet_options = _together(
    click.option("--copies", type=click.IntRange(1, 50), help="Copies of the band.  [default: 2; 1 of trim bands]"),
    click.option(
        "--fasteners",
        type=click.IntRange(1, 200),
        default=4,
        show_default=True,
        help="Pointers and record rows.",
    ),
    click.option(
        "--ring",
        type=click.Choice(["full", "sector"]),
        default="full",
        show_default=True,
        help="Part ring all the way round, or a sector for cramped places.",
    ),
    click.option("--ring-width", metavar="LENGTH", help="Width of the part ring.  [default: 12 mm]"),
    click.option("--ring-bore", metavar="LENGTH", help="Bore of the part ring.  [default: OD + 1 mm]"),
    click.option("--title", default="", help="Title of the sheets."),
)

json_option = click.option("--json", "as_json", is_flag=True, help="Print all numbers as one JSON object.")
