"""What washers give is told apart from what the parts give."""

from __future__ import annotations

import math

import pytest

from kit.each import each
from marking import OUTPUTS

STRETCH = OUTPUTS["stretch"]


def rows(**more: str) -> dict[str, float]:
    """Micrometres a kilonewton by part, as the report prints them."""
    plan = STRETCH.plan(
        STRETCH.read("20 N·m + 30° ±3", screw="M12x1.75", strength="8.8", grip="30 mm", shank="10 mm", **more)
    )
    lines = [line.rsplit(maxsplit=3) for line in STRETCH.text(plan).splitlines() if line.endswith(" %")]
    return {line[0].split("  ")[0]: float(line[1]) for line in lines if len(line) == 4 and line[2].isdigit()}


def frustum(thickness_mm: float, face_mm: float, bore_mm: float) -> float:
    """Shigley, 9th ed., eq. 8-20, at 207 GPa, in µm a kN."""
    t = 2 * thickness_mm * math.tan(math.radians(30))
    ratio = (t + face_mm - bore_mm) * (face_mm + bore_mm) / ((t + face_mm + bore_mm) * (face_mm - bore_mm))
    return 1e6 * math.log(ratio) / (math.pi * 207_000 * bore_mm * math.tan(math.radians(30)))


@each(("joint", "washers", "number"), [("tapped", "2.5 mm", 1), ("nut", "2 x 2.5 mm", 2)])
def test_washers_have_a_row_of_their_own_and_all_rows_add_up(joint: str, washers: str, number: int) -> None:
    found = rows(joint=joint, washers=washers)
    name = "washers squeezed" if number > 1 else "washer squeezed"
    assert found[name] == pytest.approx(number * frustum(2.5, 18.0, 13.2), abs=0.006)
    assert math.fsum(v for k, v in found.items() if k != "all") == pytest.approx(found["all"], abs=0.03)


def test_without_washers_there_is_no_such_row() -> None:
    assert not [name for name in rows() if "washer" in name]
