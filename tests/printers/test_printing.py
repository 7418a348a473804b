"""A printer that prints too small or too large, met by its profile; a user who measures with the band itself."""

from __future__ import annotations

import json
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.collisions import collisions
from kit.each import each
from kit.measure import Stroke, a_job, groups, of_role, only, strokes, svg_root
from marking.drawing.primitives import Document
from marking.outputs.job.band_plan import plan_job
from marking.outputs.job.sheet import draw as job_document
from marking.printers.profile import Profile
from marking.printers.store import add_profile
from marking.sheets.paper import SIZES, Paper

PRINTERS = [(159.4, 240.5), (161.9, 238.0), (156.0, 249.0)]
"""What three printers print for 160 mm across and 240 mm along."""


def printed(document: Document, page: int, x_scale: float, y_scale: float) -> Callable[[Stroke], Stroke]:
    """What a printer makes of a page's lines: a landscape page is turned, so its x runs along the paper."""
    if document.pages[page].width_mm > document.pages[page].height_mm:
        x_scale, y_scale = y_scale, x_scale
    return lambda line: Stroke(
        line.role, line.x1 * x_scale, line.y1 * y_scale, line.x2 * x_scale, line.y2 * y_scale, line.data
    )


def job_for(x: float, y: float, **more: Any) -> Document:
    add_profile(Profile("depot", x, 160.0, y, 240.0), replace=True)
    return job_document(plan_job(a_job(printer="depot", **more)))


@each(("x", "y"), PRINTERS)
@each(("od", "paper"), [("12 mm", "a4"), ("27.8 mm", "letter"), ("75 mm", "a4"), ("24 mm", "62mm x roll")])
def test_a_profile_makes_the_printed_band_right(x: float, y: float, od: str, paper: str) -> None:
    document = job_for(x, y, spec="60 N·m + 90° ±20", drive="1/4", od=od, paper=paper)
    lines = strokes(groups(svg_root(document.pages[0], document, "band"), "band")[0])
    on_paper = printed(document, 0, x / 160, y / 240)
    length = math.pi * (float(od.split()[0]) + 0.1)
    seam, closure, start = (on_paper(only(lines, role)).x1 for role in ("seam", "closure", "start"))
    assert closure - seam == pytest.approx(length, abs=0.02)
    for role, deg in (("stop-low", 70), ("stop-high", 110)):
        assert (on_paper(only(lines, role)).x1 - start) % length == pytest.approx(length * deg / 360, abs=0.02)


@each(("x", "y"), PRINTERS)
def test_a_profile_makes_the_printed_rulers_and_rings_right(x: float, y: float) -> None:
    document = job_for(x, y, spec="110 N·m + 90° +30/-0", ring="full")
    roots = [svg_root(page, document) for page in document.pages]
    (number,) = (k for k, page in enumerate(roots) if groups(page, "part-ring"))
    on_paper, root = printed(document, number, x / 160, y / 240), roots[number]
    ruler = [on_paper(line) for line in strokes(groups(root, "check-ruler")[0]) if "mm" in line.data]
    assert [math.hypot(r.x2 - r.x1, r.y2 - r.y1) for r in ruler] == pytest.approx([100, 100], abs=0.02)
    ring = [on_paper(line) for line in strokes(groups(root, "part-ring")[0])]
    for role, length in (("zero", 12.0), ("ends-low", 11.2), ("ends-high", 11.2)):
        line = only(ring, role)
        assert math.hypot(line.x2 - line.x1, line.y2 - line.y1) == pytest.approx(length, abs=0.02)
    zero, low = only(ring, "zero"), only(ring, "ends-low")
    ends = [math.degrees(math.atan2(line.y2 - line.y1, line.x2 - line.x1)) for line in (zero, low)]
    assert (ends[0] - ends[1]) % 360 == pytest.approx(90, abs=0.01)


@each(("x", "y"), PRINTERS)
def test_corrected_pages_keep_their_size_and_their_texts_apart(x: float, y: float) -> None:
    plain = job_document(plan_job(a_job(od="75 mm")))
    corrected = job_for(x, y, od="75 mm")
    for page in corrected.pages:
        sizes = [(usual.width_mm, usual.height_mm) for usual in plain.pages]
        assert any((page.width_mm, page.height_mm) == pytest.approx(size) for size in sizes)
        assert collisions(page) == []


def test_a_profile_brings_its_stock() -> None:
    add_profile(Profile("depot", 159.4, 160.0, 240.5, 240.0, 0.12))
    job = a_job(printer="depot")
    assert job.stock_mm == 0.12
    assert a_job(printer="depot", stock="0.2 mm").stock_mm == pytest.approx(0.2)


@given(st.floats(0.95, 1.05), st.floats(0.95, 1.05), st.sampled_from(["a4", "letter", "a3"]), st.booleans())
def test_a_corrected_paper_printed_is_the_paper_as_drawn(x: float, y: float, size: str, turned: bool) -> None:
    paper = Paper(*SIZES[size])
    paper = paper.turned if turned else paper
    corrected = paper.corrected(x, y)
    scale_x, scale_y = (y, x) if turned else (x, y)
    assert corrected.width_mm * corrected.stretch_x == pytest.approx(paper.width_mm)
    assert corrected.height_mm * corrected.stretch_y == pytest.approx(paper.height_mm)
    assert corrected.stretch_x * scale_x == pytest.approx(1)
    assert corrected.stretch_y * scale_y == pytest.approx(1)
    assert corrected.turned.turned == corrected


def test_the_printer_is_named_by_option_or_environment(run: Callable[..., Any], tmp_path: Path) -> None:
    job = ("job", "60 N·m + 90° ±20", "--points", "6", "--drive", "1/2", "--od", "28 mm", "-o", "x.svg", "--json")
    assert run("printer", "add", "bay 3", "--x", "159.4 mm", "--y", "240.5 mm", "--stock", "0.12 mm").returncode == 0
    by_option, by_name = run(*job, "--printer", "bay 3"), run(*job, TURNBAND_PRINTER="bay 3")
    assert json.loads(by_option.stdout) == json.loads(by_name.stdout)
    assert json.loads(by_option.stdout)["band"]["stock_mm"] == 0.12
    for name in ("bay 4", "../bay"):
        for old in tmp_path.iterdir():
            old.unlink()
        refused = run(*job, "--printer", name)
        assert refused.returncode == 1
        assert "bay 3" in refused.stderr
        assert list(tmp_path.iterdir()) == []


@each("true_od", [26.8, 27.8, 29.9])
def test_wrapping_reading_and_entering_again_converges_in_one_step(true_od: float) -> None:
    """The band is printed for a guess; where its end lands on the closure scale is read to half a graduation."""
    guess = 27.5
    document = job_document(plan_job(a_job(od=f"{guess} mm")))
    lines = strokes(groups(svg_root(document.pages[0], document, "band"), "band")[0])
    graduations = [float(line.data["mm"]) for line in of_role(lines, "closure-scale")]
    landing = math.pi * (true_od + 0.1)
    if landing > min(graduations):
        reading = round(landing / 0.25) * 0.25
        assert min(graduations) <= reading <= max(graduations) + 0.5
    else:
        pytest.fail("the landing is off the scale")
    again = plan_job(a_job(around=f"{reading} mm"))
    assert abs(again.job.length_mm - landing) <= 0.125 + 1e-9
    assert abs(again.job.length_mm - landing) < again.bands[0].closure_mm, "the new band fits"
