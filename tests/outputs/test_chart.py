"""The wall chart, measured in the finished files: where its marks lie, what its tables say, and that it can be read."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import NamedTuple
from xml.etree import ElementTree

import numpy as np
import pytest
from numpy.typing import NDArray

from kit.collisions import check
from kit.commands import Run, loaded_by
from kit.each import each
from kit.measure import MM_PER_PT, SVG, groups, of_role, only, strokes, svg_root
from kit.pdf_reading import pdf_pages
from kit.turning import polygon_middle, tightened
from marking.drawing.primitives import Document
from marking.errors import CharacterError, LayoutError
from marking.files.pdf import pdf_bytes
from marking.outputs.chart.plan import plan
from marking.outputs.chart.request import ChartRequest
from marking.outputs.chart.sheet import draw
from marking.sheets.furniture import content_bottom_mm
from marking.sheets.paper import SIZES, Paper

Vector = NDArray[np.float64]

PAPERS = ["a4", "a3", "letter", "legal", "tabloid"]
THREADS = ["right", "left"]
POINTS = [4, 6, 8, 12]
TURNS = [30, 45, 60, 90, 120, 180]


@cache
def a_chart(paper: str = "a4", thread: str = "right", title: str = "") -> Document:
    return draw(plan(ChartRequest(Paper(*SIZES[paper]), thread == "right", title)))


@cache
def root_of(paper: str = "a4", thread: str = "right") -> ElementTree.Element:
    document = a_chart(paper, thread)
    return svg_root(document.pages[0], document)


def views(paper: str = "a4", thread: str = "right") -> list[ElementTree.Element]:
    return groups(root_of(paper, thread), "socket-view")


def axis(view: ElementTree.Element) -> Vector:
    """The middle of the socket's rim, y turned upwards."""
    (rim,) = [e for e in view.iter(f"{SVG}circle") if e.get("class") == "socket"]
    return np.array([float(rim.get("cx", "nan")), -float(rim.get("cy", "nan")), 0.0])


class Word(NamedTuple):
    """A text of the SVG: its left end (or its middle), its baseline, y upwards, and its size in points."""

    x: float
    y: float
    text: str
    size_pt: float
    role: str


def words(element: ElementTree.Element) -> list[Word]:
    return [
        Word(
            float(e.get("x", "nan")),
            -float(e.get("y", "nan")),
            str(e.text),
            float(e.get("font-size", "nan")) / MM_PER_PT,
            str(e.get("class")),
        )
        for e in element.iter(f"{SVG}text")
    ]


def cells(heading: str, paper: str = "a4", thread: str = "right") -> list[list[str]]:
    """The table under a heading, as read from where its texts stand: the titles, then the rows."""
    (found,) = [w for w in map(words, groups(root_of(paper, thread), "table")) if w[0].text == heading]
    titles = [w for w in found if w.size_pt == found[1].size_pt]
    edges = [w.x for w in titles]
    body = [w for w in found[1:] if w not in titles]
    firsts = [w for w in body if abs(w.x - edges[0]) < 1e-6]
    rows = [["" for _ in edges] for _ in firsts]
    for word in sorted(body, key=lambda w: -w.y):
        row = max(k for k, first in enumerate(firsts) if first.y >= word.y - 1e-6)
        column = max(k for k, x in enumerate(edges) if x <= word.x + 1e-6)
        rows[row][column] = f"{rows[row][column]} {word.text}".strip()
    return [[w.text for w in titles], *rows]


def amount(text: str) -> Fraction:
    """Read "3", "1/4" or "1-1/2"."""
    whole, _, part = text.rpartition("-")
    return Fraction(whole or 0) + Fraction(part)


def places(paper: str = "a4", thread: str = "right") -> dict[tuple[int, int], tuple[str, str]]:
    """The large and the small words of every place in the table, by turn and points."""
    found = {}
    for cell in groups(root_of(paper, thread), "place"):
        large = [w.text for w in words(cell) if w.role != "text"]
        small = [w.text for w in words(cell) if w.role == "text"]
        found[int(str(cell.get("data-deg"))), int(str(cell.get("data-points")))] = " ".join(large), " ".join(small)
    return found


# -- directions


