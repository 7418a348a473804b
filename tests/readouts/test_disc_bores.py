"""A ring that is cut to one of several diameters."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kit.collisions import collisions, placed_items
from kit.drive_disc import SPEC
from kit.each import each
from kit.turning import SPECS
from marking.drawing.primitives import Arc, Document, Line, Text
from marking.errors import RangeError
from marking.fastening.spec_grammar import parse_spec
from marking.marks.seam import seam_deg
from marking.marks.stage_marks import StageMarks, stage_arc
from marking.readouts.part_ring.figure import draw_ring
from marking.readouts.part_ring.layout import RingLayout
from marking.sheets.blocks import captioned
from marking.sheets.paper import SIZES, Paper
from marking.sheets.sheet import Sheet


def ring_page(spec: str, bores: tuple[float, ...], thread: str = "right", sector: bool = False) -> Document:
    stages = parse_spec(spec).stages
    marks = tuple(StageMarks(s, (n,), s.turn_deg, len(stages) > 1) for n, s in enumerate(stages, 1))
    seam = seam_deg([stage_arc(stage) for stage in stages], math.pi * max(bores))
    sheet = Sheet(Paper(*SIZES["a4"]), ("Ring",))
    plan = RingLayout(max(bores), 12.0, thread == "right", marks, seam, sector, bores)
    sheet.put(captioned(draw_ring(plan), ["A ring."], 50.0))
    return Document(sheet.pages())


BORES = [(9.0, 11.0, 13.0, 15.0), tuple(23.0 + 2 * k for k in range(9)), tuple(30.0 + 2.5 * k for k in range(20))]


@each("sector", [False, True])
@each("thread", ["right", "left"])
@each("bores", BORES)
@each("spec", [*SPECS, "5 N·m + 360° ±20", "300° ±40", "20° ±1 + 200° ±10"])
def test_every_bore_has_its_number_in_a_gap_of_its_own_circle(
    spec: str, bores: tuple[float, ...], thread: str, sector: bool
) -> None:
    (page,) = ring_page(spec, bores, thread, sector).pages
    assert collisions(page) == []
    items = list(placed_items(page))
    circles = [item for item in items if isinstance(item, Arc) and item.role == "bore"]
    numbers = {item.text: item for item in items if isinstance(item, Text) and item.role == "number"}
    assert {round(2 * c.radius, 6) for c in circles} == set(bores)
    for circle in circles:
        od = f"{2 * circle.radius - 1:g}"
        assert dict(circle.data)["od"] == od
        number = numbers[od]
        middle = np.mean(number.box, axis=0)
        assert math.dist(middle, (circle.cx, circle.cy)) == pytest.approx(circle.radius, abs=0.15)
        assert number.size_pt == 5.0


def test_marks_run_to_the_smallest_bore_and_the_scale_stays_outside_the_largest() -> None:
    (page,) = ring_page(SPEC, BORES[1]).pages
    items = list(placed_items(page))
    circle = next(item for item in items if isinstance(item, Arc) and item.role == "bore")
    nearest: dict[str, float] = {}
    for item in items:
        if isinstance(item, Line) and item.role in ("zero", "ends-low", "ends-high", "aim", "slit", "degree"):
            ends = [math.dist((x, y), (circle.cx, circle.cy)) for x, y in ((item.x1, item.y1), (item.x2, item.y2))]
            nearest[item.role] = min(*ends, nearest.get(item.role, math.inf))
    assert nearest.pop("degree") >= max(BORES[1]) / 2
    assert nearest == pytest.approx(dict.fromkeys(nearest, min(BORES[1]) / 2))
    assert {"zero", "ends-low", "ends-high", "aim", "slit"} == nearest.keys()


@each("bores", [(20.0, 21.5), (30.0, 20.0), (0.5, 20.0)])
def test_bores_that_cannot_be_cut_are_refused(bores: tuple[float, ...]) -> None:
    stage = StageMarks(parse_spec("90°").stages[0], (1,), None, False)
    with pytest.raises(RangeError, match="bores"):
        RingLayout(bores[-1], 12.0, True, (stage,), 225.0, bores_mm=bores)


def test_a_ring_with_one_bore_is_the_ring_without_the_choice() -> None:
    stage = StageMarks(parse_spec("90° ±5").stages[0], (1,), 90.0, False)
    ring = draw_ring(RingLayout(28.8, 12.0, True, (stage,), 225.0))
    lines = [item for item in ring.content.items if isinstance(item, Line)]
    middle = ring.width_mm / 2
    ends = {role: [math.dist((item.x1, item.y1), (middle, middle)) for item in lines if item.role == role]
            for role in ("zero", "degree")}  # fmt: skip
    assert ends["zero"] == pytest.approx([14.4])
    assert ends["degree"] == pytest.approx([14.4] * len(ends["degree"]))
    (bore,) = [item for item in ring.content.items if isinstance(item, Arc) and item.role == "inner-edge"]
    assert (bore.sweep_deg, bore.data) == (360.0, ())
