"""`turnband page`: serve the page on this machine and open the browser."""

from __future__ import annotations

import gc
import socket
import sys
from contextlib import suppress
from typing import Any

import click

from ..options import Refusal, refusals, tell
from . import words

PORT = 8080

TRIES = 100
"""Ports looked at behind one that is taken."""

LOOPBACK = ("127.0.0.1", "::1", "localhost")

EVERYWHERE = {"0.0.0.0": "127.0.0.1", "::": "::1"}
"""Hosts that stand for all addresses of a machine, and the one at which it reaches itself."""


@click.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on; 0.0.0.0 for the network.")
@click.option("--port", type=click.IntRange(1, 65535), help=f"Port to listen on.  [default: {PORT}, or the next free]")
@click.option("--no-open", is_flag=True, help="Do not open the browser.")
def page(host: str, port: int | None, no_open: bool) -> None:
    """Show everything as a page in the browser.

    The page is for this machine alone, unless --host lets others of the network in.

    \b
    Examples:
      turnband page
      turnband page --port 8080 --no-open
      turnband page --host 0.0.0.0
    """
    with refusals():
        served, free = _server(host, port)
    address = _address(EVERYWHERE.get(host, host), free)
    click.echo(words.SERVING.format(address))
    if host in EVERYWHERE:
        tell(words.TO_ALL.format(" or ".join(_address(name, free) for name in _names_for_others(host))))
        tell(words.PRINTERS_HERE.format(address))
    elif host not in LOOPBACK:
        tell(words.TO_ALL.format(address))
    if not no_open:
        click.launch(address)
    gc.set_threshold(5_000)  # a short run needs none, a server of days does
    served.run()


def _address(host: str, port: int) -> str:
    return f"http://{f'[{host}]' if ':' in host else host}:{port}/"


def _names_for_others(host: str) -> list[str]:
    """This machine's address in digits, which phones find where they know no names, and its name."""
    found = [socket.gethostname()]
    family, far = (socket.AF_INET6, "2001:db8::1") if ":" in host else (socket.AF_INET, "192.0.2.1")
    with suppress(OSError), socket.socket(family, socket.SOCK_DGRAM) as asked:
        asked.connect((far, 9))  # sends nothing: the system only looks which way that would go
        found.insert(0, asked.getsockname()[0])
    return found


def _server(host: str, port: int | None) -> tuple[Any, int]:
    """A server that listens, and its port. Raises Refusal."""
    from marking.errors import MarkingError

    try:
        from . import application
        from .server import listen
    except ImportError as error:
        raise Refusal(words.NEEDS) from error
    names = () if host in LOOPBACK else (socket.gethostname(), f"{socket.gethostname()}.local", socket.getfqdn())
    wanted = port or PORT
    free = _free_port(host, wanted)
    if free != wanted and not _agreed(port, free):
        raise MarkingError(words.TAKEN.format(wanted), "", words.OFFER.format(free))
    app = application(names, printers=True)
    try:
        return listen(app, host, free), free
    except (OSError, ValueError) as error:
        raise MarkingError(words.NO_PORT.format(host, error), words.CHECK_HOST, "check --host") from error


def _agreed(port: int | None, free: int) -> bool:
    """Say that a port is taken; whether the next one does instead: where none was named, or somebody says so."""
    if port is None:
        tell(words.NEXT_TAKEN.format(PORT, free))
        return True
    return (
        sys.stdin is not None
        and sys.stdin.isatty()
        and click.confirm(f"{words.TAKEN.format(port)}. {words.TAKE_NEXT.format(free)}", err=True)
    )


def _free_port(host: str, first: int) -> int:
    """The first port from `first` on that nobody listens on. Raises MarkingError for a host that is none here."""
    from marking.errors import MarkingError

    refusal: OSError | None = None
    for port in range(first, min(first + TRIES, 65536)):
        try:
            family, kind, proto, _, place = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
            with socket.socket(family, kind, proto) as tried:
                tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
                tried.bind(place)
            return port
        except socket.gaierror as error:
            refusal = error
            break
        except OSError as error:
            refusal = error
    reason = (refusal.strerror if refusal else None) or "no port is free"
    raise MarkingError(words.NO_PORT.format(host, reason.lower()), words.CHECK_HOST, "check --host and --port")
