"""The page speaks of its own boxes and pages, and of commands only where it shows one."""

from __future__ import annotations

import html
import re
from urllib.parse import parse_qs, urlencode, urlsplit

from werkzeug.test import Client

from kit.each import each
from kit.pages import JOB, get, post, sent
from marking import OUTPUTS
from turnband.page.forms import LINK, example_query

NARROW = {"spec": "60 N·m + 90° +10/-0", "points": "6", "drive": "1/4", "od": "12 mm", "thread": "left"}


def prose(text: str) -> str:
    """What a page says, without the one place that holds a command, and without its sheets."""
    text = re.sub(r'<pre class="command".*?</pre>|<svg.*?</svg>|<textarea.*?</textarea>', "", text, flags=re.DOTALL)
    return html.unescape(re.sub(r"<[^>]*>", "", text))


def assert_speaks_of_no_command(text: str) -> None:
    assert not re.findall(r"(?<![\w-])--?[a-z][a-z-]*|turnband [a-z]+", prose(text))
    assert not set(LINK) & set(text)


@each("name", OUTPUTS)
def test_forms_and_sheets_are_described_without_options(client: Client, name: str) -> None:
    assert_speaks_of_no_command(get(client, f"/{name}").text)
    assert_speaks_of_no_command(get(client, f"/{name}?{example_query(name)}").text)


@each("name", OUTPUTS)
def test_no_line_of_the_page_ends_between_a_number_and_its_unit(client: Client, name: str) -> None:
    for query in ("", example_query(name), urlencode(NARROW | {"height": "1 mm"}), "paper=10x10"):
        said = re.sub(
            "<(pre|code|textarea|option|title).*?</\\1>", "", get(client, f"/{name}?{query}").text, flags=re.DOTALL
        )
        assert not re.findall(r"\d (?:%|×|mm|in|N·m|lbf·ft|MB|GPa)(?!\w).*|° [±+−]\d.*", prose(said)), query


def test_what_is_copied_from_the_page_has_plain_spaces(client: Client) -> None:
    answer = get(client, "/job", JOB)
    assert "\u00a0" in answer.text
    assert "\u00a0" not in "".join(re.findall("<(?:pre|code|textarea|input)[^>]*>[^<]*", answer.text))


def test_advice_links_to_the_sheet_it_speaks_of_with_the_same_job(client: Client) -> None:
    answer = get(client, "/job", NARROW)
    (link,) = re.findall(r'which <a href="([^"]*)">disc</a> prints', answer.text)
    place = urlsplit(html.unescape(link))
    assert place.path == "/disc"
    assert {key: value for key, (value,) in parse_qs(place.query).items()} == {
        key: NARROW[key] for key in ("spec", "drive", "thread", "points")
    }
    assert client.get(html.unescape(link), base_url="http://127.0.0.1/").status_code == 200
    assert_speaks_of_no_command(answer.text)


def test_a_printer_that_is_not_known_leads_to_the_printers(client: Client) -> None:
    answer = get(client, "/job", JOB | {"printer": "office"})
    assert 'print <a href="/proof?paper=a4">proof</a>, then <a href="/printers">printers</a>' in answer.text
    assert "print “proof”, then “printers”" in get(client, "/job/sheet.pdf", JOB | {"printer": "office"}).text
    assert_speaks_of_no_command(answer.text)


@each("field", ["points", "paper", "printer", "od"])
def test_what_is_typed_makes_no_link(client: Client, field: str) -> None:
    answer = get(client, "/job", JOB | {field: f"{LINK[0]}javascript{LINK[1]}<b>"})
    assert answer.status_code == 422
    assert "<b>" not in answer.text
    assert "javascript" not in "".join(re.findall("<a [^>]*>", answer.text))


FAULTY = (
    {"od": "27.8"}, {"od": "1 mm"}, {"height": "1 mm"}, {"od_range": "24 mm..32 mm"}, {"paper": "10x10"},
    {"paper": "roll"}, {"margin": "90 mm"}, {"points": "6", "opening": "M14", "od": "15 mm"}, {"drive": "9"},
    {"spec": "110 Nm + 2 flats", "points": ""}, {"spec": "90"}, {"stock": "9 mm"}, {"gap": "1"}, {"rows": "3"},
    {"fasteners": "100", "pattern": "rows"}, {"witness": "first"}, {"ring_bore": "5 mm"}, {"copies": "x"},
    {"spec": "60 Nm, 90° ±5, 90° ±5, 30° ±5", "od": "14 mm", "witness": "first"}, {"title": "LH hub"}, {"od": "88 mm"},
)  # fmt: skip


@each("change", FAULTY)
def test_faults_and_warnings_name_boxes(client: Client, change: dict[str, str]) -> None:
    for name in ("job", "explain", "mat", "disc", "record"):
        given = {key: text for key, text in (JOB | change).items() if key in {one.name for one in OUTPUTS[name].fields}}
        assert_speaks_of_no_command(get(client, f"/{name}/live", given).text)


@each("rows", [
    "id;spec;points;drive;od\nA;90 Nm + 90° ±5;12;1/2;27,8\n", "id;spec;socket\nA;90 Nm + 90° ±5;S1\n",
    "id\nA\n", "", "id;spec;points;drive;od;kind\nA;60 N·m + 90° +10/-0;6;1/4;12 mm;\n",
    "id;spec;points;drive;od\nA;60 Nm, 90° ±5, 90° ±5, 30° ±5;12;1/2;14 mm\n",
])  # fmt: skip
def test_faults_and_warnings_of_lists_name_columns_and_boxes(client: Client, rows: str) -> None:
    assert_speaks_of_no_command(post(client, "/set/live", {"list_file": sent(rows)}).text)
