"""Printed through CUPS on a real printer of the network, what comes out there is what was drawn, at its size."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pypdf
import pypdfium2
import pytest

from kit import real_printer as kit
from kit.commands import Run

pytestmark = pytest.mark.skipif(bool(kit.missing()), reason=f"nothing was printed on a real printer: {kit.missing()}")

DPI = 150

JOB = ("job", "110 N·m + 90° +10/-0", "--points", "12", "--drive", "1/2", "--od", "27.8 mm")
LARGE = ("job", "600 N·m + 60° ±5 + 90° ±5", "--points", "6", "--drive", "1", "--od", "96 mm", "--witness", "fresh")


@pytest.fixture(scope="module")
def printer() -> Iterator[kit.Printer]:
    with kit.real_printer() as printer:
        yield printer


def pictures(content: bytes) -> list[np.ndarray]:
    document = pypdfium2.PdfDocument(content)
    found = [np.asarray(page.render(scale=DPI / 72, grayscale=True).to_numpy(), dtype=float) for page in document]
    document.close()
    return found


A4, LETTER = "21000 y-dimension=29700", "21590 y-dimension=27940"


@pytest.mark.parametrize(
    ("paper", "job", "size"), [("a4", JOB, A4), ("letter", JOB, LETTER), ("a4", LARGE, A4)],
    ids=["upright", "letter", "across"],
)  # fmt: skip
def test_what_the_printer_gets_is_what_was_drawn_at_its_size_on_its_paper(
    run: Run, printer: kit.Printer, tmp_path: Path, paper: str, job: tuple[str, ...], size: str
) -> None:
    name = f"{paper}-{len(job)}"
    done = run(*job, "--paper", paper, "--title", name, "--print", kit.QUEUE, "-o", "x.pdf", **printer.environment())
    assert (done.returncode, done.stderr) == (0, "")
    assert re.search(
        rf"^sent to {kit.QUEUE}: .* \(job {kit.QUEUE}-\d+\)\. Then measure both rulers\.$", done.stdout, re.M
    )
    drawn, printed = pictures((tmp_path / "x.pdf").read_bytes()), pictures(printer.received(name))
    assert len(printed) == len(drawn)
    for before, after in zip(drawn, printed, strict=True):
        if before.shape != after.shape:  # a page across is turned to the paper as it is fed
            before = np.rot90(before, -1)
        assert before.shape == after.shape
        assert np.abs(before - after).mean() < 0.5, "of 255 levels of grey"
    assert f"media-size={{x-dimension={size}}}" in printer.told()


def test_pages_ask_not_to_be_scaled_by_the_printer_either(run: Run, printer: kit.Printer) -> None:
    run(*JOB, "--title", "unscaled", "--print", kit.QUEUE, **printer.environment())
    reader = pypdf.PdfReader(io.BytesIO(printer.received("unscaled")))
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"  # type: ignore[index]


def test_a_queue_that_is_not_there_names_the_real_one(run: Run, printer: kit.Printer) -> None:
    done = run(*JOB, "--print", "elsewhere", **printer.environment())
    assert f"expected one of: {kit.QUEUE}; check --print" in done.stderr
