"""A folder for printer profiles."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The user's configuration folder, not made yet, for this process and those that it starts."""
    monkeypatch.setenv("TURNBAND_CONFIG_DIR", str(tmp_path / "config"))
    return tmp_path / "config"
