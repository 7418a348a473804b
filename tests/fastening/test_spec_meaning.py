"""What follows from a spec: totals, snugs, windows, hints; how stages count; and values that are refused."""

from __future__ import annotations

import math
import re

import pytest

from kit.each import each
from marking import MarkingError
from marking.errors import RangeError, TextInputError
from marking.fastening.hand import read_thread
from marking.fastening.spec import (
    FROM_SNUG,
    NEW_MARK,
    HandTightStep,
    LoosenStep,
    Stage,
    TighteningSpec,
    TorqueStep,
    TurnStep,
)
from marking.fastening.spec_grammar import parse_spec
from marking.reports import spec_data

LONG = "20 N·m, 40 N·m + 90° ±5 + 60°, loosen, 30 N·m + 120°, then 110 N·m"


def test_totals_begin_anew_at_every_torque_and_loosening() -> None:
    spec = parse_spec(LONG)
    assert spec.totals_from_snug_deg == (90, 150, 120)
    assert parse_spec("40 N·m + 90° + 60 N·m + 45°").totals_from_snug_deg == (90, 45)
    assert parse_spec("40 N·m + 90° + 180° from snug").totals_from_snug_deg == (90, 180)
    assert parse_spec("90° + 60°").totals_from_snug_deg == (90, 150)


def test_every_stage_knows_the_torque_it_starts_from() -> None:
    spec = parse_spec(LONG)
    assert [step.nm if isinstance(step, TorqueStep) else step for step in spec.snugs] == [40, 40, 30]
    assert spec.snug is not None
    assert spec.snug.text == "40 N·m"
    assert not spec.hand_tight
    assert parse_spec("40 N·m, loosen, hand tight, 90°").hand_tight
    assert parse_spec("hand tight, 20 N·m, 90°").hand_tight is False
    assert parse_spec("90°").snug is None


def test_a_second_run_of_totals_starts_again_from_its_own_snug() -> None:
    spec = parse_spec("40 N·m + 90°, to 180° in all, loosen, 40 N·m + 60°, to 120° in all")
    assert spec.counted_from == FROM_SNUG
    assert spec.totals_from_snug_deg == (90, 180, 60, 120)


@each(
    ("text", "witness", "counted_from"),
    [
        ("40 N·m + 90° + 180°", "first", FROM_SNUG),
        ("40 N·m + 90° + 180°", "fresh", NEW_MARK),
        ("40 N·m + 90° + 180°", None, NEW_MARK),
        ("40 N·m + 90°, to 180°", "first", FROM_SNUG),
        ("40 N·m + 90°, to 180° in all", "first", FROM_SNUG),
        ("40 N·m + 90° from snug", "fresh", NEW_MARK),
    ],
)
def test_the_witness_says_how_stages_count(text: str, witness: str | None, counted_from: str) -> None:
    spec = parse_spec(text, witness=witness)
    assert spec.counted_from == counted_from
    assert parse_spec(spec.read_as) == spec


@each(
    ("text", "witness"),
    [
        ("40 N·m + 90°, to 180° in all", "fresh"),
        ("40 N·m + 90°, to 180°", "fresh"),
        ("40 N·m + 90°, then a further 180°", "first"),
        ("40 N·m + 90° + 90°", "first"),
        ("40 N·m + 180° + 90°", "first"),
    ],
)
def test_a_witness_that_contradicts_the_words_is_refused(text: str, witness: str) -> None:
    with pytest.raises(TextInputError) as caught:
        parse_spec(text, witness=witness)
    assert caught.value.position >= text.index("°") + 1


def test_growing_turns_are_hinted_at_only_when_nothing_says_how_they_count() -> None:
    assert parse_spec("40 N·m + 90° + 180°").hints == (("growing-turns", 270),)
    assert parse_spec("40 N·m + 90° + 180°", witness="fresh").hints == ()
    assert parse_spec("40 N·m + 90° + 90°").hints == ()


def test_a_title_that_speaks_of_left_hand_is_hinted_at_for_right_hand_threads() -> None:
    text = "Hub nut, LH: 45 N·m + 60°"
    assert parse_spec(text).hints == (("left-hand-title", 0),)
    assert parse_spec(text, "left").hints == ()


def test_a_flat_needs_its_points() -> None:
    with pytest.raises(TextInputError, match="number of points"):
        parse_spec("hand tight + 2 flats")
    assert parse_spec("hand tight + 2 flats", points=4).read_as == "hand tight, then 2 flats (180°)"
    assert parse_spec("hand tight + 1 flat", points=12).read_as == "hand tight, then 1 flat (60°)"


@each("text", ["55 lbs 90 deg", "110 N·m + 9O° +10/-0", "80 lb/ft + 90°", "1 100 N·m + 90°", "110 N·m + 1.57 rad"])
def test_no_message_makes_a_value_from_a_number_that_may_be_incomplete(text: str) -> None:
    with pytest.raises(TextInputError) as caught:
        parse_spec(text)
    said = str(caught.value).replace(text, "")
    assert "“" in said
    assert not re.search(r"\d°|\d N·m|write \d", said)


