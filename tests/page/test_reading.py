"""How a spec or a list was read, said where it was given."""

from __future__ import annotations

import re

from werkzeug.test import Client

from kit.each import each
from kit.pages import JOB, LIST, element, get, part, post, sent
from marking import OUTPUTS

SPEC = {"spec": "110 Nm + 90 deg"}


def field_of(text: str, name: str) -> str:
    """The part of a form that holds a field: its box, its error, its help."""
    found = re.search(rf'<div class="field[^>]*>\s*<label for="{name}">.*?id="{name}-help"', text, re.DOTALL)
    assert found, name
    return found[0]


@each("name", [name for name, output in OUTPUTS.items() if any(field.name == "spec" for field in output.fields)])
def test_a_spec_is_read_aloud_at_its_own_field(client: Client, name: str) -> None:
    answer = get(client, f"/{name}", SPEC | {"paper": "napkin"})  # of which nothing is drawn
    own = field_of(answer.text, "spec")
    assert own.count("110\u00a0N·m, then 90°") == 1
    assert 'id="reading" aria-live="polite"' in own
    assert "110 N·m, then 90°" not in part(answer, "said")


def test_the_way_to_tighten_stands_with_the_reading(client: Client) -> None:
    assert "Tighten counterclockwise" in element(get(client, "/job", JOB | {"thread": "left"}), "reading")


@each("live", ["", "/live"])
def test_a_spec_that_cannot_be_read_has_its_error_in_the_place_of_the_reading(client: Client, live: str) -> None:
    answer = get(client, f"/job{live}", JOB | {"spec": "110 Nm + 90 dig"})
    assert "90 dig" in part(answer, "spec-error")
    assert not re.sub("<[^>]*>", "", element(answer, "reading")).strip()


def test_a_list_is_summed_up_at_its_own_field(client: Client) -> None:
    answer = post(client, "/set", {"list_file": sent(LIST)})
    assert "2 pieces on 2 pages" in field_of(answer.text, "list_file")


def test_the_faults_of_a_list_are_a_link_away_from_its_field(client: Client) -> None:
    answer = post(client, "/set", {"list_file": sent(LIST.replace("27,8 mm", "27,8"))})
    assert '<a href="#faults">1 fault to mend in the list</a>' in field_of(answer.text, "list_file")


def test_a_list_of_several_files_is_summed_up_before_each_of_them(client: Client) -> None:
    answer = post(client, "/set", {"list_file": sent(LIST), "split_by": "id"})
    assert "2 pieces on 2 pages in 2 files." in element(answer, "reading")
    assert re.findall(r"(\w+): 1 piece on 1 page", part(answer, "said")) == ["A", "B"]


def test_a_form_sent_without_scripts_comes_back_at_its_result(client: Client) -> None:
    for name in OUTPUTS:
        assert f'<form id="form" action="/{name}#result"' in get(client, f"/{name}").text
