"""The diameter tape, measured in the finished files: wrapped round sockets of every size, it reads their OD."""

from __future__ import annotations

import itertools
import math
import re
import subprocess
import sys
from fractions import Fraction
from functools import cache, lru_cache
from pathlib import Path
from typing import NamedTuple
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial import KDTree
from shapely import LineString, polygonize, unary_union

from kit.collisions import check
from kit.commands import Run
from kit.measure import SVG, Stroke, drawn_groups, groups, of_role, only, placed_lines, placed_texts, strokes, svg_root
from kit.pdf_reading import pdf_pages
from marking.drawing.primitives import Document
from marking.errors import LayoutError, RangeError
from marking.files.pdf import pdf_bytes
from marking.outputs.tape.layout import SCALES, plan_tape, reading_of
from marking.outputs.tape.plan import plan
from marking.outputs.tape.request import TapeRequest
from marking.outputs.tape.sheet import draw
from marking.quantities.angles import closed_length_mm
from marking.sheets.paper import SIZES, Paper

RESOLUTION_MM = {"mm": 0.1, "in": 0.127}
"""0.1 mm and 0.005 in."""


class Case(NamedTuple):
    """What a tape is asked for: ODs and stock in mm."""

    low: float
    high: float
    unit: str = "mm"
    stock: float = 0.1
    paper: str = "a4"

    @property
    def document(self) -> Document:
        return drawn_once(self)


@lru_cache(maxsize=64)
def drawn_once(case: Case) -> Document:
    return draw(plan(TapeRequest(case.low, case.high, case.unit, Paper(*SIZES[case.paper]), case.stock)))


CASES = [
    Case(8, 60),
    Case(8, 30, stock=0.0, paper="a5"),
    Case(8, 60, "in", paper="letter"),
    Case(27.3, 27.9),
    Case(60, 180, stock=0.2),
    Case(8, 120, "in", 0.25, "a5"),
    Case(200, 300, paper="a5"),
    Case(8, 300, stock=1.0),
    Case(8, 300, "in", paper="a3"),
]


class Tape(NamedTuple):
    """A printed tape glued together: u of every line from the index, lengths in mm."""

    graduations: list[tuple[float, float]]
    vernier: list[tuple[float, float]]
    outline: list[Stroke]
    splices: list[float]


@cache
def printed(case: Case) -> Tape:
    """Read a tape from its SVG pages: the pieces in order, each laid with its end on the splice line before it."""
    document = case.document
    pieces = drawn_groups(document, "diameter-tape")
    tape = Tape([], [], [], [])
    for number, piece in enumerate(pieces, 1):
        lines = strokes(piece)
        if len(pieces) > 1:
            assert piece.get("data-piece") == str(number)
        left = only(lines, "splice-edge").x1 if number > 1 else only(lines, "index").x1
        shift = (tape.splices[-1] if number > 1 else 0.0) - left
        low = only(lines, "index").y1 if number == 1 else low_edge(lines) - (6.0 if tail_only(lines) else 0.0)
        moved = [Stroke(s.role, s.x1 + shift, s.y1 - low, s.x2 + shift, s.y2 - low, s.data) for s in lines]
        tape.graduations.extend((s.x1, float(s.data["od"])) for s in of_role(moved, "graduation"))
        tape.vernier.extend((s.x1, float(s.data["od"])) for s in of_role(moved, "vernier"))
        tape.outline.extend(of_role(moved, "cut", "reading-edge"))
        tape.splices.extend(s.x1 for s in of_role(moved, "splice"))
    assert len(tape.splices) == len(pieces) - 1
    return tape


def low_edge(lines: list[Stroke]) -> float:
    return min(s.y1 for s in of_role(lines, "cut", "reading-edge"))


def tail_only(lines: list[Stroke]) -> bool:
    edge = only(lines, "splice-edge")
    return abs(edge.y2 - edge.y1) < 7.0


def read_wrapped(tape: Tape, od: float, stock: float, resolution: float) -> float:
    """Wrap the tape on a socket and read it as the sheet says; angles only, the index at 0°.

    The tail's first turn is looked at; what is longer hangs free.
    """

    def angle(u: float) -> float:
        return 360.0 * u / (math.pi * (od + stock))

    tail = [(angle(u) - 360.0, value) for u, value in tape.graduations if abs(angle(u) - 360.0) < 180.0]
    lines = [0.0, *(angle(u) for u, _ in sorted(tape.vernier))]
    misfit = [min(abs(place - line) for place, _ in tail) for line in lines]
    assert misfit[0] == pytest.approx(misfit[-1], abs=angle(0.002)), "the last line repeats the index: add nothing"
    k = misfit.index(min(misfit[:-1]))
    if k == 0:  # the index itself meets a line
        return min(tail, key=lambda graduation: abs(graduation[0]))[1]
    passed = max(value for place, value in tail if place <= 0.0)
    return passed + k * resolution


