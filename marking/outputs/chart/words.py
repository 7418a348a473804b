"""The sentences of the wall chart."""

from __future__ import annotations


def direction_words(clockwise: bool) -> tuple[str, str]:
    """Return the chart's statement of direction: a line in the largest type, and what it means."""
    turns, counted = ("clockwise", "counterclockwise") if clockwise else ("counterclockwise", "clockwise")
    hand = "RIGHT-HAND" if clockwise else "LEFT-HAND"
    mirrored = "" if clockwise else "Everything here is mirrored, for left-hand threads only. "
    return f"{hand} thread: turn {turns}", (
        f"{mirrored}Seen from above (drive end) the socket turns {turns}; corners and turns are counted {counted} from "
        "START. So the mark at 90° arrives at the witness mark, where START stood, after 90° of tightening. Looking "
        "into the opening, everything is the other way round."
    )


def about(points: str, clockwise: bool) -> str:
    """What the chart is of, below its title."""
    return f"wall chart · {points} · {'right' if clockwise else 'left'}-hand thread"


def steps(clockwise: bool) -> tuple[str, ...]:
    """Return the method in short."""
    way = "clockwise" if clockwise else "counterclockwise (left-hand thread)"
    return (
        "Snug: tighten to the snug torque that the manual gives, with a torque wrench.",
        f"Slack: pull lightly {way}, seen from the drive end, and hold it: the slack between socket and fastener is "
        "taken up.",
        "Mark: put the witness mark on the part beside START.",
        "Turn: one smooth pull, until the mark of the turn stands at the witness mark.",
        "Check: look square on the mark. Overshot: stop and do what the manual says. Never turn back and guess.",
    )


PLACES = "The corner where the turn ends, counted from START on corner 1"

PRACTICE = (
    "Common practice: on 12 points three notches are 90°. On 6 points 90° is past the next corner (60°) to the middle "
    "of the flat behind it (30° more). On 8 points two corners are 90°, on 4 points one."
)
"""Facts of the trade (common practice, no published source)."""
