"""The tightening spec, and the grammar that reads it from the text of a manual.

    spec      = [snug joiner] turn-stage {joiner turn-stage}
    snug      = torque | "hand tight"
    joiner    = "+" | "then" | "and" | ","
    stage     = number angle-unit [tolerance]
    angle-unit = "°" | "deg" | "degrees" | "turn" | "turns" | "flat" | "flats"
    tolerance = "±" amount | "+" amount ["/"] "-" amount | "-" amount ["/"] "+" amount
    amount    = number [angle-unit]

A "+" may join two stages or begin a tolerance, a comma may join stages or be a decimal comma, and a hyphen may begin a
minus tolerance or join a fraction to a whole number. All readings are tried; a text with two different readings is
refused. Before one digit, or digits that begin with 0, a comma is a decimal comma: no manual has turns of 5° or 05°.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal, NamedTuple, get_args

from ..errors import RangeError, shown
from ..quantities.shown import plain_number, shown_degrees, trimmed
from ..quantities.torque import Torque

Thread = Literal["right", "left"]

MAX_STAGES = 6

MAX_TURN_DEG = 3600.0

MAX_TORQUE_NM = 100_000.0
"""Limits of our own choosing: far above any real spec, near enough to catch a slip of the keyboard."""


class Window(NamedTuple):
    """The allowed turn, `low_deg..high_deg`, in degrees of tightening."""

    low_deg: float
    high_deg: float

    @property
    def text(self) -> str:
        """The window as printed: "90–100°"."""
        return f"{trimmed(self.low_deg, 2)}–{shown_degrees(self.high_deg)}"


@dataclass(frozen=True)
class Stage:
    """One turn: `turn_deg` degrees in the tightening direction and its tolerance, None when the manual gives none.

    Raises RangeError for a turn outside 0 .. 3600°, a window whose low end is not above 0, or one of 360° or more.
    """

    turn_deg: float
    plus_deg: float | None = None
    minus_deg: float | None = None

    def __post_init__(self) -> None:
        if not 0 < self.turn_deg <= MAX_TURN_DEG:
            raise RangeError(
                f"the turn is {shown_degrees(self.turn_deg)}",
                f"more than 0° and at most {MAX_TURN_DEG:.0f}°",
                "check the turn",
                self.turn_deg,
            )
        if (self.plus_deg is None) != (self.minus_deg is None):
            raise RangeError("the turn has half a tolerance", "both plus and minus", "write +10/-0")
        if self.plus_deg is None or self.minus_deg is None:
            return
        if not (0 <= self.plus_deg < math.inf and 0 <= self.minus_deg < math.inf):
            raise RangeError("the tolerance is negative or endless", "plus and minus of 0 or more", "write +10/-0")
        if self.minus_deg >= self.turn_deg:
            raise RangeError(
                f"the window of {shown_degrees(self.turn_deg)} begins at "
                f"{shown_degrees(self.turn_deg - self.minus_deg)}",
                "a window that begins above 0°",
                "check the minus tolerance",
                self.minus_deg,
            )
        if self.plus_deg + self.minus_deg >= 360:
            raise RangeError(
                f"the window is {shown_degrees(self.plus_deg + self.minus_deg)} wide",
                "less than 360°",
                "check the tolerance",
                self.plus_deg + self.minus_deg,
            )

    @property
    def window(self) -> Window | None:
        """The allowed turn, or None without a tolerance. A tolerance of +0/-0 is a window of no width."""
        if self.plus_deg is None or self.minus_deg is None:
            return None
        return Window(self.turn_deg - self.minus_deg, self.turn_deg + self.plus_deg)

    @property
    def text(self) -> str:
        """The stage as text that reads back to the same stage: "90° +10/-0"."""
        turn = f"{plain_number(self.turn_deg)}°"
        if self.plus_deg is None or self.minus_deg is None:
            return turn
        if self.plus_deg == self.minus_deg:
            return f"{turn} ±{plain_number(self.plus_deg)}"
        return f"{turn} +{plain_number(self.plus_deg)}/-{plain_number(self.minus_deg)}"

    @property
    def printed(self) -> str:
        """The stage as printed on paper, rounded for reading: "90° +10/−0"."""
        turn = shown_degrees(self.turn_deg)
        if self.plus_deg is None or self.minus_deg is None:
            return turn
        plus, minus = (trimmed(value, 2) for value in (self.plus_deg, self.minus_deg))
        return f"{turn} ±{plus}" if plus == minus else f"{turn} +{plus}/−{minus}"


@dataclass(frozen=True)
class TighteningSpec:
    """Snug torque (or hand tight, or neither stated), then one or more turns, for a right- or left-hand thread."""

    stages: tuple[Stage, ...]
    snug: Torque | None = None
    hand_tight: bool = False
    thread: Thread = "right"

    def __post_init__(self) -> None:
        if not 1 <= len(self.stages) <= MAX_STAGES:
            raise RangeError(f"the spec has {len(self.stages)} turns", f"1 to {MAX_STAGES}", "split the job")
        if self.thread not in get_args(Thread):
            raise RangeError(f"the thread is {shown(self.thread)}", "right or left", value=self.thread, field="thread")
        if self.snug and not 0 < self.snug.nm <= MAX_TORQUE_NM:
            raise RangeError(
                f"the snug torque is {self.snug.text}",
                f"more than 0 and at most {MAX_TORQUE_NM:.0f} N·m",
                'check the torque, or write "hand tight"',
                self.snug.value,
            )

    @property
    def text(self) -> str:
        """The spec as text that reads back to the same spec: "110 N·m + 90° +10/-0"."""
        return " + ".join([*self._snug_text(), *(stage.text for stage in self.stages)])

    @property
    def printed(self) -> str:
        """The spec as printed on paper: "110 N·m + 90° +10/−0"."""
        return " + ".join([*self._snug_text(), *(stage.printed for stage in self.stages)])

    def _snug_text(self) -> list[str]:
        if self.hand_tight:
            return ["hand tight"]
        return [self.snug.text] if self.snug else []

    @property
    def clockwise(self) -> bool:
        """True when tightening turns clockwise, seen from the drive end: right-hand threads."""
        return self.thread == "right"


COMMA = re.compile("([0-9]+),([1-9][0-9])(?![0-9])")

FIRST_PART = re.compile("[0-9]+(?=-|,[1-9][0-9](?![0-9]))")
"""What a hyphen or a comma may part from the rest of a number."""


class Amount(NamedTuple):
    """An amount of a tolerance: its degrees, the name of its unit, and the position behind it."""

    deg: float
    unit: str
    end: int


def unit_of(text: str) -> str:
    """Return which unit of angle a word is: degree, turn or flat."""
    word = text.lower().rsplit(" ", 1)[-1].rsplit("\u00a0", 1)[-1]
    return "turn" if word.startswith("turn") else "flat" if word.startswith("flat") else "°"
