"""Torque units against scipy.constants (CODATA, exact definitions) and the printed factors of NIST SP 811.

NIST SP 811 (2008 edition), Appendix B.8, "moment of force or torque", 7 figures. Confidence: the values were read on
two conversion pages that agree; the document itself was not opened.
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from scipy import constants

from kit.each import each
from marking.quantities.torque import parse_torque

LBF_FT = constants.lbf * constants.foot
LBF_IN = constants.lbf * constants.inch
KGF_M = constants.kgf
KGF_CM = constants.kgf * constants.centi

NOTATIONS = [
    ("N·m", 1.0),
    ("Nm", 1.0),
    ("N m", 1.0),
    ("daN·m", 10.0),
    ("daNm", 10.0),
    ("kgf·m", KGF_M),
    ("kgf·cm", KGF_CM),
    ("kg·m", KGF_M),
    ("lbf·ft", LBF_FT),
    ("lb-ft", LBF_FT),
    ("ft-lb", LBF_FT),
    ("ft·lbs", LBF_FT),
    ("lbf·in", LBF_IN),
    ("in-lb", LBF_IN),
]

PRINTED_BY_NIST = [("lbf·ft", "1.355818"), ("lbf·in", "0.1129848"), ("kgf·m", "9.80665")]

KGF, FOOT, INCH = Decimal("0.45359237") * Decimal("9.80665"), Decimal("0.3048"), Decimal("0.0254")


@each(("notation", "newton_metres"), NOTATIONS)
def test_every_notation_of_manuals_agrees_with_the_physical_constants(notation: str, newton_metres: float) -> None:
    assert parse_torque(f"1 {notation}").nm == pytest.approx(newton_metres, rel=1e-12)


@each(("notation", "newton_metres"), NOTATIONS)
def test_the_factor_holds_for_amounts_other_than_one(notation: str, newton_metres: float) -> None:
    assert parse_torque(f"47.5 {notation}").nm == pytest.approx(47.5 * newton_metres, rel=1e-12)


@each(("notation", "printed"), PRINTED_BY_NIST)
def test_factors_round_to_the_printed_ones(notation: str, printed: str) -> None:
    half_a_digit = Decimal(1).scaleb(int(Decimal(printed).as_tuple().exponent)) / 2
    assert abs(Decimal(parse_torque(f"1 {notation}").nm) - Decimal(printed)) <= half_a_digit


@each(("notation", "arm"), [("lbf·ft", FOOT), ("lbf·in", INCH)])
def test_pound_force_units_are_exact_products_of_their_definitions(notation: str, arm: Decimal) -> None:
    """Pound and foot: international agreement of 1959; standard gravity: 3rd CGPM, 1901. All exact by definition."""
    assert parse_torque(f"1 {notation}").nm == pytest.approx(float(KGF * arm), rel=1e-15, abs=0)


def test_a_textbook_torque_converts_as_printed() -> None:
    """1800 lbf·in = 150 lbf·ft: Shigley, Mechanical Engineering Design, 9th ed., Example 8-4, K = 0.2 (from memory).

    203.4 N·m is the same torque, worked out from the definitions above.
    """
    assert parse_torque("1800 lbf·in").nm == pytest.approx(parse_torque("150 lbf·ft").nm, rel=1e-12)
    assert parse_torque("150 lbf·ft").nm == pytest.approx(203.4, abs=0.05)
