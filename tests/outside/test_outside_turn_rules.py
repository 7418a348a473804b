"""Published turns after a snug step, on the corners and flats of a socket.

EN 1090-2:2018, clause 8.5.4, Table 21 (combined method), read on one page. RCSC Specification, Table 8.2 (turn-of-nut),
editions to 2014: rotations on two pages, tolerances on one. The rows that are said to come from a national annex of
EN 1993-1-8 are read on one page, their attribution is from memory, as are the inspection limits of EN 1090-2 and the
rotations of JASS 6. None is advice for tightening anything.

Where a turn ends is found here by turning a drawn polygon, not by the library's own counting.
"""

from __future__ import annotations

import cmath
import math

import pytest

from kit.each import each
from marking.fastening.spec_grammar import parse_spec
from marking.marks.places import features, where
from marking.quantities.angles import full_turns, position_deg

# turn as printed, degrees, flats of a hexagon
TURNS = [
    ("1/8 turn", 45, 0.75),  # national annex of EN 1993-1-8, grip up to 2 d (attribution from memory)
    ("1/6 turn", 60, 1),  # EN 1090-2, Table 21, t < 2 d
    ("1/4 turn", 90, 1.5),  # EN 1090-2, Table 21, 2 d ≤ t < 6 d
    ("1/3 turn", 120, 2),  # EN 1090-2, Table 21, 6 d ≤ t ≤ 10 d; RCSC Table 8.2, to 4 d, faces normal
    ("1/2 turn", 180, 3),  # RCSC Table 8.2, over 4 d to 8 d, faces normal
    ("2/3 turn", 240, 4),  # RCSC Table 8.2, over 8 d to 12 d, faces normal
    ("5/6 turn", 300, 5),  # RCSC Table 8.2, over 8 d to 12 d, one face sloped
    ("1 turn", 360, 6),  # RCSC Table 8.2, over 8 d to 12 d, both faces sloped
]

# turn with its tolerance as printed, window in degrees
WINDOWS = [
    ("1/3 turn ±30°", 90, 150),  # RCSC Table 8.2: rotations of 1/2 turn or less ± 30°; JASS 6 (from memory)
    ("1/2 turn ±30°", 150, 210),  # RCSC Table 8.2
    ("2/3 turn ±45°", 195, 285),  # RCSC Table 8.2: rotations of 2/3 turn and more ± 45°
    ("5/6 turn ±45°", 255, 345),  # RCSC Table 8.2
    ("1 turn ±45°", 315, 405),  # RCSC Table 8.2
    ("1/4 turn +30/-15", 75, 120),  # EN 1090-2, limits at inspection (from memory)
    ("1/6 turn +30/-0", 60, 90),  # JASS 6, M12 (from memory)
]

PLACES = [
    ("1/6 turn", 6, "on corner 2"),
    ("1/4 turn", 6, "mid-flat between corners 2 and 3"),
    ("1/3 turn", 6, "on corner 3"),
    ("1/2 turn", 6, "on corner 4"),
    ("2/3 turn", 6, "on corner 5"),
    ("5/6 turn", 6, "on corner 6"),
    ("1 turn", 6, "on corner 1"),
    ("1/8 turn", 12, "mid-flat between corners 2 and 3"),
    ("1/6 turn", 12, "on corner 3"),
    ("1/4 turn", 12, "on corner 4"),
    ("1/3 turn", 12, "on corner 5"),
    ("1/2 turn", 12, "on corner 7"),
    ("2/3 turn", 12, "on corner 9"),
    ("5/6 turn", 12, "on corner 11"),
    ("1 turn", 12, "on corner 1"),
]


def degrees_of(turn: str) -> float:
    (stage,) = parse_spec(f"hand tight + {turn}", points=6).stages
    return stage.turn_deg


