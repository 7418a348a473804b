"""The words of the sheets: steps written for one job, cautions, notes. Plain and short, for a workshop."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from .band import BandPlan
from .budget import Budget
from .geometry import full_turns, turns_in_words
from .job import Plan
from .part import RingPlan
from .quantities import shown_degrees, shown_length, trimmed
from .spec import Stage, TighteningSpec

if TYPE_CHECKING:
    from .disc_job import DiscJobPlan

CAUTIONS = (
    "The manufacturer's manual decides: torque, angle, order, lubricant and reuse. This sheet only marks the angle.",
    "Fasteners tightened by angle are often for single use: fit new ones when the manual says so.",
    "Clean and oil threads and seats, or leave them dry, exactly as the manual says.",
    "Hand tools only: never use a band, ring, disc or pointer on an impact wrench.",
    "Wear eye protection.",
    "Local rules and licensed practice come before this sheet.",
)

OVERSHOT = (
    "Overshot: stop. Do what the manual says, often a new fastener from the beginning. Never turn back and guess."
)

MARK_NAMES = {
    "start": "START",
    "stop-low": "STOP, low edge",
    "stop-high": "STOP, high edge",
    "stop": "STOP",
    "aim": "aim line",
}


def direction(spec: TighteningSpec) -> str:
    """The way to tighten, in words."""
    turned = "clockwise" if spec.clockwise else "counterclockwise"
    left = "" if spec.clockwise else " (left-hand thread)"
    return f"{turned}, seen from the drive end{left}"


def fitting_steps(plan: Plan, band: BandPlan) -> list[str]:
    """How to fit the band on the socket."""
    job = plan.job
    side = "right" if job.spec.clockwise else "left"
    place = "on a corner of the opening; call that corner 1" if job.start == "corner" else (
        "on a mid-flat of the opening, half way between two corners"
    )  # fmt: skip
    misfit = f"{trimmed(max(0.1, math.floor(band.misfit_mm * 10) / 10), 1)} mm"
    points = f"Corners are numbered from START to the {side}; a band that fits has each ▼ on its own corner."
    return [
        "Measure both check rulers, then cut along the dashed lines.",
        f"Clean the socket and dry it. Put the edge with the scale at the fastener end and START {place}. {points}",
        f"Wrap the band tight. Its cut end must meet the closure line within {misfit} (the shaded part); glue "
        "the tab under it, or tape it. If it misses by more, read the scale where the end lands and print again with "
        "that length for --around.",
        "Hand tools only: never on an impact wrench. The manufacturer's manual decides.",
    ]


def trimming_steps(plan: Plan) -> list[str]:
    """How to choose, cut and fit a trim band."""
    side = "right" if plan.job.spec.clockwise else "left"
    place = "a corner" if plan.job.start == "corner" else "a mid-flat"
    return [
        "Measure both check rulers. Measure the socket's outside diameter where the band will sit.",
        "Take the band whose rows hold that diameter and cut along its row: the cut edge is the reading edge. Cut the "
        "slanted ends along their dashed lines. The upper edge may be cut lower; keep at least 8 mm.",
        f"Clean the socket and dry it. Put the cut edge at the fastener end and START on {place} of the opening. "
        f"Corners are numbered from START to the {side}.",
        "Wrap the band tight; at the cut edge the end must land in the shaded part beside the closure line. Glue the "
        "tab under it, or tape it. If it lands farther on, the lines on the tab tell how much larger the diameter is; "
        "if it runs over the closure line, the diameter is smaller: cut another band on that row.",
        "Hand tools only: never on an impact wrench. The manufacturer's manual decides.",
    ]


def use_steps(plan: Plan) -> list[str]:
    """How to tighten one fastener, step by step, with this job's numbers."""
    job, spec = plan.job, plan.job.spec
    steps = [
        "Read the manual: it says which order, which lubricant, and whether the fastener may be used again.",
        "Clean and oil threads and seats as the manual says, or leave them dry.",
        snug_step(spec),
        _slack_step(plan),
    ]
    several = len(spec.stages) > 1
    for number, stage in enumerate(spec.stages, 1):
        lead = f"Stage {number}: " if several else ""
        if number == 1 or job.witness == "fresh":
            again = "a fresh witness mark" if number > 1 else "the witness mark"
            steps.append(
                f"{lead}{'put' if lead else 'Put'} {again} on the part beside START, or lay the part ring with its "
                "zero at START, or stick the pointer on so that its hairline meets START."
            )
            lead = ""
        steps.append(_turn_step(plan, number, lead))
        assert stage is spec.stages[number - 1]
    steps += [
        "If the socket has to come off before the stop, put it back on the same corner.",
        "Look square on the mark, then fill in the record.",
        OVERSHOT,
    ]
    return steps


def snug_step(spec: TighteningSpec) -> str:
    """How to reach the snug torque."""
    if spec.hand_tight:
        return "Turn the fastener in until it is hand tight."
    if spec.snug is None:
        return "Tighten to the snug torque that the manual gives, with a torque wrench."
    return f"Tighten to the snug torque, {spec.snug.both}, with a torque wrench, {direction(spec)}."


