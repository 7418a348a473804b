"""Options made from an output's fields, and what all commands have in common: refusals and warnings."""

from __future__ import annotations

import warnings
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from .completion import completer
from .shell import Option
from .streams import laid_out

if TYPE_CHECKING:
    from marking.errors import Namer
    from marking.fields import Field
    from marking.remarks import Remark

FIRST_LENGTH = "turnband.first_length"
METAVARS = {
    "length": "LENGTH", "angle": "ANGLE", "percent": "PERCENT", "file": "FILE", "lines": "FILE", "target": "FILE",
}  # fmt: skip

json_option = Option(["--json", "as_json"], is_flag=True, help="Print all numbers as one JSON object.")


class Refusal(click.ClickException):
    """A job that cannot be done as asked: the reason on stderr, exit code 1."""

    exit_code = 1

    def show(self, file: Any = None) -> None:
        """Print the reason."""
        tell(self.message, file)


@contextmanager
def refusals() -> Iterator[None]:
    """Turn the library's errors into refusals that name options, and its warnings into ours."""
    from marking.errors import MarkingError, OutputWarning  # loads only when a command runs: --help stays quick

    with warnings.catch_warnings():
        warnings.simplefilter("always", OutputWarning)
        usual = warnings.showwarning
        warnings.showwarning = lambda message, category, *more: (
            _warn(str(message)) if issubclass(category, OutputWarning) else usual(message, category, *more)
        )
        try:
            yield
        except MarkingError as error:
            raise Refusal(error.message(option_of) + _unwanted_quotes(error.value)) from error


def _unwanted_quotes(value: object) -> str:
    """Say of a text that cannot be read that quotation marks are part of it."""
    from .mistakes import QUOTES

    quoted = isinstance(value, str) and value[:1] and value[:1] in QUOTES + "\"'"
    return "; leave out the quotation marks within the text" if quoted else ""


def warn(remarks: Iterable[Remark], name: Namer | None = None) -> None:
    """Print remarks on stderr as warnings, each sentence once; `name` calls fields otherwise than by options."""
    for sentence in dict.fromkeys(remark.said(name or option_of) for remark in remarks):
        _warn(sentence)


def _warn(sentence: str) -> None:
    tell(f"warning: {sentence}")


def tell(message: str, file: Any = None) -> None:
    """Print a message on stderr, or in `file`."""
    click.echo(laid_out(f"turnband: {message}"), err=True, file=file)


def option_of(field: str) -> str:
    """Return what the present command calls a field: "--od-range", or "--from" for `low`; a command's name as it is."""
    for param in click.get_current_context().command.params:
        if param.name == field:
            return max(param.opts, key=len)
    return field if " " in field else f"--{field.replace('_', '-')}"


def names_of(fields: Iterable[Field]) -> Namer:
    """Return what a command calls its fields in its help: "--from" for `low`, "SPEC" for `spec`."""
    names = {field.name: _argument(field) if field.positional else field.flag for field in fields}
    return lambda field: names.get(field, field)


def _argument(field: Field) -> str:
    return field.metavar.strip("[]") or field.name.upper()


def parameters(fields: Sequence[Field]) -> list[click.Parameter]:
    """Return the arguments and options that fields are on the command line."""
    name = names_of(fields)
    return [_parameter(field, name) for field in fields]


def _parameter(field: Field, name: Namer) -> click.Parameter:
    from marking.errors import named
    from marking.fields import FIRST_LENGTHS

    metavar = field.metavar or METAVARS.get(field.kind)
    completed = completer(field)
    if field.positional:
        return click.Argument(
            [field.name], required=field.required, metavar=field.metavar or None, shell_complete=completed
        )
    usual = named(f"  [default: {field.usual}]", name) if field.usual else ""
    more: dict[str, Any] = {"metavar": metavar}
    if field.kind == "flag":
        more = {"is_flag": True}
    elif field.choices:
        more = {"type": _Choice(field), "multiple": field.kind == "several"}
    elif field.kind == "lines":
        more["type"] = click.Path(path_type=Path)
    elif field.kind == "count":
        more = {"type": click.IntRange(field.low, field.high)}
    elif field.name in FIRST_LENGTHS:
        more["callback"] = _note_length
    if field.default is not None:  # click counts a default of None as given
        more |= {"default": field.default, "show_default": field.default != ""}
    return Option(
        [field.flag, field.name],
        group=field.group,
        shell_complete=None if field.choices else completed,
        help=field.told(name) + usual,
        required=field.required,
        envvar=field.variable or None,
        **more,
    )


class _Choice(click.Choice[str]):
    """A choice that is read by the field's own reader first: "LH" for "left"."""

    def __init__(self, field: Field) -> None:
        super().__init__(field.choices)
        self.field = field

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        """Return the choice that `value` is; "" for none, whatever is kept as its default."""
        if value == "" and self.field.kept:
            return ""
        if self.field.reader:
            from marking.errors import MarkingError

            with suppress(MarkingError):  # the choice itself refuses it
                value = self.field.reader(value)
        return super().convert(value, param, ctx)


def _note_length(ctx: click.Context, _: click.Parameter, value: str | None) -> str | None:
    """Remember the first length on the command line: computed lengths are shown in its unit."""
    if value is not None:
        ctx.meta.setdefault(FIRST_LENGTH, value)
    return value


def first_unit() -> dict[str, str]:
    """Return the unit of the first length on the command line as the argument `unit`; nothing without one."""
    from marking.errors import MarkingError
    from marking.quantities.parse import parse_length

    text = click.get_current_context().meta.get(FIRST_LENGTH)
    try:
        return {"unit": parse_length(text).unit} if text else {}
    except MarkingError:  # a range, a thread size, or what the field itself will refuse in its own words
        return {}
