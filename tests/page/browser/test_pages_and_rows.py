"""In a real browser: the later pages of long sheets, and the good rows of lists with faults."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlencode

import pytest

from kit import browser as kit
from kit.pages import JOB, LIST

if TYPE_CHECKING:
    from playwright.sync_api import Page

pytestmark = pytest.mark.skipif(bool(kit.missing()), reason=f"the page was not tried in a browser: {kit.missing()}")

LESSON = urlencode({"spec": "110 N·m + 90° ±5", "points": "12", "trainees": "12"})
BAD = LIST.replace("27,8 mm", "27,8")


def test_the_keyboard_gets_to_later_pages_and_goes_on_from_them(page: Page) -> None:
    page.goto(f"/lesson?{LESSON}")
    page.locator("[name=first-page]").focus()
    page.keyboard.press("Enter")
    page.locator("#view").filter(has_text="Pages 9–16 of").wait_for()
    assert page.locator("#sheets figcaption").first.inner_text().startswith("Page 9 of")
    assert page.locator("#view:focus").count(), "the focus is lost with the button"
    page.get_by_text("Earlier pages").click()
    page.locator("#view").filter(has_text="Pages 1–8 of").wait_for()
    assert "first-page" not in page.url


def test_what_is_typed_after_later_pages_is_shown_from_its_beginning(page: Page) -> None:
    page.goto(f"/lesson?{LESSON}")
    page.get_by_text("Later pages").click()
    page.locator("#view").filter(has_text="Pages 9–16 of").wait_for()
    page.locator("#spec").fill("90 N·m + 60° ±5")
    page.locator("#reading").filter(has_text="90 N·m, then 60°").wait_for()
    assert page.locator("#sheets figcaption").first.inner_text().startswith("Page 1 of")


def test_what_is_not_answered_is_said_and_an_earlier_sheet_is_not_taken_for_it(page: Page) -> None:
    page.goto(f"/job?{urlencode(JOB)}")
    for typed, why in (("9" * 9_000, "The address is too long"), ("90 Nm + 60 deg", "There is no answer")):
        if "no answer" in why:
            page.route("**/job/live?*", lambda asked: asked.abort())
        page.locator("#spec").fill(typed)
        page.locator("#said").filter(has_text=why).wait_for()
        assert page.locator("#old").is_visible()
        assert not page.locator("#take .button, #address, #reading *").count()
    page.unroute("**/job/live?*")
    page.locator("#spec").fill("90 Nm + 60 deg ±5")
    page.get_by_text("Save the PDF").wait_for()
    assert page.locator("#old").is_hidden()
    assert not page.get_by_text("There is no answer").count()


def test_the_page_itself_prints_no_sheet_as_that_would_not_be_to_scale(page: Page) -> None:
    page.goto(f"/job?{urlencode(JOB)}")
    assert page.locator("#sheets svg").is_visible()
    assert page.get_by_text("not to scale").is_hidden()
    page.emulate_media(media="print")
    assert page.locator("#sheets svg").is_hidden()
    assert page.get_by_text("not to scale").is_visible()


def test_rows_at_fault_are_left_out_of_this_list_only(page: Page) -> None:
    page.goto("/set")
    page.locator("#list_file").set_input_files({"name": "a.csv", "mimeType": "text/csv", "buffer": BAD.encode()})
    page.get_by_text("Leave these rows out").click()
    page.locator("#take:focus").wait_for()
    assert page.locator("#sheets svg").count() == 1
    more = f"{BAD}C;60 Nm;6;3/8;22\n"
    page.locator("#list_file").set_input_files({"name": "b.csv", "mimeType": "text/csv", "buffer": more.encode()})
    page.locator("#faults tbody tr").filter(has_text="b.csv").first.wait_for()
    assert page.get_by_text("Leave these rows out").count(), "faults that nobody has seen are left out"
    assert not page.get_by_text("Save the PDF").count()
