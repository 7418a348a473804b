"""A real browser that looks at the page: Chromium, driven through Playwright."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from playwright.sync_api import Browser

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")


def missing() -> str:
    """Say what keeps these tests from a browser; "" for nothing."""
    if find_spec("playwright") is None or find_spec("axe_playwright_python") is None:
        return 'the extra "browser" is not installed'
    return "" if CHROMIUM else "there is no Chromium"


@contextmanager
def chromium() -> Iterator[Browser]:
    """Run the machine's own Chromium."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM)
        yield browser
        browser.close()
