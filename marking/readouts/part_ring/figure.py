"""The part side: the ring that lies still on the part round the socket, read with START.

Seen from above, START travels over the ring in the tightening direction: for a right-hand thread the stop window lies
clockwise of the ring's zero, for a left-hand thread counterclockwise.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

from ...drawing.emphasis import underlined
from ...drawing.fonts import SEMIBOLD, SMALL_PT, cap_mm, text_width_mm
from ...drawing.primitives import Drawing, Group, Text, moved
from ...figures.bent import Row, in_rows, smaller
from ...figures.dial import ARROW_MM, SIDE_MM, Dial, Interval, beside_arc, holds_zero
from ...marks.stage_marks import StageMarks, stage_arc
from ...quantities.angles import arc_deg
from ...quantities.shown import trimmed
from ...quantities.units import MM_PER_IN
from .layout import LEAST_BORE_STEP_MM, RingLayout
from .words import AT_START, CUT, TRAVELS, ZERO, aims, ends, ends_here, own, said, turns

WINDOW_PT, LABEL_PT, NOTE_PT = 10.5, 7.0, 6.0
"""Type sizes on the narrowest ring: the window, what stands over it, all else."""

SHRUNK = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5)

TRIALS = (
    (TRAVELS, 0, False), ("", 0, False), ("", 2, False), ("", 3, False), ("", 3, True), ("", 4, False), ("", 4, True),
    ("", 5, False), ("", 5, True),
)  # fmt: skip
"""What to try for room: the words behind the arrow, from where on in `SHRUNK` labels are tried, and whether texts may
stand in brackets too."""

BRACKET_MM, HOOK_MM = 0.8, 8.0
"""How far the bracket stays inside the outer edge, and how long its hooks are at most."""

AIM_PART = 0.6
"""Part of the ring's width that the aim line takes (our choice)."""

ROLES = {"stop-low": "ends-low", "stop-high": "ends-high", "stop": "ends", "aim": "aim"}
"""What a socket's marks are on the ring."""


@lru_cache(maxsize=32)  # as `draw_band`
def draw_ring(plan: RingLayout) -> Drawing:
    """Draw the part ring, or a sector of it, at true size."""
    dial = _labelled(plan)
    if plan.closed:
        dial.beside([[Row(CUT, SMALL_PT)]], plan.extent[1], plan.extent[1])
    dial.scale()
    _edges(dial, plan)
    left, bottom, right, top = plan.box
    items = tuple(moved(item, -left, -bottom) for item in dial.items)
    return Drawing(right - left, top - bottom, Group("part-ring", items))


def _labelled(plan: RingLayout) -> Dial:
    """The ring's marks and texts, in the order of their rank: the first trial that has room for all of them.

    Where none has, the one whose most important texts found room.
    """
    trials = []
    for words, first, crowded in TRIALS:
        dial = _bracketed(plan, crowded)
        found = _lettered(dial, plan, words, first, crowded)
        if all(found):
            return dial
        trials.append((found, dial))
    return max(trials, key=lambda trial: trial[0])[1]


def _lettered(dial: Dial, plan: RingLayout, words: str, first: int, crowded: bool) -> tuple[bool, ...]:
    """Put the texts of a trial; tell which found room, by rank."""
    whole = [own(plan.od, plan.clockwise)]
    named = crowded and _put(dial, plan, whole)
    labelled = _labels(dial, plan, first)
    nearest = min((stage_arc(stage.stage)[0] or 360.0 for stage in plan.stages), default=360.0)
    dial.arrow(words, LABEL_PT * plan.growth, lengths_mm=ARROW_MM[-1:] if first else ARROW_MM, until=nearest)
    named = named or _put(dial, plan, whole)
    turned = _put(dial, plan, turns(plan.spec_line, plan.stages))
    for stage in plan.stages:
        if stage.aim_label:
            begin, span = stage_arc(stage.stage)
            ways = [[Row(text, NOTE_PT * plan.growth) for text in texts] for texts in aims(stage, len(plan.stages) > 1)]
            dial.beside(ways, begin, begin + span)
    return labelled, named, turned, _put(dial, plan, said(plan.error_deg, plan.title))


def _bracketed(plan: RingLayout, crowded: bool) -> Dial:
    """Zero, and a bracket for each window; on a `crowded` ring texts may stand in brackets."""
    dial = Dial(plan.lanes, plan.grows_clockwise, plan.extent)
    for end in plan.extent:
        dial.take(end)
    dial.radial(0.0, plan.innermost, plan.outer, "zero")
    dial.take(0.0)
    dial.flag(0.0, plan.inner, "zero-flag")
    for stage in plan.stages:
        _bracket(dial, plan, stage)
        if not crowded:
            dial.keep_off(*stage_arc(stage.stage))
    return dial


def _bracket(dial: Dial, plan: RingLayout, stage: StageMarks) -> None:
    """The window as a bracket open towards the socket, never hatched; without a tolerance a line with a pennant."""
    data = (("stage", " ".join(map(str, stage.numbers))),)
    begin, span = stage_arc(stage.stage)
    outer = plan.round_zero if holds_zero(stage) else plan.outer - BRACKET_MM
    for mark in stage.marks:
        # an aim line from rim to rim might be taken for the slit
        end = min(plan.inner + AIM_PART * (plan.outer - plan.inner), outer) if mark.kind == "aim" else outer
        dial.radial(mark.deg, plan.innermost, end, ROLES[mark.kind], data)
        dial.take(mark.deg)
    if stage.stage.window is None:
        dial.flag(begin, dial.lanes.edge, "ends-flag", pennant=True)
    elif span:
        hook = min(arc_deg(math.tau * outer, HOOK_MM), span / 2)
        for low in (begin, begin + span - hook):
            dial.arc(outer, low, low + hook, "ends-bracket", data)
            dial.keep_off(low, hook)


