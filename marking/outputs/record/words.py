"""The sentences of the record card."""

from __future__ import annotations

from ...remarks import Template

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


IN_THIS_ORDER = "Order of tightening"
MANUAL_FIRST = "The manual's order comes first."
MANUAL_REASON = (
    "Where there is one, write it into the column “manual's” and follow it: the order here is common practice."
)
PLAN = (
    "Plan, not to scale, seen from the drive end. Hold the card as the part lies; write in the box what is at its top."
)
ORDER = "Numbers are places, those of pointers too; the column “order” is the order of tightening, {rule}."
CROSSWISE, OUTWARD = "crosswise", "from the middle outward"
