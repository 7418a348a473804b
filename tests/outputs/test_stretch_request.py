"""How a fastening is typed, and what is refused."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import given

from kit.each import each
from kit.examples import examples
from kit.stretch import ELASTIC, GRIPS, OPTIONS, SCREWS, SPECS, a_plan
from marking.errors import RangeError, TextInputError
from marking.fastening.elastic_terms import Section
from marking.outputs.stretch.report import data as stretch_data
from marking.outputs.stretch.report import text as as_stretch_text
from marking.outputs.stretch.request import parse_friction, parse_modulus, parse_sections, parse_washers
from marking.outputs.stretch.request import read as read_stretch


@each(
    ("text", "mpa"),
    [
        ("70 GPa", 70_000), ("70 kN/mm²", 70_000), ("210000 N/mm2", 210_000), ("210000 MPa", 210_000),
        ("0,7 GPa", 700), ("10e6 psi", 68_947.57), ("10 × 10^6 psi", 68_947.57), ("10 Mpsi", 68_947.57),
        ("10000 ksi", 68_947.57), ("14 MPSI", 96_526.60),
    ],
)  # fmt: skip
def test_moduli_are_read(text: str, mpa: float) -> None:
    assert parse_modulus(text) == pytest.approx(mpa, rel=1e-6)


BAD_MODULI = {
    "": 0,
    "70": 2,
    "70 GP": 3,
    "70 mm": 3,
    "-70 GPa": 0,
    "nan GPa": 0,
    "70 GPa!": 6,
    "1e999 psi": 1,
    "1 Mpſi": 2,
}


@each(("text", "position"), BAD_MODULI.items())
def test_unreadable_moduli_are_refused_with_a_caret_under_the_fault(text: str, position: int) -> None:
    with pytest.raises(TextInputError) as caught:
        parse_modulus(text)
    assert caught.value.position == position


@each("text", ["0.10..0.16", "0,1 to 0,16", "0.1-0.16", "0.1 – .16", "1/10…0.16"])
def test_limits_of_friction_are_read(text: str) -> None:
    assert parse_friction(text) == (0.10, 0.16)


def test_sections_and_washers_are_read() -> None:
    assert parse_sections("40 mm x 9 mm") == (Section(40, 9),)
    assert parse_sections("1 in × Ø 10 mm + 4 cm*9,5 mm") == (Section(25.4, 10), Section(40, 9.5))
    assert parse_washers("2.5 mm") == (1, 2.5)
    assert parse_washers("2 x 2.5 mm") == (2, 2.5)


@each(("text", "position"), {"": 0, "0.1..": 5, "..0.2": 0, "0.1.0.2": 3, "0.1 %": 4, "µ": 0}.items())
def test_unreadable_frictions_are_refused_with_a_caret_under_the_fault(text: str, position: int) -> None:
    with pytest.raises(TextInputError) as caught:
        parse_friction(text)
    assert caught.value.position == position


REFUSED = [
    ({"grip": "2 mm"}, "the grip is 2 mm; expected 2.4 mm to 1200 mm"),
    ({"grip": "5 m"}, "the grip is 5000 mm"),
    ({"shank": "121 mm"}, "shank within the grip is 121 mm; expected 0 mm to 120 mm"),
    ({"friction": "0.16..0.10"}, "rising limits"),
    ({"friction": "0.001..0.10"}, "within 0.01 to 1"),
    ({"head_friction": "0.1..1.5"}, "the head friction is 0.1 to 1.5"),
    ({"joint_modulus": "70 MPa"}, "modulus is 0.07 GPa; expected 1 to 1000 GPa"),
    ({"joint_modulus": "10e99 psi"}, "expected 1 to 1000 GPa"),
    ({"hole": "11 mm"}, "the hole is 11 mm; expected 12 mm"),
    ({"bearing": "13 mm"}, "the bearing face is 13 mm; expected 13.86 mm"),
    ({"bearing": "100 mm"}, "expected 13.86 mm to 72 mm"),
    ({"waist": "40 mm"}, "expected a length and a diameter"),
    ({"waist": "40 mm x 9 mm x 9 mm"}, "expected a length and a diameter"),
    ({"waist": "+".join(["1 mm x 9 mm"] * 9)}, "9 sections; expected at most 8"),
    ({"waist": "40 mm x 5 mm"}, "has a diameter of 5 mm; expected 6 mm to 18 mm"),
    ({"waist": "100 mm x 9 mm", "shank": "30 mm"}, "all sections within the grip is 100 mm; expected 0 mm to 90 mm"),
    ({"washers": "3 x 2 mm"}, "3 washers; expected at most 2"),
    ({"washers": "2 x 2 mm", "joint": "tapped"}, "2 washers; expected at most 1"),
    ({"washers": "20 mm"}, "a washer is 20 mm thick; expected 0 mm to 12 mm"),
    ({"settling": "2 mm"}, "the settling is 2 mm; expected 0 mm to 1 mm"),
    ({"wrench": "60 %"}, "the wrench's error is 60 %; expected 0 to 50"),
    ({"reading_error": "90°"}, "the reading error is 90°; expected 0 to 60"),
    ({"socket_od": "10 mm"}, "outside diameter is 10 mm; expected 12 mm to 1000 mm"),
    ({"witness": "first", "spec": "10 N·m + 20° + 20°"}, "turns that grow"),
]


@each(("given_texts", "said"), REFUSED)
def test_fastenings_that_cannot_be_are_refused(given_texts: dict[str, Any], said: str) -> None:
    texts = {"spec": ELASTIC[0], "screw": ELASTIC[1], "strength": ELASTIC[2], "grip": ELASTIC[3], **given_texts}
    with pytest.raises((RangeError, TextInputError)) as caught:
        read_stretch(**texts)
    assert said in str(caught.value)


@examples(150)
@given(spec=SPECS, screw=SCREWS, grip=GRIPS, options=OPTIONS)
def test_whatever_is_asked_the_bounds_hold_each_other(
    spec: str, screw: tuple[str, str], grip: str, options: dict[str, Any]
) -> None:
    try:
        plan = a_plan(spec, *screw, grip, **options)
    except RangeError:
        return  # refused, with a reason: other tests look at those
    data = stretch_data(plan)
    json.dumps(data, allow_nan=False)
    tensile = data["screw"]["tensile_load_n"]
    assert 0 < data["elastic"]["n_per_degree"] < data["elastic"]["n_per_degree_rigid_ends"]
    soonest, at_mid, latest = data["elastic"]["yield_turn_deg"].values()
    assert 0 <= soonest <= at_mid * (1 + 1e-9) <= latest * (1 + 2e-9)
    for stage in [data["snug"], *data["stages"]]:
        known = [t for name in ("low", "mid", "high") if (t := stage[f"tension_{name}_n"]) is not None]
        assert 0 <= known[0] <= known[-1] <= tensile * (1 + 1e-9)
        if len(known) == 3:
            assert known[1] <= data["screw"]["yield_with_twist_n"]["mid_friction"] * (1 + 1e-9)
    for stage in data["stages"]:
        plastic = stage["plastic"]
        assert 0 <= plastic["low_mm"] <= plastic["high_mm"]
        assert plastic["low_share"] <= plastic["high_share"]
        if stage["stretch_mm"] is not None:
            assert stage["stretch_mm"] + stage["squeeze_mm"] == pytest.approx(stage["advance_mm"], rel=1e-9)
    assert max(map(len, as_stretch_text(plan).splitlines())) <= 80
