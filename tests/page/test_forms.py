"""The forms of the page, and what becomes of them."""

from __future__ import annotations

import html
import io
import json
import re
import shlex
import zipfile
from pathlib import Path
from urllib.parse import urlencode

import pytest
from werkzeug.test import Client

from kit.commands import Run
from kit.each import each
from kit.pages import HERE, JOB, get, part, sheets
from marking import OUTPUTS, read_profile
from marking.printers.store import add_profile
from marking.sheets.words import CAUTIONS
from turnband.page.forms import example_query

# -- forms


def test_the_first_page_asks_three_questions_and_shows_the_cautions(client: Client) -> None:
    answer = get(client, "/")
    questions = re.findall(r'<fieldset class="question (\w+)">', answer.text)
    assert (answer.status_code, questions) == (200, ["manual", "socket", "od"])
    assert answer.text.count('<svg class="drawing"') == 3
    assert all(html.escape(caution, quote=False).replace("'", "&#39;") in answer.text for caution in CAUTIONS)


@each("name", OUTPUTS)
def test_every_output_has_a_form_with_each_of_its_fields_labelled(client: Client, name: str) -> None:
    answer = get(client, f"/{name}")
    assert answer.status_code == 200
    for field in OUTPUTS[name].fields:
        control = re.search(rf'<(\w+)[^>]* id="{field.name}"', answer.text)
        assert control, field.name
        assert field.kind in ("several", "flag", "target") or f'<label for="{field.name}">' in answer.text
        for choice in field.choices:
            assert re.search(rf'<option( selected)?>{choice}<|value="{choice}"', answer.text), field.name
    assert "{@" not in answer.text


@each("name", [name for name in OUTPUTS if name != "set"])
def test_the_first_example_of_every_output_makes_its_pages(client: Client, name: str) -> None:
    query = example_query(name)
    answer = client.get(f"/{name}?{query}", base_url=HERE)
    assert answer.status_code == 200
    assert bool(sheets(answer)) == (OUTPUTS[name].writes != "never")
    assert ('<pre class="numbers"' in answer.text) == (OUTPUTS[name].writes != "always")


def test_defaults_stand_in_the_form_and_what_was_given_comes_back(client: Client) -> None:
    empty = get(client, "/job").text
    assert "<option selected>right</option>" in empty
    assert re.search(r'id="paper" value="a4"', empty)
    full = get(client, "/job", {**JOB, "thread": "LH", "title": '<b>"', "extras": ["disc", "mat"]}).text
    assert "<option selected>left</option>" in full
    assert 'value="&lt;b&gt;&#34;"' in full
    assert len(re.findall(r'name="extras"[^>]* checked', full)) == 2
    assert '<details class="more" open>' in full
    assert '<details class="more">' in empty


@each(("name", "field", "blank"), [
    ("job", "points", "choose"), ("mat", "points", "none"), ("set", "split_by", "none"), ("job", "unit", "as usual"),
    ("job", "printer", "none"),
])  # fmt: skip
def test_a_choice_that_is_not_made_is_called_what_it_is(client: Client, name: str, field: str, blank: str) -> None:
    found = re.search(rf'<select name="{field}".*?<option value="">(.*?)<', get(client, f"/{name}").text, re.DOTALL)
    assert found
    assert found[1] == blank


# -- what becomes of a form


def test_the_spec_is_read_while_the_rest_is_still_missing(client: Client) -> None:
    answer = get(client, "/job", {"spec": "110 Nm + 90 deg"})
    assert answer.status_code == 422
    assert "110 N·m, then 90°" in part(answer, "reading")
    assert "Still to fill in: Points, Drive" in " ".join(part(answer, "said").split())


def test_a_misspelt_spec_is_shown_at_its_field_with_the_caret(client: Client) -> None:
    answer = get(client, "/job", JOB | {"spec": "110 Nm + 90 dig"})
    assert answer.status_code == 422
    lines = part(answer, "spec-error").splitlines()
    typed = lines.index("  110 Nm + 90 dig")
    assert lines[typed + 1].index("^") == lines[typed].index("dig")
    assert 'id="spec" rows="2"' in answer.text
    assert re.search(r'id="spec"[^>]*aria-invalid="true"', answer.text)
    assert not part(answer, "od-error").strip()
    assert not sheets(answer)


