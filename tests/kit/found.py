"""Reads the finished index of a set, and at the places that it names the pieces themselves."""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path
from typing import Any

import pypdfium2

from kit.sets import the_set
from marking.files.pdf import PT_PER_MM, pdf_bytes
from marking.outputs.sets.pages import set_document
from marking.outputs.sets.plan import SetPlan, lying_mm

TURNS = "30°, 45°, 60°, 75° ±8, 90°, 90° +10/-0, 100°, 120° ±5, 135° ±10, 180° ±10"

PLACE = r"(\d+) ([A-Z]+\d+(?:[,–] ?[A-Z]+\d+)*)"


def register(path: Path, count: int, turns: str = TURNS) -> SetPlan:
    """A set of every turn on so many sockets of 20 to 45 mm."""
    rows = [f"S{k:03d};{(6, 12)[k % 2]};1/2;;{20 + k * 25 / count:.2f} mm" for k in range(count)]
    path.write_text("\n".join(["id;points;drive;opening;od", *rows]), "utf-8")
    return the_set(None, turns=turns, sockets=str(path))


def read_index(texts: list[str], ids: list[str]) -> dict[str, str]:
    """What the finished index prints behind each id, up to the next one."""
    found = {}
    for text in texts:
        rows = re.split(r"\s+", text)
        at = [k for k, word in enumerate(rows) if word in set(ids)]
        for begin, end in pairwise([*at, len(rows)]):
            found[rows[begin]] = " ".join(rows[begin + 1 : end])
    return found


def within(page: Any, texts: Any, plan: SetPlan, number: int) -> str:
    """The words of the finished page within the cut of a part."""
    spot = plan.spots[number]
    part = plan.parts[spot.part]
    width, height = lying_mm(part, spot)
    left, bottom = (spot.x, spot.y) if spot.turned else (spot.x, spot.y + part.words_mm)
    right = spot.x + (part.height_mm if spot.turned else width)
    box = (left, bottom, right, spot.y + height)
    return str(texts.get_text_bounded(*(mm * PT_PER_MM for mm in box)))


def check_found(plan: SetPlan) -> None:
    """Every piece stands where the finished index says, and says within its cut which it is and for which socket."""
    pdf = pypdfium2.PdfDocument(pdf_bytes(set_document(plan)))
    front = plan.front.pages
    texts = [page.get_textpage() for page in pdf]
    index = read_index([text.get_text_bounded() for text in texts[:front]], [part.item.id for part in plan.parts])
    assert len(index) == len(plan.parts)
    for number, spot in enumerate(plan.spots):
        item = plan.parts[spot.part].item
        row = index[item.id]
        where = re.search(f"{re.escape(plan.parts[spot.part].size)} {PLACE}", row)
        assert where, row
        page, places = where.groups()
        assert (int(page), places) == (front + spot.page + 1, spot.place)
        assert item.socket in row.split()
        assert ("LEFT-HAND" in row[: where.end()]) is (item.thread == "left")
        words = re.sub(r"\s+", " ", within(pdf[front + spot.page], texts[front + spot.page], plan, number))
        assert item.id in words, (item.id, words)
        assert item.socket in words
        assert f"OD {float((item.od or '').removesuffix(' mm')):g} mm" in words
        assert ("left-hand" in words.casefold()) is (item.thread == "left")
