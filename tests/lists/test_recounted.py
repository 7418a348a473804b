"""Since an older list, only what is missing is printed: pieces whose number or title alone changed stay good."""

from __future__ import annotations

import json
from pathlib import Path

from kit.commands import Run
from kit.each import each
from kit.sets import an_item
from marking.lists.chosen import newer

LIST = "id;spec;points;drive;od;copies;title\nA;90° ±8;6;1/2;28 mm;{};{}\n"


@each(("before", "now", "printed"), [(1, 3, [2]), (3, 1, []), (2, 2, [])])
def test_of_a_piece_wanted_more_often_the_missing_copies_are_printed(before: int, now: int, printed: list[int]) -> None:
    items, found = newer([an_item(copies=now, title="Bogie")], [an_item(copies=before)])
    assert [item.copies for item in items] == printed
    assert (found.recounted, found.changed) == (("X",), ())


def test_a_piece_that_is_another_is_printed_as_often_as_it_is_wanted() -> None:
    items, found = newer([an_item(copies=3, od="29 mm")], [an_item(copies=2)])
    assert [item.copies for item in items] == [3]
    assert (found.recounted, found.changed) == ((), ("X",))


def test_a_new_title_alone_is_nothing_to_print_and_no_reason_to_take_pieces_out(tmp_path: Path, run: Run) -> None:
    (tmp_path / "old.csv").write_text(LIST.format(2, "Bogie"), "utf-8")
    (tmp_path / "new.csv").write_text(LIST.format(2, "Bogie, front"), "utf-8")
    done = run("set", "new.csv", "--since", "old.csv", "-o", "set.pdf")
    assert done.returncode == 1
    assert "nothing is new or changed since old.csv" in done.stderr
    assert "keep their old pieces" in done.stderr
    assert "take" not in done.stderr
    (tmp_path / "new.csv").write_text(LIST.format(5, "Bogie, front"), "utf-8")
    data = json.loads(run("set", "new.csv", "--since", "old.csv", "--dry-run", "--json").stdout)
    assert len(data["pieces"]) == 3
