"""Every output goes the same way, from the front door: read, plan, draw, data, text."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from kit.collisions import check
from kit.each import each
from marking import OUTPUTS, MarkingError, save

SPEC = "110 N·m + 90° +10/-0"
GIVEN: dict[str, tuple[tuple[Any, ...], dict[str, Any]]] = {
    "job": ((SPEC, 12, "1/2"), {"od": "27.8 mm", "extras": ("disc", "mat")}),
    "explain": ((SPEC, "6", "1/2"), {"around": "3-7/16 in"}),
    "disc": ((SPEC, "1/2"), {}),
    "mat": ((SPEC, "1/2"), {}),
    "tape": ((), {"high": "40 mm"}),
    "blank": ((12, "1/2"), {"thread": "left"}),
    "proof": ((), {}),
    "set": ((), {"turns": "60°, 90° ±5", "points": "6,12", "drive": "3/8"}),
    "record": ((SPEC, 8), {}),
    "chart": ((), {"thread": "left"}),
    "stretch": (("40 N·m + 45° ±3", "M12x1.75", "10.9", "120 mm"), {}),
    "lesson": ((SPEC,), {"trainees": 1}),
}


def test_every_output_is_driven_here() -> None:
    assert set(GIVEN) == set(OUTPUTS)


@each("name", GIVEN)
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


@each("name", GIVEN)
def test_a_field_of_an_output_that_cannot_be_read_is_named(name: str) -> None:
    made, (first, more) = OUTPUTS[name], GIVEN[name]
    if "paper" in {field.name for field in made.fields}:
        with pytest.raises(MarkingError) as refusal:
            made.plan(made.read(*first, **{**more, "paper": "b17"}))
        assert refusal.value.field == "paper"


ANYTHING: tuple[Any, ...] = (12, 0.5, True, b"x", [], {}, ["a"], "", "x", object())
"""What somebody may give by mistake."""


@each("name", GIVEN)
def test_whatever_is_given_is_taken_or_refused_with_the_field_at_fault(name: str) -> None:
    made, (first, more) = OUTPUTS[name], GIVEN[name]
    usual = dict(zip([field.name for field in made.fields], first, strict=False)) | more
    nameless = []
    for field in made.fields:
        for value in ANYTHING:
            try:
                made.plan(made.read(**{**usual, field.name: value}))
            except MarkingError as error:
                nameless += [] if error.field or name == "set" else [f"{field.name}={value!r}: {error}"]
    assert nameless == []


def test_a_choice_or_count_out_of_its_limits_is_refused() -> None:
    for more in (
        {"ring": "x"},
        {"copies": 0},
        {"copies": True},
        {"unit": "ft"},
        {"extras": ("mat?",)},
        {"start": "left"},
    ):
        with pytest.raises(MarkingError) as refusal:
            OUTPUTS["job"].read("90° ±5", 12, "1/2", od="27.8 mm", **more)
        assert refusal.value.field in more


def test_a_field_that_is_missing_or_misspelt_is_named() -> None:
    with pytest.raises(MarkingError, match="the drive is missing"):
        OUTPUTS["job"].read("90° ±5", 12)
    with pytest.raises(MarkingError, match=r"job has no field 'OD'; expected od"):
        OUTPUTS["job"].read("90° ±5", 12, "1/2", OD="27.8 mm")


def told(name: str, *first: Any, **more: Any) -> list[str]:
    made = OUTPUTS[name]
    return made.text(made.plan(made.read(*first, **more))).splitlines()


WORDS = ("aim at", "spec ", "mark ", "socket ", "reading error, ")
"""How the parts of a text begin, in their order."""


@each("name", ["job", "disc", "mat"])
def test_a_text_begins_with_where_to_aim_and_ends_with_the_reading_error(name: str) -> None:
    first, more = GIVEN[name]
    lines = told(name, *first, **{**more, **({"od": "48 mm"} if name == "mat" else {})})
    kind = "band" if name == "job" else name
    assert lines[0].startswith("aim at 95°, between 9")
    assert lines[0].endswith(f", with the {kind}")
    begin = [next(k for k, line in enumerate(lines) if line.startswith(word)) for word in WORDS]
    assert begin == sorted(begin)
    assert lines[-1].startswith("expanded, U (k = 2)")


def test_what_stages_have_in_common_stands_once() -> None:
    lines = told("job", "40 N·m + 3 x 45° ±8 + 30° ±8", 6, "1/2", od="60 mm")
    assert [line.partition(":")[0] for line in lines if "with the band" in line] == ["stages 1–3", "stage 4"]
    assert [line[:34].rstrip() for line in lines if line.startswith("reading error, band")] == [
        "reading error, band, stages 1–3", "reading error, band, stage 4",
    ]  # fmt: skip
    assert [line.split()[1] for line in lines if line.startswith("stop-low")] == ["1–3", "4"]


def test_without_an_aim_the_text_says_what_has_one() -> None:
    lines = told("job", "40 N·m + 90° ±4 + 30°", 6, "1/4", od="12 mm", thread="left", ring="full")
    assert lines[0] == "stage 1: no aim with the band: it cannot prove the window 86–94°; what can: a"
    assert any(line.startswith("  ") and "drive disc" in line for line in lines[:4])
    assert "stage 2: no aim with the band: the manual gives no tolerance" in lines
    assert "stage 2: no aim with the ring: the manual gives no tolerance" in lines, "of the ring's stages only one"
