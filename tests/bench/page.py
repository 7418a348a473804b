"""How much the page adds to the library's own work, how it starts, and how it bears many clients at once.

Run `PYTHONPATH=tests python -m bench.page`. A live preview, the whole page as browsers without scripts get it, and the
bare chain (read, plan, draw, SVG) run in turn, so that a drifting machine slows all; what counts is the median ratio of
the preview, not the milliseconds. Requests go straight to the application, as a server hands them on.
"""

from __future__ import annotations

import gc
import http.client
import os
import signal
import socket
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl
from wsgiref.types import WSGIApplication

from werkzeug.datastructures import MultiDict
from werkzeug.test import EnvironBuilder

from bench.startup import compiled, seconds
from marking import OUTPUTS
from marking.outputs import Output
from turnband.page import application
from turnband.page.forms import Values, example_query, values_of
from turnband.page.made import MAX_SHOWN, SHOWN_AS, page_file

ROUNDS = 40

LIMIT, LIMIT_MS = 1.3, 2.0
"""What is good enough: this ratio, or so little more that nobody notices, as beside the smallest sheets."""

CLIENTS, REQUESTS = 50, 2_000

STARTS = 9

NEEDED, UP_LIMIT = "import flask, marking", 1.5
"""What a page has to import, and how many times as long it may take until it is up."""


def bare(output: Output, values: Values) -> None:
    """What cannot be left out: the numbers, and the pages that are shown."""
    plan = output.plan(output.read(**values))
    if output.writes != "never":
        document = output.draw(plan, output.command(**values))
        for page in document.pages[:MAX_SHOWN]:
            page_file(document, page, SHOWN_AS)
    if output.writes != "always":
        output.text(plan)


def ratios() -> None:
    gc.set_threshold(5_000)  # as the server does
    app = application()
    print(f"{'preview':<10}{'bare ms':>9}{'live ms':>9}{'ratio':>7}{'limit':>7}{'page ms':>9}{'ratio':>7}")
    for name, output in OUTPUTS.items():
        if name == "set":
            continue
        query = example_query(name)
        values = values_of(output.fields, MultiDict(parse_qsl(query)))
        rounds = [_round(app, output, values, query) for _ in range(ROUNDS + 2)][2:]
        bare_ms, live_ms, page_ms = (statistics.median(column) for column in zip(*rounds, strict=True))
        live, page = (statistics.median(one[at] / one[0] for one in rounds) for at in (1, 2))
        verdict = "" if live <= LIMIT or live_ms - bare_ms <= LIMIT_MS else "  too slow"
        ratio = f"{live:>7.2f}{LIMIT:>7}"
        print(f"{name:<10}{bare_ms:>9.1f}{live_ms:>9.1f}{ratio}{page_ms:>9.1f}{page:>7.2f}{verdict}")


def _round(app: WSGIApplication, output: Output, values: Values, query: str) -> list[float]:
    """Milliseconds of work for the bare chain, the live preview, and the whole page."""
    begin = time.process_time()
    bare(output, values)
    times = [time.process_time() - begin]
    for place in (f"/{output.name}/live", f"/{output.name}"):
        environ = _asked(place, query)
        begin = time.process_time()
        _answered(app, environ)
        times.append(time.process_time() - begin)
    return [one * 1e3 for one in times]


def _asked(place: str, query: str) -> dict[str, Any]:
    return EnvironBuilder(place, base_url="http://127.0.0.1/", query_string=query).get_environ()


def _answered(app: WSGIApplication, environ: dict[str, Any]) -> bytes:
    codes: list[str] = []
    answer = app(environ, lambda code, *_: codes.append(code))  # type: ignore[arg-type]
    assert codes[0].startswith("200"), codes
    return b"".join(answer)


def starts(folder: str) -> None:
    """How long a page takes from cold start to its address, and to its first answer, against what it cannot do without.

    The pairs run in turn, so that a drifting machine slows both; what counts is the median of their ratios.
    """
    rounds = []
    for _ in range(STARTS + 1):
        begin = time.perf_counter()
        with started(folder) as (_, port):
            up = time.perf_counter() - begin
            _get(port, "/")
            answered = time.perf_counter() - begin
        rounds.append((up, answered, seconds([sys.executable, "-c", NEEDED], folder)))
    del rounds[0]  # compiles, and fills the caches of the disk
    for name, at in (("the page says its address", 0), ("the page has answered", 1)):
        took, bare = (statistics.median(one[column] for one in rounds) for column in (at, 2))
        ratio = statistics.median(one[at] / one[2] for one in rounds)
        verdict = "" if ratio <= UP_LIMIT else "  too slow"
        print(f"{name}: {took:.2f} s, {ratio:.2f} times `{NEEDED}` ({bare:.2f} s); limit {UP_LIMIT}{verdict}")


@contextmanager
def started(folder: str) -> Iterator[tuple[subprocess.Popen[bytes], int]]:
    """A page that listens on a port of its own, in a process of its own."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    command = [str(Path(sys.executable).with_name("turnband")), "page", "--no-open", "--port", str(port)]
    served = subprocess.Popen(command, stdout=subprocess.PIPE, env=compiled(folder))
    assert served.stdout
    served.stdout.readline()
    yield served, port
    served.send_signal(signal.SIGINT)
    served.wait(10)


def many(folder: str) -> None:
    """Many clients at once, and the memory that their server has held."""
    with started(folder) as (served, port):
        _asked_by_many(port)
        if sys.platform == "linux":
            lines = Path(f"/proc/{served.pid}/status").read_text("utf-8").splitlines()
            print("memory:", *(line.split(None, 1)[1] for line in lines if line.startswith("VmHWM")))


def _asked_by_many(port: int) -> None:
    address = f"/job/live?{example_query('job')}"
    with ThreadPoolExecutor(CLIENTS) as clients:
        begin = time.perf_counter()
        seconds = sorted(clients.map(lambda _: _get(port, address), range(REQUESTS)))
        spent = time.perf_counter() - begin
    middle, last = seconds[REQUESTS // 2], seconds[-1]
    rate = f"{REQUESTS / spent:.0f} a second; median {middle:.2f} s, slowest {last:.2f} s"
    print(f"{CLIENTS} clients, {REQUESTS:,} jobs: {rate}")


def _get(port: int, address: str) -> float:
    """Seconds that a request takes on a line of its own."""
    begin = time.perf_counter()
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
    line.request("GET", address)
    answer = line.getresponse()
    assert answer.status == 200
    answer.read()
    line.close()
    return time.perf_counter() - begin


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["TURNBAND_CONFIG_DIR"] = folder
        ratios()
        starts(folder)
        many(folder)


if __name__ == "__main__":
    main()
