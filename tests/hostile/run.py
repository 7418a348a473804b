"""The long run: `PYTHONPATH=tests python -m hostile.run --inputs 100000 --seed 1` feeds hostile inputs and prints what
came of it.

It fails when anything but the library's own refusals comes back, when one input takes over two seconds, and when a kind
takes more than 500 MB.
"""

from __future__ import annotations

import argparse
import multiprocessing
import os
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor

from hostile import jobs, lists, page, texts, toml, workbooks
from hostile.harness import Figures, Kind, run

KINDS: tuple[Kind, ...] = (*texts.KINDS, *toml.KINDS, *jobs.KINDS, *lists.KINDS, *workbooks.KINDS, *page.KINDS)
"""All kinds; a new module of kinds belongs here."""

WEIGHTS = {
    "spec": 10,
    "printers.toml": 4,
    "job, band": 3,
    "job, trim bands": 0.5,
    "job, lesson": 0.5,
    "workbook bombs": 0.02,
    "requests to the page": 6,
    "bytes to the page's server": 0.2,
}
"""Share of a kind in all inputs, where it is not 1: where there is more to go wrong, and where an input takes long."""

MAX_S, MAX_MB = 2.0, 500.0
BOMB_S = 10.0
"""What a workbook may take that is as heavy as its limits allow."""


def one(name: str, count: int, seed: int) -> Figures:
    """Run one kind, by its name, away from the printers of whoever runs it."""
    with tempfile.TemporaryDirectory(prefix="hostile-") as folder:
        os.environ["TURNBAND_CONFIG_DIR"] = folder
        return run(next(kind for kind in KINDS if kind.name == name), count, seed)


def shares(inputs: int, kinds: tuple[Kind, ...]) -> dict[str, int]:
    """Return how many inputs each kind gets."""
    weights = {kind.name: WEIGHTS.get(kind.name, 1) for kind in kinds}
    return {name: max(1, round(inputs * weight / sum(weights.values()))) for name, weight in weights.items()}


def table(found: list[Figures]) -> str:
    """Return the figures as a Markdown table, with the sums in its last row."""
    lines = ["| kind | inputs | accepted | refused | slowest | its input | peak |", "|---|---|---|---|---|---|---|"]
    for one in found:
        shown = one.slowest.replace("|", "\\|").replace("`", "'")
        lines.append(
            f"| {one.name} | {one.inputs:,} | {one.accepted:,} | {one.refused:,} | {one.slowest_s:.2f} s | "
            f"`{shown}` | {one.peak_mb:.0f} MB |"
        )
    counts = (f"{sum(column):,}" for column in zip(*(one[1:4] for one in found), strict=True))
    slowest_s, peak_mb = (max(column) for column in zip(*((one.slowest_s, one.peak_mb) for one in found), strict=True))
    return "\n".join([*lines, f"| all | {' | '.join(counts)} | {slowest_s:.2f} s | | {peak_mb:.0f} MB |"])


def main() -> int:
    """Run all kinds, or those named, each in a process of its own."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--inputs", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--kind", action="append", help="only this kind; may be given again")
    given = parser.parse_args()
    kinds = tuple(kind for kind in KINDS if not given.kind or kind.name in given.kind)
    spawn = multiprocessing.get_context("spawn")
    found, faults = [], []
    with ProcessPoolExecutor(mp_context=spawn, max_tasks_per_child=1) as pool:
        runs = {name: pool.submit(one, name, count, given.seed) for name, count in shares(given.inputs, kinds).items()}
        for name, future in runs.items():
            try:
                found.append(future.result())
            except Exception as error:
                faults.append(f"{name}: {error}")
    faults += [
        f"{one.name}: {one.slowest_s:.1f} s for {one.slowest}"
        for one in found
        if one.slowest_s > (BOMB_S if "bombs" in one.name else MAX_S)
    ]
    faults += [f"{one.name}: {one.peak_mb:.0f} MB" for one in found if one.peak_mb > MAX_MB]
    print(table(found) if found else "")
    for fault in faults:
        print(f"FAULT {fault}", file=sys.stderr)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
