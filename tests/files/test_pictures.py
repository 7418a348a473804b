"""Pictures of pages: their size to the dot, lines where they belong, and black and white alone for label printers."""

from __future__ import annotations

import io
import struct
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from kit.commands import Run
from kit.each import each
from marking import save
from marking.drawing.primitives import Document, Drawing, Group, Line, Page, Placed
from marking.drawing.strokes import STROKES
from marking.errors import OutputError
from marking.files import formats
from marking.files.picture import png_bytes

SIZES = [(210.0, 297.0, 96), (215.9, 279.4, 72), (97.7, 24.0, 180), (14.0, 24.0, 600), (62.03, 29.04, 203)]
ROLES = ("start", "corner", "hatch", "row", "od-circle-fine")
"""Strong and fine lines, black and grey."""


def ruled(width: float, height: float, role: str) -> Page:
    """A page with a line across and a line along it at a tenth, near the middle and just short of its far ends."""
    shares = (0.1, 0.503, 0.987)
    lines = (
        *(Line(width * share, 0.0, width * share, height * 0.05, role) for share in shares),
        *(Line(0.0, height * share, width * 0.05, height * share, role) for share in shares),
    )
    return Page(width, height, (Placed(Drawing(width, height, Group("ruled", lines)), 0.0, 0.0),))


def ink_of(png: bytes) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    return 1 - np.asarray(Image.open(io.BytesIO(png)).convert("L"), float) / 255


@each(("width", "height", "dpi"), SIZES)
def test_a_picture_is_as_many_dots_as_the_page_and_says_how_many_an_inch(width: float, height: float, dpi: int) -> None:
    png = png_bytes(Page(width, height, ()), Document(()), dpi, True)
    begin = png.index(b"IHDR") + 4
    across, down = struct.unpack(">II", png[begin : begin + 8])
    assert abs(across - width * dpi / 25.4) <= 0.5
    assert abs(down - height * dpi / 25.4) <= 0.5
    begin = png.index(b"pHYs") + 4
    assert struct.unpack(">IIB", png[begin : begin + 9]) == (round(dpi / 0.0254), round(dpi / 0.0254), 1)


@each("one_bit", [True, False])
@each(("width", "height", "dpi"), SIZES)
def test_lines_lie_within_half_a_dot_of_their_places(width: float, height: float, dpi: int, one_bit: bool) -> None:
    for role in ROLES:
        ink = ink_of(png_bytes(ruled(width, height, role), Document(()), dpi, one_bit))
        for share in (0.1, 0.503, 0.987):
            across, down = width * share * dpi / 25.4, height * (1 - share) * dpi / 25.4
            reach = STROKES[role].width_mm * dpi / 25.4 / 2 + 2
            row, column = ink[-2], ink[:, 1]
            for line, at in ((row, across), (column, down)):
                near = slice(max(0, int(at - reach)), int(at + reach) + 1)
                dots = np.arange(len(line))[near] + 0.5
                assert line[near].sum() >= 0.3, "it is there"
                assert abs(np.average(dots, weights=line[near]) - at) <= 0.5, (role, share)


def test_one_bit_pictures_have_no_greys_and_no_pattern() -> None:
    page = ruled(60.0, 24.0, "row")
    drawn = Image.open(io.BytesIO(png_bytes(page, Document(()), 180, True)))
    assert drawn.mode == "1"
    across = np.asarray(drawn)[-2]
    assert np.count_nonzero(np.diff(across.astype(int))) == 6, "three lines, each black from edge to edge"
    assert Image.open(io.BytesIO(png_bytes(page, Document(()), 180))).mode == "L"


def test_pages_go_to_files_of_their_own(run: Run, tmp_path: Path) -> None:
    job = ("job", "90° ±5", "--points", "6", "--drive", "1/2", "--od", "30 mm", "--with", "disc")
    done = run(*job, "--dpi", "72", "--one-bit", "-o", "x.png")
    assert done.stdout.startswith("wrote x-1.png, x-2.png: 2 pages, A4. Print at 100 %"), done.stderr
    for name in ("x-1.png", "x-2.png"):
        with Image.open(tmp_path / name) as found:
            assert (found.size, found.mode) == ((595, 842), "1")


def test_a_picture_is_the_same_from_run_to_run() -> None:
    page = ruled(60.0, 24.0, "start")
    assert png_bytes(page, Document(()), 300) == png_bytes(page, Document(()), 300)


def test_a_picture_of_too_many_dots_is_refused() -> None:
    with pytest.raises(OutputError, match=r"has 1,233,[0-9,]* dots .* at most 150,000,000; choose a smaller"):
        png_bytes(Page(594.0, 930.0, ()), Document(()), 1200)


def test_what_a_picture_needs_is_said_with_its_install_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(formats, "is_there", lambda module: module != "pypdfium2")
    with pytest.raises(OutputError, match=r'a \.png file needs pypdfium2; run pip install "pypdfium2>=4\.30"'):
        save(Document((ruled(60.0, 24.0, "start"),)), str(tmp_path / "x.png"))
    assert not list(tmp_path.iterdir())
