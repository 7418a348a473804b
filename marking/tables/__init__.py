"""Values of published standards; every file names its source in its header."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

FOLDER = Path(__file__).parent


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Return the rows of `tables/{name}.csv` by column name, without the header comments."""
    text = (FOLDER / f"{name}.csv").read_text(encoding="utf-8")
    return tuple(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))
