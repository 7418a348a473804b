"""The tape's graduations against printed tables of circles: for stock without thickness they are circumferences.

Diameters and circumferences as in the tables of circumferences of circles of engineers' handbooks (Machinery's
Handbook and others print them by whole units and by fractions of an inch). Typed from memory; equal to π d to the
printed digits, which the last test holds. Confidence: high, since any misprint would show there.
"""

from __future__ import annotations

import math

import pytest

from kit.each import each
from kit.measure import groups, of_role, only, strokes, svg_root
from marking.outputs.tape.plan import plan
from marking.outputs.tape.request import TapeRequest
from marking.outputs.tape.sheet import draw
from marking.sheets.paper import SIZES, Paper

# diameter, circumference; whole units, four decimals
WHOLE: list[tuple[float, str]] = [
    (8, "25.1327"),
    (9, "28.2743"),
    (10, "31.4159"),
    (11, "34.5575"),
    (12, "37.6991"),
    (13, "40.8407"),
    (14, "43.9823"),
    (15, "47.1239"),
    (16, "50.2655"),
    (17, "53.4071"),
    (18, "56.5487"),
    (19, "59.6903"),
    (20, "62.8319"),
    (22, "69.1150"),
    (24, "75.3982"),
    (25, "78.5398"),
    (27, "84.8230"),
    (28, "87.9646"),
    (30, "94.2478"),
    (32, "100.5310"),
    (36, "113.0973"),
    (40, "125.6637"),
    (45, "141.3717"),
    (50, "157.0796"),
    (55, "172.7876"),
    (60, "188.4956"),
    (64, "201.0619"),
    (70, "219.9115"),
    (75, "235.6194"),
    (80, "251.3274"),
]

# diameter, circumference; inches by tenths and halves, four decimals
INCHES: list[tuple[float, str]] = [
    (0.4, "1.2566"),
    (0.5, "1.5708"),
    (0.6, "1.8850"),
    (0.7, "2.1991"),
    (0.8, "2.5133"),
    (0.9, "2.8274"),
    (1.0, "3.1416"),
    (1.1, "3.4558"),
    (1.2, "3.7699"),
    (1.3, "4.0841"),
    (1.4, "4.3982"),
    (1.5, "4.7124"),
    (1.6, "5.0265"),
    (1.8, "5.6549"),
    (2.0, "6.2832"),
    (2.5, "7.8540"),
    (3.0, "9.4248"),
]

SVG_ROUNDING_MM = 0.0002


def graduations(unit: str) -> dict[float, float]:
    """Length from the index line to every graduation of a printed tape of no thickness, by its OD; mm."""
    document = draw(plan(TapeRequest(8.0, 80.0, unit, Paper(*SIZES["a3"]), 0.0)))
    (tape,) = (piece for page in document.pages for piece in groups(svg_root(page, document), "diameter-tape"))
    lines = strokes(tape)
    index = only(lines, "index").x1
    return {float(line.data["od"]): line.x1 - index for line in of_role(lines, "graduation")}


@each(("diameter", "circumference"), WHOLE)
def test_a_metric_graduation_is_as_far_as_the_table_says(diameter: float, circumference: str) -> None:
    assert graduations("mm")[diameter] == pytest.approx(float(circumference), abs=0.00005 + SVG_ROUNDING_MM)


@each(("diameter", "circumference"), INCHES)
def test_an_inch_graduation_is_as_far_as_the_table_says(diameter: float, circumference: str) -> None:
    found = graduations("in")[round(25.4 * diameter, 3)] / 25.4
    assert found == pytest.approx(float(circumference), abs=0.00005 + SVG_ROUNDING_MM / 25.4)


@each(("diameter", "circumference"), WHOLE + INCHES)
def test_the_table_is_pi_times_the_diameter_to_its_last_digit(diameter: float, circumference: str) -> None:
    assert f"{math.pi * diameter:.4f}" == circumference
