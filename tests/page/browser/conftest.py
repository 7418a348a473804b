"""A browser, a page that is served, and a window in which it may be opened."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

import pytest

from kit import browser as kit
from kit.served import served

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with kit.chromium() as browser:
        yield browser


@pytest.fixture(scope="module")
def site() -> Iterator[str]:
    with served() as address:
        yield address


@pytest.fixture
def page(chromium: Browser, site: str) -> Iterator[Page]:
    """A new browser window, in which no script may fail, nothing may be missing and no address may be foreign."""
    with chromium.new_context(base_url=site) as context:
        page = context.new_page()
        faults: list[Any] = []
        page.on("pageerror", lambda fault: faults.append(fault))  # the driver writes on it
        page.on("request", lambda asked: faults.append(asked.url) if not asked.url.startswith(site) else None)
        page.on("response", lambda answer: faults.append(answer.url) if answer.status == 404 else None)
        yield page
        assert not faults
