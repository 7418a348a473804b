"""From lists and registers to finished files of a set: the one call that does all of it."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from pathlib import Path

from ...errors import LayoutError, OutputError
from ...fastening.spec_grammar import parse_spec
from ...files.formats import warn_of_stale, writers
from ...files.whole import Writer, write_whole
from ...lists.items import Item
from ...lists.read import read_list, read_register, turn_items
from ...printers.setup import read_sheet
from .pages import set_document
from .plan import SetPlan, plan_good
from .request import SetOptions

MAX_FILES = 2000


def plan_sets(
    list_file: str | None,
    *,
    sockets: str | None = None,
    turns: str | None = None,
    points: str | None = None,
    drive: str | None = None,
    tags: bool = False,
    split_by: str | None = None,
    title: str = "",
    paper: str = "a4",
    margin: str | None = None,
    printer: str | None = None,
    stock: str | None = None,
) -> dict[str, SetPlan]:
    """Return the numbers of a set from a list file, or from turns on every socket of a register.

    With `split_by` "id", "turn" or "socket" there is a plan for each, by its key; else one plan under "". They hold the
    good rows, and the first one the faults of all others; when no row is good, a single plan holds faults alone. Raises
    a MarkingError for files that cannot be read, and LayoutError for a list without rows.
    """
    register = read_register(sockets) if sockets is not None else None
    by_turns = turns is not None
    listing = turn_items(turns or "", register, points, drive) if by_turns else read_list(list_file or "", register)
    faults = (*(register.faults if register else ()), *listing.faults)
    notes = tuple(("", remark) for remark in (*(register.warnings if register else ()), *listing.warnings))
    sheet, _ = read_sheet(paper, margin, printer, stock)
    options = SetOptions(sheet, title, stock, printer, tags)
    if not listing.items and not faults:
        raise LayoutError("the list holds no rows", "at least one row below the header", "check the file", list_file)
    planned = {key: plan_good(items, options) for key, items in _split(listing.items, split_by).items()}
    plans = {key: plan._replace(faults=()) for key, plan in planned.items() if plan.parts}
    plans = plans or {"": plan_good([], options)}
    faults = (*faults, *(fault for plan in planned.values() for fault in plan.faults))
    first, *_ = plans
    return plans | {first: plans[first]._replace(remarks=(*notes, *plans[first].remarks), faults=faults)}


def _split(items: Sequence[Item], by: str | None) -> dict[str, list[Item]]:
    """Items by the key of their file, in the order of the list."""
    if by is None:
        return {"": list(items)}
    found: dict[str, list[Item]] = {}
    for item in items:
        found.setdefault(_key(item, by), []).append(item)
    if len(found) > MAX_FILES:
        raise OutputError(f"splitting makes {len(found)} files", f"at most {MAX_FILES}", "split by something coarser")
    return dict(zip(_file_parts(list(found)), found.values(), strict=True))


def _key(item: Item, by: str) -> str:
    """What an item's file is named after."""
    if by == "id":
        return item.id
    if by == "socket":
        return item.socket or f"{item.points or ''}-{item.drive}-{item.od or item.around or 'trim'}"
    return " then ".join(stage.text for stage in parse_spec(item.spec).stages)


def _file_parts(keys: Sequence[str]) -> list[str]:
    """Parts of file names for keys, different even where a file system does not tell capitals from small letters."""
    taken: set[str] = set()
    parts = []
    for key in keys:
        part = plain = _file_part(key)
        number = 1
        while part.casefold() in taken:
            number += 1
            part = f"{plain}-{number}"
        taken.add(part.casefold())
        parts.append(part)
    return parts


def _file_part(key: str) -> str:
    """A key as part of a file name: letters, digits and . + - _ stay, everything else becomes one dash."""
    return re.sub(r"[^\w.+-]+", "-", key.replace("°", "deg").replace("/", "-")).strip("-.") or "unnamed"


def write_sets(
    plans: dict[str, SetPlan], output: str, jobs: int = 1, made: Callable[[int], None] | None = None
) -> dict[str, tuple[list[str], int]]:
    """Write the files of planned sets, all of them or none; return for each key its files and its index's pages.

    Raises OutputError for a name without a known suffix, or that cannot be written, and LayoutError for a set without
    parts; warns with OutputWarning of pages that older, longer sets of the same names have left.
    """
    target = Path(output)
    targets = {key: str(target.with_stem(f"{target.stem}-{key}") if key else target) for key in plans}
    files: dict[Path, Writer] = {}
    written: dict[str, tuple[list[str], int]] = {}
    for key, plan in plans.items():
        document = set_document(plan, jobs, made)
        own = writers(document, targets[key])
        files |= own
        written[key] = ([str(path) for path in own], len(document.pages) - len(plan.papers))
    write_whole(files)
    warn_of_stale(targets.values(), files)
    return written
