"""The page gives away whatever formats are installed, written as its form asks."""

from __future__ import annotations

import html
import io
import re
import shlex
import zipfile
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest
from PIL import Image
from werkzeug.test import Client, TestResponse

from kit.commands import Run
from kit.dxf_reading import entities
from kit.each import each
from marking.files import formats
from turnband.page import application

DISC = {"spec": "90° ±5", "drive": "1/2"}
LIST = "id,spec,points,drive,od\nA,90° ±5,6,1/2,30 mm\n"


@pytest.fixture(scope="module")
def client() -> Client:
    return Client(application())
    return client


def get(client: Client, path: str, **values: Any) -> TestResponse:
    return client.get(f"{path}?{urlencode(values)}", base_url="http://127.0.0.1:8080/")


def taken(answer: TestResponse) -> list[str]:
    return re.findall(r'class="button" href="/disc/([^?"]+)', answer.text)


def test_every_format_at_hand_can_be_taken_away(client: Client) -> None:
    assert taken(get(client, "/disc", **DISC)) == [
        "sheet.pdf",
        "print.pdf",
        "sheet-1.svg",
        "sheet-1.dxf",
        "sheet-1.png",
    ]
    dxf = get(client, "/disc/sheet-1.dxf", **DISC, pieces="disc", kerf="0.2 mm")
    assert (dxf.mimetype, dxf.headers["Content-Disposition"]) == ("image/vnd.dxf", "attachment; filename=disc.dxf")
    rim = next(one for one in entities(dxf.data) if (one.layer, one.kind) == ("cut", "CIRCLE"))
    assert max(x for x, _ in rim.points) - min(x for x, _ in rim.points) == pytest.approx(70.2)
    png = get(client, "/disc/sheet-1.png", **DISC, dpi="72", one_bit="1")
    assert (Image.open(io.BytesIO(png.data)).size, Image.open(io.BytesIO(png.data)).mode) == ((595, 842), "1")
    assert b"<text" not in get(client, "/disc/sheet-1.svg", **DISC, pieces="disc", text="outlines").data


def test_pages_come_together_in_any_format(client: Client) -> None:
    asked = {"spec": "90° ±5", "points": "6", "drive": "1/2", "od": "30 mm", "extras": "disc", "dpi": "50"}
    with zipfile.ZipFile(io.BytesIO(get(client, "/job/sheets-png.zip", **asked).data)) as archive:
        assert archive.namelist() == ["job-1.png", "job-2.png"]
    for path in ("sheets-pdf.zip", "sheets-bmp.zip", "sheet-1.bmp", "sheet-1.pdf"):
        assert get(client, f"/job/{path}", **asked).status_code == 404


def test_pieces_are_shown_alone_and_what_cannot_be_cut_stands_at_its_field(client: Client) -> None:
    shown = get(client, "/disc", **DISC, pieces="disc")
    assert 'class="cut-line"' in shown.text
    assert "measure both rulers" not in shown.text
    wrong = get(client, "/disc", **DISC, pieces="band")
    assert (wrong.status_code, "there is no band on these pages" in wrong.text) == (422, True)
    assert 'value="band"' in wrong.text, "the form keeps it"
    alone = get(client, "/disc", **DISC, kerf="0.1 mm")
    assert "“Kerf” is given without “Pieces”" in alone.text


def test_the_same_in_a_terminal_makes_the_same_files(client: Client, run: Run, tmp_path: Path) -> None:
    asked = DISC | {"pieces": "disc", "kerf": "0.2 mm", "text": "outlines", "dpi": "72", "one_bit": "1"}
    (shown,) = re.findall("<code>(.*?)</code>", get(client, "/disc", **asked).text, re.S)
    targets = []
    for line in html.unescape(shown).splitlines():
        _, *words, target = shlex.split(line)
        run(*words, str(tmp_path / target))
        targets.append(target)
        name = "sheet.pdf" if target.endswith(".pdf") else f"sheet-1{Path(target).suffix}"
        assert (tmp_path / target).read_bytes() == get(client, f"/disc/{name}", **asked).data
    assert targets == ["again.pdf", "again.svg", "again.png"]


@each("key", ["key.pdf", "../../x.pdf", "/tmp/x.svg", "sheet.pdf", "\0"])
def test_the_answer_key_comes_apart_under_a_name_of_ours(client: Client, key: str) -> None:
    asked = {"spec": "90° ±5", "trainees": "2", "names": "Ann\nBen", "key": key}
    shown = get(client, "/lesson", **asked).text
    assert "/lesson/key.pdf?" in shown
    assert "Put first what stands in “Names” into the file names.txt." in shown
    assert get(client, "/lesson/key.pdf", **asked).headers["Content-Disposition"] == "attachment; filename=key.pdf"


def test_a_list_gives_its_pieces_alone(client: Client) -> None:
    sent = {"list_file": (io.BytesIO(LIST.encode()), "list.csv"), "pieces": "band"}
    more: dict[str, Any] = {"base_url": "http://127.0.0.1:8080/", "headers": {"Origin": "http://127.0.0.1:8080"}}
    found = client.post("/set/sheet-1.dxf", data=sent, **more)
    drawn = entities(found.data)
    (outline,) = [one.polygon.buffer(0.01) for one in drawn if one.layer == "cut"]
    assert all(outline.covers(one.line) for one in drawn)


def test_what_is_not_installed_is_not_offered(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = get(client, "/disc", **DISC)
    assert all(f'id="{name}"' in asked.text for name in ("pieces", "kerf", "text", "dpi", "one_bit"))
    monkeypatch.setattr(formats, "is_there", lambda module: False)
    bare = get(client, "/disc", **DISC)
    assert taken(bare) == ["sheet.pdf", "print.pdf", "sheet-1.svg"]
    assert not any(f'id="{name}"' in bare.text for name in ("pieces", "kerf", "text", "dpi", "one_bit"))
    assert get(client, "/disc/sheet-1.dxf", **DISC).status_code == 404
