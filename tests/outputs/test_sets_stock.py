"""Sets on tape and on sheets of labels: a piece on each, at its place, and nothing round it."""

from __future__ import annotations

import io
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any

import pypdf
import pypdfium2
import pytest
import zxingcpp
from hypothesis import given as any_of
from hypothesis import strategies as st
from shapely import box

from kit.collisions import collisions, placed_items, shape
from kit.commands import Run
from kit.each import each
from kit.examples import ANY, examples
from kit.measure import drawn_groups
from kit.sets import a_set, an_item
from marking import OUTPUTS
from marking.drawing.primitives import sizes_mm
from marking.errors import MarkingError
from marking.files.pdf import PT_PER_MM, pdf_bytes
from marking.outputs.sets.find import find
from marking.outputs.sets.media import read_grid
from marking.outputs.sets.pages import set_document
from marking.outputs.sets.plan import SetPlan, SetsPlan
from marking.sheets.paper import SIZES, Paper

LIST = """id;spec;points;drive;od;thread;copies;fasteners
A-1;60 N·m + 90° ±10;6;1/2;27.8 mm;;2;
A-2;45 N·m + 60° ±10;6;1/2;24 mm;left;;2
"""


Make = Callable[..., SetPlan]


@pytest.fixture
def plan_of(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Make:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "list.csv").write_text(LIST, "utf-8")

    def make(**texts: object) -> SetPlan:
        made = OUTPUTS["set"]
        found = made.plan(made.read("list.csv", **texts))
        assert found.faults == (), found.faults
        (plan,) = found.plans.values()
        assert isinstance(plan, SetPlan)
        return plan

    return make


def codes(plan: SetPlan) -> list[str]:
    pdf = pypdfium2.PdfDocument(pdf_bytes(set_document(plan)))
    images = (page.render(scale=300 / 72, grayscale=True).to_numpy() for page in pdf)
    return [
        code.text
        for image in images
        for code in zxingcpp.read_barcodes(image, zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode))
    ]


@pytest.mark.parametrize("width", [12, 18, 24, 36])
def test_on_tape_every_piece_is_a_page_as_wide_as_the_tape_and_as_long_as_itself(plan_of: Make, width: int) -> None:
    if width < 20:
        with pytest.raises(AssertionError, match="witness pointers are 20 mm high"):
            plan_of(paper=f"{width}mm tape")
        Path("list.csv").write_text(LIST.replace(";;2\n", ";;\n"), "utf-8")
    plan = plan_of(paper=f"{width}mm tape", tags="piece")
    document = set_document(plan)
    pages = pypdf.PdfReader(io.BytesIO(pdf_bytes(document))).pages
    lying = [plan.parts[spot.part] for spot in plan.spots]
    for page, part, drawn in zip(pages, lying, document.pages, strict=True):
        assert float(page.mediabox.height) == pytest.approx(width * PT_PER_MM, abs=0.001)
        assert float(page.mediabox.width) == pytest.approx(part.width_mm * PT_PER_MM, abs=0.001)
        assert collisions(drawn) == []
    bands = [part for part in lying if part.number == 1]
    assert {part.height_mm for part in bands} == {float(width)}, "the tape's edge is the reading edge"
    assert codes(plan) == (["A-1", "A-2"] if width > 12 else [])


def test_a_label_comes_before_the_pieces_of_its_bag_and_a_ruler_before_all_if_wanted(plan_of: Make) -> None:
    plan = plan_of(paper="24mm tape", tags="socket", tape_ruler=True)
    names = [plan.parts[spot.part].name for spot in plan.spots]
    assert [name for name in names if "tag" not in name] == [
        "A-1",
        "A-1",
        "A-2 (1 of 3)",
        "A-2 (2 of 3)",
        "A-2 (3 of 3)",
    ]
    assert ["tag" in name for name in names] == [True, False, False, True, False, False, False]
    document = set_document(plan)
    assert len(document.pages) == plan.pages == len(names) + 1
    assert len(drawn_groups(document, "check-ruler")) == 1
    assert len(drawn_groups(document, "witness-pointer")) == 2


@pytest.mark.parametrize("first", [1, 5, 16])
def test_on_a_sheet_of_labels_every_piece_lies_within_its_own_from_the_first_free_one_on(
    plan_of: Make, first: int
) -> None:
    plan = plan_of(
        labels="2x8", label_size="99x34 mm", label_corner="5x11 mm", label_pitch="101x34.5 mm", first_label=first,
        tags="socket",
    )  # fmt: skip
    corners = [(5 + 101 * k, 297 - 11 - 34.5 * n) for n in range(8) for k in (0, 1)]
    labels = [box(x, top - 34, x + 99, top) for x, top in corners]
    taken = []
    grown = [label.buffer(1e-6) for label in labels]
    for page, drawn in enumerate(set_document(plan).pages):
        for item in map(shape, placed_items(drawn)):
            (own,) = [number for number, label in enumerate(grown) if label.covers(item)]
            taken.append(16 * page + own)
    assert sorted(set(taken)) == list(range(first - 1, first - 1 + len(plan.parts)))
    assert plan.spots[0].place == f"{'ABCDEFGH'[(first - 1) // 2]}{(first - 1) % 2 + 1}"


def test_upright_labels_hold_their_pieces_turned(plan_of: Make) -> None:
    plan = plan_of(labels="5x2", label_size="34x110 mm")
    assert {spot.turned for spot in plan.spots} == {True}
    assert all(collisions(page) == [] for page in set_document(plan).pages)


