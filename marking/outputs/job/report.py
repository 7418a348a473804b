"""The numbers of a job as plain data for JSON, and as a table for a terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import Any

from ...marks.reading_error import Budget
from ...quantities.shown import rounded, shown_degrees, shown_length, trimmed
from ...readouts import READOUTS
from ...readouts.trim_band.layout import MM_PER_MM_OF_OD
from ...remarks import Remark
from ...reports import (
    COLUMNS,
    aim_lines,
    budget_data,
    budget_lines,
    by_stages,
    mark_data,
    mark_lines,
    pair,
    socket_data,
    spec_data,
    spec_lines,
)
from ...sheets.words import direction
from ..record.report import order_data
from .band_plan import JobPlan
from .request import JobRequest
from .trim_plan import TrimJobPlan
from .words import beside_start


def data(plan: JobPlan | TrimJobPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return everything about a job as JSON-ready data, with each of its other readouts under its kind."""
    found = _trim_data(plan, files) if isinstance(plan, TrimJobPlan) else _band_data(plan, files)
    order = plan.parts[0].plan.order if isinstance(plan, TrimJobPlan) else plan.order
    if order is not None:
        found |= order_data(order)
    for kind, extra in zip(plan.job.extras, plan.extras, strict=True):
        found[kind] = READOUTS[kind].data(extra)
        found["budgets"] = [*found["budgets"], *(budget_data(budget, kind) for budget in extra.budgets)]
    return found


def text(plan: JobPlan | TrimJobPlan) -> str:
    """Return the numbers of a job as lines of at most 80 columns."""
    return _trim_text(plan) if isinstance(plan, TrimJobPlan) else _band_text(plan)


