"""Hostile requests to the page: spoilt jobs, lists, headers, methods and paths, and bytes that are hardly HTTP."""

from __future__ import annotations

import io
import random
import re
import socket
import time
from contextlib import ExitStack, suppress
from functools import cache
from pathlib import Path
from typing import NamedTuple
from urllib.parse import parse_qsl, unquote_to_bytes, urlencode, urlsplit

from werkzeug.test import Client

from hostile.harness import Kind
from hostile.jobs import SHEET, SOCKET
from hostile.lists import good, spoilt_bytes, spoilt_cells
from hostile.texts import spoilt
from hostile.workbooks import spoilt_xml
from kit.served import served
from marking import OUTPUTS

SAMPLES = Path(__file__).parents[2] / "samples"
LISTED, REGISTER = SAMPLES / "depot-list.csv", SAMPLES / "sockets.csv"
FILES = (
    str(LISTED),
    str(Path(__file__)),
    "/etc/passwd",
    "../../../../etc/passwd",
    "file:///etc/passwd",
    "..\\..\\list.csv",
    "/dev/zero",
)
KNOWN = ("root:x:0:0", "BOGIE-1", "a file of this machine", "Traceback", 'File "')
"""What stands in FILES, and in the traces of faults."""

METHODS = ("GET",) * 30 + ("HEAD", "OPTIONS", "PUT", "DELETE", "TRACE", "PATCH", "PROPFIND", "get", "POST")
NAMES = (
    "print.pdf",
    "sheet.pdf",
    "sheet-1.svg",
    "sheet-99999.svg",
    "sheets.zip",
    "sheets-svg.zip",
    "sheet-1.dxf",
    "live",
    "numbers.json",
    "list.csv",
    "list.xlsx",
)
PLACES = (
    "/", "/printers", "/static/page.js", "/static/../app.py", "/static/%2e%2e/app.py", "/static//etc/passwd",
    "/font/regular.ttf", "/font/%2e%2e.ttf", "/%00", "//", "/set/sockets.csv", "/job/", "/job/%2fetc%2fpasswd",
)  # fmt: skip
HOSTS = ("127.0.0.1:8080",) * 20 + (
    "localhost",
    "[::1]",
    "evil.example",
    "",
    "127.0.0.1:99999999",
    "a@127.0.0.1",
    "[",
    "::",
)
ORIGINS = ("http://127.0.0.1:8080",) * 12 + ("null", "http://[", "https://127.0.0.1:8080", "http://evil.example", "")
TYPES = (
    "multipart/form-data", "multipart/form-data; boundary=", "application/json", "text/plain", "\xff",
    "application/x-www-form-urlencoded; charset=utf-7", "multipart/form-data; boundary=x; boundary=y",
)  # fmt: skip
HEADERS = ("Accept", "Accept-Language", "Range", "If-None-Match", "If-Modified-Since", "Cookie", "X-Forwarded-For",
           "Forwarded", "Content-Length", "Transfer-Encoding", "Expect", "Authorization", "Sec-Fetch-Site")  # fmt: skip
GOOD: dict[str, tuple[str, ...]] = {
    name: tuple(str(text) for text in texts if text and not isinstance(text, dict))
    for name, texts in (SHEET | SOCKET).items()
}
COMMON = ("12", "27.8 mm", "1/2", "90°", "a4", "1", "left", *FILES)


class Asked(NamedTuple):
    """A request: its fields stand in the address, or in its body with the files; a `body` instead is sent as it is."""

    method: str
    place: str
    fields: list[tuple[str, str]]
    headers: list[tuple[str, str]]
    files: list[tuple[str, str, bytes]]
    body: bytes | None


def make(rng: random.Random) -> Asked:
    """Return a request, most of them good but for one or two things."""
    name = rng.choice([*OUTPUTS, "job", "job", "set", "set", "printers"])
    posts = name in ("set", "printers") and rng.random() < 0.8
    place = f"/{name}" + (f"/{rng.choice(NAMES)}" if rng.random() < 0.2 else "")
    if rng.random() < 0.08:
        place = spoilt(rng, PLACES)[:3_000]
    headers = [("Host", rng.choice(HOSTS))]
    if posts:
        headers.append(("Origin", rng.choice(ORIGINS)))
    if rng.random() < 0.1:
        headers.append((rng.choice(HEADERS), _header(spoilt(rng, ("1", "bytes=0-1", "chunked", "*/*;q=x", *FILES)))))
    if rng.random() < 0.05:
        headers.append(("Content-Type", rng.choice(TYPES)))
    files = _files(rng) if posts and name == "set" else []
    body = rng.randbytes(rng.randrange(300)) if posts and rng.random() < 0.05 else None
    return Asked("POST" if posts else rng.choice(METHODS), place, _fields(rng, name), headers, files, body)


def _fields(rng: random.Random, name: str) -> list[tuple[str, str]]:
    """The fields of an output's example, some spoilt, left out, doubled, or not its own."""
    from turnband.page.forms import example_query

    fields = (
        parse_qsl(example_query(name)) if name in OUTPUTS else [("name", "office"), ("x", "159 mm"), ("y", "240 mm")]
    )
    known = [field.name for field in OUTPUTS[name].fields] if name in OUTPUTS else ["replace", "forget", "paper"]
    if name == "set" and rng.random() < 0.3:
        fields += [("list_file", rng.choice(FILES)), ("sockets", str(REGISTER))]  # files of the machine, by their names
    for _ in range(rng.choice((0, 0, 1, 1, 2, 3))):
        chosen = rng.choice(known) if rng.random() < 0.9 else spoilt(rng, known)[:200]
        text = spoilt(rng, GOOD.get(chosen, COMMON))[:9_000]
        fields = [(one, value) for one, value in fields if one != chosen or rng.random() < 0.05] + [(chosen, text)]
    return fields


