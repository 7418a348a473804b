"""Words that several round gauges carry."""

from __future__ import annotations

from collections.abc import Sequence

from ..marks.stage_marks import StageMarks
from ..quantities.shown import shown_degrees


def counted(stages: Sequence[StageMarks]) -> str:
    """How all the stages count: "new mark each stage · stage 2: 180°, stage 3: 270° from snug in all"; "" for one."""
    how = {"new mark": "new mark each stage", "from snug": "each stage from snug"}.get(stages[0].counted, "")
    totals = sorted(
        (number, total)
        for marks in stages
        for number, total in zip(marks.numbers, marks.totals_deg, strict=bool(how))
        if total != marks.stage.turn_deg
    )
    in_all = ", ".join(f"stage {number}: {shown_degrees(total)}" for number, total in totals)
    return f"{how} · {in_all} from snug in all" if how and in_all else how
