"""What a set says beside its pieces: how they are fitted and read, on its own pages and on cards for the bags."""

from __future__ import annotations

from collections.abc import Collection
from functools import partial

from ...marks.reading_error import DiscErrorModel, ErrorModel
from ...quantities.shown import trimmed
from ...readouts.mat.words import ITS_EDGE
from ...remarks import Template
from ...sheets.procedure import joined
from ...sheets.words import BY_WITNESS_MARK, CAME_OFF, FRESH_RING, ONCE, PAST, PREPARE, SHORT_OF_LINE, SHORT_OF_WINDOW
from ..job.words import BANDS_EDGE, GLUE_PIECES, NEAR, OFF_POINTER, OR_POINTER, TAPE_IT

UNSAID = Template(
    "unsaid",
    "the band has no room for what follows, and on such stock nothing stands beside it: write it on its bag, or choose "
    "larger stock: “{words:list}”",
)

HOW_TO, CAUTIONS_HEAD = "How to use the pieces", "Cautions"

CUT = "Measure both check rulers of the page, then cut along the dashed lines. Keep the pieces of a socket in its bag."
ALIKE = (
    "Rings, discs and mats are good only where both rulers are alike within "
    f"{trimmed(DiscErrorModel.unequal_scale_percent, 2)} mm."
)
"""Their scales run both ways across the page, those of bands only along it."""

BANDS = {"band", "trim band"}

FIT = {
    "band": "Band: clean the socket and dry it. The edge with the scale goes to the fastener, flush with the socket's "
    "mouth, START near a corner of the opening; the angle counts from START itself, wherever it stands. Wrap it tight: "
    "its cut end must land inside the OK bracket; glue the tab under it. If it lands elsewhere, it is not for this "
    "socket: read the scale there and print again with that length.",
    "trim band": "Trim band: measure the socket's OD where the band will sit, take the band whose rows hold it and cut "
    "along the OD's row: the cut edge goes to the fastener and is the reading edge. At it the end must land inside the "
    "OK bracket.",
    "ring": "Part ring: cut it out with its bore and slip it round the socket, print up; leave it loose. Taped to the "
    "part once the torques are done, it stands still, and START travels over it: that of a band on the socket, or a "
    "thin line up its wall.",
    "disc": "Disc: glue it on flat card, cut out disc and square hole, slip it on the driver's square, print towards "
    "the wrench, and tape it to the socket. Its witness mark is the tip of a stiff wire, fixed to what does not turn: "
    f"at the disc's edge, at most {trimmed(DiscErrorModel.gap_mm, 2)} mm above it. Steady the drive end by hand while "
    "you set it and while you read.",
    "mat": "Mat: stand the socket on it, mouth down and drive end up, centred on its circle; carry START and STOP up "
    "the wall with a scribe or a paint pen.",
}
"""How each kind of piece is made ready."""

SNUG = (
    "Do the torques that the piece states, else the manual's, in their order with a torque wrench: {way}. Then change "
    "to a bar."
)
RIGHT, LEFT = "clockwise, seen from the drive end", "counterclockwise, seen from the drive end"
BOTH = f"{RIGHT}, but with pieces marked LEFT-HAND counterclockwise"
HOLD = "Pull lightly the same way, to take up the slack, and hold it; the fastener must not move. {mark}"
ZERO_AT_START = "Tape on the part ring, ZERO at START, while you hold."
OR_RING = "Or, with a part ring, tape it on, ZERO at START."
TURN = (
    "Turn in one smooth pull the same way until the witness mark stands in the hatched window STOP, best at its aim "
    "line, or at the line STOP."
)
TURN_BY_RING = (
    "Turn in one smooth pull the same way until START stands in the bracket of the ring, best at its aim line, or at "
    "its stop line."
)
OR_BY_RING = "With a part ring: until START stands in its bracket, or at its stop line."
FULL_TURNS = (
    "Where a piece says full turns, count them: its window or line is met before they are done too, and that is not "
    "the stop."
)
READ_RING = (
    "Read while you still pull lightly, looking straight down on START: if let go, the socket falls back. The middle "
    "of a line counts."
)
SHORT_OF_BRACKET = "Short of the bracket: turn on, do not begin anew."
BY_STAGE = (
    "Pieces of one id that name a stage each are used in turn: before a stage take off the one before it and fit its "
    "own in the same way."
)
ANEW = "Before every further stage that counts from a new mark pull lightly again, and hold. {fresh}"
FROM_SNUG = "Stages that count from snug keep the first mark: leave it, and turn on."


def steps(kinds: Collection[str], asked: Collection[str]) -> list[str]:
    """Return how to use a set's pieces, of these kinds.

    `asked` names what else some of them ask for: "glued" for bands in pieces, "by_stage" for pieces used in turn,
    "pointers", "full_turns", "right" and "left" for threads, and "anew" and "from_snug" for how later stages count.
    """
    ring, others = "ring" in kinds, bool(set(kinds) - {"ring"})
    by_mark = BY_WITNESS_MARK
    bands, pointers, gap = BANDS & set(kinds), "pointers" in asked, trimmed(ErrorModel.gap_mm, 2)
    edges = [*([BANDS_EDGE] if bands else []), *([f"{ITS_EDGE} edge"] if "mat" in kinds else [])]
    mark = joined(
        by_mark.mark,
        *([NEAR.format(gap=gap, edges=" or ".join(edges))] if edges else []),
        *([OR_POINTER] if pointers else []),
    )
    fresh = joined(by_mark.fresh, *([OFF_POINTER] if pointers else []))
    either = partial(_either, ring, others)
    return [
        joined(CUT, *([ALIKE] if set(kinds) - BANDS else [])),
        *(text for kind, text in FIT.items() if kind in kinds),
        *([GLUE_PIECES] if "glued" in asked else []),
        *([TAPE_IT] if bands else []),
        PREPARE,
        SNUG.format(way=BOTH if {"left", "right"} <= set(asked) else LEFT if "left" in asked else RIGHT),
        HOLD.format(mark=either(mark, ZERO_AT_START, OR_RING)),
        joined(either(TURN, TURN_BY_RING, OR_BY_RING), *([FULL_TURNS] if "full_turns" in asked else [])),
        either(by_mark.read, READ_RING),
        f"{either(SHORT_OF_WINDOW, SHORT_OF_BRACKET)} {SHORT_OF_LINE} {PAST} {ONCE}",
        *([BY_STAGE] if "by_stage" in asked else []),
        *([ANEW.format(fresh=either(fresh, FRESH_RING, FRESH_RING))] if "anew" in asked else []),
        *([FROM_SNUG] if "from_snug" in asked else []),
        CAME_OFF,
    ]


def _either(ring: bool, others: bool, by_mark: str, by_ring: str, with_ring: str = "") -> str:
    """A sentence for pieces read with the witness mark, for part rings alone, or for both."""
    return " ".join([by_mark, with_ring]).strip() if ring and others else by_ring if ring else by_mark
