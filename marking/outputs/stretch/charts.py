"""The charts of what the turn does: tension over turn, torque over tension, and the tensions that two methods leave."""

from __future__ import annotations

from collections.abc import Iterator

from ...drawing.fonts import (
    BODY_PT,
    HEAD_PT,
    NOTE_PT,
    SEMIBOLD,
    cap_mm,
    line_pitch_mm,
    text_width_mm,
    wrap,
)
from ...drawing.primitives import Drawing, Group, Line, Polyline, Primitive, Text
from ...drawing.transform import hatch_segments
from ...figures.plot import AXIS_MM, AxisScale, Plot, axes, level_names, plot_in, x_axis
from ...quantities.shown import shown_degrees
from ...quantities.units import NM_PER_LBF_FT, factor
from .plan import Scatter, StretchPlan
from .units import units_of
from .words import LIMITED, scatter_note, spread

HEADROOM = 1.08
"""Top of an axis over the largest value on it."""

BEYOND_GREY = 0.88

RANGE_MM = 1.4
"""How far right of the axis the range of tension stands, clear of the ticks."""

ROW_MM, BAR_MM = 6.0, 2.6

KEY_SAMPLE_MM, KEY_ROW_MM, KEY_GAP_MM = 7.0, 4.2, 6.0


def _scales(plan: StretchPlan) -> tuple[AxisScale, AxisScale]:
    """The scales of tension and torque."""
    if units_of(plan).inch:
        return AxisScale("1000 lbf", 1000 * factor("lbf")), AxisScale("lbf·ft", NM_PER_LBF_FT)
    return AxisScale("kN", 1000.0), AxisScale("N·m", 1.0)


DEGREES = AxisScale("degrees", 1.0)


def frictions_differ(plan: StretchPlan) -> bool:
    """Tell whether low and high friction give different lines."""
    low, _, high = plan.job.fastening.arms_mm
    return low != high


def _snug_range_n(plan: StretchPlan) -> tuple[float, float]:
    """Tension after snug at high and at low friction; the proof load stands for what is beyond it."""
    proof = plan.job.fastening.proof_n
    low, _, high = plan.snug
    return low or 0.0, proof if high is None else high


def draw_tension(plan: StretchPlan, width: float, height: float) -> Drawing:
    """Draw tension over turn for low and high friction, up to the proof load, with the window of the last stage."""
    fastening, last = plan.job.fastening, plan.stages[-1]
    scale, _ = _scales(plan)
    end_deg = last.window.high_deg if last.window else last.turn_deg
    all_beyond_deg = plan.proof_turns_deg[2]
    x_max = max(1.1 * end_deg, min(HEADROOM * all_beyond_deg, 2 * end_deg))
    plot = plot_in(width, height, x_max, HEADROOM * fastening.yield_n, scale)
    items = [
        _beyond(plot, min(x_max, all_beyond_deg), fastening.proof_n),
        *_window(plot, plan),
        *_tension_lines(plot, plan),
        plot.line((0, fastening.proof_n), (x_max, fastening.proof_n), "proof-load"),
        plot.line((0, fastening.yield_n), (x_max, fastening.yield_n), "yield-load"),
        *level_names(plot, [("proof", fastening.proof_n), ("yield", fastening.yield_n)]),
        *axes(plot, ("turn after snug", DEGREES), ("tension", scale), "Tension over turn"),
    ]
    return Drawing(width, height, Group("tension-over-turn", tuple(items)))


def _beyond(plot: Plot, all_beyond: float, proof: float) -> Polyline:
    """The area above the proof load, and right of the turn after which every screw is beyond it."""
    x, y = plot.x_max, plot.y_max
    right = [(all_beyond, proof), (all_beyond, 0.0), (x, 0.0)] if all_beyond < x else [(x, proof)]
    return plot.area([(0.0, proof), *right, (x, y), (0.0, y)], "beyond-proof", BEYOND_GREY)


def _window(plot: Plot, plan: StretchPlan) -> Iterator[Primitive]:
    """Yield the window of the last stage, or its stop line, and a fine line at the end of each stage before."""
    top = plot.y_max
    for reached in plan.stages[:-1]:
        data = (("stage", str(reached.stage)),)
        yield plot.line((reached.turn_deg, 0), (reached.turn_deg, top), "stage-end", data)
    last = plan.stages[-1]
    data = (("stage", str(last.stage)),)
    if last.window is None:
        yield plot.line((last.turn_deg, 0), (last.turn_deg, top), "stop", data)
        return
    low, high = last.window
    x, y = plot.at(low, 0.0)
    for x1, y1, x2, y2 in hatch_segments(plot.at(high, 0.0)[0] - x, plot.height):
        yield Line(x + x1, y + y1, x + x2, y + y2, "hatch")
    yield plot.line((low, 0), (low, top), "stop-low", data)
    yield plot.line((high, 0), (high, top), "stop-high", data)


