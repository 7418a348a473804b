"""Lengths, torques, turns, tolerances and whole specs, as manuals write them; and what is refused."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from marking import MarkingError
from marking.errors import RangeError, TextInputError
from marking.fastening.spec import Stage, TighteningSpec
from marking.fastening.spec_grammar import parse_spec
from marking.quantities.parse import parse_length
from marking.quantities.scanner import MAX_TEXT
from marking.quantities.shown import plain_number, rounded, trimmed
from marking.quantities.torque import parse_torque

LENGTHS = {
    "27.8 mm": 27.8, "27.8mm": 27.8, "27,8 mm": 27.8, "27,85 mm": 27.85, ".5 in": 12.7, "2.78 cm": 27.8,
    "0.0278 m": 27.8, "1-3/32 in": 27.78125, '1 3/32"': 27.78125, "1 3/32 inches": 27.78125, "¾ in": 19.05,
    "1¾″": 44.45, "3/4 in.": 19.05, "7/16''": 11.1125, "\u00a019\u202fmm ": 19.0, "19 MM": 19.0, "1 ½ in": 38.1,
}  # fmt: skip


@pytest.mark.parametrize(("text", "mm"), LENGTHS.items())
def test_lengths_are_read(text: str, mm: float) -> None:
    assert parse_length(text).mm == pytest.approx(mm, rel=1e-12)


BAD_LENGTHS = {
    "": 0, "   ": 0, "27.8": 4, "27.8 furlong": 5, "1,234 mm": 1, "1,2345 mm": 1, "-3 mm": 0, "−3 mm": 0, "mm": 0,
    "3/0 in": 0, "1e5 mm": 1, "27.8 mm x": 8, "27..8 mm": 2, "1.2.3 mm": 3, "1-3/2 in": 1, "٣ mm": 0, "½½ in": 1,
    "__import__('os')": 0, "1 mm\n": 4, "9" * 40 + " mm": 0, "nan mm": 0, "inf mm": 0, "⅟ in": 0, "x" * 500: MAX_TEXT,
    "27.8 İN": 5, "27.8 ın": 5, "27.8 İnch": 5, "0 3/4 in": 2,
}  # fmt: skip


@pytest.mark.parametrize(("text", "position"), BAD_LENGTHS.items())
def test_unreadable_lengths_are_refused_with_a_caret_under_the_fault(text: str, position: int) -> None:
    with pytest.raises(TextInputError) as caught:
        parse_length(text, "outside diameter")
    assert caught.value.position == position
    head, shown, caret, *_ = str(caught.value).split("\n")
    assert head.startswith("the outside diameter ")
    assert caret.strip() == "^"
    if position < len(text) <= 60 and text[position].isascii() and text[position].isprintable():
        assert shown[caret.index("^")] == text[position]


def test_a_length_of_zero_is_refused() -> None:
    with pytest.raises(RangeError, match="more than zero"):
        parse_length("0 mm")


TORQUES = {
    "110 N·m": 110, "110 Nm": 110, "110 N m": 110, "110 N.m": 110, "110 N⋅m": 110, "110 N*m": 110, "110 N-m": 110,
    "11 daN·m": 110, "11 daNm": 110, "10 kgf·m": 98.0665, "10 kg·m": 98.0665, "100 kgf·cm": 9.80665,
    "100 kgcm": 9.80665,
    "10 lbf·ft": 13.558179483314004, "10 lb-ft": 13.558179483314004, "10 ft-lb": 13.558179483314004,
    "10 ft·lbs": 13.558179483314004, "10 ft. lbs": 13.558179483314004, "10 foot-pounds": 13.558179483314004,
    "10 mkg": 98.0665, "10 lbf·in": 1.129848290276167, "10 in-lb": 1.129848290276167, "10 in-lbs": 1.129848290276167,
}  # fmt: skip


@pytest.mark.parametrize(("text", "nm"), TORQUES.items())
def test_torques_are_read(text: str, nm: float) -> None:
    assert parse_torque(text).nm == pytest.approx(nm, rel=1e-12)


@pytest.mark.parametrize(
    "text",
    [
        "110",
        "110 N",
        "110 m",
        "110 mN·km",
        "110 lb",
        "110 N·ft",
        "110 °",
        "N·m",
        "110 N·m m",
        "110 mN",
        "110 MN",
        "110 mN·m",
        "110 MN·m",
        "110 m·N",
        "10 lbſ·ft",
        "10 lbf·İn",
        "10 lbf·ın",
        "10 \u212agf·m",
    ],
)
def test_what_is_no_torque_is_refused(text: str) -> None:
    with pytest.raises(TextInputError):
        parse_torque(text)


def test_torque_is_shown_in_both_systems() -> None:
    assert parse_torque("110 Nm").both == "110 N·m (81.1 lbf·ft)"
    assert parse_torque("30 ft-lb").both == "30 lbf·ft (40.7 N·m)"
    assert parse_torque("11 kgf·m").both == "11 kgf·m (108 N·m, 79.6 lbf·ft)"


#: text: (snug in N·m or None, hand tight, [(turn, plus, minus)])
SPECS: dict[str, tuple[float | None, bool, list[tuple[float, float | None, float | None]]]] = {
    "110 N·m + 90° +10/-0": (110, False, [(90, 10, 0)]),
    "110 N·m + 90° -0/+10": (110, False, [(90, 10, 0)]),
    "110 N·m + 90° +10 -0": (110, False, [(90, 10, 0)]),
    "110 N·m + 90° +10°/−0°": (110, False, [(90, 10, 0)]),
    "110Nm+90°+10/-0": (110, False, [(90, 10, 0)]),
    "110 Nm, then 90 deg ±5": (110, False, [(90, 5, 5)]),
    "110 Nm then 90 degrees +/-5°": (110, False, [(90, 5, 5)]),
    "110 Nm and 90º +- 5": (110, False, [(90, 5, 5)]),
    "40,5 Nm, 90°, 90°": (40.5, False, [(90, None, None), (90, None, None)]),
    "40 Nm + 60° + 60° ±5": (40, False, [(60, None, None), (60, 5, 5)]),
    "90° + 90° -0/+10": (None, False, [(90, None, None), (90, 10, 0)]),
    "hand tight + 2 flats": (None, True, [(120, None, None)]),
    "Hand-tight, then 1 flat ±1/12 turn": (None, True, [(60, 30, 30)]),
    "1/4 turn": (None, False, [(90, None, None)]),
    "1-1/3 turns": (None, False, [(480, None, None)]),
    "½ turn ±5": (None, False, [(180, 5, 5)]),
    "1/4 of a turn": (None, False, [(90, None, None)]),
    "20 Nm + 22,5° ±2,5": (20, False, [(22.5, 2.5, 2.5)]),
    "10 Nm + 1,25 turns": (10, False, [(450, None, None)]),
    "60,05° +10,50/-0": (None, False, [(60.05, 10.5, 0)]),
    "90° + 1-1/2 turns": (None, False, [(90, None, None), (540, None, None)]),
    "90° +1-1/2 / -½": (None, False, [(90, 1.5, 0.5)]),
    "1/4 turn +1/12 turn/-0": (None, False, [(90, 30, 0)]),
}


@pytest.mark.parametrize(("text", "meaning"), SPECS.items())
def test_specs_are_read(text: str, meaning: tuple[float | None, bool, list[tuple[float, float, float]]]) -> None:
    spec = parse_spec(text)
    nm, hand_tight, stages = meaning
    assert (spec.snug.nm if spec.snug else None) == nm
    assert spec.hand_tight is hand_tight
    assert [(s.turn_deg, s.plus_deg, s.minus_deg) for s in spec.stages] == stages


#: text: where the caret stands
BAD_SPECS = {
    "": 0, "110 N·m": 7, "110 N·m + 90": 12, "110 N·m + 90 +10/-0": 13, "110 N·m 90°": 8, "110 N·m + 90° +10": 17,
    "90° -5": 6, "90° x": 4, "20 Nm + 30 Nm + 90°": 11, "90° + 20 Nm": 9, "110 N·m + 0°": 10, "90° ±95": 0,
    "90° +300/-60": 0, "9999°": 0, "90° + 90° -0 + 10°": 0, "1,234 N·m + 90°": 1, "+ 90°": 0, "90° +": 5,
    "ninety": 0, "90°\x00": 3, "90° ± five": 6, "+".join(["1°"] * 40): 18,
    "110 mN + 90°": 4, "110 MN + 90°": 4, "1 turn +30/-0 1/4 turn": 14, "1 turn +30/-5 1/4 turn": 22,
    "90° + -5": 6, "90° + / - 5": 6, "90° +/ -5": 5, "1/4 turn +1/12/-0 turn": 22, "10 lbſ·ft + 90°": 3,
    "90° + 2 turnſ": 12,
    "90°,,60°": 4, ",60°": 0,
}  # fmt: skip


@pytest.mark.parametrize(("text", "position"), BAD_SPECS.items())
def test_unreadable_specs_are_refused_with_a_caret_under_the_fault(text: str, position: int) -> None:
    with pytest.raises(TextInputError) as caught:
        parse_spec(text)
    assert caught.value.position == position, str(caught.value)


TWO_MEANINGS = {
    "90° + 90° -0 + 10°": ("90° +90/-0 + 10°", "90° + 90° +10/-0"),
    "90° +1-1/2°": ("90° +1/-0.5", "90° + 1.5°"),
    "90° +10-½°": ("90° +10/-0.5", "90° + 10.5°"),
    "110 Nm, 60,90°": ("110 N·m + 60.9°", "110 N·m + 60° + 90°"),
    "60° + 30,60 deg": ("60° + 30.6°", "60° + 30° + 60°"),
    "1,10 turns": ("396°", "360° + 3600°"),
    "60° +10/-0,60,90°": ("60° +10/-0.6 + 90°", "60° +10/-0 + 60.9°"),
    "90° ±5,90°": ("90° ±5.9", "90° ±5 + 90°"),
    "90° +10/-0,90°": ("90° +10/-0.9", "90° +10/-0 + 90°"),
}


@pytest.mark.parametrize(("text", "readings"), TWO_MEANINGS.items())
def test_a_spec_with_two_meanings_is_refused_with_both(text: str, readings: tuple[str, str]) -> None:
    with pytest.raises(TextInputError, match="two ways") as caught:
        parse_spec(text)
    for reading in readings:
        assert f"“{reading}”" in str(caught.value)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Stage(90, 5, None), lambda: Stage(90, -1, 0), lambda: Stage(math.nan), lambda: Stage(math.inf),
        lambda: Stage(90, math.nan, 0.0), lambda: TighteningSpec(()), lambda: TighteningSpec((Stage(90),), thread="up"),  # type: ignore[arg-type]
        lambda: parse_spec("0 N·m + 90°"), lambda: parse_spec("200000 N·m + 90°"),
    ],
)  # fmt: skip
def test_values_out_of_range_are_refused(make: object) -> None:
    with pytest.raises(MarkingError):
        make()  # type: ignore[operator]


degrees = st.integers(1, 3599) | st.floats(0.5, 3600, allow_nan=False).map(lambda x: round(x, 4))
amounts = st.integers(0, 170) | st.floats(0, 170).map(lambda x: round(x, 3))


@st.composite
def stages(draw: st.DrawFn) -> Stage:
    turn = float(draw(degrees))
    if draw(st.booleans()):
        return Stage(turn)
    minus = min(float(draw(amounts)), turn / 2)
    return Stage(turn, float(draw(amounts)), minus)


@st.composite
def some_specs(draw: st.DrawFn) -> TighteningSpec:
    torque = draw(st.none() | st.sampled_from(list(TORQUES)).map(parse_torque))
    hand_tight = draw(st.booleans()) and torque is None
    found = draw(st.lists(stages(), min_size=1, max_size=4))
    return TighteningSpec(tuple(found), torque, hand_tight, draw(st.sampled_from(["right", "left"])))


@given(some_specs())
def test_a_spec_survives_the_way_to_text_and_back(spec: TighteningSpec) -> None:
    assert parse_spec(spec.text, spec.thread) == spec


@given(stages())
def test_every_window_holds_its_turn(stage: Stage) -> None:
    if stage.window is not None:
        assert 0 < stage.window.low_deg <= stage.turn_deg <= stage.window.high_deg


@given(st.fractions(min_value=0, max_value=10, max_denominator=64), st.sampled_from(["in", "mm"]))
def test_inches_and_millimetres_are_read_exactly(value: object, unit: str) -> None:
    from fractions import Fraction

    assert isinstance(value, Fraction)
    whole, rest = divmod(value, 1)
    text = f"{whole}-{rest}" if whole and rest else str(value)
    if value:
        mm = value * Fraction("25.4") if unit == "in" else value
        assert parse_length(f"{text} {unit}").mm == pytest.approx(float(mm), rel=1e-15)


@given(st.floats(1e-9, 1e9))
def test_plain_numbers_read_back_exactly_and_hold_no_exponent(value: float) -> None:
    text = plain_number(value)
    assert float(text) == value
    assert "e" not in text


def test_numbers_are_shown_without_needless_decimals() -> None:
    assert [trimmed(90.0, 2), trimmed(97.86, 1), trimmed(-0.001, 2), rounded(81.1327), rounded(1491.2)] == [
        "90", "97.9", "0", "81.1", "1491",
    ]  # fmt: skip
