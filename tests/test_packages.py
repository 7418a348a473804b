"""What the packages are told to hold: data and licences as they are here, and a version that the changes tell of."""

from __future__ import annotations

import re
import tomllib
from fnmatch import fnmatch
from pathlib import Path

import font_source_sans_pro

ROOT = Path(__file__).parent.parent
BUILD = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))


def test_all_data_beside_the_code_is_in_the_wheel() -> None:
    folders = {"marking": ROOT / "marking", "turnband.page": ROOT / "cli" / "page", "turnband": ROOT / "cli"}
    packed = {
        str(path)
        for package, patterns in BUILD["tool"]["setuptools"]["package-data"].items()
        for pattern in patterns
        for path in folders[package].glob(pattern)
        if path.is_file()
    }
    there = {
        str(path)
        for top in ("marking", "cli")
        for path in (ROOT / top).rglob("*")
        if path.is_file() and path.suffix not in (".py", ".pyc")
    }
    assert packed == there


def test_all_else_that_is_kept_is_in_the_source_package() -> None:
    lines = (ROOT / "MANIFEST.in").read_text("utf-8").split()
    listed = [word for word in lines if word not in ("include", "graft", "global-exclude")]
    by_itself = ["cli", "marking", "pyproject.toml", "MANIFEST.in", "PKG-INFO", "setup.cfg"]
    of_nobody = [".git*", ".venv*", "*.egg-info", ".*_cache", "build", "dist", "__pycache__", ".hypothesis", "*.pdf"]
    for path in ROOT.iterdir():
        assert any(fnmatch(path.name, known) for known in (*listed, *by_itself, *of_nobody)), path.name


def test_the_licence_of_the_embedded_font_is_handed_on_as_the_font_brings_it() -> None:
    [pattern] = BUILD["project"]["license-files"]
    [kept] = ROOT.glob(pattern)
    own = Path(font_source_sans_pro.__file__).parent / "files" / "LICENSE.txt"
    assert kept.read_text("utf-8").split() == own.read_text("utf-8").split()
    assert "SIL OPEN FONT LICENSE" in kept.read_text("utf-8")


def test_the_newest_changes_are_those_of_this_version() -> None:
    changes = (ROOT / "CHANGELOG.md").read_text("utf-8")
    [newest, *_] = re.findall(r"^## ([0-9.]+)", changes, re.MULTILINE)
    assert newest == re.sub(r"\.0$", "", BUILD["project"]["version"])
