"""Cells in the words of clerks: English, German, French and Spanish, for every column that holds words."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.each import each
from marking.errors import MarkingError
from marking.lists.cells import read_choice, read_copies, read_hand, read_kind, read_points
from marking.lists.read import read_list
from marking.readouts import READOUTS


@each(
    ("texts", "meant"),
    [
        ("Band; bande; banda", "band"), ("Zuschneideband; bande à couper; banda para recortar", "trim band"),
        ("Ring; part ring; anneau; anillo", "ring"), ("Scheibe; drive disc; disque; disco; DISK", "disc"),
        ("Matte; tapis; alfombrilla", "mat"),
    ],
)  # fmt: skip
def test_every_readout_is_read_in_four_languages(texts: str, meant: str) -> None:
    assert meant in READOUTS
    assert {read_kind(text.strip()) for text in texts.split(";")} == {meant}


@each(
    ("texts", "meant"),
    [
        ("left; LH; links; Linksgewinde; à gauche; Izq.; rosca izquierda", "left"),
        ("right; RH; rechts; normal; filetage à droite; a derechas", "right"),
    ],
)
def test_the_hand_of_a_thread_is_read_in_four_languages(texts: str, meant: str) -> None:
    assert {read_hand(text.strip()) for text in texts.split(";")} == {meant}


@each(
    ("column", "choices", "texts", "meant"),
    [
        ("witness", ("fresh", "first"), "Fresh; new mark; neu; nouveau repère; nueva", "fresh"),
        ("witness", ("fresh", "first"), "first; from snug; erste Marke; premier; primera", "first"),
        ("start", ("corner", "flat"), "corner; Ecke; sommet; esquina", "corner"),
        ("start", ("corner", "flat"), "flat; mid-flat; Fläche; plat; cara", "flat"),
    ],
)
def test_choices_are_read_in_four_languages(column: str, choices: tuple[str, ...], texts: str, meant: str) -> None:
    assert {read_choice(text.strip(), column, choices) for text in texts.split(";")} == {meant}


@each(
    ("heading", "cell", "kind"),
    [
        ("Readout", "disc", "disc"), ("Art der Anzeige", "Scheibe", "disc"), ("Stückart", "Matte", "mat"),
        ("Type de pièce", "anneau", "ring"), ("Tipo de pieza", "alfombrilla", "mat"),
    ],
)  # fmt: skip
def test_the_column_of_kinds_has_a_heading_in_four_languages(
    tmp_path: Path, heading: str, cell: str, kind: str
) -> None:
    list_file = tmp_path / "liste.csv"
    list_file.write_text(f"id;spec;points;drive;od;{heading}\nA;90° ±8;6;1/2;28 mm;{cell}\n", "utf-8")
    (item,) = read_list(list_file).items
    assert item.kind == kind


@each(("heading", "cell"), [("Gezählt ab", "erste Marke"), ("compté depuis", "premier"), ("witness mark", "first")])
def test_the_column_that_says_how_stages_count_has_one_too(tmp_path: Path, heading: str, cell: str) -> None:
    list_file = tmp_path / "liste.csv"
    list_file.write_text(f"id;spec;points;drive;od;{heading}\nA;60 N·m, 60°, 90°;6;1/2;28 mm;{cell}\n", "utf-8")
    (item,) = read_list(list_file).items
    assert item.witness == "first"


def test_points_and_copies_are_read_as_people_write_them() -> None:
    assert {read_points(text) for text in ("6", "6-Kant", "Sechskant", "six pans", "hex")} == {6}
    assert {read_points(text) for text in ("12", "12-kt", "Zwölfkant", "douze pans", "bi-hex")} == {12}
    assert {read_copies(text) for text in ("2", "2x", "2 Stück", "2,0", "2 uds.")} == {2}
    for text in ("2,5", "zwei", "Torx", "2 kg"):
        with pytest.raises(MarkingError):
            read_copies(text)


def test_inches_are_read_in_their_languages_in_cells_and_headings(tmp_path: Path) -> None:
    list_file = tmp_path / "liste.csv"
    rows = "Nr;Anzug;Ecken;Antrieb;Außendurchmesser [Zoll];Art der Anzeige\nA;90° ±8;6;1/2 Zoll;1,25;\n"
    list_file.write_text(rows + "B;90° ±8;6;3/4 pouce;1 3/4 pulgadas;\n", "utf-8")
    found = read_list(list_file)
    assert not found.faults
    assert [(item.drive, item.od) for item in found.items] == [("1/2", "1,25 in"), ("3/4", "1 3/4 in")]
