"""What a shell offers while a value is typed."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

    from marking.fields import Field

Completer = Callable[[click.Context, click.Parameter, str], "list[CompletionItem]"]


def files(_context: click.Context, _param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Let the shell offer names of files."""
    from click.shell_completion import CompletionItem  # loaded only when a shell asks

    return [CompletionItem(incomplete, type="file")]


def offering(values: Callable[[], Iterable[str]]) -> Completer:
    """Return what offers these values, worked out only when a shell asks; none where they cannot be known."""

    def offer(_context: click.Context, _param: click.Parameter, incomplete: str) -> list[CompletionItem]:
        from click.shell_completion import CompletionItem

        from marking.errors import MarkingError

        try:
            return [CompletionItem(value) for value in values() if value.lower().startswith(incomplete.lower())]
        except MarkingError:
            return []

    return offer


def completer(field: Field) -> Completer | None:
    """Return what completes the values of a field; None where there is nothing to offer."""
    return files if field.kind == "file" else _BY_NAME.get(field.name)


def printers() -> Iterable[str]:
    """The names of printer profiles."""
    from marking.printers.store import load_profiles

    return sorted(load_profiles())


def queues() -> Iterable[str]:
    """The names of print queues."""
    from .printing import known_queues

    return known_queues()


def names() -> Iterable[str]:
    """What may have a default of the user's own."""
    from marking.printers.defaults import FIELDS

    return FIELDS


def values_of_name(context: click.Context, param: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Offer the values of what may have a default of the user's own, whose name stands before them."""
    from marking.printers.defaults import FIELDS

    field = FIELDS.get(context.params["name"])
    offer = field and (offering(lambda: field.choices) if field.choices else completer(field))
    return offer(context, param, incomplete) if offer else []


def _papers() -> Iterable[str]:
    from marking.sheets.paper import SIZES, TAPES_MM

    return [*SIZES, *(f"{width:g}mm tape" for width in TAPES_MM)]


def _drives() -> Iterable[str]:
    from marking.fastening.socket import DRIVES

    return [drive.inch for drive in DRIVES]


def _classes() -> Iterable[str]:
    from marking.tables import rows

    return dict.fromkeys(row["class"] for row in rows("property_classes"))


_BY_NAME = {
    "paper": offering(_papers), "drive": offering(_drives), "strength": offering(_classes),
    "printer": offering(printers),
}  # fmt: skip
