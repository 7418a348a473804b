"""The reading errors of all readouts against draws of the whole chain as people work, from the paper to the eye.

Method: propagation of distributions by drawing, JCGM 101:2008 (supplement 1 to the GUM). Each draw makes one readout,
puts it on one socket and makes one turn by it. The places of socket, marks and paper are worked out here in the plane,
seen from the drive end: nothing of the budgets' own sensitivities is used. The half-widths are the project's working
assumptions, not measured ones: this checks the arithmetic, not the assumptions. The paper is taken to be taped on, so
that it does not creep.
"""

from __future__ import annotations

import functools
import math
from dataclasses import dataclass, field

import numpy as np
import pytest
from numpy.typing import NDArray

from kit.each import each
from marking.fastening.socket import parse_drive
from marking.fastening.spec import Window
from marking.marks.reading_error import Budget, DiscErrorModel, ErrorModel
from marking.readouts.band.error import band_budget
from marking.readouts.drive_disc.error import disc_budget
from marking.readouts.part_ring.error import ring_budget

DRAWS = 30_000

Draws = NDArray[np.float64]


class Bench:
    """One turn after the other: what a person, a socket and a fastener do wrong."""

    def __init__(self, model: ErrorModel) -> None:
        self.model, self.rng = model, np.random.default_rng(20260101)

    def within(self, half_width: float) -> Draws:
        return self.rng.uniform(-half_width, half_width, DRAWS)

    def place(self, half_width: float) -> tuple[Draws, Draws]:
        """Where something stands that has `half_width` of play each way."""
        return self.within(half_width), self.within(half_width)

    def seen(self, line_mm: float, gap_mm: float) -> Draws:
        """By how much two marks that seem to meet miss each other: a line drawn or read, an eye that stands askew."""
        return self.within(line_mm) + gap_mm * np.tan(np.radians(self.within(self.model.view_angle_deg)))

    def printed(self, deg: float, unequal_percent: float) -> Draws:
        """The angle from zero to `deg` on a dial that lies anyhow on a page whose scales differ."""
        stretch = 1 + self.within(unequal_percent) / 100
        zero = self.rng.uniform(0, 2 * math.pi, DRAWS)
        ends = [np.arctan2(stretch * np.sin(zero + turn), np.cos(zero + turn)) for turn in (0.0, math.radians(deg))]
        return np.asarray((ends[1] - ends[0]) % (2 * math.pi))


@dataclass(frozen=True)
class Band:
    """A band, trimmed or not: START's witness mark on the part, then the mark at a turn brought to it."""

    od_mm: float
    stock_mm: float = 0.1
    splices: int = 0
    bracket_mm: float = 0.3
    cut_mm: float = 0.0  # how far a trim band's cut wanders off its row
    model: ErrorModel = field(default_factory=ErrorModel)

    def budget(self, turn_deg: float, window: Window | None = None) -> Budget:
        od, stock = self.od_mm, self.stock_mm
        return band_budget(1, turn_deg, window, 300.0, od, stock, self.model, self.splices)

    def errors_deg(self, turn_deg: float) -> Draws:
        bench, model = Bench(self.model), self.model
        length = math.pi * (self.od_mm + self.stock_mm)
        # The strip is as long as it is, and its end lands in the bracket: the socket is as much larger or smaller.
        socket_length = length + bench.within(self.bracket_mm)
        # On a cut that wanders by v off its row, 2.5 mm of rows a mm of OD, the mark is printed for another OD.
        mark_mm = turn_deg / 360 * (length + math.pi * bench.within(self.cut_mm) / 2.5)
        mark_mm = mark_mm + sum(bench.within(model.splice_mm) for _ in range(self.splices))
        mark = mark_mm / socket_length * 2 * math.pi

        face = self.od_mm / 2 + self.stock_mm
        # START's point is in the direction x of the part; the witness mark is drawn beside it.
        _, start_y = bench.place(model.play_mm)
        witness_y = start_y + bench.seen(model.witness_mm, model.gap_mm)
        # The socket stands elsewhere on the fastener when its mark, now at `turned − mark`, seems to meet the witness.
        _, stop_y = bench.place(model.play_mm)
        turned = mark + np.arcsin((witness_y - stop_y + bench.seen(model.stop_mm, model.gap_mm)) / face)
        return np.asarray(np.degrees(turned) - turn_deg)


