"""What a tape reads when it is wrapped, and where its lines lie."""

from __future__ import annotations

import itertools
import math
import re
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, polygonize, unary_union

from kit.collisions import check
from kit.each import each
from kit.examples import examples
from kit.measure import groups, of_role, strokes, svg_root
from kit.tape import CASES, RESOLUTION_MM, Case, Tape, printed, read_wrapped
from marking.outputs.tape.layout import SCALES


def assert_reads(case: Case, od: float) -> None:
    resolution = RESOLUTION_MM[case.unit]
    reading = read_wrapped(printed(case), od, case.stock, resolution)
    assert reading / resolution == pytest.approx(round(reading / resolution), abs=1e-6), "a whole number of divisions"
    assert abs(reading - od) <= resolution / 2 + 0.0002, f"{od} mm reads {reading} mm"  # the SVG rounds to 0.0001 mm


@examples(300)
@given(case=st.sampled_from(CASES), part=st.floats(0, 1))
def test_the_wrapped_tape_reads_the_od_to_a_division(case: Case, part: float) -> None:
    assert_reads(case, case.low + part * (case.high - case.low))


@each("case", CASES)
def test_the_first_and_the_last_od_of_a_tape_can_be_read(case: Case) -> None:
    for od in (case.low, case.high, case.high - 0.01, case.high - RESOLUTION_MM[case.unit]):
        assert_reads(case, od)


ranges = st.tuples(st.floats(8, 300), st.floats(8, 300)).map(sorted).filter(lambda ends: ends[1] - ends[0] > 0.01)

cases = st.builds(
    lambda ends, unit, stock, paper: Case(ends[0], ends[1], unit, stock, paper),
    ranges, st.sampled_from(["mm", "in"]), st.floats(0, 1), st.sampled_from(["a4", "letter", "a5", "a3", "legal"]),
)  # fmt: skip


@examples(40, shrink=False)
@given(case=cases, parts=st.lists(st.floats(0, 1), min_size=1, max_size=8))
def test_any_tape_reads_any_od_of_its_range_and_fits_its_paper(case: Case, parts: list[float]) -> None:
    for part in parts:
        assert_reads(case, min(case.high, case.low + part * (case.high - case.low)))
    check(case.document)


def test_a_metric_reading_worked_by_hand() -> None:
    """27.8 mm: 27.5 has passed the index, and the third line of the vernier, 1.2 mm of OD farther, stands at 29.0."""
    tape = printed(Case(8, 60))
    u = {value: place for place, value in tape.graduations}
    index = math.pi * 27.9
    assert u[27.5] < index < u[28.0]
    assert index + sorted(tape.vernier)[2][0] == pytest.approx(u[29.0], abs=0.0005)


@each("unit", ["mm", "in"])
def test_line_k_of_the_vernier_meets_a_graduation_exactly_at_k_divisions(unit: str) -> None:
    """The algebra, in exact fractions: n·step + k·resolution + k·division = (n + k)·step, and no other line meets."""
    scale = SCALES[unit]
    assert scale.step * scale.mm == Fraction(1, 2) if unit == "mm" else scale.step == Fraction(1, 50)
    assert scale.resolution == (Fraction(1, 10) if unit == "mm" else Fraction(1, 200))
    for n, k in itertools.product(range(10, 60), range(scale.divisions)):
        od = n * scale.step + k * scale.resolution
        meeting = [j for j in range(scale.divisions + 1) if ((od + j * scale.division) / scale.step).denominator == 1]
        assert meeting == ([0, scale.divisions] if k == 0 else [k])


@each("case", CASES)
def test_every_graduation_lies_at_pi_times_od_and_stock(case: Case) -> None:
    tape = printed(case)
    for u, od in tape.graduations:
        assert u == pytest.approx(math.pi * (od + case.stock), abs=0.0002 * (1 + len(tape.splices)))
    for u, od in tape.vernier:
        assert u == pytest.approx(math.pi * od, abs=0.0002)


@each("case", CASES)
def test_graduations_rise_without_a_gap(case: Case) -> None:
    tape = printed(case)
    assert tape.graduations == sorted(tape.graduations)
    step = 0.5 if case.unit == "mm" else 0.508
    ods = [od for _, od in tape.graduations]
    assert np.diff(ods) == pytest.approx(step, abs=1e-9)
    assert ods[0] <= case.low < ods[0] + step
    assert ods[-1] >= case.high + 4 * RESOLUTION_MM[case.unit]


def test_data_od_is_a_plain_number() -> None:
    for case in CASES:
        document = case.document
        for page in document.pages:
            for line in strokes(svg_root(page, document)):
                assert "od" not in line.data or re.fullmatch(r"\d+(\.\d{1,3})?", line.data["od"])


# -- the strip


def steps(tape: Tape) -> tuple[float, float, float]:
    """The tongue's left end, and where the body begins and ends, from the upright cut lines."""
    upright = [s for s in tape.outline if s.x1 == s.x2]
    (begin,) = {s.x1 for s in upright if max(s.y1, s.y2) > 11 and s.x1 < tape.graduations[0][0]}
    (end,) = {s.x1 for s in upright if min(s.y1, s.y2) < 1 and s.x1 > begin}
    return min(s.x1 for s in upright), begin, end


@each("case", [*CASES, Case(8, 9, stock=0.0), Case(8, 9, "in", 0.0)])
def test_on_the_smallest_socket_nothing_lies_under_the_reading_place(case: Case) -> None:
    tape = printed(case)
    tongue, begin, end = steps(tape)
    once_round = math.pi * (case.low + case.stock)
    assert end < once_round + tongue, "the body ends before the tongue's end comes round"
    assert begin >= max(u for u, _ in tape.vernier) + 3.0, "the vernier is clear of the body that the tail climbs on"
    assert end - begin >= 7.999, "the body holds together"
    assert -tongue >= 5.0, "there is something to hold"


@each("case", CASES)
def test_the_cut_lines_close_round_each_piece(case: Case) -> None:
    document = case.document
    edges = ("cut", "reading-edge", "splice", "splice-edge")
    for page in document.pages:
        for piece in groups(svg_root(page, document, "diameter-tape"), "diameter-tape"):
            lines = strokes(piece)
            outline = [LineString([(s.x1, s.y1), (s.x2, s.y2)]) for s in of_role(lines, *edges)]
            (shape,) = polygonize([unary_union(outline)]).geoms
            around = shape.buffer(0.41)
            for line in of_role(lines, "graduation", "vernier", "index"):
                assert around.covers(LineString([(line.x1, line.y1), (line.x2, line.y2)]))
            _, low, _, high = shape.bounds
            assert round(high - low, 3) in (6.0, 12.0)


@each("case", CASES)
def test_splices_are_clear_of_the_tongue_and_of_every_graduation(case: Case) -> None:
    tape = printed(case)
    _, begin, end = steps(tape)
    for u in tape.splices:
        assert u > begin + 8.0
        assert min(abs(u - place) for place, _ in tape.graduations) > 0.7
        assert not end - 10.0 < u <= end, "the tab does not stick out beside the tail"


def test_a_long_tape_comes_in_pieces_and_a_short_one_in_one() -> None:
    assert printed(Case(8, 60)).splices == []
    assert len(printed(Case(8, 300)).splices) == 3
    assert len(printed(Case(200, 300, paper="a5")).splices) >= 5
