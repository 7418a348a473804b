"""What both rulers of a page measured corrects the next print, without a profile of the printer."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from kit.commands import Run
from kit.each import each
from kit.measure import document_of, placed_lines, placed_texts
from marking import OUTPUTS, Profile, add_profile
from marking.drawing.primitives import Document
from marking.errors import MarkingError, RangeError
from marking.printers.ruler import read_ruler

JOB: dict[str, Any] = {"spec": "45 N·m + 60° ±20", "points": "6", "drive": "1/2", "od": "30 mm"}


def ruler_mm(document: Document) -> Iterator[tuple[str, float]]:
    """The rulers of a document's first page as they are drawn."""
    for line in placed_lines(document.pages[0]):
        if dict(line.data).get("mm") == "100":
            yield line.role, abs(line.x2 - line.x1) + abs(line.y2 - line.y1)


@each("paper", ["a4", "letter", "297x210"])
def test_rulers_of_the_next_print_measure_100_mm(paper: str) -> None:
    document = document_of("job", **JOB, paper=paper, ruler="99.2 mm x 100.8 mm")
    drawn = dict(ruler_mm(document))
    page = document.pages[0]
    upright = page.width_mm < page.height_mm
    across, along = ("ruler-x", "ruler-y") if upright else ("ruler-y", "ruler-x")
    assert drawn[across] * 0.992 == pytest.approx(100.0)
    assert drawn[along] * 1.008 == pytest.approx(100.0)
    assert sorted((page.width_mm, page.height_mm)) == pytest.approx(
        {"a4": [210, 297], "letter": [215.9, 279.4], "297x210": [210, 297]}[paper]
    )


def test_a_ruler_corrects_as_a_profile_does(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TURNBAND_CONFIG_DIR", str(tmp_path))
    add_profile(Profile("office", 159.4, 160.0, 239.4, 240.0))
    by_profile = document_of("job", **JOB, printer="office")
    by_ruler = document_of("job", **JOB, ruler="99.625 mm x 99.75 mm")
    ends = [[line[:4] for line in placed_lines(one.pages[0])] for one in (by_profile, by_ruler)]
    assert np.array(ends[0]) == pytest.approx(np.array(ends[1]), abs=1e-9)
    assert by_ruler.pages[0].stretched


@each(("text", "scales", "shown"), [
    ("99.2 mm x 99.6 mm", (0.992, 0.996), "99.2 × 99.6 mm"),
    ("99,2 × 99,6mm", (0.992, 0.996), "99.2 × 99.6 mm"),
    ("100.8 mm by 100 mm", (1.008, 1.0), "100.8 × 100 mm"),
    ("3.9 in x 3.92 in", (0.9906, 0.99568), "3.9 × 3.92 in"),
    ("3.9 X 3.92 in", (0.9906, 0.99568), "3.9 × 3.92 in"),
    ("9.92 x 9.96 cm", (0.992, 0.996), "99.2 × 99.6 mm"),
    ("3.9 in x 99.6 mm", (0.9906, 0.996), "3.9 in × 99.6 mm"),
])  # fmt: skip
def test_both_lengths_are_read_and_shown_in_their_unit(text: str, scales: tuple[float, float], shown: str) -> None:
    x_scale, y_scale, said = read_ruler(text)
    assert (x_scale, y_scale) == pytest.approx(scales)
    assert said == shown


@each(("text", "said"), [
    ("97 mm", "expected what both rulers of a page measured, such as 99.2 mm x 99.6 mm"),
    ("99 mm x 99 mm x 99 mm", "expected what both rulers"),
    ("99.2 x 99.6", "no unit"),
    ("160 mm x 240 mm", "the ruler across the sheet measured 160 mm: it is drawn 100 mm long; expected 95 to 105 mm"),
    ("99 mm x 94 mm", "the ruler along the sheet measured 94 mm"),
    ("99 mm x 106 mm", "“fit to page” is on: print again at 100 %"),
    ("99 mm x", "empty"), ("wide x high", ""), ("", "expected what both rulers"),
])  # fmt: skip
def test_what_no_ruler_can_have_measured_is_refused(text: str, said: str) -> None:
    with pytest.raises(MarkingError) as refused:
        document_of("job", **JOB, ruler=text)
    assert said in refused.value.message()


def test_a_profile_and_a_ruler_together_are_refused(monkeypatch: pytest.MonkeyPatch, run: Run) -> None:
    with pytest.raises(RangeError, match="both correct the page; expected one of them"):
        document_of("job", **JOB, printer="office", ruler="99 mm x 99 mm")
    monkeypatch.setenv("TURNBAND_PRINTER", "office")
    done = run("chart", "--ruler", "99 mm x 99 mm", "-o", "x.pdf")
    assert "with an empty --printer, which sets aside a kept one and TURNBAND_PRINTER" in done.stderr
    assert run("chart", "--ruler", "99 mm x 99 mm", "--printer", "", "-o", "x.pdf").returncode == 0


@each("name", [name for name in OUTPUTS if any(f.name == "printer" for f in OUTPUTS[name].fields)])
def test_whatever_a_profile_corrects_a_ruler_corrects(name: str) -> None:
    fields = [field.name for field in OUTPUTS[name].fields]
    assert fields.index("ruler") == fields.index("printer") + 1


def test_label_stock_has_no_rulers_of_100_mm() -> None:
    for name, more in (("job", JOB), ("set", {"turns": "90° ±5", "points": "6", "drive": "1/2"})):
        with pytest.raises(RangeError, match="rulers on label stock are shorter than 100 mm"):
            OUTPUTS[name].read(**more, paper="24mm tape", ruler="99 mm x 99 mm")


@each("name", ["chart", "tape", "set"])
def test_every_page_says_by_what_it_is_corrected(run: Run, name: str) -> None:
    made = OUTPUTS[name]
    asked = {"turns": "90° ±5", "points": "6", "drive": "1/2"} if name == "set" else {}
    plan = made.plan(made.read(**asked, ruler="99.2 x 99.6 mm"))
    if name == "set":
        from marking.outputs.sets.pages import set_document

        document = set_document(plan.plans[""])
    else:
        document = made.draw(plan)
    for page in document.pages:
        assert any("corrected by ruler 99.2 × 99.6 mm" in text.text for text in placed_texts(page))
    assert '--ruler "99.2 x 99.6 mm"' in made.command(**asked, ruler="99.2 x 99.6 mm")
