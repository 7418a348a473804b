"""Trim bands: cut along the row of any OD in the range, the cut edge carries the plain band's marks."""

from __future__ import annotations

import itertools
import json
import math
from typing import Any
from xml.etree.ElementTree import Element

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from kit.collisions import check
from kit.each import each
from kit.examples import examples
from kit.measure import Stroke, a_job, drawn_groups, of_role, only, placed_texts, strokes
from kit.turning import tightened
from marking.drawing.primitives import Document
from marking.errors import LayoutError, MarkingError, RangeError, SocketError, TextInputError
from marking.fastening.od_range import parse_od_range
from marking.fastening.socket import USUAL_ODS_MM
from marking.files.svg import svg_bytes
from marking.marks.seam import closure_half_mm
from marking.outputs import OUTPUTS
from marking.outputs.job.band_plan import plan_job
from marking.outputs.job.request import read_trim_job
from marking.outputs.job.trim_plan import WIDEST_RANGE_MM, TrimJobPlan, plan_trim
from marking.readouts.trim_band.layout import LEAST_OD_MM, MM_PER_MM_OF_OD, ranges

SPECS = ["60 N·m + 90° +10/-0", "60 N·m + 240° ±20", "60 N·m + 450° ±10", "60 N·m + 60°", "50° ±8 + 150° ±8"]


def trim_of(*arguments: Any, **more: Any) -> TrimJobPlan:
    return plan_trim(read_trim_job(*arguments, **more))


def trim_bands(document: Document) -> list[Element]:
    return drawn_groups(document, "trim-band")


def at_height(line: Stroke, y: float) -> float:
    """Where a slanted line crosses a height."""
    return line.x1 + (line.x2 - line.x1) * (y - line.y1) / (line.y2 - line.y1)


class Cut:
    """A drawn trim band cut along the row of an OD, as scissors do it: found from two printed rows."""

    def __init__(self, band: Element, od: float) -> None:
        lines = strokes(band)
        rows = sorted((float(row.data["od"]), row.y1) for row in of_role(lines, "row"))
        (low, y_low), (high, y_high) = rows[0], rows[-1]
        self.y = y_low + (y_high - y_low) * (od - low) / (high - low)
        self.left = at_height(only(lines, "seam"), self.y)
        self.length = at_height(only(lines, "closure"), self.y) - self.left
        self.start = at_height(only(lines, "start"), self.y)
        self.lines = lines

    def places(self, role: str) -> list[float]:
        """Places of a role's lines along the cut edge from START, in the direction of larger x."""
        return sorted((at_height(line, self.y) - self.start) % self.length for line in of_role(self.lines, role))


@pytest.mark.long
@each("thread", ["right", "left"])
@each("points", [4, 6, 8, 12])
@each("spec", SPECS)
def test_the_cut_edge_carries_the_plain_bands_marks(spec: str, points: int, thread: str) -> None:
    more: dict[str, Any] = {"thread": thread, "height": "16 mm"}
    bands = trim_bands(OUTPUTS["job"].draw(trim_of(spec, points, "1/2", od_range="30 mm..42 mm", **more)))
    for od in (30.0, 33.3, 37.85, 42.0):
        plan = plan_job(a_job(spec, points, od=f"{od} mm", **more))
        length = math.pi * (od + 0.1)
        sign = 1 if thread == "right" else -1
        for band in bands:
            cut = Cut(band, od)
            assert cut.length == pytest.approx(length, abs=0.01)
            stages = {int(n) for line in cut.lines if "stage" in line.data for n in line.data["stage"].split()}
            for role in ("stop-low", "stop-high", "stop"):
                wanted = [m.deg for m in plan.marks if m.kind == role and m.stage in stages]
                expected = sorted(sign * length * deg / 360 % length for deg in wanted)
                assert cut.places(role) == pytest.approx(expected, abs=0.01), role
            for role in ("corner", "mid-flat"):
                expected = sorted(sign * length * f.deg / 360 % length for f in plan.features if f.kind == role)
                drawn = cut.places(role)
                for place in expected:
                    near = min(abs((place - x + length / 2) % length - length / 2) for x in drawn)
                    assert near < 0.01, f"{role} at {place:.3f}"


