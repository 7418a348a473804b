"""Sheets that are ready to print are there, on both papers, and are what their commands draw today."""

from __future__ import annotations

from pathlib import Path

import pikepdf
import pytest

from kit.commands import Run
from kit.each import each
from tools.redraw import READY, commands

README = (READY / "README.md").read_text("utf-8")
DRAWN = {one[one.index("-o") + 1]: one for one in commands(README)}
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}

ONE_OF_EACH = [
    "blank-3-8in-6pt-LEFT-letter.pdf", "mat-90deg-1-2in-a4.pdf", "tape-in-letter.pdf", "proof-a4.pdf", "chart-a4.pdf",
    "record-90deg-4-letter.pdf",
]  # fmt: skip
"""Drawn anew here; the others differ from these in their values alone."""


def pages(path: Path) -> list[bytes]:
    with pikepdf.open(path) as document:
        for page in document.pages:
            page.contents_coalesce()
        return [page.Contents.read_bytes() for page in document.pages]


def test_every_sheet_is_there_and_none_is_left_over() -> None:
    assert sorted(DRAWN) == sorted(path.name for path in READY.glob("*.pdf"))
    kinds = {name.rsplit("-", 1)[0] for name in DRAWN}
    assert {f"{kind}-{paper}.pdf" for kind in kinds for paper in PAPERS} == set(DRAWN), "each on both papers"
    assert {name.split("-")[0] for name in DRAWN} == {name.split("-")[0] for name in ONE_OF_EACH}
    assert sum(path.stat().st_size for path in READY.iterdir()) < 3_000_000


@pytest.mark.parametrize("name", ONE_OF_EACH)
def test_sheets_are_what_their_commands_draw_today(run: Run, tmp_path: Path, name: str) -> None:
    done = run(*DRAWN[name])
    assert done.returncode == 0, done.stderr
    assert pages(tmp_path / name) == pages(READY / name)


@each("name", sorted(DRAWN))
def test_sheets_say_how_they_are_printed_again_and_lie_on_their_paper(name: str) -> None:
    command = " ".join(DRAWN[name])
    assert ("--thread left" in command) is ("LEFT" in name)
    assert ("--paper letter" in command) is ("letter" in name)
    with pikepdf.open(READY / name) as document:
        sizes = [tuple(float(side) * 25.4 / 72 for side in list(page.MediaBox)[2:]) for page in document.pages]
        assert document.Root.ViewerPreferences.PrintScaling == "/None"
    paper = PAPERS[name.rsplit("-", 1)[1].removesuffix(".pdf")]
    assert all(sorted(size) == pytest.approx(sorted(paper), abs=0.01) for size in sizes)


def test_the_readme_tells_how_to_print_and_of_which_thread() -> None:
    for said in ("Print at 100 %", "100 mm ± 0.5 mm", "left-hand", "impact wrench", "manufacturer's manual decides"):
        assert said in README
