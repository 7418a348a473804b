"""The sheet of a drive disc: the disc, where its marks lie, how well it reads, and what to do with it."""

from __future__ import annotations

from collections.abc import Callable

from ...drawing.fonts import NOTE_PT
from ...drawing.primitives import Document
from ...figures.words import counted
from ...marks.stage_marks import Mark
from ...quantities.shown import shown_degrees, shown_length
from ...sheets.balanced import HEADING_GAP_MM, Atom, columns_in, flowed, list_atoms
from ...sheets.blocks import captioned, noted
from ...sheets.parts import sheet_header
from ...sheets.sheet import Sheet
from ...sheets.words import CAUTIONS, led
from ..numbers import put_numbers
from .figure import draw_disc, left_out
from .layout import DiscLayout
from .plan import DiscPlan
from .words import making_steps, reading_error, use_steps

BESIDE_MM = 80.0
"""Least width for table and words beside the disc; with less room they go below."""


def draw(plan: DiscPlan, command: str = "") -> Document:
    """Return the finished pages of a disc job, each with `command` at its foot.

    Raises LayoutError for a disc larger than the paper and CharacterError for a title that cannot be printed.
    """
    job = plan.job
    drive = f"drive disc · {job.drive.inch} in drive"
    header = sheet_header(job.title, job.spec, f"{job.points}-point · {drive}" if job.points else drive)
    sheet = Sheet(job.paper, header, command=command)
    sheet.new_page()
    put_disc(sheet, plan)
    return sheet.document()


def put_disc(sheet: Sheet, plan: DiscPlan) -> None:
    """Put discs, marks, reading error, steps and cautions on a sheet, from a new row of its present page on.

    Raises LayoutError for a disc larger than the paper.
    """
    sheet.new_row()
    for disc in plan.discs:
        drawn = captioned(draw_disc(disc), _captions(plan, disc), 60.0)
        for _ in range(plan.job.copies):
            sheet.put(drawn)
    job = plan.job
    errors = reading_error(plan.budgets, plan.remedies, job.model, job.disc_model, job.drive)
    put_numbers(sheet, plan.marks, _columns(plan), errors, BESIDE_MM)
    _, column = columns_in(sheet.paper.content_width_mm)
    steps = use_steps(job.spec, plan.budgets, job.disc_model.gap_mm)
    make = list_atoms("Make the disc", making_steps(job.drive, job.disc_model), column)
    cautions = Atom(noted("Cautions", [" ".join(CAUTIONS)], column, NOTE_PT), HEADING_GAP_MM)
    flowed(sheet, [*make, *list_atoms("Tighten", steps, column), cautions])


def _captions(plan: DiscPlan, disc: DiscLayout) -> list[str]:
    """What stands below a disc."""
    unit = plan.job.unit
    stages = "" if len(plan.discs) == 1 else f" for stage {'+'.join(map(str, disc.stages[0].numbers))}"
    around = "counterclockwise" if disc.clockwise else "clockwise"
    stops = "; ".join(" ".join(stage.label) for stage in disc.stages)
    count = counted(disc.stages)
    count = f" {led('', count)}." if count else ""
    words = [
        f"Drive disc{stages}, {shown_length(disc.diameter_mm, unit)} across, seen facing the drive end. Square hole "
        f"{shown_length(disc.hole_mm, unit)} for a {disc.drive.inch} in drive. Degrees are counted {around} from "
        f"START. {stops}.{count}"
    ]
    missing = left_out(disc)
    return [*words, f"Without a label for lack of room: {', '.join(missing)}."] if missing else words


def _columns(plan: DiscPlan) -> dict[str, Callable[[Mark], str]]:
    """Where a mark lies: degrees, along the edge, and on the socket when its points are known."""
    columns: dict[str, Callable[[Mark], str]] = {
        "on the disc": lambda mark: shown_degrees(mark.deg, 1),
        "along the edge": lambda mark: shown_length(plan.along_mm(mark), plan.job.unit),
    }
    if plan.job.points:
        columns["with START over corner 1"] = lambda mark: plan.where(mark) or ""
    return columns
