"""The proof page: its lengths are what it states, in the finished files, and its words say what to do with them."""

from __future__ import annotations

import json
import math
import re
import shlex
from pathlib import Path
from xml.etree import ElementTree

import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.collisions import check
from kit.commands import Run
from kit.each import each
from kit.examples import examples
from kit.measure import SVG, assert_in_words, groups, of_role, only, strokes, svg_root
from kit.pdf_reading import pdf_pages
from marking import OUTPUTS
from marking.drawing.primitives import Document
from marking.errors import LayoutError
from marking.files.pdf import pdf_bytes
from marking.outputs.proof.sheet import ProofRequest, draw, plan, read
from marking.sheets.paper import Paper, parse_paper

LENGTHS = {
    "a4": (160, 240), "letter": (160, 240), "297x210": (160, 240), "11x8.5in": (160, 240), "a5": (120, 160),
    "a3": (260, 380), "legal": (180, 300), "200x240": (160, 200), "140x140": (100, 100),
}  # fmt: skip
"""Across and along on each paper, worked out by hand: the largest multiples of 20 mm within the margins."""


def sheet(paper: str) -> Paper:
    size = parse_paper(paper)
    assert isinstance(size, Paper)
    return size


def document_on(paper: str) -> Document:
    return draw(plan(ProofRequest(sheet(paper))))


def texts(root: ElementTree.Element, role: str = "text") -> list[str]:
    return [text.text or "" for text in root.iter(f"{SVG}text") if text.get("class") == role]


def stated_lengths(root: ElementTree.Element) -> tuple[float, float, float]:
    """What the labels along the lines say."""
    words = " | ".join(texts(root))
    patterns = ("A to B: ([0-9.]+) mm across", "B to C: ([0-9.]+) mm along", "A to C: ([0-9.]+) mm, a check")
    found = [re.search(pattern, words) for pattern in patterns]
    across, along, diagonal = (float(match[1]) for match in found if match)
    return across, along, diagonal


@each("paper", LENGTHS)
def test_the_lengths_are_as_large_as_the_paper_allows(paper: str) -> None:
    assert plan(ProofRequest(sheet(paper)))[1:3] == LENGTHS[paper]


@each("paper", LENGTHS)
def test_crosses_in_the_svg_lie_the_stated_lengths_apart(paper: str) -> None:
    document = document_on(paper)
    (proof,) = groups(svg_root(document.pages[0], document), "proof")
    lines = strokes(proof)
    centres = {}
    for name in "ABC":
        cross = [line for line in of_role(lines, "proof-cross") if line.data["name"] == name]
        flat, upright = sorted(cross, key=lambda line: abs(line.y1 - line.y2))
        assert flat.y1 == flat.y2
        assert upright.x1 == upright.x2
        centres[name] = (upright.x1, flat.y1)
    a, b, c = centres["A"], centres["B"], centres["C"]
    across, along, diagonal = stated_lengths(proof)
    assert (across, along) == LENGTHS[paper]
    assert (b[0] - a[0], b[1] - a[1]) == pytest.approx((across, 0), abs=0.0003)
    assert (c[0] - b[0], c[1] - b[1]) == pytest.approx((0, along), abs=0.0003)
    assert math.dist(a, c) == pytest.approx(diagonal, abs=0.005)
    assert math.dist(a, c) == pytest.approx(math.hypot(across, along), abs=0.0003)
    for role, ends in (("proof-x", (*a, *b)), ("proof-y", (*b, *c)), ("proof-diagonal", (*a, *c))):
        line = only(lines, role)
        assert (line.x1, line.y1, line.x2, line.y2) == ends
        assert float(line.data["mm"]) == pytest.approx(math.dist(ends[:2], ends[2:]), abs=0.0003)


@each("paper", LENGTHS)
def test_crosses_in_the_pdf_lie_the_stated_lengths_apart(paper: str) -> None:
    """Read back by pdfium: the six strokes of 5 mm pair up to three crosses, to 0.005 mm."""
    lines = pdf_pages(pdf_bytes(document_on(paper)))[0].lines
    found = [[*sorted((line.x1, line.x2)), *sorted((line.y1, line.y2))] for line in lines]
    found = [[x0, y0, x1, y1] for x0, x1, y0, y1 in found]
    widths = {round(line.width_mm, 3) for line in lines}
    flat = [(x0, x1, y0) for x0, y0, x1, y1 in found if abs(y1 - y0) < 1e-6 and abs(x1 - x0 - 5) < 0.001]
    upright = [(y0, y1, x0) for x0, y0, x1, y1 in found if abs(x1 - x0) < 1e-6 and abs(y1 - y0 - 5) < 0.001]
    centres = [
        (x, y)
        for x0, x1, y in flat
        for y0, y1, x in upright
        if abs((x0 + x1) / 2 - x) < 0.001 and abs((y0 + y1) / 2 - y) < 0.001
    ]
    assert len(flat) == len(upright) == len(centres) == 3
    a, b, c = sorted(centres, key=lambda centre: (round(centre[0]), centre[1]))
    across, along = LENGTHS[paper]
    assert (b[0] - a[0], b[1] - a[1]) == pytest.approx((across, 0), abs=0.005)
    assert (c[0] - b[0], c[1] - b[1]) == pytest.approx((0, along), abs=0.005)
    assert math.dist(a, c) == pytest.approx(math.hypot(across, along), abs=0.005)
    for ends in ((a, b), (b, c), (a, c)):
        (x0, y0), (x1, y1) = ends
        assert any(
            [min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)] == pytest.approx(line, abs=0.005) for line in found
        ), ends
    assert widths <= {0.15, 0.25}, "thin lines, and the rule below the title"


