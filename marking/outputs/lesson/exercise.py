"""A teaching set as numbers: a worked example, exercises drawn from a seed, and every answer worked out by the library.

Exercises are invented: the screws, openings and pitches are standard ones, but torques, turns, tolerances and lengths
are demo data that go with no real equipment.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import NamedTuple, TypeVar

from ...fastening.socket import Socket, parse_socket
from ...fastening.spec import Stage, TighteningSpec
from ...fastening.spec_grammar import parse_spec
from ...fastening.thread import Thread, parse_thread
from ...quantities.parse import Length, parse_length
from ...quantities.torque import Torque


class Exercise(NamedTuple):
    """What one worksheet gives: a spec of one stage with a tolerance, a socket, a thread, and readings to judge.

    `around` is the length at which a strip of the band's own stock just closes round the socket; `slack_deg` how far
    the fastener turns freely in the opening, each way. `overshoot_deg` is a reading past the window,
    `slack_reading_deg` one taken with a witness mark that was made before the slack was taken up.
    """

    number: int
    spec: TighteningSpec
    socket: Socket
    around: Length
    thread: Thread
    readings_deg: tuple[float, ...]
    overshoot_deg: float
    slack_deg: float
    slack_reading_deg: float

    @property
    def stage(self) -> Stage:
        """The one stage."""
        return self.spec.stages[0]

    @property
    def limits_deg(self) -> tuple[float, float]:
        """The window's low and high edge."""
        window = self.stage.window
        assert window is not None, "exercises are drawn with a tolerance"
        return window.low_deg, window.high_deg

    @property
    def snug(self) -> Torque:
        """The snug torque."""
        assert self.spec.snug is not None, "exercises are drawn with a snug torque"
        return self.spec.snug


class _Joint(NamedTuple):
    """A screw with the socket that fits it; the length round the socket and the snug torques are demo data."""

    thread: str
    opening: str
    drive: str
    around: str
    snug: tuple[str, ...]


_JOINTS = (
    _Joint("M8x1.25", "13 mm", "3/8", "58.2 mm", ("12 N·m", "15 N·m")),
    _Joint("M10x1.5", "16 mm", "1/2", "73.6 mm", ("25 N·m", "30 N·m")),
    _Joint("M10x1.25", "16 mm", "1/2", "74.3 mm", ("28 N·m", "32 N·m")),
    _Joint("M12x1.75", "18 mm", "1/2", "80.4 mm", ("45 N·m", "50 N·m")),
    _Joint("M12x1.5", "18 mm", "1/2", "81.7 mm", ("48 N·m", "55 N·m")),
    _Joint("M14x2", "21 mm", "1/2", "92.5 mm", ("70 N·m", "80 N·m")),
    _Joint("M16x2", "24 mm", "3/4", "112.8 mm", ("110 N·m", "120 N·m")),
    _Joint("M16x1.5", "24 mm", "3/4", "110.6 mm", ("115 N·m", "125 N·m")),
    _Joint("M20x2.5", "30 mm", "3/4", "135.4 mm", ("200 N·m", "220 N·m")),
    _Joint("3/8-16", "9/16 in", "3/8", "2-1/2 in", ("18 lbf·ft", "20 lbf·ft")),
    _Joint("1/2-13", "3/4 in", "1/2", "3-3/8 in", ("40 lbf·ft", "45 lbf·ft")),
    _Joint("1/2-20", "3/4 in", "1/2", "3-7/16 in", ("42 lbf·ft", "48 lbf·ft")),
    _Joint("5/8-11", "15/16 in", "3/4", "4-1/4 in", ("80 lbf·ft", "90 lbf·ft")),
    _Joint("3/4-10", "1-1/8 in", "3/4", "5 in", ("130 lbf·ft", "150 lbf·ft")),
)
_JOINTS_IN = {
    "both": _JOINTS,
    "metric": tuple(joint for joint in _JOINTS if joint.thread.startswith("M")),
    "inch": tuple(joint for joint in _JOINTS if not joint.thread.startswith("M")),
}
"""Screws and openings of ISO 272 and ASME B18.2.1 with common drives; four sizes come with a fine thread too."""

_TURNS = (60, 75, 90, 90, 105, 120, 135, 150, 180, 240)

_TOLERANCES = ((10, 0), (15, 0), (8, 0), (5, 5), (10, 5), (0, 10), (8, 8))

LEFT_HAND_EVERY = 3
"""Turns, tolerances (plus, minus) and how often a thread is left-hand: our choice, of the kind that manuals give."""

_SHEETS_A_SEED = 100

Chosen = TypeVar("Chosen")


class _Draw:
    """Chance that stays the same: only `random.Random(int).random()` is used, whose sequence Python guarantees to keep.

    (Python library reference, module random, "Notes on Reproducibility"; choice and shuffle may change.)
    """

    def __init__(self, seed: int, number: int) -> None:
        self._random = random.Random(seed * _SHEETS_A_SEED + number).random

    def whole(self, low: int, high: int) -> int:
        """Return a whole number from `low` to `high`, both included."""
        return low + int(self._random() * (high - low + 1))

    def one_of(self, choices: Sequence[Chosen]) -> Chosen:
        return choices[self.whole(0, len(choices) - 1)]

    def mixed(self, items: Sequence[Chosen]) -> list[Chosen]:
        """Return the items in another order."""
        return [item for _, item in sorted(((self._random(), item) for item in items), key=lambda pair: pair[0])]


def draw_exercise(seed: int, number: int, units: str = "both", threads: str = "both") -> Exercise:
    """Return the exercise of worksheet `number` (from 1): the same for the same seed, however many trainees there are.

    `units` is "metric", "inch" or "both", `threads` "right", "left" or "both". Screws are dealt round the class, so
    that neighbours have different ones, and of both threads every third is left-hand. The
    readings are the window's two edges, one inside, one below and one above, one of the five left out.
    """
    deal, draw = _Draw(seed, 0), _Draw(seed, number)
    dealt = deal.mixed(_JOINTS_IN[units])
    joint = dealt[number % len(dealt)]
    third = (number + deal.whole(1, LEFT_HAND_EVERY)) % LEFT_HAND_EVERY == 0
    hand = threads if threads != "both" else "left" if third else "right"
    turn, (plus, minus) = draw.one_of(_TURNS), draw.one_of(_TOLERANCES)
    spec = parse_spec(f"{draw.one_of(joint.snug)} + {turn}° +{plus}/-{minus}", hand)
    socket = parse_socket(draw.one_of((6, 12)), joint.drive, around=joint.around, opening=joint.opening)
    play = socket.play()
    assert play is not None, f"the tables lack the opening {joint.opening}"
    low, high = turn - minus, turn + plus
    readings = [low, high, draw.whole(low + 1, high - 1), low - draw.whole(1, 9), high + draw.whole(1, 9)]
    return Exercise(
        number=number,
        spec=spec,
        socket=socket,
        around=parse_length(joint.around),
        thread=parse_thread(joint.thread),
        readings_deg=tuple(map(float, draw.mixed(readings)[:4])),
        overshoot_deg=float(high + draw.whole(3, 20)),
        slack_deg=round(play.deg, 1),  # the worksheet gives it to 0.1°, and the answer starts from what it gives
        slack_reading_deg=float(draw.whole(low, high)),
    )
