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
from collections.abc import Sequence
from fractions import Fraction
from typing import NamedTuple

from .drawing import Drawing, Group, Line, Polyline, Primitive, Text, moved
from .errors import LayoutError, RangeError
from .fonts import REGULAR, SEMIBOLD, text_width_mm
from .geometry import closed_length_mm
from .quantities import plain_number, shown_length
from .socket import MAX_STOCK_MM

MIN_OD_MM, MAX_OD_MM = 8.0, 300.0
"""Below, the tongue and a body that holds together are as long as the socket is round; above, callipers are at hand
(our choice)."""

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

NUMBER_PT, SMALL_PT = 6.0, 5.0
NUMBER_GAP_MM = 0.8
NUMBER_BASE_MM = 3.3
"""Least space between two numbers; their baseline above the reading edge."""


class Scale(NamedTuple):
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
        return float(number * self.step * self.mm)

    def offset_mm(self, k: int) -> float:
        """Return where line k of the vernier stands, as a difference of OD in mm."""
        return float(k * self.division * self.mm)

    def text(self, value: Fraction, decimals: int | None = None) -> str:
        """Write a value of the unit without the unit: "27.8", "1.095"."""
        return f"{float(value):.{self.decimals if decimals is None else decimals}f}"


MM_PER_INCH = Fraction(254, 10)

SCALES = {
    "mm": Scale("mm", "mm", Fraction(1), Fraction(1, 2), 5, (2, 4, 10), 2, "1/10 mm", 1, 1),
    "in": Scale("in", "inches", MM_PER_INCH, Fraction(1, 50), 4, (5, 10, 25), 5, "1/1000 in", 5, 3),
}
"""Metric: lines every 0.5 mm of OD, read to 0.1 mm. Inch: every 0.02 in, read to 0.005 in (our choices)."""


class TapePlan(NamedTuple):
    """Everything a tape is drawn from. ODs and stock in mm; `cuts` are the u at which the strip is cut into pieces;
    every `per_number`th graduation carries a number.
    """

    low_mm: float
    high_mm: float
    scale: Scale
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


class Reading(NamedTuple):
    """An OD as the tape shows it: `graduation` is the last line the index has passed, `line` the vernier's line that
    meets a graduation.
    """

    scale: Scale
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


def reading_of(od_mm: float, scale: Scale) -> Reading:
    """Return how an OD reads on the tape, to the vernier's resolution: 27.8 mm is line 3 past 27.5."""
    return Reading(scale, *divmod(round(od_mm / float(scale.resolution * scale.mm)), scale.divisions))


def plan_tape(low_mm: float, high_mm: float, unit: str, stock_mm: float, widest_mm: float) -> TapePlan:
    """Plan a tape for ODs from `low_mm` to `high_mm`, in pieces at most `widest_mm` wide.

    `unit` is that of the graduations, "mm" or "in". Raises RangeError for ODs outside 8 .. 300 mm or in the wrong
    order, and for stock outside 0 .. 1 mm; LayoutError when the pieces would be too short to cut.

    A splice adds a layer under 10 mm of the strip. Where it lies within one turn it makes the OD read 6.4 t / D too
    large: 0.016 mm for stock of 0.1 mm on 40 mm, about the least OD that lies over a splice on A4.
    """
    if unit not in SCALES:
        raise RangeError(f"no tape is numbered in {unit!r}", " or ".join(SCALES), "check --unit", unit)
    _check_range(low_mm, high_mm, unit)
    if not 0.0 <= stock_mm <= MAX_STOCK_MM:
        raise RangeError(f"the stock is {stock_mm:g} mm thick", f"0 to {MAX_STOCK_MM:g} mm", "check --stock", stock_mm)
    scale = SCALES[unit]
    plans = [TapePlan(low_mm, high_mm, scale, stock_mm, per) for per in scale.numbered]
    legible = [p for p in plans if p.per_number * p.graduation_pitch_mm >= p.widest_number_mm + NUMBER_GAP_MM]
    if legible[0].grip_mm + legible[0].end <= widest_mm:
        return legible[0]
    plan = next(p for p in legible if _splice_room_mm(p) >= p.widest_number_mm / 2 + NUMBER_GAP_MM / 2)
    return plan._replace(cuts=_cuts(plan, widest_mm))


