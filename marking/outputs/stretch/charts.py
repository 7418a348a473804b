"""The charts of what the turn does: tension over turn, torque over tension, and the tensions that two methods leave."""

from __future__ import annotations

from collections.abc import Iterator

from ...drawing.fonts import BODY_PT, HEAD_PT, NOTE_PT, SEMIBOLD, cap_mm, line_pitch_mm, text_width_mm, wrap
from ...drawing.primitives import Drawing, Group, Line, Polyline, Primitive, Text
from ...drawing.transform import hatch_segments
from ...figures.plot import AXIS_MM, AxisScale, Plot, axes, level_names, plot_in, x_axis
from ...quantities.angles import Point
from ...quantities.shown import shown_degrees
from ...quantities.units import NM_PER_LBF_FT, factor
from .plan import Scatter, StretchPlan
from .told import comparison_head, frictions_are_one, methods, same_kind
from .units import units_of
from .words import KEY, friction_name, spread, window_name

HEADROOM = 1.08
"""Top of an axis over the largest value on it."""

BAND_GREY = 0.86

RANGE_MM = 1.4
"""How far right of the window the range of tension stands."""

ROW_MM, BAR_MM = 6.0, 2.6

KEY_SAMPLE_MM, KEY_ROW_MM, KEY_GAP_MM = 7.0, 4.2, 6.0


def _scales(plan: StretchPlan) -> tuple[AxisScale, AxisScale]:
    """The scales of tension and torque."""
    if units_of(plan).inch:
        return AxisScale("1000 lbf", 1000 * factor("lbf")), AxisScale("lbf·ft", NM_PER_LBF_FT)
    return AxisScale("kN", 1000.0), AxisScale("N·m", 1.0)


DEGREES = AxisScale("degrees", 1.0)


def draw_tension(plan: StretchPlan, width: float, height: float) -> Drawing:
    """Draw tension over turn: a line for low and high friction up to yield, the band of what can be, the window."""
    fastening, last = plan.job.fastening, plan.last
    scale, _ = _scales(plan)
    end_deg = last.window.high_deg if last.window else last.turn_deg
    x_max = max(1.1 * end_deg, min(HEADROOM * plan.yield_turns_deg[2], 2 * end_deg))
    plot = plot_in(width, height, x_max, HEADROOM * fastening.tensile_n, scale)
    levels = [("yield", fastening.yields_n[1]), ("tensile", fastening.tensile_n)]
    items = [
        plot.area(_band(plan, x_max), "tension-band", BAND_GREY),
        *_window(plot, plan),
        *_tension_lines(plot, plan),
        *(plot.line((0, force), (x_max, force), f"{name}-load") for name, force in levels),
        *level_names(plot, levels),
        *axes(plot, ("turn after snug", DEGREES), ("tension", scale), "Tension over turn"),
    ]
    return Drawing(width, height, Group("tension-over-turn", tuple(items)))


def _band(plan: StretchPlan, x_max: float) -> list[Point]:
    """What the tension can be at a true turn: along its lower edge and back along its upper one, kink by kink."""
    fastening = plan.job.fastening
    low_n, high_n, rate = plan.snug.low_n - fastening.settling_n, plan.snug.high_n, fastening.n_per_deg
    kinks = [(kink - low_n) / rate for kink in (0.0, *fastening.kinks_n)] + [(fastening.tensile_n - high_n) / rate]
    places = sorted({0.0, x_max, *(min(x_max, max(0.0, deg)) for deg in kinks)})
    lower = [(deg, fastening.least_n(max(0.0, low_n + rate * deg))) for deg in places]
    upper = [(deg, fastening.most_n(high_n + rate * deg)) for deg in reversed(places)]
    return [*lower, *upper]


