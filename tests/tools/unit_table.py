"""Makes marking/tables/units.csv with pint: run `python tests/tools/unit_table.py` when a unit is added."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pint

TABLE = Path(__file__).parents[2] / "marking" / "tables" / "units.csv"

UNITS = {
    "mm": ("mm", "cm", "m", "in"),
    "N": ("N", "lbf"),
    "N·m": ("N·m", "kN·m", "daN·m", "dN·m", "cN·m", "N·cm", "kgf·m", "kgf·cm", "lbf·ft", "lbf·in"),
    "MPa": ("MPa", "GPa", "psi", "ksi", "Mpsi"),
    "N/mm": ("N/mm", "lbf/in"),
    "°": ("°", "turn", "flat"),
}
"""The units that are read or written, under the one in which the program counts."""

HEADER = """\
# Units that are read or written, and how many of the unit in the first column make one. Computed with pint's
# definitions in exact fractions; a flat is the side of a hexagon. inch, foot, pound: exact since the international yard
# and pound agreement of 1959; standard gravity: CGPM 1901. Source of the customary units: NIST SP 811 (2008),
# Appendix B. Made by tests/tools/unit_table.py; do not edit.
"""


def unit_table() -> str:
    """Return the table: the unit counted in, the unit, and the factor to the last bit of a float."""
    exact: pint.UnitRegistry[Fraction] = pint.UnitRegistry(non_int_type=Fraction)
    exact.define("flat = turn / 6")
    lines = [HEADER + "base,unit,factor"]
    for base, units in UNITS.items():
        for unit in units:
            one, to = (exact.Unit(name.replace("·", "*")) for name in (unit, base))
            lines.append(f"{base},{unit},{float(exact.Quantity(Fraction(1), one).to(to).magnitude)!r}")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    TABLE.write_text(unit_table(), encoding="utf-8")
