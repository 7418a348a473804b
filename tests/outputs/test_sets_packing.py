"""Where the pieces of a set are laid."""

from __future__ import annotations

import math
from collections import defaultdict
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.each import each
from kit.examples import examples
from kit.packing import (
    GAP,
    HEIGHT,
    WIDTH,
    a_kind,
    a_list,
    a_mixed_list,
    a_packing,
    apart,
    assert_cut_apart,
    by_page,
    complaints,
    sizes,
    spread,
)
from marking.errors import LayoutError
from marking.outputs.sets.packing import PackedSpot, Packing, Piece, pack


@each("seed", range(6))
@each("kind", ["mixed", "large groups", "wide bands", "bands", "small"])
def test_lists_use_seven_tenths_of_the_area(kind: str, seed: int) -> None:
    """With the 2 mm that every piece needs for scissors at two of its sides."""
    pieces, packing, gap = a_kind(kind, seed), a_packing(kind, seed), 2.0
    assert complaints(pieces, packing, WIDTH, 243.0, gap) == []
    net = sum(piece.width_mm * piece.height_mm for piece in pieces)
    with_gaps = sum((piece.width_mm + gap) * (piece.height_mm + gap) for piece in pieces)
    assert packing.area_use * with_gaps / net * WIDTH * 243 / ((WIDTH + gap) * (243 + gap)) >= 0.70


@each("gap", [2.0, GAP])
@each("kind", ["mixed", "large groups", "small"])
def test_sockets_of_up_to_half_a_page_lie_on_one_page_or_on_neighbours(kind: str, gap: float) -> None:
    for seed in range(6):
        pieces = a_kind(kind, seed)
        area: dict[str, float] = defaultdict(float)
        for piece in pieces:
            area[piece.group] += (piece.width_mm + gap) * (piece.height_mm + gap)
        packing = a_packing(kind, seed, gap)
        assert spread([piece for piece in pieces if area[piece.group] <= WIDTH * 243 / 2], packing) <= 1


@each("kind", ["mixed", "large groups", "wide bands", "bands", "small"])
def test_straight_cuts_across_the_page_free_its_rows_and_further_ones_every_piece(kind: str) -> None:
    pieces = a_kind(kind, 1)
    for spots in by_page(a_packing(kind, 1)):
        assert_cut_apart(pieces, spots)


def test_the_measure_itself_sees_a_pinwheel_that_no_straight_cut_divides() -> None:
    pinwheel = [(0.0, 0.0, 6.0, 3.0), (7.0, 0.0, 10.0, 6.0), (4.0, 7.0, 10.0, 10.0), (0.0, 4.0, 3.0, 10.0)]
    assert not apart(pinwheel)
    assert apart(pinwheel[:3])


def test_parts_of_a_large_group_do_not_wait_for_ever() -> None:
    for seed in range(4):
        assert spread(a_kind("wide bands", seed), a_packing("wide bands", seed)) <= 8, (
            "eight bands of half a page and more"
        )


def test_the_last_page_holds_a_whole_socket_and_not_only_what_is_left_of_others() -> None:
    for seed in range(12):
        pieces = a_list(seed, 120, sets=True)
        packing = pack(pieces, WIDTH, 243.0, 2.0)
        before = {pieces[spot.key].group for spot in packing.spots if spot.page < packing.pages - 1}
        assert before
        assert {piece.group for piece in pieces} - before, seed


def test_bands_stand_turned_beside_upright_ones_where_that_takes_less_paper() -> None:
    pieces = [Piece(k, 98.0, 25.0, "one socket") for k in range(6)]
    packing = pack(pieces, WIDTH, HEIGHT, GAP)
    assert complaints(pieces, packing, WIDTH, HEIGHT, GAP) == []
    # 98 high, as 3 · 25 + 2 · 3 < 98, and 98 + 3 + 3 · 25 + 2 · 3 = 182 wide, or all six turned: 6 · 25 + 5 · 3 = 165.
    assert min(spot.y for spot in packing.spots) == pytest.approx(HEIGHT - 98)
    assert any(spot.turned for spot in packing.spots)


def test_a_piece_is_upright_where_turning_gains_nothing() -> None:
    for count in (1, 2, 300):
        pieces = [Piece(k, 88.0, 21.0, "one socket") for k in range(count)]
        assert not any(spot.turned for spot in pack(pieces, WIDTH, HEIGHT, GAP).spots)


@each("size", [(199.0, 24.0), (249.0, 183.0)])
def test_a_piece_that_fits_only_turned_is_turned(size: tuple[float, float]) -> None:
    pieces = [Piece(0, *size, "a"), Piece(1, 20.0, 20.0, "a")]
    packing = pack(pieces, WIDTH, HEIGHT, GAP)
    assert complaints(pieces, packing, WIDTH, HEIGHT, GAP) == []
    assert [spot.turned for spot in packing.spots if spot.key == 0] == [True]


@each("seed", range(4))
def test_the_area_use_is_that_of_the_pieces_laid_out(seed: int) -> None:
    pieces = a_list(seed, 70)
    packing = pack(pieces, WIDTH, HEIGHT, GAP)
    lowest = min(spot.y for spot in packing.spots if spot.page == packing.pages - 1)
    whole = WIDTH * (HEIGHT * packing.pages - lowest)
    assert packing.area_use == pytest.approx(sum(p.width_mm * p.height_mm for p in pieces) / whole)


