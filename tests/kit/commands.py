"""Commands that tests run, in this process and in others."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence

Run = Callable[..., "subprocess.CompletedProcess[str]"]
"""Runs a command in this process: the fixture `run`."""


def loaded_by(code: str) -> set[str]:
    return next(loaded_by_each("", [code]))


def loaded_by_each(first: str, codes: Sequence[str]) -> Iterator[set[str]]:
    """What a new process has loaded that runs `first` and then one of the codes; `first` runs once for all."""
    shown = (
        f"import os, sys\n{first}\nfor code in {list(codes)!r}:\n"
        "    if not os.fork():\n        exec(code)\n        print(*sorted(sys.modules), file=sys.stderr)\n"
        "        sys.exit()\n    assert os.wait()[1] == 0\n"
    )
    done = subprocess.run([sys.executable, "-c", shown], capture_output=True, encoding="utf-8", check=True)
    for _, line in zip(codes, done.stderr.splitlines(), strict=True):
        yield set(line.split())
