"""The table of marks names the marks of equal stages once, those of others each by itself."""

from __future__ import annotations

from kit.measure import placed_texts
from marking import OUTPUTS


def names_of(spec: str) -> list[str]:
    disc = OUTPUTS["disc"]
    document = disc.draw(disc.plan(disc.read(spec, "1/2")))
    return [text.text for page in document.pages for text in placed_texts(page) if text.text.startswith("STOP, low")]


def test_marks_of_equal_stages_stand_once() -> None:
    assert names_of("60 N·m + 90° ±5, 90° ±5, 45° ±5") == ["STOP, low edge (1, 2)", "STOP, low edge (3)"]
    assert names_of("60 N·m + 90° ±5") == ["STOP, low edge"]
