"""Where a card says that a mark lies on the flat band: a ruler laid on the finished page finds it there."""

from __future__ import annotations

import re

import pytest

from kit.each import each
from kit.measure import groups, only, placed_texts, strokes, svg_root
from marking import OUTPUTS

JOB = OUTPUTS["job"]


@each("thread", ["right", "left"])
@each("turn", ["90° ±20", "350° ±8", "700° ±8", "350° ±20"])
def test_a_ruler_confirms_where_the_card_says_a_mark_lies(turn: str, thread: str) -> None:
    plan = JOB.plan(JOB.read(f"20 N·m + {turn}", 12, "1/2", od="28 mm", thread=thread))
    document = JOB.draw(plan)
    (page,) = document.pages
    told = re.findall(r"([\d.]+) mm (left|right)\b", " | ".join(text.text for text in placed_texts(page)))
    lines = strokes(groups(svg_root(page, document), "band")[0])
    start = only(lines, "start").x1
    kinds = [mark.kind for mark in plan.marks[1:]]
    assert len(told) == len(kinds)
    for kind, (mm, side) in zip(kinds, told, strict=True):
        ruled = only(lines, kind).x1 - start
        assert ("right" if ruled > 0 else "left") == side
        assert abs(ruled) == pytest.approx(float(mm), abs=0.006)
    data = JOB.data(plan)
    places = [mark["mm"] * (1 if thread == "right" else -1) for mark in data["marks"][1:]]
    assert places == pytest.approx([only(lines, kind).x1 - start for kind in kinds], abs=0.001)
    assert all(f"{mm} mm {side}" in JOB.text(plan) for mm, side in told)
