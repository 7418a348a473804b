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


@pytest.fixture(autouse=True)
def own_configuration(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Keep every test, and the commands it runs, away from the printer profiles of whoever runs it."""
    monkeypatch.setenv("TURNBAND_CONFIG_DIR", str(tmp_path_factory.mktemp("configuration")))
    monkeypatch.delenv("TURNBAND_PRINTER", raising=False)


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
