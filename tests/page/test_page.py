"""The page in a browser: what it shows, what it gives away, and what it refuses."""

from __future__ import annotations

import base64
import contextlib
import csv
import html
import http.client
import io
import json
import logging
import re
import shlex
import signal
import socket
import subprocess
import sys
import time
import zipfile
from collections.abc import Mapping
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from urllib.parse import urlencode, urlsplit
from xml.etree import ElementTree

import openpyxl
import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from kit.commands import Run, loaded_by
from kit.served import served
from marking import OUTPUTS, read_profile
from marking.printers.store import add_profile, load_profiles, profiles_path
from marking.sheets.words import CAUTIONS
from turnband.page import application
from turnband.page.forms import example_query
from turnband.page.guard import MAX_QUERY, MAX_UPLOAD

HERE = "http://127.0.0.1:8080/"
OWN = {"Origin": "http://127.0.0.1:8080"}
JOB = {"spec": "110 N·m + 90° +10/-0", "points": "12", "drive": "1/2", "od": "27.8 mm"}
LIST = "id;spec;points;drive;od\nA;90 Nm + 90° ±5;12;1/2;27,8 mm\nB;60 Nm + 60° ±8;6;3/8;22 mm\n"
BAD = LIST.replace("27,8 mm", "27,8")


@pytest.fixture(scope="module")
def client() -> FlaskClient:
    client: FlaskClient = application(("bench.example",), printers=True).test_client()
    return client


def get(client: FlaskClient, path: str, values: Mapping[str, Any] | None = None, **more: Any) -> TestResponse:
    query = f"?{urlencode(values, doseq=True)}" if values else ""
    return client.get(path + query, base_url=HERE, **more)


def post(client: FlaskClient, path: str, data: Mapping[str, Any], **more: Any) -> TestResponse:
    return client.post(path, data=dict(data), **{"base_url": HERE, "headers": OWN, **more})


def sent(text: str, name: str = "list.csv") -> tuple[io.BytesIO, str]:
    return io.BytesIO(text.encode()), name


def part(answer: TestResponse, tag: str) -> str:
    """What stands between a tag with an id and the next id, as text."""
    found = re.search(rf'id="{tag}"[^>]*>(.*?)(?=<[^<>]* id="|\Z)', answer.text, re.DOTALL)
    assert found, tag
    return html.unescape(re.sub(r"<[^>]*>", "", found[1]))


def sheets(answer: TestResponse) -> list[ElementTree.Element]:
    found = re.findall(r'<div role="img"[^>]*>(.*?</svg>)', answer.text, re.DOTALL)
    return [ElementTree.fromstring(svg) for svg in found]


# -- forms


def test_the_first_page_asks_three_questions_and_shows_the_cautions(client: FlaskClient) -> None:
    answer = get(client, "/")
    questions = re.findall(r'<fieldset class="question (\w+)">', answer.text)
    assert (answer.status_code, questions) == (200, ["manual", "socket", "od"])
    assert answer.text.count('<svg class="drawing"') == 3
    assert all(html.escape(caution, quote=False).replace("'", "&#39;") in answer.text for caution in CAUTIONS)


@pytest.mark.parametrize("name", OUTPUTS)
def test_every_output_has_a_form_with_each_of_its_fields_labelled(client: FlaskClient, name: str) -> None:
    answer = get(client, f"/{name}")
    assert answer.status_code == 200
    for field in OUTPUTS[name].fields:
        control = re.search(rf'<(\w+)[^>]* id="{field.name}"', answer.text)
        assert control, field.name
        assert field.kind in ("several", "flag") or f'<label for="{field.name}">' in answer.text
        for choice in field.choices:
            assert re.search(rf'<option( selected)?>{choice}<|value="{choice}"', answer.text), field.name
    assert "{@" not in answer.text


