"""What lists hold: pieces, sockets, registers, and faults with their row and column."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import NamedTuple

from ..errors import Namer, plain_name
from ..remarks import Remark, Template
from .cells import MAX_ID
from .table_file import shown, some
from .words import ALIKE_IDS, DOUBLE_ID, SAME_FAULT


class Fault(NamedTuple):
    """Something wrong in a list: `row` counts as a spreadsheet does, from 1 at the top; the header is row 1.

    `shared` is the sentence for many rows of a column that have the same fault each in its own words.
    """

    file: str
    row: int
    column: str
    message: str
    shared: Template | None = None

    @property
    def text(self) -> str:
        """The fault on one line: "list.csv:7: od: 27.8 has no unit; expected mm, cm, m or in; write …"."""
        return f"{shown(self.file, 300)}:{self.row}: {self.column}: {self.message}"


def told(faults: Iterable[Fault], name: Namer = plain_name) -> list[str]:
    """Return faults as lines: those that many rows have alike in one column as one, at the first of these rows."""
    groups: dict[tuple[str, str, str], dict[int, Fault]] = {}
    for fault in faults:
        alike = fault.shared.code if fault.shared else fault.message
        groups.setdefault((fault.file, fault.column, alike), {}).setdefault(fault.row, fault)
    return [_told([*group.values()], name) for group in groups.values()]


def _told(group: list[Fault], name: Namer) -> str:
    first = group[0]
    if len(group) == 1:
        return first.text
    values = {"count": len(group), "rows": some(fault.row for fault in group), "column": first.column}
    message = (first.shared or SAME_FAULT)(message=first.message, **values).said(name)
    return first._replace(message=message).text


@dataclass(frozen=True, slots=True)
class Item:
    """One piece to print, its fields checked but still texts, as `read_job` takes them.

    `drive` is the trade name in inches. `points` is None only for a disc or a mat; `od` and `around` are both None
    only for a trim band, a disc or a mat. `socket` is the id of the socket in the register, "" if none; `fasteners` how
    many witness pointers go with the piece, None for none; `file` and `row` tell where the piece was asked for.
    """

    id: str
    spec: str
    points: int | None
    drive: str
    opening: str | None
    od: str | None
    around: str | None
    thread: str = "right"
    stock: str | None = None
    copies: int = 1
    title: str = ""
    kind: str = "band"
    socket: str = ""
    file: str = ""
    row: int = 0
    witness: str | None = None
    start: str | None = None
    height: str | None = None
    fasteners: int | None = None


class Listing(NamedTuple):
    """What a list holds: its good rows as items, the faults of the others, and warnings."""

    items: tuple[Item, ...]
    faults: tuple[Fault, ...]
    warnings: tuple[Remark, ...]


class ListedSocket(NamedTuple):
    """A socket of the register, checked: of `od` and `around`, one is given or, for trim bands, none."""

    id: str
    points: int
    drive: str
    opening: str | None
    od: str | None
    around: str | None
    file: str
    row: int


class Register(NamedTuple):
    """The sockets of a shop by their ids; `refused` holds the ids of those that have faults."""

    sockets: dict[str, ListedSocket]
    faults: tuple[Fault, ...]
    warnings: tuple[Remark, ...]
    refused: frozenset[str] = frozenset()


_CONFUSED = str.maketrans(
    "oilосіеарухкмнтвοιαεκμνρτυχβζη" + "\u2010\u2011\u2012\u2013\u2014\u2015\u2212_",
    "011" + "0c1eapyxkmhtb" + "01aekmnptyxbzh" + "-" * 8,
)
"""After casefolding: O and 0; l, I and 1; letters of Cyrillic and Greek with a Latin twin; dashes and underline."""


def _folded(name: str) -> str:
    """Return the id with everything folded together that people take for the same: _folded("S 1O") = "s10"."""
    return "".join(name.casefold().translate(_CONFUSED).split())


def numbered(items: Iterable[Item]) -> tuple[list[Item], list[Remark]]:
    """Number ids that stand more than once ("A", "A-2", …); return the items, and warnings about those and twins."""
    found = list(items)
    places: dict[str, list[int]] = defaultdict(list)
    for item in found:
        places[item.id].append(item.row)
    taken, last = set(places), dict.fromkeys(places, 1)
    seen: set[str] = set()
    for index, item in enumerate(found):
        name = item.id
        if name in seen:
            while name in taken:
                last[item.id] += 1
                end = f"-{last[item.id]}"
                name = item.id[: MAX_ID - len(end)] + end
            taken.add(name)
            found[index] = replace(item, id=name)
        seen.add(item.id)
    doubles = [DOUBLE_ID(id=name, rows=some(rows)) for name, rows in places.items() if len(rows) > 1]
    return found, [*doubles, *look_alikes(places)]


def look_alikes(places: dict[str, list[int]]) -> list[Remark]:
    """Return a warning for every group of ids that are easily taken for each other."""
    groups: dict[str, list[str]] = defaultdict(list)
    for name in places:
        groups[_folded(name)].append(name)
    return [
        ALIKE_IDS(ids=some([f"{name} (row {places[name][0]})" for name in names]))
        for names in groups.values()
        if len(names) > 1
    ]
