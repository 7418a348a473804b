"""The boxes of a card, and what its words say."""

from __future__ import annotations

from typing import Any

from kit.each import each
from kit.measure import SVG, placed_texts
from kit.record import PAPERS, SPEC, a_card, edges, record_tables, words_of
from marking.outputs.record.order import crosswise
from marking.sheets.words import CAUTIONS

# -- the record


@each("paper", PAPERS)
@each("count", [1, 8, 25, 60])
@each(("spec", "stages"), [(SPEC, 1), ("90° ±5, 90° ±5", 2), ("9 N·m + 9° + 9° + 9° + 9° + 9°", 5)])
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
    for word in ("snug", "marked", "reading", "in window" if "±" in spec or "+10" in spec else "at line"):
        assert any(title.startswith(word) for title in titles), word


@each("paper", PAPERS)
@each("count", [1, 14, 60])
def test_rows_name_order_and_place_across_pages(count: int, paper: str) -> None:
    found: list[list[int]] = [[], []]
    for table in record_tables(a_card(fasteners=count, paper=paper)):
        upright = edges(table)[0]
        for text in table.iter(f"{SVG}text"):
            column = sum(edge < float(text.get("x", "nan")) for edge in upright) - 1
            if column < 2 and str(text.text).isdigit():
                found[column].append(int(str(text.text)))
    assert [list(dict.fromkeys(column)) for column in found] == [list(range(1, count + 1)), list(crosswise(count))]


@each(("count", "rows"), [(24, [24]), (60, [30, 30]), (8, [8])])
def test_rows_are_split_only_where_a_page_cannot_hold_them_and_then_evenly(count: int, rows: list[int]) -> None:
    assert [len(edges(table)[1]) - 2 for table in record_tables(a_card(fasteners=count))] == rows


@each("spec", [SPEC, "20 N·m, 40 N·m, 60 N·m, 90° ±5, 90° ±5"])
@each("count", [8, 24, 200])
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
    assert said["reading"] == "90°"
    assert said["in window"] == "90–100°"
    assert said["manual's"] == said["marked"] == said["initials"] == said["checked"] == said["audit"] == ""


@each("paper", PAPERS)
def test_every_stage_states_its_own_turn_and_window(paper: str) -> None:
    said = spec_row("60 lb-ft, 1/4 turn ±5, 120° +15/-5, 450° ±10, 60°", paper=paper)
    assert said["snug"] == "60 lbf·ft (81.3 N·m)"
    assert [said[f"{'turned' if n == 3 else 'reading'} {n}"] for n in range(1, 5)] == ["90°", "120°", "450°", "60°"]
    assert [said[f"in window {n}"] for n in range(1, 4)] == ["85–95°", "115–135°", "440–460°"]
    assert said["at line 4"] == ""


def test_what_the_spec_leaves_open_is_left_to_be_written_in() -> None:
    assert spec_row("hand tight + 90°").keys() >= {"hand tight"}
    assert "snug" not in spec_row("hand tight + 90°"), "no torque is to be written in"
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
    assert "counted from snug, 1 full turn, then on until the witness mark stands in window “STOP 2”" in totals
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


@each("paper", PAPERS)
@each("more", [{}, {"pattern": "rows"}, {"fasteners": 60}, {"fasteners": 1}])
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
    assert "Do each pass and stage on all 2 fasteners" in words_of(a_card(fasteners=2))
    assert "fasteners, in order" not in words_of(a_card(fasteners=1))
