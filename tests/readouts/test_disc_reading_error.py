"""How well a drive disc is read."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kit.drive_disc import Vector, a_budget, a_plan
from kit.each import each
from kit.measure import placed_texts
from marking.errors import RangeError
from marking.fastening.socket import parse_drive
from marking.fastening.spec import Window
from marking.marks.reading_error import DiscErrorModel, ErrorModel
from marking.readouts.drive_disc.error import (
    disc_budget,
    disc_contributions,
    disc_play_mm,
    disc_slip_deg,
    sufficient_disc_mm,
)
from marking.readouts.drive_disc.sheet import draw as disc_document


def test_contributions_are_those_of_the_method() -> None:
    """Worked by hand for θ = 100°, 70 mm, 1/2 in drive: play (13.0 − 12.59)/2, sin 50° = 0.7660, sin 100° = 0.9848."""
    found = {
        c.name: (c.half_width, c.sensitivity)
        for c in disc_contributions(100, 70, parse_drive("1/2"), ErrorModel(), DiscErrorModel())
    }
    expected = {
        "witness mark": (0.25, 1.63702), "stop reading": (0.25, 1.63702),
        "parallax at START": (0.52898, 1.63702), "parallax at the stop": (0.52898, 1.63702),
        "sway at START": (0.5, 1.63702), "sway at the stop": (0.5, 1.63702),
        "play in the square": (0.205, 2.50806), "unequal print scale": (0.2, 0.564253),
    }  # fmt: skip
    assert found.keys() == expected.keys()
    for name, values in expected.items():
        assert found[name] == pytest.approx(values, rel=2e-5), name


def test_the_expanded_error_is_worked_by_hand() -> None:
    """√(2·0.23628² + 2·0.49996² + 2·0.47257² + 0.29685² + 0.06515²) = 1.07265, doubled 2.14530."""
    assert a_budget().expanded_deg == pytest.approx(2.14530, abs=3e-5)


def test_the_edge_with_the_larger_error_counts() -> None:
    """At 270° a mark suffers more from the scale and less from the centring than at 200°."""
    for low, high in ((90, 100), (170, 190), (250, 290), (340, 380)):
        at = [disc_contributions(edge % 360, 70, parse_drive("1/2"), ErrorModel(), DiscErrorModel())
              for edge in (low, high)]  # fmt: skip
        sums = [math.sqrt(sum(c.u_deg**2 for c in contributions)) for contributions in at]
        assert a_budget(low, high).u_deg == pytest.approx(max(sums))


def test_whole_turns_add_nothing() -> None:
    assert a_budget(450, 460).u_deg == pytest.approx(a_budget(90, 100).u_deg)


def test_where_the_smallest_driver_is_unknown_the_largest_stands_for_it() -> None:
    assert disc_play_mm(parse_drive("1-1/2")) == pytest.approx(0.15)
    assert disc_play_mm(parse_drive("1/4")) == pytest.approx((6.65 - 6.26) / 2)


def test_a_loose_disc_slips_until_its_corners_meet_the_hole() -> None:
    """The corner of a 12.59 mm square, 8.9025 mm from the centre, meets the hole's side, 6.5 mm from it."""
    turned = math.degrees(math.acos(6.5 / (12.59 / math.sqrt(2))))
    assert disc_slip_deg(parse_drive("1/2")) == pytest.approx(45 - turned)
    assert any("1.9° each way" in text.text for text in placed_texts(disc_document(a_plan()).pages[0]))


@each("theta", [60.0, 95.0, 180.0, 270.0])
@each(("diameter", "drive"), [(50.0, "1/4"), (70.0, "1/2"), (200.0, "1")])
def test_the_expanded_error_covers_what_would_happen(theta: float, diameter: float, drive: str) -> None:
    """The chain itself: print, cut out, put on off centre, set the pointer, turn until the stop seems to be there."""
    rng = np.random.default_rng(20240511)
    count, radius, model = 200_000, diameter / 2, ErrorModel()
    play = disc_play_mm(parse_drive(drive))

    def even(half: float) -> Vector:
        return rng.uniform(-half, half, count)

    parallax = 3.0 * math.tan(math.radians(10.0))
    start_at = rng.uniform(0.0, 2 * math.pi, count)  # where START lies on the page
    stretch = 1.0 + even(0.002)  # along the page against across
    shift_x, shift_y = even(play), even(play)  # of the disc's middle from the socket's axis

    def seen_from_the_axis(deg: float) -> Vector:
        drawn = start_at + math.radians(deg)
        return np.asarray(np.arctan2(radius * np.sin(drawn) * stretch + shift_y, radius * np.cos(drawn) + shift_x))

    pointer = seen_from_the_axis(0.0) + (even(0.25) + even(parallax)) / radius
    stopped = seen_from_the_axis(theta) - pointer + (even(0.25) + even(parallax)) / radius
    stopped += (even(0.5) + even(0.5)) / radius  # the drive end sways, at either reading
    off = np.degrees((stopped - math.radians(theta) + math.pi) % (2 * math.pi) - math.pi)
    expanded = disc_budget(1, theta, None, diameter, parse_drive(drive), model).expanded_deg
    assert 0.94 <= np.mean(np.abs(off) <= expanded) <= 0.98


def test_a_disc_too_small_says_which_would_do() -> None:
    spec = "110 N·m + 90° +4/-0"
    plan = a_plan(spec)
    (warning,) = map(str, plan.warnings)
    assert "cannot prove the window 90–94°" in warning
    assert not [mark for mark in plan.marks if mark.kind == "aim"]
    size = float(warning.split("at least ")[1].split(" mm")[0])
    assert a_plan(spec, diameter=f"{size} mm").warnings == ()
    assert a_plan(spec, diameter=f"{size - 1.1} mm").budgets[0].verdict == "narrow"
    assert "what this disc leaves of the window 90–95° is too narrow to hit" in str(
        a_plan("110 N·m + 90° +5/-0").warnings[0]
    )
    assert "too large to print" in str(a_plan("110 N·m + 90° +2.8/-0").warnings[0])
    assert sufficient_disc_mm(Window(90, 92.2), 90, parse_drive("1/2"), ErrorModel()) is None
    assert "no larger disc leaves enough of it to hit" in str(a_plan("110 N·m + 90° +2.2/-0").warnings[0])


def test_a_wider_gap_or_scale_error_counts() -> None:
    usual = a_budget().u_deg
    assert a_budget(disc=DiscErrorModel(gap_mm=4)).u_deg > usual > a_budget(disc=DiscErrorModel(gap_mm=1)).u_deg
    assert a_budget(disc=DiscErrorModel(unequal_scale_percent=1)).u_deg > usual
    with pytest.raises(RangeError):
        DiscErrorModel(gap_mm=-1)


def test_the_sheet_names_its_assumptions() -> None:
    texts = [text.text for text in placed_texts(disc_document(a_plan()).pages[0])]
    words = " ".join(text for text in texts if len(text) > 2)
    for value in ("orking assumptions", "95 of 100 readings", "±0.25 mm", "10°",
                  "at most 3 mm between pointer and disc", "±0.205 mm",
                  "drive end ±0.5 mm", "alike within 0.2 mm"):  # fmt: skip
        assert value in words
    assert "Measure both check rulers: both alike within 0.2 mm, or do not use it." in words
    assert "Steady the drive end with one hand and set the pointer's tip at START" in words
    assert "Read while you still pull lightly, the drive end steadied again" in words
