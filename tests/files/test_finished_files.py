"""Ink in the finished files: vectors read back, a raster at 1200 dpi, and readers that must open them."""

from __future__ import annotations

import io
import math
import os
import re
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pikepdf
import pypdf
import pypdfium2
import pytest
import resvg_py
from numpy.typing import NDArray
from PIL import Image

from kit.each import each
from kit.measure import (
    MM_PER_PT,
    a_document,
    a_job,
    drawn_groups,
    groups,
    of_role,
    only,
    placed_lines,
    placed_texts,
    strokes,
    svg_root,
)
from kit.pdf_reading import lost, pdf_pages
from marking.drawing.fonts import font_path
from marking.drawing.primitives import Document
from marking.files.pdf import pdf_bytes
from marking.files.svg import svg_bytes
from marking.outputs.job.band_plan import plan_job
from marking.outputs.job.sheet import draw as job_document
from marking.quantities.angles import closed_length_mm
from marking.sheets.paper import LEFT_MM

SOCKETS = [
    ("20 N·m + 90° ±20", 6, "1/4", "12 mm", "left"),
    ("110 N·m + 90° +10/-0", 12, "1/2", "27.8 mm", "right"),
    ("800 N·m + 450° ±15", 8, "1", "80 mm", "right"),
    ("300 N·m + 60° ±10 + 120° ±10", 4, "3/4", "44.45 mm", "left"),
]

Grey = NDArray[np.float64]


def document_of(case: tuple[str, int, str, str, str], **more: str) -> Document:
    spec, points, drive, od, thread = case
    return a_document(spec, points, drive, od=od, thread=thread, **more)


def expected_x(case: tuple[str, int, str, str, str]) -> dict[str, list[float]]:
    """Where the upright strokes of the first band belong on the page, straight from the angles and π (D + t)."""
    spec, points, drive, od, thread = case
    plan = plan_job(a_job(spec, points, drive, od=od, thread=thread))
    length = math.pi * (float(od.split()[0]) + 0.1)
    sign = 1 if thread == "right" else -1

    def x(deg: float) -> float:
        return LEFT_MM + length * ((sign * (deg - plan.bands[0].seam)) % 360.0) / 360.0

    found: dict[str, list[float]] = {"start": [x(0.0)], "seam": [LEFT_MM], "closure": [LEFT_MM + length]}
    for stage in plan.job.spec.stages:
        assert stage.window is not None
        found.setdefault("stop-low", []).append(x(stage.window.low_deg))
        found.setdefault("stop-high", []).append(x(stage.window.high_deg))
    found["corner"] = [x(360.0 * k / points) for k in range(points)]
    found["mid-flat"] = [x(360.0 * (k + 0.5) / points) for k in range(points)]
    return found


def pdf_of(document: Document) -> bytes:
    return pdf_bytes(document)


@each("case", SOCKETS)
def test_marks_in_the_svg_lie_where_the_angles_say(case: tuple[str, int, str, str, str]) -> None:
    document = document_of(case)
    lines = strokes(groups(svg_root(document.pages[0], document, "band"), "band")[0])
    for role, places in expected_x(case).items():
        drawn = sorted(line.x1 for line in of_role(lines, role))
        assert drawn == pytest.approx(sorted(places), abs=0.0002), role
        assert all(line.x1 == line.x2 for line in of_role(lines, role)), "marks stand upright"


@each("case", SOCKETS)
def test_marks_in_the_pdf_lie_where_the_angles_say(case: tuple[str, int, str, str, str]) -> None:
    """Read back by pdfium: line ends within 0.005 mm; heavy marks told apart by their line width."""
    by_width: dict[float, list[float]] = {}
    for line in pdf_pages(pdf_of(document_of(case)))[0].lines:
        if line.x1 == line.x2:
            by_width.setdefault(round(line.width_mm, 3), []).append(line.x1)
    places = expected_x(case)
    for role, width in (("start", 0.35), ("stop-low", 0.35), ("stop-high", 0.35), ("corner", 0.25), ("mid-flat", 0.15)):
        for x in places[role]:
            assert min(abs(x - found) for found in by_width[width]) < 0.005, f"{role} at {x:.3f} mm"


