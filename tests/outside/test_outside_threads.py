"""Threads and strengths against printed tables and against the standards' own formulas.

Pitches: ISO 261. Diameters: ISO 724 (d2), ISO 898-1 (d3 = d1 − H/6). Stress areas: ISO 898-1 (2013), tables of ultimate
and proof loads; unified: ASME B1.1 as printed in Shigley's Mechanical Engineering Design, 9th ed., Table 8-2.
Confidence: coarse metric sizes on three open pages, unified on two; M3, M4 and M39 from memory.
"""

from __future__ import annotations

import math

import pytest

from kit.each import each
from marking.fastening.strength import parse_strength
from marking.fastening.thread import Thread, parse_thread, threads

# ISO 261, ISO 724 and ISO 898-1: thread, pitch, d2, d3 (mm) and area (mm²) as printed
METRIC = [
    ("M8", 1.25, 7.188, 6.466, 36.6),
    ("M10", 1.5, 9.026, 8.160, 58.0),
    ("M12", 1.75, 10.863, 9.853, 84.3),
    ("M16", 2.0, 14.701, 13.546, 157),
    ("M20", 2.5, 18.376, 16.933, 245),
    ("M24", 3.0, 22.051, 20.319, 353),
    ("M30", 3.5, 27.727, 25.706, 561),
    ("M36", 4.0, 33.402, 31.093, 817),
    ("M12x1.25", 1.25, 11.188, 10.466, 92.1),
    ("M36x3", 3.0, 34.051, 32.319, 865),
]

# Shigley, Table 8-2: thread, stress area in in²
UNIFIED = [
    ("1/4-20", 0.0318),
    ("3/8-16", 0.0775),
    ("1/2-13", 0.1419),
    ("5/8-11", 0.226),
    ("3/4-10", 0.334),
    ("3/4-16", 0.373),
    ("1-8", 0.606),
    ("1-1/2-6", 1.405),
    ("1/2-20", 0.1599),
]

# ISO 261 pitch × turn / 360, worked by hand: thread, turn in degrees, advance in mm
ADVANCES = [
    ("M12", 90, 0.4375),
    ("M20", 90, 0.625),
    ("M20", 120, 0.8333),
    ("M10", 60, 0.25),
    ("1/2-13", 90, 0.4885),
    ("3/4-10", 120, 0.8467),
]


@each(("text", "pitch", "d2", "d3", "area"), METRIC)
def test_metric_threads_have_the_printed_sizes(text: str, pitch: float, d2: float, d3: float, area: float) -> None:
    thread = parse_thread(text)
    assert thread.pitch_mm == pitch
    assert thread.d2_mm == pytest.approx(d2, abs=0.0006)
    assert thread.d3_mm == pytest.approx(d3, abs=0.0006)
    assert thread.area_mm2 == pytest.approx(area, rel=1e-9)


@each(("text", "area_in2"), UNIFIED)
def test_unified_threads_have_the_printed_stress_areas(text: str, area_in2: float) -> None:
    assert parse_thread(text).area_mm2 / 25.4**2 == pytest.approx(area_in2, rel=1e-9)


@each("thread", threads())
def test_every_stress_area_of_the_tables_is_the_formulas_to_three_figures(thread: Thread) -> None:
    """ISO 898-1: π/4 (d − 0.9382 P)²; ASME B1.1: π/4 (d − 0.9743/n)². Tables from 100 mm² on are whole numbers."""
    d, p = thread.diameter_mm, thread.pitch_mm
    formula = math.pi / 4 * (d - (0.9743 if thread.unit == "in" else 0.938194) * p) ** 2
    assert thread.area_mm2 == pytest.approx(formula, rel=0.0045)
    assert thread.formula_area_mm2 == pytest.approx(formula, rel=1e-6)


@each(("text", "turn_deg", "advance_mm"), ADVANCES)
def test_threads_advance_by_their_standard_pitch_times_the_turn(text: str, turn_deg: float, advance_mm: float) -> None:
    assert parse_thread(text).advance_mm(turn_deg) == pytest.approx(advance_mm, abs=0.00006)


def test_twenty_threads_per_inch_advance_an_eightieth_of_an_inch_in_a_quarter_turn() -> None:
    """Common practice, no published source: 20 threads per inch and a quarter turn make 0.0125 in."""
    assert parse_thread("1/4-20").advance_mm(90) == pytest.approx(0.0125 * 25.4, rel=1e-12)
    assert parse_thread("1/2-20").advance_mm(90) == pytest.approx(0.0125 * 25.4, rel=1e-12)


# ISO 898-1, table of proof loads, coarse thread, N; M16 class 12.9 and M20 on one page, the others on two
PROOF_LOADS = [
    ("M8", "8.8", 21_200), ("M8", "10.9", 30_400), ("M8", "12.9", 35_500),
    ("M10", "8.8", 33_700), ("M10", "10.9", 48_100), ("M10", "12.9", 56_300),
    ("M12", "8.8", 48_900), ("M12", "10.9", 70_000), ("M12", "12.9", 81_800),
    ("M16", "8.8", 91_000), ("M16", "10.9", 130_000), ("M16", "12.9", 152_000),
    ("M20", "8.8", 147_000), ("M20", "10.9", 203_000),
]  # fmt: skip


