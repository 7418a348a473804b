"""Labels and cards for bags: all that is in the bag, no larger than needed, with a code that another program reads."""

from __future__ import annotations

import re
from itertools import pairwise

import pypdfium2
import zxingcpp

from kit.collisions import check
from kit.each import each
from kit.measure import drawn_groups
from kit.sets import a_set, an_item
from marking.drawing.primitives import Document, Drawing, Line, Page, Placed, Text, primitives
from marking.files.pdf import pdf_bytes
from marking.lists.items import Item
from marking.outputs.sets.labels import MODULE_MM, QUIET, Label, draw_label
from marking.outputs.sets.pages import set_document
from marking.outputs.sets.plan import label_room
from marking.outputs.sets.report import set_data
from marking.sheets.paper import parse_paper

SVG_TEXT = "{http://www.w3.org/2000/svg}text"

QR = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)


def register_items() -> list[Item]:
    turns = ("30° ±5", "90° +10/-0", "120° ±10")
    sockets = (("S19", "27.8 mm", "right"), ("Größe Ж 7", "31 mm", "left"), ("Q", "22 mm", "right"))
    return [
        an_item(id=f"{socket}-{turn[:3].strip('° ')}", spec=turn, socket=socket, od=od, thread=thread, opening="17 mm",
                row=10 * k + n)
        for k, (socket, od, thread) in enumerate(sockets)
        for n, turn in enumerate(turns)
    ]  # fmt: skip


def words(drawing: Drawing) -> list[Text]:
    return [item for item in primitives(drawing.content) if isinstance(item, Text)]


def codes(document: Document) -> list[str]:
    """What a decoder of its own reads on the finished pages, at the resolution of a middling printer."""
    pdf = pypdfium2.PdfDocument(pdf_bytes(document))
    images = [page.render(scale=300 / 72, grayscale=True).to_numpy() for page in pdf]
    return sorted(code.text for image in images for code in zxingcpp.read_barcodes(image, QR))


def test_a_label_a_socket_says_what_is_in_its_bag_and_its_code_is_the_sockets_id() -> None:
    document = set_document(a_set(register_items(), tags="socket"))
    check(document._replace(pages=tuple(document.pages)))
    said = {
        str(tag.get("data-id")): " ".join(text.text or "" for text in tag.iter(SVG_TEXT))
        for tag in drawn_groups(document, "tag")
    }
    turns = "S19-30: 30° ±5 S19-90: 90° +10/−0 S19-120: 120° ±10"
    assert said["S19"] == f"S19 {turns} 6-pt · 1/2 in · 17 mm · OD 27.8 mm"
    assert "LEFT-HAND Größe Ж 7-30: 30° ±5" in said["Größe Ж 7"]
    assert sorted(said) == ["Größe Ж 7", "Q", "S19"]
    assert codes(document) == ["Größe Ж 7", "Q", "S19"]


def test_a_label_a_piece_has_the_code_of_the_piece() -> None:
    items = [an_item(id="DOOR-4", title="Door", socket="S7"), an_item(id="PANTO-2", row=3, copies=3)]
    plan = a_set(items, tags="piece")
    assert codes(set_document(plan)) == ["DOOR-4", "PANTO-2"]
    tags = {piece["id"]: piece for piece in set_data(plan)["pieces"] if piece["kind"] == "tag"}
    assert tags["DOOR-4"]["name"] == "DOOR-4 (tag)"
    said = {part.label.id: part.label.words for part in plan.parts if part.label}
    assert said["DOOR-4"] == ("60 N·m, then 90° ±10", "Door", "S7 · 6-pt · 1/2 in · OD 28 mm")
    assert said["PANTO-2"] == ("60 N·m, then 90° ±10", "6-pt · 1/2 in · OD 28 mm")


def test_a_bag_of_right_and_left_hand_pieces_says_which_are_which_white_on_black() -> None:
    items = [an_item(socket="S"), an_item(id="Y", spec="45 N·m + 60° ±10", thread="left", socket="S", row=3)]
    for options in ({}, {"tape": parse_paper("24mm tape")}):
        plan = a_set(items, tags="socket", **options)
        (part,) = (part for part in plan.parts if part.label)
        drawing = draw_label(part.label, *label_room(plan.options))
        (left,) = (text for text in words(drawing) if text.grey == 1.0)
        assert left.text == "LEFT-HAND"
        above = [text for text in words(drawing)[1:] if text is not left and text.y > left.y - 0.3]
        said = [text.text.rstrip() for text in sorted(above, key=lambda text: -text.y)]
        assert " ".join(said) == "X: 60 N·m, then 90° ±10 Y: 45 N·m, then 60° ±10"


@each("name", ["Y" * n for n in range(1, 36, 7)])
def test_left_hand_stands_on_the_line_of_its_turn(name: str) -> None:
    items = [an_item(socket="S"), an_item(id=name, spec="45 N·m + 60° ±10", thread="left", socket="S", row=3)]
    (part,) = (part for part in a_set([*items, an_item(id="Z", socket="S", row=4)], tags="socket").parts if part.label)
    texts = words(draw_label(part.label))
    (left,) = (text for text in texts if text.grey == 1.0)
    (beside,) = (text for text in texts if text is not left and abs(text.y - left.y) < 1.0)
    assert beside.text.rstrip().endswith("60° ±10")


