"""The pieces of each socket follow each other."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.each import each
from kit.examples import examples
from kit.packing import WIDTH, a_kind, a_list, a_register, assert_cut_apart, boxes_of, by_page, complaints, sizes
from marking.errors import LayoutError
from marking.outputs.sets.blocks import lay_out
from marking.outputs.sets.packing import Packing, Piece, pack


def with_labels(pieces: list[Piece]) -> list[Piece]:
    """The pieces with a label for every group, behind all of them in the list."""
    groups = dict.fromkeys(piece.group for piece in pieces)
    labels = [Piece(len(pieces) + k, 46.0, 22.0, group, True) for k, group in enumerate(groups)]
    return pieces + labels


def share(pieces: Sequence[Piece], packing: Packing, gap: float = 2.0) -> float:
    """The share of the paper that pieces use with the space that each needs for scissors at two of its sides."""
    net = sum(piece.width_mm * piece.height_mm for piece in pieces)
    with_gaps = sum((piece.width_mm + gap) * (piece.height_mm + gap) for piece in pieces)
    return packing.area_use * with_gaps / net * WIDTH * 243 / ((WIDTH + gap) * (243 + gap))


@pytest.mark.long
@each("seed", range(6))
@each("kind", ["mixed", "large groups", "wide bands", "bands", "small"])
def test_sockets_after_each_other_use_seven_tenths_of_the_area(kind: str, seed: int) -> None:
    pieces = a_kind(kind, seed)
    packing = lay_out(pieces, WIDTH, 243.0, 2.0)
    assert complaints(pieces, packing, WIDTH, 243.0, 2.0) == []
    assert share(pieces, packing) >= 0.70


@each("seed", range(4))
def test_packed_tightly_the_mixed_list_uses_three_quarters_of_the_area(seed: int) -> None:
    pieces = a_kind("mixed", seed)
    packing = lay_out(pieces, WIDTH, 243.0, 2.0, tight=True)
    assert complaints(pieces, packing, WIDTH, 243.0, 2.0) == []
    assert share(pieces, packing) >= 0.75


@each("kind", ["bands", "large groups"])
def test_packed_tightly_no_list_takes_more_than_socket_after_socket(kind: str) -> None:
    pieces = a_kind(kind, 0)
    blocks, tight = (lay_out(pieces, WIDTH, 243.0, 2.0, tight) for tight in (False, True))
    assert complaints(pieces, tight, WIDTH, 243.0, 2.0) == []
    assert tight.area_use >= blocks.area_use


@each("kind", ["mixed", "large groups", "bands"])
def test_the_pieces_of_a_socket_follow_each_other_its_label_first(kind: str) -> None:
    """Only whole sockets at the foot of a page may stand between, where one goes on over the page."""
    pieces = with_labels(a_kind(kind, 2))
    packing = lay_out(pieces, WIDTH, 243.0, 2.0)
    assert complaints(pieces, packing, WIDTH, 243.0, 2.0) == []
    runs: dict[str, list[int]] = defaultdict(list)
    before = ""
    for spot in packing.spots:
        group = pieces[spot.key].group
        if group != before:
            assert pieces[spot.key].first is not bool(runs[group]), "the label leads the socket, and only that"
            assert spot.page not in runs[group]
            runs[group].append(spot.page)
        before = group
    assert sum(len(pages) - 1 for pages in runs.values()) < packing.pages


@each("kind", ["mixed", "large groups", "wide bands", "small"])
def test_straight_cuts_across_free_the_strips_and_then_the_sockets_on_them(kind: str) -> None:
    pieces = with_labels(a_kind(kind, 1))
    for spots in by_page(lay_out(pieces, WIDTH, 243.0, 2.0)):
        rows = assert_cut_apart(pieces, spots)
        for row in rows.values():
            of: dict[str, list[tuple[float, float, float, float]]] = defaultdict(list)
            for spot in row:
                of[pieces[spot.key].group] += boxes_of(pieces, [spot])
            sides = sorted((min(b[0] for b in boxes), max(b[2] for b in boxes)) for boxes in of.values())
            assert all(right <= left - 2.0 + 1e-6 for (_, right), (left, _) in pairwise(sides))


def test_single_pieces_lie_where_they_save_most() -> None:
    pieces = [piece._replace(group=str(piece.key)) for piece in a_list(1, 120)]
    assert lay_out(pieces, WIDTH, 243.0, 2.0) == pack(pieces, WIDTH, 243.0, 2.0)


def test_labels_cost_little_more_than_their_own_area() -> None:
    bands = a_register(1, 18, 45)
    alone, labelled = (lay_out(pieces, WIDTH, 243.0, 2.0) for pieces in (bands, with_labels(bands)))
    assert labelled.area_use >= alone.area_use - 0.06


def test_sockets_too_long_for_a_page_go_on_over_as_many_as_they_need() -> None:
    pieces = with_labels([Piece(k, 120.0, 60.0, "one") for k in range(20)] + [Piece(20, 70.0, 30.0, "two")])
    packing = lay_out(pieces, WIDTH, 243.0, 2.0)
    assert complaints(pieces, packing, WIDTH, 243.0, 2.0) == []
    assert packing.spots[0].key == 21
    with pytest.raises(LayoutError):
        lay_out([*pieces, Piece(99, 250.0, 250.0, "two")], WIDTH, 243.0, 2.0)


@examples(60)
@given(
    found=st.lists(st.tuples(sizes(), st.sampled_from("abcdef"), st.booleans()), max_size=40),
    height=st.floats(100.0, 300.0),
    gap=st.sampled_from([0.0, 1.0, 7.5]),
)
def test_any_sockets_are_laid_apart_and_in_the_same_way_again(
    found: list[tuple[tuple[float, float], str, bool]], height: float, gap: float
) -> None:
    seen: set[str] = set()
    pieces = []
    for key, (size, group, first) in enumerate(found):
        pieces.append(Piece(key, *size, group, first and group not in seen))
        seen.add(group)
    packing = lay_out(pieces, 100.0, height, gap)
    assert complaints(pieces, packing, 100.0, height, gap) == []
    assert lay_out(pieces, 100.0, height, gap) == packing