@each(
    ("labels", "size", "corner", "pitch", "first", "field"),
    [
        ("3by8", "66x34", None, None, 1, "labels"), ("0x8", "66x34", None, None, 1, "labels"),
        ("3x8", "66", None, None, 1, "label_size"), ("3x8", "66x34", "8x30", None, 1, "label_size"),
        ("3x8", "66x34", None, "60x34", 1, "label_pitch"), ("3x8", "66x40", None, None, 1, "label_size"),
        ("3x8", "66x34", None, None, 25, "first_label"), ("3x8", "66x7", None, None, 1, "label_size"),
        ("3x8", "66x34", "a", None, 1, "label_corner"),
    ],
)  # fmt: skip
def test_labels_that_cannot_lie_on_the_sheet_are_refused(
    labels: str, size: str, corner: str | None, pitch: str | None, first: int, field: str
) -> None:
    with pytest.raises(MarkingError) as refusal:
        read_grid(Paper(*SIZES["a4"]), labels, size, corner, pitch, first)
    assert refusal.value.field == field


def test_labels_are_read_in_inches_too_and_stand_in_the_middle() -> None:
    grid = read_grid(Paper(*SIZES["letter"]), "2x5", "4x2 in")
    assert [grid.width_mm, grid.height_mm] == pytest.approx([101.6, 50.8])
    assert [grid.left_mm, grid.top_mm] == pytest.approx([(215.9 - 203.2) / 2, (279.4 - 254) / 2])


def test_what_does_not_go_on_labels_is_said_of_its_row(run: Run, tmp_path: Path) -> None:
    rows = (
        LIST.replace("fasteners", "fasteners;kind") + "D;90° ±10;6;1/2;28 mm;;;;disc\nR;90° ±10;6;1/2;28 mm;;;;ring\n"
    )
    (tmp_path / "list.csv").write_text(rows, "utf-8")
    done = run("set", "list.csv", "--paper", "24mm tape", "-o", "set.pdf")
    assert done.returncode == 1
    for row, kind in ((4, "disc"), (5, "ring")):
        assert f"list.csv:{row}: kind: a {kind} does not go on label stock" in done.stderr
    assert run("set", "list.csv", "--labels", "3x8", "-o", "set.pdf").stderr.endswith("give --label-size\n")
    refused = run("set", "list.csv", "--paper", "24mm tape", "--cards", "-o", "x.pdf")
    assert "cards do not go on labels" in refused.stderr
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    said = run("set", "list.csv", "--paper", "24mm tape", "--tape-ruler", "-o", "set.pdf").stdout
    assert said == "wrote set.pdf: 6 pages, tape 24 mm wide. Print at 100 %, then measure the ruler.\n"
    said = run("set", "list.csv", "--labels", "2x8", "--label-size", "99x34", "-o", "labels.pdf").stdout
    assert said.endswith("A4. Print at 100 %, then wrap a band: its end must land inside the OK bracket.\n")


@each(
    ("given", "needed"),
    [
        ({"label_size": "66x34"}, "labels"), ({"first_label": 3}, "labels"), ({"label_pitch": "66x34"}, "labels"),
        ({"since_sockets": "old.csv"}, "since"),
    ],
)  # fmt: skip
def test_what_goes_with_something_else_is_refused_alone(given: dict[str, object], needed: str) -> None:
    with pytest.raises(MarkingError, match=f"goes with {needed}"):
        OUTPUTS["set"].read(turns="90° ±5", points="6", drive="1/2", **given)


@each("stock", [{}, {"labels": "2x8", "label_size": "99x34 mm"}])
def test_a_ruler_for_a_tape_is_refused_where_there_is_none(stock: dict[str, str]) -> None:
    with pytest.raises(MarkingError, match="only a tape begins with a ruler") as refused:
        OUTPUTS["set"].read(turns="90° ±5", points="6", drive="1/2", tape_ruler=True, **stock)
    assert refused.value.field == "tape_ruler"


@pytest.mark.parametrize(
    "paper",
    [
        {"paper": "24mm tape", "tape_ruler": True},
        {"paper": "letter", "ruler": "99.2 mm x 99.6 mm"},
        {"labels": "2x8", "label_size": "99x34 mm", "label_corner": "5x11 mm", "label_pitch": "101x34.5 mm"},
    ],
    ids=["tape", "sheet", "labels"],
)
def test_sizes_of_pages_are_known_before_they_are_drawn(plan_of: Make, paper: dict[str, Any]) -> None:
    pages = set_document(plan_of(**paper)).pages
    assert sizes_mm(pages) == sizes_mm(list(pages)) == [(page.width_mm, page.height_mm) for page in pages]


@examples(60)
@any_of(st.lists(st.text("0123456789.,x× mmin-", max_size=9), min_size=4, max_size=4), st.integers(-2, 99))
def test_any_texts_about_labels_are_read_or_refused(texts: list[str], first: int) -> None:
    labels, size, corner, pitch = texts
    with suppress(MarkingError):
        grid = read_grid(Paper(*SIZES["a4"]), labels, size, corner, pitch, first)
        assert grid.columns * grid.width_mm <= 210.001


@cache
def two_pieces() -> SetPlan:
    return a_set([an_item(), an_item(id="Y", kind="disc", row=3)])


@examples(60)
@any_of(st.text(ANY, max_size=30) | st.text("0123456789 .,/mincAS°-", max_size=20))
def test_any_words_find_pieces_or_are_refused(query: str) -> None:
    with suppress(MarkingError):
        found = find(SetsPlan({"": two_pieces()}), query)
        assert {one.part.item.id for one in found} <= {"X", "Y"}
