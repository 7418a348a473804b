"""What is asked for when a set is printed, beside its list."""

from __future__ import annotations

from dataclasses import dataclass

from ...sheets.paper import Paper

DEFAULT_TITLE = "Set of marking bands"


@dataclass(frozen=True)
class SetOptions:
    """How a set is printed: `paper` a whole sheet, corrected for the printer or not; `stock` and `printer` as texts."""

    paper: Paper
    title: str = ""
    stock: str | None = None
    printer: str | None = None
    tags: bool = False