@each("case", SOCKETS)
def test_every_line_of_the_drawing_is_in_the_pdf_and_no_other(case: tuple[str, int, str, str, str]) -> None:
    document = document_of(case)
    for page, drawn in zip(pdf_pages(pdf_of(document)), document.pages, strict=True):
        found = np.array([line[:4] for line in page.lines])
        wanted = np.array([(line.x1, line.y1, line.x2, line.y2) for line in placed_lines(drawn)])
        assert len(found) == len(wanted)
        missing = wanted[lost(wanted, found, 0.005)]
        assert not len(missing), missing[0]


@each("case", SOCKETS)
def test_page_sizes_and_check_rulers_are_true(case: tuple[str, int, str, str, str]) -> None:
    document = document_of(case, paper="letter")
    reader = pypdf.PdfReader(io.BytesIO(pdf_of(document)))
    for page, drawn in zip(reader.pages, document.pages, strict=True):
        assert float(page.mediabox.width) * MM_PER_PT == pytest.approx(drawn.width_mm, abs=0.002)
        assert float(page.mediabox.height) * MM_PER_PT == pytest.approx(drawn.height_mm, abs=0.002)
        root = svg_root(drawn, document)
        assert root.get("width") == f"{drawn.width_mm:g}mm"
        assert root.get("viewBox") == f"0 0 {drawn.width_mm:g} {drawn.height_mm:g}"
        rulers = groups(root, "check-ruler")
        assert len(rulers) == (1 if groups(root, "pieces") else 0), "rulers where something is to scale, else none"
        if not rulers:
            continue
        (ruler,) = rulers
        across = [line.x1 for line in of_role(strokes(ruler), "ruler-x") if line.x1 == line.x2]
        along = [line.y1 for line in of_role(strokes(ruler), "ruler-y") if line.y1 == line.y2]
        for ticks in (across, along):
            assert max(ticks) - min(ticks) == pytest.approx(100, abs=0.0005)
            assert len(ticks) == 101
        for line in strokes(ruler):
            if "mm" in line.data:
                assert math.hypot(line.x2 - line.x1, line.y2 - line.y1) == pytest.approx(100, abs=0.0005)


class Raster:
    """A page of a PDF at 1200 dpi, read window by window; pixel k of a row covers k..k+1 dots from the left edge."""

    def __init__(self, pdf: bytes, page: int) -> None:
        self.document = pypdfium2.PdfDocument(pdf)
        self.page = self.document[page]
        width_pt, height_pt = self.page.get_size()
        # The renderer rounds the page up to whole pixels and stretches it to them.
        self.columns, self.rows = math.ceil(width_pt * 1200 / 72), math.ceil(height_pt * 1200 / 72)
        self.dot_x, self.dot_y = width_pt * MM_PER_PT / self.columns, height_pt * MM_PER_PT / self.rows

    def window(self, x: float, y: float, width: float, height: float) -> tuple[Grey, Grey, Grey]:
        """Ink (0 .. 1) near x..x+width, y..y+height in mm from the lower left; with the mm of its columns and rows."""
        left, right = math.floor(x / self.dot_x), math.ceil((x + width) / self.dot_x)
        bottom, top = math.floor(y / self.dot_y), math.ceil((y + height) / self.dot_y)
        pixels = (left, bottom, self.columns - right, self.rows - top)
        crop = tuple((count - 0.5) * 72 / 1200 for count in pixels)  # rounded up to whole pixels by the renderer
        image = self.page.render(scale=1200 / 72, crop=crop, grayscale=True).to_numpy()
        ink = 1.0 - np.asarray(image, dtype=np.float64).squeeze() / 255.0
        assert ink.shape == (top - bottom, right - left)
        columns = (left + np.arange(ink.shape[1]) + 0.5) * self.dot_x
        rows = (top - np.arange(ink.shape[0]) - 0.5) * self.dot_y
        return ink, columns, rows