@pytest.mark.parametrize("name", [name for name in OUTPUTS if name != "set"])
def test_the_first_example_of_every_output_makes_its_pages(client: FlaskClient, name: str) -> None:
    query = example_query(name)
    answer = client.get(f"/{name}?{query}", base_url=HERE)
    assert answer.status_code == 200
    assert bool(sheets(answer)) == (OUTPUTS[name].writes != "never")
    assert ('<pre class="numbers"' in answer.text) == (OUTPUTS[name].writes != "always")


def test_defaults_stand_in_the_form_and_what_was_given_comes_back(client: FlaskClient) -> None:
    empty = get(client, "/job").text
    assert "<option selected>right</option>" in empty
    assert re.search(r'id="paper" value="a4"', empty)
    full = get(client, "/job", {**JOB, "thread": "LH", "title": '<b>"', "extras": ["disc", "mat"]}).text
    assert "<option selected>left</option>" in full
    assert 'value="&lt;b&gt;&#34;"' in full
    assert len(re.findall(r'name="extras"[^>]* checked', full)) == 2
    assert '<details class="more" open>' in full
    assert '<details class="more">' in empty


# -- what becomes of a form


def test_the_spec_is_read_while_the_rest_is_still_missing(client: FlaskClient) -> None:
    answer = get(client, "/job", {"spec": "110 Nm + 90 deg"})
    assert answer.status_code == 422
    assert "110 N·m, then 90°" in part(answer, "said")
    assert "Still to fill in: Points, Drive" in " ".join(part(answer, "said").split())


def test_a_misspelt_spec_is_shown_at_its_field_with_the_caret(client: FlaskClient) -> None:
    answer = get(client, "/job", JOB | {"spec": "110 Nm + 90 dig"})
    assert answer.status_code == 422
    lines = part(answer, "spec-error").splitlines()
    typed = lines.index("  110 Nm + 90 dig")
    assert lines[typed + 1].index("^") == lines[typed].index("dig")
    assert 'id="spec" rows="2"' in answer.text
    assert re.search(r'id="spec"[^>]*aria-invalid="true"', answer.text)
    assert not part(answer, "od-error").strip()
    assert not sheets(answer)


@pytest.mark.parametrize(("field", "value"), [
    ("od", "27.8"), ("copies", "many"), ("copies", "51"), ("copies", "99999999999999"), ("thread", "up"),
    ("start", "here"), ("points", "7"), ("paper", "napkin"), ("extras", "bell"), ("printer", "nobody"),
    ("witness", "third"),
])  # fmt: skip
def test_every_error_stands_at_its_own_field(client: FlaskClient, field: str, value: str) -> None:
    answer = get(client, "/job", JOB | {field: value})
    wrong = re.findall(r'<div class="error" id="(\w+)-error">\s*<(?:span|code)', answer.text)
    assert (answer.status_code, wrong) == (422, [field])


@pytest.mark.parametrize("query", ["bolt=1", "od=28+mm", "list_file=%2Fetc%2Fpasswd"])
def test_what_is_no_field_and_what_is_said_twice_is_refused(client: FlaskClient, query: str) -> None:
    answer = client.get(f"/job?{urlencode(JOB | {'od': '27 mm'})}&{query}", base_url=HERE)
    assert answer.status_code == 422
    assert re.search('class="error"[^>]*>\\s*<span', answer.text)


def test_warnings_stand_above_the_sheet(client: FlaskClient) -> None:
    job = JOB | {"spec": "110 N·m + 90°"}
    answer = get(client, "/job", job)
    plan = OUTPUTS["job"].plan(OUTPUTS["job"].read(**job))
    assert str(plan.warnings[0]) in part(answer, "said")
    assert answer.text.index('id="said"') < answer.text.index('class="sheet"')