@each(("field", "value"), [
    ("od", "27.8"), ("copies", "many"), ("copies", "51"), ("copies", "99999999999999"), ("thread", "up"),
    ("start", "here"), ("points", "7"), ("paper", "napkin"), ("extras", "bell"), ("printer", "nobody"),
    ("witness", "third"),
])  # fmt: skip
def test_every_error_stands_at_its_own_field(client: Client, field: str, value: str) -> None:
    answer = get(client, "/job", JOB | {field: value})
    wrong = re.findall(r'<div class="error" id="(\w+)-error">\s*<(?:span|code)', answer.text)
    assert (answer.status_code, wrong) == (422, [field])


@each("query", ["bolt=1", "od=28+mm", "list_file=%2Fetc%2Fpasswd"])
def test_what_is_no_field_and_what_is_said_twice_is_refused(client: Client, query: str) -> None:
    answer = client.get(f"/job?{urlencode(JOB | {'od': '27 mm'})}&{query}", base_url=HERE)
    assert answer.status_code == 422
    assert re.search('class="error"[^>]*>\\s*<span', answer.text)


def test_warnings_stand_above_the_sheet(client: Client) -> None:
    job = JOB | {"spec": "110 N·m + 90°"}
    answer = get(client, "/job", job)
    plan = OUTPUTS["job"].plan(OUTPUTS["job"].read(**job))
    assert str(plan.warnings[0]) in part(answer, "said")
    assert answer.text.index('id="said"') < answer.text.index('class="sheet"')


@pytest.mark.parametrize("od", [{}, {"od": "1.1 in"}, {"od": "", "around": "3.5 in", "opening": "17 mm"}])
def test_the_sheet_shown_is_the_file_that_the_command_line_writes(
    client: Client, run: Run, tmp_path: Path, od: dict[str, str]
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
    assert "true size 210\u00a0×\u00a0297\u00a0mm" in answer.text


def test_the_address_of_a_job_makes_the_same_again_and_holds_nothing_usual(client: Client) -> None:
    first = get(client, "/job", JOB | {"paper": "a4", "fasteners": "4", "title": "", "thread": "left"})
    (address,) = re.findall(r'id="address" href="([^"]*)"', first.text)
    assert "paper" not in address
    assert "title" not in address
    again = client.get(html.unescape(address), base_url=HERE)
    assert (again.status_code, again.text) == (200, first.text)


def test_an_output_that_needs_nothing_is_shown_at_once_and_its_address_keeps_it_as_it_is(
    client: Client, monkeypatch: pytest.MonkeyPatch
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


def test_pages_are_taken_away_one_by_one_and_together(client: Client) -> None:
    query = {key: value for key, value in JOB.items() if key != "od"}
    answer = get(client, "/job/sheets-svg.zip", query)
    with zipfile.ZipFile(io.BytesIO(answer.data)) as archive:
        assert archive.namelist() == ["job-1.svg", "job-2.svg"]
        second = archive.read("job-2.svg")
    one = get(client, "/job/sheet-2.svg", query)
    assert (one.data, one.headers["Content-Disposition"]) == (second, "attachment; filename=job-2.svg")
    assert get(client, "/job/sheet-3.svg", query).status_code == 404
    assert len(sheets(get(client, "/job", query))) == 2


def test_a_file_of_a_job_at_fault_is_its_reason(client: Client) -> None:
    answer = get(client, "/job/sheet.pdf", JOB | {"od": "27.8"})
    assert (answer.status_code, answer.mimetype) == (422, "text/plain")
    assert "the outside diameter has no unit:\n  27.8\n      ^" in answer.text
    assert get(client, "/job/sheet.pdf", {"spec": "90°"}).text == "Still to fill in: Points, Drive\n"


def test_all_numbers_come_as_on_the_command_line(client: Client) -> None:
    job = OUTPUTS["job"]
    found = json.loads(get(client, "/job/numbers.json", JOB).data)
    assert found == json.loads(json.dumps(job.data(job.plan(job.read(**JOB)))))


def test_what_is_typed_never_becomes_markup(client: Client) -> None:
    answer = get(client, "/job", JOB | {"title": "<script>x()</script><!--sheet-->"})
    assert answer.status_code == 200
    assert answer.text.count("<svg") == 4, "the drawings of three questions, and one sheet"
    assert "<!--sheet" not in answer.text
    assert "<script>x" not in answer.text
    assert "x()" in answer.text