@each("case", SOCKETS)
def test_ink_at_1200_dpi_lies_within_half_a_dot(case: tuple[str, int, str, str, str]) -> None:
    """The centre of the ink across START and the window's edges, from the raster of the finished page."""
    document = document_of(case)
    page = Raster(pdf_of(document), 0)
    dot = 25.4 / 1200
    lines = list(placed_lines(document.pages[0]))
    tick = max(abs(line.y2 - line.y1) for line in lines if line.role == "corner")
    for role, places in expected_x(case).items():
        if role not in ("start", "stop-low", "stop-high"):
            continue
        for x in places:
            mark = next(line for line in lines if line.role == role and abs(line.x1 - x) < 0.001)
            # a clear stretch: above the ticks and below the hatch there is only the mark itself
            ink, columns, _ = page.window(x - 0.3, min(mark.y1, mark.y2) + tick + 0.14, 0.6, 0.18)
            profile = ink.mean(axis=0)
            centre = (columns * profile).sum() / profile.sum()
            assert abs(centre - x) < dot / 2, f"{role}: ink at {centre:.4f} mm, meant {x:.4f} mm"
            assert profile.sum() * dot == pytest.approx(0.35, abs=dot), "marks are 0.35 mm wide"


def test_arcs_of_the_ring_are_true_circles_in_the_pdf() -> None:
    """Ink at 1200 dpi along the outer edge, where no mark and no slit meets it, to half a dot."""
    document = a_document(od="40 mm", ring="full")
    page = Raster(pdf_of(document), 0)
    ring = groups(svg_root(document.pages[0], document, "part-ring"), "part-ring")[0]
    circle = next(c for c in ring.iter() if c.get("class") == "outer-edge")
    cx, cy = float(circle.get("cx", "nan")), document.pages[0].height_mm - float(circle.get("cy", "nan"))
    radius = 41 / 2 + 12
    seen = 0
    for deg in range(100, 210, 3):
        x, y = cx + radius * math.cos(math.radians(deg)), cy + radius * math.sin(math.radians(deg))
        ink, columns, rows = page.window(x - 0.2, y - 0.2, 0.4, 0.4)
        away = np.hypot(columns[None, :] - cx, rows[:, None] - cy)
        if ink.sum() > 90:  # a dash and not the space between two
            seen += 1
            assert abs((away * ink).sum() / ink.sum() - radius) < 25.4 / 1200 / 2
    assert seen > 15


@each("case", SOCKETS)
def test_everybody_opens_the_pdf(case: tuple[str, int, str, str, str]) -> None:
    pdf = pdf_of(document_of(case))
    with pikepdf.open(io.BytesIO(pdf)) as checked:
        assert checked.check_pdf_syntax() == []
        assert checked.Root.ViewerPreferences.PrintScaling == "/None"
    first = pypdf.PdfReader(io.BytesIO(pdf), strict=True)
    second = pypdfium2.PdfDocument(pdf)
    assert len(first.pages) == len(second)
    text = second[0].get_textpage().get_text_bounded()
    assert "START" in text
    assert "START" in first.pages[0].extract_text()


def test_the_pdf_says_what_it_is_and_nothing_of_when_or_who() -> None:
    pdf = pdf_of(a_document(title="Bogie 7"))
    with pikepdf.open(io.BytesIO(pdf)) as document:
        info = document.docinfo
        assert str(info["/Title"]) == "Bogie 7"
        assert "110 N·m, then 90° +10/−0" in str(info["/Subject"])
        assert str(info["/Producer"]) == "turnband"
        assert "2000" in str(info["/CreationDate"]), "a fixed date, the same in every file"


def resvg_picture(svg: str, left: int, top: int, width: int, height: int, per_mm: int = 20) -> tuple[Grey, int]:
    """Ink (0 .. 1) of a part of a page, in mm from its upper left, as resvg draws it; and its pixels to a mm."""
    part = {"width": f"{width}mm", "height": f"{height}mm", "viewBox": f"{left} {top} {width} {height}"}
    for name, value in part.items():
        svg = re.sub(rf' {name}="[^"]*"', f' {name}="{value}"', svg, count=1)
    png = resvg_py.svg_to_bytes(
        svg_string=svg,
        dpi=per_mm * 25.4,
        font_files=[str(font_path("regular")), str(font_path("semibold"))],
        skip_system_fonts=True,
        background="white",
    )
    picture = 1 - np.asarray(Image.open(io.BytesIO(bytes(png))).convert("L"), dtype=np.float64) / 255
    assert picture.shape == (per_mm * height, per_mm * width)
    return picture, per_mm


