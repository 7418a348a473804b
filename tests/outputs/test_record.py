"""The record card: the plan's ink, the boxes, the words, and the command."""

from __future__ import annotations

import json
import math
import subprocess
import sys
from functools import lru_cache
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.collisions import check, collisions, placed_items, specs
from kit.commands import Run
from kit.measure import (
    SVG,
    apart_deg,
    assert_refused,
    direction_deg,
    drawn_groups,
    of_role,
    placed_texts,
    strokes,
    svg_root,
)
from kit.pdf_reading import pdf_pages
from kit.turning import polygon_middle
from marking.drawing.primitives import Document, Text
from marking.errors import CharacterError, LayoutError, RangeError
from marking.files.pdf import pdf_bytes
from marking.outputs.record.order import crosswise, row_places
from marking.outputs.record.plan import plan as plan_record
from marking.outputs.record.request import read as read_record
from marking.outputs.record.sheet import draw as record_document
from marking.sheets.paper import LEFT_MM
from marking.sheets.words import CAUTIONS

Places = dict[int, tuple[float, float]]

SPEC = "110 N·m + 90° +10/-0"
CIRCLES = [2, 4, 5, 8, 12, 24, 59, 60]
ROWS = [(4, 2), (10, 2), (14, 2), (15, 3), (5, 1), (60, 2), (36, 6)]
PAPERS = ["a4", "a5", "letter"]


@lru_cache(maxsize=256)
def a_card(spec: str = SPEC, fasteners: int = 8, **more: Any) -> Document:
    return record_document(plan_record(read_record(spec, fasteners, **more)))


def the_plan(document: Document) -> ElementTree.Element:
    (plan,) = drawn_groups(document, "plan")
    return plan


def numbers_in(plan: ElementTree.Element) -> Places:
    """The middle of each number's baseline on the page, y turned upwards, by the number that is written."""
    texts = [text for text in plan.iter(f"{SVG}text") if text.get("class") == "place-number"]
    assert all(text.get("text-anchor") == "middle" for text in texts)
    found = {int(str(text.text)): (float(text.get("x", "nan")), -float(text.get("y", "nan"))) for text in texts}
    assert len(found) == len(texts), "no number twice"
    return found


def middle(places: Places) -> tuple[float, float]:
    return (
        sum(x for x, _ in places.values()) / len(places),
        sum(y for _, y in places.values()) / len(places),
    )


def words_of(document: Document) -> str:
    """All words as one reads them: lines joined, without the dashes and numbers of lists."""
    texts = (text.text for page in document.pages for text in placed_texts(page))
    return " ".join(text for text in texts if text != "–" and not text.isdigit())


def record_tables(document: Document) -> list[ElementTree.Element]:
    """The tables with a row a fastener, in the order of the pages."""
    tables = drawn_groups(document, "table")
    return [table for table in tables if "manual's" in [text.text for text in table.iter(f"{SVG}text")]]


def edges(table: ElementTree.Element) -> tuple[list[float], list[float]]:
    """Where the upright and the level lines of a table lie."""
    lines = of_role(strokes(table), "rule", "rule-strong")
    upright = sorted({line.x1 for line in lines if line.x1 == line.x2})
    level = sorted({line.y1 for line in lines if line.y1 == line.y2})
    return upright, level


# -- the plan


def test_places_are_numbered_clockwise_from_the_top() -> None:
    places = numbers_in(the_plan(a_card()))
    cx, cy = middle(places)
    assert places[1][0] == pytest.approx(cx)
    assert places[1][1] > cy + 20.0
    clockwise = sorted(places, key=lambda n: (91.0 - direction_deg(places[n][0] - cx, places[n][1] - cy)) % 360.0)
    assert clockwise == [1, 2, 3, 4, 5, 6, 7, 8]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("count", CIRCLES)
def test_every_place_of_a_circle_stands_where_it_should(count: int, paper: str) -> None:
    places = numbers_in(the_plan(a_card(fasteners=count, paper=paper)))
    assert sorted(places) == list(range(1, count + 1))
    cx, cy = middle(places)
    for number, (x, y) in places.items():
        assert apart_deg(direction_deg(x - cx, y - cy), 90.0 - 360.0 * (number - 1) / count) < 0.01, number


