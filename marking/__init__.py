"""turnband's library: paper marks that turn any socket into an angle gauge.

    from marking import job_document, plan_job, read_job, save

    plan = plan_job(read_job("110 N·m + 90° +10/-0", points=12, drive="1/2", od="27.8 mm"))
    save(job_document(plan), "bracket.pdf")

Importing it loads no renderer; reportlab and svgwrite load when a file is written.
"""

from .budget import ErrorModel
from .errors import MarkingError
from .job import Job, Plan, plan_job
from .job_sheets import job_document
from .paper import parse_paper
from .reading import read_job, read_trim_job
from .render import save
from .report import as_data, as_text
from .socket import Socket, parse_socket
from .spec import TighteningSpec, parse_spec

__all__ = [
    "ErrorModel",
    "Job",
    "MarkingError",
    "Plan",
    "Socket",
    "TighteningSpec",
    "as_data",
    "as_text",
    "job_document",
    "parse_paper",
    "parse_socket",
    "parse_spec",
    "plan_job",
    "read_job",
    "read_trim_job",
    "save",
]
