"""The units in which forces and stresses are shown."""

from __future__ import annotations

import math

from ...quantities.shown import plain_number, rounded, shown_length, trimmed
from ...quantities.units import MM_PER_IN, NM_PER_LBF_FT, factor
from .plan import StretchPlan


class Units:
    """Writes forces, stresses and lengths in the units that go with a thread and a grip; `inch` is for unified ones."""

    def __init__(self, thread_unit: str, length_unit: str) -> None:
        self.inch = thread_unit == "in"
        self.length_unit = length_unit

    def force(self, newtons: float) -> str:
        """A force in the first unit of its system: "52.2 kN", "11700 lbf"."""
        return _lbf(newtons) if self.inch else _kn(newtons)

    def both(self, newtons: float) -> str:
        """A force in both systems: "52.2 kN (11700 lbf)"."""
        first, second = (_lbf, _kn) if self.inch else (_kn, _lbf)
        return f"{first(newtons)} ({second(newtons)})"

    def torque(self, nm: float) -> str:
        """A torque in both systems: "147 N·m (109 lbf·ft)"."""
        in_nm, in_lbf_ft = f"{rounded(nm)} N·m", f"{rounded(nm / NM_PER_LBF_FT)} lbf·ft"
        return f"{in_lbf_ft} ({in_nm})" if self.inch else f"{in_nm} ({in_lbf_ft})"

    def stress(self, mpa: float) -> str:
        """A stress: "830 MPa", for unified threads "85 ksi (586 MPa)"."""
        return f"{rounded(mpa / factor('ksi'))} ksi ({rounded(mpa)} MPa)" if self.inch else f"{rounded(mpa)} MPa"

    def length(self, mm: float) -> str:
        """How far something moves, in the user's unit: "0.438 mm", "0.0125 in"."""
        if self.length_unit == "in":
            return f"{trimmed(mm / MM_PER_IN, 4)} in"
        return f"{trimmed(mm, 3 if mm < 10 else 1)} mm"

    def given(self, mm: float) -> str:
        """A length of the fastening, which may have been typed, in the user's unit: "60 mm", "2.5 in"."""
        return shown_length(mm, self.length_unit)

    def stiffness(self, n_per_mm: float) -> str:
        """A stiffness: "291 kN/mm", for unified threads "5.21 Mlbf/in"."""
        if not self.inch:
            return f"{_three(n_per_mm / 1000.0)} kN/mm"
        return f"{rounded(n_per_mm / factor('lbf/in') / 1e6)} Mlbf/in"

    @property
    def compliance_name(self) -> str:
        """The unit in which `compliance` writes."""
        return "mil per 1000 lbf" if self.inch else "µm per kN"

    def compliance(self, mm_per_n: float) -> str:
        """What stretches by how much under a force: "2.59" µm per kN, for unified threads mil per 1000 lbf."""
        return trimmed(mm_per_n * factor("lbf/in") * 1e6, 3) if self.inch else trimmed(mm_per_n * 1e6, 2)

    def small(self, mm: float) -> str:
        """A very small length in the user's unit: "11 µm", "0.0004 in"."""
        return f"{trimmed(mm / MM_PER_IN, 4)} in" if self.length_unit == "in" else f"{rounded(1000 * mm, 2)} µm"

    def area(self, mm2: float) -> str:
        """An area: "84.3 mm²", for unified threads "0.226 in²"."""
        return f"{rounded(mm2 / MM_PER_IN**2)} in²" if self.inch else f"{rounded(mm2)} mm²"


def _kn(newtons: float) -> str:
    return f"{_three(newtons / 1000.0)} kN"


def _lbf(newtons: float) -> str:
    return f"{_three(newtons / factor('lbf'))} lbf"


def _three(value: float) -> str:
    """Three figures, with zeros for the digits before the point that are not known: 11700, 52.2."""
    if value < 1000:
        return rounded(value)
    step = 10.0 ** (math.floor(math.log10(value)) - 2)
    return plain_number(round(value / step) * step)


def units_of(plan: StretchPlan) -> Units:
    """Return the units that a plan's numbers are written in."""
    return Units(plan.job.fastening.thread.unit, plan.job.unit)
