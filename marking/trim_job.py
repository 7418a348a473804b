"""A job whose socket has no known diameter: trim bands for a range of ODs, from the numbers to the sheets."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Any, NamedTuple

from .blocks import captioned, columns_for, listed, table
from .budget import sufficient_od_mm
from .drawing import Document
from .errors import LayoutError, RangeError, TextInputError
from .job import Job, Plan, plan_job, widest_mm
from .job_sheets import mark_table, put_use, sheet_header
from .paper import LabelStock
from .part import RING_CLEARANCE_MM, RingPlan, draw_ring
from .quantities import parse_length, shown_degrees, shown_length
from .report import as_data, mark_lines
from .sheet import Sheet
from .socket import MAX_OD_MM, MIN_OD_MM, Drive
from .strip import StageMarks, filled
from .trim import MM_PER_MM_OF_OD, TrimPlan, draw_trim_band, ranges, trim_width_mm
from .words import direction, ring_captions, trimming_steps

USUAL_ODS_MM = {
    "1/4": (9.0, 21.0), "3/8": (14.0, 31.0), "1/2": (18.0, 46.0), "3/4": (28.0, 76.0), "1": (38.0, 108.0),
    "1-1/2": (56.0, 150.0),
}  # fmt: skip
"""ODs that sockets of a drive usually have (our choice: from the square's diagonal up to what workshops have)."""

WIDEST_RANGE_MM = 12.0
"""Most mm of OD on one trim band (our choice: 30 mm of rows)."""

TRIMMING_ERROR_MM = 0.25
"""Half-width of the error of cutting along a row: a working assumption from memory."""

BORE_STEP_MM = 2.0
"""Step of OD between two bores of a ring (our choice: 1 mm of paper between two cuts)."""

_RANGE = re.compile(r"\s*(?P<low>[^.]*(?:\.[0-9][^.]*)?)\s*(?:\.\.|…|–)\s*(?P<high>.*)")


class TrimPart(NamedTuple):
    """One range of ODs: the numbers at its smallest OD (the worst case), its trim bands and its ring."""

    low_od_mm: float
    high_od_mm: float
    plan: Plan
    bands: tuple[TrimPlan, ...]
    ring: RingPlan | None


class TrimJob(NamedTuple):
    """A job without a diameter: its parts from the smallest range up, in the user's unit, and what to say."""

    parts: tuple[TrimPart, ...]
    unit: str
    warnings: tuple[str, ...]

    @property
    def job(self) -> Job:
        """The job at the smallest OD."""
        return self.parts[0].plan.job


def parse_od_range(text: str) -> tuple[float, float, str]:
    """Read "24 mm..32 mm" or "24..32 mm" and return both ends in mm and the unit of the first, "mm" or "in".

    Raises TextInputError for what cannot be read and RangeError for ends out of order or outside 8 .. 300 mm.
    """
    found = _RANGE.fullmatch(text) if len(text) <= 60 else None
    if not found:
        raise TextInputError(text, 0, "the OD range cannot be read:", "two lengths such as 24 mm..32 mm")
    high = parse_length(found["high"], "upper end of the OD range")
    unit = "in" if high.unit == "in" else "mm"
    low_text = found["low"].strip()
    low = parse_length(low_text if re.search(r"[^0-9.,/ ¼½¾-]", low_text) else f"{low_text} {unit}", "OD range")
    if not MIN_OD_MM <= low.mm < high.mm <= MAX_OD_MM:
        raise RangeError(
            f"the OD range is {low.text} to {high.text}", f"rising, within {MIN_OD_MM:g} to {MAX_OD_MM:g} mm",
            "check --od-range", text,
        )  # fmt: skip
    return low.mm, high.mm, low.unit


def usual_ods_mm(drive: Drive) -> tuple[float, float]:
    """Return the range of ODs that sockets of a drive usually have, in mm."""
    return USUAL_ODS_MM[drive.inch]


def plan_trim(job: Job, low_od_mm: float, high_od_mm: float, trimming_error_mm: float = TRIMMING_ERROR_MM) -> TrimJob:
    """Return the numbers of trim bands for ODs from `low_od_mm` to `high_od_mm`, as many bands as that takes.

    Of `job`, everything but the socket's OD counts. The OD's half-width grows by the trimming error over k. Parts that
    are wider than the paper are left out with a warning. Raises LayoutError when nothing fits, and whatever `plan_job`
    raises.
    """
    if isinstance(job.paper, LabelStock):
        raise LayoutError("trim bands do not go on label stock", "a sheet", "choose another --paper", job.paper)
    model = replace(job.model, od_measured_mm=job.model.od_measured_mm + trimming_error_mm / MM_PER_MM_OF_OD)
    parts, left_out = [], []
    for low, high in ranges(low_od_mm, high_od_mm, WIDEST_RANGE_MM):
        socket = replace(job.socket, od_mm=low, od_source="measured", drive_end_mm=MAX_OD_MM)
        plan = plan_job(replace(job, socket=socket, model=model))
        bands = tuple(_trim_plans(plan, low, high))
        if max(map(trim_width_mm, bands)) > widest_mm(job.paper):
            left_out.append((low, high))
        else:
            parts.append(TrimPart(low, high, plan, bands, _ring(plan, bands[0], high)))
    unit = job.socket.unit
    words = [f"{shown_length(low, unit)} to {shown_length(high, unit)}" for low, high in left_out]
    if not parts:
        raise LayoutError(
            f"trim bands for ODs of {words[0]} are wider than the paper", "wider paper",
            "choose a larger --paper, or measure the socket and give --od",
        )  # fmt: skip
    warnings = [*_warnings(parts, unit)]
    if words:
        warnings.append(
            f"ODs of {', '.join(words)} do not fit the paper: choose a larger --paper, or give --od for those"
        )
    return TrimJob(tuple(parts), unit, tuple(warnings))


def _trim_plans(plan: Plan, low: float, high: float) -> Iterator[TrimPlan]:
    """The trim bands of one range: one, or one for each set of stop marks that does not fit with the others."""
    job, unit = plan.job, plan.job.socket.unit
    opening = f" · {job.socket.opening.text}" if job.socket.opening else ""
    ends = f"{shown_length(low, unit).split()[0]}–{shown_length(high, unit)}"
    words = f"{job.socket.points}-point · {job.socket.drive.inch} in drive{opening} · OD {ends}"
    for band in plan.bands:

        def trim(stages: tuple[StageMarks, ...], band: Any = band) -> TrimPlan:
            return TrimPlan(
                low, high, job.stock_mm, band.seam, band.clockwise, band.features, stages, band.spec_line, words, unit
            )

        together = trim(band.stages)
        try:
            filled(together, whole=len(band.stages) > 1)
            yield together
        except LayoutError:
            if len(band.stages) == 1:
                raise
            for alone in (trim((stage,)) for stage in band.stages):
                filled(alone)  # refuses one whose labels find no room, before anything is drawn
                yield alone


def _ring(plan: Plan, band: TrimPlan, high: float) -> RingPlan | None:
    """One ring with a bore for every other mm of OD, if it fits the paper."""
    job = plan.job
    low, bore = job.socket.od_mm + RING_CLEARANCE_MM, high + RING_CLEARANCE_MM
    bores = [bore - BORE_STEP_MM * k for k in range(int((bore - low) / BORE_STEP_MM) + 1)]
    ring = RingPlan(bore, job.ring_width_mm, band.clockwise, band.stages, band.seam, job.sector, tuple(bores))
    paper = job.paper
    assert not isinstance(paper, LabelStock)
    left, bottom, right, top = ring.box
    return ring if right - left <= paper.content_width_mm and top - bottom <= paper.content_height_mm - 45.0 else None


def _warnings(parts: Sequence[TrimPart], unit: str) -> Iterator[str]:
    """What the plans say of the spec, and from which OD on the windows can be proved."""
    plan = parts[0].plan
    yield from (text for text in plan.warnings if "cannot prove" not in text and "part ring" not in text)
    for number, stage in enumerate(plan.job.spec.stages, 1):
        if stage.window is None or plan.budgets[number - 1].provable:
            continue
        job = plan.job
        seam = next(b for b in plan.bands if any(number in s.numbers for s in b.stages)).seam
        od_mm = sufficient_od_mm(stage.window, stage.turn_deg, seam, job.stock_mm, "measured", job.model)
        since = f"below an OD of {shown_length(od_mm, unit)}" if od_mm else "on any socket"
        yield f"{since} a trim band cannot prove the window {stage.window.text}: such a band carries no aim line"


def trim_document(trim: TrimJob, more: Sequence[Callable[[Sheet], None]] = ()) -> Document:
    """Return the finished pages of a job without a diameter: trim bands, how to cut them, and the part sheet.

    Each of `more` puts something on a further page.
    """
    job = trim.job
    low, high = trim.parts[0].low_od_mm, trim.parts[-1].high_od_mm
    ends = f"OD {shown_length(low, trim.unit).split()[0]}–{shown_length(high, trim.unit)}"
    header = sheet_header(job.title, job.spec, f"{job.socket.points}-point · {job.socket.drive.inch} in drive · {ends}")
    paper = job.paper
    assert not isinstance(paper, LabelStock)  # plan_trim refuses it
    sheet = Sheet(paper, header)
    drawn = [(part, band, *draw_trim_band(band)) for part in trim.parts for band in part.bands]
    long = max(drawing.width_mm for _, _, drawing, _ in drawn) > paper.content_width_mm
    sheet.new_page(paper.wide if long else paper)
    for part, band, drawing, below in drawn:
        for _ in range(job.copies):
            sheet.new_row()
            caption = [f"Trim band, {band.socket_line}, stock {shown_length(part.plan.job.stock_mm, 'mm')} thick"]
            words = [text for text in below if text != band.socket_line]
            sheet.put(captioned(drawing, [*caption, *words], 90.0))
    _trim_words(sheet, trim)
    sheet.new_page(paper)
    for part in trim.parts:
        if part.ring is not None:
            sheet.put(captioned(draw_ring(part.ring), ring_captions(part.plan, part.ring), 55.0))
    put_use(sheet, trim.parts[0].plan)
    for put in more:
        sheet.new_page(paper)
        put(sheet)
    return Document(sheet.pages(), header[0], " · ".join(header[1:]))


def _trim_words(sheet: Sheet, trim: TrimJob) -> None:
    """How to cut and fit, where the marks lie, and how well each band reads."""
    sheet.new_row()
    width = min(180.0, sheet.room_mm()[0])
    sheet.put(listed("Cut and fit a trim band", trimming_steps(trim.parts[0].plan), width, numbered=True))
    sheet.new_row()
    sheet.put(mark_table(trim.parts[-1].plan, sheet.room_mm()[0], along_band=False))
    rows = []
    for part in trim.parts:
        for budget in part.plan.budgets:
            zone = budget.aim_zone
            aim = f"{shown_degrees(zone.low_deg, 1)} to {shown_degrees(zone.high_deg, 1)}" if zone else "–"
            od = shown_length(part.low_od_mm, trim.unit)
            rows.append((f"from OD {od}", str(budget.stage), f"±{shown_degrees(budget.expanded_deg, 1)}", aim))
    titles = ("band", "stage", "reading error U, k = 2", "aim between")
    sheet.put(table("Reading error, at each band's smallest OD", columns_for(titles, rows, 120.0), rows))


def as_trim_text(trim: TrimJob) -> str:
    """Return the numbers of a job without a diameter as lines of at most 80 columns."""
    job = trim.job
    lines = [
        f"{'spec':<13}{job.spec.printed}",
        f"{'tighten':<13}{direction(job.spec)}",
        f"{'socket':<13}{job.socket.points}-point · {job.socket.drive.inch} in drive",
        "",
        *mark_lines(trim.parts[-1].plan, along_band=False),
    ]
    lines += ["", f"{'trim band for':<24} {'stage':>5} {'U (k = 2)':>10}  aim between"]
    for part in trim.parts:
        for budget in part.plan.budgets:
            zone = budget.aim_zone
            aim = f"{shown_degrees(zone.low_deg, 1)} and {shown_degrees(zone.high_deg, 1)}" if zone else "no aim"
            ods = f"OD {shown_length(part.low_od_mm, trim.unit)} to {shown_length(part.high_od_mm, trim.unit)}"
            lines.append(f"{ods:<24} {budget.stage:>5} {shown_degrees(budget.expanded_deg, 1):>10}  {aim}")
    return "\n".join(lines)


def as_trim_data(trim: TrimJob, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return everything about a job without a diameter as JSON-ready data.

    As for a plain band, but without an OD: places along the band are None, and `trim_bands` tells the ranges with the
    budgets at their smallest ODs.
    """
    data = as_data(trim.parts[0].plan, files)
    data["socket"] |= {"od_mm": None, "od_source": "range"}
    data["band"] = None
    del data["bands"]
    for place in (*data["features"], *data["marks"]):
        place["mm"] = None
    data["trim_bands"] = [
        {
            "low_od_mm": part.low_od_mm,
            "high_od_mm": part.high_od_mm,
            "mm_per_mm_of_od": MM_PER_MM_OF_OD,
            "stock_mm": band.stock_mm,
            "seam_deg": band.seam,
            "stages": [n for stage in band.stages for n in stage.numbers],
            "budgets": as_data(part.plan)["budgets"],
        }
        for part in trim.parts
        for band in part.bands
    ]
    data["budgets"] = data["trim_bands"][0]["budgets"]
    data["warnings"] = list(trim.warnings)
    return data
