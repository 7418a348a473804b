"""Packed pieces lie apart, inside the area, groups together, places readable, and little of the stock is wasted."""

from __future__ import annotations

import math
import random
from collections import defaultdict
from collections.abc import Sequence
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import STRtree, box

from marking.errors import LayoutError
from marking.outputs.sets.blocks import lay_out
from marking.outputs.sets.packing import PackedSpot, Packing, Piece, pack

WIDTH, HEIGHT, GAP = 183.0, 249.0, 3.0


def a_list(seed: int, count: int = 500, sets: bool = False) -> list[Piece]:
    """Bands of sockets of 11 to 48 mm and some part rings; with `sets`, up to three bands and often a ring a socket."""
    chance = random.Random(seed)
    pieces: list[Piece] = []
    while len(pieces) < count:
        group = f"socket {len(pieces)}"
        od = min(48.0, max(11.0, chance.lognormvariate(math.log(24), 0.38)))
        height = chance.choices([14.0, 16.0, 20.0, 25.0], [3, 5, 3, 1])[0]
        for _ in range(chance.choice([1, 1, 2, 3]) if sets else 1):
            pieces.append(Piece(len(pieces), math.pi * (od + 0.1) + 10, height, group))
        if chance.random() < (0.6 if sets else 0.12):
            side = chance.uniform(36, 75)
            pieces.append(Piece(len(pieces), side, side, group))
    return pieces[:count]


def a_band(chance: random.Random, od: float) -> tuple[float, float]:
    """A band with the words below it."""
    return math.pi * (od + 0.11) + 10, chance.uniform(16, 20) + chance.uniform(4, 8)


def a_mixed_list(seed: int, large: bool = False) -> list[Piece]:
    """500 bands, trim bands, rings, discs and tags, one to six a socket; with `large`, of some 10 to 40 equal bands."""
    chance = random.Random(seed)
    found: list[tuple[float, float, str]] = []
    while len(found) < 500:
        group, od = f"socket {len(found)}", chance.uniform(16, 60)
        if large and chance.random() < 0.35:
            found += [(*a_band(chance, od), group)] * chance.randint(10, 40)
            continue
        for _ in range(chance.randint(1, 6)):
            side = chance.uniform(60, 115)
            others = [(chance.uniform(120, 175), chance.uniform(35, 60)), (side, side), (70.0, 76.0), (62.0, 30.0)]
            found.append((*(a_band(chance, od) if chance.random() < 0.7 else chance.choice(others)), group))
    return [Piece(key, *piece) for key, piece in enumerate(found[:500])]


