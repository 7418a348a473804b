"""What is taken away from the page: every format that the installation can write, without being named here."""

from __future__ import annotations

import io
import re
import zipfile

import pytest
from werkzeug.test import Client

from kit.pages import JOB, get
from marking.files.formats import FORMATS, Format
from turnband.page.made import MAX_WRITTEN

TRIMMED = {key: text for key, text in JOB.items() if key != "od"}  # two pages


@pytest.fixture
def toy(monkeypatch: pytest.MonkeyPatch) -> None:
    """Formats of a file a page: one that can be written, and one that lacks its package."""
    monkeypatch.setattr(Format, "load", property(lambda _: lambda page, document: f"{page.width_mm:g} wide".encode()))
    monkeypatch.setitem(FORMATS, ".toy", Format("", "", a_page=True))
    monkeypatch.setitem(FORMATS, ".far", Format("", "", a_page=True, needs=(("no_such", "no-such>=1"),)))


@pytest.mark.usefixtures("toy")
def test_a_new_format_can_be_taken_away_by_itself(client: Client) -> None:
    answer = get(client, "/job", JOB)
    assert re.search('<a class="button" href="/job/sheet-1.toy[^"]*">Save the TOY</a>', answer.text)
    one = get(client, "/job/sheet-1.toy", JOB)
    assert (one.data, one.headers["Content-Disposition"]) == (b"210 wide", "attachment; filename=job.toy")
    assert ">All pages as TOY</a>" in get(client, "/job", TRIMMED).text
    with zipfile.ZipFile(io.BytesIO(get(client, "/job/sheets-toy.zip", TRIMMED).data)) as archive:
        assert archive.namelist() == ["job-1.toy", "job-2.toy"]
    assert get(client, "/job/sheet-3.toy", TRIMMED).status_code == 404


@pytest.mark.usefixtures("toy")
def test_a_format_without_its_package_is_not_offered(client: Client) -> None:
    assert "FAR" not in get(client, "/job", JOB).text
    for file in ("sheet-1.far", "sheets-far.zip", "sheet-1.pdf", "sheets-pdf.zip", "sheet-1.exe"):
        assert get(client, f"/job/{file}", JOB).status_code == 404


@pytest.mark.usefixtures("toy")
def test_many_pages_come_only_in_what_is_quick_to_write(client: Client) -> None:
    lesson = {"spec": "110 N·m + 90° ±5", "trainees": str(MAX_WRITTEN)}
    answer = get(client, "/lesson", lesson)
    assert re.findall("All pages as ([A-Z]+)", answer.text) == ["SVG"]
    assert get(client, "/lesson/sheets-toy.zip", lesson).status_code == 404
    assert get(client, "/lesson/sheet-1.toy", lesson).status_code == 404