def corner_at_witness(points: int, turn_deg: float) -> int | None:
    """Return the corner that stands at the witness mark after a right-hand turn, None when none does.

    Seen from above: corner 1 begins at the witness mark, the others follow counterclockwise, and the socket is turned
    clockwise.
    """
    clockwise = cmath.exp(-1j * math.radians(turn_deg))
    for number in range(1, points + 1):
        corner = cmath.exp(1j * math.tau * (number - 1) / points)
        if abs(corner * clockwise - 1) < 1e-9:
            return number
    return None


@each(("turn", "degrees", "flats"), TURNS)
def test_part_turns_are_the_degrees_that_the_rules_mean(turn: str, degrees: int, flats: float) -> None:
    assert degrees_of(turn) == pytest.approx(degrees, abs=1e-9)


@each(("turn", "degrees", "flats"), TURNS)
def test_part_turns_are_flats_of_a_hexagon(turn: str, degrees: int, flats: float) -> None:
    """A flat is a sixth of a turn (common practice, no published source)."""
    assert degrees_of(f"{flats:g} flats") == pytest.approx(degrees_of(turn), abs=1e-9)


@each(("spec", "low", "high"), WINDOWS)
def test_tolerances_of_the_rules_give_their_windows(spec: str, low: float, high: float) -> None:
    (stage,) = parse_spec(f"hand tight + {spec}").stages
    assert stage.window == pytest.approx((low, high), abs=1e-9)


@each(("turn", "points", "place"), PLACES)
def test_turns_end_on_the_corner_that_counting_gives(turn: str, points: int, place: str) -> None:
    assert where(degrees_of(turn), points) == place


@each("points", [4, 6, 8, 12])
@each("turn", [turn for turn, _, _ in TURNS])
def test_the_named_corner_is_the_one_that_a_turned_polygon_brings_to_the_witness_mark(turn: str, points: int) -> None:
    arrived = corner_at_witness(points, degrees_of(turn))
    said = where(degrees_of(turn), points)
    if arrived is None:
        assert not said.startswith("on corner")
    else:
        assert said == f"on corner {arrived}"


@each("points", [4, 6, 8, 12])
def test_every_listed_corner_arrives_after_a_turn_of_its_own_angle(points: int) -> None:
    corners = [feature for feature in features(points) if feature.kind == "corner"]
    assert sorted(corner.index for corner in corners) == list(range(1, points + 1))
    for corner in corners:
        assert corner_at_witness(points, corner.deg) == corner.index


@each("points", [4, 6, 8, 12])
def test_every_listed_mid_flat_arrives_half_way_between_two_corners(points: int) -> None:
    middles = [feature for feature in features(points) if feature.kind == "mid-flat"]
    half = 180 / points
    assert sorted(middle.index for middle in middles) == list(range(1, points + 1))
    for middle in middles:
        assert corner_at_witness(points, middle.deg - half) == middle.index
        assert corner_at_witness(points, middle.deg + half) == middle.index % points + 1


def test_the_longest_rule_is_one_full_turn_back_to_start() -> None:
    """RCSC Table 8.2: one turn, for bolts over 8 d to 12 d with both faces sloped."""
    turn_deg = degrees_of("1 turn")
    assert (full_turns(turn_deg), position_deg(turn_deg)) == (1, 0.0)


@each(
    ("deg", "points", "place"),
    [
        (90, 6, "mid-flat between corners 2 and 3"),  # 1/3 turn − 30°
        (150, 6, "mid-flat between corners 3 and 4"),  # 1/3 turn + 30°
        (150, 12, "on corner 6"),
        (195, 6, "15° past corner 4 (a quarter of the way to corner 5)"),  # 2/3 turn − 45°
        (285, 6, "45° past corner 5 (three quarters of the way to corner 6)"),  # 2/3 turn + 45°
        (195, 12, "mid-flat between corners 7 and 8"),
        (285, 12, "mid-flat between corners 10 and 11"),
    ],
)
def test_the_edges_of_the_rules_windows_fall_where_counting_puts_them(deg: float, points: int, place: str) -> None:
    """RCSC Table 8.2: ± 30° to half a turn, ± 45° from two thirds on."""
    assert where(deg, points) == place
