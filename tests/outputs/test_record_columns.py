"""The record's columns, on a record card and on a job alike: a box for each thing that is done, read or signed."""

from __future__ import annotations

import re
from collections.abc import Callable

from kit.each import each
from kit.measure import placed_texts
from marking import OUTPUTS
from marking.drawing.primitives import Document


def a_job(spec: str, fasteners: int = 8, od: str = "28 mm", **more: str) -> Document:
    job = OUTPUTS["job"]
    return job.draw(job.plan(job.read(spec, 6, "1/2", od=od, fasteners=fasteners, **more)))


def a_card(spec: str, fasteners: int = 8) -> Document:
    record = OUTPUTS["record"]
    return record.draw(record.plan(record.read(spec, fasteners)))


def titles_of(document: Document) -> list[str]:
    """The titles of the record's columns, from the left, one table after the other."""
    texts = [text for page in document.pages for text in placed_texts(page)]
    ends = [text for text in texts if text.text == "audit"]
    rows = ([other for other in texts if abs(other.y - end.y) < 1e-6 and other.x <= end.x] for end in ends)
    return [text.text for row in rows for text in sorted(row, key=lambda text: text.x)]


@each("made", [a_job, a_card])
@each(("spec", "columns"), [
    ("40 N·m + 90° ±5", "snug, marked, reading, in window"),
    ("40 N·m + 90°", "snug, marked, reading, at line"),
    ("40 N·m + 450° ±5", "snug, marked, turned, reading, in window"),
    ("20 N·m, 60 N·m, 90° ±5, then 80 N·m", "20 N·m, snug, marked, reading, in window, 80 N·m"),
    ("hand tight + 90° ±5", "hand tight, marked, reading, in window"),
    ("90° ±5", "snug, marked, reading, in window"),
])  # fmt: skip
def test_there_is_a_column_for_every_pass_mark_reading_and_signature(
    made: Callable[[str], Document], spec: str, columns: str
) -> None:
    first = "order, place, manual's" if made is a_card else "no."
    assert ", ".join(titles_of(made(spec))) == f"{first}, {columns}, initials, checked, audit"


@each("made", [a_job, a_card])
@each("fasteners", [8, 40, 200])
def test_every_page_with_a_record_asks_for_part_tools_and_date(
    made: Callable[[str, int], Document], fasteners: int
) -> None:
    for page in made("20 N·m, 60 N·m, 90° ±5, 60° ±5", fasteners).pages:
        words = {text.text for text in placed_texts(page)}
        if "audit" in words:
            assert words >= {
                "part", "joint no.", "date", "manual's reference",
                "lubricant", "wrench no.", "calibration due", "technician",
            }  # fmt: skip


@each(("fasteners", "shares"), [(40, [20, 20]), (45, [23, 22]), (200, [40] * 5)])
def test_a_large_jobs_rows_are_shared_evenly(fasteners: int, shares: list[int]) -> None:
    found = []
    for page in a_job("40 N·m + 90° ±5", fasteners).pages:
        texts = list(placed_texts(page))
        lefts = [text.x for text in texts if text.text == "no."]
        found += [sum(text.text.isdigit() and abs(text.x - left) < 1e-6 for text in texts) for left in lefts]
    assert found == shares


def test_the_plan_tells_places_from_order() -> None:
    words = " ".join(
        text.text for page in a_job("40 N·m + 90° ±5", pattern="circle").pages for text in placed_texts(page)
    )
    assert "Numbers are places, those of pointers too; the column “order” is the order of tightening" in words


def test_the_ok_bracket_is_told_in_the_jobs_unit() -> None:
    for od, told in (("28 mm", r"within 0\.44 mm of"), ("1.1 in", r"within 0\.017 in \(0\.44 mm\) of")):
        words = " ".join(text.text for page in a_job("40 N·m + 90° ±5", od=od).pages for text in placed_texts(page))
        assert re.search(told, words)
