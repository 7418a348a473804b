"""What a mat asks for."""

from ..fields import (
    DRIVE,
    ERRORS,
    PAGES,
    POINTS,
    SIDEWAYS_ERROR,
    SOCKET,
    SPEC,
    STOCK,
    STOP_ERROR,
    THREAD,
    TITLE,
    VIEW_ANGLE,
    WITNESS,
    WITNESS_ERROR,
    Field,
)
from . import Output
from .job import FASTENERS, NUMBERS, START

_SIZES = {field.name: field for field in NUMBERS}

OUTPUT = Output(
    "mat",
    "marking.readouts.mat",
    """Print a mat for SPEC, on which the socket itself is marked.

The socket stands on the mat, mouth down and drive end up, centred on the circle of its outside diameter, and START and
STOP are carried up its wall with a scribe or a paint pen. No diameter is needed: without one the mat has the circles
of all that sockets of the drive usually have.""",
    (
        SPEC,
        DRIVE,
        POINTS._replace(required=False, help="Corners of the opening: says where marks fall."),
        Field("od", "length", "Outside diameter at the mouth, where the socket stands.", group=SOCKET),
        _SIZES["around"],
        Field("od_range", "text", 'Circles for a range of ODs: "24 mm..32 mm".', usual="by drive", metavar="RANGE",
              group=SOCKET),
        _SIZES["opening"],
        _SIZES["unit"],
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
        Field(
            "unequal_scale", "percent", "Half-width for scales that differ across and along the page.",
            usual="0.2 %", group=ERRORS,
        ),
        Field("gap", "length", "Gap between mark and part, for parallax.", usual="1 mm", group=ERRORS),
        VIEW_ANGLE,
    ),
    (
        'mat "110 N·m + 90° +10/-0" --points 12 --drive 1/2 --opening "19 mm" --od "27.8 mm" -o mat.pdf',
        'mat "60 lb-ft, 1/4 turn ±5" --drive 1/2 --thread left --paper letter -o mat.svg',
    ),
    "asked",
)  # fmt: skip
