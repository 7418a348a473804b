"""The sheet of a drive disc: the disc, where its marks lie, how well it reads, and what to do with it."""

from __future__ import annotations

from collections.abc import Callable

from ...drawing.primitives import Document
from ...figures.words import counted
from ...marks.stage_marks import Mark
from ...quantities.shown import shown_degrees, shown_length
from ...sheets.blocks import captioned, listed, stacked
from ...sheets.parts import sheet_header
from ...sheets.sheet import GAP_MM, WIDEST_MM, Sheet
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
    sheet.new_row()
    room = sheet.room_mm()[0]
    wide = room >= 2 * BESIDE_MM
    column = (room - GAP_MM) / 2 if wide else min(room, WIDEST_MM)
    steps = use_steps(job.spec, plan.budgets, job.disc_model.gap_mm)
    make = listed("Make the disc", making_steps(job.drive, job.disc_model), column, numbered=True)
    tighten = listed("Tighten", steps, column, numbered=True)
    cautions = listed("Cautions", CAUTIONS, column, numbered=False)
    for block in [stacked([make, cautions]), tighten] if wide else [make, tighten, cautions]:
        sheet.put(block)


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