def test_two_readings_are_both_shown() -> None:
    with pytest.raises(TextInputError) as caught:
        parse_spec("40 Nm + 90° + 60° -5")
    assert "“90° +60°/−5”" in str(caught.value)
    assert "“90°, then 60° with half a tolerance −5”" in str(caught.value)


def test_steps_keep_the_words_as_typed() -> None:
    spec = parse_spec("M14 nuts: torque to 60 Nm (44 lb·ft), then turn  2 flats ±5", points=6)
    torque, turn = spec.steps
    assert isinstance(torque, TorqueStep)
    assert isinstance(turn, TurnStep)
    assert (torque.typed, turn.typed) == ("torque to 60 Nm (44 lb·ft)", "turn  2 flats ±5")
    assert spec.read_as == "60 N·m (44 lbf·ft), then 2 flats (120°) ±5°"
    assert spec.title == "M14 nuts"


def test_the_report_has_the_spec_in_numbers() -> None:
    data = spec_data(parse_spec("hand tight, 20 to 25 N·m, 85-95°, loosen 180°, 10 daN·m, 90°", thread="left"))
    assert data["thread"] == "left"
    assert data["counted_from"] == "new mark"
    assert data["snug_torque_nm"] == 22.5
    assert data["hand_tight"] is False
    assert data["steps"][1] == {"kind": "torque", "torque_nm": 22.5, "low_nm": 20, "high_nm": 25}
    assert [step["kind"] for step in data["steps"]] == ["hand tight", "torque", "turn", "loosen", "torque", "turn"]
    assert data["steps"][3]["deg"] == 180
    assert data["steps"][4]["torque_nm"] == pytest.approx(100)
    assert data["stages"][0] == {"turn_deg": 90, "low_deg": 85, "high_deg": 95, "total_from_snug_deg": 90}
    assert data["stages"][1] == {"turn_deg": 90, "low_deg": None, "high_deg": None, "total_from_snug_deg": 90}


@each("text", ["left", "Left", "L", "LH", "left hand", "left-hand", "Left-handed thread", "l.h."])
def test_left_hand_threads_are_read(text: str) -> None:
    assert read_thread(text) == "left"
    assert read_thread(text.lower().replace("left", "right").replace("l", "r")) == "right"


@each("text", ["", "lefty", "rl", "up", "thread"])
def test_other_threads_are_refused(text: str) -> None:
    with pytest.raises(RangeError):
        read_thread(text)


def turn(deg: float, number: int = 1) -> TurnStep:
    return TurnStep(number, Stage(deg))


@each(
    "make",
    [
        lambda: Stage(90, 5, None), lambda: Stage(90, -1, 0), lambda: Stage(math.nan), lambda: Stage(math.inf),
        lambda: Stage(90, math.nan, 0.0), lambda: Stage(90, 0, 90), lambda: Stage(90, 90, 0), lambda: Stage(0),
        lambda: Stage(400, 200, 160), lambda: TorqueStep(0), lambda: TorqueStep(2e5), lambda: TorqueStep(10, "N·m", 1),
        lambda: TorqueStep(10, "N·m", 1, 10), lambda: LoosenStep(0), lambda: TighteningSpec(()),
        lambda: TighteningSpec((LoosenStep(),)),
        lambda: TighteningSpec((turn(90),), thread="up"), lambda: TighteningSpec((turn(90),), counted_from="here"),
        lambda: TighteningSpec((turn(90, 2),)), lambda: TighteningSpec(tuple(turn(9, n) for n in range(1, 8))),
        lambda: TighteningSpec((LoosenStep(), turn(90))), lambda: TighteningSpec((turn(90), HandTightStep())),
        lambda: TighteningSpec((turn(90), turn(90, 2)), counted_from=FROM_SNUG),
        lambda: parse_spec("90°", witness="second"),
        lambda: parse_spec("90°", thread="up"), lambda: parse_spec("1°," * 200),
    ],
)  # fmt: skip
def test_values_out_of_range_are_refused(make: object) -> None:
    with pytest.raises(MarkingError):
        make()  # type: ignore[operator]


@each("joint", [" + ", ", +", "; +", " plus "])
def test_a_small_turn_behind_any_plus_may_be_a_tolerance(joint: str) -> None:
    with pytest.raises(TextInputError, match="can be read in two ways"):
        parse_spec(f"40 N·m + 90°{joint}10°")


@each(("spec", "steps"), [
    ("40 N·m + 90°\n20 N·m + 45°", [3]), ("40 N·m + 90°; 40 N·m", [3]),
    ("20 N·m, 40 N·m, 90°, 30 N·m, 45°, 25 N·m", [4, 6]),
    ("40 N·m + 90°, loosen, 20 N·m + 45°", []), ("40 N·m + 90°, 60 N·m", []), ("40 N·m, 20 N·m, 90°", []),
])  # fmt: skip
def test_a_torque_after_a_turn_that_tightens_no_further_may_be_of_another_fastener(spec: str, steps: list[int]) -> None:
    assert [value for code, value in parse_spec(spec).hints if code == "second-fastener"] == steps
