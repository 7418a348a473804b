"""Lists and registers that are given to the page."""

from __future__ import annotations

import base64
import csv
import io
import re
import zipfile
from pathlib import Path

import openpyxl
import pytest
from werkzeug.test import Client

from kit.commands import Run
from kit.each import each
from kit.pages import HERE, LIST, OWN, get, part, post, sent, sheets
from turnband.page.guard import MAX_UPLOAD

BAD = LIST.replace("27,8 mm", "27,8")


# -- lists


def test_a_list_is_shown_and_its_pdf_is_that_of_the_command_line(client: Client, run: Run, tmp_path: Path) -> None:
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


def test_faults_are_a_table_by_row_and_column_until_bad_rows_are_left_out(client: Client) -> None:
    answer = post(client, "/set", {"list_file": sent(BAD)})
    assert answer.status_code == 422
    row = re.search(r"<tr><td>list.csv</td><td>2</td><td>od</td><td class=\"told\">(.*?)</td>", answer.text, re.DOTALL)
    assert row
    assert "27,8 has no unit" in row[1]
    assert not sheets(answer)
    assert "list.csv:2: od: 27,8 has no unit" in post(client, "/set/sheet.pdf", {"list_file": sent(BAD)}).text
    (these,) = re.findall(r'name="skip_bad" value="(\w+)"', answer.text)
    skipped = post(client, "/set", {"list_file": sent(BAD), "skip_bad": these})
    assert skipped.status_code == 200
    assert len(sheets(skipped)) == 1
    assert "turnband set --skip-bad list.csv -o again.pdf" in skipped.text


def test_a_register_is_chosen_with_the_list(client: Client) -> None:
    rows, sockets = ("id;spec;socket\nA;90 Nm + 90° ±5;S1\n", "id;points;drive;od\nS1;12;1/2;27,8 mm\n")
    assert "S1 is looked up in no register" in post(client, "/set", {"list_file": sent(rows)}).text
    both = {"list_file": sent(rows), "sockets": sent(sockets, "sockets.csv")}
    assert post(client, "/set", both).status_code == 200


def test_a_workbook_is_read_as_a_list(client: Client) -> None:
    book, content = openpyxl.Workbook(), io.BytesIO()
    for row in csv.reader(LIST.splitlines(), delimiter=";"):
        book.active.append(row)
    book.save(content)
    answer = post(client, "/set/sheet.pdf", {"list_file": (io.BytesIO(content.getvalue()), "list.xlsx")})
    assert answer.status_code == 200
    assert answer.data == post(client, "/set/sheet.pdf", {"list_file": sent(LIST, "list.xlsx")}).data


def test_a_set_that_is_split_comes_as_one_archive(client: Client) -> None:
    query = {"turns": "60° ±5, 90° ±5", "points": "12", "drive": "1/2", "split_by": "turn"}
    assert "/set/sheets.zip?" in get(client, "/set", query).text
    with zipfile.ZipFile(io.BytesIO(get(client, "/set/sheets.zip", query).data)) as archive:
        assert archive.namelist() == ["set-60pm5.pdf", "set-90pm5.pdf"]
    assert get(client, "/set/sheet.pdf", query).status_code == 404


@pytest.mark.parametrize("suffix", ["csv", "xlsx"])
def test_templates_are_those_of_the_command_line_and_lists_without_a_fault(
    client: Client, run: Run, tmp_path: Path, suffix: str
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


def test_only_what_is_new_since_an_older_list_is_printed(client: Client) -> None:
    older = LIST.replace("60 Nm + 60° ±8", "60 Nm + 90° ±8")
    answer = post(client, "/set", {"list_file": sent(LIST), "since": sent(older, "older.csv")})
    assert answer.status_code == 200
    assert "--since older.csv" in answer.text
    assert "1 piece on 2 pages" in part(answer, "reading")


@each(("field", "text"), [
    ("list_file", ""), ("list_file", "id;spec\n"), ("list_file", "A;90 Nm + 90°;12\n"), ("sockets", ""),
    ("since", ""), ("since_sockets", ""), ("since", LIST),
])  # fmt: skip
def test_a_file_that_cannot_be_used_is_refused_at_its_own_field(client: Client, field: str, text: str) -> None:
    files = {"list_file": sent(LIST), "since": sent(LIST)} if field == "since_sockets" else {"list_file": sent(LIST)}
    answer = post(client, "/set", files | {field: sent(text, "other.csv")})
    wrong = re.findall(r'<div class="error" id="(\w+)-error">\s*<span', answer.text)
    assert (answer.status_code, wrong) == (422, [field])


@each(("text", "said"), [
    ("spec\n" + "90°\n" * 2_001, "has too many rows; expected at most 2,000"),
    (LIST.replace(";od", ";od;copies").replace("27,8 mm", "27,8 mm;1000").replace("22 mm", "22 mm;1000").replace(
        "B;", "C;60 Nm + 60° ±8;6;3/8;22 mm;1\nB;"), "2,001 pieces, copies counted"),
])  # fmt: skip
def test_lists_have_limits(client: Client, text: str, said: str) -> None:
    answer = post(client, "/set", {"list_file": sent(text)})
    assert answer.status_code == 422
    assert said in answer.text


def test_a_file_has_at_most_2_mb(client: Client) -> None:
    head = '--x\r\nContent-Disposition: form-data; name="list_file"; filename="list.csv"\r\n\r\n'
    for size, said in ((MAX_UPLOAD, "has a line that is too long"), (MAX_UPLOAD + 1, "is too large")):
        body = f"{head}{' ' * size}\r\n--x--\r\n".encode()
        answer = client.post(
            "/set", data=body, base_url=HERE, headers=OWN, content_type="multipart/form-data; boundary=x"
        )
        assert answer.status_code == 422
        assert f"the file list.csv {said}" in answer.text


@pytest.mark.parametrize("path", ["/set", "/set/sheet.pdf", "/set/numbers.json"])
def test_no_file_of_the_machine_is_read_by_its_name(client: Client, path: str, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    name = str(tmp_path / "list.csv")
    assert get(client, path, {"list_file": name}).status_code == 422
    assert post(client, path, {"list_file": name}).status_code == 422
    empty = post(client, path, {"list_file": sent("", name)})
    assert empty.status_code == 422
    assert str(tmp_path) not in empty.text


def test_a_part_of_a_form_without_a_name_is_none(client: Client) -> None:
    body = b"--x\r\nContent-Disposition: form-data\r\n\r\n9\r\n--x\r\n"
    body += b'Content-Disposition: form-data; name="turns"\r\n\r\n90\r\n--x--\r\n'
    answer = client.post("/set", data=body, base_url=HERE, headers=OWN, content_type="multipart/form-data; boundary=x")
    assert answer.status_code == 422
    assert "turns-error" in answer.text


def test_a_third_list_at_once_is_told_to_come_back(client: Client) -> None:
    from turnband.page import lists

    with lists._WAITING, lists._WAITING:
        answer = post(client, "/set", {"list_file": sent(LIST)})
    assert (answer.status_code, answer.headers["Retry-After"]) == (503, "5")
