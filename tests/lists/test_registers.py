"""Ids, registers of sockets, and turns for all of them."""

from __future__ import annotations

import pytest

from kit.each import each
from kit.lists import SPEC, Write, bare, many, places
from marking.lists.cells import MAX_ID
from marking.lists.items import Item, Register
from marking.lists.read import read_list, read_register, turn_items
from marking.lists.table_file import ListError

# -- ids


def test_a_row_without_an_id_is_called_by_its_number(write: Write) -> None:
    assert [item.id for item in many(write, "a", "", "b").items] == ["a", "row-3", "b"]


def test_ids_that_stand_twice_are_numbered_round_those_that_exist_and_warned_about(write: Write) -> None:
    listing = many(write, "A", "A", "A-2", "A", "B")
    assert [item.id for item in listing.items] == ["A", "A-3", "A-2", "A-4", "B"]
    (warning,) = map(str, listing.warnings)
    assert "A stands in rows 2, 3, 5" in warning


def test_long_ids_that_stand_twice_stay_within_the_limit(write: Write) -> None:
    ids = [item.id for item in many(write, *["x" * MAX_ID] * 12).items]
    assert len(set(ids)) == 12
    assert {len(name) for name in ids} == {MAX_ID}


@each(
    ("one", "other"),
    [("S10", "S1O"), ("S10", "s10"), ("SI0", "Sl0"), ("S1-2", "S1–2"), ("S1 2", "S12"), ("A1", "А1"),
     ("P1", "Ρ1"), ("H", "Н")],
)  # fmt: skip
def test_ids_that_look_alike_are_warned_about_with_their_rows(write: Write, one: str, other: str) -> None:
    listing = many(write, one, "x", other, "y")
    assert [item.id for item in listing.items] == [one, "x", other, "y"]
    assert (*map(str, listing.warnings),) == (f"ids that look alike: {one} (row 2), {other} (row 4)",)


def test_different_ids_are_not_warned_about(write: Write) -> None:
    assert many(write, "S1-9", "S19", "S1-90", "B", "8").warnings == ()


# -- the register


def test_a_register_holds_checked_sockets_by_id(register: Register) -> None:
    assert list(register.sockets) == ["S19", "S24", "T13"]
    assert not register.faults + register.warnings
    assert register.sockets["S24"].around == "106 mm"


def test_a_row_takes_its_socket_from_the_register(write: Write, register: Register) -> None:
    first, second, third = bare(
        read_list(write(("spec", "socket"), (SPEC, "S19"), (SPEC, "S24"), (SPEC, "T13")), register)
    )
    assert first == Item("row-2", SPEC, 12, "1/2", "19 mm", "27.8 mm", None, socket="S19", row=2)
    assert (second.around, second.od, second.kind) == ("106 mm", None, "band")
    assert third.kind == "trim band"


def test_what_the_row_says_wins_over_the_register(write: Write, register: Register) -> None:
    columns = ("spec", "socket", "points", "opening", "around", "kind")
    path = write(columns, (SPEC, "S19", "6", "18 mm", "87.6 mm", ""), (SPEC, "S19", "", "", "", "trim band"))
    own, trim = bare(read_list(path, register))
    assert (own.points, own.opening, own.od, own.around) == (6, "18 mm", None, "87.6 mm")
    assert (trim.kind, trim.od) == ("trim band", None)


def test_a_field_of_the_row_that_does_not_go_with_the_register_gets_the_blame(write: Write, register: Register) -> None:
    path = write(("spec", "socket", "opening", "drive"), (SPEC, "S19", "26 mm", ""), (SPEC, "S19", "", "1"))
    assert places(read_list(path, register).faults) == [(2, "opening")]


def test_an_unknown_socket_is_a_single_fault_that_suggests_near_ones(write: Write, register: Register) -> None:
    (fault,) = read_list(write(("spec", "socket"), (SPEC, "S18")), register).faults
    assert (fault.row, fault.column) == (2, "socket")
    assert fault.message.startswith("the register has no socket S18; nearest: S19")


