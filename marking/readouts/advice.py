"""What can prove a window that a band cannot."""

from __future__ import annotations

from ..remarks import Remark, Template
from . import READOUTS, Unproved

WHAT_CAN = Template("what-can", "what can: {ways:or}")
NOTHING_CAN = Template(
    "nothing-can",
    "no larger diameter and no other readout can either: the errors would have to be smaller, or the window wider",
)


def what_can(unproved: Unproved) -> Remark:
    """Say which readouts can prove a window, each with its figures, or that none can."""
    ways = [way for readout in READOUTS.values() if (way := readout.remedy(unproved))]
    return WHAT_CAN(ways=ways) if ways else NOTHING_CAN()
