"""The band: the strip wrapped round the socket, drawn at true size.

Drawn with the drive end up: the fastener edge is at y = 0 and is the reading edge. For a right-hand thread marks lie to
the right of START, for a left-hand thread to the left, because the near side of a socket moves to the left when it is
turned clockwise as seen from its drive end.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import NamedTuple

from .drawing import Arc, Drawing, Group, Line, Polyline, Primitive, Text, hatch_segments, moved
from .errors import LayoutError
from .fonts import REGULAR, SEMIBOLD, text_width_mm
from .geometry import (
    Feature,
    Mark,
    arc_mm,
    full_turns,
    mark_at,
    seam_deg,
    stage_arc,
    stop_marks,
    turns_in_words,
)
from .quantities import shown_degrees, trimmed
from .rows import Rows
from .spec import Stage, Window

DEFAULT_HEIGHT_MM = {"1/4": 14.0, "3/8": 14.0, "1/2": 16.0, "3/4": 20.0, "1": 25.0, "1-1/2": 30.0}
"""Height of the band by drive (our choice: what the straight part of an ordinary socket of that drive offers)."""

MIN_HEIGHT_MM, MAX_HEIGHT_MM = 8.0, 60.0

LOW_MM = 12.0
"""Bands lower than this carry no degree numbers, so that there is room for words."""

TAB_MM = 10.0
SPLICE_CLEARANCE_MM = 8.0
"""Glue tab and splice tab; least arc between a splice and a mark (our choices)."""

NO_WINDOW_MISFIT_DEG = 0.5
"""Error that a misfit of the band may cost where the spec has no window; else a tenth of the window."""

CLOSURE_STEPS = {"mm": (0.5, 1.0, 5.0, 1.0), "in": (0.02, 0.1, 0.2, 25.4)}
"""Closure scale: every graduation, every longer one, every number, in the unit; the unit in mm."""

CLOSURE_HEIGHT_MM = 3.8
CLOSURE_TICK_MM = 1.7
CLOSURE_REACH_MM = 3.0
"""Height of the closure scale with its numbers; how far it reaches back over the band's end, for sockets too small."""

TICKS_TOP = 2.9
FEATURE_ROW = 3.2
DEGREE_ROW = 5.2
TEXT_BOTTOM, TEXT_BOTTOM_LOW = 7.2, 5.2
"""Heights above the fastener edge: end of the ticks, baselines of the two rows of numbers, beginning of the text."""

TOP_MARGIN = 0.7
ROW_PITCH_MM, LEAST_ROW_PITCH_MM = 2.5, 2.0
SIDE = 0.9
"""Least distance of a text from a mark or a cut line, in mm."""

TICK_STEPS = (1, 2, 5, 10, 15, 30)
LABEL_STEPS = (10, 15, 30, 45, 60, 90)
LEAST_TICK_PITCH_MM = 0.75
SMALL_PT, LABEL_PT = 5.0, 5.5
ARROW_MM, LEAST_ARROW_MM = 12.0, 3.5