@pytest.mark.parametrize("od", [{}, {"od": "1.1 in"}, {"od": "", "around": "3.5 in", "opening": "17 mm"}])
def test_the_sheet_shown_is_the_file_that_the_command_line_writes(
    client: FlaskClient, run: Run, tmp_path: Path, od: dict[str, str]
) -> None:
    query = JOB | {"thread": "left"} | od
    answer = get(client, "/job", query)
    (command,) = re.findall(r"<code>(turnband.*)</code>", answer.text)
    _, *words = shlex.split(html.unescape(command))
    assert run(*words[:-1], str(tmp_path / "x.pdf")).returncode == 0
    assert run(*words[:-1], str(tmp_path / "x.svg")).returncode == 0
    svg = (tmp_path / "x.svg").read_text("utf-8")
    assert svg.partition("?>")[2] in answer.text
    assert get(client, "/job/sheet.pdf", query).data == (tmp_path / "x.pdf").read_bytes()
    assert get(client, "/job/print.pdf", query).data == (tmp_path / "x.pdf").read_bytes()
    assert get(client, "/job/sheet-1.svg", query).data.decode() == svg
    assert "true size 210 × 297 mm" in answer.text


def test_the_address_of_a_job_makes_the_same_again_and_holds_nothing_usual(client: FlaskClient) -> None:
    first = get(client, "/job", JOB | {"paper": "a4", "fasteners": "4", "title": "", "thread": "left"})
    (address,) = re.findall(r'id="address" href="([^"]*)"', first.text)
    assert "paper" not in address
    assert "title" not in address
    again = client.get(html.unescape(address), base_url=HERE)
    assert (again.status_code, again.text) == (200, first.text)


