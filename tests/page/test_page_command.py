"""The command that serves the page."""

from __future__ import annotations

import contextlib
import http.client
import logging
import re
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path
from types import SimpleNamespace
from urllib.parse import urlsplit

import pytest

from kit.commands import Run, loaded_by, loaded_by_each
from kit.pages import JOB
from kit.served import served


def test_other_commands_and_help_load_no_server() -> None:
    codes = [f"main({words!r}, standalone_mode=False)" for words in (["page", "--help"], ["--help"])]
    for modules in loaded_by_each("from turnband.main import main", codes):
        assert not modules & {"flask", "waitress", "jinja2", "werkzeug", "turnband.page.app"}


def test_a_page_shows_without_the_pdf_writer() -> None:
    code = (
        "from werkzeug.test import Client\nfrom turnband.page import application\n"
        f"answer = Client(application()).get('/job', query_string={JOB!r})\nassert answer.status_code == 200"
    )
    assert not loaded_by(code) & {"reportlab", "pint", "openpyxl"}


def test_without_the_extra_the_command_says_how_to_install_it(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, "turnband.page.server", raising=False)  # whoever served before has loaded it
    monkeypatch.setitem(sys.modules, "waitress.server", None)
    done = run("page", "--no-open")
    assert done.returncode == 1
    assert "pip install" in done.stderr


def test_a_taken_port_is_said_and_the_next_offered(run: Run) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        done = run("page", "--no-open", "--port", str(port))
    assert done.returncode == 1
    said = re.fullmatch(rf"turnband: port {port} is taken; try --port (\d+)\n", done.stderr)
    assert said
    assert int(said[1]) > port


@pytest.mark.parametrize(("host", "opened", "told"), [
    ("127.0.0.1", "http://127.0.0.1:8080/", ""),
    ("::1", "http://[::1]:8080/", ""),
    ("0.0.0.0", "http://127.0.0.1:8080/", "everybody on the network"),
    ("::", "http://[::1]:8080/", "printers can still be added at this machine only"),
    ("192.0.2.7", "http://192.0.2.7:8080/", "Others open http://192.0.2.7:8080/"),
])  # fmt: skip
def test_the_browser_is_opened_and_what_a_host_means_is_told(
    run: Run, monkeypatch: pytest.MonkeyPatch, host: str, opened: str, told: str
) -> None:
    from turnband.page import command

    launched: list[str] = []
    monkeypatch.setattr(command, "_server", lambda *_: (SimpleNamespace(run=lambda: None), 8080))
    monkeypatch.setattr(command.gc, "set_threshold", lambda _: None)
    monkeypatch.setattr(command.click, "launch", launched.append)
    done = run("page", "--host", host)
    assert (done.returncode, launched) == (0, [opened])
    assert opened in done.stdout
    assert told in " ".join(done.stderr.split())
    assert bool(done.stderr) == bool(told)
    assert run("page", "--no-open").returncode == 0
    assert len(launched) == 1


def test_a_host_that_is_not_here_is_refused(run: Run) -> None:
    done = run("page", "--no-open", "--host", "192.0.2.1")
    assert done.returncode == 1
    assert "cannot listen on 192.0.2.1" in done.stderr


def test_no_line_is_printed_for_requests_that_wait_or_are_cut_off() -> None:
    with served():
        for name in ("waitress", "waitress.queue"):
            assert not logging.getLogger(name).isEnabledFor(logging.WARNING)


def test_a_request_that_trickles_in_is_cut_off(monkeypatch: pytest.MonkeyPatch) -> None:
    from turnband.page import server

    monkeypatch.setattr(server, "SLOWEST_S", 0.1)
    with served() as address, socket.create_connection(("127.0.0.1", urlsplit(address).port or 0), timeout=10) as slow:
        slow.sendall(b"GET / HTTP/1.1\r\n")
        for _ in range(20):
            time.sleep(0.01)
            with contextlib.suppress(OSError):
                slow.sendall(b"a")
        assert slow.recv(1_000).startswith(b"HTTP/1.0 408 Request Timeout\r\n")


def test_the_server_answers_says_where_it_is_and_ends_with_ctrl_c() -> None:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    program = Path(sys.executable).with_name("turnband")
    served = subprocess.Popen(
        [program, "page", "--no-open", "--port", str(port)], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )
    assert served.stdout
    assert served.stdout.readline() == f"the page is at http://127.0.0.1:{port}/; Ctrl-C ends it\n".encode()
    asked = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    asked.request("GET", "/")
    answer = asked.getresponse()
    assert (answer.status, answer.headers["Server"]) == (200, None)
    answer.read()
    asked.close()
    served.send_signal(signal.SIGINT)
    _, said = served.communicate(timeout=10)
    assert (served.returncode, said) == (130, b"")