@dataclass(frozen=True)
class Ring:
    """A ring taped to the part, its zero at START; START then travels over it."""

    od_mm: float
    clearance_mm: float = 1.0
    model: ErrorModel = field(default_factory=ErrorModel)

    def budget(self, turn_deg: float, window: Window | None = None) -> Budget:
        return ring_budget(1, turn_deg, window, self.od_mm + self.clearance_mm, self.od_mm, self.model)

    def errors_deg(self, turn_deg: float) -> Draws:
        bench, model, radius = Bench(self.model), self.model, self.od_mm / 2
        target = bench.printed(turn_deg, 0.2)
        across_mm = math.hypot(model.gap_mm, self.clearance_mm)  # down to the paper, and out where it lies farthest
        begin, end = bench.place(model.play_mm), bench.place(model.play_mm)
        off = bench.place(self.clearance_mm / 2)
        ring = begin[0] + off[0], begin[1] + off[1]
        misses = bench.seen(model.witness_mm, across_mm), bench.seen(model.stop_mm, across_mm)

        def direction(socket: tuple[Draws, Draws], turned: Draws, missed_mm: Draws) -> Draws:
            """In which direction START's point seems to lie from the ring's centre."""
            x = socket[0] + radius * np.cos(turned) - missed_mm * np.sin(turned) - ring[0]
            y = socket[1] + radius * np.sin(turned) + missed_mm * np.cos(turned) - ring[1]
            return np.asarray(np.arctan2(y, x))

        zero = direction(begin, np.zeros(DRAWS), misses[0])
        turned = np.full(DRAWS, math.radians(turn_deg))
        for _ in range(4):  # turn on until the reading is right
            left = direction(end, turned, misses[1]) - zero - target
            turned = turned - ((left + math.pi) % (2 * math.pi) - math.pi)
        return np.asarray(np.degrees(turned) - turn_deg)


@dataclass(frozen=True)
class Disc:
    """A disc on the drive end, which a hand steadies; a pointer that stands still is set at START."""

    drive: str
    play_mm: float  # (hole − smallest square) / 2
    diameter_mm: float = 70.0
    model: ErrorModel = field(default_factory=ErrorModel)
    disc: DiscErrorModel = field(default_factory=DiscErrorModel)

    def budget(self, turn_deg: float, window: Window | None = None) -> Budget:
        return disc_budget(1, turn_deg, window, self.diameter_mm, parse_drive(self.drive), self.model, self.disc)

    def errors_deg(self, turn_deg: float) -> Draws:
        bench, model, radius = Bench(self.model), self.model, self.diameter_mm / 2
        mark = bench.printed(turn_deg, self.disc.unequal_scale_percent)
        off = bench.place(self.play_mm)  # of the disc's middle from the drive's axis; it goes round with the disc
        _, start_y = bench.place(self.disc.sway_mm)
        _, stop_y = bench.place(self.disc.sway_mm)
        pointer_y = start_y + off[1] + bench.seen(model.witness_mm, self.disc.gap_mm)
        missed_mm = bench.seen(model.stop_mm, self.disc.gap_mm)
        turned = mark
        for _ in range(3):
            middle_y = stop_y + off[0] * np.sin(turned) + off[1] * np.cos(turned)
            turned = mark + np.arcsin((pointer_y - middle_y + missed_mm) / radius)
        return np.asarray(np.degrees(turned) - turn_deg)


