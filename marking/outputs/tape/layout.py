"""The diameter tape: a paper strip that reads the outside diameter (OD) of the socket it is wrapped round.

One piece of paper, wrapped with the printed side out and the numbers upright. Its left end is the tongue, the lower
half of the strip's height, with the index line and the vernier on its upper edge. Its right end is the tail, the
upper half, with the graduations on its lower edge. Between them lies the body, as high as both. Once round the socket
the tail passes beside the tongue and not over it, so that nothing lies under the place where one reads.

Lengths along the strip are called u: from the index line (u = 0) to the right, in mm.
"""

from __future__ import annotations

import itertools
import math
from fractions import Fraction
from typing import NamedTuple

from ...drawing.fonts import SEMIBOLD, text_width_mm
from ...errors import LayoutError, RangeError, within
from ...fastening.socket import MAX_OD_MM, MAX_STOCK_MM
from ...quantities.angles import closed_length_mm
from ...quantities.shown import shown_length

HEIGHT_MM = 12.0

HALF_MM = HEIGHT_MM / 2
"""Height of the body; height of tongue and tail, which is where their common edge lies (our choice: the straight part
of a small socket)."""

BEHIND_VERNIER_MM = 3.5

LEAST_BODY_MM = 8.0

GRIP_MM = 18.0

CLEARANCE_MM = 1.0

PULL_MM = 12.0

TAB_MM, TAB_INSET_MM = 10.0, 0.6
"""Along the strip: tongue behind the vernier's last line; shortest body; longest tongue before the index; gap between
the tongue's end and the body on the smallest OD; tail behind the last line; glue tab, and how much lower than the
strip it is above and below, so that it does not show on the reading edge (our choices)."""

BODY_WORDS_MM = 20.0
"""Body next to the tongue that is kept whole for the words on it."""

OVER_EDGE_MM = 0.4
"""How far graduations cross the cut line, so that they reach the edge however it is cut."""

NUMBER_PT = 6.0

NUMBER_GAP_MM = 0.8


class TapeScale(NamedTuple):
    """The graduations of one unit: `step` from line to line, in the unit; a vernier of `divisions`.

    `numbered` are the numbers of lines from one numbered line to the next that may be chosen, closest first; every
    `middle`th line is longer. `tenths` names what the vernier's figures count, and `figure` is how many of it one
    division is.
    """

    unit: str
    name: str
    mm: Fraction
    step: Fraction
    divisions: int
    numbered: tuple[int, ...]
    middle: int
    counts: str
    figure: int
    decimals: int

    @property
    def resolution(self) -> Fraction:
        """What the vernier reads to, in the unit: 0.1 mm, 0.005 in."""
        return self.step / self.divisions

    @property
    def division(self) -> Fraction:
        """One division of the vernier as a difference of OD, in the unit: a step less the resolution.

        With the index at n·step + k·resolution, line k of the vernier stands at
        n·step + k·resolution + k·(step − resolution) = (n + k)·step: on a graduation. Metric 0.4 mm, inch 0.015 in.
        """
        return self.step - self.resolution

    def od_mm(self, number: int) -> float:
        """Return the OD of graduation `number` in mm: number·step."""
        return self._in_mm(number, self.step)

    def offset_mm(self, k: int) -> float:
        """Return where line k of the vernier stands, as a difference of OD in mm."""
        return self._in_mm(k, self.division)

    def _in_mm(self, count: int, size: Fraction) -> float:
        """Return count · size in mm, rounded once; in whole numbers, as a tape asks for some thousands of them."""
        return count * size.numerator * self.mm.numerator / (size.denominator * self.mm.denominator)

    def text(self, value: Fraction, decimals: int | None = None) -> str:
        """Write a value of the unit without the unit: "27.8", "1.095"."""
        return f"{float(value):.{self.decimals if decimals is None else decimals}f}"


MM_PER_INCH = Fraction(254, 10)

SCALES = {
    "mm": TapeScale("mm", "mm", Fraction(1), Fraction(1, 2), 5, (2, 4, 10), 2, "1/10 mm", 1, 1),
    "in": TapeScale("in", "inches", MM_PER_INCH, Fraction(1, 50), 4, (5, 10, 25), 5, "1/1000 in", 5, 3),
}
"""Metric: lines every 0.5 mm of OD, read to 0.1 mm. Inch: every 0.02 in, read to 0.005 in (our choices)."""