def _check_range(low_mm: float, high_mm: float, unit: str) -> None:
    for name, od_mm in (("--from", low_mm), ("--to", high_mm)):
        if not MIN_OD_MM <= od_mm <= MAX_OD_MM:
            small = f"a tape's own tongue would reach round it: use callipers, or a larger {name}"
            raise RangeError(
                f"the tape is to read an OD of {shown_length(od_mm, unit)} ({name})",
                f"{shown_length(MIN_OD_MM, unit)} to {shown_length(MAX_OD_MM, unit)}",
                small if od_mm < MIN_OD_MM else f"check {name}", od_mm,
            )  # fmt: skip
    if not low_mm < high_mm:
        raise RangeError(
            f"the tape is to read from {shown_length(low_mm, unit)} to {shown_length(high_mm, unit)}",
            "the smaller OD first", "exchange --from and --to, or choose a wider range", (low_mm, high_mm),
        )  # fmt: skip


def _splice_room_mm(plan: TapePlan) -> float:
    """Distance from a splice to the nearest numbered line, when it lies in the gap between lines nearest the middle."""
    before = plan.per_number // 2 + 0.5
    return min(before, plan.per_number - before) * plan.graduation_pitch_mm


def _splice_places(plan: TapePlan) -> list[float]:
    """Where the strip may be cut: every mm of the body that its words leave, gaps between graduations of the tail."""
    begin, end = plan.tongue_end + BODY_WORDS_MM, plan.tail_start - TAB_MM - CLEARANCE_MM
    body = [begin + k for k in range(max(0, math.ceil(end - begin)))]
    per = plan.per_number
    tail = [
        (plan.u_of(n) + plan.u_of(n + 1)) / 2 for n in range(plan.first, plan.last) if n % per == per // 2
    ]  # fmt: skip
    return body + tail


def _cuts(plan: TapePlan, widest_mm: float) -> tuple[float, ...]:
    """Return cuts that make pieces of about the same length, as few as fit. Raises LayoutError when none do."""
    places, length = _splice_places(plan), plan.grip_mm + plan.end
    for count in range(2, 16):
        cuts = [min(places, key=lambda u: abs(u + plan.grip_mm - length * k / count)) for k in range(1, count)]
        ends = [-plan.grip_mm, *cuts, plan.end]
        if all(TAB_MM < b - a <= widest_mm - TAB_MM for a, b in itertools.pairwise(ends)):
            return tuple(cuts)
    raise LayoutError(
        f"a tape {length:.0f} mm long cannot be cut into pieces of {widest_mm:.0f} mm", "a wider page",
        "choose a larger --paper, or a smaller range",
    )  # fmt: skip


# -- drawing


def draw_tape(plan: TapePlan) -> tuple[Drawing, ...]:
    """Draw the tape, one drawing a piece, from the tongue to the tail's end.

    Each has the group `diameter-tape`; of several pieces each says its number in `data-piece`. Graduations and the
    vernier's lines carry their OD, or difference of OD, in mm as `data-od`. The index line is the vernier's line 0.
    """
    items = [*_graduations(plan), *_vernier(plan), *_words(plan)]
    ends = [-plan.grip_mm, *plan.cuts, plan.end]
    return tuple(
        _piece(plan, items, number, a, b) for number, (a, b) in enumerate(itertools.pairwise(ends), 1)
    )  # fmt: skip


def graduations_between(plan: TapePlan, a: float, b: float) -> list[int]:
    """Return the numbers of the graduations from u = a to u = b."""
    return [number for number in range(plan.first, plan.last + 1) if a <= plan.u_of(number) <= b]


def _graduations(plan: TapePlan) -> list[Primitive]:
    """The tail's lines upwards from the reading edge, and the numbers over them."""
    drawn: list[Primitive] = []
    for number in range(plan.first, plan.last + 1):
        u, numbered = plan.u_of(number), number % plan.per_number == 0
        top = 2.8 if numbered else 2.2 if number % plan.scale.middle == 0 else 1.5
        data = (("od", plain_number(plan.scale.od_mm(number))),)
        drawn.append(Line(u, HALF_MM - OVER_EDGE_MM, u, HALF_MM + top, "graduation", data))
        if numbered:
            text, y = plan.number_text(number), HALF_MM + NUMBER_BASE_MM
            drawn.append(Text(u, y, text, NUMBER_PT, SEMIBOLD, "middle", role="number"))
    return drawn


