"""The sentences of the practice pages."""

from __future__ import annotations

from ...fastening.spec import Window
from ...quantities.shown import shown_length
from ...remarks import Template
from .demo import DEMO
from .exercise import Exercise

TOO_SMALL = Template(
    "practice-left-out", "the paper is too small for the practice pages, so they are left out: choose a larger {@paper}"
)

STAYS = "Cut along the heavy line: what is below it stays whole."

LOOSE = (
    f"For practice only: {DEMO}. A hexagon screw in a block of hardwood, turned by hand or with a short bar, never "
    "with an impact wrench, and nothing to a torque. Wear eye protection."
)

HEADING, TABLE = "Practise it", "Should be, and got"

TITLES = ("what", "should be", "got", "off by")

READ_CARD = "The card lies still on the part, with ZERO at the witness mark. Read where START stands on it."


LOOSENED = ("", " (of a right-hand thread it comes out, which will do)")
"""What is said behind the screw of a right-hand and of a left-hand sheet."""


def card_words(number: int) -> str:
    """What the protractor card is."""
    return f"protractor card · sheet {number}"


def mat_words(number: int, ods: str) -> tuple[str, ...]:
    """What stands below the mat's circles."""
    return (f"Practice mat · sheet {number} · OD {ods}",)


def band_lines(number: int, points: int, ods: str) -> tuple[str, ...]:
    """What stands on the band, the longest line first."""
    return (
        f"practice band · sheet {number} · {points}-point · OD {ods} · {DEMO}",
        f"practice band · sheet {number} · {points}-point · OD {ods}",
        f"practice · sheet {number} · OD {ods}",
        f"practice · sheet {number}",
    )


def needs(exercise: Exercise, ods: str) -> str:
    """What the trainee takes along."""
    socket, left = exercise.socket, not exercise.spec.clockwise
    return (
        f"Take a {socket.points}-point socket with an outside diameter of {ods}, a screw that fits it"
        f"{LOOSENED[left]}, a pen, tape, scissors and a steel rule or callipers."
    )


def practice_steps(exercise: Exercise) -> tuple[str, ...]:
    """What the trainee does, in order."""
    way = "clockwise" if exercise.spec.clockwise else "counterclockwise"
    return (
        "Measure both rulers. Cut out band, mat and card, and the bore of the card.",
        "Measure the socket's outside diameter (OD), and round it with a strip of paper. Cut the band along its OD's "
        "row.",
        f"The spec is {exercise.spec.read_as}. Write it and its window on the band. Mark both edges with a pen, hatch "
        "between them, write STOP.",
        "Stand the socket centred on the mat, mouth down. Carry START and both edges up its wall.",
        "Wrap the band round, START on START, and tape it. Are the other marks alike?",
        "Put a witness mark beside START. Tape the card to the part, round the socket, ZERO at that mark.",
        f"Without looking at a mark turn {way} by eye, as far as the spec says. Read the card.",
        "Turn back past ZERO, then up to it: that takes up the slack. Turn with the band. Do it three times.",
    )


ROWS = (
    ("round the socket (should be 3.1416 × OD)", ""),
    ("START to low edge (round × low ÷ 360)", ""),
    ("START to high edge (round × high ÷ 360)", ""),
    ("marks on the wall, off those of the band", "0"),
    ("on the card, turned by eye", ""),
    ("on the card, with the band: first", ""),
    ("second", ""),
    ("third", ""),
)
"""What is measured, and what it should be where that is the same for all."""


def practice_answer(window: Window, around_mm: float, unit: str) -> str:
    """What the key says of the practice page."""
    low, high = (shown_length(around_mm * deg / 360.0, unit) for deg in (window.low_deg, window.high_deg))
    low_share, high_share = (f"{deg / 360.0:.4f}" for deg in (window.low_deg, window.high_deg))
    return (
        f"on the card START ends within {window.text}. From START along the band: low edge {low_share}, high edge "
        f"{high_share} of the length round; of {shown_length(around_mm, unit)} that is {low} and {high}."
    )
