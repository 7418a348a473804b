"""Hexagon widths against the standards' tolerance rule and against single printed values.

Widths: ISO 272. Limits: ISO 4014 (bolts: product grade A to M24, B above) and ISO 4032 (nuts: grade A to M16, B above);
old widths DIN 931/933; inch sizes ASME B18.2.1, table of hex cap screws. Rule: ISO 4759-1, width across flats h13 to
30 mm and h14 above (grade A), h14 to 18 mm and h15 above (grade B); corners e_min = 1.13 s_min.
Confidence: ISO 4032 on three pages, ISO 4014 on two to M20 and in data sets above M24, ASME on two; the rule and the
standard tolerances IT13 to IT15 (ISO 286-1, Table 1) from memory.
"""

from __future__ import annotations

import math

import pytest

from kit.each import each
from marking.tables import rows

# ISO 272: width across flats by thread size
WIDTHS = {
    "M5": 8,
    "M6": 10,
    "M8": 13,
    "M10": 16,
    "M12": 18,
    "M14": 21,
    "M16": 24,
    "M18": 27,
    "M20": 30,
    "M22": 34,
    "M24": 36,
    "M27": 41,
    "M30": 46,
    "M33": 50,
    "M36": 55,
}
# DIN 931/933: the widths that ISO 272 replaced; they are still on the market (common practice, no published source)
OLD_WIDTHS = {"M10": 17, "M12": 19, "M14": 22, "M22": 32}

# ISO 286-1, Table 1: over .. up to and including (mm), IT13, IT14, IT15 (mm)
STANDARD_TOLERANCES = [
    (6, 10, 0.22, 0.36, 0.58),
    (10, 18, 0.27, 0.43, 0.70),
    (18, 30, 0.33, 0.52, 0.84),
    (30, 50, 0.39, 0.62, 1.00),
    (50, 80, 0.46, 0.74, 1.20),
]

# standard, size, smallest width across flats and across corners as printed
PRINTED = [
    ("ISO 4014", "M8", 12.73, 14.38),
    ("ISO 4014", "M12", 17.73, 20.03),
    ("ISO 4014", "M16", 23.67, 26.75),
    ("ISO 4014", "M20", 29.67, 33.53),
    ("ISO 4014", "M24", 35.38, 39.98),
    ("ISO 4032", "M8", 12.73, 14.38),
    ("ISO 4032", "M14", 20.67, 23.36),
    ("ISO 4032", "M20", 29.16, 32.95),
    ("ISO 4032", "M24", 35.00, 39.55),
    ("ISO 4032", "M27", 40.00, 45.20),
    ("ISO 4032", "M36", 53.80, 60.79),
    ("DIN 931/933 (old width)", "M10", 16.73, 18.90),
    ("DIN 931/933 (old width)", "M12", 18.67, 21.10),
    ("DIN 931/933 (old width)", "M22", 31.61, 35.72),
]

# ASME B18.2.1, hex cap screws: size, basic width, width across flats largest and smallest, across corners smallest; in
CAP_SCREWS = [
    ("1/4", 0.4375, 0.438, 0.428, 0.488),
    ("5/16", 0.5, 0.500, 0.489, 0.557),
    ("3/8", 0.5625, 0.562, 0.551, 0.628),
    ("7/16", 0.625, 0.625, 0.612, 0.698),
    ("1/2", 0.75, 0.750, 0.736, 0.840),
    ("9/16", 0.8125, 0.812, 0.798, 0.910),
    ("5/8", 0.9375, 0.938, 0.922, 1.051),
    ("3/4", 1.125, 1.125, 1.100, 1.254),
    ("7/8", 1.3125, 1.312, 1.285, 1.465),
    ("1", 1.5, 1.500, 1.469, 1.675),
    ("1-1/8", 1.6875, 1.688, 1.631, 1.859),
    ("1-1/4", 1.875, 1.875, 1.812, 2.066),
    ("1-3/8", 2.0625, 2.062, 1.994, 2.273),
    ("1-1/2", 2.25, 2.250, 2.175, 2.480),
]

HALF_A_MIL = 0.00055
"""Half of the last digit of a table in 0.001 in, and a little for the library's rounding to 0.001 mm."""

ASME = "ASME B18.2.1 hex cap screw"
METRIC = [
    *(("ISO 4014", size, width) for size, width in WIDTHS.items()),
    *(("ISO 4032", size, width) for size, width in WIDTHS.items()),
    *(("DIN 931/933 (old width)", size, width) for size, width in OLD_WIDTHS.items()),
]


