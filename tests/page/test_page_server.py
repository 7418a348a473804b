"""What the server refuses by itself, before the application hears of it."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from urllib.parse import urlsplit

import pytest

from kit.each import each
from kit.served import served
from turnband.page.guard import MAX_BODY, POLICY, STRICT
from turnband.page.server import LIMITS


@pytest.fixture(scope="module")
def site() -> Iterator[str]:
    with served() as address:
        yield address


@each(("raw", "status"), [
    (b"GET http://[/ HTTP/1.1\r\n\r\n", "400 Bad Request"),
    (b"get / HTTP/1.1\r\n\r\n", "400 Bad Request"),
    (b"GET /job?spec=\xff HTTP/1.1\r\n\r\n", "400 Bad Request"),
    (b"GET / HTTP/1.1\r\nX Y: 1\r\n\r\n", "400 Bad Request"),
    (b"POST /set HTTP/1.1\r\nContent-Length: -1\r\n\r\n", "400 Bad Request"),
    (b"POST /set HTTP/1.1\r\nContent-Length: %d\r\n\r\n" % (MAX_BODY + 1), "413 Request Entity Too Large"),
    (b"POST /set HTTP/1.1\r\nTransfer-Encoding: gzip\r\n\r\n", "501 Not Implemented"),
    (b"GET /job?spec=".ljust(LIMITS["max_request_header_size"], b"9"), "431 Request Header Fields Too Large"),
])  # fmt: skip
def test_what_is_no_request_is_refused_by_a_page_as_strict_as_all(site: str, raw: bytes, status: str) -> None:
    head, page = _answer(site, raw)
    first, *headers = head.split("\r\n")
    assert first.partition(" ")[2] == status
    for name, value in (*STRICT, ("Content-Security-Policy", POLICY), ("Cache-Control", "no-store")):
        assert f"{name}: {value}" in headers
    assert "<h1>" in page
    assert "waitress" not in page


def _answer(site: str, raw: bytes) -> tuple[str, str]:
    with socket.create_connection(("127.0.0.1", urlsplit(site).port or 0), timeout=5) as line:
        line.sendall(raw)
        answer = b"".join(iter(lambda: line.recv(65_536), b""))
    head, _, page = answer.decode().partition("\r\n\r\n")
    return head, page
