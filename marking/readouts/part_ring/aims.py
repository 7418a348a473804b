"""What a part ring proves: its own reading error and aims, which are not those of the band."""

from __future__ import annotations

from dataclasses import replace

from ...marks.reading_error import Budget, ErrorModel
from .error import ring_budget
from .layout import RingLayout


def with_own_aims(
    ring: RingLayout, bore_mm: float, od_mm: float, model: ErrorModel
) -> tuple[RingLayout, Budget | None]:
    """Return a ring with its own aims and reading error, and the budget of a window that it reads too coarsely for.

    `bore_mm` and `od_mm` are those at which it reads worst.
    """
    budgets = [
        ring_budget(marks.numbers[0], marks.stage.turn_deg, marks.stage.window, bore_mm, od_mm, model)
        for marks in ring.stages
    ]
    stages = tuple(
        marks._replace(aim_deg=budget.aim_deg if budget.verdict == "aim" else None)
        for marks, budget in zip(ring.stages, budgets, strict=True)
    )
    coarse = next((budget for budget in budgets if budget.verdict not in ("aim", "no tolerance")), None)
    return replace(ring, stages=stages, error_deg=max(budget.expanded_deg for budget in budgets)), coarse