@each("thread", THREADS)
@each("paper", PAPERS)
def test_every_turns_mark_arrives_where_start_was(paper: str, thread: str) -> None:
    found = views(paper, thread)
    assert [view.get("data-points") for view in found] == [str(points) for points in POINTS]
    for view in found:
        lines, centre = strokes(view), axis(view)
        start = only(lines, "start")
        witness = np.array([start.x2, start.y2, 0.0]) - centre
        assert abs(witness[0]) < 1e-3 < witness[1], "START points up"
        marks = of_role(lines, "turn")
        assert [float(mark.data["deg"]) for mark in marks] == TURNS
        for mark in marks:
            rim = np.array([mark.x2, mark.y2, 0.0]) - centre
            assert np.allclose(tightened(rim, float(mark.data["deg"]), thread), witness, atol=1e-3), mark


@each("thread", THREADS)
def test_the_arrows_point_the_way_the_socket_turns(thread: str) -> None:
    for view in views("a4", thread):
        (head,) = [e for e in view.iter() if e.get("class") == "arrow-head"]
        tip_x, tip_y = map(float, str(head.get("points")).split()[0].split(","))
        middle = np.array([*polygon_middle(head), 0.0]) - axis(view)
        tip = np.array([tip_x, -tip_y, 0.0]) - axis(view)
        assert np.dot(tightened(middle, 1.0, thread) - middle, tip - middle) > 0


@each("paper", PAPERS)
@each("thread", THREADS)
def test_the_direction_is_stated_in_the_largest_type(paper: str, thread: str) -> None:
    largest = max(words(root_of(paper, thread)), key=lambda word: word.size_pt)
    assert largest.text == {
        "right": "RIGHT-HAND thread: turn clockwise",
        "left": "LEFT-HAND thread: turn counterclockwise",
    }[thread]  # fmt: skip
    everything = " ".join(word.text for word in words(root_of(paper, thread)))
    turns, counted = ("clockwise", "counterclockwise")[:: 1 if thread == "right" else -1]
    assert f"socket turns {turns};" in everything
    assert f"counted {counted} from START" in everything
    assert f"pull lightly {turns}" in everything
    assert ("mirrored" in everything) == (thread == "left")


# -- the tables


def ends_at_deg(text: str, points: int) -> Fraction:
    """Work out the angle that a cell's words mean, with corners 360/points apart, and hold its parts to each other."""
    pitch = Fraction(360, points)
    place, count = text.removesuffix(")").split(" (")
    if found := re.fullmatch(r"on corner (\d+)", place):
        deg = (int(found[1]) - 1) * pitch
    elif found := re.fullmatch(r"mid-flat between corners (\d+) and (\d+)", place):
        assert int(found[2]) == int(found[1]) + 1
        deg = (int(found[1]) - Fraction(1, 2)) * pitch
    else:
        found = re.fullmatch(r"(\d+)° past corner (\d+)", place)
        assert found, text
        deg = (int(found[2]) - 1) * pitch + int(found[1])
        parts = {"a third": Fraction(1, 3), "two thirds": Fraction(2, 3), "three quarters": Fraction(3, 4)}
        part, _, following = count.partition(" of the way to corner ")
        assert int(following) == int(found[2]) + 1
        assert parts[part] == int(found[1]) / pitch
        return deg
    assert amount(count.removesuffix(" on").removesuffix("s").removesuffix(" corner")) == deg / pitch
    return deg


@each("thread", THREADS)
@each("paper", PAPERS)
def test_the_words_agree_with_the_angles(paper: str, thread: str) -> None:
    found = places(paper, thread)
    assert list(found) == [(turn, points) for turn in TURNS for points in POINTS]
    for (turn, points), (_, text) in found.items():
        assert ends_at_deg(text, points) == turn


@each("thread", THREADS)
def test_the_words_agree_with_the_corners_drawn(thread: str) -> None:
    """A turn said to end on a corner has its mark before that corner's number, in the drawing."""
    found_places = places("a4", thread)
    said = 0
    for view, points in zip(views("a4", thread), POINTS, strict=True):
        centre = axis(view)[:2]
        numbers = {w.text: np.array([w.x, w.y]) - centre for w in words(view) if w.role == "corner-number"}
        for mark, turn in zip(of_role(strokes(view), "turn"), TURNS, strict=True):
            found = re.match(r"on corner (\d+) ", found_places[turn, points][1])
            rim = np.array([mark.x2, mark.y2]) - centre
            nearest = min(numbers, key=lambda number: float(np.linalg.norm(numbers[number] - rim)))
            if found:
                said += 1
                assert nearest == found[1]
    assert said == 2 + 3 + 3 + 5


