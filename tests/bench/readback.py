"""Reads a large set back from its finished file: every letter of every piece, and of some pages all ink.

Run `PYTHONPATH=tests python -m bench.readback [rows] [processes]` (20000 rows and 2 processes by default). Every other
row is wanted twice, and no name is plain ASCII. Far too slow for a test: tests/files/test_ink.py reads small sets back
whole. With `--register` it reads the index of 300 sockets with ten turns each, and at each of its places the piece.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from functools import cache, partial
from pathlib import Path

import pypdfium2

from bench.sets import different, own_peak_mb
from kit.found import check_found, register
from kit.ink import page_faults, placed_items, unread
from marking.drawing.primitives import Document
from marking.files.pdf import write_pdf
from marking.outputs.sets.pages import set_document
from marking.outputs.sets.plan import SetPlan, plan_set
from marking.outputs.sets.request import SetOptions
from marking.sheets.paper import SIZES, Paper

SEEN_EVERY = 50
"""Of so many pages one is compared as a picture too."""


@cache
def plan(rows: int) -> SetPlan:
    items = [replace(item, id=f"Ж {item.id} (µ)", copies=1 + k % 2) for k, item in enumerate(different(rows))]
    return plan_set(items, SetOptions(Paper(*SIZES["a4"])))


@cache
def finished(path: str, rows: int) -> tuple[pypdfium2.PdfDocument, Document]:
    return pypdfium2.PdfDocument(path), set_document(plan(rows))


def faults(path: str, rows: int, number: int) -> list[str]:
    """What of a page's drawings, counted from 0, is not in the file."""
    file, document = finished(path, rows)
    page, drawn = file[number], document.pages[number]
    found = page_faults(page, drawn) if number % SEEN_EVERY == 0 else unread(list(placed_items(drawn)), page)
    page.close()
    return [f"page {number + 1}: {fault}" for fault in found]


def read(path: str, rows: int, pages: int, processes: int) -> Iterator[str]:
    with ProcessPoolExecutor(processes) as pool:
        for found in pool.map(partial(faults, path, rows), range(pages), chunksize=20):
            yield from found


def main(rows: int, processes: int) -> None:
    begin = time.perf_counter()
    document = set_document(plan(rows), processes)
    pages = len(document.pages)
    with tempfile.NamedTemporaryFile(suffix=".pdf") as file:
        write_pdf(document, file)
        file.flush()
        size = file.tell() / 1e6
        pieces = len(plan(rows).spots)
        print(f"{rows} rows, {pieces} pieces on {pages} pages, {size:.1f} MB, written in", end=" ")
        print(f"{time.perf_counter() - begin:.0f} s, at most {own_peak_mb():.0f} MB of memory", flush=True)
        begin = time.perf_counter()
        found = list(read(file.name, rows, pages, processes))
    seconds, seen = time.perf_counter() - begin, -(-pages // SEEN_EVERY)
    print(f"read back in {seconds:.0f} s, {seen} pages as pictures too: {len(found)} faults", *found[:5], sep="\n")
    sys.exit(bool(found))


if sys.argv[1:] == ["--register"]:
    with tempfile.TemporaryDirectory() as folder:
        check_found(register(Path(folder) / "sockets.csv", 300))
    print("300 sockets, 10 turns each: every piece is where the finished index says, and says what it is")
elif __name__ == "__main__":
    given = [int(text) for text in sys.argv[1:]]
    main(*(given + [20_000, 2][len(given) :]))