def assert_reads(case: Case, od: float) -> None:
    resolution = RESOLUTION_MM[case.unit]
    reading = read_wrapped(printed(case), od, case.stock, resolution)
    assert reading / resolution == pytest.approx(round(reading / resolution), abs=1e-6), "a whole number of divisions"
    assert abs(reading - od) <= resolution / 2 + 0.0002, f"{od} mm reads {reading} mm"  # the SVG rounds to 0.0001 mm


@settings(max_examples=300)
@given(case=st.sampled_from(CASES), part=st.floats(0, 1))
def test_the_wrapped_tape_reads_the_od_to_a_division(case: Case, part: float) -> None:
    assert_reads(case, case.low + part * (case.high - case.low))


@pytest.mark.parametrize("case", CASES)
def test_the_first_and_the_last_od_of_a_tape_can_be_read(case: Case) -> None:
    for od in (case.low, case.high, case.high - 0.01, case.high - RESOLUTION_MM[case.unit]):
        assert_reads(case, od)


ranges = st.tuples(st.floats(8, 300), st.floats(8, 300)).map(sorted).filter(lambda ends: ends[1] - ends[0] > 0.01)
cases = st.builds(
    lambda ends, unit, stock, paper: Case(ends[0], ends[1], unit, stock, paper),
    ranges, st.sampled_from(["mm", "in"]), st.floats(0, 1), st.sampled_from(["a4", "letter", "a5", "a3", "legal"]),
)  # fmt: skip


@settings(max_examples=40)
@given(case=cases, parts=st.lists(st.floats(0, 1), min_size=1, max_size=8))
def test_any_tape_reads_any_od_of_its_range_and_fits_its_paper(case: Case, parts: list[float]) -> None:
    for part in parts:
        assert_reads(case, min(case.high, case.low + part * (case.high - case.low)))
    check(case.document)


def test_a_metric_reading_worked_by_hand() -> None:
    """27.8 mm: 27.5 has passed the index, and the third line of the vernier, 1.2 mm of OD farther, stands at 29.0."""
    tape = printed(Case(8, 60))
    u = {value: place for place, value in tape.graduations}
    index = math.pi * 27.9
    assert u[27.5] < index < u[28.0]
    assert index + sorted(tape.vernier)[2][0] == pytest.approx(u[29.0], abs=0.0005)


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_line_k_of_the_vernier_meets_a_graduation_exactly_at_k_divisions(unit: str) -> None:
    """The algebra, in exact fractions: n·step + k·resolution + k·division = (n + k)·step, and no other line meets."""
    scale = SCALES[unit]
    assert scale.step * scale.mm == Fraction(1, 2) if unit == "mm" else scale.step == Fraction(1, 50)
    assert scale.resolution == (Fraction(1, 10) if unit == "mm" else Fraction(1, 200))
    for n, k in itertools.product(range(10, 60), range(scale.divisions)):
        od = n * scale.step + k * scale.resolution
        meeting = [j for j in range(scale.divisions + 1) if ((od + j * scale.division) / scale.step).denominator == 1]
        assert meeting == ([0, scale.divisions] if k == 0 else [k])


@pytest.mark.parametrize("case", CASES)
def test_every_graduation_lies_at_pi_times_od_and_stock(case: Case) -> None:
    tape = printed(case)
    for u, od in tape.graduations:
        assert u == pytest.approx(math.pi * (od + case.stock), abs=0.0002 * (1 + len(tape.splices)))
    for u, od in tape.vernier:
        assert u == pytest.approx(math.pi * od, abs=0.0002)


@pytest.mark.parametrize("case", CASES)
def test_graduations_rise_without_a_gap(case: Case) -> None:
    tape = printed(case)
    assert tape.graduations == sorted(tape.graduations)
    step = 0.5 if case.unit == "mm" else 0.508
    ods = [od for _, od in tape.graduations]
    assert np.diff(ods) == pytest.approx(step, abs=1e-9)
    assert ods[0] <= case.low < ods[0] + step
    assert ods[-1] >= case.high + 4 * RESOLUTION_MM[case.unit]


