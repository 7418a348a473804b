"""Pages with something to scale carry both check rulers and say to measure them; no other page does."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from kit.each import each
from kit.measure import document_of
from marking import OUTPUTS
from marking.drawing.primitives import Group, Page, Text, primitives

SPEC = "110 N·m + 90° +10/-0"
SMALL = {"points": "8", "drive": "1/4", "od": "7 mm"}
SOCKET = {"spec": SPEC, "points": "12", "drive": "1/2", "od": "27.8 mm"}

PARTS = {
    "band", "band-piece", "trim-band", "part-ring", "drive-disc", "mat", "diameter-tape", "witness-pointer", "proof",
}  # fmt: skip
"""What has to come out at true size."""

CASES: list[tuple[str, dict[str, Any], int]] = [
    ("job", SOCKET, 0),
    ("job", {**SOCKET, "extras": ("disc", "mat"), "paper": "a5"}, 2),
    ("job", {**SOCKET, "od": None, "od_range": "24 mm..32 mm", "paper": "letter"}, 0),
    ("job", {**SOCKET, "od": "96 mm"}, 1),
    ("job", {**SMALL, "spec": f"loosen, {SPEC} + 60° ±10", "paper": "a5", "fasteners": 1, "extras": ("mat",)}, 2),
    ("disc", {"spec": SPEC, "drive": "1/2", "paper": "a5", "copies": 3}, 1),
    ("mat", {"spec": SPEC, "drive": "1/2", "paper": "a5"}, 1),
    ("tape", {}, 0),
    ("blank", {"points": "12", "drive": "1/2", "paper": "a5"}, 1),
    ("proof", {}, 0),
    ("set", {"turns": "90° ±5", "points": "6,12", "drive": "1/2", "tags": "piece"}, 1),
]
"""The output, what it is of, and how many of its pages at least are without anything to scale."""

UNMEASURED: list[tuple[str, dict[str, Any]]] = [
    ("record", {"spec": SPEC, "fasteners": 24}),
    ("chart", {}),
    ("stretch", {"spec": "40 N·m + 45° ±3", "screw": "M12x1.75", "strength": "10.9", "grip": "120 mm"}),
    ("lesson", {"spec": SPEC, "trainees": 1, "no_practice": True}),
]
"""Outputs that nobody cuts out, measures or lays a socket on, whatever their figures show."""


def names(group: Group) -> Iterator[str]:
    yield group.name
    for item in group.items:
        if isinstance(item, Group):
            yield from names(item)


def rulers_of(page: Page) -> set[str]:
    """The rulers of a page; the words beside them are there exactly when they are."""
    items = [item for placed in page.placed for item in primitives(placed.drawing.content)]
    words = " ".join(item.text for item in items if isinstance(item, Text))
    found = {item.role for item in items} & {"ruler-x", "ruler-y"}
    assert ("measure both rulers: 100 mm ± 0.5 mm" in words or "whatever its rulers show:" in words) is bool(found)
    return found


@each(("name", "texts", "without"), CASES)
def test_pages_with_a_part_to_scale_have_both_rulers_and_others_none(
    name: str, texts: dict[str, Any], without: int
) -> None:
    bare = 0
    for page in document_of(name, **texts).pages:
        measured = any(PARTS & set(names(placed.drawing.content)) for placed in page.placed)
        assert rulers_of(page) == ({"ruler-x", "ruler-y"} if measured else set())
        bare += not measured
    assert bare >= without


@each(("name", "texts"), UNMEASURED)
def test_what_is_only_read_or_written_on_has_no_rulers(name: str, texts: dict[str, Any]) -> None:
    assert not any(map(rulers_of, document_of(name, **texts).pages))


def test_every_output_with_pages_is_here() -> None:
    assert {name for name, *_ in (*CASES, *UNMEASURED)} == {name for name in OUTPUTS if OUTPUTS[name].writes != "never"}
