"""A real browser that looks at the page: Chromium, driven through Playwright."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any

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


@contextmanager
def served() -> Iterator[str]:
    """Serve the page on a free port of this machine, as `turnband page` does; give its address."""
    from waitress.server import create_server

    from turnband.page import application
    from turnband.page.command import LIMITS

    sockets: dict[int, Any] = {}
    limits = LIMITS | {"channel_timeout": 5, "cleanup_interval": 1}
    server = create_server(application(printers=True), map=sockets, host="127.0.0.1", port=0, **limits)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.effective_port}"
    for one in [*sockets.values()]:
        one.close()  # a loop without sockets ends
    thread.join(10)
    server.task_dispatcher.shutdown()
