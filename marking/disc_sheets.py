"""The sheet of a drive disc: the disc, where its marks lie, how well it reads, and what to do with it."""

from __future__ import annotations

from .blocks import captioned, columns_for, listed, stacked, table
from .budget import disc_slip_deg
from .disc import DiscPlan, draw_disc, left_out
from .disc_job import DiscJob, DiscJobPlan
from .drawing import Document, Drawing
from .job_sheets import sheet_header
from .quantities import shown_degrees, shown_length, trimmed
from .sheet import GAP_MM, Sheet
from .words import CAUTIONS, MARK_NAMES, OVERSHOT, direction, error_lines, snug_step, turn_step

BESIDE_MM, LEAST_BESIDE_MM = 80.0, 60.0
"""Least width for table and words beside the disc, and for words beside the table; with less room they go below."""

WIDEST_MM = 180.0


def disc_document(plan: DiscJobPlan) -> Document:
    """Return the finished pages of a disc job.

    Raises LayoutError for a disc larger than the paper and CharacterError for a title that cannot be printed.
    """
    job = plan.job
    drive = f"drive disc · {job.drive.inch} in drive"
    header = sheet_header(job.title, job.spec, f"{job.points}-point · {drive}" if job.points else drive)
    sheet = Sheet(job.paper, header)
    sheet.new_page()
    put_disc(sheet, plan)
    return Document(sheet.pages(), header[0], " · ".join(header[1:]))


def put_disc(sheet: Sheet, plan: DiscJobPlan) -> None:
    """Put discs, marks, reading error, steps and cautions on a sheet, from a new row of its present page on.

    Raises LayoutError for a disc larger than the paper.
    """
    sheet.new_row()
    for disc in plan.discs:
        drawn = captioned(draw_disc(disc), _captions(plan, disc), 60.0)
        for _ in range(plan.job.copies):
            sheet.put(drawn)
    _put_numbers(sheet, plan)
    sheet.new_row()
    room = sheet.room_mm()[0]
    wide = room >= 2 * BESIDE_MM
    column = (room - GAP_MM) / 2 if wide else min(room, WIDEST_MM)
    make = listed("Make the disc", making_steps(plan.job), column, numbered=True)
    tighten = listed("Tighten", use_steps(plan), column, numbered=True)
    cautions = listed("Cautions", CAUTIONS, column, numbered=False)
    for block in [stacked([make, cautions]), tighten] if wide else [make, tighten, cautions]:
        sheet.put(block)


def _put_numbers(sheet: Sheet, plan: DiscJobPlan) -> None:
    """Where the marks lie and the reading error: beside the disc if there is room, else below it."""
    room = sheet.room_mm()[0]
    if room >= BESIDE_MM:
        error = listed("Reading error and aim", reading_error(plan), room, numbered=False)
        sheet.put(stacked([_mark_table(plan, room), error]))
        return
    sheet.new_row()
    sheet.put(_mark_table(plan, sheet.room_mm()[0]))
    if sheet.room_mm()[0] < LEAST_BESIDE_MM:
        sheet.new_row()
    width = min(sheet.room_mm()[0], WIDEST_MM)
    sheet.put(listed("Reading error and aim", reading_error(plan), width, numbered=False))


def _captions(plan: DiscJobPlan, disc: DiscPlan) -> list[str]:
    """What stands below a disc."""
    unit = plan.job.unit
    stages = "" if len(plan.discs) == 1 else f" for stage {'+'.join(map(str, disc.stages[0].numbers))}"
    around = "counterclockwise" if disc.clockwise else "clockwise"
    stops = "; ".join(" ".join(stage.label) for stage in disc.stages)
    words = [
        f"Drive disc{stages}, {shown_length(disc.diameter_mm, unit)} across, seen facing the drive end. Square hole "
        f"{shown_length(disc.hole_mm, unit)} for a {disc.drive.inch} in drive. Degrees are counted {around} from "
        f"START. {stops}."
    ]
    missing = left_out(disc)
    return [*words, f"Without a label for lack of room: {', '.join(missing)}."] if missing else words


