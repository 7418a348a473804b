"""Finds a piece of a set by what somebody who holds one can say of it: its length, its turn, its words."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from ...errors import RangeError
from ...quantities.parse import parse_length
from ...quantities.scanner import ANY_CASE
from ...quantities.units import MM_PER_IN
from .front import Places
from .pieces import SetPart, spec_of
from .plan import SetPlan, SetsPlan

NEAR_MM, NEAR = 1.0, 0.015
"""How far a measured length may be off: as much as a ruler beside a curled band, or paper that prints 1.5 % off."""

MAX_QUERY = 200

_LENGTH = re.compile(r"[Øø⌀]?\s?\d[\d.,]*(?:[ -]\d+/\d+|/\d+)?\s?(?:mm|cm|in\b|\"|″)", ANY_CASE)

_NUMBER = re.compile(r"\d+(?:[.,]\d+)?", ANY_CASE)

_TURN = re.compile(r"(\d+(?:[.,]\d+)?)(?:°|deg)?", ANY_CASE)


class Found(NamedTuple):
    """A piece that answers, how far its length is off in mm, and the words about it."""

    part: SetPart
    off_mm: float
    words: str


def find(sets: SetsPlan, query: str) -> list[Found]:
    """Return the pieces that a text such as "88 mm 90 S19" is said of, those of the nearest length first.

    A number with a unit is a measured closed length or diameter, one without a turn in degrees or a word or, where no
    piece answers so, a length in mm or inches; every other word stands somewhere in id, socket, title, spec or kind.
    Where no piece answers to all of it, the text as a whole may stand there: "OD 27.8 mm".
    Raises RangeError for a text without any, and TextInputError for a length that cannot be read.
    """
    if not query.strip() or len(query) > MAX_QUERY:
        raise RangeError("nothing is looked for", f"words of at most {MAX_QUERY} characters, such as 88 mm 90")
    lengths = [parse_length(found.lstrip("Øø⌀ ")).mm for found in _LENGTH.findall(query)]
    words = _LENGTH.sub(" ", query).split()
    found = list(_found(sets, lengths, words)) or list(_found(sets, lengths, words, bare=True))
    return sorted(found or _found(sets, (), (query,)), key=lambda found: found.off_mm)


def _found(sets: SetsPlan, lengths: Sequence[float], words: Sequence[str], bare: bool = False) -> Iterator[Found]:
    for key, plan in sets.plans.items():
        answers = dict(_answers(plan, lengths, words, bare))
        if not answers:
            continue
        front, places = plan.front.pages, Places(plan.parts, plan.spots)
        rows = {first: row for row, first in enumerate(places.firsts)}
        for number, off in answers.items():
            part = plan.parts[number]
            where = "; ".join(f"page {front + page} {place}" for page, place in places.of(rows[number]))
            title = [part.item.title] if part.item.title else []
            spec = spec_of(part.item)
            read_as = spec.read_as if spec.clockwise else f"{spec.read_as}, LEFT-HAND"
            socket = [part.item.socket, part.socket_line] if part.item.socket else [part.socket_line]
            size = [part.size] if part.size else []
            said = " · ".join([*title, read_as, *socket, *size, f"{key} {where}".strip()])
            yield Found(part, off, f"{part.name}: {said}")


def _answers(plan: SetPlan, lengths: Sequence[float], words: Sequence[str], bare: bool) -> Iterator[tuple[int, float]]:
    """The first part of every piece that answers, and how far its length is off.

    Words that are `bare` numbers may be lengths too.
    """
    seen = set()
    for number, part in enumerate(plan.parts):
        key = part.item.id, part.number
        if not part.number or key in seen:
            continue
        seen.add(key)
        unsaid = [word for word in words if not _says(part, word)]
        if unsaid and not (bare and all(map(_NUMBER.fullmatch, unsaid))):
            continue
        outline = plan.outline(part) if lengths or unsaid else None
        low, high = outline.lengths_mm if outline else (0.0, 0.0)
        wanted = [*((mm,) for mm in lengths), *map(_in_mm, unsaid)]
        offs = [min(max(low - mm, mm - high, 0.0) for mm in may_be) for may_be in wanted]
        if all(high > 0.0 and off <= max(NEAR_MM, NEAR * high) for off in offs):
            yield number, max(offs, default=0.0)


def _in_mm(word: str) -> tuple[float, ...]:
    """What a bare number may be in mm: millimetres, or inches."""
    number = float(word.replace(",", "."))
    return number, number * MM_PER_IN


def _says(part: SetPart, word: str) -> bool:
    item, spec = part.item, spec_of(part.item)
    turn = _TURN.fullmatch(word)
    if turn and any(abs(stage.turn_deg - float(turn[1].replace(",", "."))) < 1e-6 for stage in spec.stages):
        return True
    hand = "" if spec.clockwise else "left-hand"
    said = _plain(" ".join((part.name, item.socket, item.title, item.kind, part.socket_line, hand)))
    if turn and turn[1] != word:
        return False
    return word in said.split() if turn else _plain(word) in _plain(f"{said} {part.size} {spec.read_as}")


def _plain(text: str) -> str:
    """A text as any keyboard types it."""
    return " ".join(text.replace("+/-", "±").replace("−", "-").replace("–", "-").casefold().split())
