"""The sentences of the record card."""

from __future__ import annotations

from ...fastening.spec import TighteningSpec
from ...marks.stage_marks import Witness, marked_anew
from ...remarks import Template
from ...sheets.words import led, snug_step, turn_end, whole_turns

NO_SNUG = Template("no-snug", "the spec has no snug torque: write the manual's on the card")
NO_TOLERANCE = Template(
    "no-tolerance", "the turn of {turn:deg} has no tolerance: write the manual's window on the card"
)
NO_STAGE_TOLERANCE = Template(
    "no-tolerance", "stage {stage}, {turn:deg}, has no tolerance: write the manual's window on the card"
)


def steps(spec: TighteningSpec, witness: Witness, fasteners: int) -> list[str]:
    """How to work with the card, step by step."""
    found = [
        "Read the manual: order, stages, number of passes, lubricant, and whether the fasteners may be used again.",
        "Hold the card as the part lies, and write in the box what is at its top.",
        snug_step(spec),
    ]
    if fasteners > 1:
        found.insert(2, "Finish each stage on all fasteners, in this order, before the next stage begins.")
        found[-1] += f" Do so on all fasteners, 1 to {fasteners}."
    each = "each fastener in turn" if fasteners > 1 else "the fastener"
    found += [_stage_step(spec, witness, number, each) for number in range(1, len(spec.stages) + 1)]
    found.append("Write down each fastener at once. Overshot: stop, write it down, and do what the manual says.")
    return found


def _stage_step(spec: TighteningSpec, witness: Witness, number: int, each: str) -> str:
    stage, anew = spec.stages[number - 1], marked_anew(witness, number)
    begin = f"put {'a fresh' if number > 1 else 'the'} witness mark beside START, then turn in one smooth pull"
    if not anew:
        begin = "keep the first witness mark and turn on in one smooth pull"
    end = turn_end(
        stage, anew, "the stop line stands at the witness mark", "the witness mark stands in the stop window",
        missing="look it up and write its window on the card",
    )  # fmt: skip
    lead = f"Stage {number}: " if len(spec.stages) > 1 else ""
    return led(lead, f"at {each} {begin}: {whole_turns(stage, anew)}until {end}")