def _window(plot: Plot, plan: StretchPlan) -> Iterator[Primitive]:
    """Yield the window of the last stage, or its stop line, and a fine line at the end of each stage before."""
    top = plot.y_max
    for reached in plan.stages[:-1]:
        data = (("stage", str(reached.stage)),)
        yield plot.line((reached.turn_deg, 0), (reached.turn_deg, top), "stage-end", data)
    last = plan.last
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
    """Yield a line for each limit of friction, from snug to yield or the end of the axis; then the range at the end."""
    fastening, rate = plan.job.fastening, plan.job.fastening.n_per_deg
    snug_nmm = (plan.job.run.snug.nm if plan.job.run.snug else 0.0) * 1000.0
    (low_arm, _, high_arm), (at_low, _, at_high) = fastening.arms_mm, fastening.yields_n
    lines = [("low-friction", snug_nmm / low_arm, at_low), ("high-friction", snug_nmm / high_arm, at_high)]
    for role, snug, ends in lines[:1] if snug_nmm == 0 or frictions_are_one(plan) else lines:
        end_deg = min(plot.x_max, (ends - snug) / rate)
        if end_deg > 0:
            yield plot.line((0.0, snug), (end_deg, snug + rate * end_deg), role)
    low, _, high = plan.last.tensions
    end_deg = plan.last.window.high_deg if plan.last.window else plan.last.turn_deg
    (x, y1), (_, y2) = plot.at(end_deg, low), plot.at(end_deg, high)
    yield Line(x + RANGE_MM, y1, x + RANGE_MM, y2, "tension-range")


def draw_torque(plan: StretchPlan, width: float, height: float) -> Drawing:
    """Draw torque over tension for low and high friction, with the snug torque and the torque that would do alone."""
    fastening, comparison = plan.job.fastening, plan.comparison
    tension, torque = _scales(plan)
    tensile = fastening.tensile_n
    x_max = HEADROOM * tensile
    (low, _, high), (at_low, at_mid, at_high) = fastening.arms_mm, fastening.yields_n
    snug = plan.job.run.snug
    levels = [("alone", comparison.torque_nm), *([("snug", snug.nm)] if snug else [])]
    plot = plot_in(width, height, x_max, HEADROOM * max(at_high * high / 1000.0, comparison.torque_nm), torque)
    items: list[Primitive] = []
    ranges = {
        "alone": (comparison.torque_only.low_n, comparison.torque_only.high_n or tensile),
        "snug": (plan.snug.low_n, plan.snug.high_n),
    }
    for name, nm in levels:
        items.append(plot.line((0, nm), (x_max, nm), f"torque-{name}"))
        least, most = ranges[name]
        if most > least:
            items.append(plot.line((least, nm), (most, nm), "tension-range"))
    lines = [("low-friction", low, at_low), ("high-friction", high, at_high)]
    for role, arm, ends in lines[:1] if frictions_are_one(plan) else lines:
        items.append(plot.line((0, 0), (ends, ends * arm / 1000.0), role))
    over = plot.bottom + plot.height + 1.0
    items += [
        plot.line((at_mid, 0), (at_mid, plot.y_max), "yield-load"),
        plot.line((tensile, 0), (tensile, plot.y_max), "tensile-load"),
        Text(plot.at(at_mid, 0)[0] + 0.6, over, "yield", NOTE_PT, anchor="end"),
        Text(plot.at(tensile, 0)[0] - 0.6, over, "tensile", NOTE_PT),
        *level_names(plot, levels),
        *axes(plot, ("tension", tension), ("torque", torque), "Torque over tension"),
    ]
    return Drawing(width, height, Group("torque-over-tension", tuple(items)))


