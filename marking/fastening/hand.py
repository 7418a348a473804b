"""The hand of a thread: right or left."""

from __future__ import annotations

import re
from typing import Any

from ..errors import RangeError, shown

THREADS = ("right", "left")


def read_thread(text: Any) -> str:
    """Read a thread's hand, "right" or "left", from right, R, RH, Left, left hand, left-handed thread …

    Raises RangeError for anything else.
    """
    words = re.sub(r"[\s._-]+", "", text.lower()).removesuffix("thread") if isinstance(text, str) else text
    for thread in THREADS:
        if words in (thread, thread[0], f"{thread[0]}h", f"{thread}hand", f"{thread}handed"):
            return thread
    raise RangeError(f"the thread is {shown(text)}", "right or left (RH, LH)", value=text, field="thread")
