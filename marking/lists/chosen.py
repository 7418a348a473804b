"""Which items of a list are printed: those asked for by id or socket, or those that an older list does not have."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Sequence
from dataclasses import fields
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
    """What became of the items of an older list, by their ids."""

    new: tuple[str, ...]
    changed: tuple[str, ...]
    gone: tuple[str, ...]


def chosen(items: Sequence[Item], text: str, field: str) -> list[Item]:
    """Return the items with the ids, or of the sockets, that a text names: chosen(items, "A-1, B-2", "only").

    `field` is "only" or "socket". Raises RangeError for a name that no item has.
    """
    own: Callable[[Item], str] = (lambda item: item.socket) if field == "socket" else (lambda item: item.id)
    known = {own(item) for item in items}
    whole = text.strip()
    wanted = [whole] if whole in known else [part.strip() for part in re.split("[;,]", text[:MAX_CHOICE])]
    names = dict.fromkeys(name for name in wanted if name)
    lost = [name for name in names if name not in known]
    if lost or not names:
        near = difflib.get_close_matches(lost[0][:60], sorted(known)[:5000], 3, 0.5) if lost else []
        what = f"the list has no {'socket' if field == 'socket' else 'id'} {some(map(shown, lost)) or shown(text)}"
        raise RangeError(what, "", f"nearest: {', '.join(near)}" if near else f"check {{@{field}}}", text, field)
    return [item for item in items if own(item) in names]


def changes(items: Sequence[Item], before: Sequence[Item]) -> Changes:
    """Return which items are new or print something else than those of the same id before, and which ids are gone."""
    old = {item.id: item for item in before}
    now = {item.id for item in items}
    new = tuple(item.id for item in items if item.id not in old)
    changed = tuple(item.id for item in items if item.id in old and _printed(item) != _printed(old[item.id]))
    return Changes(new, changed, tuple(name for name in old if name not in now))


def _printed(item: Item) -> tuple[Any, ...]:
    """What of an item decides what is printed, however it was typed."""
    return tuple(_meaning(item, field.name) for field in fields(item) if field.name not in ("file", "row"))


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
