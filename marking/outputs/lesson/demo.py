"""The demo fastening and worked example of a lesson: invented, not for real equipment."""

from __future__ import annotations

from typing import NamedTuple

from ...fastening.elastic import Fastening
from ...fastening.spec import Stage
from ...fastening.strength import parse_strength
from ...fastening.thread import parse_thread

DEMO = "demo data, not for real equipment"

DEMO_THREAD = "M12x1.75"

DEMO_FRICTION = 0.12
"""Thread and friction coefficient (thread and head alike) that the handout's sums use. VDI 2230 Part 1 lists 0.08 to
0.16 for metal with common lubricants (from memory)."""


class Shares(NamedTuple):
    """How a torque is spent, as parts of 1: on the pitch (which makes the preload), thread friction, head friction."""

    pitch: float
    thread: float
    head: float

    @property
    def friction(self) -> float:
        """What friction takes in all."""
        return self.thread + self.head


def demo_fastening() -> Fastening:
    """Return the screw of the handout's sums; its class and grip do not enter them.

    Its face turns on a ring from d to 1.5 d, so that the mean diameter of the friction under the head is 1.25 d
    (Shigley, Mechanical Engineering Design, 9th ed., section 8-8).
    """
    thread = parse_thread(DEMO_THREAD)
    d = thread.diameter_mm
    return Fastening(thread, parse_strength("10.9", thread), 3 * d, bearing_mm=1.5 * d, hole_mm=d)


def torque_shares(fastening: Fastening, friction: float) -> Shares:
    """Return how the torque on a screw is spent when thread and head have the same coefficient of friction.

    Each of the three terms of `Fastening.torque_arm_mm` (ISO 16047, VDI 2230) over their sum. M12 × 1.75 with
    μ = 0.12 and a mean bearing diameter of 1.25 d: 0.144, 0.390, 0.466.
    """
    pitch = fastening.torque_arm_mm(0.0, 0.0)
    thread = fastening.torque_arm_mm(friction, 0.0) - pitch
    head = fastening.torque_arm_mm(0.0, friction) - pitch
    total = pitch + thread + head
    return Shares(pitch / total, thread / total, head / total)


def preload_gain(fastening: Fastening, more: float, less: float) -> float:
    """Return how many times the preload grows when friction falls from `more` to `less` at the same torque.

    M12 × 1.75 from 0.14 to 0.10, with a mean bearing diameter of 1.25 d: 1.33.
    """
    return fastening.torque_arm_mm(more, more) / fastening.torque_arm_mm(less, less)


EXAMPLE = Stage(90.0, 10.0, 0.0)
"""The turn of the figures that show the direction."""
