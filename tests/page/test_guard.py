"""Who is answered, and what is refused."""

from __future__ import annotations

import re
from urllib.parse import urlencode, urljoin

import pytest
from werkzeug.test import Client

from kit.each import each
from kit.pages import HERE, JOB, LIST, get, post, sent
from turnband.page.guard import MAX_QUERY

SHORT = "application/x-www-form-urlencoded"


@each("host", ["127.0.0.1:8080", "localhost", "[::1]:8080", "192.168.1.5", "Bench.example:80"])
def test_addresses_and_own_names_are_answered(client: Client, host: str) -> None:
    assert client.get("/", base_url=HERE, headers={"Host": host}).status_code == 200


@each("host", ["evil.example", "127.0.0.1.evil.example", "bench.example.evil", "", "a b", "[::1", "1"])
def test_foreign_names_are_refused(client: Client, host: str) -> None:
    for path in ("/", "/job/sheet.pdf?spec=90", "/static/page.css", "/nothing"):
        assert client.get(path, base_url=HERE, headers={"Host": host}).status_code == 421


@each("headers", [
    {}, {"Origin": "null"}, {"Origin": "http://evil.example"}, {"Origin": "http://127.0.0.1:9"}, {"Origin": "http://["},
    {"Sec-Fetch-Site": "cross-site"},
])  # fmt: skip
def test_posts_from_other_pages_are_refused(client: Client, headers: dict[str, str]) -> None:
    for path in ("/set", "/printers", "/set/sheet.pdf"):
        assert post(client, path, {"list_file": sent(LIST)}, headers=headers).status_code == 403


def test_every_answer_is_strict_sets_no_cookie_and_names_no_server(client: Client) -> None:
    for path in ("/", "/job?spec=x", "/nothing", "/static/page.js", "/job/sheet-1.svg?" + urlencode(JOB), "/printers"):
        with client.get(path, base_url=HERE) as answer:
            policy = answer.headers["Content-Security-Policy"]
        assert policy.startswith("default-src 'none'; script-src 'self'; style-src 'self';")
        assert "unsafe" not in policy
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert "Set-Cookie" not in answer.headers
        assert "Access-Control-Allow-Origin" not in answer.headers


def test_pages_load_nothing_from_elsewhere_and_hold_no_script_or_style(client: Client) -> None:
    text = get(client, "/job", JOB).text
    assert not re.findall(r' (?:src|href|action)="(?!/|#)[^"]*"', text)
    assert not re.search(r'<script(?! src="/static/page\.js" defer></script>)|<style|\son\w+=|\sstyle=', text)


def test_all_that_pages_and_their_style_ask_for_is_there(client: Client) -> None:
    with client.get("/static/page.css", base_url=HERE) as style:
        asked = [f"/static/{name}" for name in re.findall(r'url\("([^"]+)"\)', style.data.decode())]
    asked += re.findall(r'<(?:link|script)[^>]* (?:src|href)="([^"]+)"', get(client, "/").text)
    types = []
    for one in asked:
        with client.get(urljoin(HERE, one)) as answer:
            types.append(answer.content_type.partition(";")[0])
    assert types == ["font/ttf", "font/ttf", "image/svg+xml", "text/css", "text/javascript"]


@each(("path", "code"), [
    ("/nothing", 404), ("/job/../../etc/passwd", 404), ("/static/../app.py", 404), ("/static/%2e%2e/app.py", 404),
    ("/font/bold.ttf", 404), ("/font/regular", 404), ("/job/other.pdf", 404), ("/set/x.csv", 404),
    ("/explain/sheet.pdf?" + urlencode(JOB), 404),
    ("/job/for/nothing", 404), ("/nothing/for/job", 404), ("/job/for/disc?od=1&od=2", 400),
    ("/job?spec=" + "9" * MAX_QUERY, 414), ("/%00", 404), ("/job/sheet-0.svg", 404),
])  # fmt: skip
def test_there_is_nothing_else(client: Client, path: str, code: int) -> None:
    answer = client.get(path, base_url=HERE)
    assert (answer.status_code, "<h1>" in answer.text) == (code, True)
    assert "Traceback" not in answer.text


def test_methods_and_bodies_have_limits(client: Client) -> None:
    refused = client.open("/job", method="PUT", base_url=HERE)
    assert (refused.status_code, refused.headers["Allow"]) == (405, "GET, HEAD")
    alone = client.head("/job", query_string=JOB, base_url=HERE)
    assert (alone.status_code, alone.data) == (200, b"")
    assert int(alone.headers["Content-Length"]) == len(get(client, "/job", JOB).data)
    assert post(client, "/job", JOB).status_code == 405
    assert post(client, "/set", {}, content_length=10**9).status_code == 413
    assert post(client, "/set", {"turns": "9" * MAX_QUERY}, content_type=SHORT).status_code == 413
    assert post(client, "/printers", {"name": "9" * MAX_QUERY}, content_type=SHORT).status_code == 413
    assert (
        post(client, "/set", {f"f{i}": "1" for i in range(101)}, content_type="multipart/form-data").status_code == 413
    )


def test_a_fault_of_the_program_leaves_no_trace_in_the_answer(
    client: Client, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from turnband.page import app

    monkeypatch.setattr(app, "make", lambda *_: 1 / 0)
    answer = get(client, "/job", JOB)
    assert answer.status_code == 500
    assert "division" not in answer.text
    assert "division by zero" in capsys.readouterr().err
