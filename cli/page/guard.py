"""Who may ask what: hosts, other sites' posts, lengths, and the headers of every answer."""

from __future__ import annotations

import ipaddress
import re
from collections.abc import Collection, Sequence
from functools import lru_cache
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

from werkzeug.exceptions import abort
from werkzeug.wrappers import Request

if TYPE_CHECKING:
    from wsgiref.types import WSGIEnvironment

MAX_UPLOAD = 2_000_000
"""Bytes of one file."""

MAX_BODY = 20_000_000
"""Bytes of a request: four lists, and those before them, which a page without scripts sends in base64."""

MAX_QUERY = 8_000
"""Characters of a job in an address, and of a form without files; browsers and proxies hold no more of one."""

MAX_PARTS = 100
"""Fields of one form."""

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)

STRICT = (
    ("X-Content-Type-Options", "nosniff"),
    ("Referrer-Policy", "same-origin"),
    ("Cross-Origin-Resource-Policy", "same-origin"),
    ("Cross-Origin-Opener-Policy", "same-origin"),
)

HTML = ("Content-Type", "text/html; charset=utf-8")

PDF_POLICY = "frame-ancestors 'none'"
"""A policy keeps some browsers from showing a PDF in their own viewer; there is nothing in it to run."""

_HOST = re.compile(r"(?:\[([0-9a-f:.]+)\]|([a-z0-9._-]+))(?::[0-9]{1,5})?", re.ASCII | re.IGNORECASE)

_FORWARDED = ("Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Real-IP", "Via")


class Asked(Request):
    """A request, of which only so much is read."""

    max_content_length = MAX_BODY
    max_form_memory_size = MAX_BODY
    max_form_parts = MAX_PARTS

    def __init__(self, environ: WSGIEnvironment) -> None:
        super().__init__(environ)
        if self.mimetype != "multipart/form-data":  # of whose fields alone Werkzeug reads no more than so many
            self.max_content_length = MAX_QUERY


def hosts(names: Collection[str]) -> frozenset[str]:
    """Return the names that a request may ask for; addresses of digits it may always."""
    return frozenset({"localhost", *(name.lower().rstrip(".") for name in names)})


def check(asked: Asked, known: Collection[str]) -> None:
    """Refuse what is not meant for these `known` hosts, what is too long, and what other sites post.

    Raises HTTPException.
    """
    host = _host(asked)
    if not host or not (host in known or _address(host)):
        abort(421)
    if len(asked.query_string) > MAX_QUERY:
        abort(414)
    if asked.method == "POST" and not _own(asked):
        abort(403)


def strict(headers: Sequence[tuple[str, str]]) -> list[tuple[str, str]]:
    """Return the headers of an answer with those that tell browsers to be strict."""
    names = dict(headers)
    policy = PDF_POLICY if names.get("Content-Type") == "application/pdf" else POLICY
    caching = [] if "Cache-Control" in names else [("Cache-Control", "no-store")]
    return [*headers, ("Content-Security-Policy", policy), *caching, *STRICT]


def is_here(asked: Request) -> bool:
    """Tell whether a request comes from this machine itself, and through no proxy."""
    host = _host(asked)
    near = host == "localhost" or _loopback(host)
    return near and _loopback(asked.remote_addr or "") and not any(name in asked.headers for name in _FORWARDED)


def _host(asked: Request) -> str:
    """The host that was asked for, without its port; "" for none."""
    found = _HOST.fullmatch(asked.environ.get("HTTP_HOST", ""))
    return (found[1] or found[2]).lower().rstrip(".") if found else ""


@lru_cache(maxsize=64)  # every request names one, and most the same
def _address(host: str) -> ipaddress.IPv4Address | ipaddress.IPv6Address | None:
    """The address that a host of digits is: only names can be rebound to another machine."""
    try:
        return ipaddress.ip_address(host)
    except ValueError:
        return None


def _loopback(host: str) -> bool:
    address = _address(host)
    return address is not None and address.is_loopback


def _own(asked: Request) -> bool:
    """Tell whether a post comes from a page of our own: browsers say where from, and no page can make them lie."""
    origin = asked.headers.get("Origin")
    if origin is None:
        return asked.headers.get("Sec-Fetch-Site") == "same-origin"
    try:
        return urlsplit(origin).netloc == asked.environ.get("HTTP_HOST")
    except ValueError:
        return False