LEAST_OD_MM = 8.0
"""On a smaller OD no tongue is left to hold (bands go on smaller ones)."""


class TapeLayout(NamedTuple):
    """Everything a tape is drawn from. ODs and stock in mm; `cuts` are the u at which the strip is cut into pieces;
    every `per_number`th graduation carries a number.
    """

    low_mm: float
    high_mm: float
    scale: TapeScale
    stock_mm: float
    per_number: int
    cuts: tuple[float, ...] = ()

    @property
    def first(self) -> int:
        """The number of the lowest graduation: the one at or below `low_mm`."""
        return math.floor(self.low_mm / self.scale.od_mm(1) + 1e-9)

    @property
    def last(self) -> int:
        """The number of the highest graduation: as far above `high_mm` as the vernier's last line reaches."""
        return math.ceil(self.high_mm / self.scale.od_mm(1) - 1e-9) + self.scale.divisions

    def u_of(self, number: int) -> float:
        """Return the place of graduation `number`: u = π (D + t).

        Graduation 54 (27 mm) on stock 0.1 mm thick lies at π · 27.1 mm = 85.137 mm.
        """
        return closed_length_mm(self.scale.od_mm(number), self.stock_mm)

    @property
    def graduation_pitch_mm(self) -> float:
        """Length from one graduation to the next: 1.571 mm, or 1.596 mm for 0.02 in."""
        return math.pi * self.scale.od_mm(1)

    @property
    def grip_mm(self) -> float:
        """Length of the tongue before the index line."""
        return min(GRIP_MM, self.u_of(self.first) - CLEARANCE_MM - LEAST_BODY_MM - self.tongue_end)

    @property
    def tongue_end(self) -> float:
        """The u at which the body begins."""
        return math.pi * self.scale.offset_mm(self.scale.divisions) + BEHIND_VERNIER_MM

    @property
    def tail_start(self) -> float:
        """The u at which the body ends: on the smallest OD it comes round to just before the tongue."""
        return self.u_of(self.first) - self.grip_mm - CLEARANCE_MM

    @property
    def end(self) -> float:
        """The u of the tail's end."""
        return self.u_of(self.last) + PULL_MM

    def edges(self, u: float) -> tuple[float, float]:
        """Return the heights of the strip's lower and upper edge just right of u."""
        return (HALF_MM if u >= self.tail_start else 0.0), (HEIGHT_MM if u >= self.tongue_end else HALF_MM)

    def number_text(self, number: int) -> str:
        """Return what stands at a numbered graduation: "27" (mm), "1.1" (in)."""
        return self.scale.text(number * self.scale.step, 0 if self.scale.unit == "mm" else 1)

    @property
    def widest_number_mm(self) -> float:
        """Width of the widest number on the tape."""
        return max(text_width_mm(self.number_text(n), NUMBER_PT, SEMIBOLD) for n in (self.first, self.last))


class TapeReading(NamedTuple):
    """An OD as the tape shows it: `graduation` is the last line the index has passed, `line` the vernier's line that
    meets a graduation.
    """

    scale: TapeScale
    graduation: int
    line: int

    @property
    def passed(self) -> str:
        """The OD of the graduation, in the unit: "27.5"."""
        return self.scale.text(self.graduation * self.scale.step, min(2, self.scale.decimals))

    @property
    def rest(self) -> str:
        """What the vernier adds, in the unit: "0.3"."""
        return self.scale.text(self.line * self.scale.resolution)

    @property
    def value(self) -> str:
        """The OD read, without the unit: "27.8"."""
        return self.scale.text(self.graduation * self.scale.step + self.line * self.scale.resolution)


def reading_of(od_mm: float, scale: TapeScale) -> TapeReading:
    """Return how an OD reads on the tape, to the vernier's resolution: 27.8 mm is line 3 past 27.5."""
    return TapeReading(scale, *divmod(round(od_mm / float(scale.resolution * scale.mm)), scale.divisions))