def test_faults_of_a_register_are_found_all_at_once(write: Write) -> None:
    path = write(
        ("id", "points", "drive", "od"), ("A", "12", "1/2", "27.8"), ("B", "5", "1/2", ""), ("", "6", "1/2", ""),
        ("C", "6", "1/2", ""), ("C", "6", "3/8", ""), ("D", "6", "", "30 mm"),
    )  # fmt: skip
    register = read_register(path)
    assert places(register.faults) == [(2, "od"), (3, "points"), (4, "id"), (6, "id"), (7, "drive")]
    (fault,) = read_list(write(("spec", "socket"), (SPEC, "B")), register).faults
    assert "has faults in the register" in fault.message


def test_a_register_warns_of_ids_that_look_alike(write: Write) -> None:
    path = write(("id", "points", "drive"), ("S1O", "6", "1/2"), ("S10", "6", "1/2"))
    assert (*map(str, read_register(path).warnings),) == ("ids that look alike: S1O (row 2), S10 (row 3)",)


# -- turns


def test_every_turn_is_made_for_every_socket_of_the_register(register: Register) -> None:
    items = turn_items("30°, 22,5°, 90° +10/-0, 120° ±5°", register).items
    assert [item.id for item in items[:4]] == ["S19-30", "S19-22.5", "S19-90+10-0", "S19-120+5-5"]
    assert [item.kind for item in items] == ["band"] * 8 + ["trim band"] * 4
    assert (items[2].spec, items[2].od, items[2].socket) == ("90° +10/-0", "27.8 mm", "S19")


def test_turns_for_stock_are_trim_bands_for_every_points_and_drive() -> None:
    listing = turn_items("45°,90°", None, "6,12", "3/8,1/2")
    assert [item.id for item in listing.items] == [
        "6pt-3_8in-45", "6pt-3_8in-90", "6pt-1_2in-45", "6pt-1_2in-90",
        "12pt-3_8in-45", "12pt-3_8in-90", "12pt-1_2in-45", "12pt-1_2in-90",
    ]  # fmt: skip
    assert {item.kind for item in listing.items} == {"trim band"}
    assert not listing.faults + listing.warnings


def test_ids_of_turns_pass_as_ids_of_a_list(write: Write, register: Register) -> None:
    items = [*turn_items("90° +10/-0, 45°", register).items, *turn_items("90° ±5", None, "4,12", "1/4,1-1/2").items]
    listing = many(write, *(item.id for item in items))
    assert [item.id for item in listing.items] == [item.id for item in items]
    assert listing.warnings == ()


def test_a_turn_given_twice_is_numbered_and_warned_about() -> None:
    listing = turn_items("90°, 90°", None, "12", "1/2")
    assert [item.id for item in listing.items] == ["12pt-1_2in-90", "12pt-1_2in-90-2"]
    assert len(listing.warnings) == 1


def test_faults_in_turns_points_and_drives_are_found_all_at_once() -> None:
    faults = turn_items("30°, 45, 20 N·m + 90°", None, "6,7", "3/8,5/8").faults
    assert [fault.text.split(";")[0] for fault in faults] == [
        "turns:2: turns: 45 has no unit",
        "turns:3: turns: 20 N·m + 90° is more than a turn",
        "points:2: points: 7 is no number of points",
        "drives:2: drives: no drive has the size 5/8",
    ]


@pytest.mark.parametrize("given", [(None, None), ("6", None), (None, "1/2")])
def test_turns_need_a_register_or_points_and_drives(register: Register, given: tuple[str | None, str | None]) -> None:
    with pytest.raises(ListError):
        turn_items("90°", None, *given)
    if given != (None, None):
        with pytest.raises(ListError):
            turn_items("90°", register, *given)