class Hexagon:
    """One row of the library's table."""

    def __init__(self, standard: str, size: str) -> None:
        (row,) = (row for row in rows("hexagons") if (row["standard"], row["size"]) == (standard, size))
        self.s_max, self.s_min, self.e_min = (float(row[name]) for name in ("s_max_mm", "s_min_mm", "e_min_mm"))


def smallest_width(standard: str, size: str, width: float) -> float:
    """Return the nominal width less the tolerance that ISO 4759-1 gives to the product grade of that size.

    The old DIN widths keep h13 up to 32 mm, as ISO 4759-1 had it before 2000 (from memory).
    """
    it13, it14, it15 = next(row[2:] for row in STANDARD_TOLERANCES if row[0] < width <= row[1])
    last_of_grade_a = {"ISO 4014": 24, "ISO 4032": 16}.get(standard, 24)
    if int(size.removeprefix("M")) > last_of_grade_a:
        return width - (it14 if width <= 18 else it15)
    return width - (it13 if width <= (32 if standard.startswith("DIN") else 30) else it14)


@each(("standard", "size", "width"), METRIC)
def test_the_largest_hexagon_has_the_nominal_width(standard: str, size: str, width: int) -> None:
    assert Hexagon(standard, size).s_max == width


@each(("standard", "size", "width"), METRIC)
def test_the_smallest_width_follows_the_tolerance_of_its_grade(standard: str, size: str, width: int) -> None:
    assert Hexagon(standard, size).s_min == pytest.approx(smallest_width(standard, size, width), abs=1e-9)


@each(("standard", "size", "width"), METRIC)
def test_the_smallest_corners_are_1_13_times_the_smallest_flats(standard: str, size: str, width: int) -> None:
    expected = 1.13 * smallest_width(standard, size, width)
    assert Hexagon(standard, size).e_min == pytest.approx(expected, abs=0.0051)


@each(("standard", "size", "s_min", "e_min"), PRINTED)
def test_limits_are_those_printed_in_the_standard(standard: str, size: str, s_min: float, e_min: float) -> None:
    hexagon = Hexagon(standard, size)
    assert (hexagon.s_min, hexagon.e_min) == (s_min, e_min)


@each(("size", "basic", "s_max", "s_min", "e_min"), CAP_SCREWS)
def test_inch_limits_are_those_printed_in_the_standard(
    size: str, basic: float, s_max: float, s_min: float, e_min: float
) -> None:
    hexagon = Hexagon(ASME, size)
    assert hexagon.s_max == pytest.approx(25.4 * s_max, abs=0.00051)
    assert hexagon.s_min == pytest.approx(25.4 * s_min, abs=0.00051)
    assert hexagon.e_min == pytest.approx(25.4 * e_min, abs=0.00051)


@each(("size", "basic"), [screw[:2] for screw in CAP_SCREWS])
def test_the_largest_inch_hexagon_has_the_basic_width(size: str, basic: float) -> None:
    """To the 0.001 in of the printed table: 7/16 in is printed 0.438."""
    assert Hexagon(ASME, size).s_max / 25.4 == pytest.approx(basic, abs=HALF_A_MIL)


@each("size", [screw[0] for screw in CAP_SCREWS if screw[0] != "1/2"])
def test_the_smallest_inch_corners_are_1_14_times_the_smallest_flats(size: str) -> None:
    """ASME B18.2.1, to the 0.001 in of the printed table."""
    hexagon = Hexagon(ASME, size)
    assert hexagon.e_min / 25.4 == pytest.approx(1.14 * hexagon.s_min / 25.4, abs=HALF_A_MIL)


def test_the_half_inch_cap_screw_is_printed_a_digit_above_that_rule() -> None:
    """1.14 × 0.736 in = 0.839 in; the table prints 0.840, on two pages, and the printed value is kept."""
    hexagon = Hexagon(ASME, "1/2")
    assert hexagon.e_min / 25.4 - 1.14 * hexagon.s_min / 25.4 == pytest.approx(0.001, abs=0.0001)


def test_the_table_holds_these_hexagons_and_no_others() -> None:
    expected = {(standard, size) for standard, size, _ in METRIC} | {(ASME, screw[0]) for screw in CAP_SCREWS}
    assert sorted((row["standard"], row["size"]) for row in rows("hexagons")) == sorted(expected)


@each("row", rows("hexagons"))
def test_corners_lie_between_the_flats_and_a_sharp_hexagon(row: dict[str, str]) -> None:
    """By geometry: rounded corners are less than 2/√3 of the flats of the largest hexagon."""
    assert float(row["s_max_mm"]) < float(row["e_min_mm"]) < float(row["s_max_mm"]) * 2 / math.sqrt(3)