def test_an_output_that_needs_nothing_is_shown_at_once_and_its_address_keeps_it_as_it_is(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    add_profile(read_profile("office", "159 mm", "240 mm"))
    monkeypatch.setenv("TURNBAND_PRINTER", "office")
    answer = get(client, "/tape")
    assert "<option selected>office</option>" in answer.text
    assert sheets(answer)
    plain = get(client, "/tape", {"paper": "a4"})
    (address,) = re.findall(r'id="address" href="([^"]*)"', plain.text)
    assert client.get(html.unescape(address), base_url=HERE).text == plain.text != answer.text


def test_an_example_holds_what_its_command_line_says_and_nothing_of_the_environment(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("TURNBAND_PRINTER", "office")
    assert example_query.__wrapped__("chart") == "paper=a3"


def test_pages_are_taken_away_one_by_one_and_together(client: FlaskClient) -> None:
    query = {key: value for key, value in JOB.items() if key != "od"}
    answer = get(client, "/job/sheets.zip", query)
    with zipfile.ZipFile(io.BytesIO(answer.data)) as archive:
        assert archive.namelist() == ["job-1.svg", "job-2.svg"]
        second = archive.read("job-2.svg")
    one = get(client, "/job/sheet-2.svg", query)
    assert (one.data, one.headers["Content-Disposition"]) == (second, "attachment; filename=job-2.svg")
    assert get(client, "/job/sheet-3.svg", query).status_code == 404
    assert len(sheets(get(client, "/job", query))) == 2


def test_a_file_of_a_job_at_fault_is_its_reason(client: FlaskClient) -> None:
    answer = get(client, "/job/sheet.pdf", JOB | {"od": "27.8"})
    assert (answer.status_code, answer.mimetype) == (422, "text/plain")
    assert "the outside diameter has no unit:\n  27.8\n      ^" in answer.text
    assert get(client, "/job/sheet.pdf", {"spec": "90°"}).text == "Still to fill in: Points, Drive\n"


def test_all_numbers_come_as_on_the_command_line(client: FlaskClient) -> None:
    job = OUTPUTS["job"]
    found = json.loads(get(client, "/job/numbers.json", JOB).data)
    assert found == json.loads(json.dumps(job.data(job.plan(job.read(**JOB)))))


def test_what_is_typed_never_becomes_markup(client: FlaskClient) -> None:
    answer = get(client, "/job", JOB | {"title": "<script>x()</script>"})
    assert answer.status_code == 200
    assert "<script>x" not in answer.text
    assert "x()" in answer.text


# -- lists


def test_a_list_is_shown_and_its_pdf_is_that_of_the_command_line(client: FlaskClient, run: Run, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    assert run("set", str(tmp_path / "list.csv"), "-o", str(tmp_path / "set.pdf")).returncode == 0
    answer = post(client, "/set", {"list_file": sent(LIST)})
    assert answer.status_code == 200
    assert len(sheets(answer)) == 2
    assert "turnband set list.csv -o again.pdf" in answer.text
    made = post(client, "/set/sheet.pdf", {"list_file": sent(LIST)})
    assert made.data == (tmp_path / "set.pdf").read_bytes()
    held = dict(re.findall(r'name="(list_file_(?:held|name))" value="([^"]*)"', answer.text))
    assert base64.b64decode(held["list_file_held"]).decode() == LIST
    assert post(client, "/set/sheet.pdf", held | {"list_file": sent("", "")}).data == made.data


def test_faults_are_a_table_by_row_and_column_until_bad_rows_are_left_out(client: FlaskClient) -> None:
    answer = post(client, "/set", {"list_file": sent(BAD)})
    assert answer.status_code == 422
    row = re.search(r"<tr><td>list.csv</td><td>2</td><td>od</td><td class=\"told\">(.*?)</td>", answer.text, re.DOTALL)
    assert row
    assert "27,8 has no unit" in row[1]
    assert not sheets(answer)
    assert "list.csv:2: od: 27,8 has no unit" in post(client, "/set/sheet.pdf", {"list_file": sent(BAD)}).text
    skipped = post(client, "/set", {"list_file": sent(BAD), "skip_bad": "1"})
    assert skipped.status_code == 200
    assert len(sheets(skipped)) == 1
    assert "turnband set --skip-bad list.csv -o again.pdf" in skipped.text


def test_a_register_is_chosen_with_the_list(client: FlaskClient) -> None:
    rows, sockets = ("id;spec;socket\nA;90 Nm + 90° ±5;S1\n", "id;points;drive;od\nS1;12;1/2;27,8 mm\n")
    assert "S1 is looked up in no register" in post(client, "/set", {"list_file": sent(rows)}).text
    both = {"list_file": sent(rows), "sockets": sent(sockets, "sockets.csv")}
    assert post(client, "/set", both).status_code == 200


def test_a_workbook_is_read_as_a_list(client: FlaskClient) -> None:
    book, content = openpyxl.Workbook(), io.BytesIO()
    for row in csv.reader(LIST.splitlines(), delimiter=";"):
        book.active.append(row)
    book.save(content)
    answer = post(client, "/set/sheet.pdf", {"list_file": (io.BytesIO(content.getvalue()), "list.xlsx")})
    assert answer.status_code == 200
    assert answer.data == post(client, "/set/sheet.pdf", {"list_file": sent(LIST, "list.xlsx")}).data


def test_a_set_that_is_split_comes_as_one_archive(client: FlaskClient) -> None:
    query = {"turns": "60° ±5, 90° ±5", "points": "12", "drive": "1/2", "split_by": "turn"}
    assert "/set/sheets.zip?" in get(client, "/set", query).text
    with zipfile.ZipFile(io.BytesIO(get(client, "/set/sheets.zip", query).data)) as archive:
        assert archive.namelist() == ["set-60pm5.pdf", "set-90pm5.pdf"]
    assert get(client, "/set/sheet.pdf", query).status_code == 404


@pytest.mark.parametrize("suffix", ["csv", "xlsx"])
def test_templates_are_those_of_the_command_line_and_lists_without_a_fault(
    client: FlaskClient, run: Run, tmp_path: Path, suffix: str
) -> None:
    assert run("set", "--template", str(tmp_path / f"list.{suffix}")).returncode == 0
    files = {name: get(client, f"/set/{name}.{suffix}").data for name in ("list", "sockets")}
    if suffix == "csv":  # a workbook holds its date
        assert files["list"] == (tmp_path / "list.csv").read_bytes()
        assert files["sockets"] == (tmp_path / "list-sockets.csv").read_bytes()
    both = {
        "list_file": (io.BytesIO(files["list"]), f"list.{suffix}"),
        "sockets": (io.BytesIO(files["sockets"]), f"sockets.{suffix}"),
    }
    answer = post(client, "/set", both)
    assert (answer.status_code, "<table>" in answer.text) == (200, False)
    assert "EXAMPLE-1" in answer.text


def test_only_what_is_new_since_an_older_list_is_printed(client: FlaskClient) -> None:
    older = LIST.replace("60 Nm + 60° ±8", "60 Nm + 90° ±8")
    answer = post(client, "/set", {"list_file": sent(LIST), "since": sent(older, "older.csv")})
    assert answer.status_code == 200
    assert "--since older.csv" in answer.text
    assert "1 piece on 2 pages" in part(answer, "said")


@pytest.mark.parametrize(("text", "said"), [
    ("spec\n" + "90°\n" * 2_001, "has too many rows; expected at most 2,000"),
    (LIST.replace(";od", ";od;copies").replace("27,8 mm", "27,8 mm;1000").replace("22 mm", "22 mm;1000").replace(
        "B;", "C;60 Nm + 60° ±8;6;3/8;22 mm;1\nB;"), "2,001 pieces, copies counted"),
])  # fmt: skip
def test_lists_have_limits(client: FlaskClient, text: str, said: str) -> None:
    answer = post(client, "/set", {"list_file": sent(text)})
    assert answer.status_code == 422
    assert said in answer.text


def test_a_file_has_at_most_2_mb(client: FlaskClient) -> None:
    head = '--x\r\nContent-Disposition: form-data; name="list_file"; filename="list.csv"\r\n\r\n'
    for size, said in ((MAX_UPLOAD, "has a line that is too long"), (MAX_UPLOAD + 1, "is too large")):
        body = f"{head}{' ' * size}\r\n--x--\r\n".encode()
        answer = client.post(
            "/set", data=body, base_url=HERE, headers=OWN, content_type="multipart/form-data; boundary=x"
        )
        assert answer.status_code == 422
        assert f"the file list.csv {said}" in answer.text


@pytest.mark.parametrize("path", ["/set", "/set/sheet.pdf", "/set/numbers.json"])
def test_no_file_of_the_machine_is_read_by_its_name(client: FlaskClient, path: str, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    name = str(tmp_path / "list.csv")
    assert get(client, path, {"list_file": name}).status_code == 422
    assert post(client, path, {"list_file": name}).status_code == 422
    empty = post(client, path, {"list_file": sent("", name)})
    assert empty.status_code == 422
    assert str(tmp_path) not in empty.text


def test_a_part_of_a_form_without_a_name_is_none(client: FlaskClient) -> None:
    body = b"--x\r\nContent-Disposition: form-data\r\n\r\n9\r\n--x\r\n"
    body += b'Content-Disposition: form-data; name="turns"\r\n\r\n90\r\n--x--\r\n'
    answer = client.post("/set", data=body, base_url=HERE, headers=OWN, content_type="multipart/form-data; boundary=x")
    assert answer.status_code == 422
    assert "turns-error" in answer.text


def test_a_third_list_at_once_is_told_to_come_back(client: FlaskClient) -> None:
    from turnband.page import lists

    with lists._WAITING, lists._WAITING:
        answer = post(client, "/set", {"list_file": sent(LIST)})
    assert (answer.status_code, answer.headers["Retry-After"]) == (503, "5")


# -- printers


PRINTER = {"name": "office", "x": "159.4 mm", "y": "240.5 mm", "x_nominal": "160 mm", "y_nominal": "240 mm"}


def test_a_printer_is_kept_chosen_and_forgotten(client: FlaskClient) -> None:
    assert post(client, "/printers", PRINTER).status_code == 303
    assert load_profiles()["office"].x_measured_mm == 159.4
    assert "99.625 %" in get(client, "/printers").text
    assert "<option>office</option>" in get(client, "/job").text
    corrected = get(client, "/job", JOB | {"printer": "office"})
    assert corrected.status_code == 200
    assert "--printer office" in corrected.text
    assert post(client, "/printers", {"forget": "office"}).status_code == 303
    assert not load_profiles()


def test_what_is_wrong_with_a_printer_stands_at_its_field(client: FlaskClient) -> None:
    answer = post(client, "/printers", PRINTER | {"x": "120 mm"})
    assert answer.status_code == 422
    assert "25 % off" in part(answer, "x-error")
    assert "is missing" in part(post(client, "/printers", PRINTER | {"y": ""}), "y-error")
    assert 'value="office"' in answer.text


def test_the_proof_page_tells_the_lengths_of_its_paper(client: FlaskClient) -> None:
    answer = get(client, "/printers", {"paper": "a5"})
    assert 'id="x_nominal" value="120 mm"' in answer.text
    assert "/proof/print.pdf?paper=a5" in answer.text


@pytest.mark.parametrize("more", [
    {"environ_overrides": {"REMOTE_ADDR": "192.168.1.9"}},
    {"headers": OWN | {"X-Forwarded-For": "192.168.1.9"}},
    {"base_url": "http://bench.example/", "headers": {"Origin": "http://bench.example"}},
])  # fmt: skip
def test_printers_are_changed_only_from_the_machine_itself(client: FlaskClient, more: dict[str, Any]) -> None:
    assert post(client, "/printers", PRINTER, **more).status_code == 403
    assert not load_profiles()
    shown = client.get("/printers", **{"base_url": HERE, **more})
    assert (shown.status_code, 'id="x"' in shown.text) == (200, False)


def test_on_a_server_of_many_nobody_changes_printers() -> None:
    assert post(application().test_client(), "/printers", PRINTER).status_code == 403


def test_a_broken_file_of_printers_stops_no_job_and_is_not_told_abroad(client: FlaskClient) -> None:
    path = profiles_path()
    path.parent.mkdir()
    path.write_text("=", "utf-8")
    assert get(client, "/job", JOB).status_code == 200
    assert str(path) in get(client, "/printers").text
    abroad = client.get("/printers", base_url=HERE, environ_overrides={"REMOTE_ADDR": "192.168.1.9"})
    assert (abroad.status_code, str(path) in abroad.text) == (200, False)


# -- what is refused


@pytest.mark.parametrize("host", ["127.0.0.1:8080", "localhost", "[::1]:8080", "192.168.1.5", "Bench.example:80"])
def test_addresses_and_own_names_are_answered(client: FlaskClient, host: str) -> None:
    assert client.get("/", base_url=HERE, headers={"Host": host}).status_code == 200


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1.evil.example", "bench.example.evil", "", "a b", "[::1", "1"]
)
def test_foreign_names_are_refused(client: FlaskClient, host: str) -> None:
    for path in ("/", "/job/sheet.pdf?spec=90", "/static/page.css", "/nothing"):
        assert client.get(path, base_url=HERE, headers={"Host": host}).status_code == 421


@pytest.mark.parametrize("headers", [
    {}, {"Origin": "null"}, {"Origin": "http://evil.example"}, {"Origin": "http://127.0.0.1:9"}, {"Origin": "http://["},
    {"Sec-Fetch-Site": "cross-site"},
])  # fmt: skip
def test_posts_from_other_pages_are_refused(client: FlaskClient, headers: dict[str, str]) -> None:
    for path in ("/set", "/printers", "/set/sheet.pdf"):
        assert post(client, path, {"list_file": sent(LIST)}, headers=headers).status_code == 403


def test_every_answer_is_strict_sets_no_cookie_and_names_no_server(client: FlaskClient) -> None:
    for path in ("/", "/job?spec=x", "/nothing", "/static/page.js", "/job/sheet-1.svg?" + urlencode(JOB), "/printers"):
        with client.get(path, base_url=HERE) as answer:
            policy = answer.headers["Content-Security-Policy"]
        assert policy.startswith("default-src 'none'; script-src 'self'; style-src 'self';")
        assert "unsafe" not in policy
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert "Set-Cookie" not in answer.headers
        assert "Access-Control-Allow-Origin" not in answer.headers


def test_pages_load_nothing_from_elsewhere_and_hold_no_script_or_style(client: FlaskClient) -> None:
    text = get(client, "/job", JOB).text
    assert not re.findall(r' (?:src|href|action)="(?!/|#)[^"]*"', text)
    assert not re.search(r'<script(?! src="/static/page\.js" defer></script>)|<style|\son\w+=|\sstyle=', text)


@pytest.mark.parametrize(("path", "code"), [
    ("/nothing", 404), ("/job/../../etc/passwd", 404), ("/static/../app.py", 404), ("/static/%2e%2e/app.py", 404),
    ("/font/bold.ttf", 404), ("/job/other.pdf", 404), ("/explain/sheet.pdf?" + urlencode(JOB), 404),
    ("/set/x.csv", 404), ("/job?spec=" + "9" * MAX_QUERY, 414), ("/%00", 404), ("/job/sheet-0.svg", 404),
])  # fmt: skip
def test_there_is_nothing_else(client: FlaskClient, path: str, code: int) -> None:
    answer = client.get(path, base_url=HERE)
    assert (answer.status_code, "<h1>" in answer.text) == (code, True)
    assert "Traceback" not in answer.text


def test_methods_and_bodies_have_limits(client: FlaskClient) -> None:
    assert client.open("/job", method="PUT", base_url=HERE).status_code == 405
    assert post(client, "/job", JOB).status_code == 405
    assert post(client, "/set", {}, content_length=10**9).status_code == 413
    assert (
        post(client, "/set", {f"f{i}": "1" for i in range(101)}, content_type="multipart/form-data").status_code == 413
    )


def test_a_fault_of_the_program_leaves_no_trace_in_the_answer(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    from turnband.page import app

    monkeypatch.setattr(app, "make", lambda *_: 1 / 0)
    answer = get(client, "/job", JOB)
    assert answer.status_code == 500
    assert "division" not in answer.text
    assert "division by zero" in caplog.text


# -- the command


def test_other_commands_and_help_load_no_server() -> None:
    for words in (["page", "--help"], ["--help"]):
        modules = loaded_by(f"from turnband.main import main\nmain({words!r}, standalone_mode=False)")
        assert not modules & {"flask", "waitress", "jinja2", "werkzeug", "turnband.page.app"}


def test_a_page_shows_without_the_pdf_writer() -> None:
    code = (
        "from turnband.page import application\n"
        f"answer = application().test_client().get('/job', query_string={JOB!r})\nassert answer.status_code == 200"
    )
    assert not loaded_by(code) & {"reportlab", "pint", "openpyxl"}


def test_without_the_extra_the_command_says_how_to_install_it(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
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
    assert told in done.stderr
    assert bool(done.stderr) == bool(told)
    assert run("page", "--no-open").returncode == 0
    assert len(launched) == 1


def test_a_host_that_is_not_here_is_refused(run: Run) -> None:
    done = run("page", "--no-open", "--host", "192.0.2.1")
    assert done.returncode == 1
    assert "cannot listen on 192.0.2.1" in done.stderr


def test_no_line_is_printed_for_a_request_that_waits() -> None:
    with served():
        assert not logging.getLogger("waitress.queue").isEnabledFor(logging.WARNING)


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