def plan_tape(low_mm: float, high_mm: float, unit: str, stock_mm: float, widest_mm: float) -> TapeLayout:
    """Plan a tape for ODs from `low_mm` to `high_mm`, in pieces at most `widest_mm` wide.

    `unit` is that of the graduations, "mm" or "in". Raises RangeError for ODs outside 8 .. 300 mm or in the wrong
    order, and for stock outside 0 .. 1 mm; LayoutError when the pieces would be too short to cut.

    A splice adds a layer under 10 mm of the strip. Where it lies within one turn it makes the OD read 6.4 t / D too
    large: 0.016 mm for stock of 0.1 mm on 40 mm, about the least OD that lies over a splice on A4.
    """
    if unit not in SCALES:
        raise RangeError(f"no tape is numbered in {unit!r}", " or ".join(SCALES), value=unit, field="unit")
    _check_range(low_mm, high_mm, unit)
    within("the stock is {} mm thick", stock_mm, 0.0, MAX_STOCK_MM, "stock", "{:g}".format, " mm")
    scale = SCALES[unit]
    plans = [TapeLayout(low_mm, high_mm, scale, stock_mm, per) for per in scale.numbered]
    legible = [p for p in plans if p.per_number * p.graduation_pitch_mm >= p.widest_number_mm + NUMBER_GAP_MM]
    if legible[0].grip_mm + legible[0].end <= widest_mm:
        return legible[0]
    plan = next(p for p in legible if _splice_room_mm(p) >= p.widest_number_mm / 2 + NUMBER_GAP_MM / 2)
    return plan._replace(cuts=_cuts(plan, widest_mm))


def _check_range(low_mm: float, high_mm: float, unit: str) -> None:
    for field, od_mm in (("low", low_mm), ("high", high_mm)):
        small = f"a tape's own tongue would reach round it: use callipers, or a larger {{@{field}}}"
        within(
            f"the tape is to read an OD of {{}} ({{{{@{field}}}}})", od_mm, LEAST_OD_MM, MAX_OD_MM, field,
            lambda mm: shown_length(mm, unit), advice=small if od_mm < LEAST_OD_MM else "",
        )  # fmt: skip
    if not low_mm < high_mm:
        raise RangeError(
            f"the tape is to read from {shown_length(low_mm, unit)} to {shown_length(high_mm, unit)}",
            "the smaller OD first", "exchange {@low} and {@high}, or choose a wider range", (low_mm, high_mm),
            "low",
        )  # fmt: skip


def _splice_room_mm(plan: TapeLayout) -> float:
    """Distance from a splice to the nearest numbered line, when it lies in the gap between lines nearest the middle."""
    before = plan.per_number // 2 + 0.5
    return min(before, plan.per_number - before) * plan.graduation_pitch_mm


def _splice_places(plan: TapeLayout) -> list[float]:
    """Where the strip may be cut: every mm of the body that its words leave, gaps between graduations of the tail."""
    begin, end = plan.tongue_end + BODY_WORDS_MM, plan.tail_start - TAB_MM - CLEARANCE_MM
    body = [begin + k for k in range(max(0, math.ceil(end - begin)))]
    per = plan.per_number
    tail = [
        (plan.u_of(n) + plan.u_of(n + 1)) / 2 for n in range(plan.first, plan.last) if n % per == per // 2
    ]  # fmt: skip
    return body + tail


def _cuts(plan: TapeLayout, widest_mm: float) -> tuple[float, ...]:
    """Return cuts that make pieces of about the same length, as few as fit. Raises LayoutError when none do."""
    places, grip, length = _splice_places(plan), plan.grip_mm, plan.grip_mm + plan.end
    for count in range(2, 16):
        cuts = [min(places, key=lambda u: abs(u + grip - length * k / count)) for k in range(1, count)]
        ends = [-grip, *cuts, plan.end]
        if all(TAB_MM < b - a <= widest_mm - TAB_MM for a, b in itertools.pairwise(ends)):
            return tuple(cuts)
    raise LayoutError(
        f"a tape {length:.0f} mm long cannot be cut into pieces of {widest_mm:.0f} mm", "a wider page",
        "choose a larger {@paper}, or a smaller range", field="paper",
    )  # fmt: skip
