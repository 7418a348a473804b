"""What a turn does to the fastener."""

from ...fields import FLATS, PAGES, SPEC, THREAD, TITLE, WITNESS, Field
from .. import Output

OUTPUT = Output(
    "stretch",
    __name__,
    """Show what SPEC does to the fastener: stretch, tension, scatter.

How far the thread advances, how much of that stretches the screw, the tension after snug and after the turn against
proof load and yield, and the comparison that is the point of the method: torque alone against torque, then turn.
Everything is elastic; beyond the proof load no tension is given.

These are teaching numbers, not tightening instructions: the manufacturer's manual decides.""",
    (
        SPEC,
        Field(
            "screw", "text", "Thread: M12x1.75, M12 (coarse), 1/2-13, 3/4-16 UNF.", required=True, metavar="THREAD"
        ),
        Field(
            "strength", "text", "8.8, 9.8, 10.9, 12.9 (metric); 5, 8 (unified).", required=True, metavar="CLASS",
            option="--class",
        ),
        Field("grip", "length", "Thickness of the parts between head and nut.", required=True),
        Field("shank", "length", "Unthreaded length within the grip.", usual="none"),
        Field("joint_modulus", "text", "Modulus of the parts: 70 GPa, 14 Mpsi.", usual="steel", metavar="MODULUS"),
        Field("friction", "text", "Limits in thread and under the head.", usual="0.10..0.16", metavar="LIMITS"),
        Field("thread_friction", "text", "Limits in the thread, where they differ.", metavar="LIMITS"),
        Field(
            "head_friction", "text", "Limits under the head or nut that turns, where they differ.", metavar="LIMITS"
        ),
        Field("bearing", "length", "Outside diameter of the face that turns.", usual="1.5 d"),
        Field("hole", "length", "Diameter of the hole below it.", usual="1.1 d"),
        FLATS,
        THREAD,
        WITNESS,
        *PAGES,
        TITLE._replace(help="Title of the sheet."),
    ),
    (
        'stretch "40 N·m + 45° ±3" --screw M12x1.75 --class 10.9 --grip "120 mm" --shank "80 mm"',
        'stretch "30 lbf·ft + 1/12 turn ±3" --screw 1/2-13 --class 8 --grip "4 in" -o chart.pdf',
    ),
    "asked",
)  # fmt: skip
