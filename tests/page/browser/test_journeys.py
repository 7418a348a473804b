"""The page in a real browser, from an empty form to a finished file: typed, by keyboard alone, on a phone, without
scripts.
"""

from __future__ import annotations

import math
import os
import shlex
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

import pytest

from kit import browser as kit
from kit.commands import Run
from marking import OUTPUTS
from turnband.page.forms import example_query

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator, Page

pytestmark = [
    pytest.mark.skipif(bool(kit.missing()), reason=f"the page was not tried in a browser: {kit.missing()}"),
    pytest.mark.long,  # and one behind the other, so that a process starts the browser once
]

JOB = {"spec": "110 N·m + 90° +10/-0", "points": "12", "drive": "1/2", "od": "27.8 mm"}
QUERY = urlencode(JOB)
LIST = "id;spec;points;drive;od\nA;90 Nm + 90° ±5;12;1/2;27,8\nB;60 Nm + 60° ±8;6;3/8;22 mm\n"
STOCK_MM = 0.1
PHONE: Any = {"width": 390, "height": 844}


def sheet(page: Page) -> Locator:
    return page.locator("#sheets svg")


def wait_for_job(page: Page) -> None:
    """Wait for the sheet of all that was typed: before its last field another one may be shown, of more pages."""
    page.locator("pre.command").filter(has_text=JOB["od"]).wait_for(state="attached")
    sheet(page).first.wait_for()


def fill(page: Page, job: dict[str, str]) -> None:
    for field, text in job.items():
        if field in ("points", "thread"):
            page.locator(f"#{field}").select_option(text)
        else:
            page.locator(f"#{field}").press_sequentially(text)


def saved(page: Page, folder: Path) -> bytes:
    """What the button gives that saves the PDF."""
    with page.expect_download() as downloading:
        page.get_by_text("Save the PDF").click()
    downloading.value.save_as(folder / "saved.pdf")
    return (folder / "saved.pdf").read_bytes()


def commanded(page: Page, run: Run, folder: Path) -> bytes:
    """What the command writes that the page shows."""
    _, *words = shlex.split(page.locator("pre.command").text_content() or "")
    done = run(*words)
    assert done.returncode == 0, done.stderr
    return (folder / "again.pdf").read_bytes()


def test_a_typed_job_becomes_a_live_sheet_and_the_file_of_the_command_line(
    page: Page, run: Run, tmp_path: Path
) -> None:
    page.goto("/")
    assert not sheet(page).count()
    fill(page, JOB)
    page.locator("#od").blur()
    wait_for_job(page)
    page.wait_for_url("**/job?*od=27.8+mm*")
    assert "110\u00a0N·m, then 90°\u00a0+10/−0" in page.locator("#reading").inner_text()
    assert saved(page, tmp_path) == commanded(page, run, tmp_path)
    typed = sheet(page).inner_html()
    page.reload()
    assert sheet(page).inner_html() == typed


def test_left_hand_turns_the_sheet_round(page: Page, run: Run, tmp_path: Path) -> None:
    page.goto(f"/job?{QUERY}")
    assert _start_to_stop_mm(page) > 0
    page.locator("#thread").select_option("left")
    page.wait_for_url("**thread=left**")
    assert "Tighten counterclockwise" in page.locator("#reading").inner_text()
    assert _start_to_stop_mm(page) < 0
    assert saved(page, tmp_path) == commanded(page, run, tmp_path)


@pytest.mark.parametrize(("od_mm", "deg"), [(27.8, 90), (16.5, 60), (44.2, 120)])
def test_marks_on_the_screen_are_as_far_apart_as_the_turn_is_long(page: Page, od_mm: float, deg: int) -> None:
    page.goto(f"/job?{urlencode(JOB | {'spec': f'110 Nm + {deg}° +10/-0', 'od': f'{od_mm} mm'})}")
    expected = math.pi * (od_mm + STOCK_MM) * deg / 360
    for zoom in ("fit", "true", "close"):
        page.locator(f"#zoom-{zoom}").check()
        assert _start_to_stop_mm(page) == pytest.approx(expected, abs=0.02), zoom
    page.locator("#zoom-true").check()
    (across, along) = sheet(page).evaluate("svg => [svg.clientWidth, svg.clientHeight]")
    assert (across, along) == (pytest.approx(210 / 25.4 * 96, abs=1), pytest.approx(297 / 25.4 * 96, abs=1))


