"""The witness pointer: read back from finished sheets, folded as it is printed, named for what it marks."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from kit.collisions import collisions
from kit.each import each
from kit.measure import MM_PER_PT, SVG, a_document, drawn_groups, of_role, only, placed_texts, strokes

ASCENT_EM = 0.74
"""How far letters and the degree sign rise above the baseline, in ems."""

TWO = "110 N·m + 90° +10/-0 + 60° ±5"


def drawn(spec: str = TWO, **more: object) -> list[ElementTree.Element]:
    document = a_document(spec, **more)
    return drawn_groups(document, "witness-pointer")


def texts(pointer: ElementTree.Element) -> list[ElementTree.Element]:
    return list(pointer.iter(f"{SVG}text"))


def corners_of(shape: ElementTree.Element) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in (pair.split(",") for pair in str(shape.get("points")).split())]


def size_pt(text: ElementTree.Element) -> float:
    return float(text.get("font-size", "nan")) / MM_PER_PT


@each("paper", ["a4", "24mm x roll"])
def test_a_folds_number_is_the_height_to_which_the_hairline_rises(paper: str) -> None:
    for pointer in drawn(paper=paper):
        lines = strokes(pointer)
        hairline = only(lines, "witness")
        assert hairline.x1 == hairline.x2
        end = max(hairline.y1, hairline.y2)
        (cut,) = (e for e in pointer if e.get("class") == "cut")
        corners = [tuple(map(float, pair.split(","))) for pair in str(cut.get("points")).split()]
        assert end == pytest.approx(max(-y for _, y in corners), abs=0.001), "flat, the hairline meets the band's edge"
        folds = of_role(lines, "fold")
        assert sorted(float(fold.data["mm"]) for fold in folds) == [3, 6, 10]
        for fold in folds:
            assert fold.y1 == fold.y2 == pytest.approx(end - float(fold.data["mm"]), abs=0.001)
            across = [min(x for x, _ in corners), max(x for x, _ in corners)]
            assert sorted((fold.x1, fold.x2)) == pytest.approx(across, abs=0.001)
            (label,) = (text for text in texts(pointer) if text.text == f"{fold.data['mm']} mm")
            assert 0 < -fold.y1 - float(label.get("y", "nan")) < 1, "the number stands on its line"


@each(
    ("spec", "witness", "names", "stages"),
    [
        ("110 N·m + 90° ±5", None, ["1", "2"], []),
        (TWO, None, ["1a", "2a", "1b", "2b"], ["stage 1", "stage 2"]),
        ("110 N·m + 60° ±5 + 90° ±5", "first", ["1", "2"], ["stages 1–2"]),
        ("40 N·m + 30° ±5 + 90° ±5, loosen, 40 N·m + 60° ±5", "first", ["1a", "2a", "1b", "2b"],
         ["stages 1–2", "stage 3"]),
    ],
)  # fmt: skip
def test_there_is_a_pointer_for_each_fastener_and_new_mark(
    spec: str, witness: str | None, names: list[str], stages: list[str]
) -> None:
    found = drawn(spec, fasteners=2, witness=witness, od="80 mm")
    assert [pointer.get("data-number") for pointer in found] == names
    said = [" ".join(text.text or "" for text in texts(pointer)) for pointer in found]
    for pointer, words in zip(found, said, strict=True):
        sizes = [size_pt(text) for text in texts(pointer) if text.text == pointer.get("data-number")]
        assert sorted(sizes) == pytest.approx([7.0, 12.0], abs=0.01), "on the tip and on what is stuck on"
        assert words.count("START") == 1
        told = [stage for stage in stages if stage in words]
        assert told == (stages[names.index(str(pointer.get("data-number"))) // 2 :][:1])
        assert ("stage" in words) is bool(told)


def test_a_pointer_says_its_thread_and_which_way_up_its_number_is() -> None:
    for thread, spec, letters in (("right", "110 N·m + 90° ±5", [""]), ("left", TWO, ["a", "b"])):
        found = drawn(spec, fasteners=12, thread=thread)
        assert all(any(t.text == "LEFT-HAND" for t in texts(p)) is (thread == "left") for p in found)
        lined = [p.get("data-number") for p in found if of_role(strokes(p), "underline")]
        assert lined == [f"{number}{letter}" for letter in letters for number in (6, 9)]


@each("paper", ["a4", "24mm x roll"])
@each(
    ("spec", "title", "said"),
    [
        ("110 N·m + 90° ±5", "", ["90° ±5"]),
        ("110 N·m + 90° +10/-0", "A-7", ["A-7 · 90° +10/−0"]),
        ("110 N·m + 90° +10/-0", "Bogie bracket, left side", ["90° +10/−0"]),
        (TWO, "", ["90° +10/−0", "60° ±5"]),
        ("110 N·m + 2/3 turn ±30", "", ["240° ±30"]),
        ("110 N·m + 60° ±5 + 90° +10/-5 + 130° +10/-5", "", ["60°, 90°, 130°"]),
    ],
)  # fmt: skip
def test_a_pointers_foot_says_what_it_is_for(paper: str, spec: str, title: str, said: list[str]) -> None:
    witness = "first" if "130°" in spec else None
    found = drawn(spec, thread="left", witness=witness, paper=paper, title=title, fasteners=1, od="60 mm")
    assert len(found) == len(said)
    for pointer, words in zip(found, said, strict=True):
        (line,) = [text for text in texts(pointer) if "°" in str(text.text)]
        assert line.text == words
        assert size_pt(line) == pytest.approx(5.0, abs=0.01)
        fold = next(f for f in of_role(strokes(pointer), "fold") if f.data["mm"] == "10")
        assert -float(line.get("y", "nan")) < fold.y1 - 1, "below the last fold, on what is stuck on"


@each("paper", ["a4", "24mm x roll"])
def test_start_and_an_arrow_head_stand_at_the_hairlines_upper_end_alone(paper: str) -> None:
    for pointer in drawn(paper=paper):
        (cut,) = (e for e in pointer if e.get("class") == "cut")
        (arrow,) = (e for e in pointer if e.get("class") == "flag")
        edge = min(y for _, y in corners_of(cut))
        (x, y), *base = sorted(corners_of(arrow), key=lambda corner: corner[1])
        hairline = only(strokes(pointer), "witness")
        assert (x, y) == pytest.approx((hairline.x1, edge), abs=0.001), "its point is the hairline's end"
        assert all(edge + 0.5 < low < edge + 3 for _, low in base)
        (start,) = (text for text in texts(pointer) if text.text == "START")
        assert edge < float(start.get("y", "nan")) < edge + 3, "on the flap that the lowest fold raises"


def test_the_line_under_a_6_keeps_clear_of_the_words_below_it() -> None:
    (pointer,) = [
        p for p in drawn("110 N·m + 90° ±5", thread="left", fasteners=6, title="A-7") if p.get("data-number") == "6"
    ]
    lines = of_role(strokes(pointer), "underline")
    assert len(lines) == 2
    widths = [float(e.get("stroke-width", "nan")) for e in pointer if e.get("class") == "underline"]
    assert min(widths) >= 0.25, "seen at arm's length"
    tops = [float(t.get("y", "nan")) - ASCENT_EM * float(t.get("font-size", "nan")) for t in texts(pointer)]
    folds = [line.y1 for line in of_role(strokes(pointer), "fold")]
    for line in lines:
        below = [y for y in (*tops, *folds) if y > line.y1]
        assert min(below) - line.y1 >= 0.5


def test_many_pointers_touch_nothing() -> None:
    document = a_document("110 N·m + 91° +10/-0 + 60° ±5", fasteners=50, thread="left", witness=None)
    assert len(drawn_groups(document, "witness-pointer")) == 100
    assert [collisions(page) for page in document.pages] == [[]] * len(document.pages)


def test_cut_and_fold_are_each_named_once() -> None:
    words = " ".join(text.text for page in a_document(TWO).pages for text in placed_texts(page))
    caption = words[words.index("Witness pointers") :]
    caption = caption[: caption.index("dotted line.") + 12]
    assert caption.count("dashed") == caption.count("dotted") == 1
    assert "1b: fastener 1, stage 2" in caption
    assert "the hairline's upper end at START" in caption
    assert "its hairline's end at START" in words
