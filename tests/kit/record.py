"""Record cards as read back from finished drawings."""

from __future__ import annotations

from functools import lru_cache
from typing import Any
from xml.etree import ElementTree

from kit.measure import SVG, drawn_groups, of_role, placed_texts, strokes
from marking.drawing.primitives import Document
from marking.outputs.record.plan import plan as plan_record
from marking.outputs.record.request import read as read_record
from marking.outputs.record.sheet import draw as record_document

Places = dict[int, tuple[float, float]]
SPEC = "110 N·m + 90° +10/-0"
CIRCLES = [2, 4, 5, 8, 12, 24, 59, 60]
ROWS = [(4, 2), (10, 2), (14, 2), (15, 3), (5, 1), (60, 2), (36, 6)]
PAPERS = ["a4", "a5", "letter"]


@lru_cache(maxsize=256)
def a_card(spec: str = SPEC, fasteners: int = 8, **more: Any) -> Document:
    return record_document(plan_record(read_record(spec, fasteners, **more)))


def the_plan(document: Document) -> ElementTree.Element:
    (plan,) = drawn_groups(document, "plan")
    return plan


def numbers_in(plan: ElementTree.Element) -> Places:
    """The middle of each number's baseline on the page, y turned upwards, by the number that is written."""
    texts = [text for text in plan.iter(f"{SVG}text") if text.get("class") == "place-number"]
    assert all(text.get("text-anchor") == "middle" for text in texts)
    found = {int(str(text.text)): (float(text.get("x", "nan")), -float(text.get("y", "nan"))) for text in texts}
    assert len(found) == len(texts), "no number twice"
    return found


def middle(places: Places) -> tuple[float, float]:
    return (
        sum(x for x, _ in places.values()) / len(places),
        sum(y for _, y in places.values()) / len(places),
    )


def words_of(document: Document) -> str:
    """All words as one reads them: lines joined, without the dashes and numbers of lists."""
    texts = (text.text for page in document.pages for text in placed_texts(page))
    return " ".join(text for text in texts if text != "–" and not text.isdigit())


def record_tables(document: Document) -> list[ElementTree.Element]:
    """The tables with a row a fastener, in the order of the pages."""
    tables = drawn_groups(document, "table")
    return [table for table in tables if "manual's" in [text.text for text in table.iter(f"{SVG}text")]]


def edges(table: ElementTree.Element) -> tuple[list[float], list[float]]:
    """Where the upright and the level lines of a table lie."""
    lines = of_role(strokes(table), "rule", "rule-strong")
    upright = sorted({line.x1 for line in lines if line.x1 == line.x2})
    level = sorted({line.y1 for line in lines if line.y1 == line.y2})
    return upright, level