def _start_to_stop_mm(page: Page) -> float:
    """How far the first band's STOP lies right of START, from where the browser draws them."""
    middles = "line => { const box = line.getBoundingClientRect(); return (box.left + box.right) / 2; }"
    start, stop = (page.locator(f"#sheets .band line.{role}").first.evaluate(middles) for role in ("start", "stop-low"))
    width = sheet(page).first.evaluate("svg => svg.getBoundingClientRect().width / svg.viewBox.baseVal.width")
    return float((stop - start) / width)


def test_a_misspelt_spec_is_pointed_out_at_its_field(page: Page) -> None:
    page.goto(f"/job?{QUERY}")
    page.locator("#spec").fill("110 Nm + 90 dig")
    page.locator("#spec-error code").first.wait_for()
    typed, caret, *_ = page.locator("#spec-error code").all()
    assert typed.inner_text().index("dig") == caret.inner_text().index("^")
    assert page.locator("#spec").get_attribute("aria-invalid") == "true"
    assert page.locator("#old").is_visible()  # what is still shown is not what is typed
    assert not page.get_by_text("Save the PDF").count()
    page.locator("#spec").fill("110 Nm + 90 deg")
    page.get_by_text("Save the PDF").wait_for()
    assert not page.locator("#spec-error *").count()
    assert page.locator("#old").is_hidden()
    page.locator(".more > summary").click()
    page.locator("#paper").fill("napkin")
    page.locator(".more > summary").click()
    page.locator("#paper-error span").wait_for()  # in sight: no fault stays folded away


