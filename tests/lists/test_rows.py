"""What is wrong with a row, and how it is said."""

from __future__ import annotations

from pathlib import Path

import pytest

from kit.each import each
from kit.lists import FULL, GOOD, HEADER, SPEC, WRONG, Write, bare, places
from marking.lists.read import read_list
from marking.lists.table import MAX_FAULTS
from marking.lists.table_file import MAX_CELL
from marking.outputs.job.request import read_job
from marking.readouts import READOUTS

# -- faults


@each("column", WRONG)
def test_a_wrong_cell_is_one_fault_with_its_row_and_column(write: Write, column: str) -> None:
    text, message = WRONG[column]
    columns = [*FULL, "socket"]
    good = [FULL.get(name, "") for name in columns]
    bad = [text if name == column else FULL.get(name, "") for name in columns]
    listing = read_list(write(columns, good, [], bad))
    assert places(listing.faults) == [(4, column)]
    assert listing.faults[0].message.startswith(message)
    assert [item.row for item in listing.items] == [2]


def test_all_wrong_cells_of_all_rows_are_faults_at_once(write: Write) -> None:
    columns = list(WRONG)
    rows = [[WRONG[name][0] for name in columns]] * 3
    expected = {(row, name) for row in (2, 3, 4) for name in columns}
    assert set(places(read_list(write(columns, *rows)).faults)) == expected


def test_a_fault_is_one_line_with_file_row_and_column(write: Write) -> None:
    path = write(HEADER, (*GOOD[:5], "27.8"))
    (fault,) = read_list(path).faults
    advice = "27.8 has no unit; expected mm, cm, m or in; write 27.8 mm or 27.8 in"
    assert fault.text == f"{path}:2: od: {advice}"


@each(
    ("cells", "column"),
    [
        (("12", "1/2", "24 mm", "27 mm"), "opening"), (("12", "1/4", "", "5.9 mm"), "od"),
        (("8", "1/2", "20 mm", "28 mm"), "opening"),
    ],
)  # fmt: skip
def test_a_socket_that_cannot_exist_is_a_fault_of_the_field_to_look_at(
    write: Write, cells: tuple[str, ...], column: str
) -> None:
    faults = read_list(write(HEADER, ("a", SPEC, *cells))).faults
    assert places(faults) == [(2, column)]
    assert "--" not in faults[0].message


def test_an_opening_is_listed_by_its_thread_size_too(write: Write) -> None:
    listing = read_list(
        write(HEADER, ("a", SPEC, "12", "1/2", "M14", "30 mm"), ("b", SPEC, "12", "1/2", "M13", "30 mm"))
    )
    assert [item.opening for item in listing.items] == ["M14"]
    assert places(listing.faults) == [(3, "opening")]
    assert "M12, M14, M16" in listing.faults[0].message


@each("column", ["spec", "points", "drive"])
def test_a_piece_without_spec_points_or_drive_is_a_fault(write: Write, column: str) -> None:
    row = ["" if name == column else text for name, text in zip(HEADER, GOOD, strict=True)]
    assert places(read_list(write(HEADER, row)).faults) == [(2, column)]


def test_the_kind_follows_from_the_diameter_unless_it_is_given(write: Write) -> None:
    columns = (*HEADER[:4], "od", "around", "kind")
    rows = [("27.8 mm", "", ""), ("", "87.6 mm", ""), ("", "", ""), ("27.8 mm", "", "RING"), ("", "", "disc"),
            ("", "", "mat")]  # fmt: skip
    listing = read_list(write(columns, *((f"a{i}", SPEC, "12", "1/2", *row) for i, row in enumerate(rows))))
    assert [item.kind for item in listing.items] == ["band", "band", "trim band", "ring", "disc", "mat"]
    assert {item.kind for item in listing.items} == set(READOUTS)


