"""The aim zone against the guard bands of JCGM 106:2012 and ISO 14253-1, with a normal error.

JCGM 106:2012 (ISO/IEC Guide 98-4) and ILAC-G8:09/2019: guard band w = distance from tolerance limit to acceptance
limit; w = U = 2 u gives at most 2.28 % wrong acceptance at one limit (printed rounded, 2.5 %). ISO 14253-1:2017: 95 %
conformance by default (read on one secondary page), which is w = 1.65 u (factor from memory). The percentages are
worked out here by the statistics of the standard library.
"""

from __future__ import annotations

import math
from statistics import NormalDist

import pytest

from kit.each import each
from marking.fastening.spec import Window
from marking.marks.reading_error import Budget, Contribution

# window of the turn, standard uncertainty of the reading; degrees
READINGS = [
    (Window(90.0, 100.0), 1.1),
    (Window(85.0, 95.0), 0.4),
    (Window(90.0, 150.0), 2.7),
    (Window(315.0, 405.0), 5.0),
]


def budget(window: Window, u_deg: float) -> Budget:
    """A budget of one contribution whose rectangular half-width gives exactly `u_deg`."""
    return Budget(1, (Contribution("", u_deg * math.sqrt(3), "°", 1.0),), window)


def aim_zone(window: Window, u_deg: float) -> Window:
    zone = budget(window, u_deg).aim_zone
    assert zone is not None
    return zone


@each(("window", "u_deg"), READINGS)
def test_the_aim_zone_is_the_window_less_two_standard_uncertainties_on_each_side(window: Window, u_deg: float) -> None:
    expected = (window.low_deg + 2 * u_deg, window.high_deg - 2 * u_deg)
    assert aim_zone(window, u_deg) == pytest.approx(expected, abs=1e-9)


@each(("window", "u_deg"), READINGS)
def test_aiming_at_the_zones_edge_misses_that_limit_in_at_most_2_28_percent(window: Window, u_deg: float) -> None:
    zone = aim_zone(window, u_deg)
    below = NormalDist(zone.low_deg, u_deg).cdf(window.low_deg)
    above = 1 - NormalDist(zone.high_deg, u_deg).cdf(window.high_deg)
    assert (below, above) == pytest.approx((0.0228, 0.0228), abs=0.0001)


@each(("window", "u_deg"), READINGS)
def test_the_guard_band_is_wider_than_the_one_for_95_percent_conformance(window: Window, u_deg: float) -> None:
    zone = aim_zone(window, u_deg)
    five_percent = window.low_deg + 1.645 * u_deg
    assert NormalDist(five_percent, u_deg).cdf(window.low_deg) == pytest.approx(0.05, abs=0.0001)
    assert zone.low_deg > five_percent
    assert zone.high_deg < window.high_deg - 1.645 * u_deg


@each("u_deg", [0.4, 1.1, 1.999])
def test_aiming_at_the_middle_conforms_in_95_percent_whenever_an_aim_is_given(u_deg: float) -> None:
    """Both limits together, for the narrowest windows that still have a zone: 4.55 % at most."""
    aim = budget(Window(90.0, 100.0), u_deg).aim_deg
    assert aim is not None
    reached = NormalDist(aim, u_deg)
    assert reached.cdf(100.0) - reached.cdf(90.0) >= 0.95


@each(("u_deg", "verdict"), [(1.999, "aim"), (2.001, "narrow"), (2.499, "narrow"), (2.501, "unproved")])
def test_a_window_has_an_aim_when_two_degrees_are_left_between_its_guard_bands(u_deg: float, verdict: str) -> None:
    """10° hold two guard bands of 2 u up to u = 2.5°, and two degrees between them up to u = 2°."""
    assert budget(Window(90.0, 100.0), u_deg).verdict == verdict
    assert (budget(Window(90.0, 100.0), u_deg).aim_zone is not None) is (verdict == "aim")
