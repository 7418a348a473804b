"""Paper sizes against ISO 216:2007, Table 1 (A3, A4, A5), and the inch sizes letter, legal and tabloid.

Confidence: from memory, and worked out again from the rules: A0 is 1 m² with sides as 1 : √2, each next size is the one
before cut in half across its longer side, rounded down to a millimetre. Letter is 8.5 × 11 in, legal 8.5 × 14 in
and tabloid 11 × 17 in (common practice; from memory).
"""

from __future__ import annotations

import math

import pytest

from kit.each import each
from marking.sheets.paper import SIZES, Paper, parse_sheet

PRINTED = [("a3", 297, 420), ("a4", 210, 297), ("a5", 148, 210)]
INCH = [("letter", 8.5, 11), ("legal", 8.5, 14), ("tabloid", 11, 17)]


def a_size(number: int) -> tuple[int, int]:
    """Return width and height of an A size, cut down from A0 = 841 mm × 1189 mm."""
    width, height = 841, 1189
    for _ in range(number):
        width, height = height // 2, width
    return width, height


@each(("name", "width", "height"), PRINTED)
def test_a_sizes_are_the_printed_ones(name: str, width: int, height: int) -> None:
    assert parse_sheet(name) == Paper(width, height)


@each("name", ["a3", "a4", "a5"])
def test_a_sizes_are_halves_of_one_another(name: str) -> None:
    assert parse_sheet(name)[:2] == a_size(int(name[1:]))


@each("name", ["a3", "a4", "a5"])
def test_a_sizes_have_sides_as_one_to_the_root_of_two(name: str) -> None:
    """Within the millimetre that is rounded away."""
    paper = parse_sheet(name)
    assert paper.width_mm * math.sqrt(2) == pytest.approx(paper.height_mm, abs=1.0)


@each(("name", "width_in", "height_in"), INCH)
def test_inch_sizes_are_the_printed_ones(name: str, width_in: float, height_in: float) -> None:
    assert parse_sheet(name)[:2] == pytest.approx((width_in * 25.4, height_in * 25.4), abs=1e-9)


def test_the_named_sizes_are_all_checked_here() -> None:
    assert sorted(SIZES) == sorted(row[0] for row in PRINTED + INCH)
