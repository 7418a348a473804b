"""A command as people meet it in a shell: help in groups, values completed, mistakes told by what was meant."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import click

from . import mistakes

OUTPUT = "Output"
"""The heading of options that say where pages and numbers go."""

LAST = "Reading error"


class Option(click.Option):
    """An option with the heading that it stands under in its command's help; "" for the first one."""

    def __init__(self, *names: Any, group: str = OUTPUT, **more: Any) -> None:
        super().__init__(*names, **more)
        self.group = group


class Command(click.Command):
    """A command of options in groups, that names all that is missing at once.

    `target` tells that it has to be said where the pages go; `example` is a line that is complete.
    """

    target = False
    example = ""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Parse a command line. Raises click.UsageError."""
        typed = list(args)
        for wrong in (*mistakes.dashes(self, typed), *mistakes.quotes(typed)):
            raise click.UsageError(wrong, ctx)
        try:
            rest = super().parse_args(ctx, args)
        except click.NoSuchOption as error:
            meant = mistakes.meant(self, error.option_name)
            raise click.UsageError(meant, ctx) if meant else error from error
        except click.MissingParameter as error:
            raise self.lacking(ctx, typed) from error
        except click.UsageError as error:
            wrong = mistakes.unquoted(self, ctx, typed)
            raise click.UsageError(wrong, ctx) if wrong else error from error
        if self.target and not ctx.resilient_parsing and not ctx.params["output"] and not ctx.params["queue"]:
            raise self.lacking(ctx, typed)
        return rest

    def lacking(self, ctx: click.Context, typed: Sequence[str]) -> click.UsageError:
        """Return all that a command line lacks as one error, with a line that has it all."""
        return click.UsageError(f"{mistakes.missing(self, ctx, typed, self.target)}. For example:\n{self.example}", ctx)

    def format_options(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the options under their headings, those of the reading error last."""
        groups: dict[str, list[tuple[str, str]]] = {"": []}
        for param in self.get_params(ctx):
            record = param.get_help_record(ctx)
            if record and isinstance(param, click.Option):
                groups.setdefault(getattr(param, "group", OUTPUT), []).append(record)
        for name in sorted(groups, key=LAST.__eq__):
            if groups[name]:
                with formatter.section(name or "Options"):
                    formatter.write_dl(groups[name])
