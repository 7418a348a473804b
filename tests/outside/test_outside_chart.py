"""The wall chart's numbers against printed factors and facts of the trade."""

from __future__ import annotations

from kit.each import each
from marking.outputs.chart.plan import factor_rows, measure_rows, place_rows

PRINTED_BY_NIST = [("lbf·ft", "1.355818"), ("lbf·in", "0.1129848"), ("kgf·m", "9.80665"), ("kgf·cm", "0.0980665")]
"""NIST SP 811 (2008 edition), Appendix B.8, "moment of force or torque", 7 figures. Confidence: lbf·ft, lbf·in and
kgf·m were read on two conversion pages that agree; the document itself was not opened. kgf·cm is kgf·m / 100."""


@each(("unit", "printed"), PRINTED_BY_NIST)
def test_the_factors_are_those_that_nist_prints(unit: str, printed: str) -> None:
    assert {row[0]: row[1] for row in factor_rows()}[unit] == printed


PLACES = [
    (12, "90°", "on corner 4 (3 corners on)"),  # three notches
    (12, "30°", "on corner 2 (1 corner on)"),  # one notch
    (6, "90°", "mid-flat between corners 2 and 3 (1-1/2 corners on)"),  # past the next corner, to the mid-flat
    (6, "60°", "on corner 2 (1 corner on)"),
    (4, "90°", "on corner 2 (1 corner on)"),
    (8, "45°", "on corner 2 (1 corner on)"),
]
"""Common practice, no published source."""


@each(("points", "turn", "words"), PLACES)
def test_common_turns_end_where_the_trade_says(points: int, turn: str, words: str) -> None:
    (row,) = [row for row in place_rows((points,)) if row[0] == turn]
    assert row[1] == words


MEASURES = [
    ("90°", "1/4", "1-1/2", "3"),
    ("120°", "1/3", "2", "4"),
    ("180°", "1/2", "3", "6"),
    ("240°", "2/3", "4", "8"),
]
"""Parts of a turn: EN 1090-2:2018, 8.5.4 (1/4 turn and 1/3 turn are 90° and 120°, read on one open page); RCSC
Specification, turn-of-nut table (1/2 and 2/3 turn, read on two pages). Flats and notches: common practice, no published
source."""


@each("expected", MEASURES)
def test_parts_of_a_turn_are_those_of_the_published_rules(expected: tuple[str, ...]) -> None:
    assert expected in measure_rows()
