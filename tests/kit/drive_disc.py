"""Drive discs as read back from finished drawings."""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree

import numpy as np
from numpy.typing import NDArray

from kit.measure import SVG, drawn_groups
from marking.fastening.socket import parse_drive
from marking.fastening.spec import Window
from marking.marks.reading_error import Budget, ErrorModel
from marking.readouts.drive_disc.error import disc_budget
from marking.readouts.drive_disc.plan import DiscPlan
from marking.readouts.drive_disc.plan import plan as plan_discs
from marking.readouts.drive_disc.request import read as read_disc
from marking.readouts.drive_disc.sheet import draw as disc_document
from marking.readouts.drive_disc.words import use_steps

Vector = NDArray[np.float64]
SPEC = "110 N·m + 90° +10/-0"
LARGEST_MALE_MM = {"1/4": 6.35, "3/8": 9.525, "1/2": 12.7, "3/4": 19.05, "1": 25.4, "1-1/2": 38.1}
"""The largest driver's squares of ISO 1174-1, typed from the standard's values."""


def a_plan(spec: str = SPEC, drive: str = "1/2", **more: Any) -> DiscPlan:
    return plan_discs(read_disc(spec, drive, **more))


def disc_groups(plan: DiscPlan) -> list[ElementTree.Element]:
    document = disc_document(plan)
    return drawn_groups(document, "drive-disc")


def centre_of(disc: ElementTree.Element) -> Vector:
    """The middle of the cut circle, y turned upwards."""
    (edge,) = [e for e in disc.iter(f"{SVG}circle") if e.get("class") == "outer-edge"]
    return np.array([float(edge.get("cx", "nan")), -float(edge.get("cy", "nan")), 0.0])


def reading_end(line: Any, centre: Vector) -> Vector:
    """Where a radial line meets the edge, from the disc's centre, as seen from above."""
    ends = [np.array([line.x1, line.y1, 0.0]) - centre, np.array([line.x2, line.y2, 0.0]) - centre]
    return max(ends, key=lambda end: float(np.linalg.norm(end)))


def steps_of(plan: DiscPlan) -> list[str]:
    return use_steps(plan.job.spec, plan.budgets, plan.job.disc_model.gap_mm)


SHEETS = [(SPEC, "1/2", "70 mm", "right"), ("20 N·m + 30° ±8", "1/4", "60 mm", "left"),
          ("900 N·m + 450° ±15", "1", "120 mm", "right"), ("90 N·m + 200°", "3/4", "7 in", "left")]  # fmt: skip


def a_budget(low: float = 90, high: float = 100, diameter_mm: float = 70, **more: Any) -> Budget:
    return disc_budget(1, low, Window(low, high), diameter_mm, parse_drive("1/2"), ErrorModel(), **more)
