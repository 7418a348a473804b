"""From a finished job on to what else can be made of the same spec."""

from __future__ import annotations

import html
import re
from urllib.parse import parse_qs, urlencode, urlsplit

from werkzeug.test import Client

from kit.each import each
from kit.pages import HERE, JOB, NEAR, get, part
from marking import OUTPUTS

WITH_SPEC = [name for name, output in OUTPUTS.items() if any(field.name == "spec" for field in output.fields)]
FULL = JOB | {
    "points": "6",
    "thread": "left",
    "opening": "19 mm",
    "extras": ["disc", "mat"],
    "paper": "letter",
    "pieces": "band",
}


def links(text: str) -> dict[str, str]:
    return {name: html.unescape(link) for link, name in re.findall(r'<a href="([^"]*/for/[^"]*)">(\w+)</a>', text)}


def test_a_job_leads_on_to_every_other_output_with_a_spec(client: Client) -> None:
    assert [*links(get(client, "/job", JOB).text)] == [name for name in WITH_SPEC if name != "job"]


@each("name", [name for name in WITH_SPEC if name != "job"])
def test_the_form_that_it_leads_to_holds_all_of_the_job_that_it_asks_for(client: Client, name: str) -> None:
    answer = client.get(links(get(client, "/job/live", FULL).text)[name], base_url=HERE)
    place = urlsplit(answer.headers["Location"])
    asked = {field.name for field in OUTPUTS[name].all_fields}
    assert (answer.status_code, place.path) == (302, f"/{name}")
    expected = {key: value if isinstance(value, list) else [value] for key, value in FULL.items() if key in asked}
    assert parse_qs(place.query) == expected


def test_what_asks_for_no_spec_leads_nowhere(client: Client) -> None:
    for name in ("proof", "chart", "tape"):
        assert not links(get(client, f"/{name}").text)


def test_a_job_that_is_not_finished_leads_nowhere(client: Client) -> None:
    answer = get(client, "/job", {"spec": JOB["spec"]})
    assert not links(answer.text)
    assert not part(answer, "keep").strip()


def test_a_page_that_is_mounted_below_a_path_leads_nowhere_else(client: Client) -> None:
    for place in ("/", "/job?" + urlencode(JOB | {"od": "12 mm"}), "/set", "/printers", "/nothing"):
        below = client.get(place, base_url=HERE, environ_overrides={"SCRIPT_NAME": "/marks", **NEAR}).text
        assert len(re.findall(r' (?:src|href|action|data-live)="/marks/[^"]*"', below)) > 10
        assert not re.findall(r' (?:src|href|action|data-live)="(?!/marks/|#)[^"]*"', below)
        assert "/marks" not in client.get(place, base_url=HERE).text