def whole_turns(stage: Stage) -> str:
    """Whole turns in words, to stand before "until": a window round a whole turn is reached at once, but not meant."""
    low, high = stage.window or (stage.turn_deg, stage.turn_deg)
    if full_turns(high) > full_turns(low):
        return f"about {turns_in_words(full_turns(high))}, round "
    return f"{turns_in_words(full_turns(low))}, then on " if full_turns(low) else ""


def turn_step(plan: Plan | DiscJobPlan, number: int, lead: str, kept: str, at_line: str, in_window: str) -> str:
    """How to turn stage `number`: until, say, "the pointer stands at the line STOP" or "… in the window STOP".

    A stage that counts from snug does not begin at START: `kept` says what stays as it was set for the first one.
    """
    spec, aim_deg = plan.job.spec, plan.budgets[number - 1].aim_deg
    stage = spec.stages[number - 1]
    start, counted, since = "turn", "", ""
    whole = whole_turns(stage)
    if number > 1 and plan.job.witness == "first":
        start, counted, since = f"{kept} and turn on", "counted from snug, " if whole else "", " from snug"
    text = f"{start} in one smooth pull, {direction(spec)}: {counted}{whole}until "
    text = lead + (text if lead else text[0].upper() + text[1:])
    if stage.window is None:
        angle = f"{shown_degrees(stage.turn_deg)}{since}"
        return f"{text}{at_line} ({angle}). The manual's tolerance is missing: look it up."
    aim = f", at the aim line ({shown_degrees(aim_deg, 1)})" if aim_deg is not None else ""
    return f"{text}{in_window}, {stage.window.text}{since}{aim}."


def _slack_step(plan: Plan) -> str:
    play = plan.job.socket.play()
    text = f"Pull lightly {direction(plan.job.spec)}, to take up the slack between socket and fastener, and hold it."
    if play is None:
        return text
    return (
        f"{text} The slack is up to {shown_degrees(play.deg, 1)} each way here; left in, it costs up to "
        f"{shown_degrees(2 * play.deg, 1)}."
    )


def _turn_step(plan: Plan, number: int, lead: str) -> str:
    window = "the stop window" if len(plan.job.spec.stages) == 1 else f"the window STOP {number}"
    return turn_step(
        plan, number, lead, "keep the first witness mark",
        "the stop line stands at the witness mark", f"the witness mark stands in {window}",
    )  # fmt: skip


def error_lines(budgets: Sequence[Budget]) -> list[str]:
    """The reading error of each stage and where to aim."""
    lines = []
    for budget in budgets:
        name = f"Stage {budget.stage}: the" if len(budgets) > 1 else "The"
        error = f"{name} reading error is ±{shown_degrees(budget.expanded_deg, 1)} (U, k = 2)"
        zone = budget.aim_zone
        if zone is not None and budget.aim_deg is not None:
            low, high = shown_degrees(zone.low_deg, 1), shown_degrees(zone.high_deg, 1)
            lines.append(f"{error}, so aim at {shown_degrees(budget.aim_deg, 1)}, between {low} and {high}.")
        elif budget.window is not None:
            lines.append(f"{error}: too large to prove the window {budget.window.text}.")
        else:
            lines.append(f"{error}; without a tolerance there is no window to aim inside.")
    return lines


def reading_error(plan: Plan) -> list[str]:
    """The reading error of each stage and what it rests on."""
    lines = error_lines(plan.budgets)
    model, socket = plan.job.model, plan.job.socket
    od = (
        f"OD ±{trimmed(model.od_measured_mm, 3)} mm"
        if socket.od_source == "measured"
        else f"length round the socket ±{trimmed(model.od_around_mm, 3)} mm"
    )
    lines.append(
        f"It rests on working assumptions: {od}, stock ±{trimmed(model.stock_mm, 3)} mm, print scale "
        f"±{trimmed(model.print_scale_percent, 3)} %, witness mark ±{trimmed(model.witness_mm, 3)} mm, stop reading "
        f"±{trimmed(model.stop_mm, 3)} mm, sighting within {trimmed(model.view_angle_deg, 1)}° of square across a gap "
        f"of {trimmed(model.gap_mm, 2)} mm. Where yours differ, give your own."
    )
    return lines


def ring_captions(plan: Plan, ring: RingPlan) -> list[str]:
    """What stands below a part ring."""
    unit = plan.job.socket.unit
    way = "clockwise" if ring.clockwise else "counterclockwise"
    name = "Part ring" if ring.closed else "Sector of the part ring"
    slip = "slip it round the socket by its slit" if ring.closed else "lay it against the socket"
    bore = f"bore {shown_length(ring.bore_mm, unit)}"
    if ring.bores_mm:
        bore, slip = (
            "bores for several ODs (each number is the OD in mm that it fits)",
            f"cut the bore of the socket's OD, {slip}",
        )
    stops = "; ".join(" ".join(stage.label) for stage in ring.stages)
    return [
        f"{name}, {bore}. Cut out, {slip} and tape it to the part, print up. START travels over it {way}. {stops}.",
    ]