def _band_data(plan: JobPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return everything about a job as JSON-ready data; numbers are not rounded.

    `deg` count from START against the tightening direction, 0 .. 360. `mm` are places on the flat band from START, in
    that direction too; what lies on the other side of START is less than 0. `band` describes the first band, on which
    the features lie; `bands` all of them, with the stages that each one serves.
    """
    job, spec = plan.job, plan.job.spec
    bands = [
        {
            "stages": [n for stage in band.stages for n in stage.numbers],
            "stock_mm": job.stock_mm,
            "length_mm": job.length_mm,
            "mm_per_degree": job.length_mm / 360.0,
            "seam_deg": band.seam,
            "pieces": len(cuts) + 1,
            "closure_mm": band.closure_mm,
        }
        for band, cuts in zip(plan.bands, plan.cuts, strict=True)
    ]
    return {
        "spec": spec_data(spec),
        "socket": socket_data(job.socket),
        "band": {key: value for key, value in bands[0].items() if key != "stages"},
        "bands": bands,
        "features": [
            {"kind": f.kind, "index": f.index, "deg": f.deg, "mm": plan.bands[0].from_start_mm(f.deg)}
            for f in plan.features
        ],
        "marks": [mark_data(mark, plan.from_start_mm(mark), plan.where(mark)) for mark in plan.marks],
        "budgets": _budgets_data(plan.budgets, plan.ring_budgets),
        "warnings": [*map(str, plan.warnings)],
        "files": list(files),
    }


def _budgets_data(band: Sequence[Budget], ring: Sequence[Budget]) -> list[dict[str, Any]]:
    """The budgets of a band, then those of the ring that is printed with it."""
    return [budget_data(budget, kind) for kind, found in (("band", band), ("ring", ring)) for budget in found]


def _band_text(plan: JobPlan) -> str:
    """Return the numbers of a job as lines of at most 80 columns: where to aim first, the reading errors last."""
    job, opening, play = plan.job, plan.job.socket.opening, plan.job.socket.play()
    hexagon = f"{opening.text}, the hexagon of {job.socket.hexagon}" if opening and job.socket.hexagon else ""
    slack = f"up to {shown_degrees(play.deg, 1)} each way ({play.fastener} in the widest opening)" if play else ""
    clockwise, unit = job.spec.clockwise, job.socket.unit
    along = "from START", lambda mark: beside_start(plan.from_start_mm(mark), clockwise, unit)
    several = len(job.spec.stages) > 1
    readouts = {"band": (plan.budgets, plan.remedies), "ring": (plan.ring_budgets, ()), **_extras(plan)}
    lines = [
        *_aims(readouts, several),
        "",
        *_spec_lines(job),
        "",
        *mark_lines(plan.marks, plan.where, along),
        "",
        *pair("socket", job.socket.printed()),
        *(pair("opening", hexagon) if hexagon else []),
        *(pair("slack", slack) if slack else []),
        *pair(
            "band",
            f"closed length {job.length.text}, {rounded(job.length_mm / 360)} mm a degree, "
            f"stock {trimmed(job.stock_mm, 3)} mm",
        ),
        *pair("seam", ", ".join(shown_degrees(band.seam, 1) for band in plan.bands) + " from START"),
        "",
        *_feature_lines(plan),
        *(line for kind, (budgets, _) in readouts.items() for line in budget_lines(kind, budgets, several)),
    ]
    return "\n".join(lines)


Readouts = dict[str, tuple[Sequence[Budget], Sequence[Remark | None]]]
"""Budgets and remedies by the kind of readout."""


def _extras(plan: JobPlan | TrimJobPlan) -> Readouts:
    """The job's other readouts."""
    found = zip(plan.job.extras, plan.extras, strict=True)
    return {kind: (extra.budgets, getattr(extra, "remedies", ())) for kind, extra in found}


def _aims(readouts: Readouts, several: bool) -> Iterator[str]:
    """Yield where to aim with each readout, or why nowhere."""
    for kind, (budgets, remedies) in readouts.items():
        yield from aim_lines(f"the {kind}", budgets, remedies, several)


def _spec_lines(job: JobRequest) -> list[str]:
    """How the spec was read, what it starts from and which way it turns."""
    snug = job.spec.snug.both if job.spec.snug else "hand tight" if job.spec.hand_tight else "-"
    return [*spec_lines(job.spec), *pair("snug torque", snug), *pair("tighten", direction(job.spec))]


def _feature_lines(plan: JobPlan) -> Iterator[str]:
    """Yield corners and mid-flats side by side, so that a 12-point socket takes 12 lines."""
    unit, band = plan.job.socket.unit, plan.bands[0]

    def place(deg: float) -> str:
        return beside_start(band.from_start_mm(deg), band.clockwise, unit)

    yield f"{'corner':<8}{'turn':>8}{'from START':>16}    {'mid-flat':<10}{'turn':>8}{'from START':>16}"
    features = sorted(plan.features, key=lambda f: f.index)
    corners, mids = ([f for f in features if f.kind == kind] for kind in ("corner", "mid-flat"))
    for corner, mid in zip(corners, mids, strict=True):
        between = f"{mid.index}–{mid.index % len(mids) + 1}"
        left = f"{corner.index:<8}{shown_degrees(corner.deg):>8}{place(corner.deg):>16}"
        right = f"{between:<10}{shown_degrees(mid.deg):>8}{place(mid.deg):>16}"
        yield f"{left}    {right}"


def _trim_text(trim: TrimJobPlan) -> str:
    """Return the numbers of a job without a diameter as lines of at most 80 columns."""
    job, extras, several = trim.job, _extras(trim), len(trim.job.spec.stages) > 1
    readouts: Readouts = {}
    errors = [f"{'from':<13}{'readout':<8}{'stage':>5}{'U (k = 2)':>11}"]
    for part in trim.parts:
        od = f"OD {shown_length(part.low_od_mm, trim.unit)}"
        for kind, budgets in (("band", part.plan.budgets), ("ring", part.ring_budgets)):
            readouts[f"{kind} from {od}"] = budgets, ()
            for stage, (budget,) in by_stages(budgets):
                errors.append(f"{od:<13}{kind:<8}{stage:>5}{shown_degrees(budget.expanded_deg, 1):>11}")
    lines = [
        *_aims(readouts | extras, several),
        *(line for can in trim.remedies for line in textwrap.wrap(f"{can}", COLUMNS, break_on_hyphens=False)),
        "",
        *_spec_lines(job),
        "",
        *mark_lines(trim.parts[-1].plan.marks, trim.parts[-1].plan.where),
        "",
        *pair("socket", f"{job.socket.points}-point · {job.socket.drive.inch} in drive"),
        "",
        *errors,
        *(line for kind, (budgets, _) in extras.items() for line in budget_lines(kind, budgets, several)),
    ]
    return "\n".join(lines)


def _trim_data(trim: TrimJobPlan, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return everything about a job without a diameter as JSON-ready data.

    As for a plain band, but without an OD: places along the band are None, and `trim_bands` tells the ranges with the
    budgets at their smallest ODs.
    """
    data = _band_data(trim.parts[0].plan, files)
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
            "budgets": _budgets_data(part.plan.budgets, part.ring_budgets),
        }
        for part in trim.parts
        for band in part.bands
    ]
    data["budgets"] = data["trim_bands"][0]["budgets"]
    data["warnings"] = [*map(str, trim.warnings)]
    return data
