"""The live preview: what of a page changes while somebody types, and nothing else."""

from __future__ import annotations

import re

from werkzeug.test import Client

from kit.each import each
from kit.pages import JOB, LIST, element, get, part, post, sent, sheets
from marking import OUTPUTS
from turnband.page.forms import example_query

PARTS = ("said", "faults", "take", "held", "view", "sheets", "numbers", "keep")


@each("name", [name for name in OUTPUTS if name != "set"])
def test_a_live_preview_is_what_follows_the_form_of_the_page(client: Client, name: str) -> None:
    whole, live = (get(client, f"/{name}{more}?{example_query(name)}") for more in ("", "/live"))
    assert live.status_code == 200
    assert live.text.partition('<div id="reading"')[0].strip() in whole.text
    assert [part for part in PARTS if f'id="{part}"' not in live.text] == []
    asks = any(field.name == "spec" for field in OUTPUTS[name].fields)
    assert element(whole, "reading") == (element(live, "reading") if asks else "")


def test_a_live_preview_draws_no_form_and_no_footer(client: Client) -> None:
    assert not re.search("<html|<label for|<footer", get(client, "/job/live", JOB).text)


def test_the_form_says_where_its_live_preview_is(client: Client) -> None:
    for name in OUTPUTS:
        (place,) = re.findall('data-live="([^"]*)"', get(client, f"/{name}").text)
        assert get(client, place).status_code == 200 or get(client, place).status_code == 422


def test_a_live_fault_stands_for_its_field_with_the_caret(client: Client) -> None:
    answer = get(client, "/job/live", JOB | {"spec": "110 Nm + 90 dig"})
    assert answer.status_code == 422
    assert "110 Nm + 90 dig" in part(answer, "spec-error")
    assert "od-error" not in answer.text


def test_a_list_sent_live_is_that_of_its_page(client: Client) -> None:
    answer = post(client, "/set/live", {"list_file": sent(LIST)})
    assert (answer.status_code, len(sheets(answer))) == (200, 2)
    whole = post(client, "/set", {"list_file": sent(LIST)})
    assert answer.text.partition('<div id="reading"')[0].strip() in whole.text
    assert element(answer, "reading") == element(whole, "reading") != ""
    assert post(client, "/set/live", {"list_file": sent(LIST)}, headers={}).status_code == 403
    assert post(client, "/job/live", JOB).status_code == 405