class StageMarks(NamedTuple):
    """The stop marks that one or more stages share: `numbers` are the stages' numbers, from 1."""

    stage: Stage
    numbers: tuple[int, ...]
    aim_deg: float | None
    several: bool

    @property
    def name(self) -> str:
        """The label: "STOP", or "STOP 1+2" when the job has several stages."""
        return f"STOP {'+'.join(map(str, self.numbers))}" if self.several else "STOP"

    @property
    def marks(self) -> tuple[Mark, ...]:
        """The stop marks and the aim line."""
        aim = () if self.aim_deg is None else (mark_at("aim", self.numbers[0], self.aim_deg),)
        return (*stop_marks(self.stage, self.numbers[0]), *aim)

    @property
    def label(self) -> tuple[str, ...]:
        """What stands beside the window, line by line."""
        turns = full_turns(self.stage.turn_deg)
        around = [f"{turns_in_words(turns)} +"] if turns else []
        window = self.stage.window
        if window is None:
            rest_deg = self.stage.turn_deg - 360.0 * turns
            return (
                (self.name, turns_in_words(turns)) if rest_deg == 0 else (self.name, *around, shown_degrees(rest_deg))
            )
        rest = Window(window.low_deg - 360.0 * turns, window.high_deg - 360.0 * turns)
        if rest.low_deg >= 0:
            return (self.name, *around, rest.text)
        # a window on both sides of a whole turn: "1 full turn", "−20 to +20°"
        return (
            self.name,
            turns_in_words(turns),
            f"−{shown_degrees(-rest.low_deg)[:-1]} to +{shown_degrees(rest.high_deg)}",
        )

    @property
    def aim_label(self) -> tuple[str, ...]:
        """The aim in words: from the last whole turn like the label, in all when the window lies on both its sides."""
        if self.aim_deg is None:
            return ()
        turns = full_turns(self.stage.window.low_deg) if self.stage.window else 0
        return (f"aim {shown_degrees(self.aim_deg - 360.0 * turns, 1)}",)


class BandPlan(NamedTuple):
    """Everything a band is drawn from. `spec_line` and `socket_line` are the words printed on it."""

    length_mm: float
    height_mm: float
    seam: float
    clockwise: bool
    features: tuple[Feature, ...]
    stages: tuple[StageMarks, ...]
    spec_line: str
    socket_line: str
    unit: str = "mm"

    @property
    def low(self) -> bool:
        """True for a band too low for a row of degree numbers."""
        return self.height_mm < LOW_MM

    @property
    def text_bottom_mm(self) -> float:
        """Height above the fastener edge where the words begin."""
        return TEXT_BOTTOM_LOW if self.low else TEXT_BOTTOM

    @property
    def misfit_mm(self) -> float:
        """By how much the band's end may miss the closure line: it costs a tenth of the narrowest window, at most.

        A closed length wrong by δ moves the mark at θ by θ·δ/L. Without a window it may cost 0.5°.
        """
        allowed = []
        for stage in self.stages:
            begin, span = stage_arc(stage.stage)
            arc = max(begin + span, 1.0) if begin + span <= self.seam else max(360.0 - begin, 1.0)
            cost = NO_WINDOW_MISFIT_DEG if stage.stage.window is None else span / 10.0
            allowed.append(cost / arc * self.length_mm)
        return min(allowed)

    def x_of(self, deg: float) -> float:
        """Return the place of an angle from the band's left end, which is the seam."""
        way = deg - self.seam if self.clockwise else self.seam - deg
        return arc_mm(self.length_mm, way % 360.0)

    def span(self, stage: StageMarks) -> tuple[float, float]:
        """Return the left and right end of a stage's stop marks."""
        begin, arc = stage_arc(stage.stage)
        x, width = self.x_of(begin), arc_mm(self.length_mm, arc)
        return (x, x + width) if self.clockwise else (x - width, x)


class Band(NamedTuple):
    """A drawn band: one drawing a piece, and the texts that did not fit on it and belong below it."""

    pieces: tuple[Drawing, ...]
    below: tuple[str, ...]


def band_seam(stages: Sequence[Stage], length_mm: float) -> float:
    """Return the seam of a band for these stages, in degrees from START. Raises LayoutError without room for it."""
    return seam_deg([stage_arc(stage) for stage in stages], length_mm)


def carries(plan: BandPlan) -> bool:
    """Tell whether the stages of `plan` can share one band: neither windows nor their texts touch."""
    spans = sorted(plan.span(stage) for stage in plan.stages)
    if any(right + 2 * SIDE > left for (_, right), (left, _) in itertools.pairwise(spans)):
        return False
    try:
        _filled(plan, (), whole=True)
    except LayoutError:
        return False
    return True


