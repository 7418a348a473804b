"""The sentences that go with a mat."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from ...fastening.socket import Play
from ...fastening.spec import TighteningSpec
from ...marks.places import Start
from ...marks.reading_error import Budget, ErrorModel
from ...marks.stage_marks import Mark, StageMarks
from ...quantities.shown import trimmed
from ...remarks import Remark, Template
from ...sheets.procedure import joined, procedure
from ...sheets.words import BY_WITNESS_MARK, RESTS_ON, YOUR_OWN, error_lines, led, mark_name
from .error import MatErrorModel

STAND_HERE = "Mat: stand the socket here, mouth down, centred on its circle."
CIRCLES = {"mm": "circles: outside diameter (OD) in mm", "in": "circles: outside diameter (OD) in inches"}

UNPROVED = Template(
    "unproved",
    "marks from this mat cannot prove the window {window}: their reading error is ±{error:deg1}, so no aim is printed; "
    "{can}",
)
NARROW = Template(
    "narrow",
    "what marks from this mat leave of the window {window} is too narrow to hit: their reading error is ±{error:deg1}, "
    "and less than {least:deg} are left, so no aim is printed; {can}",
)
UNPROVED_BELOW = Template(
    "unproved",
    "below an OD of {od:length} marks from the mat leave no aim in the window {window}: the mat carries no aim line",
)
AIM_FROM = Template(
    "unproved",
    "with marks from this mat aim at {aim:deg1} from an OD of {od:length} on (no aim line is drawn: smaller sockets "
    "have no aim in the window {window})",
)
UNPROVED_ANYWHERE = Template(
    "unproved", "on no socket do marks from the mat leave an aim in the window {window}: the mat carries no aim line"
)


def caption(clockwise: bool, corners: bool) -> str:
    """What stands below a mat."""
    side = "right" if clockwise else "left"
    return joined(
        f"{led('', _seen(clockwise))}; on the wall, drive end up, to the {side}. The middle of a line counts.",
        *([CORNERS_INSIDE] if corners else []),
    )


def short_caption(clockwise: bool, corners: bool) -> str:
    """What stands with a mat whose steps tell the rest."""
    return joined(f"On the mat, seen from above, {_counted(clockwise)}.", *([CORNERS_INSIDE] if corners else []))


CORNERS_INSIDE = "Numbers inside the scale: corners of the opening."


def _seen(clockwise: bool) -> str:
    return f"seen from above, facing the drive end, {_counted(clockwise)}"


def _counted(clockwise: bool) -> str:
    return f"degrees count {'counterclockwise' if clockwise else 'clockwise'} from START"


def marking_steps(
    clockwise: bool, stages: Sequence[StageMarks], known: bool, ods: str, start: Start, mat: MatErrorModel
) -> list[str]:
    """How to mark the socket on the mat, after `RULERS`; `ods` is its OD in words, or the range of them."""
    side = "right" if clockwise else "left"
    circle = (
        f"its heavy circle ({ods}): seen straight from above, the same width of paper to the fine circles must show "
        "all round"
        if known
        else "the circle of its own OD, at the mouth: seen straight from above, the same width of paper to the nearest "
        "circle must show all round"
    )
    windows = any(stage.stage.window for stage in stages)
    rays = ", ".join(f"{'both edges' if stage.stage.window else 'the line'} of {stage.name}" for stage in stages)
    names = ", ".join(stage.name for stage in stages)
    hatch = " and hatch the wall between the two lines of a window" if windows else ""
    place = "a corner of the opening" if start == "corner" else "the middle between two corners of the opening"
    return [
        "Clean and dry the socket; wipe off all old marks, or take another.",
        f"Lay the mat flat and stand the socket on it, mouth down, drive end up, centred on {circle}, within "
        f"{trimmed(mat.centring_mm, 2)} mm. Hold it fast.",
        f"START may be anywhere. Over {place} it is found again: mark that place on the wall first, and stand this "
        "mark at START.",
        f"With a small square carry START, {rays}, and any aim line, straight up the wall from their rays: fine lines, "
        f"the middle of each within {trimmed(mat.pen_mm, 2)} mm of the ray's. Use a paint pen on impact-rated, plated "
        "or thin-walled sockets; scribe only where the socket's maker allows it.",
        f"Take the socket off. Write START and {names} beside the lines{hatch}. "
        f"Check from the side, drive end up: the degrees run from START to the {side}.",
    ]


NEAR_THE_SOCKET = "The mark's end is at most {gap} mm from the socket's edge."
BETWEEN_LINES = "the witness mark stands between the two lines “{name}”"


RULERS = "Measure both check rulers: both alike within 0.2 mm."

INSTEAD = "{rulers} Choose: fit the band, or mark the socket itself on the mat (“{heading}”), never both on one socket."
MARKED, ITS_EDGE = "marked socket", "the marked socket's"
KEEPS_MARKS = "A marked socket keeps its marks."
MARK_THE_SOCKET = "Mark the socket"


def round_the_wall(marks: Sequence[Mark], along: Callable[[Mark], str]) -> str:
    """Where the lines stand on the finished wall, once for equal stages, so that a strip of paper checks them."""
    several = len({mark.stage for mark in marks if mark.stage}) > 1
    places: dict[tuple[str, str], list[int | None]] = {}
    for mark in marks[1:]:
        places.setdefault((mark.kind, along(mark)), []).append(mark.stage if several else None)
    told = (f"{mark_name(kind, stages)}: {place}" for (kind, place), stages in places.items())
    return f"Check round the wall, from START: {'; '.join(told)}."


def use_steps(spec: TighteningSpec, budgets: Sequence[Budget], play: Play | None, gap_mm: float) -> list[str]:
    """How to tighten one fastener, step by step; `play` is its play in the opening, where known."""
    mark = joined(BY_WITNESS_MARK.mark, NEAR_THE_SOCKET.format(gap=trimmed(gap_mm, 1)))
    turning = BY_WITNESS_MARK._replace(mark=mark, in_window=BETWEEN_LINES)
    return procedure(spec, 1, turning, budgets, play, recorded=False)


def reading_error(
    budgets: Sequence[Budget],
    largest: Sequence[Budget],
    aim_from: Sequence[Remark | None],
    ods: tuple[str, str],
    model: ErrorModel,
    mat: MatErrorModel,
) -> list[str]:
    """Where to aim and the reading error of each stage, at the smallest and the largest OD where it is not known.

    `aim_from` tell from which OD on to aim, one a stage, where the smallest has no aim.
    """
    small, large = (f"socket, OD {od}" for od in ods)
    return [
        *error_lines({small: (budgets, aim_from), large: (largest, ())} if largest else {"socket": (budgets, ())}),
        f"{RESTS_ON} at most {trimmed(model.gap_mm, 2)} mm between mark and socket, {marked_within(mat)}, mark "
        f"±{trimmed(model.witness_mm, 3)} mm, stop reading ±{trimmed(model.stop_mm, 3)} mm, looking within "
        f"{trimmed(model.view_angle_deg, 1)}° of square, socket ±{trimmed(model.play_mm, 3)} mm sideways on the "
        f"fastener. {YOUR_OWN}",
    ]


def marked_within(mat: MatErrorModel) -> str:
    """What the reading error of marks from the mat rests on, besides what every mark on a socket does."""
    return (
        f"the socket within {trimmed(mat.centring_mm, 2)} mm of the middle of its circle, each line within "
        f"{trimmed(mat.pen_mm, 2)} mm of its ray, both rulers alike within {trimmed(mat.unequal_scale_percent, 2)} mm"
    )