@each("paper", LENGTHS)
def test_no_text_touches_anything_on_the_proof(paper: str) -> None:
    check(document_on(paper))


@examples(60, shrink=False)
@given(width=st.floats(140, 700), height=st.floats(140, 700))
def test_any_sheet_holds_a_proof_without_collisions(width: float, height: float) -> None:
    document = draw(plan(ProofRequest(Paper(width, height))))
    check(document)
    across, along = plan(ProofRequest(Paper(width, height)))[1:3]
    assert across >= 80
    assert along >= 80
    assert across % 20 == along % 20 == 0
    assert plan(ProofRequest(Paper(height, width)))[1:3] == (across, along), "the sheet is held upright"


@each("paper", [p for p in LENGTHS if p != "140x140"])
def test_ordinary_paper_takes_one_page_that_stands_upright(paper: str) -> None:
    (page,) = document_on(paper).pages
    assert page.height_mm >= page.width_mm


def test_words_that_find_no_room_beside_the_lines_go_to_a_second_page() -> None:
    document = document_on("140x140")
    first, second = (svg_root(page, document) for page in document.pages)
    assert texts(first, "command") == []
    assert texts(second, "command")


@pytest.mark.parametrize("paper", LENGTHS)
def test_the_printed_command_with_its_blanks_filled_in_works(paper: str, run: Run, tmp_path: Path) -> None:
    """A printer that prints 1 % too small across and 0.5 % too large along is known as that afterwards."""
    document = document_on(paper)
    typed = " ".join(line for page in document.pages for line in texts(svg_root(page, document), "command"))
    across, along = LENGTHS[paper]
    for figure in (f"{across * 0.99:g}", f"{along * 1.005:g}", "0.11"):
        typed = re.sub("_+", figure, typed, count=1)
    assert "_" not in typed
    assert ("-nominal" in typed) == ((across, along) != (160, 240))
    program, *arguments = shlex.split(typed)
    assert program == "turnband"
    environment = {"TURNBAND_CONFIG_DIR": str(tmp_path / "config")}
    done = run(*arguments, **environment)
    assert done.returncode == 0, done.stderr
    shown = json.loads(run("printer", "show", "NAME", "--json", **environment).stdout)
    assert (shown["x_scale"], shown["y_scale"], shown["stock_mm"]) == pytest.approx((0.99, 1.005, 0.11), rel=1e-9)


@each("paper", LENGTHS)
def test_the_page_says_how_to_print_and_to_measure(paper: str) -> None:
    document = document_on(paper)
    words = " ".join(" ".join(texts(svg_root(page, document))) for page in document.pages)
    for needed in (
        "100 %", "rest", "steel rule", "ten sheets", "divide by ten", "held upright", "browser", "to be measured",
        "across the sheet", "along the sheet",
    ):  # fmt: skip
        assert needed in words, needed


def test_proofs_of_any_paper_have_rulers_too() -> None:
    for paper in LENGTHS:
        document = document_on(paper)
        assert all(groups(svg_root(page, document), "check-ruler") for page in document.pages)


def test_proof_writes_pdf_and_svg_and_says_so(run: Run, tmp_path: Path) -> None:
    measure = "Print at 100 %, let it rest, then measure A–B and B–C with a steel rule."
    for name in ("proof.pdf", "proof.svg"):
        done = run("proof", "--paper", "letter", "-o", name)
        assert (done.returncode, done.stdout, done.stderr) == (0, f"wrote {name}: 1 page, Letter. {measure}\n", "")
    page = pypdf.PdfReader(tmp_path / "proof.pdf").pages[0]
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx((612, 792), abs=0.01)
    assert ElementTree.parse(tmp_path / "proof.svg").getroot().get("width") == "215.9mm"


def test_a_dash_puts_the_proof_on_stdout(run: Run, tmp_path: Path) -> None:
    done = run("proof", "-o", "-")
    proof = OUTPUTS["proof"]
    assert done.stdout.encode("utf-8", "surrogateescape") == pdf_bytes(proof.draw(plan(read("a4")), proof.command()))
    assert list(tmp_path.iterdir()) == []


@each(
    ("code", "arguments"),
    [
        (1, ("-o", "x.bmp")),
        (1, ("-o", "missing/x.pdf")),
        (1, ("--paper", "b4", "-o", "x.pdf")),
        (1, ("--paper", "62x100", "-o", "x.pdf")),
        (1, ("--paper", "62mm x roll", "-o", "x.pdf")),
        (2, ()),
        (2, ("--printer", "office", "-o", "x.pdf")),
    ],
)
def test_refusals_say_why_and_leave_no_file(run: Run, tmp_path: Path, code: int, arguments: tuple[str, ...]) -> None:
    done = run("proof", *arguments)
    assert_in_words(done, code)
    assert list(tmp_path.iterdir()) == []


def test_label_stock_is_refused_with_the_least_sheet() -> None:
    with pytest.raises(LayoutError, match="at least 140 mm"):
        read("62mm x roll")


def test_help_shows_examples(run: Run) -> None:
    done = run("proof", "--help")
    assert "Examples:\n    turnband proof -o proof.pdf" in done.stdout
