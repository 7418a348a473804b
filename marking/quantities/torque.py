"""Torques read strictly from texts, in the spellings of manuals."""

from __future__ import annotations

import re
from typing import NamedTuple

from .scanner import ANY_CASE, SPACES, Scanner
from .shown import plain_number, rounded
from .units import NM_PER_LBF_FT, TORQUE_UNITS, Given, Measured, factor, measured, quantity


class Torque(NamedTuple):
    """A torque as written: `value` in `unit`, one of the canonical symbols such as "N·m" or "lbf·ft"."""

    value: float
    unit: str

    @property
    def nm(self) -> float:
        """The torque in newton metres."""
        return self.value * factor(self.unit)

    @property
    def quantity(self) -> Measured:
        """The torque as a quantity of pint."""
        return quantity(self.value, self.unit)

    @property
    def text(self) -> str:
        """The torque as one reads it, to the last digit typed: "110 N·m"."""
        return f"{plain_number(self.value)} {self.unit}"

    @property
    def both(self) -> str:
        """The torque as typed with the other system beside it: "110 N·m (81.1 lbf·ft)"."""
        lbf_ft = f"{rounded(self.nm / NM_PER_LBF_FT)} lbf·ft"
        in_nm = f"{rounded(self.nm)} N·m"
        others = [in_nm] if self.unit in ("lbf·ft", "lbf·in") else [lbf_ft]
        if self.unit not in ("N·m", "lbf·ft", "lbf·in"):
            others = [in_nm, lbf_ft]
        return f"{self.text} ({', '.join(others)})"


FORCES = {
    "n": "N",
    "newton": "N",
    "newtons": "N",
    "kn": "kN",
    "dan": "daN",
    "dn": "dN",
    "cn": "cN",
    "kg": "kgf",
    "kgf": "kgf",
    "kp": "kgf",
} | dict.fromkeys(("lb", "lbs", "lbf", "pound", "pounds"), "lbf")

ARMS = {"cm": "cm"} | dict.fromkeys(("m", "metre", "metres", "meter", "meters"), "m") | {
    "ft": "ft", "foot": "ft", "feet": "ft", "in": "in", "inch": "in", "inches": "in"
}  # fmt: skip

_FORCE = "|".join(sorted(FORCES, key=len, reverse=True))

_WEIGHT = "|".join(sorted((name for name, force in FORCES.items() if force in ("kgf", "lbf")), key=len, reverse=True))

_ARM = "|".join(sorted(ARMS, key=len, reverse=True))

_JOINT = rf"\.?[{SPACES}]?[·⋅•∙.*\-\u2010\u2011]?[{SPACES}]?"

TORQUE_UNIT = re.compile(  # the arm comes first in ft-lb and mkg only: mN and MN are millinewtons and meganewtons
    rf"(?:(?P<force1>{_FORCE}){_JOINT}(?P<arm1>{_ARM})|(?P<arm2>{_ARM}){_JOINT}(?P<force2>{_WEIGHT}))(?![^\W\d_])",
    ANY_CASE,
)


def take_torque_unit(scan: Scanner) -> str | None:
    """Read a torque unit, if one stands at the cursor, and return its canonical symbol."""
    back = scan.position
    found = scan.take(TORQUE_UNIT)
    if not found:
        return None
    force = FORCES[(found["force1"] or found["force2"]).lower()]
    arm = ARMS[(found["arm1"] or found["arm2"]).lower()]
    if f"{force}·{arm}" not in TORQUE_UNITS:
        scan.position = back
        return None
    return f"{force}·{arm}"


def parse_torque(text: Given, field: str = "torque") -> Torque:
    """Read a torque: `110 N·m`, `110 Nm`, `11 daN·m`, `80 ft-lb`, `60 lbf·in`; or take a pint quantity.

    Raises TextInputError for what cannot be read, and what `measured` raises.
    """
    if not isinstance(text, str):
        return Torque(*measured(text, TORQUE_UNITS, field, "110 N·m"))
    scan = Scanner(text, field)
    value, _ = scan.number("a torque such as 110 N·m")
    unit = take_torque_unit(scan)
    if unit is None:
        raise scan.failure("has no torque unit here", "N·m, daN·m, kgf·m, kgf·cm, lbf·ft or lbf·in")
    scan.expect_end()
    return Torque(float(value), unit)
