"""What a set says beside its pieces: how they are fitted and read, on its own pages and on cards for the bags."""

from __future__ import annotations

from collections.abc import Collection

from ...sheets.words import BY_WITNESS_MARK, CAME_OFF, ONCE, PAST, PREPARE, SHORT_OF_LINE, SHORT_OF_WINDOW
from ..job.words import GLUE_PIECES, TAPE_IT

HOW_TO, CAUTIONS_HEAD = "How to use the pieces", "Cautions"

CUT = "Measure both check rulers of the page, then cut along the dashed lines. Keep the pieces of a socket in its bag."

FIT = {
    "band": "Band: clean the socket and dry it. The edge with the scale goes to the fastener, flush with the socket's "
    "mouth, START near a corner of the opening; the angle counts from START itself, wherever it stands. Wrap it tight: "
    "its cut end must land inside the OK bracket; glue the tab under it. If it lands elsewhere, it is not for this "
    "socket: read the scale there and print again with that length.",
    "trim band": "Trim band: measure the socket's OD where the band will sit, take the band whose rows hold it and cut "
    "along its row: the cut edge goes to the fastener and is the reading edge. At it the end must land inside the OK "
    "bracket.",
    "ring": "Part ring: it lies on the part round the socket, ZERO at START while you hold; at the end START stands "
    "where the ring says that it ends.",
    "disc": "Disc: glue it on flat card, cut out disc and square hole, slip it on the driver's square, print towards "
    "the wrench, and tape it to the socket. Its witness mark is the tip of a stiff wire, fixed to what does not turn.",
    "mat": "Mat: stand the socket on it, mouth down and drive end up, centred on its circle; carry START and STOP up "
    "the wall with a scribe or a paint pen.",
}
"""How each kind of piece is made ready."""

POINTERS = "Pointers: stick one on the part at each fastener, its hairline's upper end at START while you hold."

SNUG = (
    "Do the torques that the piece states, else the manual's, in their order with a torque wrench: clockwise, seen "
    "from the drive end, but with pieces marked LEFT-HAND counterclockwise. Then change to a bar."
)
HOLD = "Pull lightly the same way, to take up the slack, and hold it; the fastener must not move. {mark}"
TURN = (
    "Turn in one smooth pull the same way until the witness mark stands in the hatched window STOP, best at its aim "
    "line, or at the line STOP. A piece that counts from snug keeps its first witness mark for all stages."
)


def steps(kinds: Collection[str], pieces: bool, pointers: bool) -> list[str]:
    """Return how to use a set's pieces, of these kinds; some of them in `pieces`, or with `pointers`."""
    fit = [text for kind, text in FIT.items() if kind in kinds]
    taped = [TAPE_IT] if {"band", "trim band"} & set(kinds) else []
    return [
        CUT,
        *fit,
        *([GLUE_PIECES] if pieces else []),
        *taped,
        *([POINTERS] if pointers else []),
        PREPARE,
        SNUG,
        HOLD.format(mark=BY_WITNESS_MARK.mark),
        TURN,
        BY_WITNESS_MARK.read,
        f"{SHORT_OF_WINDOW} {SHORT_OF_LINE} {PAST} {ONCE}",
        CAME_OFF,
    ]
