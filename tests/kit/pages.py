"""What is asked of the page, and what is read of its answers."""

from __future__ import annotations

import html
import io
import re
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode
from xml.etree import ElementTree

from werkzeug.test import Client, TestResponse

HERE = "http://127.0.0.1:8080/"
OWN = {"Origin": "http://127.0.0.1:8080"}
NEAR = {"REMOTE_ADDR": "127.0.0.1"}
JOB = {"spec": "110 N·m + 90° +10/-0", "points": "12", "drive": "1/2", "od": "27.8 mm"}
LIST = "id;spec;points;drive;od\nA;90 Nm + 90° ±5;12;1/2;27,8 mm\nB;60 Nm + 60° ±8;6;3/8;22 mm\n"


def get(client: Client, path: str, values: Mapping[str, Any] | None = None, **more: Any) -> TestResponse:
    query = f"?{urlencode(values, doseq=True)}" if values else ""
    return client.get(path + query, **{"base_url": HERE, "environ_overrides": NEAR, **more})


def post(client: Client, path: str, data: Mapping[str, Any], **more: Any) -> TestResponse:
    return client.post(path, data=dict(data), **{"base_url": HERE, "headers": OWN, "environ_overrides": NEAR, **more})


def sent(text: str, name: str = "list.csv") -> tuple[io.BytesIO, str]:
    return io.BytesIO(text.encode()), name


def part(answer: TestResponse, tag: str) -> str:
    """What stands between a tag with an id and the next id, as text in which any space is one."""
    found = re.search(rf'id="{tag}"[^>]*>(.*?)(?=<[^<>]* id="|\Z)', answer.text, re.DOTALL)
    assert found, tag
    return html.unescape(re.sub(r"<[^>]*>", "", found[1])).replace("\u00a0", " ")


def element(answer: TestResponse, tag: str) -> str:
    """The div of an id that holds no other, as it stands; "" for none."""
    found = re.search(rf'<div id="{tag}"[^>]*>.*?</div>', answer.text, re.DOTALL)
    return found[0] if found else ""


def sheets(answer: TestResponse) -> list[ElementTree.Element]:
    found = re.findall(r'<div role="img"[^>]*>(.*?</svg>)', answer.text, re.DOTALL)
    return [ElementTree.fromstring(svg) for svg in found]
