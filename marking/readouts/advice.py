"""What can prove a window, and hit it, where a band cannot."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from ..marks.reading_error import LEAST_AIM_DEG, Budget
from ..remarks import Remark, Template
from . import READOUTS, Unproved

WHAT_CAN = Template("what-can", "what can: {ways:or}")
NOTHING_CAN = Template(
    "nothing-can",
    "nothing here leaves enough of it to hit, no larger socket usual on the drive and no other readout: the errors "
    "would have to be smaller, or the window wider",
)
NO_OTHER_CAN = Template("nothing-can", "no other readout here leaves enough of it to hit")
PROOF_ALONE = Template("proof-alone", "{nothing}; {ways:or} proves it, though what that leaves is too narrow to hit")


def left_without_aim(
    budgets: Sequence[Budget], remedies: Sequence[Remark | None], unproved: Template, narrow: Template
) -> Iterator[Remark]:
    """Yield what a readout says of each window that it leaves no aim in; `remedies` are one a budget."""
    for budget, can in zip(budgets, remedies, strict=True):
        if budget.window is not None and can is not None:
            yield (unproved if budget.verdict == "unproved" else narrow)(
                window=budget.window.text, error=budget.expanded_deg, least=LEAST_AIM_DEG, can=can
            )


def what_can(unproved: Unproved, besides: Collection[str] = ()) -> Remark:
    """Say which readouts leave an aim in a window, each with its figures, or that none does and which can prove it.

    `besides` are kinds of readout that are spoken of already. A band comes last: it takes another socket.
    """
    kinds = sorted((kind for kind in READOUTS if kind not in besides), key=lambda kind: kind == "band")
    ways = [way for kind in kinds if (way := READOUTS[kind].remedy(unproved))]
    if ways:
        return WHAT_CAN(ways=ways)
    nothing = NO_OTHER_CAN() if besides else NOTHING_CAN()
    proofs = [way for kind in kinds if (way := READOUTS[kind].proof(unproved))]
    return PROOF_ALONE(nothing=nothing, ways=proofs) if proofs else nothing
