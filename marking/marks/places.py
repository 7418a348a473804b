"""Where corners, mid-flats and marks lie round a socket, in degrees and in words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Literal

from ..quantities.angles import SAME_DEG, position_deg

Start = Literal["corner", "flat"]
FeatureKind = Literal["corner", "mid-flat"]


def turns_in_words(turns: int) -> str:
    """Say a number of whole turns: "1 full turn", "2 full turns"."""
    return f"{turns} full turn{'' if turns == 1 else 's'}"


@dataclass(frozen=True)
class Feature:
    """A corner or a mid-flat of the opening: `index` from 1, `deg` from START.

    Mid-flat k lies between corner k and the next one.
    """

    kind: FeatureKind
    index: int
    deg: float


@cache
def features(points: int, start: Start = "corner") -> tuple[Feature, ...]:
    """Return the corners and mid-flats of a socket with `points` points, 2 · points of them, by rising angle.

    With `start` "corner" START lies on corner 1, corner k at (k−1)·360/N and mid-flats half way. With "flat" START
    lies on the mid-flat between the last corner and corner 1.
    """
    pitch = 360.0 / points
    shift = 0.0 if start == "corner" else 0.5
    kinds: tuple[tuple[FeatureKind, float], ...] = (("corner", -1.0), ("mid-flat", -0.5))
    found = (
        Feature(kind, k, position_deg((k + ahead + shift) * pitch))
        for k in range(1, points + 1)
        for kind, ahead in kinds
    )
    return tuple(sorted(found, key=lambda feature: feature.deg))


def where(deg: float, points: int, start: Start = "corner") -> str:
    """Say where an angle falls, in words to check against the socket's mouth.

    "on corner 4"; "mid-flat between corners 2 and 3"; "10° past corner 4 (a third of the way to corner 5)".
    Counting goes against the tightening direction, like the angle.
    """
    pitch = 360.0 / points
    steps = position_deg(deg) / pitch - (0.0 if start == "corner" else 0.5)
    steps %= points
    before = math.floor(steps + SAME_DEG)
    past_deg = max(0.0, (steps - before) * pitch)
    corner, following = before % points + 1, (before + 1) % points + 1
    if past_deg < 0.005:
        return f"on corner {corner}"
    if pitch - past_deg < 0.005:
        return f"on corner {following}"
    if abs(past_deg - pitch / 2) < 0.005:
        return f"mid-flat between corners {corner} and {following}"
    text = f"{past_deg:.2f}".rstrip("0").rstrip(".")
    return f"{text}° past corner {corner} ({_part_words(past_deg / pitch)} of the way to corner {following})"


_PART_WORDS = {
    Fraction(1, 2): "half", Fraction(1, 3): "a third", Fraction(2, 3): "two thirds", Fraction(1, 4): "a quarter",
    Fraction(3, 4): "three quarters", Fraction(1, 5): "a fifth", Fraction(2, 5): "two fifths",
    Fraction(3, 5): "three fifths", Fraction(4, 5): "four fifths", Fraction(1, 6): "a sixth",
    Fraction(5, 6): "five sixths",
}  # fmt: skip


def _part_words(part: float) -> str:
    nearest = min(_PART_WORDS, key=lambda fraction: abs(fraction - part))
    if abs(nearest - part) < 1e-6:
        return _PART_WORDS[nearest]
    if part < 1 / 12:
        return "just the beginning"
    if part > 11 / 12:
        return "nearly all"
    return f"about {_PART_WORDS[nearest]}"
