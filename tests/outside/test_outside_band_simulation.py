"""The reading error of a band against draws of the whole chain, from the printer to the eye.

Method: propagation of distributions by drawing, JCGM 101:2008 (supplement 1 to the GUM). Each draw prints one band,
wraps it round one socket and makes one reading; nothing of the budget's own sensitivities is used. The half-widths are
the project's working assumptions, not measured ones: this checks the arithmetic, not the assumptions.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
import pytest
from numpy.typing import NDArray

from marking.fastening.socket import OdSource
from marking.fastening.spec import Stage, Window
from marking.marks.reading_error import Budget, ErrorModel
from marking.marks.seam import seam_deg
from marking.marks.stage_marks import stage_arc
from marking.quantities.angles import arc_mm, closed_length_mm
from marking.readouts.band.error import band_budget

DRAWS = 200_000

Draws = NDArray[np.float64]


@dataclass(frozen=True)
class Reading:
    """One turn read on one band: what the printer is told, and how wrong things may be."""

    od_mm: float
    stage: Stage
    stock_mm: float = 0.1
    source: OdSource = "measured"
    model: ErrorModel = field(default_factory=ErrorModel)

    @property
    def window(self) -> Window:
        assert self.stage.window is not None
        return self.stage.window

    @property
    def seam(self) -> float:
        return seam_deg([stage_arc(self.stage)], closed_length_mm(self.od_mm, self.stock_mm))

    @property
    def budget(self) -> Budget:
        return band_budget(
            1, self.stage.turn_deg, self.window, self.seam, self.od_mm, self.stock_mm, self.source, self.model
        )

    def errors_deg(self, turn_deg: float, seed: int = 20260101) -> Draws:
        """Return, for many bands and readings, by how much the turn differs from `turn_deg` when the mark is read."""
        rng = np.random.default_rng(seed)
        model = self.model

        def within(half_width: float) -> Draws:
            return rng.uniform(-half_width, half_width, DRAWS)

        # The mark as sent to the printer, from START along the strip; behind the seam it lies on START's other side.
        arc = turn_deg if turn_deg <= self.seam else turn_deg - 360.0
        length = closed_length_mm(self.od_mm, self.stock_mm)
        printed_mm = arc_mm(length, arc) * (1 + within(model.print_scale_percent) / 100)

        # The socket and the stock as they really are. "around": a strip of the same stock was closed round the socket
        # and its length read, so that the stock's own error drops out of the diameter and the wrap together.
        stock = self.stock_mm + within(model.stock_mm)
        if self.source == "measured":
            od = self.od_mm + within(model.od_measured_mm)
        else:
            od = (length + within(model.od_around_mm)) / math.pi - stock
        middle_of_stock, face = od / 2 + stock / 2, od / 2 + stock
        mark = printed_mm / middle_of_stock

        # The witness mark is put beside START and the stop mark brought to it, each seen by an eye that stands askew.
        askew = [model.gap_mm * np.tan(np.radians(within(model.view_angle_deg))) for _ in range(2)]
        along_face_mm = within(model.witness_mm) + within(model.stop_mm) + askew[0] + askew[1]
        error: Draws = np.degrees(mark + along_face_mm / face) - arc
        return error

    @property
    def worst_edge_deg(self) -> float:
        """The window's edge that lies farther from START along the strip."""
        return max(self.window, key=lambda deg: deg if deg <= self.seam else 360.0 - deg)


READINGS = {
    "quarter turn, half-inch drive": Reading(27.8, Stage(90, 10, 0)),
    "quarter turn, small socket": Reading(12.0, Stage(90, 20, 0)),
    "one flat": Reading(35.0, Stage(60, 5, 5)),
    "length round the socket": Reading(27.8, Stage(90, 10, 0), source="around"),
    "thick stock": Reading(27.8, Stage(120, 15, 0), stock_mm=0.5),
    "measured printer, large socket": Reading(60.0, Stage(180, 20, 0), model=ErrorModel(print_scale_percent=0.1)),
    "behind the seam": Reading(30.0, Stage(270, 10, 20)),
    "careless diameter": Reading(20.0, Stage(90, 15, 0), model=ErrorModel(od_measured_mm=0.3, stock_mm=0.05)),
}
RULED_BY_THE_PRINT_SCALE = {
    "half turn, large socket": Reading(150.0, Stage(180, 20, 0)),
    "two and a half flats, largest socket": Reading(300.0, Stage(150, 20, 0)),
}
every_reading = pytest.mark.parametrize("reading", READINGS.values(), ids=list(READINGS))


@pytest.mark.parametrize("name", [*READINGS, *RULED_BY_THE_PRINT_SCALE])
def test_the_budget_gives_the_spread_of_the_drawn_readings(name: str) -> None:
    reading = (READINGS | RULED_BY_THE_PRINT_SCALE)[name]
    spread = float(np.std(reading.errors_deg(reading.worst_edge_deg)))
    assert reading.budget.u_deg == pytest.approx(spread, rel=0.02)


@every_reading
def test_the_mark_is_right_on_average(reading: Reading) -> None:
    """To a fiftieth of the spread, as the budget claims no correction."""
    errors = reading.errors_deg(reading.worst_edge_deg)
    assert abs(float(np.mean(errors))) < float(np.std(errors)) / 50


@every_reading
def test_the_expanded_uncertainty_covers_about_95_percent_of_the_drawn_readings(reading: Reading) -> None:
    covered = np.abs(reading.errors_deg(reading.worst_edge_deg)) <= reading.budget.expanded_deg
    assert 0.94 < float(np.mean(covered)) < 0.98


@pytest.mark.parametrize("reading", RULED_BY_THE_PRINT_SCALE.values(), ids=list(RULED_BY_THE_PRINT_SCALE))
def test_where_the_print_scale_rules_the_expanded_uncertainty_errs_on_the_safe_side(reading: Reading) -> None:
    """One rectangular distribution that outweighs the rest ends at 1.73 standard deviations."""
    covered = np.abs(reading.errors_deg(reading.worst_edge_deg)) <= reading.budget.expanded_deg
    assert float(np.mean(covered)) > 0.98


@every_reading
def test_aiming_at_either_edge_of_the_aim_zone_stays_in_the_window(reading: Reading) -> None:
    """JCGM 106:2012: a guard band of U leaves at most 2.28 % beyond that edge, as for a normal error."""
    zone = reading.budget.aim_zone
    assert zone is not None
    low = zone.low_deg + reading.errors_deg(zone.low_deg)
    high = zone.high_deg + reading.errors_deg(zone.high_deg)
    assert float(np.mean(low < reading.window.low_deg)) < 0.0228
    assert float(np.mean(high > reading.window.high_deg)) < 0.0228


@every_reading
def test_aiming_at_the_windows_own_edge_is_wrong_half_the_time(reading: Reading) -> None:
    """ILAC-G8:09/2019: without a guard band the risk at the limit is 50 %."""
    high = reading.window.high_deg
    assert float(np.mean(high + reading.errors_deg(high) > high)) == pytest.approx(0.5, abs=0.01)