def test_a_rule_parts_what_stands_beside_each_other_on_a_low_label() -> None:
    label = draw_label(Label("S13", ("A: 30° ±5", "B: 60° ±5", "C: 90° +10/−0", "12-pt · OD 18.4 mm")), 200.0, 12.0)
    rules = [item.x1 for item in primitives(label.content) if isinstance(item, Line) and item.x1 == item.x2]
    below_each_other = [text.x for text in words(label)[1:]]
    gaps = [(a, b) for a, b in pairwise(sorted(set(below_each_other))) if b - a > 3.0]
    assert gaps
    assert len(rules) == len(gaps)
    assert all(any(a < x < b for x in rules) for a, b in gaps)


def test_bands_that_serve_a_range_share_a_label_without_a_code() -> None:
    trims = {"drive": "3/8", "od": None, "kind": "trim band"}
    plan = a_set([an_item(**trims), an_item(id="Y", spec="60° ±5", row=3, **trims)], tags="socket")
    (label,) = (part.label for part in plan.parts if part.label)
    assert (label.id, label.code) == ("6-point · 3/8 in drive · OD 9–33 mm", False), "all six of them"
    assert not codes(set_document(plan))


@each("name", ["A1", "PUMP-7", "R00042 (1 of 2)", "head bolts, left bank, inner row", "W" * 40, "x" * 60])
@each(("count", "left"), [(0, False), (1, True), (4, True)])
def test_a_label_shows_its_id_whole_and_nothing_touches(name: str, count: int, left: bool) -> None:
    lines = ("110 N·m + 90° +10/-0", "12-point, 1/2 in drive, OD 27.8 mm", "demo data", "not for real equipment")
    label = draw_label(Label(name, lines[:count], left))
    page = Page(label.width_mm + 20, label.height_mm + 20, (Placed(label, 10, 10),))
    check(Document((page,)))
    shown = "".join(text.text for text in words(label)).replace(" ", "")
    assert shown.startswith(name.replace(" ", ""))
    assert all(line.replace(" ", "") in shown for line in lines[:count])
    assert ([text.text for text in words(label) if text.grey == 1.0] == ["LEFT-HAND"]) is left
    shapes = [item for item in primitives(label.content) if getattr(item, "role", "") == "code"]
    xs, ys = ([point[axis] for shape in shapes for point in shape.points] for axis in (0, 1))  # type: ignore[union-attr]
    quiet = QUIET * MODULE_MM - 1e-6
    assert label.width_mm - max(xs) >= quiet
    assert label.height_mm - max(ys) >= quiet
    for text in words(label):
        assert text.size_pt >= 6.0
        for x, y in text.box:
            assert 0.5 <= x <= label.width_mm - 0.5
            assert 0.5 <= y <= label.height_mm - 0.5
            assert x <= min(xs) - quiet or y <= min(ys) - quiet, "the code stays free all round"


def test_a_label_is_no_larger_than_it_needs() -> None:
    small, long = (draw_label(Label("S19", (words,))) for words in ("90° ±5", " · ".join(["90° ±5"] * 12)))
    assert small.width_mm * small.height_mm < 1000 < 62 * 30
    assert long.height_mm > small.height_mm
    assert words(small)[0].size_pt == 18.0


def test_a_label_says_when_it_leaves_words_out() -> None:
    label = draw_label(Label("PUMP-7", ("the front bogie of the old cars, left side " * 20,)))
    assert [text.text.endswith("…") for text in words(label)].count(True) == 1
    assert not any(text.text.endswith("…") for text in words(draw_label(Label("PUMP-7", ("bogie",)))))


@each(("id", "count"), [("66", 1), ("R-66", 0), ("88", 0)])
def test_a_label_underlines_an_id_that_is_another_one_upside_down(id: str, count: int) -> None:
    roles = [getattr(item, "role", "") for item in primitives(draw_label(Label(id, ("60 N·m",))).content)]
    assert roles.count("underline") == count


def test_a_card_goes_into_every_bag_and_says_only_what_its_pieces_need() -> None:
    items = [an_item(socket="S1"), an_item(id="Y", socket="S2", kind="disc", row=3)]
    document = set_document(a_set(items, cards=True))
    check(document._replace(pages=tuple(document.pages)))
    said = {
        str(card.get("data-id")): " ".join(text.text or "" for text in card.iter(SVG_TEXT))
        for card in drawn_groups(document, "card")
    }
    assert sorted(said) == ["S1", "S2"]
    assert ("Band: " in said["S1"], "Disc: " in said["S1"]) == (True, False)
    assert ("Band: " in said["S2"], "Disc: " in said["S2"]) == (False, True)


def test_a_set_says_once_how_its_pieces_are_used_and_what_to_beware_of() -> None:
    items = [an_item(), an_item(id="Y", kind="ring", row=3, fasteners=2)]
    pdf = pypdfium2.PdfDocument(pdf_bytes(set_document(a_set(items))))
    first, second = (re.sub(r"\s+", " ", page.get_textpage().get_text_bounded()) for page in pdf)
    for sentence in ("inside the OK bracket", "Part ring: ", "Or stick on the pointer", "clockwise, seen from",
                     "never use a band, ring, disc, pointer or marked socket on an impact wrench"):  # fmt: skip
        assert sentence in first
        assert sentence not in second
    assert "Disc: " not in first
