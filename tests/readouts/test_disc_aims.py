"""A disc that several stages share says where to aim in each of them."""

from __future__ import annotations

from kit.each import each
from kit.sets import an_item
from marking.drawing.primitives import Text, primitives
from marking.outputs.sets.pieces import planned
from marking.outputs.sets.request import SetOptions
from marking.sheets.paper import SIZES, Paper


@each("turns", [(40, 90), (40, 120), (40, 180), (40, 300), (60, 90), (85, 120)])
@each("drive", ["1/2", "1"])
def test_every_aim_line_of_a_shared_disc_has_its_figure(turns: tuple[int, int], drive: str) -> None:
    spec = f"60 N·m, {turns[0]}° ±10, {turns[1]}° ±10"
    (outline,), _ = planned(an_item(spec=spec, kind="disc", drive=drive), SetOptions(Paper(*SIZES["a4"])))
    words = [item.text for item in primitives(outline.draw().content) if isinstance(item, Text)]
    aims = [words[k + 1] for k, word in enumerate(words) if word == "aim"]
    assert sorted(aims) == sorted(f"{turn}°" for turn in turns)
