"""Blank bands for stock: START, corners and degrees; the turn is written in by hand."""

from ...fields import COPIES, DRIVE, OD_RANGE, PAGES, POINTS, STOCK, THREAD, TITLE, UNIT
from .. import Output

OUTPUT = Output(
    "blank",
    __name__,
    """Print blank bands for stock: the turn is written in by hand.

A blank band is a trim band with START, corners and degrees, and boxes for spec, thread, window and stage. It is cut
along the row of the socket's own OD; then the window of the manual's turn is marked on it with a pen.

Degrees count against the way the thread tightens, so there are two kinds: bands for right-hand threads count to the
right of START, bands for left-hand threads to the left, and those say LEFT-HAND. Never use one for the other. An SVG of
several pages goes to NAME-1.svg, NAME-2.svg, …""",
    (
        POINTS,
        DRIVE,
        THREAD,
        OD_RANGE._replace(help='ODs to print bands for: "24 mm..32 mm".', usual="the drive's usual ODs"),
        UNIT._replace(help="Unit of the rows.", usual="that of {@od_range}, or mm"),
        COPIES._replace(default=1, help="Copies of each band."),
        TITLE,
        STOCK,
        *PAGES,
    ),
    (
        "blank --points 12 --drive 1/2 -o blank.pdf",
        'blank --points 6 --drive 3/8 --od-range "16 mm..24 mm" --thread left -o blank-left.pdf',
    ),
)
