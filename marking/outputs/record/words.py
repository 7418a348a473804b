"""The sentences of the record card."""

from __future__ import annotations

from ...fastening.spec import TighteningSpec
from ...remarks import Template
from ...sheets.words import VOID_MARK, led, steps_of, turn_end, whole_turns

NO_SNUG = Template("no-snug", "the spec has no snug torque: write the manual's on the card")
NO_TOLERANCE = Template(
    "no-tolerance",
    "the turn of {turn:deg} has no tolerance: ask the manual's maker for one where it matters, and write its window on "
    "the card",
)
NO_STAGE_TOLERANCE = Template(
    "no-tolerance",
    "stage {stage}, {turn:deg}, has no tolerance: ask the manual's maker for one where it matters, and write its "
    "window on the card",
)


def steps(spec: TighteningSpec, fasteners: int) -> list[str]:
    """How to work with the card, step by step."""
    several = fasteners > 1
    each = "each fastener in turn" if several else "the fastener"
    order = ["Finish each stage on all fasteners, in this order, before the next stage begins."] if several else []
    then = f" Do so on all fasteners, 1 to {fasteners}." if several else ""
    return [
        "Read the manual: order, stages, number of passes, lubricant, and whether the fasteners may be used again.",
        "Hold the card as the part lies, and write in the box what is at its top.",
        *order,
        *steps_of(spec, lambda number: [_stage_step(spec, number, each)], VOID_MARK, then=then),
        "Write down each fastener at once. Overshot: stop, write it down, and do what the manual says.",
    ]


def _stage_step(spec: TighteningSpec, number: int, each: str) -> str:
    stage, anew = spec.stages[number - 1], spec.marked_anew(number)
    begin = f"put {'a fresh' if number > 1 else 'the'} witness mark beside START, then turn in one smooth pull"
    if not anew:
        begin = "keep the same witness mark and turn on in one smooth pull"
    end = turn_end(
        stage, anew, "the stop line stands at the witness mark", "the witness mark stands in the stop window",
        then=", and write its window on the card",
    )  # fmt: skip
    lead = f"Stage {number}: " if len(spec.stages) > 1 else ""
    return led(lead, f"at {each} {begin}: {whole_turns(stage, anew)}until {end}")