@each("seed", range(6))
def test_pieces_of_one_socket_lie_on_one_page_or_on_neighbours(seed: int) -> None:
    pieces = a_list(seed, sets=True)
    packing = pack(pieces, WIDTH, HEIGHT, GAP)
    assert complaints(pieces, packing, WIDTH, HEIGHT, GAP) == []
    assert spread(pieces, packing) <= 1


@each("seed", range(6))
def test_keeping_sockets_together_costs_a_tenth_of_the_pages_at_most(seed: int) -> None:
    pieces = a_list(seed, sets=True)
    alone = [piece._replace(group=str(piece.key)) for piece in pieces]
    assert pack(pieces, WIDTH, HEIGHT, GAP).pages <= 1.1 * pack(alone, WIDTH, HEIGHT, GAP).pages


def test_many_copies_of_one_band_follow_each_other_on_full_pages() -> None:
    pieces = [Piece(k, 88.0, 16.0, "one socket") for k in range(300)]
    packing = pack(pieces, WIDTH, HEIGHT, GAP)
    assert complaints(pieces, packing, WIDTH, HEIGHT, GAP) == []
    assert packing.pages == math.ceil(300 / (2 * 13))  # 2 · 88 + 3 ≤ 183 and 13 · 16 + 12 · 3 ≤ 249


@examples(150)
@given(
    found=st.lists(st.tuples(sizes(), st.sampled_from("abcdef")), max_size=60),
    height=st.floats(100.0, 300.0),
    gap=st.sampled_from([0.0, 1.0, 3.0, 7.5]),
)
def test_any_pieces_are_placed_apart_and_in_the_same_way_again(
    found: list[tuple[tuple[float, float], str]], height: float, gap: float
) -> None:
    pieces = [Piece(key, *size, group) for key, (size, group) in enumerate(found)]
    packing = pack(pieces, 100.0, height, gap)
    assert complaints(pieces, packing, 100.0, height, gap) == []
    assert pack(pieces, 100.0, height, gap) == packing


def test_rows_are_lettered_from_the_top_and_numbered_from_the_left() -> None:
    pieces = a_mixed_list(3)
    packing = pack(pieces, WIDTH, HEIGHT, GAP)
    assert any(spot.turned for spot in packing.spots)
    for spots in by_page(packing):
        assert len({spot.place for spot in spots}) == len(spots)
        rows: dict[str, list[PackedSpot]] = defaultdict(list)
        for spot in spots:
            rows[spot.place[0]].append(spot)
        assert sorted(rows) == [chr(ord("A") + k) for k in range(len(rows))]
        height = {s.key: pieces[s.key].width_mm if s.turned else pieces[s.key].height_mm for s in spots}
        for upper, lower in pairwise(sorted(rows)):
            assert min(s.y for s in rows[upper]) >= max(s.y + height[s.key] for s in rows[lower]) + GAP - 1e-6
        for row in rows.values():
            in_order = sorted(row, key=lambda spot: int(spot.place[1:]))
            assert [int(spot.place[1:]) for spot in in_order] == list(range(1, len(row) + 1))
            assert [(s.x, -s.y) for s in in_order] == sorted((s.x, -s.y) for s in row)


def test_rows_after_z_have_two_letters() -> None:
    packing = pack([Piece(k, 90.0, 3.0, str(k)) for k in range(28)], 100.0, 89.0, 0.0)
    assert [spot.place for spot in packing.spots[24:]] == ["Y1", "Z1", "AA1", "AB1"]


def test_three_squares_that_just_fit_make_one_row() -> None:
    packing = pack([Piece(k, 59.0, 59.0, "a") for k in range(3)], WIDTH, HEIGHT, GAP)
    assert [(s.x, s.y, s.place) for s in packing.spots] == [(0, 190, "A1"), (62, 190, "A2"), (124, 190, "A3")]
    assert packing.area_use == pytest.approx(3 * 59 / 183)


def test_no_pieces_need_no_page() -> None:
    assert pack([], WIDTH, HEIGHT) == Packing((), 0, 0.0)


def test_pieces_that_are_the_same_object_are_all_placed() -> None:
    packing = pack([Piece(7, 50.0, 20.0, "a")] * 5, WIDTH, HEIGHT)
    assert len({(spot.page, spot.x, spot.y) for spot in packing.spots}) == 5


@each(
    "size",
    [(184.0, 184.0), (250.0, 20.0), (20.0, 250.0), (0.0, 20.0), (-20.0, 20.0), (math.nan, 20.0), (20.0, math.inf)],
)
def test_a_piece_that_cannot_fit_is_refused_with_both_sizes(size: tuple[float, float]) -> None:
    with pytest.raises(LayoutError, match=r"does not fit on the page; expected at most 183 × 249 mm"):
        pack([Piece(0, 20.0, 20.0, "a"), Piece(1, *size, "a")], WIDTH, HEIGHT)


def test_the_measure_itself_sees_pieces_that_are_too_near_lost_or_off_the_area() -> None:
    pieces = [Piece(k, 59.0, 59.0, "a") for k in range(3)]
    good = pack(pieces, WIDTH, HEIGHT, GAP)
    first, second, third = good.spots
    for spots in (
        (first, second._replace(x=second.x - 0.1), third),
        (first, second),
        (first, second, third._replace(x=third.x + 0.1)),
    ):
        assert complaints(pieces, good._replace(spots=spots), WIDTH, HEIGHT, GAP)
