"""The charts and the pages, measured in finished drawings."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.collisions import check
from kit.each import each
from kit.examples import examples
from kit.measure import groups, of_role, only, placed_lines, placed_texts, strokes, svg_root
from kit.pdf_reading import pdf_pages
from kit.stretch import BEYOND, ELASTIC, FLAWLESS, GRIPS, OPTIONS, SCREWS, SPECS, a_plan, a_sheet
from marking import MarkingError
from marking.drawing.primitives import Document, Group, Line, Polyline
from marking.errors import RangeError
from marking.figures.plot import ticks
from marking.files.pdf import pdf_bytes
from marking.outputs.stretch.charts import draw_tension
from marking.outputs.stretch.sheet import draw as stretch_document
from marking.sheets.paper import LEFT_MM


def values_to_paper(chart: Any) -> tuple[Any, Any]:
    """Functions from values to places along both axes, from the ticks as drawn."""
    found = []
    for axis, place in (("x", "x1"), ("y", "y1")):
        marks = [line for line in of_role(strokes(chart), "axis-tick") if line.data["axis"] == axis]
        values, places = [float(line.data["value"]) for line in marks], [getattr(line, place) for line in marks]
        assert len(values) >= 2
        found.append(
            lambda v, v0=values[0], v1=values[-1], p0=places[0], p1=places[-1]: p0 + (v - v0) / (v1 - v0) * (p1 - p0)
        )
    return found[0], found[1]


def chart_of(document: Document, name: str) -> Any:
    for page in document.pages:
        for group in groups(svg_root(page, document, name), name):
            return group
    raise AssertionError(name)


def test_the_drawn_lines_of_tension_begin_at_snug_and_end_where_the_screw_yields() -> None:
    plan = a_plan(*BEYOND, **FLAWLESS)
    chart = chart_of(stretch_document(plan), "tension-over-turn")
    x, y = values_to_paper(chart)
    at_low, _, at_high = plan.job.fastening.yields_n
    for role, snug, turn, force in (
        ("low-friction", plan.snug.high_n, plan.yield_turns_deg[0], at_low),
        ("high-friction", plan.snug.low_n, plan.yield_turns_deg[2], at_high),
    ):
        line = only(strokes(chart), role)
        ends = (x(0), y(snug / 1000), x(turn), y(force / 1000))
        assert (line.x1, line.y1, line.x2, line.y2) == pytest.approx(ends, abs=0.002)
    assert only(strokes(chart), "tensile-load").y1 == pytest.approx(y(1.040 * 84.3), abs=0.002)


def test_the_band_holds_every_tension_that_may_be_at_a_turn_and_no_other() -> None:
    """Elastic first, at the lower edge flat at the elastic limit and at yield, at the upper one flat at tensile."""
    plan = a_plan(*BEYOND)
    drawing = draw_tension(plan, 90, 66)
    assert isinstance(drawing.content, Group)
    (band,) = (item for item in drawing.content.items if isinstance(item, Polyline))
    chart = chart_of(stretch_document(plan), "tension-over-turn")
    assert len(groups(chart, "tension-over-turn")) == 1
    axis = [item for item in drawing.content.items if isinstance(item, Line) and item.role == "axis"]
    right, top = axis[0].x2, axis[1].y2
    left, bottom = axis[0].x1, axis[0].y1
    fastening, x_max = plan.job.fastening, 110.0
    y_max = 1.08 * fastening.tensile_n

    def at(deg: float, force_n: float) -> tuple[float, float]:
        return left + (right - left) * deg / x_max, bottom + (top - bottom) * force_n / y_max

    low_n, high_n, rate = plan.snug.low_n - fastening.settling_n, plan.snug.high_n, fastening.n_per_deg
    kept = 0.002 * fastening.weakest_mm / fastening.mm_per_n
    limit, yields, tensile = fastening.elastic_n, fastening.yields_n[2], fastening.tensile_n
    corners = [
        at(0, low_n), at((limit - low_n) / rate, limit), at((limit + kept - low_n) / rate, limit),
        at((yields + kept - low_n) / rate, yields), at(x_max, yields), at(x_max, tensile),
        at((tensile - high_n) / rate, tensile), at(0, high_n),
    ]  # fmt: skip
    for corner in corners:
        assert min(math.dist(corner, point) for point in band.points) < 0.001
    for deg in np.linspace(0, x_max, 23):
        edges = sorted(y for x, y in _crossings(band.points, at(deg, 0)[0]))
        wanted = [fastening.least_n(low_n + rate * deg), fastening.most_n(high_n + rate * deg)]
        assert (edges[0], edges[-1]) == pytest.approx([at(deg, force)[1] for force in wanted], abs=0.001)


def _crossings(points: Any, x: float) -> list[tuple[float, float]]:
    """Where a closed outline meets a vertical line."""
    found = []
    for (x1, y1), (x2, y2) in zip(points, [*points[1:], points[0]], strict=True):
        if min(x1, x2) - 1e-9 <= x <= max(x1, x2) + 1e-9:
            found += [(x, y1), (x, y2)] if abs(x2 - x1) < 1e-9 else [(x, y1 + (y2 - y1) * (x - x1) / (x2 - x1))]
    return found


def test_the_window_is_drawn_from_its_low_to_its_high_edge() -> None:
    chart = chart_of(a_sheet("10 N·m + 20° ±2 + 25° +3/-1", *ELASTIC[1:]), "tension-over-turn")
    x, _ = values_to_paper(chart)
    lines = strokes(chart)
    assert only(lines, "stop-low").x1 == pytest.approx(x(42), abs=0.002)
    assert only(lines, "stop-high").x1 == pytest.approx(x(50), abs=0.002)
    assert only(lines, "stage-end").x1 == pytest.approx(x(20), abs=0.002)
    hatch = of_role(lines, "hatch")
    assert hatch
    assert all(x(42) - 0.001 <= min(h.x1, h.x2) and max(h.x1, h.x2) <= x(50) + 0.001 for h in hatch)


def test_a_turn_without_a_tolerance_is_one_line() -> None:
    chart = chart_of(a_sheet("10 N·m + 45°", *ELASTIC[1:]), "tension-over-turn")
    x, _ = values_to_paper(chart)
    assert only(strokes(chart), "stop").x1 == pytest.approx(x(45), abs=0.002)
    assert of_role(strokes(chart), "stop-low", "stop-high", "hatch") == []


@each("texts", [ELASTIC, BEYOND])
def test_the_range_of_tension_after_the_turn_stands_beside_the_window(texts: tuple[str, ...]) -> None:
    plan = a_plan(*texts)
    chart = chart_of(stretch_document(plan), "tension-over-turn")
    x, y = values_to_paper(chart)
    drawn, (low, _, high) = only(strokes(chart), "tension-range"), plan.last.tensions
    assert sorted((drawn.y1, drawn.y2)) == pytest.approx(sorted([y(low / 1000), y(high / 1000)]), abs=0.002)
    window = plan.last.window
    assert window is not None
    assert 0 < drawn.x1 - x(window.high_deg) < 3


def test_torque_is_drawn_over_tension_for_both_limits_of_friction() -> None:
    plan = a_plan()
    chart = chart_of(stretch_document(plan), "torque-over-tension")
    x, y = values_to_paper(chart)
    lines, fastening = strokes(chart), plan.job.fastening
    (low, _, high), (at_low, _, at_high) = fastening.arms_mm, fastening.yields_n
    for role, arm, ends in (("low-friction", low, at_low), ("high-friction", high, at_high)):
        line = only(lines, role)
        assert (line.x1, line.y1) == pytest.approx((x(0), y(0)), abs=0.002)
        assert (line.x2, line.y2) == pytest.approx((x(ends / 1000), y(ends * arm / 1000)), abs=0.002)
    assert only(lines, "torque-snug").y1 == pytest.approx(y(40), abs=0.002)
    assert only(lines, "torque-alone").y1 == pytest.approx(y(plan.comparison.torque_nm), abs=0.002)
    snug, alone = sorted(of_role(lines, "tension-range"), key=lambda line: -line.y1)
    if abs(snug.y1 - y(40)) > 1:
        snug, alone = alone, snug
    assert [snug.x1, snug.x2] == pytest.approx([x(0.96 * 40 / high), x(1.04 * 40 / low)], abs=0.002)
    torque = plan.comparison.torque_nm
    assert [alone.x1, alone.x2] == pytest.approx([x(0.96 * torque / high), x(1.04 * torque / low)], abs=0.002)


def test_no_line_of_tension_is_drawn_beyond_yield_and_no_range_beyond_tensile_strength() -> None:
    for texts in (ELASTIC, BEYOND, ("hand tight + 360°", "M8", "8.8", "20 mm")):
        plan, document = a_plan(*texts), a_sheet(*texts)
        for name, axis in (("tension-over-turn", 1), ("torque-over-tension", 0)):
            chart = chart_of(document, name)
            to_paper, lines = values_to_paper(chart)[axis], strokes(chart)
            sign = math.copysign(1, to_paper(1) - to_paper(0))
            drawn = of_role(lines, "low-friction", "high-friction")
            yields, tensile = plan.job.fastening.yields_n[0] / 1000, plan.job.fastening.tensile_n / 1000
            assert drawn
            for group, limit in ((drawn, yields), (of_role(lines, "tension-range"), tensile)):
                ends = [end for line in group for end in ((line.x1, line.x2), (line.y1, line.y2))[axis]]
                assert all(sign * end <= sign * to_paper(limit) + 0.003 for end in ends)


def test_both_methods_stand_as_bars_on_one_axis() -> None:
    plan = a_plan()
    chart = chart_of(stretch_document(plan), "tension-scatter")
    ends = sorted((line.y1, line.x1) for line in of_role(strokes(chart), "tension-end"))
    marks = [line for line in of_role(strokes(chart), "axis-tick") if line.data["axis"] == "x"]
    first, last = marks[0], marks[-1]
    per_kn = (last.x1 - first.x1) / (float(last.data["value"]) - float(first.data["value"]))
    found = [(x - first.x1) / per_kn for _, x in ends]
    comparison = plan.comparison
    wanted = [[s.low_n, s.high_n] for s in (comparison.torque_only, comparison.then_turn)]
    both = sorted([sorted(found[:2]), sorted(found[2:])])
    assert np.array(both) * 1000 == pytest.approx(np.array(sorted(wanted)), abs=20)


def test_frictions_that_are_one_are_drawn_once() -> None:
    chart = chart_of(a_sheet(*ELASTIC, friction="0.12"), "torque-over-tension")
    assert len(of_role(strokes(chart), "low-friction")) == 1
    assert of_role(strokes(chart), "high-friction") == []


def test_the_charts_are_in_the_pdf_where_the_drawing_has_them() -> None:
    """Read back by pdfium: the strokes of 0.4 mm are the four lines of friction, and their samples in the key."""
    document = a_sheet()
    page, _ = pdf_pages(pdf_bytes(document))
    found = sorted(line[:4] for line in page.lines if abs(line.width_mm - 0.4) < 0.001)
    words = page.text
    drawn = [line for line in placed_lines(document.pages[0]) if line.role in ("low-friction", "high-friction")]
    wanted = sorted((line.x1, line.y1, line.x2, line.y2) for line in drawn)
    assert len(wanted) == 6
    assert np.array(found) == pytest.approx(np.array(wanted), abs=0.005)
    for text in ("Tension over turn", "Torque over tension", "not tightening instructions", "bounds:"):
        assert text in words


@each(("limit", "most", "last"), [(85, 5, 80), (100, 5, 100), (0.34, 4, 0.3), (12345, 6, 10000)])
def test_ticks_rise_in_steps_of_one_two_or_five(limit: float, most: int, last: float) -> None:
    found = ticks(limit, most)
    step = found[1]
    assert 2 <= len(found) <= most + 1
    assert found[-1] == pytest.approx(last)
    assert np.diff(found) == pytest.approx(step)
    assert f"{step:.0e}"[0] in "125"
    assert step == pytest.approx(float(f"{step:.0e}"))


@examples(60, shrink=False)
@given(
    spec=SPECS, screw=SCREWS, grip=GRIPS, options=OPTIONS,
    paper=st.sampled_from(["a4", "letter", "a5", "a3", "legal", "200x240", "140x297"]),
)  # fmt: skip
def test_no_text_touches_anything_on_any_sheet(
    spec: str, screw: tuple[str, str], grip: str, options: dict[str, Any], paper: str
) -> None:
    try:
        plan = a_plan(spec, *screw, grip, paper=paper, **options)
    except RangeError:
        return
    document = stretch_document(plan)
    check(document)
    for page in document.pages:
        assert min(text.size_pt for text in placed_texts(page)) >= 5.0


@each("paper", ["a4", "letter"])
@each("texts", [ELASTIC, BEYOND])
def test_results_stand_on_the_first_page_and_what_they_rest_on_on_the_second(
    texts: tuple[str, ...], paper: str
) -> None:
    first, second = ([text.text for text in placed_texts(page)] for page in a_sheet(*texts, paper=paper).pages)
    assert {"Tension over turn", "After snug and after the turn", "What the scatter is made of", "Cautions"} <= set(
        first
    )
    assert {"What each part adds to the stretch", "What went in", "Formulas and assumptions"} <= set(second)
    assert min(line.x1 for line in placed_lines(a_sheet(*texts).pages[0]) if line.role == "axis") > LEFT_MM


def test_the_title_is_printed_and_one_that_the_font_lacks_is_refused() -> None:
    title = "Bogie bracket, demo data, not for real equipment"
    assert title in [text.text for text in placed_texts(a_sheet(title=title).pages[0])]
    with pytest.raises(MarkingError, match=r"U\+202E"):
        a_sheet(title="\u202ebracket")