def a_register(seed: int, least_od: float, most_od: float) -> list[Piece]:
    """Eight equal bands for each of forty sockets."""
    chance = random.Random(seed)
    bands = [a_band(chance, chance.uniform(least_od, most_od)) for _ in range(40)]
    return [Piece(key, *bands[key // 8], f"socket {key // 8}") for key in range(320)]


def complaints(pieces: Sequence[Piece], packing: Packing, width: float, height: float, gap: float) -> list[str]:
    """Whatever is wrong with a packing: pieces lost, off the area, nearer to each other than the gap."""
    size = {piece.key: (piece.width_mm, piece.height_mm) for piece in pieces}
    found = []
    if sorted(spot.key for spot in packing.spots) != sorted(size):
        found.append("pieces lost or doubled")
    if [spot.page for spot in packing.spots] != sorted(spot.page for spot in packing.spots):
        found.append("not in the order of pages")
    if {spot.page for spot in packing.spots} != set(range(packing.pages)):
        found.append("an empty page")
    for page in range(packing.pages):
        spots = [spot for spot in packing.spots if spot.page == page]
        lying = [size[spot.key][::-1] if spot.turned else size[spot.key] for spot in spots]
        boxes = [box(s.x, s.y, s.x + w, s.y + h) for s, (w, h) in zip(spots, lying, strict=True)]
        area = box(-1e-6, -1e-6, width + 1e-6, height + 1e-6)
        found += [f"{spot} is off the area" for spot, shape in zip(spots, boxes, strict=True) if not area.covers(shape)]
        # Grown by half the gap with square corners: two that stay apart are a gap apart in x or in y.
        grown = [shape.buffer(gap / 2 - 1e-6, join_style="mitre") if gap else shape.buffer(-1e-6) for shape in boxes]
        for a, b in STRtree(grown).query(grown, predicate="intersects").T:
            if a < b:
                found.append(f"{spots[a]} is too near to {spots[b]}")
    return found


def spread(pieces: Sequence[Piece], packing: Packing) -> int:
    """The most pages between the first and the last piece of a group."""
    page = {spot.key: spot.page for spot in packing.spots}
    pages: dict[str, list[int]] = defaultdict(list)
    for piece in pieces:
        pages[piece.group].append(page[piece.key])
    return max(max(found) - min(found) for found in pages.values())


def a_kind(kind: str, seed: int) -> list[Piece]:
    if kind in ("wide bands", "bands"):
        return a_register(seed, *((36, 57) if kind == "wide bands" else (18, 45)))
    return a_mixed_list(seed, large=kind == "large groups") if kind != "small" else a_list(seed)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("kind", ["mixed", "large groups", "wide bands", "bands", "small"])
def test_lists_use_seven_tenths_of_the_area(kind: str, seed: int) -> None:
    """With the 2 mm that every piece needs for scissors at two of its sides."""
    pieces, gap = a_kind(kind, seed), 2.0
    packing = pack(pieces, WIDTH, 243.0, gap)
    assert complaints(pieces, packing, WIDTH, 243.0, gap) == []
    net = sum(piece.width_mm * piece.height_mm for piece in pieces)
    with_gaps = sum((piece.width_mm + gap) * (piece.height_mm + gap) for piece in pieces)
    assert packing.area_use * with_gaps / net * WIDTH * 243 / ((WIDTH + gap) * (243 + gap)) >= 0.70


@pytest.mark.parametrize("gap", [2.0, GAP])
@pytest.mark.parametrize("kind", ["mixed", "large groups", "small"])
def test_sockets_of_up_to_half_a_page_lie_on_one_page_or_on_neighbours(kind: str, gap: float) -> None:
    for seed in range(6):
        pieces = a_kind(kind, seed)
        area: dict[str, float] = defaultdict(float)
        for piece in pieces:
            area[piece.group] += (piece.width_mm + gap) * (piece.height_mm + gap)
        packing = pack(pieces, WIDTH, 243.0, gap)
        assert spread([piece for piece in pieces if area[piece.group] <= WIDTH * 243 / 2], packing) <= 1


def boxes_of(pieces: Sequence[Piece], spots: Sequence[PackedSpot]) -> list[tuple[float, float, float, float]]:
    """Left, lower, right and upper edge of each piece as it lies; the key of a piece is its number."""
    sizes = [pieces[s.key][1:3][::-1] if s.turned else pieces[s.key][1:3] for s in spots]
    return [(s.x, s.y, s.x + w, s.y + h) for s, (w, h) in zip(spots, sizes, strict=True)]


def strips(boxes: list[tuple[float, float, float, float]], axis: int) -> list[list[tuple[float, float, float, float]]]:
    """The boxes between straight cuts right across: lines of x (axis 0) or of y (axis 1) that cross no box."""
    found: list[list[tuple[float, float, float, float]]] = []
    end = -math.inf
    for box_ in sorted(boxes, key=lambda b: b[axis]):
        if box_[axis] > end:
            found.append([])
        found[-1].append(box_)
        end = max(end, box_[axis + 2])
    return found


def apart(boxes: list[tuple[float, float, float, float]]) -> bool:
    """Whether straight cuts, each right across what the cuts before left, set every box free."""
    if len(boxes) == 1:
        return True
    parts = max((strips(boxes, axis) for axis in (0, 1)), key=len)
    return len(parts) > 1 and all(map(apart, parts))


def assert_cut_apart(pieces: list[Piece], spots: list[PackedSpot]) -> dict[str, list[PackedSpot]]:
    """Straight cuts across a page free its rows, further ones every piece; return the rows."""
    rows: dict[str, list[PackedSpot]] = defaultdict(list)
    for spot in spots:
        rows[spot.place.rstrip("0123456789")].append(spot)
    edges = sorted((min(b[1] for b in boxes), max(b[3] for b in boxes)) for boxes in
                   (boxes_of(pieces, row) for row in rows.values()))  # fmt: skip
    assert all(upper <= lower - 2.0 + 1e-6 for (_, upper), (lower, _) in pairwise(edges))
    assert apart(boxes_of(pieces, spots))
    return rows


@pytest.mark.parametrize("kind", ["mixed", "large groups", "wide bands", "bands", "small"])
def test_straight_cuts_across_the_page_free_its_rows_and_further_ones_every_piece(kind: str) -> None:
    pieces = a_kind(kind, 1)
    packing = pack(pieces, WIDTH, 243.0, 2.0)
    for spots in by_page(packing):
        assert_cut_apart(pieces, spots)


def test_the_measure_itself_sees_a_pinwheel_that_no_straight_cut_divides() -> None:
    pinwheel = [(0.0, 0.0, 6.0, 3.0), (7.0, 0.0, 10.0, 6.0), (4.0, 7.0, 10.0, 10.0), (0.0, 4.0, 3.0, 10.0)]
    assert not apart(pinwheel)
    assert apart(pinwheel[:3])


def test_parts_of_a_large_group_do_not_wait_for_ever() -> None:
    for seed in range(4):
        pieces = a_register(seed, 36, 57)
        packing = pack(pieces, WIDTH, 243.0, 2.0)
        assert spread(pieces, packing) <= 8, "eight bands of half a page and more"


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


@pytest.mark.parametrize("size", [(199.0, 24.0), (249.0, 183.0)])
def test_a_piece_that_fits_only_turned_is_turned(size: tuple[float, float]) -> None:
    pieces = [Piece(0, *size, "a"), Piece(1, 20.0, 20.0, "a")]
    packing = pack(pieces, WIDTH, HEIGHT, GAP)
    assert complaints(pieces, packing, WIDTH, HEIGHT, GAP) == []
    assert [spot.turned for spot in packing.spots if spot.key == 0] == [True]


@pytest.mark.parametrize("seed", range(4))
def test_the_area_use_is_that_of_the_pieces_laid_out(seed: int) -> None:
    pieces = a_list(seed, 70)
    packing = pack(pieces, WIDTH, HEIGHT, GAP)
    lowest = min(spot.y for spot in packing.spots if spot.page == packing.pages - 1)
    whole = WIDTH * (HEIGHT * packing.pages - lowest)
    assert packing.area_use == pytest.approx(sum(p.width_mm * p.height_mm for p in pieces) / whole)


@pytest.mark.parametrize("seed", range(6))
def test_pieces_of_one_socket_lie_on_one_page_or_on_neighbours(seed: int) -> None:
    pieces = a_list(seed, sets=True)
    packing = pack(pieces, WIDTH, HEIGHT, GAP)
    assert complaints(pieces, packing, WIDTH, HEIGHT, GAP) == []
    assert spread(pieces, packing) <= 1


@pytest.mark.parametrize("seed", range(6))
def test_keeping_sockets_together_costs_a_tenth_of_the_pages_at_most(seed: int) -> None:
    pieces = a_list(seed, sets=True)
    alone = [piece._replace(group=str(piece.key)) for piece in pieces]
    assert pack(pieces, WIDTH, HEIGHT, GAP).pages <= 1.1 * pack(alone, WIDTH, HEIGHT, GAP).pages


def test_many_copies_of_one_band_follow_each_other_on_full_pages() -> None:
    pieces = [Piece(k, 88.0, 16.0, "one socket") for k in range(300)]
    packing = pack(pieces, WIDTH, HEIGHT, GAP)
    assert complaints(pieces, packing, WIDTH, HEIGHT, GAP) == []
    assert packing.pages == math.ceil(300 / (2 * 13))  # 2 · 88 + 3 ≤ 183 and 13 · 16 + 12 · 3 ≤ 249


def sizes() -> st.SearchStrategy[tuple[float, float]]:
    side = st.floats(0.5, 100.0) | st.sampled_from([14.0, 16.0, 20.0, 25.0, 48.5, 100.0])
    return st.tuples(side, side)


@settings(max_examples=150)
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


def by_page(packing: Packing) -> list[list[PackedSpot]]:
    return [[spot for spot in packing.spots if spot.page == page] for page in range(packing.pages)]


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


@pytest.mark.parametrize(
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


# --- socket after socket ---------------------------------------------------------------------------------------------


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


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("kind", ["mixed", "large groups", "wide bands", "bands", "small"])
def test_sockets_after_each_other_use_seven_tenths_of_the_area(kind: str, seed: int) -> None:
    pieces = a_kind(kind, seed)
    packing = lay_out(pieces, WIDTH, 243.0, 2.0)
    assert complaints(pieces, packing, WIDTH, 243.0, 2.0) == []
    assert share(pieces, packing) >= 0.70


@pytest.mark.parametrize("seed", range(6))
def test_packed_tightly_the_mixed_list_uses_three_quarters_of_the_area(seed: int) -> None:
    pieces = a_kind("mixed", seed)
    packing = lay_out(pieces, WIDTH, 243.0, 2.0, tight=True)
    assert complaints(pieces, packing, WIDTH, 243.0, 2.0) == []
    assert share(pieces, packing) >= 0.75


@pytest.mark.parametrize("kind", ["mixed", "large groups", "bands"])
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


@pytest.mark.parametrize("kind", ["mixed", "large groups", "wide bands", "small"])
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


@settings(max_examples=60)
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
