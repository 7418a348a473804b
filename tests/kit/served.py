"""The page on a server of its own, in this process."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any


@contextmanager
def served() -> Iterator[str]:
    """Serve the page on a free port of this machine, as `turnband page` does; give its address."""
    from turnband.page import application
    from turnband.page.server import listen

    sockets: dict[int, Any] = {}
    server = listen(application(printers=True), "127.0.0.1", 0, sockets)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.effective_port}"
    server.trigger.pull_trigger(lambda: [one.close() for one in [*sockets.values()]])  # a loop without sockets ends
    thread.join(10)
    server.task_dispatcher.shutdown()
