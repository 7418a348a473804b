"""What lists have to say beside their items and faults."""

from __future__ import annotations

from ..remarks import Template

COLUMNS_NOT_READ = Template("columns-not-read", "{file}: columns not read: {columns:list}")
ONE_SHEET = Template("one-sheet", "{file}: of its sheets only {sheet} is read, not: {others}")
GUESSED_ENCODING = Template(
    "guessed-encoding",
    "{file}: no UTF-8, so its encoding was guessed: Windows-1252; look whether letters are right, first in {first}; "
    "if not, save the list as CSV in UTF-8",
)
DOUBLE_ID = Template("double-id", "the id {id} stands in rows {rows}: numbered {id}, {id}-2 and so on")
ALIKE_IDS = Template("alike-ids", "ids that look alike: {ids}")
