"""How lists of every dialect are read: separators, encodings, headers."""

from __future__ import annotations

from pathlib import Path

from kit.commands import Run
from kit.each import each
from kit.lists import GOOD, HEADER, ITEM, SPEC, Write, bare, places
from marking.lists.headings import COLUMNS, SYNONYMS
from marking.lists.read import read_list, read_register

# -- dialects


@each("separator", [",", ";", "\t"])
@each("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_every_separator_and_encoding_reads_to_the_same_pieces(write: Write, separator: str, encoding: str) -> None:
    assert bare(read_list(write(HEADER, GOOD, separator=separator, encoding=encoding))) == [ITEM]


@each("end", ["\n", "\r\n", "\r"])
def test_every_line_end_counts_as_one_row(tmp_path: Path, end: str) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes(end.join(["id;spec;points;drive", "a;90°;12;1/2", "", ";;;", "b;90°;6;3/8"]).encode())
    assert [(item.id, item.row) for item in read_list(path).items] == [("a", 2), ("b", 5)]


def test_a_line_break_within_a_cell_does_not_move_the_row_numbers(write: Write) -> None:
    path = write((*HEADER, "remark"), (*GOOD, "two\nlines"), ("B2", *GOOD[1:5], "27.8", ""))
    assert places(read_list(path).faults) == [(3, "od")]


@each("order", [[5, 4, 3, 2, 1, 0], [1, 3, 5, 0, 2, 4]])
def test_columns_stand_in_any_order(write: Write, order: list[int]) -> None:
    assert bare(read_list(write([HEADER[i] for i in order], [GOOD[i] for i in order]))) == [ITEM]


def test_headers_are_read_without_regard_to_case_and_spaces_and_by_the_words_of_the_trade(write: Write) -> None:
    header = (" ID ", "Tightening_Spec", "POINTS", "Square  Drive", "Across Flats", "Outside Diameter", "Qty", "Hand")
    (item,) = read_list(write(header, (*GOOD, "3", "LH"))).items
    assert (item.opening, item.od, item.copies, item.thread, item.drive) == ("19 mm", "27,8 mm", 3, "left", "1/2")


@each("word", SYNONYMS)
def test_every_synonym_stands_for_a_column_and_is_none_itself(word: str) -> None:
    assert SYNONYMS[word] in COLUMNS
    assert word not in COLUMNS


def test_unknown_columns_are_named_in_a_warning(write: Write) -> None:
    listing = read_list(write((*HEADER, "Bay", "remark"), (*GOOD, "7", "")))
    assert len(listing.items) == 1
    (warning,) = map(str, listing.warnings)
    assert warning.endswith("list.csv: columns not read: Bay, remark")


def test_a_list_without_specs_is_one_fault_however_many_rows_it_has(write: Write) -> None:
    listing = read_list(write(("id", "points", "drive"), ("a", "12", "1/2"), ("b", "12", "1/2")))
    assert places(listing.faults) == [(1, "spec")]
    assert listing.items == ()


def test_a_column_that_stands_twice_is_a_fault(write: Write) -> None:
    assert places(read_list(write((*HEADER, "Outside diameter"), (*GOOD, "28 mm"))).faults) == [(1, "od")]


# -- headers that look like a column


@each(
    ("header", "column"),
    [
        ("threads", "thread"), ("LH", "thread"), ("left-hand", "thread"), ("Thread (L/R)", "thread"),
        ("Drehrichtung", "thread"), ("sens", "thread"), ("Ø", "od"), ("Ø [mm]", "od"), ("outside-diameter", "od"),
        ("girth", "around"), ("opning", "opening"), ("points mm", "points"), ("od (about)", "od"),
        ("Pts.", "points"), ("dirve", "drive"), ("copies:", "copies"), ("type", "kind"), ("screws", "fasteners"),
    ],
)  # fmt: skip
def test_a_header_that_looks_like_a_column_is_a_fault_and_no_row_makes_a_piece(
    write: Write, header: str, column: str
) -> None:
    listing = read_list(write(("id", "spec", "points", "drive", header), ("a", SPEC, "12", "1/2", "left")))
    assert places(listing.faults) == [(1, header)]
    assert (
        f"looks like the column {column}, but is not read; expected the heading {column}" in listing.faults[0].message
    )
    assert listing.items == ()


@each("header", ["remark", "price", "bay", "torque", "date", "no.", "shelf", "manual", "location", "mm", "material"])
def test_a_foreign_header_is_not_taken_for_a_column(write: Write, header: str) -> None:
    listing = read_list(write((*HEADER, header), (*GOOD, "x")))
    assert len(listing.items) == 1
    assert str(listing.warnings[0]).endswith(f"columns not read: {header}")


def test_a_mistaken_header_of_a_required_column_is_one_fault(write: Write) -> None:
    listing = read_list(write(("id", "specs", "drive", "points"), ("a", SPEC, "1/2", "12")))
    assert places(listing.faults) == [(1, "specs")]
    assert places(read_list(write(("specs",), (SPEC,))).faults)[0] == (1, "specs")


def test_a_register_with_a_mistaken_header_has_no_sockets_but_knows_their_ids(write: Write) -> None:
    register = read_register(write(("id", "points", "drive", "Ø mm"), ("S19", "12", "1/2", "27.8")))
    assert places(register.faults) == [(1, "Ø mm")]
    assert register.sockets == {}
    (fault,) = read_list(write(("spec", "socket"), (SPEC, "S19")), register).faults
    assert "has faults in the register" in fault.message


def test_a_list_with_a_mistaken_header_is_never_printed_whatever_may_be_skipped(write: Write, run: Run) -> None:
    path = write((*HEADER, "threads"), (*GOOD, "left"))
    done = run("set", str(path), "--skip-bad", "-o", "set.pdf")
    assert done.returncode == 1
    assert "looks like the column thread" in done.stderr
    assert not path.with_name("set.pdf").exists()


# -- encodings that are guessed


def test_an_encoding_that_was_guessed_is_told_with_the_first_letter_that_depends_on_it(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes("spec,points,drive,title\n90°,12,1/2,Pump\n90°,12,1/2,Dźwignia\n".encode("cp1250"))
    (warning,) = map(str, read_list(path).warnings)
    assert "its encoding was guessed: Windows-1252" in warning
    assert "first in row 3: DŸwignia" in warning


def test_one_bad_byte_in_utf_8_is_told(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_bytes("spec,points,drive,title\n90°,12,1/2,Pump\n".encode() + b"90deg,12,1/2,\xfc\n")
    (warning,) = map(str, read_list(path).warnings)
    assert "first in row 2: 90Â°" in warning
    path.write_bytes("spec,points,drive,title\n90°,12,1/2,Größe\n".encode())
    assert read_list(path).warnings == ()
