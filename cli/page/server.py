"""The server behind `turnband page`: waitress, with limits, and with little patience."""

from __future__ import annotations

import logging
import time
from typing import TYPE_CHECKING, Any

from waitress.channel import HTTPChannel
from waitress.parser import HTTPRequestParser
from waitress.server import BaseWSGIServer, create_server
from waitress.task import ErrorTask
from waitress.utilities import BadRequest

from .filled import refusal
from .guard import HTML, MAX_BODY, strict

if TYPE_CHECKING:
    from wsgiref.types import WSGIApplication

LIMITS = {
    "threads": 4,
    "connection_limit": 500,  # common systems let a process open 1,024 files
    "backlog": 1024,
    "channel_timeout": 30,
    "cleanup_interval": 5,
    "max_request_header_size": 16_384,
    "asyncore_use_poll": True,
    "clear_untrusted_proxy_headers": False,  # they tell who does not sit at this machine
    "ident": None,
}
"""How the server is run: our choice."""

SLOWEST_S = 60.0
"""Seconds in which a request has to come (our choice: two lists at half a megabit a second)."""


class TooSlow(BadRequest):  # type: ignore[misc]  # waitress has no types
    """The answer to a request that took too long to come."""

    code, reason = 408, "Request Timeout"


class PromptRequest(HTTPRequestParser):  # type: ignore[misc]
    """A request that comes whole within SLOWEST_S or is refused: a byte now and then keeps no connection for long."""

    def __init__(self, adj: Any) -> None:
        super().__init__(adj)
        self.begun = time.monotonic()

    def received(self, data: bytes) -> int:
        """Take a piece of the request; return how much of it was taken."""
        error: BadRequest = TooSlow("")
        if time.monotonic() - self.begun <= SLOWEST_S:
            try:
                return int(super().received(data))
            except ValueError:  # an address such as http://[/
                error = BadRequest("")
        self.error, self.completed = error, True
        return len(data)


class Refused(ErrorTask):  # type: ignore[misc]
    """The answer to what is no request, or too long: a page as strict as every other."""

    def execute(self) -> None:
        """Answer, and hear no more."""
        error = self.request.error
        page = refusal(error.code)
        self.status, self.content_length = f"{error.code} {error.reason}", len(page)
        self.response_headers.extend(strict([HTML]))
        self.set_close_on_finish()
        self.write(page)


class PromptChannel(HTTPChannel):  # type: ignore[misc]
    """A connection whose requests have to come soon."""

    parser_class, error_task_class = PromptRequest, Refused


def listen(app: WSGIApplication, host: str, port: int, sockets: dict[int, Any] | None = None) -> Any:
    """Return a server of waitress that listens; `sockets` holds what it has open. Raises OSError and ValueError."""
    logging.getLogger("waitress").setLevel(logging.ERROR)  # requests that wait, or are cut off at the end, are no news
    sockets = {} if sockets is None else sockets
    server = create_server(app, sockets, host=host, port=port, max_request_body_size=MAX_BODY, **LIMITS)
    for one in sockets.values():  # a name may have several addresses, with a server for each
        if isinstance(one, BaseWSGIServer):
            one.channel_class = PromptChannel
    return server