def splices(plan: BandPlan, widest_mm: float) -> tuple[float, ...]:
    """Return where a band is cut into pieces so that each, with its tab, is at most `widest_mm` wide.

    Places are in mm from the left end, half way between features and clear of all marks. Raises LayoutError when the
    marks leave no such place.
    """
    if plan.length_mm + TAB_MM <= widest_mm:
        return ()
    taken = [plan.span(stage) for stage in plan.stages] + [(plan.x_of(0), plan.x_of(0))]
    xs = sorted({0.0, plan.length_mm, *(plan.x_of(feature.deg) for feature in plan.features)})
    middles = [(a + b) / 2 for a, b in itertools.pairwise(xs)]
    allowed = [
        x for x in middles
        if SPLICE_CLEARANCE_MM <= x <= plan.length_mm - SPLICE_CLEARANCE_MM
        and all(x < a - SPLICE_CLEARANCE_MM or x > b + SPLICE_CLEARANCE_MM for a, b in taken)
    ]  # fmt: skip
    for count in range(2, 12):
        cuts = [min(allowed, key=lambda x: abs(x - plan.length_mm * k / count), default=0.0) for k in range(1, count)]
        ends = [0.0, *cuts, plan.length_mm]
        if all(SPLICE_CLEARANCE_MM < b - a <= widest_mm - TAB_MM for a, b in itertools.pairwise(ends)):
            return tuple(cuts)
    raise LayoutError(
        f"a band {plan.length_mm:.0f} mm long cannot be cut into pieces of {widest_mm:.0f} mm clear of its marks",
        "a wider page", "choose a larger --paper",
    )  # fmt: skip


def draw_band(plan: BandPlan, cuts: Sequence[float] = ()) -> Band:
    """Draw a band, in one piece or cut at `cuts`. Raises LayoutError when START or a stop label finds no room."""
    strip = _filled(plan, cuts)
    items = (*strip.ticks(), *strip.marks(), *strip.texts)
    ends = [0.0, *cuts, plan.length_mm]
    pieces = tuple(
        _piece(plan, items, number, a, b, last=b == plan.length_mm, cut=bool(cuts))
        for number, (a, b) in enumerate(itertools.pairwise(ends), 1)
    )
    return Band(pieces, tuple(strip.below))


def _filled(plan: BandPlan, cuts: Sequence[float], whole: bool = False) -> _Strip:
    """Lay out a band's texts on the fewest rows that hold them all, or on the most that are legible."""
    counts = _row_counts(plan)
    for count in counts:
        strip = _Strip(plan, cuts, count)
        try:
            strip.labels(whole)
        except LayoutError:
            if count == counts[-1]:
                raise
            continue
        strip.numbers()
        strip.words()
        if not strip.below:
            break
    return strip


def _row_counts(plan: BandPlan) -> range:
    room = plan.height_mm - TOP_MARGIN - plan.text_bottom_mm
    most = max(1 if plan.low else 2, int(room / LEAST_ROW_PITCH_MM))
    return range(min(most, max(1 if plan.low else 2, round(room / ROW_PITCH_MM))), most + 1)


def _piece(
    plan: BandPlan, items: Sequence[Primitive], number: int, a: float, b: float, last: bool, cut: bool
) -> Drawing:
    """One piece from a to b of the strip with its outline and tab, moved to begin at x = 0."""
    width, height = b - a + TAB_MM, plan.height_mm
    own = [moved(item, -a, 0.0) for item in items if a <= _middle_x(item) <= b]
    end_role = "closure" if last else "splice"
    outline: list[Primitive] = [
        Line(0, 0, width, 0, "fastener-edge"),
        Line(0, height, width, height, "drive-edge"),
        Line(0, 0, 0, height, "splice-edge" if number > 1 else "seam"),
        Line(b - a, 0, b - a, height, end_role),
        Line(width, 0, width, height, "tab-edge"),
        *_tab_text(b - a, height, last),
        *([moved(item, -a, 0.0) for item in _closure_scale(plan)] if last else []),
    ]
    content = Group("band", (*own, *outline))
    if cut:
        content = Group("band", (Group("band-piece", content.items, (("piece", str(number)),)),))
    return Drawing(width, height, content)


