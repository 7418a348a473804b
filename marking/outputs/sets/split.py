"""Which rows of a list go to which file, and how the files are called."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ...errors import OutputError
from ...fastening.spec import Stage
from ...lists.items import Item
from ...quantities.shown import plain_number
from .pieces import spec_of

MAX_FILES = 2000


def split(items: Sequence[Item], by: str | None) -> dict[str, list[Item]]:
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
    return "-".join(map(_turn, spec_of(item).stages))


def _turn(stage: Stage) -> str:
    """A turn for a file name: "90", "90p10m0" for +10/−0, "60pm8" for ±8."""
    turn, plus, minus = plain_number(stage.turn_deg), stage.plus_deg, stage.minus_deg
    if plus is None or minus is None:
        return turn
    return f"{turn}pm{plain_number(plus)}" if plus == minus else f"{turn}p{plain_number(plus)}m{plain_number(minus)}"


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
    return (
        re.sub(r"[^\w.+-]+", "-", key.replace("°", "deg").replace("±", "pm").replace("/", "-")).strip("-.") or "unnamed"
    )