def draw_scatter(plan: StretchPlan, width: float) -> Drawing:
    """Draw the tensions that torque alone and torque, then turn leave, as bars over one axis."""
    fastening, rows = plan.job.fastening, methods(plan)
    scale, _ = _scales(plan)
    after = [spread(scatter.percent) for _, scatter in rows]
    left = 3.0 + max(text_width_mm(name, BODY_PT) for name, _ in rows)
    right = 2.0 + max(text_width_mm(words, BODY_PT, SEMIBOLD) for words in after)
    tensile = fastening.tensile_n
    plot = Plot(left, AXIS_MM, width - left - right, ROW_MM * len(rows), HEADROOM * tensile, 1.0)
    top = plot.bottom + plot.height
    notes = wrap(f"{comparison_head(plan)}. {same_kind(plan)}", width, NOTE_PT)
    pitch, names_mm = line_pitch_mm(NOTE_PT), 3.6
    above = top + names_mm + 3.0 + pitch * len(notes)
    at_yield = fastening.yields_n[1]
    items: list[Primitive] = [
        plot.line((at_yield, 0), (at_yield, 1), "yield-load"),
        plot.line((tensile, 0), (tensile, 1), "tensile-load"),
        Text(plot.at(at_yield, 0)[0] + 0.6, top + 1.0, "yield", NOTE_PT, anchor="end"),
        Text(plot.at(tensile, 0)[0] - 0.6, top + 1.0, "tensile", NOTE_PT),
        *x_axis(plot, ("tension", scale)),
        *(Text(0.0, above - pitch * k, note, NOTE_PT) for k, note in enumerate(notes, 1)),
        Text(0.0, above + 1.4, "Scatter of the tension", HEAD_PT, SEMIBOLD),
    ]
    for number, ((name, scatter), words) in enumerate(zip(rows, after, strict=True), 1):
        y = top - ROW_MM * (number - 0.5)
        base = y - cap_mm(BODY_PT) / 2
        items += [Text(0.0, base, name, BODY_PT), Text(width, base, words, BODY_PT, SEMIBOLD, "end")]
        items += _bar(plot, scatter, tensile, y)
    return Drawing(width, above + 5.0, Group("tension-scatter", tuple(items)))


def _bar(plot: Plot, scatter: Scatter, tensile: float, y: float) -> Iterator[Primitive]:
    """Yield a bar from the lowest to the highest tension; it has no end where the bolt may break."""
    x1, x2 = plot.at(scatter.low_n, 0)[0], plot.at(scatter.high_n or tensile, 0)[0]
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
    """The roles on the charts and what they mean."""
    thread, head = plan.job.fastening.thread_friction, plan.job.fastening.head_friction
    low, high = thread.texts if thread == head else ("", "")
    last = plan.last
    lines = [("low-friction", friction_name("low", low)), ("high-friction", friction_name("high", high))]
    if frictions_are_one(plan):
        lines = [("low-friction", friction_name("", low))]
    window = last.window.text if last.window else None
    stop = "stop-low" if window else "stop"
    roles = ("stage-end",) if len(plan.stages) > 1 else ()
    torques = ("torque-snug", "torque-alone") if plan.job.run.snug else ("torque-alone",)
    return [
        *lines,
        (stop, window_name(window, shown_degrees(last.turn_deg))),
        *((role, KEY[role]) for role in (*roles, *torques, "tension-range", "tension-band")),
    ]


def _sample(role: str, x: float, y: float) -> Iterator[Primitive]:
    """Yield a short stroke of a role, or a small area of hatch or grey."""
    right, low, high = x + KEY_SAMPLE_MM, y + 0.4, y + 3.2
    if role == "tension-band":
        yield Polyline(((x, low), (right, low), (right, high), (x, high)), role, closed=True, fill=BAND_GREY)
    elif role == "stop-low":
        for x1, y1, x2, y2 in hatch_segments(KEY_SAMPLE_MM, high - low):
            yield Line(x + x1, low + y1, x + x2, low + y2, "hatch")
        yield from (Line(at, low, at, high, "key-edge") for at in (x, right))
    elif role in ("stop", "stage-end"):
        yield Line(x + KEY_SAMPLE_MM / 2, low, x + KEY_SAMPLE_MM / 2, high, role)
    else:
        yield Line(x, (low + high) / 2, right, (low + high) / 2, role)
