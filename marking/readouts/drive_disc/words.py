"""The sentences that go with a drive disc."""

from __future__ import annotations

from collections.abc import Sequence

from ...fastening.socket import Drive
from ...fastening.spec import TighteningSpec
from ...marks.reading_error import Budget, DiscErrorModel, ErrorModel
from ...quantities.shown import shown_degrees, trimmed
from ...remarks import Remark, Template
from ...sheets.procedure import procedure
from ...sheets.words import RESTS_ON, YOUR_OWN, Turning, error_lines
from .error import disc_play_mm, disc_slip_deg

DISC_A_STAGE = Template("disc-a-stage", "the windows of the stages do not fit on one disc: one disc a stage is printed")
UNPROVED = Template(
    "unproved",
    "this disc cannot prove the window {window}: its reading error is ±{error:deg1}, so no aim is printed; {can}",
)
NARROW = Template(
    "narrow",
    "what this disc leaves of the window {window} is too narrow to hit: its reading error is ±{error:deg1}, and less "
    "than {least:deg} are left, so no aim is printed; {can}",
)
NO_DISC_CAN = Template("no-disc-can", "no larger disc leaves enough of it to hit; smaller errors might")
TOO_LARGE_A_DISC = Template("too-large-a-disc", "it would take one of {size:length}, too large to print")
LARGER_DISC = Template("larger-disc", "a disc of at least {size:length} could")


def making_steps(drive: Drive, disc: DiscErrorModel) -> list[str]:
    """How to make the disc and put it on; a share of the 100 mm of a ruler is as many mm."""
    return [
        f"Measure both check rulers: both alike within {trimmed(disc.unequal_scale_percent, 2)} mm, or do not use it.",
        "Glue the paper on flat card about 1 mm thick and let it dry under a weight.",
        "Cut out the disc along the dashed circle, and the square hole with a knife on its lines: the hole centres "
        "the disc.",
        f"Slip the disc on the {drive.inch} in driver's square, print towards the wrench, and put the square in "
        "the socket. The disc sits between wrench and socket and turns with them.",
        "Tape it to the socket, so that it cannot move: loose, it turns on the square by up to "
        f"{shown_degrees(disc_slip_deg(drive), 1)} each way.",
        "For the pointer bend a stiff wire, or take a magnet arm. Fix it to something that does not turn.",
    ]


BY_POINTER = Turning(
    mark="Steady the drive end with one hand and set the pointer's tip at START while you hold: at the disc's edge, at "
    "most {gap} mm above it. Nothing may move it from here on; the wrench's handle must clear it.",
    fresh="Steady the drive end with one hand and set the pointer's tip at START anew in the same way.",
    kept="leave the pointer as it is",
    at_line="the pointer stands at the line “{name}”",
    in_window="the pointer stands in the window “{name}”",
    read="Read while you still pull lightly, the drive end steadied again, looking square down on the pointer's tip: "
    "if let go, the socket falls back. The middle of a line counts.",
    void="The pointer's place no longer counts.",
)


def use_steps(spec: TighteningSpec, budgets: Sequence[Budget], gap_mm: float) -> list[str]:
    """How to tighten one fastener, step by step."""
    turning = BY_POINTER._replace(mark=BY_POINTER.mark.format(gap=trimmed(gap_mm, 1)))
    return procedure(spec, 1, turning, budgets, recorded=False)


def reading_error(
    budgets: Sequence[Budget], remedies: Sequence[Remark | None], model: ErrorModel, disc: DiscErrorModel, drive: Drive
) -> list[str]:
    """Where to aim, the reading error of each stage, and what it rests on."""
    return [
        *error_lines({"disc": (budgets, remedies)}),
        f"{RESTS_ON} at most {trimmed(disc.gap_mm, 2)} mm between pointer and disc, setting the pointer "
        f"±{trimmed(model.witness_mm, 3)} mm, stop reading ±{trimmed(model.stop_mm, 3)} mm, looking within "
        f"{trimmed(model.view_angle_deg, 1)}° of square, play on the square ±{trimmed(disc_play_mm(drive), 3)} mm, the "
        f"steadied drive end ±{trimmed(disc.sway_mm, 2)} mm, both rulers alike within "
        f"{trimmed(disc.unequal_scale_percent, 2)} mm. {YOUR_OWN}",
    ]
