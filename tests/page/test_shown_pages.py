"""Sheets of many pages: some are shown, and from there one gets to all others."""

from __future__ import annotations

import re
from types import SimpleNamespace
from typing import Any

from werkzeug.test import Client, TestResponse

from kit.each import each
from kit.pages import get, part, sheets
from marking import OUTPUTS
from marking.drawing.primitives import Document, Page
from turnband.page import words
from turnband.page.made import MAX_SHOWN, Made, show

LESSON = {"spec": "110 N·m + 90° ±5", "points": "12", "trainees": "12", "seed": "7"}  # 16 pages


def numbers(answer: TestResponse) -> list[int]:
    return [int(number) for number in re.findall(r"<figcaption>Page (\d+) of", answer.text)]


def buttons(answer: TestResponse) -> dict[str, str]:
    found = re.findall(r'<button form="form" name="first-page" value="(\d+)">(.*?)</button>', answer.text)
    return {said: number for number, said in found}


def test_later_and_earlier_pages_are_a_button_away(client: Client) -> None:
    first = get(client, "/lesson", LESSON)
    assert numbers(first) == [*range(1, MAX_SHOWN + 1)]
    assert "Pages 1–8 of" in part(first, "view")
    assert buttons(first) == {"Later pages": "9"}
    second = get(client, "/lesson", LESSON | {"first-page": "9"})
    assert numbers(second)[0] == 9
    assert buttons(second)["Earlier pages"] == "1"
    assert len(sheets(second)) == len(numbers(second)) <= MAX_SHOWN


@each(("index", "count"), [(0, 9), (1, 30), (2, 11), (5, 40), (12, 13)])
def test_every_page_can_be_reached_and_few_are_drawn_at_once(index: int, count: int) -> None:
    plan = SimpleNamespace(plans={"": SimpleNamespace(front=SimpleNamespace(pages=index))}) if index else object()
    document = Document(tuple(Page(100.0, 50.0, ()) for _ in range(count)), "", "")
    shown, first = set[int](), 1
    while first:
        made = Made(OUTPUTS["set"], {}, plan=plan, document=document)
        show(made, first)
        numbers = [sheet.number for sheet in made.sheets]
        assert len(numbers) <= MAX_SHOWN
        assert not set(numbers) <= shown
        shown |= set(numbers)
        first = {said: number for number, said in made.others}.get(words.LATER, 0)
    assert shown == {*range(1, count + 1)}


@each(("asked", "first"), [("0", 1), ("-1", 1), ("x", 1), ("", 1), ("99999", "last"), ("9" * 99, 1)])
def test_a_page_that_is_none_is_the_nearest_that_is(client: Client, asked: str, first: Any) -> None:
    answer = get(client, "/lesson/live", LESSON | {"first-page": asked})
    assert answer.status_code == 200
    found, *_ = numbers(answer)
    (count,) = {int(one) for one in re.findall(r"<figcaption>Page \d+ of (\d+)", answer.text)}
    assert found == (count if first == "last" else first)


def test_what_is_looked_at_is_no_part_of_the_job(client: Client) -> None:
    answer = get(client, "/lesson", LESSON | {"first-page": "9"})
    assert "first-page" not in part(answer, "keep")
    assert not re.search('href="[^"]*first-page', answer.text)


def test_a_sheet_that_is_shown_whole_has_no_such_buttons(client: Client) -> None:
    answer = get(client, "/lesson", LESSON | {"trainees": "2"})
    assert not buttons(answer)
    assert "Pages" not in part(answer, "view")
