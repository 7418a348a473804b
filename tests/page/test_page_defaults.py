"""The page begins with the kept defaults, and what is asked for there is told in full."""

from __future__ import annotations

import html
import re

from werkzeug.test import Client

from marking.printers.defaults import defaults_path, keep_default

JOB = {"spec": "90° ±5", "points": "12", "drive": "1/2", "od": "27.8 mm"}


def value_of(text: str, name: str) -> str:
    [tag] = re.findall(rf'<input[^>]*id="{name}"[^>]*>', text)
    return "".join(re.findall(r'value="([^"]*)"', tag))


def test_an_empty_form_begins_with_them(client: Client) -> None:
    keep_default("paper", "letter")
    keep_default("stock", "0.11 mm")
    text = client.get("/job").text
    assert value_of(text, "paper") == "letter"
    assert value_of(text, "stock") == "0.11 mm"


def test_a_form_sent_counts_as_it_is_and_its_command_says_so(client: Client) -> None:
    keep_default("paper", "letter")
    keep_default("stock", "0.11 mm")
    text = client.get("/job", query_string=JOB).text
    [command] = re.findall(r"<code>(turnband.*)</code>", text)
    assert '--stock "" --paper a4' in html.unescape(command)


def test_a_broken_file_of_defaults_keeps_nobody_from_the_page(client: Client) -> None:
    defaults_path().parent.mkdir(parents=True)
    defaults_path().write_text("paper = 3", "utf-8")
    assert value_of(client.get("/job").text, "paper") == "a4"
