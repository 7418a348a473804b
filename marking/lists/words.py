"""What lists have to say beside their items and faults."""

from __future__ import annotations

from ..remarks import Template

COLUMNS_NOT_READ = Template("columns-not-read", "{file}: columns not read: {columns:list}")
TOTALS = Template("totals", "{file}: row {row} holds totals and is not read")
ONE_SHEET = Template("one-sheet", "{file}: of its sheets only {sheet} is read, not: {others}")
GUESSED_ENCODING = Template(
    "guessed-encoding",
    "{file}: no UTF-8, so its encoding was guessed: Windows-1252; look whether letters are right, first in {first}; "
    "if not, save the list as CSV in UTF-8",
)
CHANGED = Template("changed", "changed since {file}, take their old pieces out: {ids}")
RECOUNTED = Template(
    "recounted",
    "only number or title changed since {file}, keep their old pieces; where more are wanted, the missing are printed: "
    "{ids}",
)
GONE = Template("gone", "no longer in the list since {file}, take their pieces out: {ids}")
NEW = Template("new", "new since {file}: {ids}")
NO_UNITS = Template(
    "no-units",
    "{count} cells without a unit, in rows {rows}; expected mm, cm, m or in; write the unit into the heading, "
    "as {column} (mm), or give it with {@unit}",
)
NO_REGISTER = Template(
    "no-register", "{count} rows name a socket, rows {rows}, but there is no register; give it with {@sockets}"
)
REFUSED_SOCKETS = Template(
    "refused-sockets",
    "{count} rows name sockets that have faults in the register, rows {rows}; mend the register first",
)
SAME_FAULT = Template("same-fault", "{message}; so in {count} rows: {rows}")
DOUBLE_ID = Template("double-id", "the id {id} stands in rows {rows}: numbered {id}, {id}-2 and so on")
ALIKE_IDS = Template("alike-ids", "ids that look alike: {ids}")
