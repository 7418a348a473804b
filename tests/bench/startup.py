"""How long a command takes from cold start to finish, against a process that merely imports what it needs.

Run `python tests/bench/startup.py`. The commands of a pair run in turn, so that a drifting machine slows both;
what counts is the median ratio, not the seconds. Both find their modules compiled, as an
installed package's are.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time

ROUNDS = 15

JOB = ["job", "110 N·m + 90° +10/-0", "--points", "12", "--drive", "1/2", "--opening", "19 mm", "--od", "27.8 mm"]

PAIRS = [
    ("job to PDF", [*JOB, "-o", "x.pdf"], "import click, reportlab.pdfgen.canvas", 2.0),
    ("--help", ["--help"], "import click", 1.6),
]
"""Name, arguments of the command, what the other process imports, and the largest ratio that is good enough."""


def compiled(folder: str) -> dict[str, str]:
    """An environment in which modules are compiled once, and kept in a folder."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return env | {"PYTHONPYCACHEPREFIX": os.path.join(folder, "compiled")}


def seconds(command: list[str], folder: str) -> float:
    begin = time.perf_counter()
    subprocess.run(command, cwd=folder, env=compiled(folder), stdout=subprocess.DEVNULL, check=True)
    return time.perf_counter() - begin


def ratio(arguments: list[str], imports: str, folder: str) -> tuple[float, float, float]:
    """Median seconds of the command, of the bare imports, and the median of their ratios pair by pair."""
    script = os.path.join(os.path.dirname(sys.executable), "turnband")
    ours, bare = [script, *arguments], [sys.executable, "-c", imports]
    for command in (ours, bare):
        seconds(command, folder)  # compiles, and fills the caches of the disk
    pairs = [(seconds(ours, folder), seconds(bare, folder)) for _ in range(ROUNDS)]
    a, b = (statistics.median(column) for column in zip(*pairs, strict=True))
    return a, b, statistics.median(x / y for x, y in pairs)


def main() -> None:
    print(f"{'command':<12}{'seconds':>9}{'imports':>9}{'ratio':>8}{'limit':>7}")
    with tempfile.TemporaryDirectory() as folder:
        for name, arguments, imports, limit in PAIRS:
            a, b, r = ratio(arguments, imports, folder)
            print(f"{name:<12}{a:>9.3f}{b:>9.3f}{r:>8.2f}{limit:>7.1f}{'' if r <= limit else '  too slow'}")


if __name__ == "__main__":
    main()
