"""Facts of the trade, known to everybody who tightens by angle (common practice, no published source)."""

from __future__ import annotations

from fractions import Fraction

import pytest

from kit.each import each
from marking.fastening.spec_grammar import parse_spec
from marking.marks.places import features, where
from marking.quantities.parse import parse_length


def degrees_of(turn: str) -> float:
    (stage,) = parse_spec(turn, points=6).stages
    return stage.turn_deg


def corners_passed(points: int, turn_deg: float) -> list[float]:
    """Return the angles of the corners behind START that a turn reaches or passes."""
    return [f.deg for f in features(points) if f.kind == "corner" and 0 < f.deg <= turn_deg + 1e-9]


def test_a_quarter_turn_is_three_notches_of_a_twelve_point_socket() -> None:
    assert len(corners_passed(12, degrees_of("1/4 turn"))) == 3
    assert where(degrees_of("90°"), 12) == "on corner 4"


def test_a_quarter_turn_of_a_six_point_socket_passes_one_corner_and_ends_mid_flat() -> None:
    passed = corners_passed(6, degrees_of("1/4 turn"))
    assert passed == pytest.approx([60.0])
    assert degrees_of("1/4 turn") - passed[0] == pytest.approx(30.0)
    assert where(degrees_of("90°"), 6) == "mid-flat between corners 2 and 3"


def test_a_quarter_turn_is_a_flat_and_a_half_of_a_nut() -> None:
    assert degrees_of("1-1/2 flats") == degrees_of("1/4 turn")


def test_a_nut_has_six_flats_to_the_turn() -> None:
    assert degrees_of("6 flats") == degrees_of("1 turn") == 360.0


def test_twenty_threads_per_inch_advance_an_eightieth_of_an_inch_in_a_quarter_turn() -> None:
    """Advance = pitch × part of a turn, for a single-start thread."""
    advance_mm = parse_length("1/20 in").mm * degrees_of("1/4 turn") / 360
    assert advance_mm == pytest.approx(float(Fraction(1, 80) * Fraction("25.4")), abs=1e-12)
    assert advance_mm == pytest.approx(0.0125 * 25.4, abs=1e-12)


# Pitches: ISO 261 (metric), ASME B1.1 (threads per inch). Advances worked out by hand from pitch × angle / 360.
ADVANCES = [
    ("1.75 mm", "90°", 0.4375),  # M12
    ("2.5 mm", "90°", 0.625),  # M20
    ("2.5 mm", "120°", 0.8333),  # M20
    ("1.5 mm", "1 flat", 0.25),  # M10
    ("1/13 in", "90°", 0.4885),  # 1/2-13
    ("1/10 in", "1/3 turn", 0.8467),  # 3/4-10
]


@each(("pitch", "turn", "advance_mm"), ADVANCES)
def test_common_threads_advance_by_their_pitch_times_the_turn(pitch: str, turn: str, advance_mm: float) -> None:
    assert parse_length(pitch).mm * degrees_of(turn) / 360 == pytest.approx(advance_mm, abs=0.00006)