@pytest.mark.parametrize("case", SOCKETS)
def test_a_second_renderer_draws_the_svg(case: tuple[str, int, str, str, str]) -> None:
    """START's ink in the picture that resvg makes of the SVG, at its place."""
    document = document_of(case)
    page = document.pages[0]
    svg = svg_bytes(page, document).decode()
    start = only(strokes(groups(ElementTree.fromstring(svg), "band")[0]), "start")
    x, y = expected_x(case)["start"][0], -max(start.y1, start.y2)
    assert start.x1 == pytest.approx(x, abs=0.0002)
    left = math.floor(x) - 10
    picture, scale = resvg_picture(svg, left, 0, 20, 80)
    x -= left
    row = -round(min(start.y1, start.y2) * scale) - round(2.95 * scale)
    near = slice(round((x - 0.3) * scale), round((x + 0.3) * scale))
    ink = picture[row, near]
    centre = (near.start + 0.5 + (np.arange(ink.size) * ink).sum() / ink.sum()) / scale
    assert abs(centre - x) < 0.5 / scale + 0.005, y
    assert picture.mean() > 0.002, "there is text and ink on the page"


@each("thread", ["right", "left"])
def test_a_second_renderer_draws_the_sectors_edges_round_the_ring_s_centre(thread: str) -> None:
    """Both edges of a sector, in resvg's picture: ink where the arcs belong, none where they would bulge inwards."""
    document = a_document("110 N·m + 120° ±10", ring="sector", thread=thread, od="40 mm")
    page = next(page for page in document.pages if b"part-ring" in svg_bytes(page, document))
    svg = svg_bytes(page, document).decode()
    lines = strokes(groups(ElementTree.fromstring(svg), "part-ring")[0])
    zero, stop = only(lines, "zero"), only(lines, "ends-low")
    centre_x = zero.x1  # zero points up from the centre
    slope = (stop.y2 - stop.y1) / (stop.x2 - stop.x1)
    centre_y = stop.y1 + slope * (centre_x - stop.x1)
    sign = -1 if thread == "right" else 1
    left, top = math.floor(centre_x) - 40, math.floor(-centre_y) - 40
    picture, scale = resvg_picture(svg, left, top, 80, 80, per_mm=10)

    def ink(radius: float, deg: float) -> float:
        """Share of inked pixels within 0.1 mm of the arc, on 8° from `deg` of tightening on."""
        found = []
        for k in range(80):
            a = math.radians(90 + sign * (deg + k / 10))
            x, y = centre_x + radius * math.cos(a), centre_y + radius * math.sin(a)
            row, column = round((-y - top) * scale), round((x - left) * scale)
            found.append(bool(picture[row - 1 : row + 2, column - 1 : column + 2].max() > 0.5))
        return sum(found) / len(found)

    for radius in (20.5, 32.5):
        assert all(ink(radius, deg) > 0.4 for deg in (20, 60, 90, 140)), radius
    assert ink(32.5 + 1.5, 60) == 0
    assert ink(20.5 - 1.5, 60) == 0


def test_text_widths_are_pinned_in_the_svg() -> None:
    document = a_document()
    root = svg_root(document.pages[0], document)
    texts = [t for t in root.iter("{http://www.w3.org/2000/svg}text") if t.text and len(t.text) > 1]
    assert texts
    for text in texts:
        assert float(text.get("textLength", "nan")) > 0
        assert text.get("lengthAdjust") == "spacingAndGlyphs"


