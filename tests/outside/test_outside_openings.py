"""Openings of wrenches and sockets against ISO 691 and the appendix of ASME B18.2.2.

Metric: ISO 691, tolerances for general use, read through GB/T 4390-1995 (equivalent to ISO 691:1983), table of limit
deviations, machined. Confidence: one page; the sizes 8, 10, 13, 16, 18, 21 and 27 agree with JIS B 4632-1986, Table 1,
on a second page; the lower deviation of 6 and 7 partly illegible, completed from memory. ISO 691:2005 was not seen.
Inch: ASME/ANSI B18.2.2, appendix on wrench openings for nuts, as printed in Machinery's Handbook, 27th and 31st
editions. Confidence: both editions.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from kit.each import each
from marking.tables import rows

# nominal sizes of one row of the source, lower and upper deviation; mm
DEVIATIONS = [
    ("3.2", 0.02, 0.08),
    ("4 5 5.5", 0.02, 0.12),
    ("6 7 8 9", 0.03, 0.15),
    ("10 11", 0.04, 0.19),
    ("12 13", 0.04, 0.24),
    ("14 15 16", 0.05, 0.27),
    ("17 18", 0.05, 0.30),
    ("19 20 21 22 23 24 25", 0.06, 0.36),
    ("26 27 28 30 32", 0.08, 0.48),
    ("34 36 41 46 50", 0.10, 0.60),
    ("55 60 65 70", 0.12, 0.72),
]
METRIC = [(nominal, lower, upper) for sizes, lower, upper in DEVIATIONS for nominal in sizes.split()]

# JIS B 4632-1986, Table 1: nominal, smallest, largest; mm
ON_A_SECOND_PAGE = [
    ("8", 8.03, 8.15),
    ("10", 10.04, 10.19),
    ("13", 13.04, 13.24),
    ("16", 16.05, 16.27),
    ("18", 18.05, 18.30),
    ("21", 21.06, 21.36),
    ("27", 27.08, 27.48),
]

# nominal, smallest, largest as printed; in. The first five come from an older edition, says the source's footnote;
# 9/16: one printing shows 0.556, the other, and the rule, 0.566.
INCH = [
    ("1/4", 0.252, 0.257),
    ("9/32", 0.283, 0.288),
    ("5/16", 0.316, 0.322),
    ("11/32", 0.347, 0.353),
    ("3/8", 0.378, 0.384),
    ("7/16", 0.440, 0.446),
    ("1/2", 0.504, 0.510),
    ("9/16", 0.566, 0.573),
    ("5/8", 0.629, 0.636),
    ("11/16", 0.692, 0.699),
    ("3/4", 0.755, 0.763),
    ("13/16", 0.818, 0.826),
    ("7/8", 0.880, 0.888),
    ("15/16", 0.944, 0.953),
    ("1", 1.006, 1.015),
    ("1-1/16", 1.068, 1.077),
    ("1-1/8", 1.132, 1.142),
    ("1-1/4", 1.257, 1.267),
    ("1-5/16", 1.320, 1.331),
    ("1-3/8", 1.383, 1.394),
    ("1-7/16", 1.446, 1.457),
    ("1-1/2", 1.508, 1.520),
    ("1-5/8", 1.634, 1.646),
    ("1-11/16", 1.696, 1.708),
    ("1-13/16", 1.822, 1.835),
    ("1-7/8", 1.885, 1.898),
    ("2", 2.011, 2.025),
    ("2-1/16", 2.074, 2.088),
    ("2-3/16", 2.200, 2.215),
    ("2-1/4", 2.262, 2.277),
]

# Printed values that miss the rule by more than their last digit; the printed ones are kept.
OFF_THE_RULE = {"9/32", "5/16", "15/16", "1-1/16", "1-11/16"}


def opening(system: str, nominal: str) -> tuple[float, float, float]:
    """Return nominal, smallest and largest opening of the library's table in mm."""
    (row,) = (row for row in rows("socket_openings") if (row["system"], row["nominal"]) == (system, nominal))
    return float(row["nominal_mm"]), float(row["min_mm"]), float(row["max_mm"])


def inches(text: str) -> float:
    whole, _, part = text.rpartition("-")
    return float(Fraction(whole or 0) + Fraction(part))


def misses_the_rule_by(nominal: str) -> float:
    """Return how far, in inches, the table is off min = 1.005 W + 0.001, max = min + 0.005 W + 0.004."""
    width = inches(nominal)
    low = 1.005 * width + 0.001
    high = low + 0.005 * width + 0.004
    _, smallest, largest = opening("inch", nominal)
    return max(abs(smallest / 25.4 - low), abs(largest / 25.4 - high))


@each(("nominal", "lower", "upper"), METRIC)
def test_metric_openings_have_the_deviations_of_their_row(nominal: str, lower: float, upper: float) -> None:
    size = float(nominal)
    assert opening("metric", nominal) == pytest.approx((size, size + lower, size + upper), abs=1e-9)


@each(("nominal", "smallest", "largest"), ON_A_SECOND_PAGE)
def test_metric_openings_agree_with_a_second_standard(nominal: str, smallest: float, largest: float) -> None:
    assert opening("metric", nominal)[1:] == (smallest, largest)


@each(("nominal", "smallest", "largest"), INCH)
def test_inch_openings_are_the_printed_ones(nominal: str, smallest: float, largest: float) -> None:
    expected = (25.4 * inches(nominal), 25.4 * smallest, 25.4 * largest)
    assert opening("inch", nominal) == pytest.approx(expected, abs=0.00006)


@each("nominal", [size for size, _, _ in INCH if size not in OFF_THE_RULE])
def test_inch_openings_follow_the_rule_to_their_last_digit(nominal: str) -> None:
    assert misses_the_rule_by(nominal) < 0.00101


@each("nominal", sorted(OFF_THE_RULE))
def test_the_known_exceptions_miss_the_rule_by_little_more_than_a_digit(nominal: str) -> None:
    assert 0.00101 < misses_the_rule_by(nominal) < 0.0015


def test_the_table_holds_these_openings_and_no_others() -> None:
    expected = [("metric", size) for size, _, _ in METRIC] + [("inch", size) for size, _, _ in INCH]
    assert sorted((row["system"], row["nominal"]) for row in rows("socket_openings")) == sorted(expected)


@each("row", rows("socket_openings"))
def test_every_opening_is_wider_than_its_nominal_size(row: dict[str, str]) -> None:
    """By the purpose of an opening: even the smallest goes over the largest fastener of that size."""
    assert float(row["nominal_mm"]) < float(row["min_mm"]) < float(row["max_mm"])


@each("row", rows("hexagons"))
def test_every_hexagon_of_the_tables_goes_into_the_opening_of_its_size(row: dict[str, str]) -> None:
    """Hexagon widths of ISO 4014, ISO 4032, DIN 931/933 and ASME B18.2.1 against the openings above."""
    system = "inch" if row["standard"].startswith("ASME") else "metric"
    width = float(row["s_max_mm"])
    sizes = [opening(system, size) for size, _, _ in (INCH if system == "inch" else METRIC)]
    nominal, smallest, largest = min(sizes, key=lambda size: abs(size[0] - width))
    assert abs(nominal - width) < 0.02
    assert width < smallest < largest
