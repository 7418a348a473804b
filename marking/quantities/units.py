"""The units that are read and written: their factors from `tables/units.csv`, and quantities of pint to and from them.

pint itself loads only when a quantity is made: the accepted units are a closed set, and its table is made with pint.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, TypeAlias

from ..errors import KindError, RangeError
from ..tables import rows

if TYPE_CHECKING:
    import pint

_FACTORS = {row["unit"]: float(row["factor"]) for row in rows("units")}


def factor(unit: str) -> float:
    """Return how many mm, N, N·m, MPa, N/mm or ° make one `unit`: factor("in") = 25.4, factor("lbf·ft") = 1.3558."""
    return _FACTORS[unit]


MM_PER_IN, NM_PER_LBF_FT = factor("in"), factor("lbf·ft")

TORQUE_UNITS = tuple(row["unit"] for row in rows("units") if row["base"] == "N·m")

Measured: TypeAlias = "pint.Quantity[Any]"
Given: TypeAlias = "str | pint.Quantity[Any]"
"""What library calls take: a text with a unit, or a quantity of pint, of whatever registry."""


def quantity(value: float, unit: str) -> Measured:
    """Return a quantity of pint's application registry."""
    import pint

    return pint.Quantity(value, _in_pint(unit))


def measured(value: Any, units: tuple[str, ...], subject: str, example: str, field: str = "") -> tuple[float, str]:
    """Return a quantity as a number and the one of `units` that it is given in, or else the first.

    `subject` and `example` (a text) are for errors. Raises KindError for what is no quantity or one of another kind,
    RangeError for a negative or endless number.
    """
    expected = f"a text with a unit, such as {example!r}, or a pint quantity"
    if not (hasattr(value, "to") and hasattr(value, "magnitude")):
        raise KindError(f"the {subject} is {value!r}", expected, value=value, field=field)
    try:
        known = [(value.to(_in_pint(unit)), unit) for unit in units]
        same, unit = next((one for one in known if one[0].units == value.units), known[0])
        number = float(f"{same.magnitude:.12g}")  # without what a conversion adds in the last places
    except (TypeError, ValueError, AttributeError) as error:
        raise KindError(f"the {subject} is {value}", expected, value=value, field=field) from error
    if not 0 <= number < math.inf:
        raise RangeError(f"the {subject} is {value}", "a number of 0 or more", "measure again", value, field)
    return number, unit


def _in_pint(unit: str) -> str:
    return unit.replace("·", "*").replace("%", "percent")