def test_a_list_with_faults_is_printed_without_them(page: Page, run: Run, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    page.goto("/set")
    page.locator("#list_file").set_input_files(tmp_path / "list.csv")
    cells = page.locator("#faults tbody tr td")
    cells.first.wait_for()
    assert cells.all_inner_texts()[:3] == ["list.csv", "2", "od"]
    assert not sheet(page).count()
    page.get_by_text("Leave these rows out").click()
    sheet(page).first.wait_for()
    assert saved(page, tmp_path) == commanded(page, run, tmp_path)


def test_a_list_mended_in_its_file_is_asked_for_again(page: Page, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    page.goto("/set")
    page.locator("#list_file").set_input_files(tmp_path / "list.csv")
    page.locator("#faults td").first.wait_for()
    (tmp_path / "list.csv").write_text(LIST.replace("27,8", "27,8 mm"), "utf-8")
    os.utime(tmp_path / "list.csv", (0, 0))  # browsers know a file that changed by its time
    page.get_by_role("button", name="Show it").click()
    page.locator("#said").get_by_text("Choose it again").wait_for()
    with page.expect_file_chooser() as choosing:
        page.locator("#list_file").click()
    choosing.value.set_files(tmp_path / "list.csv")
    sheet(page).first.wait_for()


def test_the_keyboard_alone_gets_from_the_address_to_the_file(page: Page, run: Run, tmp_path: Path) -> None:
    page.goto("/")
    for field, text in JOB.items():
        _tab_to(page, f"#{field}")
        page.keyboard.type(text)
    wait_for_job(page)
    page.wait_for_url("**od=27.8+mm*")
    _tab_to(page, "#take .button")
    with page.expect_download() as downloading:
        page.keyboard.press("Enter")
    downloading.value.save_as(tmp_path / "saved.pdf")
    assert (tmp_path / "saved.pdf").read_bytes() == commanded(page, run, tmp_path)


def _tab_to(page: Page, selector: str) -> None:
    for _ in range(60):
        page.keyboard.press("Tab")
        focused = page.locator("*:focus")
        if focused.evaluate("(one, selector) => one.matches(selector)", selector):
            outline = focused.evaluate("one => getComputedStyle(one).outlineStyle")
            assert outline != "none", f"the focus on {selector} does not show"
            return
    pytest.fail(f"no tab reaches {selector}")


def test_the_skip_link_leads_past_the_form(page: Page) -> None:
    page.goto(f"/job?{QUERY}")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    _tab_to(page, "#take .button")
    assert page.locator("*:focus").inner_text() == "Save the PDF"


def test_without_scripts_the_form_is_sent_and_the_file_taken(
    chromium: Browser, site: str, run: Run, tmp_path: Path
) -> None:
    with chromium.new_context(base_url=site, java_script_enabled=False, viewport=PHONE) as context:
        page = context.new_page()
        page.goto("/")
        fill(page, JOB)
        page.get_by_role("button", name="Show it").click()
        assert sheet(page).count() == 1
        assert _in_sight(page.locator("#take .button").first), "it comes back at the form, not at the sheet"
        assert saved(page, tmp_path) == commanded(page, run, tmp_path)
        (tmp_path / "list.csv").write_text(LIST, "utf-8")
        page.goto("/set")
        page.locator("#list_file").set_input_files(tmp_path / "list.csv")
        page.get_by_role("button", name="Show it").click()
        page.get_by_text("Leave these rows out").click()
        assert saved(page, tmp_path) == commanded(page, run, tmp_path)


PLACES = (
    "/", f"/job?{QUERY}", f"/job?{urlencode(JOB | {'spec': '110 Nm + 90 dig'})}", f"/explain?{QUERY}", "/set",
    "/printers", "/nothing",
    *(f"/{name}?{example_query(name)}" for name in OUTPUTS if name not in ("job", "explain", "set")),
)  # fmt: skip


def test_on_a_phone_answers_stand_in_sight_and_the_sheet_is_one_touch_away(chromium: Browser, site: str) -> None:
    with chromium.new_context(base_url=site, viewport=PHONE, has_touch=True) as context:
        page = context.new_page()
        page.goto("/job")
        page.locator("#spec").fill("110 Nm + 90 dig")
        assert _comes_in_sight(page.locator("#spec-error span").last)
        show = page.get_by_role("button", name="Show it")
        show.tap()
        page.locator("#spec:focus").wait_for()
        assert _in_sight(page.locator("#spec-error span").last), "it leaves what has to be mended"
        page.locator("#spec").fill("110 Nm + 90 deg")
        page.locator("#reading .reading").wait_for()
        assert _in_sight(page.locator("#reading .reading"))
        show.tap()
        page.locator("#points:focus").wait_for()
        assert _in_sight(page.locator("#points")), "it leaves what is still to fill in"
        page.goto(f"/job?{QUERY}")
        for field in page.locator("form > fieldset").locator("input, select, textarea").all():
            field.focus()
            assert _in_sight(field), f"the button hides {field.get_attribute('id')}"
        show.tap()
        assert _comes_in_sight(page.locator("#take .button").first)


def _comes_in_sight(found: Locator) -> bool:
    """Whether it does within some seconds."""
    found.wait_for()
    for _ in range(100):
        if _in_sight(found):
            return True
        found.page.wait_for_timeout(50)
    return False


def _in_sight(found: Locator) -> bool:
    """Whether all of it stands in the window, and nothing over its lower edge."""
    return bool(
        found.evaluate("""one => {
            const box = one.getBoundingClientRect();
            const there = document.elementFromPoint(box.left + 20, box.bottom - 3);
            return box.top >= 0 && box.bottom <= innerHeight && (one.contains(there) || there.contains(one));
        }""")
    )


def test_nothing_scrolls_sideways_on_a_phone(chromium: Browser, site: str, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    with chromium.new_context(base_url=site, viewport=PHONE, has_touch=True) as context:
        page = context.new_page()
        for place in PLACES:
            page.goto(place)
            assert _too_wide(page) <= 0, place
            while page.locator("details:not([open])").count():
                page.locator("details:not([open]) > summary").first.click()
            assert _too_wide(page) <= 0, f"{place}, unfolded"
        page.goto("/set")
        page.locator("#list_file").set_input_files(tmp_path / "list.csv")
        page.locator("#faults tbody").wait_for()
        assert _too_wide(page) <= 0
        assert _too_wide(page, "#faults .wide") <= 0, "what is wrong with a row is out of sight"


def test_numbers_of_80_columns_stand_beside_the_form(page: Page) -> None:
    page.goto(f"/explain?{QUERY}")
    assert max(map(len, page.locator("pre.numbers").inner_text().splitlines())) > 75
    assert _too_wide(page, "pre.numbers") <= 0


def _too_wide(page: Page, place: str = "html") -> int:
    return int(page.locator(place).evaluate("one => one.scrollWidth - one.clientWidth"))


@pytest.mark.parametrize(("scheme", "places", "rules"), [
    ("light", PLACES, {}), ("dark", PLACES[:6], {"runOnly": ["color-contrast"]}),
])  # fmt: skip
def test_axe_finds_no_fault(
    chromium: Browser, site: str, tmp_path: Path, scheme: Any, places: tuple[str, ...], rules: dict[str, Any]
) -> None:
    from axe_playwright_python.sync_playwright import Axe

    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    axe, found = Axe(), []
    with chromium.new_context(base_url=site, color_scheme=scheme, bypass_csp=True) as context:
        page = context.new_page()
        for place in (*places, "a list"):
            if place == "a list":
                page.goto("/set")
                page.locator("#list_file").set_input_files(tmp_path / "list.csv")
                page.locator("#faults tbody").wait_for()
            else:
                page.goto(place)
            answer = axe.run(page, options={"resultTypes": ["violations"], **rules}).response
            for fault in answer["violations"]:
                found.append((place, fault["id"], [node["html"] for node in fault["nodes"]][:3]))
    assert not found
