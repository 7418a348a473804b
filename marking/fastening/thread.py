"""Screw threads by their designation: pitch, diameters, stress area, and how far a turn advances them."""

from __future__ import annotations

import math
import re
from fractions import Fraction
from functools import cache, lru_cache
from typing import NamedTuple

from ..errors import RangeError, within
from ..quantities.scanner import ANY_CASE, MINUS_SIGNS, SPACES, Scanner
from ..quantities.shown import mixed, plain_number, shown_length
from ..quantities.units import MM_PER_IN
from ..tables import rows

MIN_DIAMETER_MM, MAX_DIAMETER_MM = 1.0, 152.4
"""Smallest and largest nominal diameter read: M1, and 6 in (our choice; ISO 261 goes on to 300 mm)."""

MIN_PITCH_MM = 0.2

COARSEST, FINEST = 1 / 4, 1 / 100
"""Least pitch, and limits of pitch over diameter: M1 × 0.25 and 6 in with 16 threads per inch come nearest to them
(ISO 261 and ASME B1.1, from memory)."""

GAUGE_SIZES = (0, 1, 2, 3, 4, 5, 6, 8, 10, 12)
"""Numbered unified sizes; number n is 0.060 + 0.013 n inches (ASME B1.1, from memory)."""

NUMBER_ONE_TPI = (64, 72)
"""Threads per inch of number 1, UNC and UNF (ASME B1.1, from memory): the only number that its threads leave possible
as inches."""

_METRIC = re.compile("m", ANY_CASE)

_TIMES = re.compile("[x×*]", ANY_CASE)

_METRIC_TOLERANCE = re.compile(rf"[{MINUS_SIGNS}][0-9][a-hA-H](?:[0-9][a-hA-H])?(?![^\W_])")

_GAUGE = re.compile(r"#|no\.?", ANY_CASE)

_INCH = re.compile(r"\"|″|”|in\b", ANY_CASE)

_BARE = re.compile(rf"[{SPACES}]*[0-9]+[{SPACES}]*[{MINUS_SIGNS}]")

_DASH = re.compile(f"[{MINUS_SIGNS}]")

_TPI = re.compile(r"tpi\b", ANY_CASE)

_SERIES = re.compile(rf"[{MINUS_SIGNS}]?[ ]?(UN(?:EF|[CFS])?)(?![^\W\d_])", ANY_CASE)

_UNIFIED_TOLERANCE = re.compile(rf"[{MINUS_SIGNS}]?[ ]?[123][AB](?![^\W_])", ANY_CASE)


class Thread(NamedTuple):
    """A single-start thread of the 60° profile (ISO 68-1, ASME B1.1), right- or left-hand alike.

    `name` is the designation as printed ("M12 × 1.75", "1/2-13 UNC"), `unit` "mm" or "in", `tpi` the threads per inch
    of a unified thread. `series` is "coarse", "fine", "UNC", "UNF", …, or "" when the tables do not list the thread;
    `table_area_mm2` is then None.
    """

    name: str
    diameter_mm: float
    pitch_mm: float
    unit: str
    tpi: float | None
    series: str
    table_area_mm2: float | None = None

    @property
    def d2_mm(self) -> float:
        """Basic pitch diameter, d − 0.649519 P (ISO 724, ASME B1.1): 10.863 mm for M12 × 1.75."""
        return self.diameter_mm - 0.75 * math.sqrt(3) * self.pitch_mm / 2

    @property
    def d3_mm(self) -> float:
        """Minor diameter at the root, d − 1.226869 P (ISO 898-1, 9.1.6.1): 9.853 mm for M12 × 1.75."""
        return self.diameter_mm - 17 / 12 * math.sqrt(3) * self.pitch_mm / 2

    @property
    def area_mm2(self) -> float:
        """Stress area: the standard's table, else its formula; 84.3 mm² for M12 × 1.75."""
        return self.formula_area_mm2 if self.table_area_mm2 is None else self.table_area_mm2

    @property
    def area_source(self) -> str:
        """Where the stress area comes from: "table" or "formula"."""
        return "formula" if self.table_area_mm2 is None else "table"

    @property
    def formula_area_mm2(self) -> float:
        """Stress area by formula: π/4 ((d2 + d3)/2)² (ISO 898-1), π/4 (d − 0.9743/n)² (ASME B1.1).

        84.27 mm² for M12 × 1.75.
        """
        mean_mm = self.diameter_mm - 0.9743 * self.pitch_mm if self.unit == "in" else (self.d2_mm + self.d3_mm) / 2
        return math.pi / 4 * mean_mm**2

    def advance_mm(self, turn_deg: float) -> float:
        """Return how far a turn advances the thread, P θ / 360: 0.4375 mm for M12 × 1.75 and 90°."""
        return self.pitch_mm * turn_deg / 360.0


