"""What a mat asks for."""

from ..fields import (
    AROUND,
    DRIVE,
    ERRORS,
    FASTENERS,
    GAP,
    OD,
    OD_RANGE,
    OPENING,
    PAGES,
    POINTS,
    SIDEWAYS_ERROR,
    SPEC,
    STOCK,
    STOP_ERROR,
    THREAD,
    TITLE,
    UNEQUAL_SCALE,
    UNIT,
    VIEW_ANGLE,
    WITNESS,
    WITNESS_ERROR,
    Field,
)
from . import Output
from .job import START

OUTPUT = Output(
    "mat",
    "marking.readouts.mat",
    """Print a mat for {@spec}, on which the socket itself is marked.

The socket stands on the mat, mouth down and drive end up, centred on the circle of its outside diameter, and START and
STOP are carried up its wall with a scribe or a paint pen. No diameter is needed: without one the mat has the circles
of all that sockets of the drive usually have.""",
    (
        SPEC,
        DRIVE,
        POINTS._replace(required=False, help="Corners of the opening: says where marks fall."),
        OD._replace(help="Outside diameter at the mouth, where the socket stands."),
        AROUND,
        OD_RANGE._replace(help='Circles for a range of ODs: "24 mm..32 mm".', usual="by drive"),
        OPENING,
        UNIT,
        THREAD,
        STOCK,
        START,
        WITNESS,
        *PAGES,
        FASTENERS._replace(help="Record rows."),
        TITLE._replace(help="Title of the sheet."),
        WITNESS_ERROR,
        STOP_ERROR,
        SIDEWAYS_ERROR,
        Field("centring_error", "length", "Half-width for centring the socket.", usual="0.25 mm", group=ERRORS),
        Field("pen_error", "length", "Half-width for each line on the wall.", usual="0.25 mm", group=ERRORS),
        UNEQUAL_SCALE,
        GAP._replace(help="Gap between mark and part, for parallax."),
        VIEW_ANGLE,
    ),
    (
        'mat "110 N·m + 90° +10/-0" --points 12 --drive 1/2 --opening "19 mm" --od "27.8 mm" -o mat.pdf',
        'mat "60 lb-ft, 1/4 turn ±5" --drive 1/2 --thread left --paper letter -o mat.svg',
    ),
    "asked",
)