def test_degrees_turns_flats_and_notches_say_the_same() -> None:
    _, *rows = cells("Degrees, turns, flats, notches")
    assert rows[0][0] == "15°"
    assert rows[-1] == ["360°", "1", "6", "12"]
    for degrees, turn, flats, notches in rows:
        deg = Fraction(degrees.removesuffix("°"))
        assert (amount(turn), amount(flats), amount(notches)) == (deg / 360, deg / 60, deg / 30)


NEWTON_METRES = {
    "N·m": Decimal(1), "daN·m": Decimal(10), "kgf·m": Decimal("9.80665"), "kgf·cm": Decimal("0.0980665"),
    "lbf·ft": Decimal("0.45359237") * Decimal("9.80665") * Decimal("0.3048"),
    "lbf·in": Decimal("0.45359237") * Decimal("9.80665") * Decimal("0.0254"),
}  # fmt: skip
"""Worked out from the definitions of pound, foot, inch and standard gravity."""


def assert_rounds_to(exact: Decimal, printed: str, figures: int) -> None:
    """The printed number is the exact one, to as many figures or, if it is a whole number, to the last digit."""
    last = min(0, exact.adjusted() - figures + 1)
    assert abs(exact - Decimal(printed)) <= Decimal(1).scaleb(last) / 2, f"{exact} is printed as {printed}"


@each("heading", ["Torque: the same in every unit", "From lbf·ft"])
def test_a_row_of_torques_is_one_torque(heading: str) -> None:
    units, *rows = cells(heading)
    assert len(rows) >= 5
    for row in rows:
        torque = Decimal(row[0]) * NEWTON_METRES[units[0]]
        for unit, printed in zip(units, row, strict=True):
            assert_rounds_to(torque / NEWTON_METRES[unit], printed, 3)


def test_every_unit_of_the_table_has_its_factors() -> None:
    _, *rows = cells("Factors")
    assert {row[0] for row in rows} == {*NEWTON_METRES} - {"N·m"}
    for unit, makes, made in rows:
        assert_rounds_to(NEWTON_METRES[unit], makes, 7)
        assert_rounds_to(1 / NEWTON_METRES[unit], made, 7)


def test_steps_and_cautions_are_on_the_chart() -> None:
    text = " ".join(word.text for word in words(root_of()))
    for step in ("Snug:", "Slack:", "Mark:", "Turn:", "Check:"):
        assert step in text
    assert "The manufacturer's manual decides" in text
    assert "Hand tools only" in text
    assert "Wear eye protection" in text


# -- the page


@each("thread", THREADS)
@each("paper", PAPERS)
def test_no_text_touches_anything_on_any_paper(paper: str, thread: str) -> None:
    check(a_chart(paper, thread))


@each("paper", PAPERS)
def test_the_longest_title_fits(paper: str) -> None:
    document = a_chart(paper, "left", ("Ŵiiiide M " * 12).strip())
    check(document)
    assert len(document.pages) == 1


@each(("across", "along"), [(0.96, 1.04), (1.04, 0.96)])
def test_a_printer_that_is_off_is_met(across: float, along: float) -> None:
    """The page keeps its size, the sockets are stretched against the printer's error: printed, they are round."""
    document = draw(plan(ChartRequest(Paper(*SIZES["a4"]).corrected(across, along))))
    check(document)
    page = document.pages[0]
    assert (page.width_mm, page.height_mm) == pytest.approx(SIZES["a4"])
    root = svg_root(page, document)
    rims = [e for e in root.iter(f"{SVG}polyline") if e.get("class") == "socket"]
    assert len(rims) == len(POINTS)
    for rim in rims:
        points = np.array([[float(v) for v in pair.split(",")] for pair in str(rim.get("points")).split()])
        width, height = points.max(axis=0) - points.min(axis=0)
        assert width * across == pytest.approx(height * along, rel=1e-4)


@each("paper", PAPERS)
def test_the_pdf_is_one_upright_page_with_no_small_type(paper: str) -> None:
    (page,) = pdf_pages(pdf_bytes(a_chart(paper)))
    assert (page.width_mm, page.height_mm) == pytest.approx(SIZES[paper], abs=0.01)
    assert min(word.size_pt for word in page.words) >= 5.0 - 1e-6
    text = " ".join(page.text.split())
    assert "RIGHT-HAND thread: turn clockwise" in text


