"""The sentences that go with blank bands."""

from __future__ import annotations

from ...quantities.shown import shown_degrees
from ...remarks import Template
from .request import BlankRequest

LEFT_OUT = Template("ods-left-out", "ODs of {ranges:list} do not fit the paper: choose a larger {@paper} for those")
TOO_SLIM = Template("ods-too-slim", "ODs of {ranges:list} are too slim for a blank band: use a drive disc for those")

BOXES = ("spec", "thread", "STOP window", "stage, in all")
"""What is written in by hand: `in all` is the turn since the snug torque."""

RIGHT_HAND = "right-hand"

SOCKET_TURNS = ("socket turns", "turns", "")
"""Words behind the arrow, the longest first."""

FASTENER_NOTES = ("cut edge at the fastener", "fastener")
"""Which edge is at the fastener, the longest first."""


def thread_words(clockwise: bool) -> str:
    """For which threads a band is."""
    return f"for {'right' if clockwise else 'left'}-hand threads only"


def band_words(clockwise: bool) -> str:
    """What a band is, to stand on it."""
    return f"blank band, {thread_words(clockwise)}"


def socket_words(request: BlankRequest, ods: str) -> str:
    """For which sockets a band is."""
    return f"{request.points}-point · {request.drive.inch} in drive · OD {ods}"


def band_lines(request: BlankRequest, ods: str) -> tuple[str, ...]:
    """What a band is and for which sockets, the longest line first, the last one for the slimmest bands."""
    socket = socket_words(request, ods)
    return (
        f"{band_words(request.clockwise)} · {socket}",
        f"blank band · {socket}",
        socket,
        f"{request.points}-pt · {request.drive.inch} in · OD {ods}",
        f"blank band · OD {ods}",
        f"OD {ods}",
    )


def window_steps(clockwise: bool, points: int) -> list[str]:
    """How the window of a turn is marked on a band that was cut to its row."""
    side, other, way = ("right", "left", "clockwise") if clockwise else ("left", "right", "counterclockwise")
    return [
        f"This band is for {side}-hand threads only, which tighten {way}, seen from the drive end: its degrees count "
        f"to the {side} of START. For {other}-hand threads take the other kind of band.",
        "Take spec and window from the manual. Write spec, thread, window and stage in the boxes, in ink, and behind "
        "“in all” the turn since the snug torque. Where the boxes must be cut off, write spec and window on the rest.",
        f"Mark the low and the high edge of the window with a pen at these degrees, to the {side} of START: thin lines "
        "from the cut edge up, slanted like the printed lines beside them. Dotted lines stand every 10°, corners (▼) "
        f"every {shown_degrees(360.0 / points)} with a thin line half way between two. Degrees near 360° lie on the "
        f"other side, to the {other} of START. Keep 5 mm from the joint.",
        "Hatch between the two edges and write STOP beside them. Without a tolerance mark one line: stop at it, not "
        "short of it.",
        "A turn of 360° or more: mark what is over the full turns, write the full turns in the window's box, and count "
        "them.",
        "Two stages: number them, STOP 1 and STOP 2, on one band where they do not touch. A second band is only for a "
        "stage that counts from a new mark: changing bands loses START.",
        "Let somebody else check the marks against the manual.",
        "The command “explain” with this spec and the socket's OD tells the reading error; what the pen is off adds to "
        "it, so aim at the middle of the window. “record” prints the steps of tightening.",
    ]
