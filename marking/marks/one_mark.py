"""Stages that count from one mark: they stay together, and their windows have to lie apart."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence

from ..errors import LayoutError
from ..fastening.spec import Stage, TighteningSpec
from ..quantities.angles import SAME_DEG
from ..quantities.shown import shown_degrees
from .stage_marks import StageMarks, stage_arc


def apart_deg(one: Stage, other: Stage) -> float:
    """Return the lesser arc between the marks of two stages; not above 0 where they touch or lie over each other."""
    (begin, span), (next_begin, next_span) = stage_arc(one), stage_arc(other)
    return min((next_begin - begin) % 360.0 - span, (begin - next_begin) % 360.0 - next_span)


def check_apart(spec: TighteningSpec) -> None:
    """Refuse windows that lie over each other though one mark counts for both: nothing could show which is which.

    Windows whole turns apart lie over each other too. Raises LayoutError.
    """
    together: list[int] = []
    for number, stage in enumerate(spec.stages, 1):
        together = [] if spec.marked_anew(number) else together
        for earlier in together:
            other = spec.stages[earlier - 1]
            if apart_deg(other, stage) <= SAME_DEG:
                raise LayoutError(
                    f"stages {earlier} and {number} count from one mark, and their marks at {_shown(other)} and "
                    f"{_shown(stage)} touch or lie over each other on the socket",
                    "marks apart from each other",
                    f"no other diameter and no other readout parts them: {one_turn(spec)}",
                    number, "spec",
                )  # fmt: skip
        together.append(number)


def one_turn(spec: TighteningSpec) -> str:
    """What is left to do where the stages of one mark find no place beside each other."""
    return (
        f"where the manual allows one turn to {shown_degrees(spec.stages[-1].turn_deg)} from snug, give that turn "
        "alone; turns from new marks are not the same, so ask the manual's maker for those"
    )


def _shown(stage: Stage) -> str:
    return stage.window.text if stage.window else shown_degrees(stage.turn_deg)


def check_start_is_kept(
    spec: TighteningSpec, held: Iterable[Sequence[StageMarks]], pieces: tuple[str, str], advice: str
) -> None:
    """Refuse a change of bands or discs between stages that count from one mark: it would lose START's place.

    `held` are the stages of each piece, `pieces` what one and several of them are called ("band", "bands"). Raises
    LayoutError.
    """
    on = {number: k for k, stages in enumerate(held) for marks in stages for number in marks.numbers}
    for before, number in itertools.pairwise(range(1, len(spec.stages) + 1)):
        if not spec.marked_anew(number) and on[number] != on[before]:
            piece, several = pieces
            raise LayoutError(
                f"stages {before} and {number} count from one mark, but their windows do not fit on one {piece}: "
                f"changing {several} between them would lose START",
                f"all stages that count from snug on one {piece}", advice, number, "spec",
            )  # fmt: skip
