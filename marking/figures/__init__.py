"""What several readouts draw alike."""

from ..quantities.angles import arc_mm

TICK_STEPS = (1, 2, 5, 10, 15, 30)
LABEL_STEPS = (10, 15, 30, 45, 60, 90)
LEAST_TICK_PITCH_MM = 0.75


def tick_step_deg(length_mm: float) -> int:
    """Return the degrees from tick to tick of a scale whose whole turn is `length_mm` long."""
    return next((step for step in TICK_STEPS if arc_mm(length_mm, step) >= LEAST_TICK_PITCH_MM), TICK_STEPS[-1])


def label_step_deg(length_mm: float, room_mm: float, tick_deg: int = 1) -> int:
    """Return the degrees from number to number, each of which takes `room_mm` and stands at a tick."""
    steps = [step for step in LABEL_STEPS if step % tick_deg == 0]
    return next((step for step in steps if arc_mm(length_mm, step) >= room_mm), steps[-1])
