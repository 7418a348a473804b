"""What a planned job can be turned into, whether its socket's diameter is known or not."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any

from . import report
from .drawing import Document
from .job import Plan
from .job_sheets import job_document
from .sheet import Sheet

if TYPE_CHECKING:
    from .disc_job import DiscJobPlan
    from .trim_job import TrimJob


def disc_for(planned: Plan | TrimJob, diameter_mm: float | None = None) -> DiscJobPlan:
    """Return the drive disc that goes with a job. Raises LayoutError for label stock."""
    from .disc_job import disc_of  # discs and trim bands load only when a job needs them

    return disc_of(planned.job, diameter_mm)


def document_of(planned: Plan | TrimJob, disc: DiscJobPlan | None = None) -> Document:
    """Return the finished pages, a drive disc's among them if one is given. Raises LayoutError and CharacterError."""
    more: list[Callable[[Sheet], None]] = []
    if disc is not None:
        from .disc_sheets import put_disc

        more.append(partial(put_disc, plan=disc))
    if isinstance(planned, Plan):
        return job_document(planned, more)
    from .trim_job import trim_document

    return trim_document(planned, more)


def data_of(planned: Plan | TrimJob, files: Sequence[str] = (), disc: DiscJobPlan | None = None) -> dict[str, Any]:
    """Return all numbers as JSON-ready data, under `disc` those of a drive disc if one is given."""
    if isinstance(planned, Plan):
        data = report.as_data(planned, files)
    else:
        from .trim_job import as_trim_data

        data = as_trim_data(planned, files)
    if disc is not None:
        from .disc_job import disc_data

        found = disc_data(disc)
        data["disc"] = {**found["disc"], "budgets": found["budgets"], "warnings": found["warnings"]}
    return data


def text_of(planned: Plan | TrimJob) -> str:
    """Return the numbers as lines of at most 80 columns."""
    if isinstance(planned, Plan):
        return report.as_text(planned)
    from .trim_job import as_trim_text

    return as_trim_text(planned)
