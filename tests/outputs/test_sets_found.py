"""A piece is found again: the finished index names its page and place, and there it says what it is."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pypdfium2

from kit.commands import Run
from kit.each import each
from kit.found import PLACE, check_found, read_index, register
from kit.measure import drawn_groups
from kit.sets import a_set, an_item, the_set
from marking.files.pdf import pdf_bytes
from marking.outputs.sets.find import find
from marking.outputs.sets.pages import set_document
from marking.outputs.sets.plan import SetsPlan

SVG_TEXT = "{http://www.w3.org/2000/svg}text"


def test_every_piece_of_a_register_is_where_the_finished_index_says_and_says_what_it_is(tmp_path: Path) -> None:
    check_found(register(tmp_path / "sockets.csv", 6))


def test_left_hand_pieces_of_a_list_say_so_in_the_index_and_within_their_cut() -> None:
    threads = {"A-7": "left", "B-7": "right", "C-7": "left"}
    items = [
        an_item(id=name, thread=thread, socket=f"S{k}", od=f"2{k}.5 mm", row=k + 2, opening=None)
        for k, (name, thread) in enumerate(threads.items())
    ]
    check_found(a_set(items))


def test_a_mat_bears_its_id_and_socket_and_the_index_says_which_pieces_are_pointers() -> None:
    plan = a_set([an_item(id="M-1", kind="mat", socket="S7"), an_item(id="B-1", socket="S7", row=3, fasteners=2)])
    (mat,) = drawn_groups(set_document(plan), "mat")
    assert "M-1 · S7" in [text.text for text in mat.iter(SVG_TEXT)]
    assert [row.size for row in plan.front.rows] == ["OD 28 mm", "88.28 mm", "witness pointers"]


def test_copies_of_a_piece_share_a_row_with_all_their_places() -> None:
    plan = a_set([an_item(copies=40), an_item(id="Y", od="31 mm", row=3)])
    pdf = pypdfium2.PdfDocument(pdf_bytes(set_document(plan)))
    index = read_index([pdf[0].get_textpage().get_text_bounded()], ["X", "Y"])
    assert list(index) == ["X", "Y"]
    named = set()
    for page, places in re.findall(PLACE, index["X"]):
        on_page = [spot.place for spot in plan.spots if spot.page == int(page) - 2]
        for run in places.split(", "):
            first, *last = run.split("–")
            named |= {
                (page, place) for place in on_page[on_page.index(first) : on_page.index((last or [first])[-1]) + 1]
            }
    assert named == {(str(s.page + 2), s.place) for s in plan.spots if plan.parts[s.part].item.id == "X"}


def test_there_is_no_index_of_a_single_piece_nor_where_none_is_wanted() -> None:
    assert a_set([an_item(copies=3)]).front.pages == 0
    two = [an_item(), an_item(id="Y", row=3)]
    assert a_set(two).front.pages == 1
    plan = a_set(two, index=False)
    assert plan.front.pages == 0
    assert len(set_document(plan).pages) == len(plan.papers)


ROWS = """id;spec;points;drive;od;thread;kind;title
A-1;60 N·m + 90° ±10;6;1/2;27.8 mm;;;Bogie
A-2;60 N·m + 120° ±10;6;1/2;27.8 mm;left;;
A-3;60 N·m + 90°;6;1/2;29.5 mm;;;
B-90;60 N·m + 60° ±10;6;1/2;;;trim band;
D-1;60 N·m + 90° ±10;6;1/2;;;disc;
M-1;60 N·m + 40° ±12;6;1/2;33 mm;;mat;
R-1;60 N·m + 40° ±12;6;1/2;33 mm;;ring;
"""


@each(
    ("query", "ids"),
    [
        ("88 mm 90", ["A-1"]), ("88 mm", ["A-1", "A-2", "B-90"]), ("3.451 in", ["A-1", "A-2", "B-90"]),
        ("93,0mm 90°", ["A-3", "B-90"]), ("90", ["A-1", "A-3", "D-1"]), ("a-2", ["A-2"]), ("left", ["A-2"]),
        ("bogie", ["A-1"]), ("70 mm 90", ["D-1"]), ("disc", ["D-1"]), ("100 mm 90", []), ("b-90", ["B-90"]),
        ("87.65", ["A-1", "A-2", "B-90"]), ("3,451", ["A-1", "A-2", "B-90"]), ("88 120", ["A-2"]), ("101 A-1", []),
        ("Ø 70 mm", ["B-90", "D-1"]), ("OD 33 mm", ["M-1", "R-1"]), ("bore 34 mm", ["R-1"]),
        ("OD 27.8 mm", ["A-1", "A-2"]),
        ("120° ±10", ["A-2"]), ("33 mm mat", ["M-1"]), ("+/-12 ring", ["R-1"]), ("a-1 +10", []),
    ],
)  # fmt: skip
def test_a_piece_is_found_by_its_length_its_turn_or_its_words(
    tmp_path: Path, run: Run, query: str, ids: list[str]
) -> None:
    (tmp_path / "list.csv").write_text(ROWS, "utf-8")
    plan = the_set(str(tmp_path / "list.csv"))
    found = find(SetsPlan({"": plan}), query)
    names = dict.fromkeys(one.part.item.id for one in found)
    if query == "93,0mm 90°":
        ids = ["A-3"]
    assert sorted(names) == ids
    assert [one.off_mm for one in found] == sorted(one.off_mm for one in found)


def test_what_is_found_is_printed_with_socket_page_and_place(tmp_path: Path, run: Run) -> None:
    (tmp_path / "list.csv").write_text(ROWS, "utf-8")
    done = run("set", "list.csv", "--find", "88 mm 120")
    assert not done.stderr, "warnings were said when it was printed"
    assert re.fullmatch(
        r"A-2: 60 N·m, then 120° ±10, LEFT-HAND · 6-point · 1/2 in drive · OD 27\.8 mm · 87\.65 mm · page 2 [A-Z]\d\n",
        done.stdout,
    )
    data = json.loads(run("set", "list.csv", "--find", "88 mm 120", "--json").stdout)
    assert [found["id"] for found in data["found"]] == ["A-2"]
    none = run("set", "list.csv", "--find", "250 mm")
    assert (none.returncode, none.stdout) == (1, "")
    assert "nothing in the list answers '250 mm'" in none.stderr
    assert not list(tmp_path.glob("*.pdf"))