def _labels(dial: Dial, plan: RingLayout, first: int) -> bool:
    """Beside zero that it is, by each bracket what it is for and its window; tell whether all found room."""
    grown = plan.growth
    zero = Row(ZERO, WINDOW_PT * grown, SEMIBOLD), Row(AT_START, LABEL_PT * grown)
    zeros = [smaller(zero, share) for share in SHRUNK[first:]]
    around = any(map(holds_zero, plan.stages))
    found: list[object] = [
        dial.at_zero(zeros, plan.stages, plan.lanes.texts[1]) or None
        if around
        else dial.beside(zeros, 0.0, 0.0, beyond_first=False)
    ]
    for stage in sorted(plan.stages, key=lambda stage: stage_arc(stage.stage)):
        begin, span = stage_arc(stage.stage)
        choices = list(_window_choices(stage, grown, first))
        found.append(dial.beside(choices, begin, begin + span) or dial.somewhere(choices, begin + span / 2))
    return None not in found


def _window_choices(stage: StageMarks, grown: float, first: int) -> Iterator[tuple[Row, ...]]:
    """The label of a bracket: what ends there, and the window as large as it goes."""
    window = stage.label[1:]
    for head in (ends_here(stage), ends(stage)):
        for share in SHRUNK[first:]:
            for lines in dict.fromkeys([(" ".join(window),), window]):
                rows = [Row(line, WINDOW_PT * grown, SEMIBOLD) for line in lines]
                yield smaller([Row(head, LABEL_PT * grown, SEMIBOLD), *rows], share)


def _put(dial: Dial, plan: RingLayout, texts: Sequence[str]) -> bool:
    """Put the first text that finds room, opposite zero or behind a sector's last mark; tell whether one did."""
    sizes = (NOTE_PT * plan.growth, 5.0)
    first, last = plan.extent
    middle = 180.0 if plan.closed else last + first  # a sector goes on behind its last mark as it begins before zero
    ways = ((2, False), (3, False), (1, False), (2, True), (3, True), (4, True))
    choices = dict.fromkeys(
        tuple(row._replace(hand=not plan.clockwise) for row in in_rows(text, most, size, anywhere=way))
        for text in texts if text for size in sizes for most, way in ways
    )  # fmt: skip
    return not any(texts) or dial.somewhere(choices, middle) is not None


def _edges(dial: Dial, plan: RingLayout) -> None:
    """The cut lines: bores, outer edge, and the slit, or the two ends of a sector."""
    first, last = plan.extent
    if plan.bores_mm:
        _numbered_bores(dial, plan)
    else:
        dial.arc(plan.inner, first, last, "inner-edge")
    dial.arc(plan.outer, first, last, "outer-edge")
    dial.radial(last, plan.innermost, plan.outer, "slit")
    if not plan.closed:
        dial.radial(first, plan.innermost, plan.outer, "slit")


def _numbered_bores(dial: Dial, plan: RingLayout) -> None:
    """A circle for each bore with its OD in a gap of it; the gaps wind inwards, so that no number touches another.

    Numbers of circles less than two steps apart may not stand side by side. A number that finds no room, on a small
    circle crowded with marks, is left out; its circle keeps its OD as data.
    """
    first, last = plan.extent
    numbers: list[tuple[float, Interval]] = []
    begin = first
    for bore in reversed(plan.bores):
        radius, od_mm = bore / 2, bore - plan.clearance_mm
        text = trimmed(od_mm / MM_PER_IN, 3) if plan.unit == "in" else trimmed(od_mm, 2)
        half = arc_deg(math.tau * (radius - 0.6), text_width_mm(text, SMALL_PT) / 2 + SIDE_MM / 2)
        taken = [beside_arc(deg, span, radius - 0.6) for deg, span in _marked(dial, plan)]
        taken += [arc for other, arc in numbers if other - radius < 0.95 * LEAST_BORE_STEP_MM]
        data = (("od", text), ("unit", plan.unit))
        degs = (first + (begin - first + off) % (last - first) for off in range(int(last - first)))
        middle = next((deg for deg in degs if dial.free(taken, deg - half, deg + half)), None)
        if middle is None:
            dial.arc(radius, first, last, "bore", data)
            continue
        number = Text(0.0, 0.0, text, SMALL_PT, anchor="middle", role="number")
        dial.across(underlined(number), middle, radius - cap_mm(SMALL_PT) / 2)
        numbers.append((radius, (middle - half, middle + half)))
        begin = middle
        if plan.closed:
            dial.arc(radius, middle + half, middle - half + 360.0, "bore", data)
        else:
            dial.arc(radius, first, middle - half, "bore", data)
            dial.arc(radius, middle + half, last, "bore", data)


def _marked(dial: Dial, plan: RingLayout) -> list[tuple[float, float]]:
    """The arcs that marks and windows take, as (begin, span)."""
    return [*dial.arcs, *(stage_arc(stage.stage) for stage in plan.stages)]