@each("thread", ["right", "left"])
@each("spec", SPECS[:3])
def test_the_mark_of_the_turn_arrives_at_the_witness_mark(spec: str, thread: str) -> None:
    """Wrapped round the cylinder with the drive end up: larger x is growing azimuth (see test_direction)."""
    (band,) = trim_bands(OUTPUTS["job"].draw(trim_of(spec, 12, "1/2", od_range="30 mm..40 mm", thread=thread)))
    stage = a_job(spec).spec.stages[0]
    assert stage.window is not None
    cut = Cut(band, 34.2)

    def wrapped(role: str) -> Any:
        azimuth = 2 * math.pi * (at_height(only(cut.lines, role), cut.y) - cut.left) / cut.length
        return np.array([math.cos(azimuth), math.sin(azimuth), 0.0])

    for role, deg in (("stop-low", stage.window.low_deg), ("stop-high", stage.window.high_deg)):
        assert np.allclose(tightened(wrapped(role), deg, thread), wrapped("start"), atol=1e-3)


def test_start_is_upright_and_rows_fall_towards_the_drive_end() -> None:
    (band,) = trim_bands(OUTPUTS["job"].draw(trim_of(SPECS[0], 12, "1/2", od_range="24 mm..32 mm")))
    lines = strokes(band)
    start, edge, top = (only(lines, role) for role in ("start", "fastener-edge", "drive-edge"))
    assert start.x1 == start.x2
    rows = {float(row.data["od"]): row.y1 for row in of_role(lines, "row")}
    assert sorted(rows) == pytest.approx([24 + k / 2 for k in range(17)])
    assert rows[32.0] == pytest.approx(edge.y1, abs=0.001), "the largest OD at the fastener edge"
    for od, y in rows.items():
        assert y - rows[32.0] == pytest.approx((32 - od) * MM_PER_MM_OF_OD, abs=0.001)
        assert top.y1 - y >= 8.0, "what is left above any cut"
    assert MM_PER_MM_OF_OD >= 2.5


def test_rows_are_numbered_every_millimetre_and_inch_rows_for_inch_users() -> None:
    for od_range, numbers in (
        ("24 mm..32 mm", [str(n) for n in range(24, 33)]),
        ("1 in..1.3 in", ["1", "1.1", "1.2", "1.3"]),
    ):
        (band,) = trim_bands(OUTPUTS["job"].draw(trim_of(SPECS[0], 12, "1/2", od_range=od_range)))
        words = [str(e.text) for e in band.iter() if e.get("class") == "row-number"]
        assert sorted(words) == sorted([*numbers, *numbers]), "at both ends"


@each("drive", USUAL_ODS_MM)
def test_without_a_range_the_drives_usual_one_is_covered(drive: str) -> None:
    trim = trim_of("60 N·m + 90° ±20", 6, drive, paper="a3")
    low, high = USUAL_ODS_MM[drive]
    assert trim.parts[0].low_od_mm == max(low, LEAST_OD_MM)
    assert (low < LEAST_OD_MM) is any("6.5 mm to 8 mm are too slim" in str(w) for w in trim.warnings)
    for a, b in zip(trim.parts, trim.parts[1:], strict=False):
        assert a.high_od_mm == b.low_od_mm
    assert trim.parts[-1].high_od_mm == high or any("do not fit the paper" in str(w) for w in trim.warnings)


def test_a_usual_range_begins_where_the_wall_is_thick_enough() -> None:
    trim = trim_of("60 N·m + 90° ±20", 6, "1/2", opening="19 mm")
    assert trim.parts[0].low_od_mm == 24.0  # 19 / cos 30° = 21.94, and a wall of 1 mm each side


