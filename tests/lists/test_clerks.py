"""Lists as clerks have them: units in headings, other languages, one message a column, templates to fill in."""

from __future__ import annotations

import csv
import json
from collections.abc import Sequence
from pathlib import Path

import openpyxl
import pytest

from kit.commands import Run
from kit.each import each
from marking.errors import OutputError
from marking.lists.headings import COLUMNS, REGISTER_COLUMNS, SYNONYMS, WEAK_SYNONYMS
from marking.lists.items import told
from marking.lists.read import read_list, read_register
from marking.lists.template import write_templates

SPEC = "110 N·m + 90° +10/-0"
PLAIN = ("id", "spec", "points", "drive")


def written(path: Path, *rows: Sequence[str], separator: str = ";", encoding: str = "utf-8") -> Path:
    with path.open("w", encoding=encoding, newline="") as file:
        csv.writer(file, delimiter=separator).writerows(rows)
    return path


@each(
    ("heading", "cell", "read_as"),
    [
        ("OD (mm)", "27,8", "27,8 mm"), ("od mm", "27.8", "27.8 mm"), ("OD, mm", "27.8", "27.8 mm"),
        ("outside diameter [mm]", "27.8", "27.8 mm"), ("od in mm", "27.8", "27.8 mm"), ("OD_mm", "27.8", "27.8 mm"),
        ("od [in]", "1-3/32", "1-3/32 in"), ('od (")', "1.1", "1.1 in"), ("od (inches)", "1 3/32", "1 3/32 in"),
        ("od (mm)", "1.1 in", "1.1 in"), ("OD {cm}", "Ø2,78", "Ø2,78 cm"),
    ],
)  # fmt: skip
def test_the_unit_in_a_heading_is_that_of_the_bare_numbers_below_it(
    tmp_path: Path, heading: str, cell: str, read_as: str
) -> None:
    (item,) = read_list(written(tmp_path / "list.csv", (*PLAIN, heading), ("a", SPEC, "12", "1/2", cell))).items
    assert item.od == read_as


def test_a_unit_given_beside_the_list_is_that_of_every_bare_length_without_one_in_its_heading(tmp_path: Path) -> None:
    rows = ((*PLAIN, "af (in)", "od", "stock", "height"), ("a", SPEC, "12", "1/2", "3/4", "27.8", "0.1 mm", "18"))
    (item,) = read_list(written(tmp_path / "list.csv", *rows), unit="mm").items
    assert (item.opening, item.od, item.stock, item.height) == ("3/4 in", "27.8 mm", "0.1 mm", "18 mm")
    own = (("id", "points", "drive", "opening", "around"), ("S", "12", "1/2", "19", "87.6"))
    sockets = read_register(written(tmp_path / "sockets.csv", *own), "mm").sockets
    assert sockets["S"][3:6] == ("19 mm", None, "87.6 mm")


@each("heading", ["points (mm)", "thread [in]", "copies mm"])
def test_a_unit_over_what_is_no_length_is_a_fault(tmp_path: Path, heading: str) -> None:
    path = written(tmp_path / "list.csv", (*PLAIN, heading), ("a", SPEC, "12", "1/2", "1"))
    assert [fault.row for fault in read_list(path).faults] == [1]


LANGUAGES = {
    "German": (
        "Nr.;Anziehvorschrift;Ecken;Antrieb;Schlüsselweite [mm];Außendurchmesser (mm);Gewinderichtung;Stückzahl;Titel",
        "7;110 Nm + 90° +10/-0;12-kant;1/2;19;27,8;links;3;Tür", "utf-8-sig",
    ),
    "French": (
        "Repère,Serrage,Nombre de pans,Carré,Sur plats (mm),Diamètre extérieur (mm),Sens du filetage,Quantité,Titre",
        '7,110 Nm + 90° +10/-0,12 pans,1/2,19,"27,8",à gauche,3,Tür', "utf-8",
    ),
    "Spanish": (
        "Número\tApriete\tPuntas\tCuadradillo\tEntre caras, mm\tDiámetro exterior, mm\tRosca\tCantidad\tTítulo",
        "7\t110 Nm + 90° +10/-0\t12\t1/2\t19\t27,8\tizquierda\t3\tTür", "utf-16",
    ),
    "English": (
        "No;Tightening spec;Number of points;Square drive;A/F (mm);Outside diameter (mm);Hand;Qty;Title",
        "7;110 Nm + 90° +10/-0;12-point;1/2;19;27.8;LH;3;Tür", "cp1252",
    ),
}  # fmt: skip