def test_a3_carries_the_same_chart_larger() -> None:
    (small,), (large,) = (groups(root_of(paper), "wall-chart") for paper in ("a4", "a3"))
    said = [sorted(" ".join(w.text for w in words(chart)).split()) for chart in (small, large)]
    assert said[0] == said[1], "lines may break elsewhere"
    sizes = [sorted({w.size_pt for w in words(chart)}) for chart in (small, large)]
    for a, b in zip(*sizes, strict=True):
        assert b / a == pytest.approx(420 / 297, rel=0.06)
    assert min(w.size_pt for w in words(large)) > 9.0


@each("paper", PAPERS)
def test_the_chart_fills_its_paper(paper: str) -> None:
    """It spans the content's width, and on papers of the usual proportions leaves no more than a tenth unused below."""
    document = a_chart(paper)
    (chart,) = [placed for placed in document.pages[0].placed if placed.drawing.content.name == "wall-chart"]
    sheet = Paper(*SIZES[paper])
    assert chart.drawing.width_mm == pytest.approx(sheet.content_width_mm)
    bottom_mm = content_bottom_mm(sheet, "", "")
    assert chart.y >= bottom_mm - 1e-6
    if paper != "legal":
        assert chart.y - bottom_mm < 0.1 * sheet.height_mm


def test_wide_paper_is_turned_upright() -> None:
    wide = draw(plan(ChartRequest(Paper(297.0, 210.0))))
    assert wide.pages == a_chart("a4").pages


@each(("width", "height"), [SIZES["a5"], (176, 250), (200, 240), (150, 1500), (140, 140)])
def test_paper_too_small_for_a_wall_is_refused(width: float, height: float) -> None:
    with pytest.raises(LayoutError, match=rf"does not fit on {width:.0f} × {height:.0f} mm.*A4, letter or larger"):
        draw(plan(ChartRequest(Paper(width, height))))


@each("title", ["a\nb", "\u202eabc", "x" * 121, "漢字", "\x00"])
def test_titles_that_cannot_be_printed_are_refused(title: str) -> None:
    with pytest.raises(CharacterError):
        draw(plan(ChartRequest(Paper(*SIZES["a4"]), title=title)))


def test_making_a_chart_loads_no_renderer() -> None:
    code = 'from marking import OUTPUTS\nchart = OUTPUTS["chart"]\nchart.draw(chart.plan(chart.read()))'
    assert not loaded_by(code) & {"reportlab", "click"}


# -- the command


@pytest.mark.parametrize(
    ("options", "statement"), [(["--thread", "left"], "LEFT-HAND thread"), ([], "RIGHT-HAND thread")]
)
def test_the_command_writes_pdf_and_svg_of_the_same_page(
    run: Run, tmp_path: Path, options: list[str], statement: str
) -> None:
    for name in ("chart.pdf", "chart.svg"):
        done = run("chart", "--paper", "a3", *options, "--title", "<b>Bogie bay</b>", "-o", name)
        assert (done.returncode, done.stdout, done.stderr) == (0, f"wrote {name}: 1 page, A3.\n", "")
    root = ElementTree.fromstring((tmp_path / "chart.svg").read_bytes())
    assert root.get("width") == "297mm"
    in_pdf = "".join(sorted("".join(pdf_pages(tmp_path / "chart.pdf")[0].text.split())))
    in_svg = "".join(sorted("".join(word.text for word in words(root)).replace(" ", "")))
    assert in_pdf == in_svg
    assert any(word.text == "<b>Bogie bay</b>" for word in words(root))
    assert any(word.text.startswith(statement) for word in words(root))


@each(
    ("arguments", "code", "reason"),
    [
        (["--paper", "a5"], 1, "does not fit on 148 × 210 mm"),
        (["--paper", "62mm x roll"], 1, "label stock"),
        (["--paper", "nan"], 1, "paper size"),
        (["--paper", "-210x297"], 1, "paper size"),
        (["--margin", "30 mm"], 1, "smaller --margin"),
        (["--margin", "99999999999999999999 m"], 1, "margin"),
        (["--title", "\u202e"], 1, "title"),
        (["--printer", "nowhere"], 1, "nowhere"),
        (["--thread", "neither"], 2, "--thread"),
        (["-o", "chart.doc"], 1, ".doc"),
    ],
)
def test_what_cannot_be_done_is_refused_with_a_reason(
    run: Run, tmp_path: Path, arguments: list[str], code: int, reason: str
) -> None:
    done = run("chart", "-o", "chart.pdf", *arguments)
    assert done.returncode == code
    assert reason in done.stderr
    assert "Traceback" not in done.stderr
    assert not list(tmp_path.iterdir()), "nothing is written"
