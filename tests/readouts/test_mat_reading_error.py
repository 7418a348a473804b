"""How well a mat is read."""

from __future__ import annotations

import math

import numpy as np
import pytest

from kit.each import each
from kit.measure import a_job
from kit.turning import Vector
from marking.fastening.spec import Window
from marking.marks.reading_error import ErrorModel
from marking.quantities.shown import shown_degrees
from marking.readouts import READOUTS, Unproved
from marking.readouts.mat.error import MatErrorModel, mat_budget, mat_contributions


def test_contributions_are_those_of_the_method() -> None:
    """Worked by hand for θ = 100°, OD 28 mm: 360/(π 28) = 4.09255, times 2 sin 50° = 6.27013, sin 100° = 0.9848."""
    found = {c.name: (c.half_width, c.sensitivity) for c in mat_contributions(100, 28, ErrorModel(), MatErrorModel())}
    expected = {
        "centring": (0.25, 6.27013), "unequal print scale": (0.2, 0.564253),
        "pen line at START": (0.25, 4.09255), "pen line at the stop": (0.25, 4.09255),
        "witness mark": (0.25, 4.09255), "stop reading": (0.25, 4.09255),
        "sideways play at START": (0.2, 4.09255), "sideways play at the stop": (0.2, 4.09255),
        "parallax at START": (0.176327, 4.09255), "parallax at the stop": (0.176327, 4.09255),
    }  # fmt: skip
    assert found.keys() == expected.keys()
    for name, values in expected.items():
        assert found[name] == pytest.approx(values, rel=2e-5), name


def test_sideways_play_is_half_the_largest_gap_of_the_tables() -> None:
    """19 mm: the widest opening 19.36, the slimmest hexagon 18.67; without an opening 0.2 mm."""
    assert a_job(opening="19 mm").model.play_mm == pytest.approx((19.36 - 18.67) / 2)
    assert a_job().model.play_mm == 0.2


@each("window", [(85.0, 95.0), (170.0, 190.0)])
@each("od", [12.0, 28.0, 96.0])
def test_the_expanded_error_covers_what_would_happen(od: float, window: tuple[float, float]) -> None:
    """The chain itself: print, stand the socket beside the centre, carry two rays up, set the mark, turn, look."""
    rng = np.random.default_rng(20240617)
    count, radius = 60_000, od / 2
    budget = mat_budget(1, sum(window) / 2, Window(*window), od, ErrorModel())

    def even(half: float) -> Vector:
        return rng.uniform(-half, half, count)

    parallax = math.tan(math.radians(10.0)) * 1.0
    on_page = rng.uniform(0.0, 2 * math.pi, count)
    stretch, shift_x, shift_y = 1.0 + even(0.002), even(0.25), even(0.25)

    def on_the_wall(deg: float) -> Vector:
        """The azimuth about the socket's axis where a printed ray meets its wall, and the pen's line beside it."""
        way = np.arctan2(np.sin(on_page + math.radians(deg)) * stretch, np.cos(on_page + math.radians(deg)))
        ux, uy = np.cos(way), np.sin(way)
        along = -(shift_x * ux + shift_y * uy)
        far = -along + np.sqrt(along**2 - (shift_x**2 + shift_y**2 - radius**2))
        return np.asarray(np.arctan2(far * uy + shift_y, far * ux + shift_x) + even(0.25) / radius)

    covered = []
    for edge in window:
        # what shifts the eye, the mark or the whole socket sideways by so much along the wall
        shifts = even(0.25) + even(0.25) + even(0.2) + even(0.2) + even(parallax) + even(parallax)
        marked = np.degrees(on_the_wall(edge) - on_the_wall(0.0))
        error = (marked + np.degrees(shifts / radius) - edge + 180.0) % 360.0 - 180.0
        assert abs(error.mean()) < 0.05 * error.std()
        covered.append(float(np.mean(np.abs(error) <= budget.expanded_deg)))
    assert 0.94 < min(covered) < 0.98


def test_the_mat_is_advice_only_where_it_proves_the_window() -> None:
    socket = a_job(od="96 mm", drive="1").socket
    for half, proves in ((5.0, True), (0.8, False)):
        unproved = Unproved(1, 90.0, Window(90 - half, 90 + half), 270.0, socket, 0.1, 97.0, ErrorModel())
        remedy = READOUTS["mat"].remedy(unproved)
        budget = mat_budget(1, 90.0, unproved.window, 96.0, ErrorModel())
        assert (remedy is not None) is proves is (budget.verdict == "aim")
        if remedy:
            assert str(remedy) == f"the mat (±{shown_degrees(budget.expanded_deg, 1)})"