READINGS: dict[str, tuple[Band | Ring | Disc, float]] = {
    "band, OD 12": (Band(12.0), 100.0),
    "band, OD 28": (Band(28.0, bracket_mm=0.005 * math.pi * 28.1), 100.0),
    "band, OD 28, opening known": (
        Band(28.0, bracket_mm=0.005 * math.pi * 28.1, model=ErrorModel(sideways_mm=0.345)), 100.0,
    ),
    "band, OD 28, part 3 mm lower": (
        Band(28.0, bracket_mm=0.005 * math.pi * 28.1, model=ErrorModel(gap_mm=3.0)), 240.0,
    ),
    "band, OD 96": (Band(96.0, bracket_mm=1.0), 100.0),
    "band, OD 96, two splices": (Band(96.0, bracket_mm=1.0, splices=2), 240.0),
    "band, thick stock": (Band(28.0, stock_mm=0.5, bracket_mm=0.005 * math.pi * 28.5), 180.0),
    "trim band, OD 12": (Band(12.0, cut_mm=0.25, model=ErrorModel(trimmed_od_mm=0.1)), 100.0),
    "trim band, OD 28": (
        Band(28.0, bracket_mm=0.005 * math.pi * 28.1, cut_mm=0.25, model=ErrorModel(trimmed_od_mm=0.1)), 240.0,
    ),
    "trim band, OD 96": (Band(96.0, bracket_mm=1.0, cut_mm=0.25, model=ErrorModel(trimmed_od_mm=0.1)), 100.0),
    "ring, OD 12": (Ring(12.0), 60.0),
    "ring, OD 28": (Ring(28.0), 100.0),
    "ring, OD 96": (Ring(96.0), 45.0),
    "ring, several bores, OD 28": (Ring(28.0, clearance_mm=3.0), 60.0),
    "disc, socket of OD 12": (Disc("1/4", (6.65 - 6.26) / 2), 100.0),
    "disc, socket of OD 28": (Disc("1/2", (13.0 - 12.59) / 2), 60.0),
    "disc, socket of OD 96": (Disc("1", (25.7 - 25.27) / 2, diameter_mm=120.0), 180.0),
}  # fmt: skip
OUTWEIGHED: dict[str, tuple[Band | Ring | Disc, float]] = {
    "ring, OD 96, half a turn": (Ring(96.0), 180.0),
    "band, OD 28, careless closure": (Band(28.0, bracket_mm=2.0, model=ErrorModel(closure_mm=2.0)), 280.0),
}
"""Readings of which one contribution outweighs the rest: here it is the ring's centring, or the closure."""

ALL = READINGS | OUTWEIGHED
every_reading = each("name", list(ALL))


@functools.cache
def errors_of(name: str, turn_deg: float) -> Draws:
    return ALL[name][0].errors_deg(turn_deg)


@every_reading
def test_the_budget_gives_the_spread_of_the_drawn_readings(name: str) -> None:
    readout, turn = ALL[name]
    assert readout.budget(turn).u_deg == pytest.approx(float(np.std(errors_of(name, turn))), rel=0.02)


@every_reading
def test_the_mark_is_right_on_average(name: str) -> None:
    """To a fiftieth of the spread, as the budget claims no correction; a ring that lies loosely, to a fifteenth."""
    readout, turn = ALL[name]
    errors = errors_of(name, turn)
    assert abs(float(np.mean(errors))) < float(np.std(errors)) / (15 if isinstance(readout, Ring) else 50)


@each("name", list(READINGS))
def test_the_expanded_uncertainty_covers_about_95_percent_of_the_drawn_readings(name: str) -> None:
    readout, turn = ALL[name]
    covered = float(np.mean(np.abs(errors_of(name, turn)) <= readout.budget(turn).expanded_deg))
    assert 0.94 <= covered <= 0.97


@each("name", list(OUTWEIGHED))
def test_where_one_contribution_outweighs_the_rest_the_expanded_uncertainty_errs_on_the_safe_side(name: str) -> None:
    """A single rectangular distribution ends at 1.73 standard deviations, before k = 2."""
    readout, turn = ALL[name]
    assert float(np.mean(np.abs(errors_of(name, turn)) <= readout.budget(turn).expanded_deg)) > 0.97


@every_reading
def test_aiming_at_either_edge_of_the_aim_zone_stays_in_the_window(name: str) -> None:
    """JCGM 106:2012: a guard band of U leaves at most 2.28 % beyond that edge, as for a normal error."""
    readout, high = ALL[name]
    expanded = readout.budget(high).expanded_deg
    window = Window(high - 2 * expanded - 4, high)
    zone = readout.budget(high, window).aim_zone
    assert zone is not None
    for edge, limit, sign in ((zone.low_deg, window.low_deg, -1), (zone.high_deg, window.high_deg, 1)):
        beyond = sign * (edge + errors_of(name, edge) - limit) > 0
        assert float(np.mean(beyond)) < 0.0228


@every_reading
def test_aiming_at_the_windows_own_edge_is_wrong_half_the_time(name: str) -> None:
    """ILAC-G8:09/2019: without a guard band the risk at the limit is 50 %."""
    assert float(np.mean(errors_of(name, ALL[name][1]) > 0)) == pytest.approx(0.5, abs=0.03)
