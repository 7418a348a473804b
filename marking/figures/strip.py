"""The words, numbers and marks of a strip that goes round a socket, while its texts find their places.

Plain bands and trim bands share it. A strip is described by a `StripLayout`: where an angle lies at a height above the
fastener edge, where the strip ends there, and how its height is divided.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from ..drawing.fonts import CAP_EM, HALF_SMALL_CAP_MM, MM_PER_PT, REGULAR, SEMIBOLD, SMALL_PT, Weight, text_width_mm
from ..drawing.primitives import Anchor, Data, Line, Polyline, Primitive, Text
from ..drawing.transform import hatch_segments
from ..errors import LayoutError
from ..marks.stage_marks import StageMarks
from ..quantities.angles import Point
from . import label_step_deg
from .free_rows import FreeRows, Interval
from .strip_layout import LABEL_PT, ROW_PITCH_MM, SIDE, TOP_MARGIN, StripLayout, row_counts, span

TICKS_TOP = 2.9
"""Height of a corner's tick above the foot of the ticks."""

ARROW_MM, LEAST_ARROW_MM = 12.0, 3.5


def filled(plan: StripLayout, cuts: Sequence[float] = (), whole: bool = False) -> Strip:
    """Lay out a band's texts on the fewest rows that hold them all, or on the most that are legible."""
    counts = row_counts(plan)
    for count in counts:
        strip = Strip(plan, cuts, count)
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


def _no_room(name: str) -> LayoutError:
    return LayoutError(
        f"there is no room for the label {name} beside its mark",
        "a longer or higher band",
        "use a larger {@height}, or print a drive disc for a socket as slim",
        field="height",
    )