def _files(rng: random.Random) -> list[tuple[str, str, bytes]]:
    makers = [
        lambda: good(rng).raw,
        lambda: spoilt_cells(rng).raw,
        lambda: spoilt_bytes(rng).raw,
        lambda: spoilt_xml(rng),
    ]
    fields = [one for one in ("list_file", "sockets", "since", "since_sockets") if rng.random() < 0.35]
    return [(one, spoilt(rng, ("list.csv", "list.xlsx", *FILES))[:400], rng.choice(makers)()) for one in fields]


def _header(text: str) -> str:
    return re.sub(r"[\r\n\0]", "", text[:3_000]).encode("latin-1", "replace").decode("latin-1")


@cache
def _client() -> Client:
    from turnband.page import application

    return Client(application(printers=True))


def feed(asked: Asked) -> bool:
    """Return whether a request is answered with what it asks for; fail for a fault and for a file's content."""
    query = urlencode(asked.fields, errors="surrogatepass")
    form: dict[str, object] = {}
    for field, text in asked.fields:
        form[field.encode("utf-8", "replace").decode()] = text.encode("utf-8", "replace")
    for field, name, raw in asked.files:
        form[field] = (io.BytesIO(raw), re.sub(r'[\r\n\0"]', "", name.encode("utf-8", "replace").decode()))
    posted = asked.method == "POST"
    path = unquote_to_bytes(asked.place.encode("utf-8", "replace"))  # as a server hands it on
    with _client().open(
        method=asked.method,
        query_string="" if posted else query,
        data=asked.body if asked.body is not None else form if posted else None,
        headers=asked.headers,
        base_url="http://127.0.0.1:8080",
        environ_overrides={"REMOTE_ADDR": "127.0.0.1", "PATH_INFO": path.decode("latin-1")},
    ) as answer:
        assert answer.status_code < 500, answer.status
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert "Content-Security-Policy" in answer.headers
        # What came in may go out: a name in a field is shown, the content that it names never.
        text = answer.data.decode("latin-1")
        assert not [one for one in KNOWN if one in text and one not in repr(asked)]
        return answer.status_code < 400


# -- bytes on a socket

LINES = (
    b"GET / HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n",
    b"GET /job?spec=90%C2%B0 HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n",
    b"POST /set HTTP/1.1\r\nHost: localhost\r\nOrigin: http://localhost\r\nContent-Length: 8\r\n"
    b"Connection: close\r\n\r\nturns=90",
    b"POST /set HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\nConnection: close\r\n\r\n"
    b"5\r\nturns\r\n0\r\n\r\n",
    b"GET http://evil.example/ HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n",
    b"GET /static/page.js HTTP/1.0\r\nHost: localhost\r\n\r\n",
)
PIECES = (
    b"\r\n", b"\n", b"\0", b" ", b":", b"Content-Length: -1\r\n", b"Content-Length: 99999999999\r\n", b"\xff\xfe",
    b"HTTP/9.9", b"Transfer-Encoding: gzip, chunked\r\n", b"X: " + b"a" * 20_000 + b"\r\n",
    b"Expect: 100-continue\r\n", b"%", b"ffffffff\r\n",
)  # fmt: skip
WAIT_S = 0.1


class Sent(NamedTuple):
    """Bytes that are sent, at once or one by one for a while."""

    raw: bytes
    slowly: bool


def make_bytes(rng: random.Random) -> Sent:
    """Return a request with pieces lost, doubled or put in."""
    raw = bytearray(rng.choice(LINES))
    for _ in range(rng.choice((0, 1, 1, 2, 4))):
        at = rng.randrange(len(raw) + 1)
        match rng.randrange(3):
            case 0:
                raw[at:at] = rng.choice(PIECES)
            case 1:
                del raw[at : at + rng.randint(1, 30)]
            case _:
                raw[at:at] = raw[at : at + rng.randint(1, 60)]
    return Sent(bytes(raw), rng.random() < 0.2)


@cache
def _served() -> tuple[str, int]:
    """A server of its own for all requests; it ends with the process."""
    place = urlsplit(ExitStack().enter_context(served()))
    return place.hostname or "", place.port or 0


def feed_bytes(sent: Sent) -> bool:
    """Return whether bytes are answered with what they ask for; the next one who asks must be answered at any rate."""
    answer = _told(sent.raw, sent.slowly)
    assert not answer or re.match(rb"HTTP/1\.[01] [1234]|HTTP/1\.[01] 501 ", answer), answer[:80]
    assert not [one for one in KNOWN if one.encode() in answer]
    assert _told(LINES[-1], False, 5).startswith(b"HTTP/1.0 200 "), "the next one is not served"
    return answer[9:12] == b"200"


def _told(raw: bytes, slowly: bool, wait_s: float = WAIT_S) -> bytes:
    """What comes back within some time from the last piece."""
    answer = b""
    with socket.create_connection(_served(), timeout=5) as line, suppress(OSError):
        for at in range(0, 20 if slowly else 0):
            line.sendall(raw[at : at + 1])
            time.sleep(0.002)
        line.sendall(raw[20:] if slowly else raw)
        line.settimeout(wait_s)
        while piece := line.recv(65_536):
            answer += piece
    return answer


KINDS = (
    Kind("requests to the page", make, feed),
    Kind("bytes to the page's server", make_bytes, feed_bytes),
)
