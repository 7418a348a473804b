"""Ends runs at random moments by signals, and looks at what they leave.

`python tests/hostile/signals.py --kills 200` takes some minutes. After each end every old file is there, or the new one
whole; no process and no temporary folder is left. SIGKILL may leave the folder; then the next run removes it.
"""

from __future__ import annotations

import argparse
import collections
import contextlib
import os
import random
import re
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

SPEC = "110 N·m + 90° +10/-0"
SOCKET = ("--points", "12", "--drive", "1/2", "--od", "27.8 mm")

KINDS: dict[str, tuple[str, ...]] = {
    "job pdf": ("job", SPEC, *SOCKET, "-o", "o.pdf"),
    "job svg": ("job", SPEC, *SOCKET, "-o", "o.svg"),
    "set pdf": ("set", "list.csv", "-o", "o.pdf"),
    "set in two processes": ("set", "list.csv", "--jobs", "2", "-o", "o.pdf"),
    "set svg": ("set", "list.csv", "-o", "o.svg"),
    "set split": ("set", "list.csv", "--split-by", "id", "-o", "o.pdf"),
    "lesson": ("lesson", SPEC, "-o", "o.pdf"),
}
"""Arguments of each kind of run."""

ROWS = 250
SPLIT_ROWS = 24
"""Rows of list.csv: enough pages that two processes share them; as many files as a split makes."""
SIGNALS = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP, signal.SIGKILL)
ORPHAN_S = 5.0
SELDOM = 0.1
"""How often a process is ended only after it should have finished by itself."""


class Kill(NamedTuple):
    """How a run ended: its kind, the signal, the exit code, what it said, and how many files are new."""

    kind: str
    signal: signal.Signals
    code: int
    said: str
    new: int
    files: int
    left: int


class Reference(NamedTuple):
    """What a kind of run writes, by name, and how long it takes."""

    contents: dict[str, bytes]
    seconds: float


def command(kind: str) -> list[str]:
    return [sys.executable, "-m", "turnband", *KINDS[kind]]


def prepare(folder: Path, kind: str) -> None:
    rows = SPLIT_ROWS if kind == "set split" else ROWS
    lines = [f"B{k},60 N·m + {30 + k % 60}° ±5,12,1/2,{24 + k % 40} mm" for k in range(rows)]
    (folder / "list.csv").write_text("\n".join(["id,spec,points,drive,od", *lines]), "utf-8")


def written(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.glob("o*.*")}


def reference(kind: str) -> Reference:
    """What a run of this kind writes when nobody ends it."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        prepare(folder, kind)
        begin = time.perf_counter()
        subprocess.run(command(kind), cwd=folder, check=True, capture_output=True)
        return Reference(written(folder), time.perf_counter() - begin)


def family(group: int) -> list[int]:
    """The living processes of a process group."""
    found = []
    for number in filter(str.isdigit, os.listdir("/proc")):
        with contextlib.suppress(OSError), open(f"/proc/{number}/stat", "rb") as stat:
            state, _, pgrp = stat.read().rpartition(b")")[2].split(None, 3)[:3]
            if int(pgrp) == group and state != b"Z":
                found.append(int(number))
    return found


def ended(kind: str, number: signal.Signals, after_s: float, known: Reference, group: bool = False) -> Kill:
    """End a run after a while, and check what is left. Raises AssertionError for anything broken, lost or orphaned."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        prepare(folder, kind)
        for file in known.contents:
            (folder / file).write_bytes(b"old " + file.encode())
        run = subprocess.Popen(
            command(kind), cwd=folder, start_new_session=True, stdout=subprocess.PIPE, stderr=subprocess.PIPE
        )
        time.sleep(after_s)
        (os.killpg if group else os.kill)(run.pid, number)
        code = run.wait(timeout=60)
        _check_orphans(run.pid)
        said = run.communicate()[1].decode("utf-8")
        left, new = _check_files(folder, known)
        context = (
            f"{kind}, {number.name} after {after_s:.3f} s: code {code}, {said!r}, {new} of {len(known.contents)} new"
        )
        assert "Traceback" not in said or _starting(said), context
        if number != signal.SIGKILL:
            assert not left, f"left {left}; {context}"
            assert new in (0, len(known.contents)), context
            assert code in ((0, 128 + number) if "Aborted!" in said else (0, 1, -number, 128 + number)), context
        elif left:
            _check_next_run(folder, new, known, context)
        return Kill(kind, number, code, said, new, len(known.contents), len(left))


def _starting(said: str) -> bool:
    """Whether a traceback comes from before the program's own first line: there Python ends in its own way."""
    return "__main__.py" not in said.replace("runpy", "")


def _check_orphans(group: int) -> None:
    until = time.monotonic() + ORPHAN_S
    while family(group):
        assert time.monotonic() < until, f"still alive: {family(group)}"
        time.sleep(0.02)


def _check_files(folder: Path, known: Reference) -> tuple[list[str], int]:
    """The temporaries that are left, and how many files are new. Every file is whole."""
    found = written(folder)
    assert found.keys() == known.contents.keys()
    for file, content in found.items():
        assert content in (b"old " + file.encode(), known.contents[file]), f"{file} is neither old nor new"
    left = [path.name for path in folder.iterdir() if path.name.startswith(".")]
    return left, sum(content == known.contents[file] for file, content in found.items())


def _check_next_run(folder: Path, new: int, known: Reference, context: str) -> None:
    """The next run, even of something else, says which files were not replaced, and removes what was left."""
    done = subprocess.run(
        [sys.executable, "-m", "turnband", "tape", "-o", "next.svg"], cwd=folder, capture_output=True, check=True
    )
    said = done.stderr.decode("utf-8")
    assert not [path.name for path in folder.iterdir() if path.name.startswith(".")], context
    if 0 < new < len(known.contents):
        assert "was killed while it replaced its files" in said, context


def kills(count: int, seed: int, kinds: Sequence[str] = tuple(KINDS)) -> list[Kill]:
    """End `count` runs at random moments; each kind and each signal comes in turn."""
    rng = random.Random(seed)
    known = {kind: reference(kind) for kind in kinds}
    done = []
    for number in range(count):
        kind, sent = kinds[number % len(kinds)], SIGNALS[number // len(kinds) % len(SIGNALS)]
        seconds = known[kind].seconds
        after = seconds * (rng.uniform(0.9, 1.1) if rng.random() < SELDOM else rng.random())
        with contextlib.suppress(ProcessLookupError):  # it was done before
            done.append(ended(kind, sent, after, known[kind], group=rng.random() < 0.5))
    return done


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    done = kills(asked.kills, asked.seed)
    print(f"{'signal':<9}{'runs':>6}{'all old':>9}{'all new':>9}{'mixed':>7}{'left':>6}  codes")
    for number in SIGNALS:
        own = [kill for kill in done if kill.signal == number]
        old, new = sum(kill.new == 0 for kill in own), sum(kill.new == kill.files for kill in own)
        codes = collections.Counter(kill.code for kill in own)
        left = sum(kill.left for kill in own)
        print(f"{number.name:<9}{len(own):>6}{old:>9}{new:>9}{len(own) - old - new:>7}{left:>6}  {dict(codes)}")
    for said in collections.Counter(re.sub(r"\d+", "0", kill.said) for kill in done).most_common(12):
        print(said)


if __name__ == "__main__":
    main()