@each("language", LANGUAGES)
def test_headings_and_hands_are_read_in_four_languages_and_dialects(tmp_path: Path, language: str) -> None:
    header, row, encoding = LANGUAGES[language]
    path = tmp_path / "list.csv"
    path.write_bytes(f"{header}\r\n{row}\r\n".encode(encoding))
    listing = read_list(path)
    assert listing.faults == ()
    (item,) = listing.items
    found = (item.id, item.points, item.drive, item.opening, (item.od or "").replace(",", "."), item.thread)
    assert found == ("7", 12, "1/2", "19 mm", "27.8 mm", "left")
    assert (item.copies, item.title) == (3, "Tür")


def test_a_word_that_many_lists_use_otherwise_stands_for_a_column_only_where_that_is_not_there(tmp_path: Path) -> None:
    header = ("id", "No.", "spec", "points", "drive", "Size", "af", "od", "diameter")
    row = ("B1", "3", SPEC, "12", "1/2", "M12", "19 mm", "27.8 mm", "12 mm")
    listing = read_list(written(tmp_path / "list.csv", header, row))
    assert (listing.items[0].id, listing.items[0].opening, listing.items[0].od) == ("B1", "19 mm", "27.8 mm")
    assert str(listing.warnings[0]).endswith("columns not read: No., Size, diameter")


def test_no_word_stands_for_two_columns() -> None:
    assert not set(SYNONYMS) & set(WEAK_SYNONYMS)
    assert not (set(SYNONYMS) | set(WEAK_SYNONYMS)) & set(COLUMNS)
    assert set(SYNONYMS.values()) | set(WEAK_SYNONYMS.values()) <= set(COLUMNS)


def test_the_socket_of_a_register_is_its_id(tmp_path: Path) -> None:
    rows = (("Socket", "points", "drive", "od mm"), ("S19", "12", "1/2", "27.8"))
    assert list(read_register(written(tmp_path / "sockets.csv", *rows)).sockets) == ["S19"]


def test_bare_numbers_are_one_message_a_column_and_nothing_that_follows_from_them_is_said(
    run: Run, tmp_path: Path
) -> None:
    rows = [(f"a{k}", SPEC, "6", "1/2", "19", f"{28 + k}") for k in range(30)]
    written(tmp_path / "list.csv", (*PLAIN, "opening", "od"), *rows)
    done = run("set", "list.csv", "-o", "set.pdf")
    assert done.returncode == 1
    lines = done.stderr.splitlines()
    assert len(lines) == 2
    assert lines[0] == (
        "turnband: list.csv:2: od: 30 cells without a unit, in rows 2, 3, 4, 5, 6 and 25 more; expected mm, cm, m or "
        "in; write the unit into the heading, as od (mm), or give it with --unit"
    )
    assert run("set", "list.csv", "-o", "set.pdf", "--unit", "mm").returncode == 0


def test_a_fault_alike_in_many_rows_is_said_once_and_kept_for_each(tmp_path: Path) -> None:
    rows = [(f"a{k}", SPEC, "6", "1/2", "28 mm", "up" if k != 3 else "down") for k in range(5)]
    listing = read_list(written(tmp_path / "list.csv", (*PLAIN, "od", "thread"), *rows))
    assert [fault.row for fault in listing.faults] == [2, 3, 4, 5, 6]
    first, second = told(listing.faults)
    assert first.endswith("right or left (RH, LH); check thread; so in 4 rows: 2, 3, 4, 6")
    assert ":5: thread: the thread is 'down'" in second


def test_a_forgotten_register_and_faults_of_the_register_are_said_once(run: Run, tmp_path: Path) -> None:
    written(tmp_path / "list.csv", ("spec", "socket"), (SPEC, "S1"), (SPEC, "S1"), (SPEC, "S2"))
    done = run("set", "list.csv", "-o", "set.pdf")
    (line,) = done.stderr.splitlines()
    assert line.endswith("3 rows name a socket, rows 2, 3, 4, but there is no register; give it with --sockets")
    written(tmp_path / "sockets.csv", ("id", "points", "drive", "od"), ("S1", "5", "1/2", ""), ("S2", "6", "1/2", ""))
    first, second = run("set", "list.csv", "--sockets", "sockets.csv", "-o", "set.pdf").stderr.splitlines()
    assert "sockets.csv:2: points" in first
    assert second.endswith("2 rows name sockets that have faults in the register, rows 2, 3; mend the register first")