def test_the_pdf_and_the_svg_hold_the_same_words() -> None:
    document = a_document()
    for page, drawn in zip(pdf_pages(pdf_of(document)), document.pages, strict=True):
        root = svg_root(drawn, document)
        in_svg = "".join(t.text or "" for t in root.iter("{http://www.w3.org/2000/svg}text"))
        assert sorted("".join(page.text.split())) == sorted(in_svg.replace(" ", ""))


def test_only_black_and_greys_are_used() -> None:
    document = a_document("60 N·m + 450° ±20")
    for page in document.pages:
        for element in svg_root(page, document).iter():
            for name in ("fill", "stroke"):
                colour = element.get(name, "none")
                if colour != "none":
                    assert colour[1:3] == colour[3:5] == colour[5:7]


def test_no_text_is_smaller_than_5_points() -> None:
    for od in ("12 mm", "28 mm", "96 mm"):
        for page in a_document("20 N·m + 90° ±20", 12, "1/4", od=od).pages:
            assert min(text.size_pt for text in placed_texts(page)) >= 5.0


RENDER = """
import hashlib, sys
sys.path.insert(0, {tests!r})
from kit.measure import a_document
from marking.files.pdf import pdf_bytes
from marking.files.svg import svg_bytes
d = a_document(title="Ünïcode Ω Ж")
print(hashlib.sha256(pdf_bytes(d) + b"".join(svg_bytes(p, d) for p in d.pages)).hexdigest())
"""


def test_files_are_byte_identical_from_run_to_run_whatever_the_environment() -> None:
    """In fresh interpreters whose hashes are seeded differently, some told of a date, one of a date that is none."""
    code = RENDER.format(tests=str(Path(__file__).parents[1]))
    runs = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed, **more},
            capture_output=True,
            check=True,
        ).stdout
        for seed, more in (("0", {}), ("1", {"SOURCE_DATE_EPOCH": "86400"}), ("4711", {"SOURCE_DATE_EPOCH": "today"}))
    }
    assert len(runs) == 1


def test_a_long_band_is_cut_into_pieces_that_add_up() -> None:
    """OD 120 mm: 377 mm do not fit A4's long side. Pieces butt at the splices; their widths make up the length."""
    document = a_document("800 N·m + 90° ±10", 6, "1", od="120 mm", copies=1)
    pieces = drawn_groups(document, "band-piece")
    assert [p.get("data-piece") for p in pieces] == [str(k) for k in range(1, len(pieces) + 1)]
    assert len(pieces) > 1
    total, starts = 0.0, 0
    for number, piece in enumerate(pieces):
        lines = strokes(piece)
        left = only(lines, "splice-edge" if number else "seam").x1
        right = only(lines, "closure" if number == len(pieces) - 1 else "splice").x1
        total += right - left
        starts += len(of_role(lines, "start"))
        for mark in of_role(lines, "start", "stop-low", "stop-high"):
            assert left + 8 <= mark.x1 <= right - 8, "splices stay clear of the marks"
    assert starts == 1
    assert total == pytest.approx(closed_length_mm(120, 0.1), abs=0.001)


def test_a_longish_band_turns_the_page_to_landscape() -> None:
    document = a_document("800 N·m + 90° ±10", 6, "1", od="70 mm")
    assert document.pages[0].width_mm > document.pages[0].height_mm
    assert document.pages[-1].width_mm < document.pages[-1].height_mm


def test_stages_are_told_apart_in_the_svg() -> None:
    document = a_document("300 N·m + 60° ±10 + 120° ±10", 6, "1/2", od="50 mm")
    lines = strokes(groups(svg_root(document.pages[0], document, "band"), "band")[0])
    assert [line.data["stage"] for line in of_role(lines, "stop-low")] == ["1", "2"]


def test_job_document_draws_as_many_copies_and_pointers_as_asked() -> None:
    document = job_document(plan_job(a_job(copies=3, fasteners=7)))
    roots = [svg_root(page, document) for page in document.pages]
    assert sum(len(groups(root, "band")) for root in roots) == 3
    pointers = [p for root in roots for p in groups(root, "witness-pointer")]
    assert [p.get("data-number") for p in pointers] == [str(k) for k in range(1, 8)]
    for pointer in pointers:
        only(strokes(pointer), "witness")
