"""Hostile contents of printers.toml: good ones spoilt byte by byte, endless keys, deep nesting, foreign encodings."""

from __future__ import annotations

import os
import random
import tempfile
from functools import cache
from pathlib import Path
from typing import NamedTuple
from unittest import mock

from hostile.harness import Kind, reads
from marking import MarkingError
from marking.printers.profile import Profile
from marking.printers.store import CONFIG_VARIABLE, add_profile, load_profiles, profiles_path

PROFILE = """x_measured_mm = 159.4
x_nominal_mm = 160.0
y_measured_mm = 240.5
y_nominal_mm = 240
"""
NEW = Profile("new", 160.0, 160.0, 240.0, 240.0)

VALUES = (
    "159.4", "160", "nan", "-inf", "true", '"160 mm"', "1e400", "0x10", "1_6_0", "1979-05-27", "07:32:00", "[160]",
    "{ a = 1 }", "1" * 400, "'''\nx'''", "[[[[[]]]]]", "-0.0",
)  # fmt: skip
LINES = ("[office]", "[[office]]", "[office.x]", "[a.b.c.d]", "office = 3", "stock_mm = 0.11", "x.y = 1", "# note", "")
BYTES = b"[]{}=.,'\"#\\\n\r\t\0\x1b\x7f\x80\xe9\xff0159aex_-+ "


class Content(NamedTuple):
    """The bytes of a file, and whether a printer is to be added to it too."""

    raw: bytes
    adds: bool


def make(rng: random.Random) -> Content:
    """Return the content of one file."""
    draw = rng.random()
    raw = _endless(rng) if draw < 0.02 else _written(rng).encode(*_encoding(rng))
    if draw > 0.5:
        for _ in range(rng.choice((1, 1, 2, 4))):
            at = rng.randrange(len(raw) + 1)
            raw = raw[:at] + bytes(rng.choices(BYTES, k=rng.randrange(3))) + raw[at + rng.randrange(3) :]
    return Content(raw, rng.random() < 0.15)


def _written(rng: random.Random) -> str:
    names = rng.sample(("office", '"Büro 2"', "bench-3", "'../x'", '""', "a.b", '"\\u202e"', '"\\U0001F529"'), k=3)
    text = "".join(f"[{name}]\n{PROFILE}\n" for name in names[: rng.choice((0, 1, 1, 2, 3))])
    lines = text.split("\n")
    for _ in range(rng.choice((0, 0, 1, 2))):
        at = rng.randrange(len(lines))
        key = lines[at].partition("=")[0] or "x_measured_mm "
        lines[at] = rng.choice((f"{key}= {rng.choice(VALUES)}", rng.choice(LINES), lines[at - 1], ""))
    return rng.choice(("\n", "\n", "\n", "\r\n")).join(lines)


def _encoding(rng: random.Random) -> tuple[str, str]:
    return rng.choice(("utf-8",) * 12 + ("utf-8-sig", "utf-8-sig", "utf-16", "cp1252")), "replace"


def _endless(rng: random.Random) -> bytes:
    """Return what has one thing without end: a dotted key, nesting, tables, a number, a comment."""
    size = rng.choice((100, 300, 490, 5_000, 30_000, 39_000, 1_000_000))
    piece, end = rng.choice(
        (("a.", "a = 1\n"), ("[a.", "b]\n"), ("[", "]"), ("{a=", "}"), ("x = [", "\n"), ("[[a]]\n", ""), ("1", "\n"),
         ("# ", "\n"), ("[a.a.a.a.a.a.a.a.a.a.a]\n", ""), ("a" * 480 + "=1\n", ""), ('"""', ""), ("\n", ""),
         ("\ufeff", "")),
    )  # fmt: skip
    start = rng.choice(("", "[", "x = ", "[office]\nx_measured_mm = ", "[office]\n"))
    if rng.random() < 0.3:  # as many parts as one line holds, on as many lines as the file holds
        lines = (f"[b{number}." + "a." * 240 + "a]\n" + "a." * 240 + "a=1\n" for number in range(size // 1000 + 1))
        return "".join(lines).encode()
    return (start + piece * (size // len(piece)) + end).encode()


@cache
def _folder() -> tempfile.TemporaryDirectory[str]:
    return tempfile.TemporaryDirectory(prefix="hostile-")


def _read(given: Content) -> None:
    """Load the file, and add to it if asked: what was refused must stay as it was, what was read must come back."""
    with mock.patch.dict(os.environ, {CONFIG_VARIABLE: _folder().name}):
        path = profiles_path()
        assert path.parent == Path(_folder().name), "the user's own printers must be safe"
        path.write_bytes(given.raw)
        try:
            found = load_profiles()
            if given.adds:
                add_profile(NEW, replace=True)
        except MarkingError:
            assert path.read_bytes() == given.raw
            raise
        assert not given.adds or load_profiles() == {**found, NEW.name: NEW}


KINDS: tuple[Kind, ...] = (Kind("printers.toml", make, reads(_read)),)
