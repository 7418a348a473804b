"""Driving squares against ISO 1174-1, read through GOST 24372-80, Tables 1 and 2 (the same squares).

Confidence: male limits of 6.3 to 25 were read on one page, and their largest is exactly the inch size. Female limits of
6.3 and 10 and the largest female 12.5 were read too; the smallest female 12.5 and both female limits of 20 and 25 are
from memory. Of the size 40 only the inch name is known, from memory.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from kit.each import each
from marking.fastening.socket import DRIVES, parse_drive
from marking.tables import rows

# nominal mm, inch name, male largest, male smallest, female smallest, female largest; mm
SQUARES = [
    ("6.3", "1/4", 6.35, 6.26, 6.405, 6.625),
    ("10", "3/8", 9.525, 9.435, 9.58, 9.80),
    ("12.5", "1/2", 12.70, 12.59, 12.805, 13.025),
    ("20", "3/4", 19.05, 18.92, 19.22, 19.44),
    ("25", "1", 25.40, 25.27, 25.57, 25.79),
]

INCH_NAMES = [
    ("1/4", Fraction(1, 4)),
    ("3/8", Fraction(3, 8)),
    ("1/2", Fraction(1, 2)),
    ("3/4", Fraction(3, 4)),
    ("1", Fraction(1)),
    ("1-1/2", Fraction(3, 2)),
]


def table_row(nominal: str) -> dict[str, str]:
    (row,) = (row for row in rows("drive_squares") if row["nominal_mm"] == nominal)
    return row


@each(("inch", "size"), INCH_NAMES)
def test_the_largest_male_square_is_the_inch_size_itself(inch: str, size: Fraction) -> None:
    assert parse_drive(inch).male_max_mm == pytest.approx(float(size * Fraction("25.4")), abs=1e-9)


def test_the_drives_are_those_of_the_standard_and_no_others() -> None:
    assert [(drive.inch, drive.nominal_mm) for drive in DRIVES] == [
        ("1/4", 6.3),
        ("3/8", 10),
        ("1/2", 12.5),
        ("3/4", 20),
        ("1", 25),
        ("1-1/2", 40),
    ]


@each(("nominal", "inch", "male_max", "male_min", "female_min", "female_max"), SQUARES)
def test_the_limits_are_the_standards(
    nominal: str, inch: str, male_max: float, male_min: float, female_min: float, female_max: float
) -> None:
    row = table_row(nominal)
    assert row["inch"] == inch
    assert float(row["male_max_mm"]) == male_max
    assert float(row["male_min_mm"]) == male_min
    assert float(row["female_min_mm"]) == female_min
    assert float(row["female_max_mm"]) == female_max


@each("nominal", [square[0] for square in SQUARES])
def test_every_handle_goes_into_every_socket_of_its_size(nominal: str) -> None:
    row = table_row(nominal)
    assert float(row["female_min_mm"]) > float(row["male_max_mm"])


@each("nominal", [square[0] for square in SQUARES])
def test_the_female_square_has_the_same_tolerance_in_every_size(nominal: str) -> None:
    """0.22 mm: read for 6.3 and 10 in GOST 24372-80, Table 2; for the others it rests on limits from memory."""
    row = table_row(nominal)
    assert float(row["female_max_mm"]) - float(row["female_min_mm"]) == pytest.approx(0.22, abs=1e-9)
