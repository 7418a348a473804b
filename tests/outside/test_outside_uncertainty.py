"""The combination of uncertainties against the worked example of JCGM 100:2008 (GUM), Annex H.1, the end gauge.

Inputs and results of Annex H.1 are carried alike by two or more open metrology projects; the half-widths of its
rectangular distributions (H.1.3.3, H.1.3.4) are from memory.
"""

from __future__ import annotations

import math
from statistics import NormalDist

import pytest
from numpy.polynomial import Polynomial
from scipy.special import stdtrit

from kit.each import each
from marking.marks.reading_error import COVERAGE_FACTOR, Budget, Contribution, combined

LENGTH_NM = 50.000623e6
EXPANSION_PER_K = 11.5e-6
TEMPERATURE_OFF_BY_K = -0.1

PARTS_NM = [
    25.0,  # the standard's calibration, 18 degrees of freedom
    9.7,  # the difference of the two gauges, 25.6 degrees of freedom
    LENGTH_NM * abs(TEMPERATURE_OFF_BY_K) * 0.58e-6,  # difference of the expansion coefficients
    LENGTH_NM * EXPANSION_PER_K * 0.029,  # difference of the temperatures
]


def test_the_end_gauge_has_the_published_combined_uncertainty() -> None:
    assert round(combined(PARTS_NM)) == 32


def test_the_end_gauge_has_the_published_expanded_uncertainty() -> None:
    """U₉₉ = t₉₉(16) u_c = 2.92 × 32 nm = 93 nm, with u_c rounded as the annex does."""
    k = round(float(stdtrit(16, 0.995)), 2)
    assert k == 2.92
    assert round(k * round(combined(PARTS_NM))) == 93


def test_the_end_gauges_combined_uncertainty_holds_to_a_tenth() -> None:
    """31.7 nm, worked out from the inputs: 25, 9.7, 2.9 and 16.7 nm."""
    assert combined(PARTS_NM) == pytest.approx(31.7, abs=0.05)


@each(
    ("half_width", "published", "decimals"),
    [
        (0.05, 0.029, 3),  # H.1.3.4: temperature difference within ± 0.05 °C
        (1.0, 0.58, 2),  # H.1.3.3: difference of the coefficients within ± 1 × 10⁻⁶ /°C
        (2.0, 1.2, 1),  # H.1.3.3: expansion coefficient within ± 2 × 10⁻⁶ /°C
    ],
)
def test_a_rectangular_half_width_gives_the_published_standard_uncertainty(
    half_width: float, published: float, decimals: int
) -> None:
    assert round(Contribution("", half_width, "", 1.0).u_deg, decimals) == published


def uniform_variance(half_width: float) -> float:
    """The square of the distance from the middle, integrated over a uniform distribution."""
    integral = Polynomial([0.0, 0.0, 1 / (2 * half_width)]).integ()
    return float(integral(half_width) - integral(-half_width))


@each("half_width", [0.05, 0.25, 1.0])
def test_a_contribution_is_the_standard_deviation_of_a_uniform_distribution(half_width: float) -> None:
    """JCGM 100:2008, 4.3.7, against a uniform distribution, with a sensitivity of 3.5 degrees per unit."""
    deviation = math.sqrt(uniform_variance(half_width))
    assert Contribution("", half_width, "mm", 3.5).u_deg == pytest.approx(3.5 * deviation, rel=1e-12)


def test_a_budget_adds_its_contributions_as_independent_ones() -> None:
    """Variances of independent quantities add: three uniform distributions."""
    halves = [0.2, 0.3, 0.6]
    variance = sum(map(uniform_variance, halves))
    budget = Budget(1, tuple(Contribution("", half, "°", 1.0) for half in halves), None)
    assert budget.u_deg == pytest.approx(math.sqrt(variance), rel=1e-12)
    assert budget.expanded_deg == pytest.approx(2 * math.sqrt(variance), rel=1e-12)


def test_the_coverage_factor_is_the_one_for_about_95_percent() -> None:
    """JCGM 100:2008, 6.2.1 and 6.3.3: k = 2 stands for about 95 % of a normal distribution."""
    inside = NormalDist().cdf(COVERAGE_FACTOR) - NormalDist().cdf(-COVERAGE_FACTOR)
    assert inside == pytest.approx(0.954, abs=0.001)