def _vernier(plan: TapePlan) -> list[Primitive]:
    """The tongue's lines downwards from the reading edge: the index over the whole tongue, then the vernier."""
    scale = plan.scale
    drawn: list[Primitive] = [
        Line(0.0, 0.0, 0.0, HALF_MM + OVER_EDGE_MM, "index"),
        Polyline(((0.0, 1.9), (0.9, 0.0), (-0.9, 0.0)), "index-flag", True, 0.0),
    ]
    for k in range(1, scale.divisions + 1):
        u, figured = math.pi * scale.offset_mm(k), scale.figure == 1 or k % 2 == 0
        data = (("od", plain_number(scale.offset_mm(k))),)
        drawn.append(Line(u, HALF_MM - (1.9 if figured else 1.4), u, HALF_MM + OVER_EDGE_MM, "vernier", data))
        if figured:
            drawn.append(Text(u, HALF_MM - 3.5, str(k * scale.figure), SMALL_PT, anchor="middle", role="number"))
    return drawn


def _words(plan: TapePlan) -> list[Primitive]:
    """What the vernier counts, the body's unit and stock, and where to hold and to pull."""
    body = plan.tongue_end + 0.8
    stock = f"stock {shown_length(plan.stock_mm, 'mm')}"
    return [
        Text(1.6, 0.75, plan.scale.counts, SMALL_PT, role="words"),
        Text(body, HALF_MM + 3.4, f"OD in {plan.scale.name}", SMALL_PT, SEMIBOLD, role="words"),
        Text(body, HALF_MM + 1.2, stock, SMALL_PT, role="words"),
        Text(-plan.grip_mm + 0.9, 2.5, "hold", SMALL_PT, role="words"),
        Text(plan.end - 1.2, HALF_MM + 2.4, "pull", SMALL_PT, REGULAR, "end", role="words"),
    ]


def _piece(plan: TapePlan, items: Sequence[Primitive], number: int, a: float, b: float) -> Drawing:
    """The piece from u = a to u = b with its outline and tab, moved to begin at x = 0."""
    last = not plan.cuts or b == plan.end
    own = [item for item in items if a <= _left(item) < b]
    content = [*own, *_outline(plan, a, b, first=number == 1, last=last), *([] if last else _tab(plan, b))]
    data = (("piece", str(number)),) if plan.cuts else ()
    width = b - a + (0.0 if last else TAB_MM)
    foot = plan.edges(a)[0] - (OVER_EDGE_MM if a >= plan.tail_start else 0.0)
    return Drawing(width, HEIGHT_MM - foot, moved(Group("diameter-tape", tuple(content), data), -a, -foot))


def _left(item: Primitive) -> float:
    if isinstance(item, Text):
        return item.box[0][0]
    assert isinstance(item, Line | Polyline)  # a tape is straight
    return item.x1 if isinstance(item, Line) else min(x for x, _ in item.points)


def _outline(plan: TapePlan, a: float, b: float, first: bool, last: bool) -> list[Primitive]:
    """The cut lines of a piece, and the splices at its ends.

    The reading edges are solid: what the scissors leave of them is the base line of the graduations.
    """
    steps = [u for u in (plan.tongue_end, plan.tail_start) if a < u < b]
    lines: list[Primitive] = [Line(u, HALF_MM, u, 0.0 if u == plan.tail_start else HEIGHT_MM, "cut") for u in steps]
    for left, right in itertools.pairwise([a, *steps, b]):
        lines += [Line(left, y, right, y, "reading-edge" if y == HALF_MM else "cut") for y in plan.edges(left)]
    begin, end = plan.edges(a), plan.edges(math.nextafter(b, a))
    lines.append(Line(a, begin[0], a, begin[1], "cut" if first else "splice-edge"))
    lines.append(Line(b, end[0], b, end[1], "cut" if last else "splice"))
    return lines


def _tab(plan: TapePlan, u: float) -> list[Primitive]:
    """The glue tab right of a splice, with its words."""
    low, high = plan.edges(u)
    low, high, right = low + TAB_INSET_MM, high - TAB_INSET_MM, u + TAB_MM
    middle = (low + high) / 2
    return [
        Line(u, low, right, low, "tab-edge"),
        Line(u, high, right, high, "tab-edge"),
        Line(right, low, right, high, "tab-edge"),
        Text(u + TAB_MM / 2, middle + 0.6, "glue under", SMALL_PT, anchor="middle"),
        Text(u + TAB_MM / 2, middle - 1.7, "next piece", SMALL_PT, anchor="middle"),
    ]