@each(
    ("column", "cell", "good"),
    [
        ("od", "27,80 mm", True), ("od", "2.78 cm", True), ("od", "35 mm", False), ("od", "27.85 mm", False),
        ("around", "87.6 mm", True), ("around", "90 mm", False),
    ],
)  # fmt: skip
def test_a_diameter_beside_a_socket_has_to_be_that_of_the_register(
    tmp_path: Path, column: str, cell: str, good: bool
) -> None:
    rows = (("id", "points", "drive", "od"), ("S19", "12", "1/2", "27.8 mm"))
    register = read_register(written(tmp_path / "sockets.csv", *rows))
    listing = read_list(written(tmp_path / "list.csv", ("spec", "socket", column), (SPEC, "S19", cell)), register)
    assert [fault.column for fault in listing.faults] == ([] if good else [column])
    if not good:
        assert listing.faults[0].message.startswith(f"{cell} is not the 27.8 mm of socket S19")


def test_witness_start_height_and_fasteners_of_a_row_are_those_of_its_band(run: Run, tmp_path: Path) -> None:
    columns = (*PLAIN, "od", "witness", "start", "height", "fasteners", "kind")
    rows = [
        ("A", "50 N·m + 60° ±8 + 90° ±8", "6", "1/2", "44 mm", "First", "flat", "22 mm", "5", ""),
        ("B", "50 N·m + 60° ±8 + 90° ±8", "6", "1/2", "44 mm", "fresh", "", "", "", ""),
    ]
    written(tmp_path / "list.csv", columns, *rows)
    done = run("set", "list.csv", "-o", "set.pdf", "--json")
    assert done.returncode == 0, done.stderr
    pieces = json.loads(done.stdout)["pieces"]
    own = {piece["name"]: piece for piece in pieces}
    assert "from snug" in own["A (1 of 2)"]["read_as"]
    assert "from snug" not in own["B"]["read_as"]
    heights = [own[name]["height_mm"] for name in ("A (1 of 2)", "B")]
    assert heights[0] - heights[1] == pytest.approx(22 - 16, abs=0.01)  # the words below them are alike
    assert own["A (2 of 2)"]["socket"] == "witness pointers"
    written(tmp_path / "bad.csv", columns, (*rows[0][:5], "last", "side", "22", "0", ""), (*rows[0][:9], "disc"))
    errors = run("set", "bad.csv", "-o", "set.pdf").stderr
    for start in ("2: witness: last is no witness", "2: start: side", "2: height: 22 has no", "2: fasteners: 0 is no"):
        assert f"bad.csv:{start}" in errors
    assert "bad.csv:3: start: a disc has no start of its own" in errors


@pytest.mark.parametrize("name", ["list.csv", "list.xlsx"])
def test_templates_print_as_they_are_and_name_every_column(run: Run, tmp_path: Path, name: str) -> None:
    done = run("set", "--template", name)
    assert done.returncode == 0, done.stderr
    register = name.replace("list", "list-sockets")
    assert done.stdout.endswith(f"turnband set {name} --sockets {register} -o set.pdf\n")
    made = run("set", name, "--sockets", register, "-o", "set.pdf")
    assert (made.returncode, made.stderr) == (0, "")
    for file, columns in ((name, COLUMNS), (register, REGISTER_COLUMNS)):
        if name.endswith(".csv"):
            header = (tmp_path / file).read_text("utf-8-sig").split("\n")[0].strip().split(",")
        else:
            book = openpyxl.load_workbook(tmp_path / file)
            header = [str(cell.value) for cell in book.worksheets[0][1]]
            assert book.worksheets[0]["D40"].number_format == "@"
            book.close()
        assert [word.removesuffix(" (mm)") for word in header] == list(columns)
    again = run("set", "--template", name)
    assert again.returncode == 1
    assert "is there already" in again.stderr


def test_a_template_of_another_kind_is_refused(tmp_path: Path) -> None:
    with pytest.raises(OutputError, match=r"\.csv or \.xlsx"):
        write_templates(str(tmp_path / "list.ods"))
