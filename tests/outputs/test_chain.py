"""Every output goes the same way, from the front door: read, plan, draw, data, text."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from kit.collisions import check
from marking import OUTPUTS, MarkingError, save

SPEC = "110 N·m + 90° +10/-0"
GIVEN: dict[str, tuple[tuple[Any, ...], dict[str, Any]]] = {
    "job": ((SPEC, 12, "1/2"), {"od": "27.8 mm", "extras": ("disc",)}),
    "explain": ((SPEC, "6", "1/2"), {"around": "3-7/16 in"}),
    "disc": ((SPEC, "1/2"), {}),
    "tape": ((), {"high": "40 mm"}),
    "proof": ((), {}),
    "set": ((), {"turns": "60°, 90° ±5", "points": "6,12", "drive": "3/8"}),
    "record": ((SPEC, 8), {}),
    "chart": ((), {"thread": "left"}),
    "stretch": (("40 N·m + 45° ±3", "M12x1.75", "10.9", "120 mm"), {}),
    "lesson": ((SPEC,), {"trainees": 1}),
}


def test_every_output_is_driven_here() -> None:
    assert set(GIVEN) == set(OUTPUTS)


@pytest.mark.parametrize("name", GIVEN)
def test_an_output_is_read_planned_drawn_and_told(name: str, tmp_path: Path) -> None:
    made, (first, more) = OUTPUTS[name], GIVEN[name]
    plan = made.plan(made.read(*first, **more))
    files = []
    if made.writes != "never":
        document = made.draw(plan)
        check(document._replace(pages=tuple(document.pages)))
        files = save(document, str(tmp_path / "it.pdf"))
        assert (tmp_path / "it.pdf").read_bytes().startswith(b"%PDF")
    data = json.loads(json.dumps(made.data(plan, files), allow_nan=False))
    assert data["files"] == files
    assert data["warnings"] == [*map(str, plan.warnings)]
    if made.writes != "always":
        assert max(map(len, made.text(plan).splitlines())) <= 80


@pytest.mark.parametrize("name", GIVEN)
def test_a_field_of_an_output_that_cannot_be_read_is_named(name: str) -> None:
    made, (first, more) = OUTPUTS[name], GIVEN[name]
    if "paper" in {field.name for field in made.fields}:
        with pytest.raises(MarkingError) as refusal:
            made.plan(made.read(*first, **{**more, "paper": "b17"}))
        assert refusal.value.field == "paper"
