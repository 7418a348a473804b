"""Printers that are kept, chosen and forgotten on the page."""

from __future__ import annotations

from typing import Any

from werkzeug.test import Client

from kit.each import each
from kit.pages import HERE, JOB, OWN, get, part, post
from marking.printers.store import load_profiles, profiles_path
from turnband.page import application

PRINTER = {"name": "office", "x": "159.4 mm", "y": "240.5 mm", "x_nominal": "160 mm", "y_nominal": "240 mm"}


def test_a_printer_is_kept_chosen_and_forgotten(client: Client) -> None:
    assert post(client, "/printers", PRINTER).status_code == 303
    assert load_profiles()["office"].x_measured_mm == 159.4
    assert "99.625 %" in get(client, "/printers").text
    assert "<option>office</option>" in get(client, "/job").text
    corrected = get(client, "/job", JOB | {"printer": "office"})
    assert corrected.status_code == 200
    assert "--printer office" in corrected.text
    assert post(client, "/printers", {"forget": "office"}).status_code == 303
    assert not load_profiles()


def test_what_is_wrong_with_a_printer_stands_at_its_field(client: Client) -> None:
    answer = post(client, "/printers", PRINTER | {"x": "120 mm"})
    assert answer.status_code == 422
    assert "25 % off" in part(answer, "x-error")
    assert "is missing" in part(post(client, "/printers", PRINTER | {"y": ""}), "y-error")
    assert 'value="office"' in answer.text


def test_the_proof_page_tells_the_lengths_of_its_paper(client: Client) -> None:
    answer = get(client, "/printers", {"paper": "a5"})
    assert 'id="x_nominal" value="120 mm"' in answer.text
    assert "/proof/print.pdf?paper=a5" in answer.text


@each("more", [
    {"environ_overrides": {"REMOTE_ADDR": "192.168.1.9"}},
    {"headers": OWN | {"X-Forwarded-For": "192.168.1.9"}},
    {"base_url": "http://bench.example/", "headers": {"Origin": "http://bench.example"}},
])  # fmt: skip
def test_printers_are_changed_only_from_the_machine_itself(client: Client, more: dict[str, Any]) -> None:
    assert post(client, "/printers", PRINTER, **more).status_code == 403
    assert not load_profiles()
    shown = client.get("/printers", **{"base_url": HERE, **more})
    assert (shown.status_code, 'id="x"' in shown.text) == (200, False)


def test_on_a_server_of_many_nobody_changes_printers() -> None:
    assert post(Client(application()), "/printers", PRINTER).status_code == 403


def test_a_broken_file_of_printers_stops_no_job_and_is_not_told_abroad(client: Client) -> None:
    path = profiles_path()
    path.parent.mkdir()
    path.write_text("=", "utf-8")
    assert get(client, "/job", JOB).status_code == 200
    assert str(path) in get(client, "/printers").text
    abroad = client.get("/printers", base_url=HERE, environ_overrides={"REMOTE_ADDR": "192.168.1.9"})
    assert (abroad.status_code, str(path) in abroad.text) == (200, False)
