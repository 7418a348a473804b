"""What a turn does to the fastener."""

from ...fields import FLATS, PAGES, SPEC, THREAD, TITLE, WITNESS, Field
from .. import Output

BAND, RING, DISC, MAT = READOUTS = ("band", "ring", "disc", "mat")
"""What the turn may be read from."""

BOLT, JOINT, FRICTION, SCATTER = "Bolt or screw", "Joint", "Friction", "Scatter"
"""Headings of fields."""

OUTPUT = Output(
    "stretch",
    __name__,
    """Show what {@spec} does to the bolt or screw: stretch, tension, scatter.

How far the thread advances, how much of that stretches the bolt and how much squeezes the parts, the tension after snug
and after the turn, and the comparison that is the point of the method: torque alone against torque, then turn. Beyond
yield there are bounds of the tension, and of the stretch that the bolt keeps.

These are teaching numbers, not tightening instructions: the manufacturer's manual decides.""",
    (
        SPEC,
        Field(
            "screw", "text", "Thread of the bolt or screw: M12x1.75, M12 (coarse), 1/2-13, 3/4-16 UNF.", required=True,
            metavar="THREAD", group=BOLT,
        ),
        Field(
            "strength", "text", "4.6 to 12.9, A2-70, A4-80 … (metric); 2, 5, 8 (unified).", required=True,
            metavar="CLASS", option="--class", group=BOLT,
        ),
        Field(
            "grip", "length", "Thickness of the parts that the bolt clamps, without washers.", required=True,
            group=JOINT,
        ),
        Field(
            "shank", "length", "Unthreaded length between the faces, of the thread's diameter.", usual="none",
            group=BOLT,
        ),
        Field(
            "waist", "text", 'Lengths of other diameters between the faces: "40 mm x 9 mm", several with +.',
            usual="none", metavar="SECTIONS", group=BOLT,
        ),
        Field("head", "choice", "Head of the bolt.", "hexagon", choices=("hexagon", "socket"), group=BOLT),
        Field(
            "joint", "choice", "What holds it: a nut, a tapped hole, or a stud with a nut.", "nut",
            choices=("nut", "tapped", "stud"), group=JOINT,
        ),
        Field(
            "washers", "text", 'Steel washers: "2.5 mm" for one, "2 x 2.5 mm" for two.', usual="none",
            metavar="WASHERS", group=JOINT,
        ),
        Field(
            "joint_modulus", "text", "Modulus of the parts: 70 GPa, 14 Mpsi.", usual="steel", metavar="MODULUS",
            group=JOINT,
        ),
        Field("bearing", "length", "Outside diameter of the face that turns.", usual="1.5 d", group=JOINT),
        Field("hole", "length", "Diameter of the hole below it.", usual="1.1 d", group=JOINT),
        Field("seams", "count", "Faces between the parts, without washers.", 1, low=0, high=20, group=JOINT),
        Field(
            "settling", "length", "How far everything settles at most.", usual="by VDI 2230, smooth steel",
            group=JOINT,
        ),
        Field(
            "friction", "text", "Limits in thread and under the head.", usual="0.10..0.16", metavar="LIMITS",
            group=FRICTION,
        ),
        Field("thread_friction", "text", "Limits in the thread, where they differ.", metavar="LIMITS", group=FRICTION),
        Field(
            "head_friction", "text", "Limits under the head or nut that turns, where they differ.", metavar="LIMITS",
            group=FRICTION,
        ),
        Field(
            "wrench", "percent", "Largest error of the torque wrench.", usual="4 %; up to 10 N·m 6 %", group=SCATTER
        ),
        Field("readout", "choice", "What the turn is read from.", BAND, choices=READOUTS, group=SCATTER),
        Field(
            "socket_od", "length", "Outside diameter of the socket that is read.", usual="2.25 d", option="--od",
            group=SCATTER,
        ),
        Field(
            "reading_error", "angle", "Instead: the reading error U as the readout's sheet prints it.", group=SCATTER
        ),
        FLATS,
        THREAD,
        WITNESS,
        *PAGES,
        TITLE._replace(help="Title of the sheet."),
    ),
    (
        'stretch "20 N·m + 60° ±3" --screw M12x1.75 --class 10.9 --grip "120 mm" --shank "80 mm"',
        'stretch "50 N·m + 90° ±5" --screw M10 --class 8.8 --grip "60 mm" --joint tapped -o chart.pdf',
        'stretch "30 lbf·ft + 1/12 turn ±3" --screw 1/2-13 --class 8 --grip "4 in" -o chart.pdf',
    ),
    "asked",
)  # fmt: skip