def test_ods_without_room_for_labels_are_left_out_with_a_word() -> None:
    trim = trim_of("20 N·m + 200° ±60", 6, "1/4")
    assert trim.parts[0].low_od_mm == 10.0
    assert [str(w) for w in trim.warnings if w.code == "ods-too-slim"] == [
        "ODs of 6.5 mm to 10 mm are too slim for a trim band and its labels: give OD for those, or print a drive disc"
    ]
    with pytest.raises(LayoutError, match="too slim for trim bands; expected more than 8 mm"):
        trim_of("20 N·m + 90° ±5", 6, "1/4", od_range="6 mm..7.5 mm")


@each("thread", ["right", "left"])
def test_above_the_last_row_no_mark_runs_into_start(thread: str) -> None:
    for part in trim_of("20 N·m + 90° ±20", 6, "1/4", thread=thread).parts:
        for band in part.bands:
            ways = [band.x_of(70, y) - band.start_x for y in (0.0, band.height_mm)]
            assert min(map(abs, ways)) > 0.5
            assert ways[0] * ways[1] > 0


def test_a_range_below_the_opening_is_refused_and_odd_ends_are_remarked() -> None:
    with pytest.raises(SocketError, match=r"cannot hold an opening of 24 mm.*check OD range"):
        trim_of("60 N·m + 90° ±20", 6, "1/2", opening="24 mm", od_range="24..32 mm")
    odd = trim_of("60 N·m + 90° ±20", 6, "1/2", opening="24 mm", od_range="28..52 mm").warnings
    assert [w.code for w in odd] == ["thin-wall", "unusual-od"]
    assert "an OD of 52 mm" in str(odd[1])
    assert trim_of("60 N·m + 90° ±20", 6, "1/2", opening="24 mm").warnings == ()
    large = trim_of("60 N·m + 90° ±20", 6, "1/2", opening="60 mm").warnings
    assert [w.code for w in large] == ["unusual-od", "unusual-od"]
    assert all(str(w).endswith("check drive and opening") for w in large), "no range was given"


@given(st.floats(8, 200), st.floats(0.5, 100))
def test_ranges_are_cut_without_gaps_into_parts_narrow_enough(low: float, width: float) -> None:
    parts = ranges(low, low + width, WIDEST_RANGE_MM)
    assert parts[0][0] == low
    assert parts[-1][1] == low + width
    for (_, a), (b, _) in itertools.pairwise(parts):
        assert a == b
    assert all(0 < b - a <= WIDEST_RANGE_MM + 1e-9 for a, b in parts)


RANGES = {
    "24 mm..32 mm": (24, 32, "mm"), "24..32 mm": (24, 32, "mm"), "24,5 mm .. 32 mm": (24.5, 32, "mm"),
    "1 in..1-1/4 in": (25.4, 31.75, "in"), "24.5mm–32.25mm": (24.5, 32.25, "mm"), "1..1.25 in": (25.4, 31.75, "in"),
}  # fmt: skip


@each(("text", "ends"), RANGES.items())
def test_od_ranges_are_read(text: str, ends: tuple[float, float, str]) -> None:
    low, high, unit = parse_od_range(text)
    assert (low, high) == pytest.approx(ends[:2])
    assert unit == ends[2]


@each("text", ["", "24 mm", "32 mm..24 mm", "24 mm..24 mm", "5 mm..9 mm", "a..b", "..", "24..32", "x" * 99])
def test_other_od_ranges_are_refused(text: str) -> None:
    with pytest.raises((TextInputError, RangeError)):
        parse_od_range(text)


