"""The sheets of a diameter tape: the strip, how to read it with a worked reading enlarged, how to cut and wrap it."""

from __future__ import annotations

from .blocks import captioned, listed
from .drawing import Document
from .errors import LayoutError
from .paper import LabelStock, Paper
from .quantities import shown_length
from .sheet import RULER_MM, RULER_TOLERANCE_MM, Sheet
from .tape import Reading, TapePlan, draw_tape, graduations_between, plan_tape, reading_of
from .tape_figures import draw_reading, draw_wrapped

EXAMPLE_OD_MM = 27.8
"""The OD that the worked reading shows where the tape reads it, else one in the middle of its range."""

ORDINALS = ("", "first", "second", "third", "fourth")

TEXT_WIDTH_MM = 80.0


def tape_document(low_mm: float, high_mm: float, unit: str, stock_mm: float, paper: Paper | LabelStock) -> Document:
    """Return the finished pages of a diameter tape for ODs from `low_mm` to `high_mm`, numbered in `unit` (mm or in).

    The page is turned when the strip is longer than it is wide; a strip longer still comes in pieces. Raises RangeError
    for limits and stock that a tape cannot have, and LayoutError for what does not fit on the paper.
    """
    if isinstance(paper, LabelStock):
        raise LayoutError(
            "a diameter tape cannot be printed on label stock: it has to come off the socket again", "a sheet of paper",
            "choose --paper a4, letter or larger", paper,
        )  # fmt: skip
    plan = plan_tape(low_mm, high_mm, unit, stock_mm, paper.wide.content_width_mm)
    pieces = draw_tape(plan)
    upright = max(piece.width_mm for piece in pieces) <= paper.content_width_mm
    title = f"Diameter tape for {_range(plan)}"
    scale = plan.scale
    resolution = f"{scale.text(scale.resolution)} {unit}"
    subtitle = f"Reads the outside diameter of a socket to {resolution} · for stock {_stock(plan)} thick"
    sheet = Sheet(paper if upright else paper.wide, (title, subtitle))
    for number, piece in enumerate(pieces, 1):
        sheet.new_row()
        sheet.put(captioned(piece, [_caption(plan, number)], min(90.0, sheet.paper.content_width_mm)))
    sheet.new_row()
    reading = example(plan)
    width = min(TEXT_WIDTH_MM, sheet.paper.content_width_mm)
    sheet.put(draw_wrapped())
    sheet.put(listed("Cut it out and wrap it", _wrapping_steps(plan), width, numbered=True))
    sheet.put(listed("What to keep in mind", _cautions(plan), width, numbered=False))
    sheet.new_row()
    sheet.put(draw_reading(reading))
    sheet.put(listed("Read it", _reading_steps(reading), width, numbered=True))
    return Document(sheet.pages(), title, subtitle)


def _range(plan: TapePlan) -> str:
    low, high = shown_length(plan.low_mm, plan.scale.unit), shown_length(plan.high_mm, plan.scale.unit)
    return f"{low.removesuffix(plan.scale.unit).strip()} to {high}"


def _stock(plan: TapePlan) -> str:
    return shown_length(plan.stock_mm, "mm")


def _caption(plan: TapePlan, number: int) -> str:
    """What a piece of the tape reads: its first and last graduation."""
    ends = [-plan.grip_mm, *plan.cuts, plan.end]
    inside = graduations_between(plan, ends[number - 1], ends[number])
    scale = plan.scale
    decimals = min(2, scale.decimals)
    shown = [scale.text(n * scale.step, decimals) for n in (inside[0], inside[-1])] if inside else []
    lines = f"first line {shown[0]} {scale.unit}, last line {shown[1]} {scale.unit}" if shown else "no graduations"
    name = f"Piece {number} of {len(ends) - 1}" if plan.cuts else "The tape"
    return f"{name}: {lines}; for stock {_stock(plan)} thick"


def example(plan: TapePlan) -> Reading:
    """Return the reading that the sheet works out: 27.8 mm where the tape reads it, else one near its middle.

    It lies between two graduations, so that there is something to add.
    """
    inside = plan.low_mm <= EXAMPLE_OD_MM <= plan.high_mm
    start_mm = EXAMPLE_OD_MM if inside else (plan.low_mm + plan.high_mm) / 2
    reading = reading_of(start_mm, plan.scale)
    return reading if reading.line else reading._replace(line=plan.scale.divisions // 2)


# -- the words


def _reading_steps(reading: Reading) -> list[str]:
    scale = reading.scale
    return [
        f"Find the last line on the tail that the index line has passed: the one left of it. Here {reading.passed}.",
        "Find the line of the vernier, right of the index, that meets a line of the tail; if none meets exactly, the "
        f"nearest. Here the {ORDINALS[reading.line]} one: {reading.rest} {scale.unit}. If the index itself meets a "
        "line, add nothing; the vernier’s last line then meets one too.",
        f"Add: {reading.passed} + {reading.rest} = {reading.value} {scale.unit}.",
        f'Give it to the command that draws the band: --od "{reading.value} {scale.unit}".',
    ]


def _wrapping_steps(plan: TapePlan) -> list[str]:
    splice = [
        "Glue the pieces in order: the tab under the next piece, whose end meets the solid line; lay the long edges "
        "along a ruler."
    ]
    return [
        "Cut along the dashed lines and along the thin solid ones, which are the reading edges: cut "
        "them cleanly, and no farther than into the corners.",
        *(splice if plan.cuts else []),
        "Wipe the socket. Wrap the tape round the place where the band will sit, printed side out, numbers upright, "
        "tongue below: the tail comes round from the left and passes above the tongue.",
        "Hold the tongue’s end and pull the tail tight. The two reading edges must touch all along, with no gap and "
        "no overlap: then the tape is square. Let the rest of the tail stand off.",
    ]


def _cautions(plan: TapePlan) -> list[str]:
    """What a reading is worth.

    Print errors cancel: a tape printed at the scale s reads D' where s (D' + t) = D + t, and a band drawn for D' and
    printed at the same scale is s π (D' + t) = π (D + t) long.
    """
    percent = 100.0 * RULER_TOLERANCE_MM / RULER_MM
    wrong, od = (shown_length(mm, plan.scale.unit) for mm in (plan.high_mm * percent / 100.0, plan.high_mm))
    return [
        f"The tape is right for stock {_stock(plan)} thick. On thicker paper it reads too much by the difference: "
        "0.05 mm thicker, 0.05 mm too much. Print with --stock for other paper.",
        "Read twice, the tape a quarter turn farther on. Two readings that differ by more than two divisions mean a "
        "loose tape, dirt, or a socket that is not round there.",
        f"Rulers at their limit mean a reading {percent:g} % wrong: {wrong} on an OD of {od}. Print tape and band with "
        "the same printer on the same paper, lying the same way on the page: then the two errors cancel.",
    ]