def test_data_od_is_a_plain_number() -> None:
    for case in CASES:
        document = case.document
        for page in document.pages:
            for line in strokes(svg_root(page, document)):
                assert "od" not in line.data or re.fullmatch(r"\d+(\.\d{1,3})?", line.data["od"])


# -- the strip


def steps(tape: Tape) -> tuple[float, float, float]:
    """The tongue's left end, and where the body begins and ends, from the upright cut lines."""
    upright = [s for s in tape.outline if s.x1 == s.x2]
    (begin,) = {s.x1 for s in upright if max(s.y1, s.y2) > 11 and s.x1 < tape.graduations[0][0]}
    (end,) = {s.x1 for s in upright if min(s.y1, s.y2) < 1 and s.x1 > begin}
    return min(s.x1 for s in upright), begin, end


@pytest.mark.parametrize("case", [*CASES, Case(8, 9, stock=0.0), Case(8, 9, "in", 0.0)])
def test_on_the_smallest_socket_nothing_lies_under_the_reading_place(case: Case) -> None:
    tape = printed(case)
    tongue, begin, end = steps(tape)
    once_round = math.pi * (case.low + case.stock)
    assert end < once_round + tongue, "the body ends before the tongue's end comes round"
    assert begin >= max(u for u, _ in tape.vernier) + 3.0, "the vernier is clear of the body that the tail climbs on"
    assert end - begin >= 7.999, "the body holds together"
    assert -tongue >= 5.0, "there is something to hold"


@pytest.mark.parametrize("case", CASES)
def test_the_cut_lines_close_round_each_piece(case: Case) -> None:
    document = case.document
    edges = ("cut", "reading-edge", "splice", "splice-edge")
    for page in document.pages:
        for piece in groups(svg_root(page, document, "diameter-tape"), "diameter-tape"):
            lines = strokes(piece)
            outline = [LineString([(s.x1, s.y1), (s.x2, s.y2)]) for s in of_role(lines, *edges)]
            (shape,) = polygonize([unary_union(outline)]).geoms
            around = shape.buffer(0.41)
            for line in of_role(lines, "graduation", "vernier", "index"):
                assert around.covers(LineString([(line.x1, line.y1), (line.x2, line.y2)]))
            _, low, _, high = shape.bounds
            assert round(high - low, 3) in (6.0, 12.0)


@pytest.mark.parametrize("case", CASES)
def test_splices_are_clear_of_the_tongue_and_of_every_graduation(case: Case) -> None:
    tape = printed(case)
    _, begin, end = steps(tape)
    for u in tape.splices:
        assert u > begin + 8.0
        assert min(abs(u - place) for place, _ in tape.graduations) > 0.7
        assert not end - 10.0 < u <= end, "the tab does not stick out beside the tail"


def test_a_long_tape_comes_in_pieces_and_a_short_one_in_one() -> None:
    assert printed(Case(8, 60)).splices == []
    assert len(printed(Case(8, 300)).splices) == 3
    assert len(printed(Case(200, 300, paper="a5")).splices) >= 5


# -- the sheet


@pytest.mark.parametrize("paper", ["a4", "letter", "a5", "a3", "legal"])
@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize(("low", "high"), [(8, 60), (8, 9), (30, 45), (95, 105), (8, 300), (299, 300)])
def test_no_text_touches_anything_on_any_paper(low: float, high: float, unit: str, paper: str) -> None:
    document = Case(low, high, unit, 0.1, paper).document
    check(document)
    assert min(text.size_pt for page in document.pages for text in placed_texts(page)) >= 5.0


@pytest.mark.parametrize("case", CASES)
def test_the_pdf_has_the_lines_of_the_svg(case: Case) -> None:
    document = case.document
    for page, drawn in zip(pdf_pages(pdf_bytes(document)), document.pages, strict=True):
        found = np.array([line[:4] for line in page.lines])
        svg = strokes(svg_root(drawn, document))
        wanted = np.array([(s.x1, s.y1 + drawn.height_mm, s.x2, s.y2 + drawn.height_mm) for s in svg])
        assert len(found) == len(wanted) == len(list(placed_lines(drawn)))
        assert KDTree(found).query(wanted, p=np.inf)[0].max() < 0.005


def texts(case: Case) -> list[str]:
    document = case.document
    return [e.text or "" for page in document.pages for e in svg_root(page, document).iter(f"{SVG}text")]


