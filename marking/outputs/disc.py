"""What a drive disc asks for."""

from ..fields import (
    COPIES,
    DRIVE,
    ERRORS,
    PAGES,
    POINTS,
    SHEET,
    SPEC,
    STOP_ERROR,
    THREAD,
    TITLE,
    UNEQUAL_SCALE,
    VIEW_ANGLE,
    WITNESS,
    WITNESS_ERROR,
    Field,
)
from . import Output

OUTPUT = Output(
    "disc",
    "marking.readouts.drive_disc",
    """Print a drive disc for {@spec}, read by a fixed pointer.

The disc goes on the driver's square between wrench and socket and turns with them, so that no outside diameter is
needed.""",
    (
        SPEC,
        DRIVE,
        POINTS._replace(required=False, help="Corners of the opening: says where marks fall."),
        Field("diameter", "length", "Diameter of the disc.", usual="70 mm; more for large drives", group=SHEET),
        THREAD,
        WITNESS,
        COPIES._replace(default=1, help="Copies of the disc."),
        *PAGES,
        TITLE._replace(help="Title of the sheet."),
        WITNESS_ERROR._replace(help="Half-width for setting the pointer."),
        STOP_ERROR,
        VIEW_ANGLE,
        Field("disc_gap", "length", "Gap between disc and pointer, for parallax.", usual="3 mm", group=ERRORS),
        Field("sway_error", "length", "How far the steadied drive end sways, each way.", usual="0.5 mm", group=ERRORS),
        UNEQUAL_SCALE,
    ),
    (
        'disc "110 N·m + 90° +10/-0" --drive 1/2 -o disc.pdf',
        'disc "60 lb-ft, 1/4 turn ±5" --drive 1/2 --diameter "4 in" --thread left --paper letter -o disc.svg',
    ),
    "asked",
)
