"""Commands that tests run, in this process and in others."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable

Run = Callable[..., "subprocess.CompletedProcess[str]"]
"""Runs a command in this process: the fixture `run`."""


def loaded_by(code: str) -> set[str]:
    shown = f"import sys\n{code}\nprint(*sorted(sys.modules), file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", shown], capture_output=True, encoding="utf-8", check=True)
    return set(done.stderr.split())
