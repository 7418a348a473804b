"""Whole jobs from hostile texts: numbers, JSON, text and drawing, and of some the finished file."""

from __future__ import annotations

import json
import random
import tempfile
from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from hostile.harness import Kind, reads
from hostile.texts import ERRORS, SPECS, spoilt
from marking import OUTPUTS, save
from marking.drawing.primitives import primitives

SUFFIXES = (".pdf", ".svg")

Values = dict[str, Sequence[Any]]
"""For each argument, values that are good; None leaves the argument out."""

SHEET: Values = {
    "spec": SPECS, "thread": ("right", "right", "left"), "witness": (None, "fresh", "fresh", "first"),
    "paper": ("a4", "a4", "letter", "a5", "a3", "8.5x11in"), "margin": (None, None, "8 mm"),
    "printer": (None,) * 30 + ("office",), "title": ("", "Bogie bay", "Ø 30 · N·m"),
}  # fmt: skip
SOCKET: Values = SHEET | {
    "points": (4, 6, 8, 12, 12), "drive": ("1/4", "3/8", "1/2", "1/2 in", "12.5 mm", "3/4", "1"),
    "opening": (None, None, "19 mm", "3/4 in", "13 mm"), "stock": (None, "0.1 mm", "0.004 in"),
    "height": (None, None, "16 mm", "20 mm"), "start": ("corner", "flat"), "copies": (1, 2, 3), "fasteners": (1, 4, 12),
    "ring": (None, "full", "sector"), "ring_width": (None, "12 mm", "1/2 in"),
    "errors": ({}, {"witness_error": "0.4 mm"}, ERRORS, {"view_angle": "20°"}),
    "paper": (*SHEET["paper"], "62mm x roll", "12mm x roll", "62x100"),
}  # fmt: skip
BAND: Values = SOCKET | {
    "od": ("27.8 mm", "1-3/32 in", "24 mm", "38,5 mm", "60 mm", "120 mm"),
    "ring_bore": (None, None, "30 mm"), "unit": (None, "mm", "in"),
}  # fmt: skip
TRIM: Values = SOCKET | {
    "od_range": (None, "24 mm..32 mm", "1 in..1-1/4 in"), "trim_error": (None, "0.5 mm"),
}  # fmt: skip
DISC: Values = SHEET | {
    "drive": SOCKET["drive"], "points": (None, 6, 12), "diameter": (None, "80 mm", "4 in"), "copies": (1, 2),
    "errors": SOCKET["errors"], "disc_gap": (None, "2 mm"), "unequal_scale": (None, "0.1 %"),
    "sway_error": (None, "1 mm"),
}  # fmt: skip
MAT: Values = SHEET | {
    "drive": SOCKET["drive"], "points": (None, 6, 12), "od": (None, None, "27.8 mm", "1-1/8 in"),
    "od_range": (None, None, "24 mm..32 mm"), "opening": (None, "19 mm"), "start": ("corner", "flat"),
    "errors": SOCKET["errors"], "pen_error": (None, "0.4 mm"), "unequal_scale": (None, "0.1 %"), "fasteners": (1, 9),
}  # fmt: skip
STRETCH: Values = SHEET | {
    "spec": ("40 N·m + 45° ±3", "30 lbf·ft + 1/12 turn ±3", "20 Nm + 10°", *SPECS), "screw": ("M12x1.75", "M12", "M10"),
    "strength": ("10.9", "8.8", "12,9", "A2-70"), "grip": ("120 mm", "60 mm", "4 in"), "shank": (None, "30 mm"),
    "joint_modulus": (None, "70 GPa", "14 Mpsi"), "friction": (None, "0.10..0.16", "0,12"), "bearing": (None, "20 mm"),
    "thread_friction": (None, "0.1"), "head_friction": (None, "0.1..0.2"), "hole": (None, "13.5 mm"),
    "waist": (None, "20 mm x 9 mm", "9 mm x 9 mm + 1 in x 10 mm"), "washers": (None, "2.5 mm", "2 x 2.5 mm"),
    "joint": ("nut", "tapped", "stud"), "head": ("hexagon", "socket"), "seams": (1, 2), "settling": (None, "0.01 mm"),
    "wrench": (None, "4 %"), "readout": ("band", "ring", "disc", "mat"), "socket_od": (None, "27 mm"),
    "reading_error": (None, "2°"),
}  # fmt: skip
RECORD: Values = SHEET | {
    "fasteners": (4, 5, 8, 24), "pattern": ("circle", "circle", "rows"), "rows": (None, None, None, 2, 3),
}  # fmt: skip
LESSON: Values = {name: good for name, good in SHEET.items() if name != "witness"} | {
    "points": (4, 6, 8, 12), "trainees": (None, 1, 2), "seed": (1, 999),
    "names": (None, "Anna\nBojan", "bay;name\n1;Anna\n2;Bojan", "Blau, Anna"), "units": ("both", "metric", "inch"),
    "threads": ("both", "left"), "no_practice": (False, False, True),
}  # fmt: skip

COUNTS = (-1, 0, 1, 3, 7, 13, 51, 201, 10**6)


class Order(NamedTuple):
    """The arguments of a job, and the suffix of the file it is to be drawn to, "" for none."""

    arguments: dict[str, Any]
    suffix: str


def make(rng: random.Random, values: Values, files: float) -> Order:
    """Return a job of good values, some of them spoilt; of `files` (0 to 1) of the jobs a file is to be made."""
    arguments = {name: rng.choice(good) for name, good in values.items()}
    for name in rng.choices(list(values), k=rng.choice((0, 0, 1, 1, 2))):
        arguments[name] = _spoilt(rng, values[name], arguments[name])
    given = {name: value for name, value in arguments.items() if value is not None}
    return Order(given, rng.choice(SUFFIXES) if rng.random() < files else "")


def _spoilt(rng: random.Random, good: Sequence[Any], value: Any) -> Any:
    if any(isinstance(one, int) for one in good):
        return rng.choice(COUNTS)
    if isinstance(value, dict):
        return {name: spoilt(rng, (text,)) for name, text in value.items()}
    return spoilt(rng, [text for text in good if text])


def _made(order: Order, name: str) -> None:
    """Make an output: look at every number and every stroke, and write the file if one is asked for."""
    made = OUTPUTS[name]
    arguments = {key: value for key, value in order.arguments.items() if key != "errors"}
    extras = {"extras": ("disc",)} if name == "job" and arguments["copies"] == 1 else {}
    plan = made.plan(made.read(**arguments, **extras, **order.arguments.get("errors", {})))
    json.dumps(made.data(plan), allow_nan=False)
    if name in ("job", "stretch"):
        assert made.text(plan).strip()
    document = made.draw(plan)
    for page in document.pages:
        for placed in page.placed:
            assert all(True for _ in primitives(placed.drawing.content))
    if order.suffix:
        with tempfile.TemporaryDirectory(prefix="hostile-") as folder:
            assert save(document, str(Path(folder) / f"job{order.suffix}"))


def _kind(name: str, values: Values, output: str, files: float = 0.1) -> Kind:
    return Kind(name, partial(make, values=values, files=files), reads(partial(_made, name=output)))


KINDS: tuple[Kind, ...] = (
    _kind("job, band", BAND, "job"),
    _kind("job, trim bands", TRIM, "job"),
    _kind("job, disc", DISC, "disc"),
    _kind("job, mat", MAT, "mat"),
    _kind("job, stretch", STRETCH, "stretch"),
    _kind("job, record card", RECORD, "record"),
    _kind("job, lesson", LESSON, "lesson", 0.05),
)