def _tension_lines(plot: Plot, plan: StretchPlan) -> Iterator[Primitive]:
    """Yield a line for each limit of friction, from snug to the proof load or the end of the axis; then the range."""
    fastening, rate = plan.job.fastening, plan.job.fastening.n_per_deg
    lowest, highest = _snug_range_n(plan)
    lines = [("low-friction", highest), ("high-friction", lowest)]
    for role, snug in lines if highest > lowest else lines[:1]:
        end_deg = min(plot.x_max, (fastening.proof_n - snug) / rate)
        if end_deg > 0:
            yield plot.line((0.0, snug), (end_deg, snug + rate * end_deg), role)
    last = plan.stages[-1]
    low_deg, high_deg = last.window or (last.turn_deg, last.turn_deg)
    low, _, high = last.tensions
    for tension, deg in ((low, low_deg), (high, high_deg)):
        if tension is not None:
            yield plot.line((0.0, tension), (deg, tension), "guide")
    if low is not None:
        (x, y1), (_, y2) = plot.at(0.0, low), plot.at(0.0, high or fastening.proof_n)
        yield Line(x + RANGE_MM, y1, x + RANGE_MM, y2, "tension-range")


def draw_torque(plan: StretchPlan, width: float, height: float) -> Drawing:
    """Draw torque over tension for low and high friction, with the snug torque and the torque that would do alone."""
    fastening, comparison = plan.job.fastening, plan.comparison
    tension, torque = _scales(plan)
    proof, x_max = fastening.proof_n, HEADROOM * fastening.yield_n
    low, _, high = fastening.arms_mm
    plot = plot_in(width, height, x_max, HEADROOM * proof * high / 1000.0, torque)
    snug = plan.job.run.snug
    levels = [("alone", comparison.torque_nm), *([("snug", snug.nm)] if snug else [])]
    lines = [("low-friction", low), ("high-friction", high)]
    items: list[Primitive] = [
        plot.area([(proof, 0), (x_max, 0), (x_max, plot.y_max), (proof, plot.y_max)], "beyond-proof", BEYOND_GREY)
    ]
    for name, nm in levels:
        items.append(plot.line((0, nm), (x_max, nm), f"torque-{name}"))
        least, most = nm * 1000.0 / high, min(proof, nm * 1000.0 / low)
        if most > least:
            items.append(plot.line((least, nm), (most, nm), "tension-range"))
    for role, arm in lines if frictions_differ(plan) else lines[:1]:
        items.append(plot.line((0, 0), (proof, proof * arm / 1000.0), role))
    items += [
        plot.line((proof, 0), (proof, plot.y_max), "proof-load"),
        plot.line((fastening.yield_n, 0), (fastening.yield_n, plot.y_max), "yield-load"),
        Text(plot.at(proof, 0)[0] + 0.6, plot.bottom + plot.height + 1.0, "proof", NOTE_PT, anchor="end"),
        Text(plot.at(fastening.yield_n, 0)[0] - 0.6, plot.bottom + plot.height + 1.0, "yield", NOTE_PT),
        *level_names(plot, levels),
        *axes(plot, ("tension", tension), ("torque", torque), "Torque over tension"),
    ]
    return Drawing(width, height, Group("torque-over-tension", tuple(items)))


def draw_scatter(plan: StretchPlan, width: float) -> Drawing:
    """Draw the tensions that torque alone and torque, then turn leave, as bars over one axis."""
    fastening, units, comparison = plan.job.fastening, units_of(plan), plan.comparison
    scale, _ = _scales(plan)
    rows: list[tuple[str, Scatter | None]] = [
        (f"torque alone, {units.torque(comparison.torque_nm)}", comparison.torque_only),
        ("torque, then turn", comparison.then_turn),
    ]
    after = [
        spread(scatter) + ("" if scatter.high_n is not None else ", to beyond proof") if scatter else LIMITED
        for _, scatter in rows
    ]
    left = 3.0 + max(text_width_mm(name, BODY_PT) for name, _ in rows)
    right = 2.0 + max(text_width_mm(words, BODY_PT, SEMIBOLD) for words in after)
    x_max, proof = HEADROOM * fastening.yield_n, fastening.proof_n
    plot = Plot(left, AXIS_MM, width - left - right, ROW_MM * len(rows), x_max, 1.0)
    top = plot.bottom + plot.height
    notes = wrap(scatter_note(plan), width, NOTE_PT)
    pitch = line_pitch_mm(NOTE_PT)
    above = top + 3.0 + pitch * len(notes)
    items: list[Primitive] = [
        plot.area([(proof, 0), (x_max, 0), (x_max, 1), (proof, 1)], "beyond-proof", BEYOND_GREY),
        plot.line((proof, 0), (proof, 1), "proof-load"),
        *x_axis(plot, ("tension", scale)),
        *(Text(0.0, above - pitch * k, note, NOTE_PT) for k, note in enumerate(notes, 1)),
        Text(0.0, above + 1.4, "Scatter of the tension", HEAD_PT, SEMIBOLD),
    ]
    for number, ((name, scatter), words) in enumerate(zip(rows, after, strict=True), 1):
        y = top - ROW_MM * (number - 0.5)
        base = y - cap_mm(BODY_PT) / 2
        items += [Text(0.0, base, name, BODY_PT), Text(width, base, words, BODY_PT, SEMIBOLD, "end")]
        if scatter is not None:
            items += _bar(plot, scatter, proof, y)
    return Drawing(width, above + 5.0, Group("tension-scatter", tuple(items)))