@examples(40, shrink=False)
@example("50° ±8 + 150° ±8", 8, 34.0, 2.0, "right", "a4", "flat")  # a closure number beside a slanted corner's flag
@given(
    st.sampled_from(SPECS), st.sampled_from([4, 6, 8, 12]), st.floats(9, 60), st.floats(2, 12),
    st.sampled_from(["right", "left"]), st.sampled_from(["a4", "letter", "a3"]), st.sampled_from(["corner", "flat"]),
)  # fmt: skip
def test_no_text_touches_anything(
    spec: str, points: int, low: float, width: float, thread: str, paper: str, start: str
) -> None:
    od_range = f"{low:.1f} mm..{low + width:.1f} mm"
    try:
        trim = trim_of(spec, points, "1/4", od_range=od_range, thread=thread, paper=paper, start=start)
        document = OUTPUTS["job"].draw(trim)
    except LayoutError:
        assert low < 16 or "+" in spec.split("+ ", 1)[-1], "only crowded bands may be refused"
        return
    check(document)


def test_trimming_is_a_contribution_of_its_own() -> None:
    for more, half_mm in (({}, 0.1), ({"trim_error": "0.5 mm"}, 0.2), ({"trim_error": "0 mm"}, None)):
        trim = trim_of(SPECS[0], 12, "1/2", od_range="24 mm..32 mm", **more)
        found = {c.name: c.half_width for c in trim.parts[0].plan.budgets[0].contributions}
        assert found.get("trimming") == (None if half_mm is None else pytest.approx(half_mm))


def test_json_tells_the_bands_and_no_diameter() -> None:
    trim = trim_of(SPECS[0], 12, "1/2", od_range="24 mm..46 mm")
    data = json.loads(json.dumps(OUTPUTS["job"].data(trim)))
    assert data["socket"]["od_mm"] is None
    assert data["band"] is None
    assert [(b["low_od_mm"], b["high_od_mm"]) for b in data["trim_bands"]] == [(24, 35), (35, 46)]
    assert {m["kind"] for m in data["marks"]} == {"start", "stop-low", "stop-high", "aim"}
    assert all(m["mm"] is None for m in data["marks"])


def test_the_text_fits_80_columns() -> None:
    text = OUTPUTS["job"].text(trim_of(SPECS[4], 6, "1/2", od_range="1 in..1.3 in"))
    assert max(map(len, text.splitlines())) <= 80
    assert "OD 1 in      band" in text


def test_rings_offer_a_bore_for_every_other_millimetre() -> None:
    trim = trim_of("60 N·m + 90° ±30", 12, "1/2", od_range="24 mm..32 mm", ring="full")
    document = OUTPUTS["job"].draw(trim)
    (ring,) = drawn_groups(document, "part-ring")
    ods = sorted({float(e.get("data-od", "nan")) for e in ring.iter() if e.get("class") == "bore"})
    assert ods == [24, 26, 28, 30, 32]


def test_what_does_not_fit_is_said() -> None:
    with pytest.raises(LayoutError, match="wider than the paper"):
        trim_of(SPECS[0], 12, "1", od_range="100 mm..110 mm")
    with pytest.raises(LayoutError, match="too narrow for trim bands"):
        trim_of(SPECS[0], 12, "1/2", paper="24mm x roll")
    trim = trim_of(SPECS[0], 12, "1")
    assert any("do not fit the paper" in str(warning) for warning in trim.warnings)


def test_a_window_that_small_sockets_cannot_prove_is_said_with_the_diameter() -> None:
    trim = trim_of("60 N·m + 90° +6/-0", 12, "1/2")
    (warning,) = [w for w in map(str, trim.warnings) if "cannot prove" in w]
    od = float(warning.split("OD of ")[1].split()[0])
    assert 18 < od < 46
    for part in trim.parts:
        assert (part.plan.budgets[0].aim_zone is not None) is (part.low_od_mm >= od)


@each("more", [{"od_range": "24..32 mm", "od": "28 mm"}, {"trim_error": "1"}])
def test_options_that_do_not_go_together_are_refused(more: dict[str, str]) -> None:
    with pytest.raises((MarkingError, TypeError)):
        trim_of(SPECS[0], 12, "1/2", **more)


