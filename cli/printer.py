"""`turnband printer`: keep what printers really print, as measured on the proof page."""

from __future__ import annotations

import click

from .completion import offering, printers, queues
from .delivery import echo_json
from .options import json_option, refusals, tell


@click.group()
def printer() -> None:
    """Keep what your printers really print, as measured on the page of `turnband proof`.

    \b
    Examples:
      turnband printer add "office" --x "159.4 mm" --y "240.5 mm" \\
          --stock "0.11 mm"
      turnband printer list
    """


@printer.command()
@click.argument("name", shell_complete=offering(queues))
@click.option("--x", metavar="LENGTH", required=True, help="Length measured from A to B, across the sheet.")
@click.option("--y", metavar="LENGTH", required=True, help="Length measured from B to C, along the sheet.")
@click.option("--x-nominal", metavar="LENGTH", help="What the proof page states for A to B.  [default: 160 mm]")
@click.option("--y-nominal", metavar="LENGTH", help="What the proof page states for B to C.  [default: 240 mm]")
@click.option("--stock", metavar="LENGTH", help="Thickness of the paper used: ten sheets, divided by ten.")
@click.option("--replace", is_flag=True, help="Replace the printer of this name.")
def add(
    name: str, x: str, y: str, x_nominal: str | None, y_nominal: str | None, stock: str | None, replace: bool
) -> None:
    """Add the printer NAME with the lengths measured on its proof page.

    Called like a print queue, it corrects what is printed there with --print.

    \b
    Examples:
      turnband printer add "office" --x "159.4 mm" --y "240.5 mm"
      turnband printer add "bench 2" --x "119.8 mm" --x-nominal "120 mm" \\
          --y "160.1 mm" --y-nominal "160 mm" --stock "0.11 mm" --replace
    """
    with refusals():
        from marking.printers.profile import profile_text, read_profile
        from marking.printers.store import add_profile, profiles_path

        profile = read_profile(name, x, y, x_nominal=x_nominal, y_nominal=y_nominal, stock=stock)
        add_profile(profile, replace)
    click.echo(f"added to {click.format_filename(profiles_path())}:\n{profile_text(profile)}")
    _say_queue(profile.name)


def _say_queue(name: str) -> None:
    """Say what a profile does for the print queue of its name, or which queues there are instead."""
    from marking.errors import MarkingError

    from .printing import known_queues

    try:
        queues = known_queues()
    except MarkingError:  # a profile needs no queue
        return
    if name in queues:
        click.echo(f"What is printed with --print {name} is corrected by it from now on.")
    elif queues:
        tell(f"no print queue is called {name}: call it {' or '.join(queues)} and --print there uses it by itself")


@printer.command("list", params=[json_option])
def list_all(as_json: bool) -> None:
    """List all printers.

    \b
    Examples:
      turnband printer list
      turnband printer list --json
    """
    with refusals():
        from marking.printers.profile import profile_data, profile_text
        from marking.printers.store import load_profiles

        profiles = [profile for _, profile in sorted(load_profiles().items())]
    if as_json:
        echo_json({"printers": [profile_data(profile) for profile in profiles]})
    elif profiles:
        click.echo("\n".join(map(profile_text, profiles)))
    else:
        click.echo("no printers yet: print `turnband proof`, then `turnband printer add`", err=True)


@printer.command(params=[json_option])
@click.argument("name", shell_complete=offering(printers))
def show(name: str, as_json: bool) -> None:
    """Show the printer NAME.

    \b
    Examples:
      turnband printer show "office"
      turnband printer show "office" --json
    """
    with refusals():
        from marking.printers.profile import profile_data, profile_text
        from marking.printers.store import profile

        found = profile(name)
    if as_json:
        echo_json(profile_data(found))
    else:
        click.echo(profile_text(found))


@printer.command()
@click.argument("name", shell_complete=offering(printers))
def remove(name: str) -> None:
    """Forget the printer NAME.

    \b
    Examples:
      turnband printer remove "office"
    """
    with refusals():
        from marking.printers.store import remove_profile

        remove_profile(name)
    click.echo(f"removed {name}")
