"""Numbers that are others upside down, and LEFT-HAND white on black, down to the finished files."""

from __future__ import annotations

import pytest

from kit.each import each
from marking.drawing.emphasis import left_hand, left_hand_size_mm, misread_upside_down, underlined
from marking.drawing.primitives import Anchor, Line, Text


@each("text", ["6", "9", "66", "68", "89", "99", "16", "18", "19", "61", "106", "6°"])
def test_numbers_that_are_others_upside_down_are_underlined(text: str) -> None:
    drawn = underlined(Text(10.0, 5.0, text, 8.0, anchor="middle"))
    assert misread_upside_down(text)
    line = drawn[1]
    assert isinstance(line, Line)
    assert line.x1 < 10.0 < line.x2
    assert line.y1 == line.y2 < 5.0


@each("text", ["0", "1", "8", "11", "69", "96", "88", "2", "12", "60", "90°", "7", "", "6–7", "A"])
def test_all_others_are_not(text: str) -> None:
    assert not misread_upside_down(text)
    assert len(underlined(Text(10.0, 5.0, text, 8.0))) == 1


@each("anchor", ["start", "middle", "end"])
def test_left_hand_stands_white_within_its_black_box(anchor: Anchor) -> None:
    width, height = left_hand_size_mm(9.0)
    box, words = left_hand(20.0, 3.0, 9.0, anchor)
    xs, ys = [x for x, _ in box.points], [y for _, y in box.points]
    assert (words.grey, box.fill) == (1.0, 0.0)
    assert min(xs) == pytest.approx({"start": 20.0, "middle": 20.0 - width / 2, "end": 20.0 - width}[anchor])
    assert max(ys) - min(ys) == pytest.approx(height)
    assert min(xs) < min(x for x, _ in words.box) < max(x for x, _ in words.box) < max(xs)
    assert min(ys) < min(y for _, y in words.box) < max(y for _, y in words.box) < max(ys)
