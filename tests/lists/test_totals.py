"""Lists as clerks keep them: a name above the headings, empty lines, and a row of totals."""

from __future__ import annotations

from pathlib import Path

from kit.each import each
from marking.lists.read import read_list, read_register

ABOVE = "Depot North;;;;;\nspring;;;;;\n\n"
LIST = "Nr.;Anzug;Ecken;Antrieb;Außen-Ø (mm);Stück\n;;;;;\nB-1;110 Nm + 90° +10/-0;12-kant;1/2 Zoll;27,8;2\n\n"


@each("above", ["", ABOVE])
@each("total", ["", "Summe:;;;;;2\n", ";;;;Total;2\n"])
def test_a_name_above_and_totals_below_make_no_faults(tmp_path: Path, above: str, total: str) -> None:
    (tmp_path / "list.csv").write_text(above + LIST + total, "utf-8")
    found = read_list(tmp_path / "list.csv")
    assert not found.faults
    assert [(item.id, item.points, item.od, item.copies, item.row) for item in found.items] == [
        ("B-1", 12, "27,8 mm", 2, 3 + above.count("\n"))
    ]
    assert [remark.code for remark in found.warnings] == ["totals"] * bool(total)


def test_totals_of_a_register_are_no_socket_and_a_row_with_a_spec_is_no_total(tmp_path: Path) -> None:
    (tmp_path / "sockets.csv").write_text("id;points;drive;od\nS1;6;1/2;28 mm\nSum;;;\n", "utf-8")
    found = read_register(tmp_path / "sockets.csv")
    assert (list(found.sockets), found.faults) == (["S1"], ())
    (tmp_path / "list.csv").write_text(LIST + "Total;90°;6;1/2;28;1\n", "utf-8")
    assert [item.id for item in read_list(tmp_path / "list.csv").items] == ["B-1", "Total"]