def _mark_table(plan: DiscJobPlan, widest: float) -> Drawing:
    """Where every mark lies: degrees, along the edge, and on the socket when its points are known."""
    several, unit = len(plan.job.spec.stages) > 1, plan.job.unit
    titles = ["mark", "turn", "on the disc", "along the edge"]
    titles += ["with START over corner 1"] if plan.job.points else []
    rows = []
    for mark in plan.marks:
        stage = f" ({mark.stage})" if several and mark.stage else ""
        row = [MARK_NAMES[mark.kind] + stage, shown_degrees(mark.turn_deg, 1), shown_degrees(mark.deg, 1)]
        row.append(shown_length(plan.along_mm(mark), unit))
        rows.append([*row, place] if (place := plan.where(mark)) else row)
    return table("Where the marks lie", columns_for(titles, rows, widest), rows)


def making_steps(job: DiscJob) -> list[str]:
    """How to make the disc and put it on."""
    return [
        "Measure both check rulers.",
        "Glue the paper on flat card about 1 mm thick and let it dry under a weight.",
        "Cut out the disc along the dashed circle, and the square hole with a knife on its lines: the hole centres "
        "the disc.",
        f"Slip the disc on the {job.drive.inch} in driver's square, print towards the wrench, and put the square in "
        "the socket. The disc sits between wrench and socket and turns with them.",
        "Tape it to the socket, so that it cannot move: loose, it turns on the square by up to "
        f"{shown_degrees(disc_slip_deg(job.drive), 1)} each way.",
        "For the pointer bend a stiff wire, or take a magnet arm. Fix it to something that does not turn.",
    ]


def use_steps(plan: DiscJobPlan) -> list[str]:
    """How to tighten one fastener, step by step, with this job's numbers."""
    job, way = plan.job, direction(plan.job.spec)
    steps = [
        "Read the manual, and clean and oil threads and seats, or leave them dry, as it says.",
        snug_step(job.spec),
        f"Pull lightly {way}, to take up the slack between fastener, socket and square, and hold it.",
    ]
    for number in range(1, len(job.spec.stages) + 1):
        lead = f"Stage {number}: " if len(job.spec.stages) > 1 else ""
        if number == 1 or job.witness == "fresh":
            put = "set" if number == 1 else "take up the slack and set"
            text = (
                f"{put} the pointer's tip at START, at the disc's edge, at most "
                f"{trimmed(job.disc_model.gap_mm, 1)} mm above it; nothing may move it from here on."
            )
            steps.append(lead + (text if lead else text[0].upper() + text[1:]))
            lead = ""
        steps.append(_turn_step(plan, number, lead))
    return [
        *steps,
        "Look square down on the pointer's tip when you read it.",
        OVERSHOT,
    ]


def _turn_step(plan: DiscJobPlan, number: int, lead: str) -> str:
    name = next(s.name for disc in plan.discs for s in disc.stages if number in s.numbers)
    return turn_step(
        plan, number, lead, "leave the pointer as it is",
        f"the pointer stands at the line {name}", f"the pointer stands in the window {name}",
    )  # fmt: skip


def reading_error(plan: DiscJobPlan) -> list[str]:
    """The reading error of each stage and what it rests on."""
    lines = error_lines(plan.budgets)
    model, disc = plan.job.model, plan.job.disc_model
    mm = {c.name: f"±{trimmed(c.half_width, 3)} mm" for c in plan.budgets[0].contributions}
    lines.append(
        f"It rests on working assumptions: setting the pointer at START {mm['witness mark']}, stop reading "
        f"{mm['stop reading']}, sighting within {trimmed(model.view_angle_deg, 1)}° of square across a gap of "
        f"{trimmed(disc.gap_mm, 2)} mm, play on the square {mm['centring']}, print scale across and along the page "
        f"alike within {trimmed(disc.unequal_scale_percent, 3)} %. Where yours differ, give your own."
    )
    return lines
