"""What the JSON and the terminal reports of several outputs share."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import groupby
from typing import Any, TypeVar

from .fastening.socket import Socket
from .fastening.spec import NEW_MARK, HandTightStep, LoosenStep, Step, TighteningSpec, TorqueStep, TurnStep
from .marks.reading_error import COVERAGE_FACTOR, Budget
from .marks.stage_marks import Mark
from .quantities.shown import shown_degrees, trimmed
from .remarks import Remark

COLUMNS = 80

Staged = TypeVar("Staged", Budget, Mark)


def spec_data(spec: TighteningSpec) -> dict[str, Any]:
    """Return a spec as JSON-ready data; degrees and N·m, unrounded."""
    stages = [
        {
            "turn_deg": stage.turn_deg,
            "low_deg": stage.window.low_deg if stage.window else None,
            "high_deg": stage.window.high_deg if stage.window else None,
            "total_from_snug_deg": total,
        }
        for stage, total in zip(spec.stages, spec.totals_from_snug_deg, strict=True)
    ]
    return {
        "text": spec.text,
        "read_as": spec.read_as,
        "thread": spec.thread,
        "counted_from": spec.counted_from,
        "snug_torque_nm": spec.snug.nm if spec.snug else None,
        "hand_tight": spec.hand_tight,
        "steps": [_step_data(step) for step in spec.steps],
        "stages": stages,
    }


def socket_data(socket: Socket) -> dict[str, Any]:
    """Return a socket as JSON-ready data; mm, inches and degrees, unrounded."""
    play = socket.play()
    return {
        "points": socket.points,
        "drive_in": socket.drive.size_in,
        "opening_mm": socket.opening.mm if socket.opening else None,
        "od_mm": socket.od_mm,
        "od_source": socket.od_source,
        "play_deg": play.deg if play else None,
    }


def _step_data(step: Step) -> dict[str, Any]:
    match step:
        case TorqueStep():
            return {"kind": "torque", "torque_nm": step.nm, "low_nm": step.low_nm, "high_nm": step.high_nm}
        case LoosenStep():
            return {"kind": "loosen", "deg": step.deg}
        case HandTightStep():
            return {"kind": "hand tight", "words": step.words}
        case TurnStep():
            return {"kind": "turn", "stage": step.number}


def mark_data(mark: Mark, mm: float | None, place: str | None) -> dict[str, Any]:
    """Return a mark as JSON-ready data: `mm` along band or edge from START, as its readout counts, `place` in words."""
    return mark._asdict() | {"mm": mm, "where": place}


def budget_data(budget: Budget, readout: str) -> dict[str, Any]:
    """Return the budget of a readout, "band", "ring", "disc" or "mat", as JSON-ready data."""
    zone = budget.aim_zone
    return {
        "readout": readout,
        "stage": budget.stage,
        "contributions": [
            {
                "name": c.name,
                "half_width": c.half_width,
                "unit": c.unit,
                "sensitivity": c.sensitivity,
                "u_deg": c.u_deg,
            }
            for c in budget.contributions
        ],
        "u_deg": budget.u_deg,
        "U_deg": budget.expanded_deg,
        "expanded_deg": budget.expanded_deg,
        "k": COVERAGE_FACTOR,
        "verdict": budget.verdict,
        "aim_low_deg": zone.low_deg if zone else None,
        "aim_high_deg": zone.high_deg if zone else None,
        "aim_deg": budget.aim_deg,
    }


def pair(name: str, text: str) -> list[str]:
    """Return a name and what it has, wrapped beside it."""
    return textwrap.wrap(text, COLUMNS, initial_indent=f"{name:<13}", subsequent_indent=" " * 13)


def spec_lines(spec: TighteningSpec) -> list[str]:
    """Return a spec as it was read and typed, and how its turns count."""
    counts = "each from a mark of its own" if spec.counted_from == NEW_MARK else "in all from the snug torque"
    totals = (f"stage {n} {shown_degrees(deg)}" for n, deg in enumerate(spec.totals_from_snug_deg, 1))
    typed = pair("as typed", spec.typed) if spec.typed else []
    several = len(spec.stages) > 1
    return [
        *pair("spec", spec.read_as), *typed,
        *(pair("turns count", f"{counts}; from snug in all: {', '.join(totals)}") if several else []),
    ]  # fmt: skip


def by_stages(things: Iterable[Staged]) -> Iterator[tuple[str, list[Staged]]]:
    """Yield the things of every stage behind its number; stages that follow each other with the same ones as "1–3"."""
    blocks: list[tuple[list[int], list[Staged]]] = []
    for stage, own in groupby(things, key=lambda thing: thing.stage or 0):
        bare = [thing._replace(stage=0) for thing in own]
        if blocks and blocks[-1][1] == bare:
            blocks[-1][0].append(stage)
        else:
            blocks.append(([stage], bare))
    for numbers, same in blocks:
        yield "–".join(map(str, dict.fromkeys((numbers[0], numbers[-1])))), same


def aim_lines(readout: str, budgets: Sequence[Budget], remedies: Sequence[Remark | None], several: bool) -> list[str]:
    """Return where to aim with a readout, "the band", or why nowhere and what can prove it, a stage or several a line.

    `remedies` are one a budget, or none at all; `several` tells whether the spec has more stages than one.
    """
    ways = {budget.stage: remedy for budget, remedy in zip(budgets, remedies, strict=False)}
    lines = []
    for stage, (budget,) in by_stages(budgets):
        can = ways.get(int(stage.partition("–")[0]))
        text = f"{_stages(stage, ': ') if several else ''}{_aim(budget, readout)}{f'; {can}' if can else ''}"
        lines += textwrap.wrap(text, COLUMNS, subsequent_indent="  ", break_on_hyphens=False)
    return lines


def _stages(numbers: str, behind: str = "") -> str:
    return f"stage{'s' if '–' in numbers else ''} {numbers}{behind}"


def _aim(budget: Budget, readout: str) -> str:
    """Where to aim by a budget, "aim at 95°, between 92.5° and 97.5°, with the band", or why nowhere."""
    zone = budget.aim_zone
    if zone is not None and budget.aim_deg is not None:
        low, high = shown_degrees(zone.low_deg, 1), shown_degrees(zone.high_deg, 1)
        return f"aim at {shown_degrees(budget.aim_deg, 1)}, between {low} and {high}, with {readout}"
    if budget.window is None:
        return f"no aim with {readout}: the manual gives no tolerance"
    if budget.verdict == "unproved":
        return f"no aim with {readout}: it cannot prove the window {budget.window.text}"
    return f"no aim with {readout}: what it leaves of the window {budget.window.text} is too narrow to hit"


def budget_lines(readout: str, budgets: Sequence[Budget], several: bool) -> list[str]:
    """Return the contributions of a readout's budgets as tables, equal ones of several stages once."""
    lines = []
    for stage, (budget,) in by_stages(budgets):
        name = f"reading error, {readout}{f', {_stages(stage)}' if several else ''}"
        lines += [
            "",
            *([name] if len(name) > 34 else []),
            f"{name if len(name) <= 34 else '':<34}{'half-width':>12}{'deg per unit':>15}{'u':>9}",
            *(
                f"{c.name:<34}{trimmed(c.half_width, 4) + ' ' + c.unit:>12}{trimmed(c.sensitivity, 3):>15}"
                f"{shown_degrees(c.u_deg):>9}"
                for c in budget.contributions
            ),
            f"{'expanded, U (k = 2)':<34}{'':>27}{shown_degrees(budget.expanded_deg):>9}",
        ]
    return lines


def mark_lines(
    marks: Sequence[Mark], where: Callable[[Mark], str | None], along: tuple[str, Callable[[Mark], str]] | None = None
) -> list[str]:
    """Return a line or more a mark: its turn, its place in a column `along` something, and in words on the socket.

    Marks that stages have in common stand once.
    """
    title = f" {along[0]:>15}" if along else ""
    lines = [f"{'mark':<11} {'stage':>5} {'turn':>8}{title}  on the socket"]
    for stage, own in by_stages(marks):
        for mark in own:
            head = f"{mark.kind:<11} {'' if stage == '0' else stage:>5} {shown_degrees(mark.turn_deg, 1):>8}"
            head += (f" {along[1](mark):>15}" if along else "") + "  "
            first, *rest = textwrap.wrap(where(mark) or "–", COLUMNS - len(head))
            lines += [head + first, *(" " * len(head) + line for line in rest)]
    return lines
