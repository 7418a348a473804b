"""What all tests share."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import settings

# Timings belong in benchmarks: a slow machine must not fail a test.
settings.register_profile("turnband", deadline=None)
settings.load_profile("turnband")

Run = Callable[..., "subprocess.CompletedProcess[str]"]


@pytest.fixture
def run(tmp_path: Path) -> Run:
    """Run the installed command in an empty folder, as a user does: its own process, its own streams."""

    def call(*arguments: str, **environment: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "turnband", *arguments],
            cwd=tmp_path,
            env={**os.environ, "PYTHONUTF8": "1", **environment},
            capture_output=True,
            encoding="utf-8",
            errors="surrogateescape",
            check=False,
        )

    return call
