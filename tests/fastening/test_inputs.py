"""Lengths and torques, as people write them; and what is refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.each import each
from marking.errors import RangeError, TextInputError
from marking.quantities.parse import parse_length
from marking.quantities.scanner import MAX_TEXT
from marking.quantities.shown import plain_number, rounded, trimmed
from marking.quantities.torque import parse_torque

LENGTHS = {
    "27.8 mm": 27.8, "27.8mm": 27.8, "27,8 mm": 27.8, "27,85 mm": 27.85, ".5 in": 12.7, "2.78 cm": 27.8,
    "0.0278 m": 27.8, "1-3/32 in": 27.78125, '1 3/32"': 27.78125, "1 3/32 inches": 27.78125, "¾ in": 19.05,
    "1¾″": 44.45, "3/4 in.": 19.05, "7/16''": 11.1125, "\u00a019\u202fmm ": 19.0, "19 MM": 19.0, "1 ½ in": 38.1,
    "Ø27.8 mm": 27.8, "Ø 27,8 mm": 27.8, "⌀27.8mm": 27.8, "27.8 mm dia.": 27.8, "OD 27.8 mm": 27.8, "27.8 mm OD": 27.8,
    "27.8 millimeters": 27.8, "1 millimetre": 1, "19 mm AF": 19, "19 mm A/F": 19, "19 mm across flats": 19,
    "3/4 in AF": 19.05, "2 inches": 50.8, "1.234 mm": 1.234,
}  # fmt: skip


@each(("text", "mm"), LENGTHS.items())
def test_lengths_are_read(text: str, mm: float) -> None:
    assert parse_length(text).mm == pytest.approx(mm, rel=1e-12)


BAD_LENGTHS = {
    "": 0, "   ": 0, "27.8": 4, "27.8 furlong": 5, "1,234 mm": 1, "1,2345 mm": 1, "-3 mm": 0, "−3 mm": 0, "mm": 0,
    "3/0 in": 0, "1e5 mm": 1, "27.8 mm x": 8, "27..8 mm": 2, "1.2.3 mm": 3, "1-3/2 in": 1, "٣ mm": 0, "½½ in": 1,
    "__import__('os')": 0, "1 mm\n": 4, "9" * 40 + " mm": 0, "nan mm": 0, "inf mm": 0, "⅟ in": 0, "x" * 500: MAX_TEXT,
    "27.8 İN": 5, "27.8 ın": 5, "27.8 İnch": 5, "0 3/4 in": 2,
    "Ø": 1, "27.8 mmm": 5, "19 mm AFX": 6, "0": 1,
}  # fmt: skip


@each(("text", "position"), BAD_LENGTHS.items())
def test_unreadable_lengths_are_refused_with_a_caret_under_the_fault(text: str, position: int) -> None:
    with pytest.raises(TextInputError) as caught:
        parse_length(text, "outside diameter")
    assert caught.value.position == position
    head, shown, caret, *_ = str(caught.value).split("\n")
    assert head.startswith("the outside diameter ")
    assert caret.strip() == "^"
    if position < len(text) <= 60 and text[position].isascii() and text[position].isprintable():
        assert shown[caret.index("^")] == text[position]


def test_a_length_of_zero_is_refused_unless_it_is_meant_and_needs_no_unit_then() -> None:
    with pytest.raises(RangeError, match="more than zero"):
        parse_length("0 mm")
    assert parse_length("0", zero=True) == parse_length("0 mm", zero=True) == (0.0, "mm", "0 mm")
    with pytest.raises(TextInputError):
        parse_length("0 x", zero=True)
    with pytest.raises(TextInputError):
        parse_length("1", zero=True)


@each(("text", "field", "words"), [
    ("Ø27.8 mm", "around", "is a diameter"), ("27.8 mm dia", "around", "give a diameter with OD"),
    ("19 mm AF", "od", "is a width across flats"), ("Ø19 mm", "opening", "is a diameter"),
    ("19 mm AF", "around", "leave AF out"),
])  # fmt: skip
def test_a_length_that_says_it_measures_something_else_is_refused(text: str, field: str, words: str) -> None:
    with pytest.raises(TextInputError, match=words):
        parse_length(text, field)


TORQUES = {
    "110 N·m": 110, "110 Nm": 110, "110 N m": 110, "110 N.m": 110, "110 N⋅m": 110, "110 N*m": 110, "110 N-m": 110,
    "11 daN·m": 110, "11 daNm": 110, "10 kgf·m": 98.0665, "10 kg·m": 98.0665, "100 kgf·cm": 9.80665,
    "100 kgcm": 9.80665,
    "10 lbf·ft": 13.558179483314004, "10 lb-ft": 13.558179483314004, "10 ft-lb": 13.558179483314004,
    "10 ft·lbs": 13.558179483314004, "10 ft. lbs": 13.558179483314004, "10 foot-pounds": 13.558179483314004,
    "10 mkg": 98.0665, "10 lbf·in": 1.129848290276167, "10 in-lb": 1.129848290276167, "10 in-lbs": 1.129848290276167,
}  # fmt: skip


@each(("text", "nm"), TORQUES.items())
def test_torques_are_read(text: str, nm: float) -> None:
    assert parse_torque(text).nm == pytest.approx(nm, rel=1e-12)


@each(
    "text",
    [
        "110",
        "110 N",
        "110 m",
        "110 mN·km",
        "110 lb",
        "110 N·ft",
        "110 °",
        "N·m",
        "110 N·m m",
        "110 mN",
        "110 MN",
        "110 mN·m",
        "110 MN·m",
        "110 m·N",
        "10 lbſ·ft",
        "10 lbf·İn",
        "10 lbf·ın",
        "10 \u212agf·m",
    ],
)
def test_what_is_no_torque_is_refused(text: str) -> None:
    with pytest.raises(TextInputError):
        parse_torque(text)


def test_torque_is_shown_in_both_systems() -> None:
    assert parse_torque("110 Nm").both == "110 N·m (81.1 lbf·ft)"
    assert parse_torque("30 ft-lb").both == "30 lbf·ft (40.7 N·m)"
    assert parse_torque("11 kgf·m").both == "11 kgf·m (108 N·m, 79.6 lbf·ft)"


@given(st.fractions(min_value=0, max_value=10, max_denominator=64), st.sampled_from(["in", "mm"]))
def test_inches_and_millimetres_are_read_exactly(value: object, unit: str) -> None:
    from fractions import Fraction

    assert isinstance(value, Fraction)
    whole, rest = divmod(value, 1)
    text = f"{whole}-{rest}" if whole and rest else str(value)
    if value:
        mm = value * Fraction("25.4") if unit == "in" else value
        assert parse_length(f"{text} {unit}").mm == pytest.approx(float(mm), rel=1e-15)


@given(st.floats(1e-9, 1e9))
def test_plain_numbers_read_back_exactly_and_hold_no_exponent(value: float) -> None:
    text = plain_number(value)
    assert float(text) == value
    assert "e" not in text


def test_numbers_are_shown_without_needless_decimals() -> None:
    assert [trimmed(90.0, 2), trimmed(97.86, 1), trimmed(-0.001, 2), rounded(81.1327), rounded(1491.2)] == [
        "90", "97.9", "0", "81.1", "1491",
    ]  # fmt: skip