def _tab_text(x: float, height: float, last: bool) -> list[Primitive]:
    lines = ["glue this", "under the", "other end" if last else "next piece"]
    if height < LOW_MM:
        lines = ["glue under", lines[2]]
    top = (height - (CLOSURE_HEIGHT_MM if last else 0.0)) / 2 + 1.1 * len(lines) - 1.6
    return [Text(x + TAB_MM / 2, top - 2.2 * k, line, SMALL_PT, anchor="middle") for k, line in enumerate(lines)]


def _closure_scale(plan: BandPlan) -> list[Primitive]:
    """The scale at the band's end, numbered with the closed length itself, hanging from the drive edge.

    Where the other end lands, its reading is the length round the socket. Shaded: where the misfit costs less than a
    tenth of the window.
    """
    step, longer, numbered, unit_mm = CLOSURE_STEPS[plan.unit]
    length, top = plan.length_mm, plan.height_mm
    low, high = length - closure_reach_mm(plan), length + TAB_MM - 0.6
    good = (max(low, length - plan.misfit_mm), min(high, length + plan.misfit_mm))
    drawn: list[Primitive] = [
        Polyline(
            ((good[0], top - 0.9), (good[1], top - 0.9), (good[1], top), (good[0], top)), "closure-good", True, 0.8
        )
    ]
    for k in range(math.ceil(low / unit_mm / step), math.floor(high / unit_mm / step) + 1):
        value = k * step
        x = value * unit_mm
        marked = [abs(value / each - round(value / each)) < 1e-6 for each in (longer, numbered)]
        depth = CLOSURE_TICK_MM if marked[1] else 1.2 if marked[0] else 0.8
        drawn.append(Line(x, top, x, top - depth, "closure-scale", (("mm", f"{x:.4f}"),)))
        text = trimmed(value, 1)
        half = text_width_mm(text, SMALL_PT) / 2
        if marked[1] and length + 0.3 < x - half and x + half < high:
            drawn.append(Text(x, top - 3.2, text, SMALL_PT, anchor="middle", role="closure-number"))
    return drawn


def closure_reach_mm(plan: BandPlan) -> float:
    """How far the closure scale reaches back over the band: less on small bands, whose space is scarce."""
    return min(CLOSURE_REACH_MM, 0.04 * plan.length_mm)


def _middle_x(item: Primitive) -> float:
    if isinstance(item, Line):
        return (item.x1 + item.x2) / 2
    assert not isinstance(item, Arc)  # a band is straight
    xs = [x for x, _ in (item.box if isinstance(item, Text) else item.points)]
    return (min(xs) + max(xs)) / 2


def _no_room(name: str) -> LayoutError:
    return LayoutError(
        f"there is no room for the label {name} beside its mark", "a longer or higher band", "use a larger --height"
    )