@pytest.mark.parametrize(("count", "rows"), ROWS)
def test_every_place_in_rows_stands_where_it_should(count: int, rows: int) -> None:
    places = numbers_in(the_plan(a_card(fasteners=count, pattern="rows", rows=rows)))
    cx, cy = middle(places)
    standing = row_places(count, rows)
    xs = [x for x, _ in places.values()]
    pitch = (max(xs) - min(xs)) / (count // rows - 1)
    for number, (x, y) in enumerate(standing, 1):
        assert places[number] == pytest.approx((cx + x * pitch, cy + y * pitch), abs=0.001), number


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("count", [4, 8, 12, 24, 60])
def test_pairs_in_the_pdf_stand_opposite_each_other(count: int, paper: str) -> None:
    """Read back by pdfium: the middle between the two of each pair is the middle of the circle, within 0.1 mm."""
    document = a_card(fasteners=count, paper=paper)
    drawn = [{t.size_pt for t in placed_texts(page) if t.role == "place-number"} for page in document.pages]
    (size,) = set().union(*drawn)
    found: Places = {}
    for page, sizes in zip(pdf_pages(pdf_bytes(document)), drawn, strict=True):
        for word in page.words if sizes else ():
            if abs(word.size_pt - size) < 1e-3 and word.text.isdigit():
                found[int(word.text)] = (word.x, word.y)
    assert sorted(found) == list(range(1, count + 1))
    centre = middle(found)
    for number in range(1, count // 2 + 1):
        one, other = found[number], found[number + count // 2]
        assert math.dist(((one[0] + other[0]) / 2, (one[1] + other[1]) / 2), centre) < 0.1, number
        assert math.dist(one, other) > 30.0


@pytest.mark.parametrize("count", [1, 8, 60])
def test_every_number_stands_in_the_middle_of_its_own_hexagon(count: int) -> None:
    plan = the_plan(a_card(fasteners=count))
    found = numbers_in(plan)
    hexagons = [g for g in plan.iter(f"{SVG}g") if g.get("class") == "fastener"]
    assert len(hexagons) == count
    for hexagon in hexagons:
        (outline,) = hexagon.iter(f"{SVG}polygon")
        x, y = polygon_middle(outline)
        number_x, baseline = found[int(str(hexagon.get("data-position")))]
        assert number_x == pytest.approx(x, abs=1e-3)
        assert 0 < y - baseline < 2.0, "the baseline is below the middle by half a capital"
        assert crosswise(count)[int(str(hexagon.get("data-order"))) - 1] == int(str(hexagon.get("data-position")))


@pytest.mark.parametrize("thread", ["right", "left"])
def test_the_arrow_turns_the_way_the_fasteners_are_tightened(thread: str) -> None:
    document = a_card(thread=thread)
    (arrow,) = drawn_groups(document, "tightening")
    (head,), (shaft,) = arrow.iter(f"{SVG}polygon"), arrow.iter(f"{SVG}path")
    corners = [tuple(map(float, corner.split(","))) for corner in str(head.get("points")).split()]
    tip, outer, inner = (np.array([x, -y]) for x, y in corners)
    radius = float(str(shaft.get("d")).split("A")[1].split(",")[0])
    neck = (outer + inner) / 2
    outwards = (outer - inner) / np.linalg.norm(outer - inner)
    centre = neck - radius * outwards
    assert np.linalg.norm(tip - centre) == pytest.approx(radius, abs=0.001), "the tip is on the same circle"
    assert (direction_deg(*(tip - centre)) - direction_deg(*(neck - centre))) % 360.0 == pytest.approx(
        -35.0 % 360.0 if thread == "right" else 35.0, abs=1.0
    )
    clockwise = "Tighten clockwise, seen from" if thread == "right" else "Tighten counterclockwise, seen"
    assert clockwise in words_of(document)


def test_a_box_to_write_in_stands_above_the_plan_with_a_triangle_that_points_to_it() -> None:
    document = a_card()
    plan = the_plan(document)
    (top,) = [g for g in plan.iter(f"{SVG}g") if g.get("class") == "plan-top"]
    triangle, box = top.iter(f"{SVG}polygon")
    numbers = numbers_in(plan)
    assert numbers[1][1] < polygon_middle(triangle)[1] < polygon_middle(box)[1]
    assert numbers[1][0] == pytest.approx(polygon_middle(triangle)[0]) == pytest.approx(polygon_middle(box)[0])
    assert "this side up:" in words_of(document)


# -- the record


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("count", [1, 8, 25, 60])
@pytest.mark.parametrize(("spec", "stages"), [(SPEC, 1), ("90° ±5, 90° ±5", 2), ("9 N·m + 9° + 9° + 9° + 9° + 9°", 5)])
def test_there_is_a_box_for_every_fastener_and_every_stage(spec: str, stages: int, count: int, paper: str) -> None:
    """Rows are the fasteners once in each table of stages, and a row of the spec; columns as many as there is to do."""
    tables = record_tables(a_card(spec, count, paper=paper))
    boxes, titles = 0, []
    for table in tables:
        upright, level = edges(table)
        texts = [str(text.text) for text in table.iter(f"{SVG}text")]
        rows, columns = len(level) - 2, len(upright) - 1  # less the row of the spec
        assert texts.count("spec") == 1
        boxes += rows * (columns - 6)  # but for order, place, manual's order, both signatures and audit
        titles += texts
    assert boxes == count * (1 + 3 * stages)
    for word in ("snug", "marked", "turned", "in window" if "±" in spec or "+10" in spec else "at line"):
        assert any(title.startswith(word) for title in titles), word


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("count", [1, 14, 60])
def test_rows_name_order_and_place_across_pages(count: int, paper: str) -> None:
    found: list[list[int]] = [[], []]
    for table in record_tables(a_card(fasteners=count, paper=paper)):
        upright = edges(table)[0]
        for text in table.iter(f"{SVG}text"):
            column = sum(edge < float(text.get("x", "nan")) for edge in upright) - 1
            if column < 2 and str(text.text).isdigit():
                found[column].append(int(str(text.text)))
    assert [list(dict.fromkeys(column)) for column in found] == [list(range(1, count + 1)), list(crosswise(count))]


@pytest.mark.parametrize(("count", "rows"), [(24, [24]), (60, [30, 30]), (8, [8])])
def test_rows_are_split_only_where_a_page_cannot_hold_them_and_then_evenly(count: int, rows: list[int]) -> None:
    assert [len(edges(table)[1]) - 2 for table in record_tables(a_card(fasteners=count))] == rows


@pytest.mark.parametrize("spec", [SPEC, "20 N·m, 40 N·m, 60 N·m, 90° ±5, 90° ±5"])
@pytest.mark.parametrize("count", [8, 24, 200])
def test_the_head_stands_on_every_page_of_a_record(spec: str, count: int) -> None:
    for page in a_card(spec, count).pages:
        words = [text.text for text in placed_texts(page)]
        for box in ("part", "joint no.", "date", "manual's reference", "lubricant", "wrench no.", "calibration due"):
            assert words.count(box) == 1, box


def spec_row(spec: str, **more: Any) -> dict[str, str]:
    """What the record's row of the spec says, by the titles of the columns."""
    said: dict[str, str] = {}
    for table in record_tables(a_card(spec, **more)):
        upright, level = edges(table)
        for text in table.iter(f"{SVG}text"):
            x, y = float(text.get("x", "nan")), -float(text.get("y", "nan"))
            column = sum(edge < x for edge in upright)
            if y > level[-1] and float(text.get("font-size", "nan")) < 2.5:
                title = str(text.text)
                said[title] = " ".join(
                    str(other.text)
                    for other in table.iter(f"{SVG}text")
                    if level[-2] < -float(other.get("y", "nan")) < level[-1]
                    and sum(edge < float(other.get("x", "nan")) for edge in upright) == column
                )
    return said


def test_the_row_of_the_spec_states_torque_turn_and_window() -> None:
    said = spec_row(SPEC)
    assert said["snug"] == "110 N·m (81.1 lbf·ft)"
    assert said["turned"] == "90°"
    assert said["in window"] == "90–100°"
    assert said["manual's"] == said["marked"] == said["initials"] == said["checked"] == said["audit"] == ""


@pytest.mark.parametrize("paper", PAPERS)
def test_every_stage_states_its_own_turn_and_window(paper: str) -> None:
    said = spec_row("60 lb-ft, 1/4 turn ±5, 120° +15/-5, 450° ±10, 60°", paper=paper)
    assert said["snug"] == "60 lbf·ft (81.3 N·m)"
    assert [said[f"turned {n}"] for n in range(1, 5)] == ["90°", "120°", "450°", "60°"]
    assert [said[f"in window {n}"] for n in range(1, 4)] == ["85–95°", "115–135°", "440–460°"]
    assert said["at line 4"] == ""


def test_what_the_spec_leaves_open_is_left_to_be_written_in() -> None:
    assert spec_row("hand tight + 90°")["snug"] == "hand tight"
    assert spec_row("90° ±5")["snug"] == ""
    assert spec_row("90°")["at line"] == ""
    words = words_of(a_card("90°"))
    assert "that the manual gives" in words
    assert "The manual gives no tolerance: stop at the line, not short of it;" in words


def test_totals_from_snug_are_marked_once() -> None:
    spec = "50 N·m + 90° ±5 + 180° ±5"
    assert {"marked 1", "marked 2"} <= set(spec_row(spec))
    first = spec_row(spec, witness="first")
    assert "marked 1" in first
    assert "marked 2" not in first
    assert "Keep the same witness mark. Turn on" in words_of(a_card(spec, witness="first"))


def test_whole_turns_of_a_total_are_counted_from_snug_and_not_from_the_stop_before() -> None:
    spec = "50 N·m + 90° ±5 + 400° ±10"
    totals, anew = words_of(a_card(spec, witness="first")), words_of(a_card(spec))
    assert "counted from snug, 1 full turn, then on until the witness mark stands in the window “STOP 2”" in totals
    assert "390–410° from snug." in totals
    assert "smooth pulls, clockwise, 1 full turn, then on until" in anew
    assert "from snug" not in anew.replace("from snug in all", "")


def test_only_a_new_witness_mark_stands_beside_start() -> None:
    totals = words_of(a_card("50 N·m + 90° ±5 + 180°", witness="first"))
    assert totals.count("beside START") == 1
    assert "Keep the same witness mark beside START" not in totals
    assert "(180° from snug)" in totals


def test_there_are_boxes_for_part_date_wrench_calibration_and_technician() -> None:
    for paper in PAPERS:
        words = words_of(a_card(paper=paper))
        for box in ("part", "date", "wrench no.", "calibration due", "technician"):
            assert f"{box} " in words


# -- the words


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("more", [{}, {"pattern": "rows"}, {"fasteners": 60}, {"fasteners": 1}])
def test_every_card_says_that_the_manual_comes_first_and_keeps_the_cautions(paper: str, more: dict[str, Any]) -> None:
    document = a_card(paper=paper, **more)
    (sentence,) = [t for t in placed_texts(document.pages[0]) if t.text == "The manual's order comes first."]
    others = [t.size_pt for page in document.pages for t in placed_texts(page)]
    assert sentence.size_pt == max(others), "nothing is larger"
    words = words_of(document)
    for caution in CAUTIONS:
        assert caution in words
    assert words.count("Cautions") == 1


def test_stages_are_finished_on_all_fasteners_before_the_next() -> None:
    assert "Finish each pass and each stage on all 2 fasteners" in words_of(a_card(fasteners=2))
    assert "fasteners, in order" not in words_of(a_card(fasteners=1))


# -- layout


@settings(max_examples=80)
@given(
    spec=specs,
    count=st.integers(1, 60),
    rows=st.none() | st.integers(1, 6),
    more=st.fixed_dictionaries(
        {
            "paper": st.sampled_from(["a4", "letter", "a5", "a3", "legal", "200x240"]),
            "thread": st.sampled_from(["right", "left"]),
            "title": st.sampled_from(["", "Bogie frame, demo data, not for real equipment", "Ŵide " * 20]),
        }
    ),
)
def test_no_text_touches_anything_on_any_card(spec: str, count: int, rows: int | None, more: dict[str, Any]) -> None:
    if rows is not None and (count % rows or count // rows > 30):
        rows = None
    pattern = {"pattern": "circle"} if rows is None else {"pattern": "rows", "rows": rows}
    check(a_card(spec, count, **pattern, **more))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("count", [1, 4, 5, 8, 12, 24, 60])
def test_circles_fit_every_paper(count: int, paper: str) -> None:
    document = a_card(fasteners=count, paper=paper)
    check(document)
    assert all(t.size_pt >= 5.0 for page in document.pages for t in placed_texts(page))


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("count", "rows"), ROWS)
def test_rows_fit_every_paper(count: int, rows: int, paper: str) -> None:
    check(a_card(fasteners=count, pattern="rows", rows=rows, paper=paper))


def test_the_most_stages_and_the_longest_numbers_fit() -> None:
    spec = "hand tight, 123.456° +12.345/-12.345" + ", 3599.123° +11.111/-11.111" * 5
    for paper in PAPERS:
        check(a_card(spec, 60, paper=paper))
        check(a_card("99999.12345678901 lbf·in + 90°", 8, paper=paper))


def test_the_check_sees_a_number_that_is_too_large_for_its_hexagon() -> None:
    document = a_card(fasteners=60)
    (number,) = [
        t
        for t in placed_items(document.pages[0])
        if isinstance(t, Text) and t.text == "59" and t.role == "place-number"
    ]
    page = document.pages[0]
    drawing = page.placed[0].drawing
    spoiled = drawing._replace(content=drawing.content._replace(items=(number._replace(size_pt=14.0),)))
    assert collisions(page._replace(placed=(*page.placed, page.placed[0]._replace(drawing=spoiled, x=0, y=0))))


def test_eight_fasteners_take_one_page() -> None:
    assert len(a_card().pages) == 1
    assert len(a_card(paper="letter").pages) == 1


def test_paper_without_room_for_the_boxes_is_refused() -> None:
    with pytest.raises(LayoutError, match="larger paper"):
        a_card(paper="150x600", margin="30 mm")


def test_cautions_stand_before_the_record() -> None:
    for paper in PAPERS:
        words = words_of(a_card(paper=paper, fasteners=14, pattern="rows"))
        assert words.index("Cautions") < words.index("order place")


def test_paper_without_room_for_legible_numbers_is_refused() -> None:
    with pytest.raises(LayoutError, match="larger paper"):
        a_card(fasteners=60, pattern="rows", paper="a5", margin="30 mm")


@pytest.mark.parametrize(
    "more", [{"fasteners": 0}, {"fasteners": 201}, {"pattern": "star"}, {"rows": 2}, {"witness": "second"},
             {"pattern": "rows", "fasteners": 15}],
)  # fmt: skip
def test_the_library_refuses_what_is_out_of_limits(more: dict[str, Any]) -> None:
    with pytest.raises(RangeError):
        a_card(**more)


@pytest.mark.parametrize("title", ["漢字", "a\u202eb", "x\ny", "e" * 200])
def test_titles_that_cannot_be_printed_are_refused(title: str) -> None:
    with pytest.raises(CharacterError):
        a_card(title=title)


def test_markup_in_a_title_is_printed_as_typed() -> None:
    document = a_card(title="<b>A & B</b>")
    assert "<b>A & B</b>" in words_of(document)
    assert "<b>A & B</b>" in pdf_pages(pdf_bytes(document))[0].text
    assert "<b>A & B</b>" in "".join(svg_root(document.pages[0], document).itertext())


# -- the command


RECORD = ("record", SPEC, "--fasteners", "8")


def test_the_command_writes_pdf_and_svg_and_says_so(run: Run, tmp_path: Path) -> None:
    for name in ("card.pdf", "card.svg"):
        done = run(*RECORD, "-o", name)
        assert (done.returncode, done.stdout, done.stderr) == (0, f"wrote {name}: 1 page, A4.\n", "")
        assert (tmp_path / name).stat().st_size > 5000


def test_json_tells_places_and_order(run: Run) -> None:
    done = run(*RECORD, "-o", "card.pdf", "--json")
    data = json.loads(done.stdout)
    assert data["pattern"] == {"kind": "circle", "rows": None, "count": 8, "unit": "radius"}
    assert [entry["position"] for entry in data["fasteners"]] == [1, 5, 3, 7, 2, 6, 4, 8]
    assert [entry["order"] for entry in data["fasteners"]] == [1, 2, 3, 4, 5, 6, 7, 8]
    third = data["fasteners"][2]
    assert (third["x"], third["y"]) == pytest.approx((1.0, 0.0)), "position 3 of 8 is at three o'clock"
    assert data["spec"]["snug_torque_nm"] == 110.0
    assert data["files"] == ["card.pdf"]
    rows = json.loads(run("record", SPEC, "--fasteners", "4", "--pattern", "rows", "-o", "x.pdf", "--json").stdout)
    assert rows["pattern"] == {"kind": "rows", "rows": 2, "count": 4, "unit": "pitch"}
    assert [(entry["x"], entry["y"]) for entry in rows["fasteners"]] == [
        (-0.5, 0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, -0.5),
    ]  # fmt: skip


def test_it_warns_of_what_is_to_be_written_by_hand(run: Run) -> None:
    done = run("record", "90°", "--fasteners", "8", "-o", "x.pdf")
    assert done.returncode == 0
    assert "no snug torque" in done.stderr
    assert "has no tolerance" in done.stderr


def test_a_dash_puts_the_card_on_stdout(tmp_path: Path) -> None:
    command = [sys.executable, "-m", "turnband", *RECORD, "-o", "-"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, check=True)
    assert done.stdout.startswith(b"%PDF-")
    assert list(tmp_path.iterdir()) == []


def test_a_printer_profile_stretches_the_card(run: Run, tmp_path: Path) -> None:
    assert run("printer", "add", "office", "--x", "158.4 mm", "--y", "240 mm").returncode == 0
    lefts = []
    for more in ((), ("--printer", "office")):
        assert run(*RECORD, *more, "-o", "card.svg").returncode == 0
        root = ElementTree.parse(tmp_path / "card.svg").getroot()
        assert root.get("width") == "210mm"
        lefts.append(next(line.x1 for line in strokes(root) if line.role == "rule-strong"))
    assert lefts == pytest.approx([LEFT_MM, LEFT_MM * 160 / 158.4], abs=0.001)


@pytest.mark.parametrize(
    ("code", "arguments", "reason"),
    [
        (1, (*RECORD, "-o", "x.png"), ".pdf"),
        (1, (*RECORD, "--paper", "62mm x roll", "-o", "x.pdf"), "label stock"),
        (1, (*RECORD, "--paper", "a5", "--margin", "nan mm", "-o", "x.pdf"), "margin"),
        (1, (*RECORD, "--title", "漢字", "-o", "x.pdf"), "U+6F22"),
        (1, (*RECORD, "--title", "a\u202eb", "-o", "x.pdf"), "U+202E"),
        (1, (*RECORD, "--printer", "nobody", "-o", "x.pdf"), "nobody"),
        (1, (*RECORD, "--rows", "2", "-o", "x.pdf"), "--pattern rows"),
        (1, (*RECORD, "--pattern", "rows", "--rows", "3", "-o", "x.pdf"), "--rows 1 or 2 or 4"),
        (1, ("record", "", "--fasteners", "8", "-o", "x.pdf"), "spec"),
        (1, ("record", "nan° + -5", "--fasteners", "8", "-o", "x.pdf"), "spec"),
        (1, ("record", "1e9 N·m + 90°", "--fasteners", "8", "-o", "x.pdf"), "spec"),
        (1, ("record", "<b>90°</b>", "--fasteners", "8", "-o", "x.pdf"), "spec"),
        (1, ("record", "90° + 60°", "--fasteners", "8", "--witness", "first", "-o", "x.pdf"), "turns that grow"),
        (2, RECORD, "--output"),
        (2, ("record", SPEC, "-o", "x.pdf"), "--fasteners"),
        (2, ("record", SPEC, "--fasteners", "0", "-o", "x.pdf"), "1<=x<=200"),
        (2, ("record", SPEC, "--fasteners", "9" * 30, "-o", "x.pdf"), "1<=x<=200"),
        (2, ("record", SPEC, "--fasteners", "nan", "-o", "x.pdf"), "--fasteners"),
        (2, (*RECORD, "--pattern", "star", "-o", "x.pdf"), "--pattern"),
        (2, (*RECORD, "-o", "-", "--json"), "stdout"),
    ],
)
def test_refusals_say_why_and_leave_no_file(
    run: Run, tmp_path: Path, code: int, arguments: tuple[str, ...], reason: str
) -> None:
    assert_refused(run(*arguments), code, reason, tmp_path)


def test_help_shows_examples(run: Run) -> None:
    assert "Examples:" in run("record", "--help").stdout
