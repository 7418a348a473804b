"""Which way sockets turn, and where things stand in finished sheets, without the library's idea of left and right."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from kit.measure import Stroke, of_role

Vector = NDArray[np.float64]

SPECS = ["60 N·m + 90° +10/-0", "60 N·m + 30° ±8", "60 N·m + 240° ±20", "60 N·m + 450° ±10", "60 N·m + 90°"]


def turned_clockwise_from_above(point: Vector, deg: float) -> Vector:
    """Turn about z as seen by somebody above (at the drive end) looking down: clockwise is negative about z."""
    c, s = math.cos(math.radians(-deg)), math.sin(math.radians(-deg))
    rotation = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
    return np.asarray(rotation @ point, dtype=np.float64)


def tightened(point: Vector, deg: float, thread: str) -> Vector:
    """Right-hand threads tighten clockwise seen from the drive end, left-hand threads the other way.

    (Common practice; ISO 5408 defines the right-hand thread by it.)
    """
    return turned_clockwise_from_above(point, deg if thread == "right" else -deg)


def ring_centre(lines: list[Stroke]) -> Vector:
    """Where the radial lines of a ring meet, by least squares."""
    rows, values = [], []
    for line in of_role(lines, "zero", "ends-low", "ends-high", "ends", "slit"):
        normal = np.array([line.y2 - line.y1, line.x1 - line.x2])
        normal /= np.linalg.norm(normal)
        rows.append(normal)
        values.append(normal @ np.array([line.x1, line.y1]))
    return np.asarray(np.linalg.lstsq(np.array(rows), np.array(values), rcond=None)[0])


def polygon_middle(element: object) -> Vector:
    """The middle of a polygon's corners, y turned upwards."""
    points = [pair.split(",") for pair in str(element.get("points")).split()]  # type: ignore[attr-defined]
    return np.asarray(np.array([[float(x), -float(y)] for x, y in points]).mean(axis=0))
