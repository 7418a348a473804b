"""Blank bands: what a pen is guided by must be true wherever the band is cut, and what is written stays on the band."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element

import numpy as np
import pytest
from shapely.geometry import Polygon

from kit.collisions import check
from kit.commands import Run
from kit.each import each
from kit.measure import (
    SVG,
    Stroke,
    assert_refused,
    document_of,
    drawn_groups,
    of_role,
    only,
    placed_texts,
    strokes,
)
from kit.turning import Vector, tightened
from marking.drawing.primitives import Document

STOCK_MM = 0.1


def blank(points: int = 12, drive: str = "1/2", **more: Any) -> Document:
    return document_of("blank", points=points, drive=drive, **more)


def bands(document: Document) -> list[Element]:
    return drawn_groups(document, "trim-band")


def at_height(line: Stroke, y: float) -> float:
    """Where a slanted line crosses a height."""
    return line.x1 + (line.x2 - line.x1) * (y - line.y1) / (line.y2 - line.y1)


class Wrapped:
    """A band cut along the row of an OD and wrapped round a socket of that OD, drive end up, print outwards.

    In front of somebody who stands outside, larger x lies to the right, and right is the way of growing azimuth.
    """

    def __init__(self, band: Element, od: float) -> None:
        lines = strokes(band)
        rows = sorted((float(row.data["od"]), row.y1) for row in of_role(lines, "row"))
        (low, y_low), (high, y_high) = rows[0], rows[-1]
        self.y = y_low + (y_high - y_low) * (od - low) / (high - low)
        self.length = math.pi * (od + STOCK_MM)
        self.start = at_height(only(lines, "start"), self.y)

    def of(self, line: Stroke) -> Vector:
        azimuth = 2 * math.pi * (at_height(line, self.y) - self.start) / self.length
        return np.array([math.cos(azimuth), math.sin(azimuth), 0.0])


@each("thread", ["right", "left"])
@each("points", [4, 12])
def test_every_degree_arrives_where_start_was(points: int, thread: str) -> None:
    for band in bands(blank(points, od_range="20 mm..36 mm", thread=thread)):
        lines = strokes(band)
        ods = [float(row.data["od"]) for row in of_role(lines, "row")]
        degrees = {float(line.data["deg"]): line for line in of_role(lines, "degree-guide")}
        corners = {360.0 * (int(line.data["index"]) - 1) / points: line for line in of_role(lines, "corner")}
        assert len(degrees) > 20
        assert len(corners) == points
        for od in (min(ods), sum(ods) / len(ods), max(ods)):
            socket = Wrapped(band, od)
            witness = socket.of(only(lines, "start"))
            for deg, line in (degrees | corners).items():
                assert np.allclose(tightened(socket.of(line), deg, thread), witness, atol=2e-3), deg


@each("thread", ["right", "left"])
def test_a_figure_stands_over_its_own_degree(thread: str) -> None:
    for band in bands(blank(6, "3/4", od_range="40 mm..50 mm", thread=thread)):
        guides = {float(line.data["deg"]): line for line in of_role(strokes(band), "degree-guide")}
        found = 0
        for text in band.iter(f"{SVG}text"):
            if not (text.text or "").endswith("°") or (deg := float(str(text.text)[:-1])) > 300:
                continue
            x, y = float(text.get("x", "nan")), -float(text.get("y", "nan"))
            near, far = at_height(guides[10.0], y), at_height(guides[100.0], y)
            assert 10 + 90 * (x - near) / (far - near) == pytest.approx(deg, abs=2)
            found += 1
        assert found > 8


@each("thread", ["right", "left"])
def test_the_pen_finds_figures_all_round_and_start_alone_on_its_line(thread: str) -> None:
    for points, drive in ((12, "3/8"), (6, "1/2")):
        for band in bands(blank(points, drive, thread=thread)):
            texts = list(band.iter(f"{SVG}text"))
            degrees = [float(str(text.text)[:-1]) for text in texts if (text.text or "").endswith("°")]
            assert len(degrees) >= 3
            assert min(degrees) <= 90
            assert max(degrees) >= 210
            (start,) = (text for text in texts if text.text == "START")
            assert float(start.get("font-size", "nan")) * 0.66 > 2.4, "capitals 2.4 mm high"
            y = float(start.get("y", "nan"))
            near = [t.text for t in texts if -1.2 < y - float(t.get("y", "nan")) < 2.4 and t is not start]
            assert not [text for text in near if text not in ("glue under", "other end", "under the", "glue this")]


@each(("drive", "points"), [("1/4", 6), ("3/8", 8), ("1/2", 12), ("1", 6)])
@each("thread", ["right", "left"])
def test_the_boxes_lie_within_the_cut_and_nothing_touches(drive: str, points: int, thread: str) -> None:
    document = blank(points, drive, thread=thread, copies=2, title="Tram depot")
    check(document)
    found = bands(document)
    assert found
    for band in found:
        lines = strokes(band)
        top = only(lines, "drive-edge")
        right = max(x for line in of_role(lines, "tab-line") for x in (line.x1, line.x2) if x < max(top.x1, top.x2) - 5)
        bottom = max(line.y1 for line in of_role(lines, "row"))
        strip = Polygon([(top.x1, bottom), (right, bottom), (right, top.y1), (top.x1, top.y1)])
        boxes = [
            Polygon([(float(x), -float(y)) for x, y in (pair.split(",") for pair in str(box.get("points")).split())])
            for box in band.iter()
            if box.get("class") == "box"
        ]
        assert len(boxes) == 4
        for k, box in enumerate(boxes):
            assert strip.contains(box)
            assert box.bounds[3] - box.bounds[1] >= 6
            assert all(box.intersection(other).area < 1e-3 for other in boxes[:k])
        words = {text.text for text in band.iter(f"{SVG}text")}
        assert {"spec", "STOP window", "stage, in all", "START"} <= words
        assert ("LEFT-HAND" in words) is (thread == "left")
        assert ("right-hand" in words) is (thread == "right")
        assert not of_role(lines, "stop-low", "stop-high", "stop", "aim")


@each(("thread", "side", "way"), [("right", "right", "clockwise"), ("left", "left", "counterclockwise")])
def test_the_steps_say_the_side_that_the_drawing_shows(thread: str, side: str, way: str) -> None:
    document = blank(thread=thread, od_range="24 mm..32 mm")
    words = " ".join(text.text for page in document.pages for text in placed_texts(page))
    assert f"for {side}-hand threads only, which tighten {way}, seen from the drive end" in words
    assert f"with a pen at these degrees, to the {side} of START" in words
    lines = strokes(bands(document)[0])
    first = next(line for line in of_role(lines, "degree-guide") if line.data["deg"] == "10")
    assert (first.x1 > only(lines, "start").x1) is (side == "right")


def test_the_usual_ods_of_the_drive_are_covered(run: Run) -> None:
    done = run("blank", "--points", "6", "--drive", "3/8", "--thread", "LH", "--json", "-o", "x.svg")
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told["thread"] == "left"
    assert told["bands"][0]["low_od_mm"] == 9.0
    assert told["bands"][-1]["high_od_mm"] == 33.0
    joints = zip(told["bands"], told["bands"][1:], strict=False)
    assert all(one["high_od_mm"] == other["low_od_mm"] for one, other in joints)
    assert told["warnings"] == []


@each(
    ("code", "arguments", "reason"),
    [
        (1, ("--od-range", "32 mm..24 mm"), "--od-range"),
        (1, ("--od-range", "28 mm"), "two lengths"),
        (1, ("--od-range", "6 mm..7 mm"), "drive disc"),
        (1, ("--od-range", "280 mm..290 mm"), "--paper"),
        (1, ("--paper", "24mm x roll"), "label stock"),
        (1, ("--title", "\U0001f600"), "title"),
        (2, ("--copies", "0"), "--copies"),
        (2, ("--thread", "middle"), "--thread"),
    ],
)
def test_refusals_say_why_and_leave_no_file(
    run: Run, tmp_path: Path, code: int, arguments: tuple[str, ...], reason: str
) -> None:
    done = run("blank", "--points", "12", "--drive", "1/2", *arguments, "-o", "x.pdf")
    assert_refused(done, code, reason, tmp_path)


def test_ods_that_no_band_can_serve_are_left_out_with_a_warning(run: Run) -> None:
    done = run("blank", "--points", "6", "--drive", "1-1/2", "-o", "x.pdf")
    assert done.returncode == 0
    assert "do not fit the paper" in done.stderr
    assert "6.5 mm to 8 mm are too slim" in run("blank", "--points", "6", "--drive", "1/4", "-o", "y.pdf").stderr


def test_the_words_below_a_band_say_how_thick_the_paper_is() -> None:
    words = " ".join(text.text for text in placed_texts(blank().pages[0]))
    assert "mm, paper 0.1 mm thick" in words