def test_the_svg_is_written() -> None:
    document = OUTPUTS["job"].draw(trim_of(SPECS[0], 12, "1/2", od_range="24 mm..32 mm"))
    assert b'class="trim-band"' in svg_bytes(document.pages[0], document)


@each("thread", ["right", "left"])
@each(("od_range", "step"), [("28 mm..36 mm", 1.0), ("1.1 in..1.3 in", 0.04 * 25.4)])
def test_lines_on_the_tab_tell_how_much_larger_the_socket_is(od_range: str, step: float, thread: str) -> None:
    """Cut for 30 mm and wrapped round 31 mm, the end lands on the line "+1"."""
    (band,) = trim_bands(OUTPUTS["job"].draw(trim_of(SPECS[0], 12, "1/2", od_range=od_range, thread=thread)))
    cut = Cut(band, 30.0)
    lines = of_role(cut.lines, "closure-scale")
    for line in lines:
        landing = cut.left + math.pi * (30.0 + float(line.data["more"]) + 0.1)
        assert at_height(line, cut.y) == pytest.approx(landing, abs=0.01)
    told = sorted(round(float(line.data["more"]) / step, 3) for line in lines)
    assert told == [1, 2]
    numbers = [e for e in band.iter() if e.get("class") == "closure-number"]
    places = sorted((float(e.get("x", "nan")), float(e.get("textLength", "nan")), str(e.text)) for e in numbers)
    first, *others = sorted(text for _, _, text in places)
    assert (first, len(others)) == (("+1", 1) if step == 1.0 else ("+.04", 0))
    for (x, width, _), (after, next_width, _) in itertools.pairwise(places):
        assert x + width / 2 < after - next_width / 2
    (unit,) = [str(e.text) for e in band.iter() if e.get("class") == "closure-unit"]
    assert unit == od_range.split()[-1]


@each("od", [24.0, 29.0, 32.0])
def test_each_row_has_the_ok_bracket_of_a_band_for_its_diameter(od: float) -> None:
    (band,) = trim_bands(OUTPUTS["job"].draw(trim_of("60 N·m + 360° ±30", 12, "1/2", od_range="24 mm..32 mm")))
    cut = Cut(band, od)
    bars = [e for e in band.iter() if e.get("class") == "ok-bracket"]
    half_bar = float(bars[0].get("stroke-width", "nan")) / 2
    closure = at_height(only(cut.lines, "closure"), cut.y)
    low, high = sorted(at_height(bar, cut.y) - closure for bar in of_role(cut.lines, "ok-bracket"))
    half = closure_half_mm(cut.length)
    assert (low + half_bar, high - half_bar) == pytest.approx((-half, half), abs=0.01)


def test_a_trim_band_says_inside_its_cut_what_it_is_for() -> None:
    trim = trim_of(SPECS[0], 12, "1/2", od_range="24 mm..32 mm", thread="left", title="K-9")
    (band,) = trim_bands(OUTPUTS["job"].draw(trim))
    lane = [e for e in band.iter() if e.get("class") == "lane"]
    assert str(lane[0].text) == "K-9 · 60 N·m, then 90° +10/−0 · left-hand · 12-point · 1/2 in drive · OD 24–32 mm"
    last_row = max(row.y1 for row in of_role(strokes(band), "row"))
    assert -float(lane[0].get("y", "nan")) > last_row + 8.0, "above all rows"
    assert "LEFT-HAND" in {str(e.text) for e in band.iter()}


def test_a_step_tells_the_row_from_where_the_end_lands() -> None:
    """π is near enough to three: no line is needed, and beside the bracket there are none on the band."""
    document = OUTPUTS["job"].draw(trim_of(SPECS[0], 12, "1/4"))
    words = " ".join(text.text for page in document.pages for text in placed_texts(page))
    assert "by a third of its distance from the dotted closure line: larger if it lands on the tab (+)" in words
