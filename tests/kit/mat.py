"""Mats as read back from finished drawings."""

from __future__ import annotations

from typing import Any
from xml.etree import ElementTree

from kit.measure import SVG, drawn_groups, placed_texts
from marking.readouts.mat.plan import MatPlan
from marking.readouts.mat.plan import plan as plan_mat
from marking.readouts.mat.request import read as read_mat
from marking.readouts.mat.sheet import draw as mat_document

SPEC = "110 N·m + 90° +10/-0"


def a_plan(spec: str = SPEC, drive: str = "1/2", **more: Any) -> MatPlan:
    return plan_mat(read_mat(spec, drive, **more))


def the_mat(plan: MatPlan) -> ElementTree.Element:
    document = mat_document(plan)
    (mat,) = drawn_groups(document, "mat")
    return mat


def printed(plan: MatPlan) -> str:
    """All words of the sheet without the numbers of the steps, which stand behind their first line."""
    texts = [text.text for page in mat_document(plan).pages for text in placed_texts(page)]
    return " ".join(text for text in texts if not text.isdigit())


def number(element: ElementTree.Element, name: str) -> float:
    return float(element.get(name, "nan"))


def circles(mat: ElementTree.Element, role: str) -> list[tuple[float, float, float, float]]:
    """Middle (y upwards), radius and OD of whole circles."""
    return [
        (
            float(e.get("cx", "nan")),
            -float(e.get("cy", "nan")),
            float(e.get("r", "nan")),
            float(e.get("data-od", "nan")),
        )
        for e in mat.iter(f"{SVG}circle")
        if e.get("class") == role
    ]


def od_mm(text: str) -> float:
    return {"27.8 mm": 27.8, "12 mm": 12.0, "96 mm": 96.0, "1-1/2 in": 38.1}[text]
