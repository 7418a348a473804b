"""What a part ring is drawn from: bore, width, stages, and whether it is a sector."""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from ...errors import RangeError, within
from ...figures.dial import Lanes, grows_clockwise, page_deg
from ...marks.stage_marks import StageMarks, stage_arc
from ...quantities.angles import arc_deg, polar
from ...sheets.paper import Paper

RING_CLEARANCE_MM = 1.0
"""The bore is the socket's OD plus this much by default."""

DEFAULT_RING_WIDTH_MM = 12.0

MIN_RING_WIDTH_MM, MAX_RING_WIDTH_MM = 12.0, 40.0

SECTOR_MARGIN_MM, COUNTED_MARGIN_MM = 20.0, 28.0
"""Least arc of a sector, at its inner edge, before zero and behind the last mark (our choice: room for the labels),
and that of one that has to say how its stages count."""

NUMBERS_MM, TEXT_PITCH_EM = 2.5, 0.4
"""Distance from the beginning of the scale to the baseline of the numbers; from there to the texts in mm a point."""

NUMBERS_PT = 6.0
"""Type size of the numbers on the narrowest ring; with its width all type grows, up to twice as large."""

CUT_GAP_MM = 0.3
"""How much farther than elsewhere texts stay inside the outer edge, which is cut with scissors."""

LEAST_BORE_STEP_MM = 2.0
"""Least difference of two bores: their circles lie 1 mm apart, just enough for a number of 5 pt between neighbours."""

BORE_LIFT_MM = 1.0
"""With several bores the scale begins this far outside the largest one, whose number stands on its circle."""

HEADER_ROOM_MM = 45.0
"""Height kept free on a page for its header and a ring's caption."""


@dataclass(frozen=True)
class RingLayout:
    """Everything a part ring is drawn from; `slit` is the angle of its slit from zero, in degrees of tightening.

    `bores_mm` are bores to choose from when cutting out, for a range of ODs: `bore_mm` is the largest of them, each is
    numbered in `unit` with the OD it is for, which is the bore less `clearance_mm`. `od`, `spec_line`, `title` and the
    reading error stand on the ring where given. Raises RangeError for a width outside 12 .. 40 mm and for bores that
    are larger than `bore_mm` or less than 2 mm apart.
    """

    bore_mm: float
    width_mm: float
    clockwise: bool
    stages: tuple[StageMarks, ...]
    slit: float
    sector: bool = False
    bores_mm: tuple[float, ...] = ()
    clearance_mm: float = RING_CLEARANCE_MM
    unit: str = "mm"
    od: str = ""
    error_deg: float | None = None
    spec_line: str = ""
    title: str = ""

    def __post_init__(self) -> None:
        least, most = MIN_RING_WIDTH_MM, MAX_RING_WIDTH_MM
        within("the ring is {} mm wide", self.width_mm, least, most, "ring_width", "{:g}".format, " mm")
        bores = self.bores
        steps = [b - a for a, b in itertools.pairwise(bores)]
        if bores[-1] > self.bore_mm or bores[0] <= self.clearance_mm or any(s < LEAST_BORE_STEP_MM for s in steps):
            raise RangeError(
                f"the ring has bores of {', '.join(f'{bore:g}' for bore in bores)} mm",
                f"bores {LEAST_BORE_STEP_MM:g} mm apart or more, the largest {self.bore_mm:g} mm",
                "leave some of them out", self.bores_mm,
            )  # fmt: skip

    @property
    def grows_clockwise(self) -> bool:
        """Which way its angles grow, seen from above: it lies still on the part."""
        return grows_clockwise(self.clockwise, turns=False)

    @property
    def bores(self) -> tuple[float, ...]:
        """All bores, by size."""
        return tuple(sorted({self.bore_mm, *self.bores_mm}))

    @property
    def inner(self) -> float:
        """Radius of the largest bore, from which scale and texts are laid out."""
        return self.bore_mm / 2

    @property
    def innermost(self) -> float:
        """Radius of the smallest bore, to which the marks run."""
        return self.bores[0] / 2

    @property
    def round_zero(self) -> float:
        """The radius at which a bracket round zero ends: outside it zero's name stands at its line."""
        return self.lanes.texts[0]

    @property
    def outer(self) -> float:
        """Radius of the outer edge."""
        return self.bore_mm / 2 + self.width_mm

    @property
    def extent(self) -> tuple[float, float]:
        """The first and last angle of tightening on the paper: the slit all the way round, or the sector's ends."""
        if not self.sector:
            return self.slit - 360.0, self.slit
        margin = arc_deg(math.tau * self.inner, COUNTED_MARGIN_MM if self.stages[0].counted else SECTOR_MARGIN_MM)
        last = max(begin + span for begin, span in (stage_arc(stage.stage) for stage in self.stages))
        if last + 2 * margin > 350.0:
            return self.slit - 360.0, self.slit
        return -margin, last + margin

    @property
    def closed(self) -> bool:
        """True when the paper goes all the way round."""
        first, last = self.extent
        return last - first >= 360.0 - 1e-9

    @property
    def box(self) -> tuple[float, float, float, float]:
        """The box (left, bottom, right, top) that holds the outline, round the centre."""
        if self.closed:
            outer = self.outer + 0.1
            return -outer, -outer, outer, outer
        first, last = self.extent
        turns = [first, last, *(deg for deg in range(-360, 361, 90) if first < deg < last)]
        ways = [page_deg(deg, self.grows_clockwise) for deg in turns]
        points = [polar(radius, way) for way in ways for radius in (self.innermost, self.outer)]
        xs, ys = [x for x, _ in points], [y for _, y in points]
        return min(xs) - 0.1, min(ys) - 0.1, max(xs) + 0.1, max(ys) + 0.1

    def fits(self, paper: Paper) -> bool:
        """Tell whether it goes on a page below the header."""
        left, bottom, right, top = self.box
        height_mm = paper.content_height_mm - HEADER_ROOM_MM
        return right - left <= paper.content_width_mm and top - bottom <= height_mm

    @property
    def growth(self) -> float:
        """How many times larger than on the narrowest ring its type is."""
        return min(2.0, self.width_mm / MIN_RING_WIDTH_MM)

    @property
    def lanes(self) -> Lanes:
        """Where marks, scale and texts stand along the radius."""
        numbers = self.inner + NUMBERS_MM + (BORE_LIFT_MM if self.bores_mm else 0.0)
        size_pt = NUMBERS_PT * self.growth
        texts = numbers + TEXT_PITCH_EM * size_pt, self.outer - CUT_GAP_MM
        return Lanes((self.innermost, self.outer), numbers - NUMBERS_MM, False, numbers, texts, size_pt)
