"""Stages that count from one mark stay on one piece of paper, or are refused with advice that holds."""

from __future__ import annotations

import re

import pytest

from kit.collisions import placed_items
from kit.each import each
from kit.measure import placed_texts
from marking import OUTPUTS
from marking.drawing.primitives import Document, Line
from marking.errors import LayoutError

OVER_EACH_OTHER = ("40 N·m + 60° ±15, then to 80° ±15 in all", "40 N·m + 90° ±8, then to 450° ±8 in all")
CLOSE = "40 N·m + 60° ±5, then to 73° ±5 in all"
WAYS = [
    ("disc", {"drive": "1/2"}), ("mat", {"drive": "1/2", "od": "28 mm"}), ("mat", {"drive": "1/2"}),
    ("job", {"drive": "1/2", "points": 12, "od": "28 mm"}), ("job", {"drive": "1/2", "points": 12}),
]  # fmt: skip


def drawn(name: str, spec: str, **more: object) -> Document:
    output = OUTPUTS[name]
    return output.draw(output.plan(output.read(spec, **more)))


@each("spec", OVER_EACH_OTHER)
@each(("name", "more"), WAYS)
def test_windows_over_each_other_that_count_from_one_mark_are_refused(
    name: str, more: dict[str, object], spec: str
) -> None:
    with pytest.raises(LayoutError, match="lie over each other") as refused:
        drawn(name, spec, **more)
    advice = str(refused.value)
    assert "larger" not in advice, "no diameter parts them"
    assert "disc" not in advice, "nor does a disc"
    last = spec.split(", then to ")[1].split(" in all")[0]
    assert f"one turn to {last.split()[0]} from snug" in advice
    alone = drawn(name, f"40 N·m + {last}", **more)
    assert any("STOP" in text.text for text in placed_texts(alone.pages[0])), "what is advised can be printed"


def test_discs_are_not_changed_between_stages_that_count_from_one_mark() -> None:
    with pytest.raises(LayoutError, match="changing discs between them would lose START") as refused:
        drawn("disc", CLOSE, drive="1/2")
    found = re.search(r"a disc of (\d+ mm) across", str(refused.value))
    assert found
    on = drawn("disc", CLOSE, drive="1/2", diameter=found[1], paper="a4")
    items = [item for page in on.pages for item in placed_items(page)]
    assert sum(item.role == "square-hole" for item in items) == 1
    stages = {dict(item.data)["stage"] for item in items if isinstance(item, Line) and item.role == "stop-low"}
    assert stages == {"1", "2"}, "the disc that is advised carries both stages"
    anew = OUTPUTS["disc"].plan(OUTPUTS["disc"].read("40 N·m + 60° ±5, then 73° ±5", "1/2"))
    assert len(anew.discs) == 2, "discs may be changed where every stage has a mark of its own"


def test_where_no_disc_carries_the_stages_of_one_mark_no_disc_is_advised() -> None:
    for spec, advice in {
        "40 N·m + 60° ±5, then to 70.2° ±5 in all": "one turn to 70.2° from snug",
        "40 N·m + 60° ±5, then to 90° ±5 in all, loosen, 30 N·m + 65° ±5 from snug": "specs of their own",
    }.items():
        with pytest.raises(LayoutError, match="would lose START") as refused:
            drawn("disc", spec, drive="1/2")
        assert advice in refused.value.advice
