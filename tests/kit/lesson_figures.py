"""Figures of a lesson as read back from the finished SVG."""

from __future__ import annotations

from xml.etree import ElementTree

import numpy as np
from numpy.typing import NDArray

from kit.lesson import a_set
from kit.measure import SVG, Stroke, drawn_groups, only, strokes
from kit.turning import tightened
from marking.drawing.primitives import Document

Vector = NDArray[np.float64]


def figures(document: Document, name: str) -> list[ElementTree.Element]:
    return drawn_groups(document, name)


def only_figure(name: str, document: Document | None = None) -> ElementTree.Element:
    (figure,) = figures(document or a_set(), name)
    return figure


def centre_of(figure: ElementTree.Element) -> Vector:
    """The middle of the socket's circle, y turned upwards."""
    (circle,) = [e for e in figure.iter(f"{SVG}circle") if e.get("class") == "socket"]
    return np.array([float(circle.get("cx", "nan")), -float(circle.get("cy", "nan"))])


def outwards(line: Stroke, centre: Vector) -> Vector:
    """The direction of a radial line from the centre, as a point in space seen from above."""
    ends = [np.array([line.x1, line.y1]) - centre, np.array([line.x2, line.y2]) - centre]
    far = max(ends, key=lambda end: float(np.hypot(*end)))
    near = min(ends, key=lambda end: float(np.hypot(*end)))
    assert abs(np.cross([*near, 0.0], [*far, 0.0])[2]) < 1e-2, "the line is not radial"
    return np.array([*far / np.linalg.norm(far), 0.0])


def arrives(figure: ElementTree.Element, role: str, turn_deg: float, thread: str) -> bool:
    """Turn the drawn socket by `turn_deg` the way the thread tightens: does the mark stand where START stood?"""
    centre, lines = centre_of(figure), strokes(figure)
    start, mark = (outwards(only(lines, name), centre) for name in ("start", role))
    return bool(np.allclose(tightened(mark, turn_deg, thread), start, atol=2e-4))
