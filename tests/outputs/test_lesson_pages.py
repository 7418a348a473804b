"""The handout's sums, and the pages of a lesson."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.collisions import check
from kit.each import each
from kit.examples import examples
from kit.lesson import SPEC, a_set, agrees, found, page_texts
from kit.lesson_figures import arrives, centre_of, figures, only_figure
from kit.measure import SVG, only, placed_texts, strokes
from marking.errors import LayoutError
from marking.outputs.lesson.figures import View, draw_blank
from marking.outputs.lesson.plan import plan as plan_lesson
from marking.outputs.lesson.request import read as read_lesson
from marking.outputs.lesson.sheet import draw as lesson_document
from marking.sheets.blocks import centred, side_by_side
from marking.sheets.words import CAUTIONS

# -- the handout's sums


def test_the_shares_of_the_torque_follow_from_the_formula_of_iso_16047() -> None:
    """T/F = P/2π + 0.577 μ d2 + μ Db/2 (ISO 16047, VDI 2230, from memory), Db = 1.25 d (Shigley, 9th ed., 8-8)."""

    def terms(friction: float) -> tuple[float, float, float]:
        d, pitch = 12.0, 1.75
        d2 = d - 0.649519 * pitch  # ISO 724
        return pitch / (2 * math.pi), friction * d2 / (2 * math.cos(math.pi / 6)), friction * 1.25 * d / 2

    parts = [term / sum(terms(0.12)) for term in terms(0.12)]
    words = page_texts()[0]
    assert "M12 × 1.75 with a friction coefficient of 0.12" in words
    assert agrees(found(r"(\d+) % of the torque goes into friction", words)[1], 100 * (parts[1] + parts[2]), 0)
    gain = 100 * (sum(terms(0.14)) / sum(terms(0.10)) - 1)
    assert agrees(found(r"from 0\.14 to 0\.10, the same torque gives (\d+) % more", words)[1], gain, 0)
    bar = only_figure("torque-shares")
    widths = []
    for element in (e for e in bar.iter(f"{SVG}polygon") if e.get("class") == "bar"):
        xs = [float(pair.split(",")[0]) for pair in str(element.get("points")).split()]
        widths.append(max(xs) - min(xs))
    assert [width / sum(widths) for width in widths] == pytest.approx(parts, abs=1e-3)
    percents = [str(e.text).split()[0] for e in bar.iter(f"{SVG}text") if "%" in str(e.text)]
    assert all(agrees(shown, 100 * part, 0) for shown, part in zip(percents, parts, strict=True))


def test_the_handout_works_out_an_advance_that_is_right() -> None:
    """M12 × 1.75, 90°: 0.4375 mm (ISO 261 pitch; a quarter of it)."""
    assert "M12 × 1.75: 1.75 mm × 90 ÷ 360 = 0.4375 mm" in page_texts()[1]


# -- the pages


@each("paper", ["a4", "letter"])
def test_handout_then_worksheets_then_key(paper: str) -> None:
    pages = page_texts(paper=paper, trainees=12)
    assert "Why turn, when there is a torque?" in pages[0]
    assert "A worked example" in pages[1]
    assert [text.split(" Name")[0] for text in pages[2:14]] == [f"Sheet {k} of 12 · seed 1" for k in range(1, 13)]
    assert all(text.startswith("Answer key: for the instructor") for text in pages[14:])
    assert 3 <= len(pages[14:]) <= 6
    assert not any("Answer key" in text or "inside:" in text for text in pages[:14])


def test_every_page_says_that_its_numbers_are_for_teaching() -> None:
    for text in page_texts(title="Tram depot, apprentices"):
        assert "Teaching numbers, not tightening instructions: the manufacturer's manual decides." in text
        assert "demo data, not for real equipment" in text
        assert "Tram depot, apprentices" in text
    handout = " ".join(page_texts()[:2])
    for caution in CAUTIONS:
        assert caution in handout


def test_every_page_of_a_worksheet_that_needs_several_says_whose_it_is() -> None:
    pages = page_texts(paper="a5", trainees=2)
    mine = [text for text in pages if "Sheet 2 of 2" in text and not text.startswith("Answer key")]
    assert len(mine) > 1
    assert all(text.startswith("Sheet 2 of 2 · seed 1 Name Date") for text in mine)


SPECS = [
    SPEC, "60 lb-ft, 1/4 turn ±5, 1/4 turn ±5", "hand tight then 450° ±30", "5°", "355° +10/-4",
    "20 N·m + 30° ±8 + 60° ±8 + 90° ±5 + 91° ±3 + 300° +50/-20 + 720°", "1234.5678 lbf·in + 33.3333° ±0.77",
]  # fmt: skip


@each("paper", ["a4", "letter", "a5", "a3"])
@each("spec", SPECS)
def test_no_text_touches_anything_and_all_stays_off_the_edge(spec: str, paper: str) -> None:
    for points, thread in ((6, "left"), (12, "right")):
        check(a_set(spec, points=points, thread=thread, paper=paper, trainees=3 if spec == SPEC else 1))


@examples(6, shrink=False)
@given(st.integers(0, 999_999))
def test_no_text_touches_anything_on_the_sheets_of_any_seed(seed: int) -> None:
    check(lesson_document(plan_lesson(read_lesson(SPEC, trainees=14, seed=seed))))


def test_every_stage_of_the_worked_example_has_a_socket_of_its_own() -> None:
    document = a_set("50 N·m + 90° ±5 + 450° ±10 + 90°", points=8, thread="left", trainees=1)
    first, second, third = figures(document, "worked-socket")
    for figure, role, turn_deg in (
        (first, "stop-low", 85), (first, "stop-high", 95), (second, "stop-low", 440), (second, "stop-high", 460),
        (third, "stop", 90),
    ):  # fmt: skip
        assert arrives(figure, role, turn_deg, "left")
    words = page_texts("50 N·m + 90° ±5 + 450° ±10 + 90°", points=8, thread="left", trainees=1)[1]
    assert "put a fresh witness mark beside START before its turn" in words
    assert "fresh witness mark" not in page_texts(trainees=1)[1]


def test_start_keeps_its_word_beside_its_mark_when_the_window_lies_round_it() -> None:
    figure = only_figure("worked-socket", a_set("50 N·m + 360° ±10", trainees=1))
    tip = only(strokes(figure), "start")
    outer = max((tip.x1, tip.y1), (tip.x2, tip.y2), key=lambda end: np.linalg.norm(np.array(end) - centre_of(figure)))
    word = next(text for text in figure.iter(f"{SVG}text") if text.text == "START")
    at = np.array([float(word.get("x", "nan")), -float(word.get("y", "nan"))])
    assert np.linalg.norm(at - np.array(outer)) < 9.0


def test_a_spec_without_a_tolerance_says_what_that_means() -> None:
    words = page_texts("50 N·m + 90°", trainees=1)[1]
    assert "Turn 90°. The manual gives no tolerance: stop at the line, not short of it;" in words
    assert "low edge" not in words


def test_a_long_title_fits() -> None:
    document = a_set(title=("Ŵiiiide M " * 12).strip(), trainees=2)
    check(document)
    for page in document.pages:
        assert " ".join(text.text for text in placed_texts(page)).count("Ŵiiiide") == 12


@each(("paper", "margin"), [("140x140", "30 mm"), ("300x140", "15 mm")])
def test_a_page_without_room_for_its_rulers_is_refused(paper: str, margin: str) -> None:
    with pytest.raises(LayoutError, match=r"no room for the 100 mm rulers.*larger paper"):
        a_set(paper=paper, margin=margin)


def test_the_smallest_page_holds_every_part_below_the_longest_title() -> None:
    check(a_set(paper="140x140", margin="10 mm", title=("Ŵiiiide M " * 12).strip(), trainees=1))


def test_a_figure_wider_than_its_column_keeps_its_width_so_that_the_page_can_refuse_it() -> None:
    figure = draw_blank(View(6, True, radius=30.0, ring_mm=10.0), ())
    assert figure.width_mm >= 80
    assert centred(figure, 60.0).width_mm == side_by_side([figure, figure], 100.0).width_mm / 2 == figure.width_mm
    assert centred(figure, 90.0).width_mm == 90


@each("paper", ["140x140", "200x240", "legal", "1500x1500"])
def test_unusual_pages_are_filled_as_cleanly(paper: str) -> None:
    check(a_set(paper=paper, trainees=3))
