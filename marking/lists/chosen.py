"""Which items of a list are printed: those asked for by id or socket, or those that an older list does not have."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Sequence
from dataclasses import fields, replace
from typing import Any, NamedTuple

from ..errors import RangeError
from ..fastening.hexagons import parse_opening
from ..fastening.spec_grammar import parse_spec
from ..quantities.parse import parse_length
from .cells import tried
from .headings import LENGTHS
from .items import Item
from .table_file import shown, some

MAX_CHOICE = 100_000
"""Longest text of ids (our choice)."""


class Changes(NamedTuple):
    """What became of the items of an older list, by their ids.

    Of the `recounted` only the number of copies or the title is another: their old pieces are still good.
    """

    new: tuple[str, ...]
    changed: tuple[str, ...]
    recounted: tuple[str, ...]
    gone: tuple[str, ...]


def chosen(items: Sequence[Item], text: str, field: str, where: str = "", fault: str = "") -> list[Item]:
    """Return the items with the ids, or of the sockets, that a text names: chosen(items, "A-1, B-2", "only").

    `field` is "only" or "socket". Raises RangeError for a name that no item has; it says `where` that is, " for these
    sockets", and tells a `fault` of the list that may be why.
    """
    own: Callable[[Item], str] = (lambda item: item.socket) if field == "socket" else (lambda item: item.id)
    known = {own(item) for item in items}
    whole = text.strip()
    wanted = [whole] if whole in known else [part.strip() for part in re.split("[;,]", text[:MAX_CHOICE])]
    names = dict.fromkeys(name for name in wanted if name)
    lost = [name for name in names if name not in known]
    if lost or not names:
        near = difflib.get_close_matches(lost[0][:60], sorted(known)[:5000], 3, 0.5) if lost else []
        what = (
            f"the list has no {'socket' if field == 'socket' else 'id'} {some(map(shown, lost)) or shown(text)}{where}"
        )
        advice = f"nearest: {', '.join(near)}" if near else f"check {{@{field}}}"
        if fault:
            what, advice = f"{what} in a row without faults", f"{advice}, or mend {fault}"
        raise RangeError(what, "", advice, text, field)
    return [item for item in items if own(item) in names]


def changes(items: Sequence[Item], before: Sequence[Item]) -> Changes:
    """Return which items are new or print something else than those of the same id before, and which ids are gone."""
    old = {item.id: item for item in before}
    now = {item.id for item in items}
    new = tuple(item.id for item in items if item.id not in old)
    kept = [(item, old[item.id]) for item in items if item.id in old]
    changed = tuple(item.id for item, was in kept if _printed(item) != _printed(was))
    recounted = tuple(item.id for item, was in kept if (item.copies, item.title) != (was.copies, was.title))
    return Changes(
        new, changed, tuple(name for name in recounted if name not in {*changed}),
        tuple(name for name in old if name not in now),
    )  # fmt: skip


def newer(items: Sequence[Item], before: Sequence[Item]) -> tuple[list[Item], Changes]:
    """Return the items to print because they are new or changed, and what became of all.

    Of those that are only wanted more often it is the copies that are missing.
    """
    found = changes(items, before)
    had = {item.id: item.copies for item in before if item.id in found.recounted}
    wanted = {*found.new, *found.changed}
    missing = ((item, item.copies - had.get(item.id, 0)) for item in items if item.id in wanted or item.id in had)
    return [replace(item, copies=copies) for item, copies in missing if copies > 0], found


def _printed(item: Item) -> tuple[Any, ...]:
    """What of an item decides what each of its pieces is, however it was typed."""
    others = ("file", "row", "copies", "title")
    return tuple(_meaning(item, field.name) for field in fields(item) if field.name not in others)


def _meaning(item: Item, name: str) -> Any:
    value = getattr(item, name)
    if value is None:
        return None
    if name == "spec":
        spec = tried(parse_spec, value, item.thread, item.points, item.witness)[0]
        return spec.read_as if spec else value
    if name in LENGTHS:
        length = tried(parse_opening, value)[0] if name == "opening" else tried(parse_length, value, name)[0]
        return (length[0] if name == "opening" else length).mm if length else value
    return value