def _bar(plot: Plot, scatter: Scatter, proof: float, y: float) -> Iterator[Primitive]:
    """Yield a bar from the lowest to the highest tension; it ends at the proof load where that is passed."""
    if scatter.low_n is None:
        return
    x1, x2 = plot.at(scatter.low_n, 0)[0], plot.at(scatter.high_n or proof, 0)[0]
    half = BAR_MM / 2
    corners = ((x1, y - half), (x2, y - half), (x2, y + half), (x1, y + half))
    yield Polyline(corners, "tension-bar", closed=True, fill=0.35)
    for x in (x1,) if scatter.high_n is None else (x1, x2):
        yield Line(x, y - half - 0.6, x, y + half + 0.6, "tension-end")


def draw_legend(plan: StretchPlan, width: float) -> Drawing:
    """Draw what lines, hatch and grey mean, in as many rows as the width takes."""
    rows: list[list[tuple[str, str]]] = [[]]
    used = 0.0
    for role, words in _key_entries(plan):
        wide = KEY_SAMPLE_MM + 1.6 + text_width_mm(words, NOTE_PT) + KEY_GAP_MM
        if rows[-1] and used + wide - KEY_GAP_MM > width:
            rows.append([])
            used = 0.0
        rows[-1].append((role, words))
        used += wide
    items: list[Primitive] = []
    for number, row in enumerate(rows, 1):
        x, y = 0.0, KEY_ROW_MM * (len(rows) - number)
        for role, words in row:
            items += [*_sample(role, x, y), Text(x + KEY_SAMPLE_MM + 1.6, y + 1.1, words, NOTE_PT)]
            x += KEY_SAMPLE_MM + 1.6 + text_width_mm(words, NOTE_PT) + KEY_GAP_MM
    return Drawing(width, KEY_ROW_MM * len(rows), Group("key", tuple(items)))


def _key_entries(plan: StretchPlan) -> list[tuple[str, str]]:
    thread, head = plan.job.fastening.thread_friction, plan.job.fastening.head_friction
    low, high = (f" {text}" if thread == head else "" for text in thread.texts)
    last = plan.stages[-1]
    lines = [("low-friction", f"low friction{low}"), ("high-friction", f"high friction{high}")]
    if not frictions_differ(plan):
        lines = [("low-friction", f"friction{low}")]
    window = (
        ("stop-low", f"window {last.window.text}") if last.window else ("stop", f"turn {shown_degrees(last.turn_deg)}")
    )
    return [
        *lines,
        window,
        *([("stage-end", "end of an earlier stage")] if len(plan.stages) > 1 else []),
        *([("torque-snug", "snug torque")] if plan.job.run.snug else []),
        ("torque-alone", "torque alone"),
        ("tension-range", "range of tension"),
        ("beyond-proof", "beyond proof: not elastic"),
    ]


def _sample(role: str, x: float, y: float) -> Iterator[Primitive]:
    """Yield a short stroke of a role, or a small area of hatch or grey."""
    right, low, high = x + KEY_SAMPLE_MM, y + 0.4, y + 3.2
    if role == "beyond-proof":
        yield Polyline(((x, low), (right, low), (right, high), (x, high)), role, closed=True, fill=BEYOND_GREY)
    elif role == "stop-low":
        for x1, y1, x2, y2 in hatch_segments(KEY_SAMPLE_MM, high - low):
            yield Line(x + x1, low + y1, x + x2, low + y2, "hatch")
        yield from (Line(at, low, at, high, "key-edge") for at in (x, right))
    elif role in ("stop", "stage-end"):
        yield Line(x + KEY_SAMPLE_MM / 2, low, x + KEY_SAMPLE_MM / 2, high, role)
    else:
        yield Line(x, (low + high) / 2, right, (low + high) / 2, role)
