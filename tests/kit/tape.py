"""Diameter tapes as read back from finished drawings, flat or wrapped."""

from __future__ import annotations

import math
from functools import cache, lru_cache
from typing import NamedTuple

import pytest

from kit.measure import SVG, Stroke, drawn_groups, of_role, only, strokes, svg_root
from marking.drawing.primitives import Document
from marking.outputs.tape.plan import plan
from marking.outputs.tape.request import TapeRequest
from marking.outputs.tape.sheet import draw
from marking.sheets.paper import SIZES, Paper

RESOLUTION_MM = {"mm": 0.1, "in": 0.127}
"""0.1 mm and 0.005 in."""


class Case(NamedTuple):
    """What a tape is asked for: ODs and stock in mm."""

    low: float
    high: float
    unit: str = "mm"
    stock: float = 0.1
    paper: str = "a4"

    @property
    def document(self) -> Document:
        return drawn_once(self)


@lru_cache(maxsize=64)
def drawn_once(case: Case) -> Document:
    return draw(plan(TapeRequest(case.low, case.high, case.unit, Paper(*SIZES[case.paper]), case.stock)))


CASES = [
    Case(8, 60),
    Case(8, 30, stock=0.0, paper="a5"),
    Case(8, 60, "in", paper="letter"),
    Case(27.3, 27.9),
    Case(60, 180, stock=0.2),
    Case(8, 120, "in", 0.25, "a5"),
    Case(200, 300, paper="a5"),
    Case(8, 300, stock=1.0),
    Case(8, 300, "in", paper="a3"),
]


class Tape(NamedTuple):
    """A printed tape glued together: u of every line from the index, lengths in mm."""

    graduations: list[tuple[float, float]]
    vernier: list[tuple[float, float]]
    outline: list[Stroke]
    splices: list[float]


@cache
def printed(case: Case) -> Tape:
    """Read a tape from its SVG pages: the pieces in order, each laid with its end on the splice line before it."""
    document = case.document
    pieces = drawn_groups(document, "diameter-tape")
    tape = Tape([], [], [], [])
    for number, piece in enumerate(pieces, 1):
        lines = strokes(piece)
        if len(pieces) > 1:
            assert piece.get("data-piece") == str(number)
        left = only(lines, "splice-edge").x1 if number > 1 else only(lines, "index").x1
        shift = (tape.splices[-1] if number > 1 else 0.0) - left
        low = only(lines, "index").y1 if number == 1 else low_edge(lines) - (6.0 if tail_only(lines) else 0.0)
        moved = [Stroke(s.role, s.x1 + shift, s.y1 - low, s.x2 + shift, s.y2 - low, s.data) for s in lines]
        tape.graduations.extend((s.x1, float(s.data["od"])) for s in of_role(moved, "graduation"))
        tape.vernier.extend((s.x1, float(s.data["od"])) for s in of_role(moved, "vernier"))
        tape.outline.extend(of_role(moved, "cut", "reading-edge"))
        tape.splices.extend(s.x1 for s in of_role(moved, "splice"))
    assert len(tape.splices) == len(pieces) - 1
    return tape


def low_edge(lines: list[Stroke]) -> float:
    return min(s.y1 for s in of_role(lines, "cut", "reading-edge"))


def tail_only(lines: list[Stroke]) -> bool:
    edge = only(lines, "splice-edge")
    return abs(edge.y2 - edge.y1) < 7.0


def read_wrapped(tape: Tape, od: float, stock: float, resolution: float) -> float:
    """Wrap the tape on a socket and read it as the sheet says; angles only, the index at 0°.

    The tail's first turn is looked at; what is longer hangs free.
    """

    def angle(u: float) -> float:
        return 360.0 * u / (math.pi * (od + stock))

    tail = [(angle(u) - 360.0, value) for u, value in tape.graduations if abs(angle(u) - 360.0) < 180.0]
    lines = [0.0, *(angle(u) for u, _ in sorted(tape.vernier))]
    misfit = [min(abs(place - line) for place, _ in tail) for line in lines]
    assert misfit[0] == pytest.approx(misfit[-1], abs=angle(0.002)), "the last line repeats the index: add nothing"
    k = misfit.index(min(misfit[:-1]))
    if k == 0:  # the index itself meets a line
        return min(tail, key=lambda graduation: abs(graduation[0]))[1]
    passed = max(value for place, value in tail if place <= 0.0)
    return passed + k * resolution


def texts(case: Case) -> list[str]:
    document = case.document
    return [e.text or "" for page in document.pages for e in svg_root(page, document).iter(f"{SVG}text")]