class Strip:
    """The content of one band while its texts find their places."""

    def __init__(self, plan: StripLayout, cuts: Sequence[float], count: int) -> None:
        self.plan = plan
        self.texts: list[Primitive] = []
        self.below: list[str] = []
        self.pitch = (plan.height_mm - TOP_MARGIN - plan.text_bottom_mm) / count
        self.rows = self._free_rows(cuts, [self.row_span(row) for row in range(count)], SIDE, SIDE)
        self.number_rows = self._free_rows(cuts, [(y, y + 1.4) for y in plan.number_rows_mm], 0.4, 0.5)
        for stage in plan.stages:
            for row in range(count):
                ends = [x for y in self.row_span(row) for x in span(plan, stage, y)]
                self.rows.block(row, 1, min(ends) - SIDE, max(ends) + SIDE)

    def _free_rows(
        self, cuts: Sequence[float], spans: Sequence[tuple[float, float]], edge: float, side: float
    ) -> FreeRows:
        """Rows from y to y, free between the strip's ends and off all marks, cuts and what is reserved."""
        plan = self.plan
        rows = FreeRows(len(spans), [(-1e6, 1e6)])
        for row, ys in enumerate(spans):
            ends = [plan.ends(y) for y in ys]
            rows.block(row, 1, -1e6, max(left for left, _ in ends) + edge)
            rows.block(row, 1, min(right for _, right in ends) - edge, 1e6)
            for taken in filter(None, (plan.reserved(y) for y in ys)):
                rows.block(row, 1, *taken)
            for cut in cuts:
                rows.block(row, 1, cut - side, cut + side)
            for deg in (0.0, *(mark.deg for stage in plan.stages for mark in stage.marks)):
                xs = [plan.x_of(deg, y) for y in ys]
                rows.block(row, 1, min(xs) - side, max(xs) + side)
        return rows

    def row_span(self, row: int) -> tuple[float, float]:
        """The heights between which a row of words lies."""
        top = self.plan.height_mm - TOP_MARGIN - row * self.pitch
        return top - self.pitch, top

    @property
    def largest_pt(self) -> float:
        """The largest type that a row holds, at most 7 pt."""
        return min(7.0, self.pitch / ROW_PITCH_MM * 7.0)

    def sizes(self, largest: float) -> list[float]:
        """Sizes to try, from the largest that fits a row down to the smallest legible one."""
        top = min(largest, self.largest_pt)
        return [size for size in (7.0, 6.5, 6.0, 5.5, 5.0) if size <= top + 1e-9] or [SMALL_PT]

    def baseline(self, row: int, size_pt: float) -> float:
        """The baseline that centres capitals of `size_pt` in a row."""
        cap_mm = CAP_EM * size_pt * MM_PER_PT
        return self.plan.height_mm - TOP_MARGIN - (row + 1) * self.pitch + (self.pitch - cap_mm) / 2

    # -- marks and ticks

    def marks(self) -> list[Primitive]:
        """START, and for each stage the window's edges with hatch between them, or the stop line."""
        foot = self.plan.foot_mm
        x = self.plan.x_of(0, foot)
        flag = Polyline(((x, foot), (x + 1.1, foot + 2.2), (x - 1.1, foot + 2.2)), "start-flag", True, 0.0)
        drawn: list[Primitive] = [self.line(0.0, self.plan.height_mm, "start"), flag]
        for stage in self.plan.stages:
            data = (("stage", " ".join(map(str, stage.numbers))),)
            drawn += self._hatch(stage, data)
            drawn += [self.line(mark.deg, self.plan.height_mm, mark.kind, data) for mark in stage.marks]
        return drawn

    def line(self, deg: float, top: float, role: str, data: Data = ()) -> Line:
        """The line of an angle from the fastener edge up to `top`."""
        return Line(self.plan.x_of(deg), 0.0, self.plan.x_of(deg, top), top, role, data)

    def _hatch(self, stage: StageMarks, data: Data) -> list[Primitive]:
        """Hatch a window where the words are, slanted with its edges."""
        foot = self.plan.text_bottom_mm
        a, b = span(self.plan, stage, foot)
        if b - a < 1e-6:
            return []

        def at(u: float, v: float) -> Point:
            left, right = span(self.plan, stage, foot + v)
            return left + u / (b - a) * (right - left), foot + v

        segments = hatch_segments(b - a, self.plan.height_mm - foot)
        return [Line(*at(x1, y1), *at(x2, y2), "hatch", data) for x1, y1, x2, y2 in segments]

    # -- numbers

    def numbers(self) -> None:
        """Corner and mid-flat numbers on the lower row, degrees on the upper one.

        What does not fit is left out in this order: mid-flat numbers (all, when one would touch), then degrees and
        corner numbers that a mark covers.
        """
        plan, count = self.plan, len(self.plan.features) // 2
        left, right = plan.ends(plan.number_rows_mm[-1])
        pitch = (right - left) / count
        mids = {f.index: f"{f.index}–{f.index % count + 1}" for f in plan.features}
        widest = max(text_width_mm(text, SMALL_PT) for text in mids.values())
        corner_width = text_width_mm(str(count), LABEL_PT, SEMIBOLD)
        for feature in plan.features:
            if feature.kind == "corner":
                self._number(feature.deg, str(feature.index), 0, LABEL_PT, SEMIBOLD)
        if (widest + corner_width) / 2 + 0.5 < pitch / 2:
            for feature in plan.features:
                if feature.kind == "mid-flat":
                    self._number(feature.deg, mids[feature.index], 0, SMALL_PT, REGULAR)
        if len(plan.number_rows_mm) > 1:
            room = text_width_mm("330°", SMALL_PT) + 0.8
            step = label_step_deg(right - left, room)
            for deg in range(step, 360, step):
                self._number(deg, f"{deg}°", 1, SMALL_PT, REGULAR)

    def _number(self, deg: float, text: str, row: int, size_pt: float, weight: Weight) -> None:
        """Put a number over its tick, or beside it where a mark stands on the tick."""
        y = self.plan.number_rows_mm[row]
        x, half = self.plan.x_of(deg, y), text_width_mm(text, size_pt, weight) / 2
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
        # the label of a START within a window stands beside the window
        name = "START" if self._around_start(0.0) == (self.plan.x_of(0),) * 2 else "START ▼"
        if self._beside([(name,)], self._around_start, beyond_first=False) is None:
            raise _no_room("START")
        for stage in sorted(self.plan.stages, key=lambda stage: span(self.plan, stage)):
            label, in_one = stage.label, f"{stage.name}: {' '.join(stage.label[1:])}"
            edges = partial(span, self.plan, stage)
            if self._beside([(*label, *stage.aim_label), label, (in_one,)], edges) is None:
                if whole or self._beside([(stage.name,)], edges) is None:
                    raise _no_room(stage.name)
                self.below.append(in_one)

    def _around_start(self, y: float) -> Interval:
        """START's place at height y, widened to the windows that it lies in or touches."""
        x = self.plan.x_of(0, y)
        spans = [span(self.plan, stage, y) for stage in self.plan.stages]
        inside = [(a, b) for a, b in spans if a - SIDE <= x <= b + SIDE]
        return min([x, *(a for a, _ in inside)]), max([x, *(b for _, b in inside)])

    def _beside(
        self,
        choices: Sequence[tuple[str, ...]],
        edges: Callable[[float], Interval],
        beyond_first: bool = True,
    ) -> tuple[str, ...] | None:
        """Put the first choice of lines that fits beyond a mark, seen from START, or else before it; return it.

        `edges` gives the mark's left and right end at a height.
        """
        beyond_is_right = self.plan.clockwise is beyond_first
        for wanted in choices:
            for size in self.sizes(7.0):
                width = max(text_width_mm(line, size, SEMIBOLD) for line in wanted)
                for to_right in (beyond_is_right, not beyond_is_right):
                    for row in range(len(self.rows) - len(wanted) + 1):
                        ends = [edges(y) for y in (self.row_span(row)[1], self.row_span(row + len(wanted) - 1)[0])]
                        left = max(b for _, b in ends) + SIDE if to_right else min(a for a, _ in ends) - SIDE - width
                        if self.rows.fits(row, len(wanted), left, left + width):
                            self._put(wanted, row, left, left + width, size, to_right)
                            return wanted
        return None

    def _put(self, lines: tuple[str, ...], row: int, left: float, right: float, size: float, flush_left: bool) -> None:
        self.rows.block(row, len(lines), left - SIDE, right + SIDE)
        for k, line in enumerate(lines):
            weight = SEMIBOLD if k == 0 or len(lines) == 1 else REGULAR
            x, anchor = self._flush(left, right, flush_left)
            self.texts.append(Text(x, self.baseline(row + k, size), line, size, weight, anchor, role="label"))

    def _flush(self, left: float, right: float, flush_left: bool) -> tuple[float, Anchor]:
        return (left, "start") if flush_left else (right, "end")

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

    def _free_text(self, text: str, largest: float, weight: Weight) -> bool:
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
        left, right = self.plan.ends(0.0)
        return way % (right - left)

    def _put_arrow(self, text: str, length: float, width: float, row: int, room: tuple[float, float]) -> None:
        left = room[0] if self.plan.clockwise else room[1] - width
        self.rows.block(row, 1, left - SIDE, left + width + SIDE)
        y = self.baseline(row, SMALL_PT) + HALF_SMALL_CAP_MM
        tip, tail = (left, left + length) if self.plan.clockwise else (left + width, left + width - length)
        back = 1.8 if self.plan.clockwise else -1.8
        self.texts.append(Line(tip + back, y, tail, y, "arrow"))
        self.texts.append(Polyline(((tip, y), (tip + back, y + 0.8), (tip + back, y - 0.8)), "arrow-head", True, 0.0))
        if text:
            x, anchor = self._flush(left, left + width, not self.plan.clockwise)
            self.texts.append(Text(x, self.baseline(row, SMALL_PT), text, SMALL_PT, anchor=anchor, role="words"))

    def _fastener_note(self) -> None:
        """ "This edge at the fastener" with a triangle that points down to the edge."""
        for text in self.plan.edge_notes:
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