class _Strip:
    """The content of one band while its texts find their places."""

    def __init__(self, plan: BandPlan, cuts: Sequence[float], count: int) -> None:
        self.plan = plan
        self.texts: list[Primitive] = []
        self.below: list[str] = []
        self.pitch = (plan.height_mm - TOP_MARGIN - plan.text_bottom_mm) / count
        self.rows = Rows(count, [(SIDE, plan.length_mm - SIDE)])
        self.number_rows = Rows(2, [(0.4, plan.length_mm - 0.4)])
        covered = math.ceil(CLOSURE_TICK_MM / self.pitch)
        self.rows.block(0, covered, plan.length_mm - closure_reach_mm(plan) - 0.4, plan.length_mm)
        for x in (plan.x_of(0), *cuts):
            self.rows.block(0, count, x - SIDE, x + SIDE)
            self.number_rows.block(0, 2, x - 0.5, x + 0.5)
        for stage in plan.stages:
            a, b = plan.span(stage)
            self.rows.block(0, count, a - SIDE, b + SIDE)
            for mark in stage.marks:
                x = plan.x_of(mark.deg)
                self.number_rows.block(0, 2, x - 0.5, x + 0.5)

    @property
    def largest_pt(self) -> float:
        """The largest type that a row holds, at most 7 pt."""
        return min(7.0, self.pitch / ROW_PITCH_MM * 7.0)

    def sizes(self, largest: float) -> list[float]:
        """Sizes to try, from the largest that fits a row down to the smallest legible one."""
        top = min(largest, self.largest_pt)
        return [size for size in (7.0, 6.5, 6.0, 5.5, 5.0) if size <= top + 1e-9] or [SMALL_PT]

    def baseline(self, row: int, size_pt: float) -> float:
        """The baseline that centres capitals (0.66 em) of `size_pt` in a row."""
        cap_mm = 0.66 * size_pt * 25.4 / 72
        return self.plan.height_mm - TOP_MARGIN - (row + 1) * self.pitch + (self.pitch - cap_mm) / 2

    # -- marks and ticks

    def marks(self) -> list[Primitive]:
        """START, and for each stage the window's edges with hatch between them, or the stop line."""
        plan, height = self.plan, self.plan.height_mm
        x = plan.x_of(0)
        drawn: list[Primitive] = [
            Line(x, 0, x, height, "start"),
            Polyline(((x, 0), (x + 1.1, 2.2), (x - 1.1, 2.2)), "start-flag", True, 0.0),
        ]
        for stage in plan.stages:
            data = (("stage", " ".join(map(str, stage.numbers))),)
            a, b = plan.span(stage)
            foot = plan.text_bottom_mm
            for x1, y1, x2, y2 in hatch_segments(b - a, height - foot) if b > a else ():
                drawn.append(Line(a + x1, foot + y1, a + x2, foot + y2, "hatch", data))
            for mark in stage.marks:
                x = plan.x_of(mark.deg)
                drawn.append(Line(x, 0, x, height, mark.kind, data))
        return drawn

    def ticks(self) -> list[Primitive]:
        """The degree scale and the corner and mid-flat ticks, all on the fastener edge."""
        plan = self.plan
        step = next((s for s in TICK_STEPS if arc_mm(plan.length_mm, s) >= LEAST_TICK_PITCH_MM), TICK_STEPS[-1])
        drawn: list[Primitive] = []
        for deg in range(0, 360, step):
            x = plan.x_of(deg)
            top = 1.6 if deg % 10 == 0 else 1.2 if deg % 5 == 0 else 0.8
            drawn.append(Line(x, 0, x, top, "degree", (("deg", str(deg)),)))
        for feature in plan.features:
            x, data = plan.x_of(feature.deg), (("index", str(feature.index)),)
            if feature.kind == "corner":
                drawn.append(Line(x, 0, x, TICKS_TOP, "corner", data))
                drawn.append(
                    Polyline(((x, 1.8), (x + 0.55, TICKS_TOP), (x - 0.55, TICKS_TOP)), "corner-flag", True, 0.0)
                )
            else:
                drawn.append(Line(x, 0, x, 2.2, "mid-flat", data))
        return drawn

    # -- numbers

    def numbers(self) -> None:
        """Corner and mid-flat numbers on the lower row, degrees on the upper one.

        What does not fit is left out in this order: mid-flat numbers (all, when one would touch), then degrees and
        corner numbers that a mark covers.
        """
        plan = self.plan
        count = len(plan.features) // 2
        pitch = arc_mm(plan.length_mm, 360 / count)
        mids = {f.index: f"{f.index}–{f.index % count + 1}" for f in plan.features}
        widest = max(text_width_mm(text, SMALL_PT) for text in mids.values())
        corner_width = text_width_mm(str(count), LABEL_PT, SEMIBOLD)
        for feature in plan.features:
            if feature.kind == "corner":
                self._number(feature.deg, str(feature.index), 1, FEATURE_ROW, LABEL_PT, SEMIBOLD)
        if (widest + corner_width) / 2 + 0.5 < pitch / 2:
            for feature in plan.features:
                if feature.kind == "mid-flat":
                    self._number(feature.deg, mids[feature.index], 1, FEATURE_ROW, SMALL_PT, REGULAR)
        if plan.low:
            return
        room = text_width_mm("330°", SMALL_PT) + 0.8
        step = next((s for s in LABEL_STEPS if arc_mm(plan.length_mm, s) >= room), LABEL_STEPS[-1])
        for deg in range(step, 360, step):
            self._number(deg, f"{deg}°", 0, DEGREE_ROW, SMALL_PT, REGULAR)

    def _number(self, deg: float, text: str, row: int, y: float, size_pt: float, weight: str) -> None:
        """Put a number over its tick, or beside it where a mark stands on the tick."""
        x, half = self.plan.x_of(deg), text_width_mm(text, size_pt, weight) / 2
        for middle in (x, x + half + 0.6, x - half - 0.6):
            if self.number_rows.fits(row, 1, middle - half, middle + half):
                self.number_rows.block(row, 1, middle - half - 0.4, middle + half + 0.4)
                self.texts.append(Text(middle, y, text, size_pt, weight, "middle", role="number"))
                return

    # -- words

    def labels(self, whole: bool = False) -> None:
        """START and the stop labels, each beside its mark.

        A stop label that finds no room is cut down to its name and stands in full below the band, unless `whole` asks
        for all of it. Raises LayoutError when a label finds no room.
        """
        plan = self.plan
        x = plan.x_of(0)
        inside = [span for span in map(plan.span, plan.stages) if span[0] - SIDE <= x <= span[1] + SIDE]
        a, b = min([x, *(a for a, _ in inside)]), max([x, *(b for _, b in inside)])
        name = "START ▼" if inside else "START"  # the label of a START within a window stands beside the window
        if self._beside([(name,)], b, a, beyond_first=False) is None:
            raise _no_room("START")
        for stage in sorted(plan.stages, key=plan.span):
            a, b = plan.span(stage)
            label, in_one = stage.label, f"{stage.name}: {' '.join(stage.label[1:])}"
            choices = [(*label, *stage.aim_label), label, (in_one,)]
            if self._beside(choices, b, a) is None:
                if whole or self._beside([(stage.name,)], b, a) is None:
                    raise _no_room(stage.name)
                self.below.append(in_one)

    def _beside(
        self, choices: Sequence[tuple[str, ...]], right_edge: float, left_edge: float, beyond_first: bool = True
    ) -> tuple[str, ...] | None:
        """Put the first choice of lines that fits beyond a mark, seen from START, or else before it; return it."""
        beyond_is_right = self.plan.clockwise is beyond_first
        for wanted in choices:
            for size in self.sizes(7.0):
                width = max(text_width_mm(line, size, SEMIBOLD) for line in wanted)
                for to_right in (beyond_is_right, not beyond_is_right):
                    left = right_edge + SIDE if to_right else left_edge - SIDE - width
                    for row in range(len(self.rows) - len(wanted) + 1):
                        if self.rows.fits(row, len(wanted), left, left + width):
                            self._put(wanted, row, left, left + width, size, to_right)
                            return wanted
        return None

    def _put(self, lines: tuple[str, ...], row: int, left: float, right: float, size: float, flush_left: bool) -> None:
        self.rows.block(row, len(lines), left - SIDE, right + SIDE)
        for k, line in enumerate(lines):
            weight = SEMIBOLD if k == 0 or len(lines) == 1 else REGULAR
            x, anchor = (left, "start") if flush_left else (right, "end")
            self.texts.append(Text(x, self.baseline(row + k, size), line, size, weight, anchor, role="label"))

    def words(self) -> None:
        """The arrow, the fastener-edge note, the spec and the socket; what finds no room goes below the band."""
        self._arrow()
        self._fastener_note()
        for text, largest, weight in (
            (self.plan.spec_line, 7.0, SEMIBOLD),
            (self.plan.socket_line, 6.0, REGULAR),
        ):
            if not self._free_text(text, largest, weight):
                self.below.append(text)

    def _free_text(self, text: str, largest: float, weight: str) -> bool:
        for size in self.sizes(largest):
            spot = self.rows.find(text, size, weight)
            if spot:
                self.rows.block(spot.row, len(spot.lines), spot.left - SIDE, spot.right + SIDE)
                for k, line in enumerate(spot.lines):
                    self.texts.append(
                        Text(
                            spot.left,
                            self.baseline(spot.row + k, size),
                            line.removesuffix(" ·"),
                            size,
                            weight,
                            role="words",
                        )
                    )
                return True
        return False

    def _arrow(self) -> None:
        """An arrow for the way the socket turns, beginning at START if it can."""
        places = [(room, row) for row in range(len(self.rows)) for room in self.rows.common(row, 1)]
        places.sort(key=lambda place: (round(self._from_start(place[0]), 3), place[1]))
        for text in ("socket turns", "turns", ""):
            for room, row in places:
                words = 1.0 + text_width_mm(text, SMALL_PT) if text else 0.0
                length = min(ARROW_MM, room[1] - room[0] - words)
                if length >= LEAST_ARROW_MM:
                    self._put_arrow(text, length, length + words, row, room)
                    return
        self.below.append(f"the socket turns {'to the left' if self.plan.clockwise else 'to the right'}")

    def _from_start(self, room: tuple[float, float]) -> float:
        """How far a room lies from START in the direction of rising angles."""
        x = self.plan.x_of(0)
        way = (room[0] - x) if self.plan.clockwise else (x - room[1])
        return way % self.plan.length_mm

    def _put_arrow(self, text: str, length: float, width: float, row: int, room: tuple[float, float]) -> None:
        left = room[0] if self.plan.clockwise else room[1] - width
        self.rows.block(row, 1, left - SIDE, left + width + SIDE)
        y = self.baseline(row, SMALL_PT) + 0.58
        tip, tail = (left, left + length) if self.plan.clockwise else (left + width, left + width - length)
        back = 1.8 if self.plan.clockwise else -1.8
        self.texts.append(Line(tip + back, y, tail, y, "arrow"))
        self.texts.append(Polyline(((tip, y), (tip + back, y + 0.8), (tip + back, y - 0.8)), "arrow-head", True, 0.0))
        if text:
            x, anchor = (left + width, "end") if self.plan.clockwise else (left, "start")
            self.texts.append(Text(x, self.baseline(row, SMALL_PT), text, SMALL_PT, anchor=anchor, role="words"))

    def _fastener_note(self) -> None:
        """ "This edge at the fastener" with a triangle that points down to the edge."""
        for text in ("this edge at the fastener", "fastener edge", "fastener"):
            spot = self.rows.find(text, SMALL_PT, indent=2.2)
            if spot is None:
                continue
            self.rows.block(spot.row, len(spot.lines), spot.left - SIDE, spot.right + SIDE)
            y = self.baseline(spot.row, SMALL_PT)
            x = spot.left + 0.8
            self.texts.append(Polyline(((x, y), (x + 0.8, y + 1.2), (x - 0.8, y + 1.2)), "edge-flag", True, 0.0))
            for k, line in enumerate(spot.lines):
                self.texts.append(
                    Text(spot.left + 2.2, self.baseline(spot.row + k, SMALL_PT), line, SMALL_PT, role="words")
                )
            return
        self.below.append("▼ the edge with the scale at the fastener")
