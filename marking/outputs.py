"""What a planned job can be turned into, whether its socket's diameter is known or not."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from . import report
from .drawing import Document
from .job import Plan
from .job_sheets import job_document

if TYPE_CHECKING:
    from .trim_job import TrimJob


def document_of(planned: Plan | TrimJob) -> Document:
    """Return the finished pages. Raises LayoutError and CharacterError."""
    if isinstance(planned, Plan):
        return job_document(planned)
    from .trim_job import trim_document  # trim bands load only when a job needs them

    return trim_document(planned)


def data_of(planned: Plan | TrimJob, files: Sequence[str] = ()) -> dict[str, Any]:
    """Return all numbers as JSON-ready data."""
    if isinstance(planned, Plan):
        return report.as_data(planned, files)
    from .trim_job import as_trim_data

    return as_trim_data(planned, files)


def text_of(planned: Plan | TrimJob) -> str:
    """Return the numbers as lines of at most 80 columns."""
    if isinstance(planned, Plan):
        return report.as_text(planned)
    from .trim_job import as_trim_text

    return as_trim_text(planned)
