"""START and STOP on a disc stand each beside its own mark, also where the window lies close to START."""

from __future__ import annotations

import math

from kit.collisions import placed_items
from kit.each import each
from marking import OUTPUTS
from marking.drawing.primitives import Text
from marking.readouts.drive_disc.figure import left_out


@each("thread", ["right", "left"])
@each(("turn", "window_deg"), [("350° ±8", 350.0), ("12° ±10", 12.0), ("355°", 355.0)])
def test_no_label_stands_beyond_the_other_mark(turn: str, window_deg: float, thread: str) -> None:
    disc = OUTPUTS["disc"]
    plan = disc.plan(disc.read(f"60 N·m + {turn}", "1/2", diameter="70 mm", thread=thread))
    assert left_out(plan.discs[0]) == ()
    page = disc.draw(plan).pages[0]
    labels = {item.text: item for item in placed_items(page) if isinstance(item, Text) and item.role == "label"}
    start, stop = (math.radians(labels[word].rotation_deg) for word in ("START", "STOP"))
    way = 1.0 if thread == "right" else -1.0  # degrees grow counterclockwise for a right-hand thread
    side = math.sin(way * math.radians(window_deg))
    assert math.copysign(1.0, math.sin(stop)) == math.copysign(1.0, side), "STOP on its window's side of START"
    assert math.copysign(1.0, math.sin(start)) == -math.copysign(1.0, side), "START on the other"
