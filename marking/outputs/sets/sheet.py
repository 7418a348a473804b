"""The pages of a set that is one document."""

from __future__ import annotations

from ...drawing.primitives import Document
from ...errors import LayoutError
from .pages import set_document
from .plan import SetsPlan


def draw(plan: SetsPlan, command: str = "") -> Document:
    """Return the finished pages, each with `command` at its foot.

    Raises LayoutError for a set that is split into several files, or holds nothing.
    """
    if list(plan.plans) != [""]:
        raise LayoutError(
            f"the set is split into {len(plan.plans)} documents", "one", "write them with write_sets", field="split_by"
        )
    return set_document(plan.plans[""], command=command)
