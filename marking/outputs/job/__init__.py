"""Band and work card of one socket and spec."""

from typing import get_args

from ...fields import (
    AROUND,
    COPIES,
    DRIVE,
    ERRORS,
    GAP,
    MARGIN,
    OD,
    OD_RANGE,
    OPENING,
    PAPER,
    PATTERN,
    POINTS,
    PRINTER,
    ROWS,
    RULER,
    SHEET,
    SIDEWAYS_ERROR,
    SOCKET,
    SPEC,
    STOCK,
    STOP_ERROR,
    THREAD,
    TITLE,
    UNIT,
    VIEW_ANGLE,
    WITNESS,
    WITNESS_ERROR,
    Field,
)
from ...fields import FASTENERS as ALL_FASTENERS
from ...marks.places import Start
from ...readouts import extras
from .. import Output

FASTENERS = ALL_FASTENERS._replace(low=0, help="Pointers and record rows; 0 for neither, on label stock.")
START = Field("start", "choice", "Where START lies.", "corner", choices=get_args(Start), group=SOCKET)
RING = Field(
    "ring", "choice", "Print a part ring too: all the way round, or a sector for cramped places.", usual="none",
    choices=("full", "sector"), group=SHEET,
)  # fmt: skip

NUMBERS = (
    SPEC,
    POINTS,
    DRIVE,
    OD,
    AROUND,
    OD_RANGE,
    OPENING,
    UNIT,
    THREAD,
    STOCK,
    Field("height", "length", "Height of the band.", usual="by drive, 14 to 30 mm", group=SHEET),
    START,
    WITNESS,
    RING,
    PAPER._replace(help="a4, letter, a5, a3, legal, WIDTHxHEIGHT, or WIDTHxroll for tape and labels."),
    MARGIN,
    PRINTER,
    RULER,
)
"""What the numbers of a job need."""

SHEETS = (
    COPIES._replace(
        usual="2, or 1 where that saves a page; 1 of trim bands, and where stages have bands of their own",
        help="Copies of the band.",
    ),
    FASTENERS,
    Field("no_ruler", "flag", "Leave the check ruler off label stock.", group=SHEET),
    PATTERN._replace(
        default=None, usual="none", group=SHEET,
        help="A plan of the fasteners on the card, in tightening order: crosswise on a circle, from the middle outward "
        "in rows.",
    ),
    ROWS._replace(group=SHEET),
    Field("ring_width", "length", "Width of a part ring, and print one.", usual="12 mm", group=SHEET),
    Field("ring_bore", "length", "Bore of a part ring, and print one.", usual="OD + 1 mm", group=SHEET),
    TITLE,
    Field(
        "extras", "several", f"Print {' or '.join(extra.extra for extra in extras().values())} too.",
        choices=tuple(extras()), option="--with", group=SHEET,
    ),
)  # fmt: skip

READING = (
    Field(
        "closure_error",
        "length",
        "How far the band's end may lie from its closure line.",
        usual="what the OK bracket shows: 0.5 % of the band, 0.3 to 1 mm",
        group=ERRORS,
    ),
    Field("splice_error", "length", "Half-width for a splice.", usual="0.3 mm", group=ERRORS),
    Field("trim_error", "length", "Half-width for trimming along a row.", usual="0.25 mm", group=ERRORS),
    WITNESS_ERROR,
    STOP_ERROR,
    SIDEWAYS_ERROR,
    GAP,
    VIEW_ANGLE,
)

OUTPUT = Output(
    "job",
    __name__,
    """Print the band and the work card for {@spec}.

SPEC holds the manual's steps as it writes them: "110 N·m + 90° +10/-0", "20 N·m, 60 N·m, then 1/4 turn", "1. 30 N·m 2.
loosen 3. 20 N·m 4. 90° ±5", "snug tight, then 1/3 turn", "40 N·m + 90°, then to 180° in all", "40 N·m + 90°, then 60
N·m". Type Nm and deg if you have no · or °. An SVG of several pages goes to NAME-1.svg,
NAME-2.svg, …

Without --od and --around it prints trim bands: each serves a range of ODs and is cut along the row of the socket's
own.""",
    (*NUMBERS, *SHEETS, *READING),
    (
        'job "110 N·m + 90° +10/-0" --points 12 --drive 1/2 --opening "19 mm" --od "27.8 mm" -o bracket.pdf',
        'job "60 lb-ft, 1/4 turn ±5, 1/4 turn ±5" --points 6 --drive 1/2 --around "3-7/16 in" --thread left '
        "--paper letter -o hub.svg",
        'job "110 N·m + 90° +10/-0" --points 12 --drive 1/2 --od-range "24 mm..32 mm" -o trim.pdf',
    ),
)