@each(("text", "strength", "load_n"), PROOF_LOADS)
def test_proof_loads_are_those_of_iso_898(text: str, strength: str, load_n: float) -> None:
    """Proof stress × stress area; the printed loads are off by up to a unit of their third figure."""
    thread = parse_thread(text)
    proof_mpa = parse_strength(strength, thread).proof_mpa
    assert proof_mpa is not None
    load = proof_mpa * thread.area_mm2
    assert load == pytest.approx(load_n, abs=10 ** (math.floor(math.log10(load_n)) - 2))


# ISO 898-1, Table 3: proof stress over yield as printed there (4.6 to 6.8 from memory)
RATIOS = [
    ("M12", "4.6", 0.94),
    ("M12", "4.8", 0.91),
    ("M12", "5.6", 0.93),
    ("M12", "5.8", 0.90),
    ("M12", "6.8", 0.92),
    ("M12", "8.8", 0.91),
    ("M20", "8.8", 0.91),
    ("M12", "9.8", 0.90),
    ("M12", "10.9", 0.88),
    ("M12", "12.9", 0.88),
]


@each(("text", "strength", "ratio"), RATIOS)
def test_proof_stress_is_the_printed_part_of_yield(text: str, strength: str, ratio: float) -> None:
    found = parse_strength(strength, parse_thread(text))
    assert found.proof_mpa is not None
    assert found.proof_mpa / found.yield_mpa == pytest.approx(ratio, abs=0.006)
    assert found.yield_mpa < found.tensile_mpa


METRIC_CLASSES = ("4.6", "4.8", "5.6", "5.8", "6.8", "8.8", "9.8", "10.9", "12.9")


@each("name", METRIC_CLASSES)
def test_a_class_is_named_after_its_tensile_strength_and_its_yield_ratio(name: str) -> None:
    """ISO 898-1, designation: a hundredth of the nominal tensile strength, ten times yield over it; least values are
    not below the nominal ones.
    """
    found, (tensile, tenths) = parse_strength(name, parse_thread("M12")), map(int, name.split("."))
    assert 0 <= found.tensile_mpa - 100 * tensile <= 40
    assert 0 <= found.yield_mpa - 10 * tensile * tenths <= 40


@each("name", METRIC_CLASSES)
def test_the_hardest_screw_of_a_class_is_stronger_than_the_least(name: str) -> None:
    """Its upper limit of hardness as tensile strength (ISO 898-1 and ISO 18265, from memory): 1.1 to 1.8 times."""
    found = parse_strength(name, parse_thread("M12"))
    assert found.hardest_mpa is not None
    assert 1.1 < found.hardest_mpa / found.tensile_mpa < 1.8
    assert not found.from_memory or name < "8"


@each(("name", "yield_mpa", "tensile_mpa"), [("70", 450, 700), ("80", 600, 800)])
@each("steel", ["A2", "A4"])
def test_stainless_classes_are_named_after_their_tensile_strength(
    steel: str, name: str, yield_mpa: float, tensile_mpa: float
) -> None:
    """ISO 3506-1: a tenth of the tensile strength (read on one page for 70), yield from memory, no proof stress."""
    found = parse_strength(f"{steel}-{name}", parse_thread("M12"))
    assert (found.yield_mpa, found.tensile_mpa, found.proof_mpa) == (yield_mpa, tensile_mpa, None)
    assert found.tensile_mpa == 10 * int(name)
    assert (found.from_memory, found.hardest_mpa, found.modulus_mpa) == (True, None, 200_000)


def test_grade_2_is_as_sae_j429_has_it() -> None:
    """SAE J429: 55, 57 and 74 ksi to 3/4 in, 33, 36 and 60 ksi above (memory)."""
    ksi = 0.45359237 * 9.80665 / 25.4**2 * 1000
    for thread, ksis in (("1/2-13", (55, 57, 74)), ("1-8", (33, 36, 60))):
        found = parse_strength("grade 2", parse_thread(thread))
        assert found.from_memory
        assert found[1:4] == pytest.approx([value * ksi for value in ksis])


def test_grade_5_is_weaker_above_an_inch() -> None:
    """SAE J429: proof 85 000 psi to 1 in, 74 000 psi above (two open pages)."""
    psi = 0.45359237 * 9.80665 / 25.4**2
    assert parse_strength("5", parse_thread("1-8")).proof_mpa == pytest.approx(85_000 * psi, rel=1e-12)
    assert parse_strength("5", parse_thread("1-1/8-7")).proof_mpa == pytest.approx(74_000 * psi, rel=1e-12)