@pytest.mark.parametrize("case", CASES)
def test_captions_state_the_first_and_last_line_of_each_piece(case: Case) -> None:
    tape, words = printed(case), texts(case)
    ends = [-1e9, *tape.splices, 1e9]
    size = 1.0 if case.unit == "mm" else 25.4
    for number, (a, b) in enumerate(itertools.pairwise(ends), 1):
        name = f"Piece {number} of {len(ends) - 1}" if tape.splices else "The tape:"
        (caption,) = [text for text in words if text.startswith(name)]
        inside = [od / size for u, od in tape.graduations if a < u < b]
        stated = re.search(rf"first line ([\d.]+) {case.unit}, last line ([\d.]+) {case.unit}", caption)
        if not inside:
            assert "no graduations" in caption
            continue
        assert stated, caption
        assert [float(stated[1]), float(stated[2])] == pytest.approx([inside[0], inside[-1]], abs=1e-9)


@pytest.mark.parametrize("case", CASES)
def test_the_numbers_on_the_tape_stand_at_their_graduations(case: Case) -> None:
    document = case.document
    size = 1.0 if case.unit == "mm" else 25.4
    numbers = 0
    for page in document.pages:
        for piece in groups(svg_root(page, document, "diameter-tape"), "diameter-tape"):
            lines = {round(s.x1, 3): float(s.data["od"]) for s in of_role(strokes(piece), "graduation")}
            for text in piece.iter(f"{SVG}text"):
                if text.get("class") == "number" and text.get("font-weight") == "600":
                    x = round(float(text.get("x", "nan")), 3)
                    assert float(text.text or "nan") * size == pytest.approx(lines[x], abs=1e-9)
                    numbers += 1
    assert numbers >= (case.high - case.low) / size / 2


def test_every_millimetre_is_numbered_where_that_is_legible() -> None:
    numbers = {text for text in texts(Case(8, 60)) if text.isdigit()}
    assert {str(mm) for mm in range(8, 61)} <= numbers


@pytest.mark.parametrize(
    ("case", "shown"),
    [
        (Case(8, 60), "27.5 + 0.3 = 27.8 mm"),
        (Case(8, 60, "in"), "1.08 + 0.015 = 1.095 in"),
        (Case(27.3, 27.5), None),
        (Case(60, 180), None),
        (Case(49, 51), None),
        (Case(8, 9, "in"), None),
    ],
)
def test_the_worked_reading_is_what_the_tape_would_show(case: Case, shown: str | None) -> None:
    (line,) = [text for text in texts(case) if re.fullmatch(r"[\d.]+ \+ [\d.]+ = [\d.]+ (mm|in)", text)]
    assert shown in (None, line)
    value = float(line.split("=")[1].split()[0]) * (1.0 if case.unit == "mm" else 25.4)
    resolution = RESOLUTION_MM[case.unit]
    assert case.low - resolution <= value <= case.high + resolution
    assert read_wrapped(printed(case), value, case.stock, resolution) == pytest.approx(value, abs=1e-6)
    document = case.document
    (figure,) = drawn_groups(document, "worked-reading")
    (ring,) = list(figure.iter(f"{SVG}circle"))
    x, y = float(ring.get("cx", "nan")), -float(ring.get("cy", "nan"))
    through = [s for s in of_role(strokes(figure), "enlarged") if abs(s.x1 - x) < 0.001]
    assert len(through) == 2, "a line of the tail and one of the vernier"
    assert all(y in (s.y1, s.y2) for s in through)
    assert f"(OD) to print a band for: {line.split('= ')[1]}" in " ".join(texts(case))


def test_the_sheet_names_the_stock_it_was_made_for() -> None:
    words = " ".join(texts(Case(8, 60, stock=0.23)))
    assert words.count("0.23 mm") >= 4


def test_thicker_stock_than_the_tape_was_made_for_reads_the_difference_too_much() -> None:
    """What the sheet says of it: a tape for 0.1 mm, printed on 0.2 mm."""
    assert read_wrapped(printed(Case(8, 60)), 27.8, 0.2, 0.1) == pytest.approx(27.9)


@given(od=st.floats(8, 300), stock=st.floats(0, 1), printed_scale=st.floats(0.99, 1.01))
def test_a_print_error_of_tape_and_band_cancels(od: float, stock: float, printed_scale: float) -> None:
    """What the sheet says of it: the OD read on a stretched tape gives a band that, stretched alike, just closes."""
    read = closed_length_mm(od, stock) / printed_scale / math.pi - stock
    assert printed_scale * closed_length_mm(read, stock) == pytest.approx(closed_length_mm(od, stock), rel=1e-12)


