"""The command `turnband` and its subcommands."""

from __future__ import annotations

from importlib import import_module

import click

OTHERS = {"again": ".again", "defaults": ".kept", "page": ".page.command", "printer": ".printer"}
"""The commands that are no output, and the modules that hold them."""


WHOLE = 200
"""Characters that no first sentence has."""


class Commands(click.Group):
    """One command for each output, and those that are no output; each is made when it is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the names of all commands."""
        from marking.outputs import OUTPUTS

        return sorted({*OUTPUTS, *OTHERS})

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write every command with the whole of its first sentence."""
        commands = [(name, self.get_command(ctx, name)) for name in self.list_commands(ctx)]
        with formatter.section("Commands"):
            formatter.write_dl([(name, found.get_short_help_str(WHOLE)) for name, found in commands if found])

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """Return a command by its name."""
        if cmd_name in OTHERS:
            found: click.Command = getattr(import_module(OTHERS[cmd_name], __package__), cmd_name)
            return found
        from marking.outputs import OUTPUTS

        from .command import command_of
        from .set import set_command

        if cmd_name not in OUTPUTS:
            return None
        return set_command(OUTPUTS["set"]) if cmd_name == "set" else command_of(OUTPUTS[cmd_name])


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.version_option(package_name="turnband", message="%(prog)s %(version)s")
def main() -> None:
    """Print paper marks, to scale, that turn any socket into an angle gauge.

    For fasteners tightened by torque, then turn: the marks show on the socket where the turn must end.

    \b
    Examples:
      turnband job "110 Nm + 90 deg +10/-0" --points 12 --drive 1/2 \\
          --od "27.8 mm" -o bracket.pdf
      turnband explain "80 lbf-ft + 1/4 turn" --points 6 --drive 1/2 \\
          --around "3-7/16 in"

    The manufacturer's manual decides; turnband only marks the angle it states.

    \b
    Shell completion (bash; likewise zsh and fish):
      eval "$(_TURNBAND_COMPLETE=bash_source turnband)"
    """
