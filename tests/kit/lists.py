"""Rows of lists as people type them, and what is read of them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from marking.lists.items import Fault, Item, Listing
from marking.lists.read import read_list

SPEC = "110 N·m + 90° +10/-0"
HEADER = ("id", "spec", "points", "drive", "opening", "od")
GOOD = ("B1", SPEC, "12", "1/2", "19 mm", "27,8 mm")
ITEM = Item("B1", SPEC, 12, "1/2", "19 mm", "27,8 mm", None, kind="band", row=2)
Write = Callable[..., Path]


def bare(listing: Listing) -> list[Item]:
    """The items without the file that they come from."""
    assert not listing.faults, [fault.text for fault in listing.faults]
    return [replace(item, file="") for item in listing.items]


def places(faults: Sequence[Fault]) -> list[tuple[int, str]]:
    return [(fault.row, fault.column) for fault in faults]


#: column: what is written into it, what the fault says
WRONG = {
    "id": ("a/b", "a/b cannot name a file"),
    "spec": ("110 N·m + 90 +10/-0", "110 N·m + 90 +10/-0 has “+10/-0” here; expected a unit"),
    "points": ("5", "5 is no number of points; expected 4, 6, 8 or 12"),
    "drive": ("5/8", "no drive has the size 5/8; expected one of 1/4 in"),
    "opening": ("19", "19 has no unit; expected mm, cm, m or in; write 19 mm or 19 in"),
    "od": ("27.8", "27.8 has no unit; expected mm, cm, m or in; write 27.8 mm or 27.8 in"),
    "thread": ("up", "the thread is 'up'; expected right or left"),
    "stock": ("2 mm", "the stock is 2 mm thick; expected at most 1 mm; check stock"),
    "copies": ("1001", "1001 is no number of copies; expected 1 to 1000"),
    "title": ("tab\there", "the title holds U+0009"),
    "kind": ("hoop", "hoop is no kind of piece; expected one of: band, trim band, disc, mat, ring"),
    "socket": ("S1", "S1 is looked up in no register"),
}

FULL = dict(zip(HEADER, GOOD, strict=True)) | {
    "thread": "RH", "stock": "0,1 mm", "copies": "2", "title": "Pump", "kind": "Ring"
}  # fmt: skip


def many(write: Write, *ids: str) -> Listing:
    return read_list(write(HEADER, *((name, *GOOD[1:]) for name in ids)))