# -- refusals and the command


@pytest.mark.parametrize(
    ("low", "high", "stock", "words"),
    [
        (7.9, 60, 0.1, "8 mm to 300 mm"),
        (8, 301, 0.1, "check high"),
        (30, 30, 0.1, "smaller OD first"),
        (40, 30, 0.1, "exchange"),
        (math.nan, 30, 0.1, "check low"),
        (8, math.inf, 0.1, "check high"),
        (8, 60, 1.5, "check stock"),
        (8, 60, math.nan, "check stock"),
    ],
)
def test_a_tape_that_cannot_be_is_refused_with_advice(low: float, high: float, stock: float, words: str) -> None:
    with pytest.raises(RangeError) as caught:
        plan_tape(low, high, "mm", stock, 270.0)
    assert words in str(caught.value)


def test_an_unknown_unit_is_refused() -> None:
    with pytest.raises(RangeError, match="mm or in"):
        plan_tape(8.0, 60.0, "ft", 0.1, 270.0)


def test_pieces_too_short_to_cut_are_refused() -> None:
    with pytest.raises(LayoutError, match="larger paper"):
        plan_tape(8.0, 300.0, "mm", 0.1, 30.0)


def test_a_reading_is_rounded_to_the_nearest_division() -> None:
    reading = reading_of(27.84, SCALES["mm"])
    assert (reading.passed, reading.line, reading.rest, reading.value) == ("27.5", 3, "0.3", "27.8")
    assert reading_of(27.97, SCALES["mm"]).value == "28.0"
    assert reading_of(27.8, SCALES["in"]).value == "1.095"


def test_tape_writes_the_file_and_says_so(run: Run, tmp_path: Path) -> None:
    done = run("tape", "-o", "tape.pdf")
    assert (done.returncode, done.stdout, done.stderr) == (
        0,
        "wrote tape.pdf: 1 page, A4. Print at 100 %, then measure both rulers.\n",
        "",
    )
    assert (tmp_path / "tape.pdf").read_bytes().startswith(b"%PDF")


def test_tape_takes_its_unit_from_the_smallest_od_unless_told(run: Run, tmp_path: Path) -> None:
    for name, arguments in {
        "in": ("--from", "3/8 in", "--to", "40 mm"),
        "mm": ("--from", "3/8 in", "--to", "40 mm", "--unit", "mm"),
    }.items():
        assert run("tape", *arguments, "-o", "x.svg").returncode == 0
        words = [e.text for e in ElementTree.parse(tmp_path / "x.svg").getroot().iter(f"{SVG}text")]
        assert ("OD in inches" if name == "in" else "OD in mm") in words


def test_tape_puts_the_pdf_on_stdout(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "turnband", "tape", "-o", "-"], cwd=tmp_path, capture_output=True, check=True
    )
    assert done.stdout.startswith(b"%PDF")
    assert list(tmp_path.iterdir()) == []


def test_tape_help_shows_examples(run: Run) -> None:
    shown = run("tape", "--help")
    assert shown.returncode == 0
    assert "Examples:" in shown.stdout


@pytest.mark.parametrize(
    ("code", "arguments"),
    [
        (1, ("--from", "5 mm", "-o", "x.pdf")),
        (1, ("--from", "8", "-o", "x.pdf")),
        (1, ("--from", "60 mm", "--to", "30 mm", "-o", "x.pdf")),
        (1, ("--to", "1 m", "-o", "x.pdf")),
        (1, ("--stock", "2 mm", "-o", "x.pdf")),
        (1, ("--paper", "b4", "-o", "x.pdf")),
        (1, ("--paper", "62x100", "-o", "x.pdf")),
        (1, ("-o", "x.png")),
        (1, ("-o", "missing/x.pdf")),
        (2, ()),
        (2, ("--unit", "cm", "-o", "x.pdf")),
    ],
)
def test_tape_refuses_with_a_reason_and_leaves_no_file(
    run: Run, tmp_path: Path, code: int, arguments: tuple[str, ...]
) -> None:
    done = run("tape", *arguments)
    assert done.returncode == code, done.stderr
    assert done.stdout == ""
    assert done.stderr.strip()
    assert "Traceback" not in done.stderr
    assert "failed:" not in done.stderr
    assert list(tmp_path.iterdir()) == []