@each(
    ("cells", "column"),
    [
        (("", "", "band"), "od"), (("", "", "ring"), "od"), (("28 mm", "", "trim band"), "od"),
        (("", "88 mm", "trim band"), "around"),
        (("28 mm", "88 mm", ""), "around"),
    ],
)  # fmt: skip
def test_a_kind_that_does_not_go_with_the_diameter_is_a_fault(
    write: Write, cells: tuple[str, ...], column: str
) -> None:
    path = write((*HEADER[:4], "od", "around", "kind"), ("a", SPEC, "12", "1/2", *cells))
    assert places(read_list(path).faults) == [(2, column)]


def test_only_a_disc_needs_no_points(write: Write) -> None:
    columns = ("spec", "drive", "kind")
    listing = read_list(write(columns, (SPEC, "1/2", "disc"), (SPEC, "1/2", "trim band")))
    assert [item.points for item in listing.items] == [None]
    assert places(listing.faults) == [(3, "points")]


def test_a_comma_without_quotes_is_told_from_a_decimal_comma(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text("id,spec,points,drive,od\na,90°,12,1/2,27,8 mm\n", encoding="utf-8")
    faults = read_list(path).faults
    assert places(faults) == [(2, "column 6"), (2, "od")]
    assert "in quotes" in faults[0].message


def test_every_item_makes_a_job(write: Write) -> None:
    for item in bare(read_list(write(HEADER, GOOD))):
        assert item.points is not None
        job = read_job(item.spec, item.points, item.drive, od=item.od, opening=item.opening, copies=item.copies)
        assert job.socket.od_mm == pytest.approx(27.8)


def test_reading_stops_after_very_many_faults(write: Write) -> None:
    listing = read_list(write(("spec", "points", "drive"), *[("x", "x", "x")] * MAX_FAULTS))
    assert MAX_FAULTS < len(listing.faults) < MAX_FAULTS + 5
    assert "mend these first" in listing.faults[-1].message


# -- hostile cells


HOSTILE = [
    "=cmd|' /C calc'!A0", "=1+1", "+1", "@SUM(A1)", "-x", "../../etc", "..", ".", ".hidden", "a\\b", "a/b", "a:b",
    "CON", "nul.txt", "a.", "a\tb", "a\nb", "\u202eabc", "a\u200bb", "\x1b[31m", "<b>", "a|b", 'a"b', "x" * 61,
    "\U0001f527", "語",
]  # fmt: skip


@each("text", HOSTILE)
def test_ids_that_could_do_harm_as_a_file_name_or_cannot_be_printed_are_refused(write: Write, text: str) -> None:
    faults = read_list(write(HEADER, (text, *GOOD[1:]))).faults
    assert places(faults) == [(2, "id")]
    assert faults[0].text.isprintable()


@each("text", ["=cmd|' /C calc'!A0", "<script>1</script>", "90°; rm -rf", "a\nb", "\u202e90°"])
@each("column", [name for name in WRONG if name not in ("id", "title")])
def test_formulas_and_markup_are_refused_by_every_grammar(write: Write, column: str, text: str) -> None:
    columns = [*FULL, "socket"]
    faults = read_list(write(columns, [text if name == column else FULL.get(name, "") for name in columns])).faults
    assert places(faults) == [(2, column)]
    assert faults[0].text.isprintable()


@each("column", [*WRONG, "remark"])
def test_a_cell_beyond_the_limit_is_a_fault_and_one_within_it_breaks_nothing(write: Write, column: str) -> None:
    columns = [*FULL, "socket", "remark"]
    for length in (MAX_CELL, MAX_CELL + 1):
        row = ["9" * length if name == column else FULL.get(name, "") for name in columns]
        faults = read_list(write(columns, row)).faults
        if column == "remark" and length == MAX_CELL:
            assert faults == ()
        else:
            assert (2, column) in places(faults)
        assert all(len(fault.message) < 600 for fault in faults)
    assert "10,001 characters" in next(fault.message for fault in faults if fault.column == column)