@cache
def threads() -> tuple[Thread, ...]:
    """Return every thread of the tables: metric coarse and fine, unified coarse and fine."""
    return tuple(_tabled(row) for row in rows("threads"))


def _tabled(row: dict[str, str]) -> Thread:
    diameter, area = float(row["diameter"]), float(row["area"])
    if row["unit"] == "mm":
        name = f"{row['size']} × {row['pitch']}"
        return Thread(name, diameter, float(row["pitch"]), "mm", None, row["series"], area)
    tpi = float(row["tpi"])
    name = f"{row['size']}-{row['tpi']} {row['series']}"
    return Thread(name, diameter * MM_PER_IN, MM_PER_IN / tpi, "in", tpi, row["series"], area * MM_PER_IN**2)


@lru_cache(maxsize=1024)
def parse_thread(text: str) -> Thread:
    """Read a thread's designation: `M12x1.75`, `M12` (coarse), `1/2-13`, `3/4-16 UNF-2A`, `½ UNC`, `#10-24`.

    A tolerance class is read over. Raises TextInputError for what cannot be read or contradicts the tables, and
    RangeError for a thread that cannot be.
    """
    scan = Scanner(text, "screw", example="M12x1.75")
    return _metric(scan) if scan.take(_METRIC) else _unified(scan)


def _metric(scan: Scanner) -> Thread:
    start = scan.position
    value, tidy = scan.number("a diameter such as the 12 of M12x1.75")
    if "/" in tidy:
        raise scan.failure("has a metric size in fractions", "a size such as M12", at=start)
    diameter_mm = float(value)
    same = [t for t in threads() if t.unit == "mm" and t.diameter_mm == diameter_mm]
    if scan.take(_TIMES):
        at = scan.position
        pitch, pitch_tidy = scan.number("a pitch such as the 1.75 of M12x1.75")
        if "/" in pitch_tidy:
            raise scan.failure("has a pitch in fractions", "a pitch in mm such as 1.75", at=at)
        pitch_mm = float(pitch)
    else:
        pitch_mm = next((t.pitch_mm for t in same if t.series == "coarse"), 0.0)
        if not pitch_mm:
            raise scan.failure("has no pitch", "its pitch in mm", f"write M{tidy}x and the pitch")
    scan.take(_METRIC_TOLERANCE)
    _expect_end(scan)
    name = f"M{plain_number(diameter_mm)} × {plain_number(pitch_mm)}"
    _check(name, diameter_mm, pitch_mm, "mm")
    known = next((t for t in same if math.isclose(t.pitch_mm, pitch_mm)), None)
    return known or Thread(name, diameter_mm, pitch_mm, "mm", None, "")


