"""Fastenings whose stretch is worked out."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from marking.drawing.primitives import Document
from marking.outputs.stretch.plan import StretchPlan
from marking.outputs.stretch.plan import plan as plan_stretch
from marking.outputs.stretch.request import read as read_stretch
from marking.outputs.stretch.sheet import draw as stretch_document
from marking.outputs.stretch.told import findings

ELASTIC = ("40 N·m + 45° ±3", "M12", "10.9", "120 mm")
BEYOND = ("110 N·m + 90° +10/-0", "M12", "10.9", "60 mm")
FLAWLESS = {"wrench": "0 %", "reading_error": "0°", "settling": "0 mm"}
"""A wrench, a readout and a joint without errors: what is left is friction and the window."""


def a_plan(*texts: str, **more: Any) -> StretchPlan:
    return plan_stretch(read_stretch(*(texts or ELASTIC), **more))


def a_sheet(*texts: str, **more: Any) -> Document:
    return stretch_document(a_plan(*texts, **more))


def mid_n(plan: StretchPlan) -> float:
    tension = plan.stages[-1].tensions.mid_n
    assert tension is not None
    return tension


def said(plan: StretchPlan) -> str:
    return " ".join(findings(plan))


SPECS = st.builds(
    "{}{}".format,
    st.sampled_from(["", "hand tight + ", "5 N·m + ", "40 N·m + ", "80 N·m + ", "300 N·m + ", "30 lbf·ft + "]),
    st.sampled_from(["5° ±2", "45° ±3", "60° + 30° ±5", "90° +10/-0", "3600°", "1° ±0.5 + 2° ±1", "70° ±5"]),
)

SCREWS = st.sampled_from(
    [
        ("M3", "12.9"),
        ("M8x1", "8.8"),
        ("M12", "10.9"),
        ("M12", "A2-70"),
        ("M16", "4.6"),
        ("M20", "8.8"),
        ("M39", "10.9"),
        ("1/4-20", "5"),
        ("1/2-13", "2"),
        ("1-1/2-6", "8"),
    ]
)

OPTIONS = st.fixed_dictionaries(
    {
        "shank": st.sampled_from([None, "0 mm", "10 mm", "1/2 in"]),
        "waist": st.sampled_from([None, None, "10 mm x 9 mm"]),
        "joint": st.sampled_from(["nut", "tapped", "stud"]),
        "head": st.sampled_from(["hexagon", "socket"]),
        "washers": st.sampled_from([None, "2 mm", "2 x 2 mm"]),
        "joint_modulus": st.sampled_from([None, "1 GPa", "70 GPa", "600 GPa"]),
        "friction": st.sampled_from([None, "0.12", "0.01..1", "0.08..0.16"]),
        "readout": st.sampled_from(["band", "ring", "disc", "mat"]),
        "settling": st.sampled_from([None, "0 mm", "0.1 mm"]),
    }
)

GRIPS = st.sampled_from(["10 mm", "33.3 mm", "1-3/32 in", "300 mm"])
