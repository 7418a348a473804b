"""The whole tool in a browser: a WSGI application that keeps nothing between requests."""

from __future__ import annotations

from collections.abc import Collection
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wsgiref.types import WSGIApplication


def application(names: Collection[str] = (), printers: bool = False) -> WSGIApplication:
    """Return the page as a WSGI application, which any server may run in as many processes as it likes.

    It answers to addresses of digits, to localhost and to these host `names`: others are refused, so that no foreign
    page reaches it under a name of its own. `printers` lets whoever sits at the machine itself add and remove printer
    profiles; leave it off behind a proxy. Raises ImportError where the extra `page` is not installed.
    """
    from .app import Page

    return Page(names, printers)