def _unified(scan: Scanner) -> Thread:
    diameter_in, size = _unified_size(scan)
    scan.take(_INCH)
    same = [t for t in threads() if t.unit == "in" and math.isclose(t.diameter_mm, diameter_in * MM_PER_IN)]
    tpi = _threads_per_inch(scan)
    at = scan.position
    if tpi is None and scan.take(_TIMES):
        raise scan.failure("has a pitch but no M", "M before a metric size", "write it as M12x1.75", at=0)
    found = scan.take(_SERIES)
    series = found[1].upper() if found else ""
    scan.take(_UNIFIED_TOLERANCE)
    listed = [t for t in same if t.series == series]
    if tpi is None:
        if not listed:
            write = " or ".join(t.name for t in same) or "1/2-13"
            raise scan.failure("has no threads per inch", "them behind the size", f"write it as {write}", at=at)
        tpi = listed[0].tpi or 0.0
    elif listed and listed[0].tpi != tpi:
        raise scan.failure(f"is not {series}", f"{listed[0].name}", f"leave {series} out, or check", at=at)
    _expect_end(scan)
    if size == "1" and tpi in NUMBER_ONE_TPI and _BARE.match(scan.text):
        raise scan.failure(
            "can be read in two ways, number 1 and 1 in", "one meaning",
            f"write #1-{plain_number(tpi)}, or 1 in-{plain_number(tpi)}", at=0,
        )  # fmt: skip
    name = f"{size}-{plain_number(tpi)} {series}".rstrip()
    if tpi == 0:
        raise RangeError(f"the thread {name} has no threads", "threads per inch above 0", value=tpi, field="screw")
    _check(name, diameter_in * MM_PER_IN, MM_PER_IN / tpi, "in")
    known = next((t for t in same if t.tpi == tpi), None)
    return known or Thread(name, diameter_in * MM_PER_IN, MM_PER_IN / tpi, "in", tpi, series)


def _unified_size(scan: Scanner) -> tuple[float, str]:
    """The diameter in inches and how it is printed: (0.19, "#10"), (1.125, "1-1/8")."""
    gauge = scan.take(_GAUGE)
    at = scan.position
    value, _ = scan.number("a thread such as M12x1.75 or 1/2-13")
    if not gauge:
        return float(value), _in_fractions(value)
    if value not in GAUGE_SIZES:
        raise scan.failure("has an unknown number", f"#{' #'.join(map(str, GAUGE_SIZES))}", at=at)
    return 0.060 + 0.013 * int(value), f"#{int(value)}"


def _in_fractions(inches: Fraction) -> str:
    """A size as the trade prints it: "1-1/8" where it is a whole number of sixty-fourths, else decimal."""
    return plain_number(float(inches)) if 64 % inches.denominator else mixed(inches)


def _threads_per_inch(scan: Scanner) -> float | None:
    """The threads per inch behind a dash, or None where a series, or nothing, stands instead."""
    start = scan.position
    if not scan.take(_DASH):
        return None
    scan.skip_spaces()
    if not scan.text[scan.position : scan.position + 1].isdigit():
        scan.position = start
        return None
    value, _ = scan.number("threads per inch")
    scan.take(_TPI)
    return float(value)


def _expect_end(scan: Scanner) -> None:
    if not scan.at_end():
        raise scan.failure(
            "cannot be read", "a thread such as M12x1.75, 1/2-13 or 3/4-16 UNF",
            "leave LH out: a left-hand thread has the same numbers",
        )  # fmt: skip


def _check(name: str, diameter_mm: float, pitch_mm: float, unit: str) -> None:
    """Raise RangeError for a diameter or pitch that no thread has."""
    within(
        f"the thread {name} has a diameter of {{}}", diameter_mm, MIN_DIAMETER_MM, MAX_DIAMETER_MM, "screw",
        lambda mm: shown_length(mm, unit),
        advice="write numbered sizes as #10-24" if unit == "in" and diameter_mm > MAX_DIAMETER_MM else "",
    )  # fmt: skip
    low, high = max(MIN_PITCH_MM, FINEST * diameter_mm), COARSEST * diameter_mm
    if not low * (1 - 1e-9) <= pitch_mm <= high * (1 + 1e-9):
        raise RangeError(
            f"the thread {name} has a pitch of {shown_length(pitch_mm, 'mm')}",
            f"{shown_length(low, 'mm')} to {shown_length(high, 'mm')}",
            value=pitch_mm,
            field="screw",
        )
