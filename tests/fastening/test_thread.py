"""Thread designations as drawings and manuals write them, what a thread's numbers are, and what is refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.each import each
from kit.examples import ANY
from marking import MarkingError
from marking.errors import RangeError, TextInputError
from marking.fastening.strength import parse_strength
from marking.fastening.thread import Thread, parse_thread, threads
from marking.quantities.scanner import MAX_TEXT

READ = {
    "M12x1.75": ("M12 × 1.75", 12, 1.75), "M12×1,75": ("M12 × 1.75", 12, 1.75), "M12": ("M12 × 1.75", 12, 1.75),
    "m 12 x 1.5": ("M12 × 1.5", 12, 1.5), "M12*1.25": ("M12 × 1.25", 12, 1.25), "M12x1.75-6g": ("M12 × 1.75", 12, 1.75),
    "M10x1-5g6g": ("M10 × 1", 10, 1), "\u00a0M8 ": ("M8 × 1.25", 8, 1.25), "M12x1": ("M12 × 1", 12, 1),
    "1/2-13": ("1/2-13 UNC", 12.7, 25.4 / 13), "1/2-13 UNC": ("1/2-13 UNC", 12.7, 25.4 / 13),
    "½-13": ("1/2-13 UNC", 12.7, 25.4 / 13), "0.5-13": ("1/2-13 UNC", 12.7, 25.4 / 13),
    '1/2"-13': ("1/2-13 UNC", 12.7, 25.4 / 13), "½ UNF": ("1/2-20 UNF", 12.7, 1.27),
    "5/8 - 11 UNC-2A": ("5/8-11 UNC", 15.875, 25.4 / 11), "3/4-16UNF": ("3/4-16 UNF", 19.05, 1.5875),
    "1-8": ("1-8 UNC", 25.4, 3.175), "1 1/8-7 UNC": ("1-1/8-7 UNC", 28.575, 25.4 / 7),
    "1.125-8 UN": ("1-1/8-8 UN", 28.575, 3.175), "#10-24": ("#10-24", 4.826, 25.4 / 24),
    "No. 10-32 UNF": ("#10-32 UNF", 4.826, 0.79375), "1/4–20": ("1/4-20 UNC", 6.35, 1.27),
}  # fmt: skip


@each(("text", "expected"), READ.items())
def test_threads_are_read(text: str, expected: tuple[str, float, float]) -> None:
    thread = parse_thread(text)
    assert thread.name == expected[0]
    assert (thread.diameter_mm, thread.pitch_mm) == pytest.approx(expected[1:], rel=1e-12)


UNREADABLE = {
    "": 0, "M": 1, "nan": 0, "M-12": 1, "M12-1.5": 3, "M12 x": 5, "M12x1,755": 5, "M12x1/2": 4, "M1/2x1": 1, "M3.3": 4,
    "M1e9x2": 2, "1/2": 3, "1/2-20 UNC": 7, "1/2-13 LH": 7, "1/2-13 UNRC": 7, "1/0-3": 0, "#11-24": 1, "M12 1.75": 4,
    "<b>M12</b>": 0, "\u202eM12": 0, "M١٢": 1, "M12\n": 3, "x" * 500: MAX_TEXT, "9" * 40 + "-3": 0,
}  # fmt: skip


@each(("text", "position"), UNREADABLE.items())
def test_unreadable_threads_are_refused_with_a_caret_under_the_fault(text: str, position: int) -> None:
    with pytest.raises(TextInputError) as caught:
        parse_thread(text)
    assert caught.value.position == position
    assert "\n" in str(caught.value)


@each(
    ("text", "said"),
    [
        ("M12x12", "a pitch of 12 mm"), ("M12x5", "0.2 mm to 3 mm"), ("M12x0.1", "a pitch of 0.1 mm"),
        ("M100x0.5", "1 mm to 25 mm"), ("M0.5x0.1", "a diameter of 0.5 mm"), ("M9999x3", "1 mm to 152.4 mm"),
        ("10-24", "write numbered sizes as #10-24"), ("1/2-0", "no threads"), ("1/2-2", "a pitch of 12.7 mm"),
    ],
)  # fmt: skip
def test_threads_that_cannot_be_are_refused(text: str, said: str) -> None:
    with pytest.raises(RangeError, match=said.replace("#", r"\#")):
        parse_thread(text)


@each("text", ["1-64", " 1 -72", "1–72 UNF-2A"])
def test_number_one_and_one_inch_are_told_apart(text: str) -> None:
    with pytest.raises(TextInputError):
        parse_thread(text)
    assert parse_thread("1 in-72").diameter_mm == pytest.approx(25.4)
    assert parse_thread("#1-72").diameter_mm == pytest.approx(0.073 * 25.4)


@each(("text", "advice"), [("1-64", "write #1-64, or 1 in-64"), ("M42", "write M42x and"), ("M1.6", "write M1.6x and")])
def test_a_size_without_a_pitch_is_told_how_to_write_that_very_size(text: str, advice: str) -> None:
    with pytest.raises(TextInputError, match=advice):
        parse_thread(text)


@each("text", ["12x1.75", "12 × 1,75", "30*2"])
def test_a_metric_thread_without_its_m_is_told_so(text: str) -> None:
    with pytest.raises(TextInputError, match="M before a metric size") as caught:
        parse_thread(text)
    assert caught.value.position == 0


@given(st.text(ANY, max_size=30) | st.text("M123456789x×./-# UNCFHL½", max_size=14))
def test_any_text_is_read_or_refused_with_a_reason(text: str) -> None:
    try:
        thread = parse_thread(text)
    except MarkingError:
        return
    assert 0 < thread.d3_mm < thread.d2_mm < thread.diameter_mm
    assert math.isfinite(thread.area_mm2)


@each("thread", threads())
def test_every_thread_of_the_tables_is_read_back_from_its_name(thread: Thread) -> None:
    assert parse_thread(thread.name) == thread


def test_a_thread_that_the_tables_lack_takes_its_area_from_the_formula() -> None:
    thread = parse_thread("M12x1")
    assert (thread.series, thread.table_area_mm2, thread.area_source) == ("", None, "formula")
    assert thread.area_mm2 == pytest.approx(math.pi / 4 * (12 - 0.9382) ** 2, rel=1e-4)
    assert parse_thread("M12x1.25").area_source == "table"


def test_the_coarse_pitch_is_taken_where_none_is_given() -> None:
    assert parse_thread("M20") == parse_thread("M20x2.5")
    assert parse_thread("M20").series == "coarse"
    assert parse_thread("M20x1.5").series == "fine"


@given(st.sampled_from(threads()), st.floats(0.1, 3600))
def test_a_whole_turn_advances_by_the_pitch_and_parts_in_proportion(thread: Thread, turn_deg: float) -> None:
    assert thread.advance_mm(360.0) == pytest.approx(thread.pitch_mm, rel=1e-12)
    assert thread.advance_mm(2 * turn_deg) == pytest.approx(2 * thread.advance_mm(turn_deg), rel=1e-12)


CLASSES = [
    ("M12", "8.8", 580), ("M16", "8.8", 580), ("M18", "8.8", 600), ("M12", "8,8", 580), ("M12", "class 10.9", 830),
    ("M36", "ISO 898-1 class 12.9", 970), ("M16", "9.8", 650), ("M12x1", "10.9", 830),
    ("1-8", "5", 586.05), ("1-1/8-7", "grade 5", 510.21), ("1/4-20", "gr. 8", 827.37),
    ("1-1/2-6", "SAE J429 8", 827.37),
]  # fmt: skip


@each(("thread", "text", "proof_mpa"), CLASSES)
def test_proof_stress_follows_class_and_size(thread: str, text: str, proof_mpa: float) -> None:
    assert parse_strength(text, parse_thread(thread)).proof_mpa == pytest.approx(proof_mpa, abs=0.01)


@each(
    ("thread", "text"),
    [
        ("M18", "9.8"),
        ("M42x3", "10.9"),
        ("M12", "5"),
        ("1/2-13", "10.9"),
        ("#10-24", "8"),
        ("1-3/4-5", "8"),
        ("M12", "4"),
    ],
)
def test_a_class_that_does_not_go_with_the_thread_is_refused(thread: str, text: str) -> None:
    with pytest.raises(RangeError, match=r"expected .*; check (screw|strength) "):
        parse_strength(text, parse_thread(thread))


@each("text", ["", "high", "10.9.1", "10.9 x", "-8.8", "<8.8>", "8" * 99])
def test_a_class_that_cannot_be_read_is_refused_with_a_caret(text: str) -> None:
    with pytest.raises(TextInputError):
        parse_strength(text, parse_thread("M12"))
