"""Pieces to lay on pages, and what is complained of how they lie."""

from __future__ import annotations

import math
import random
from collections import defaultdict
from collections.abc import Sequence
from functools import cache
from itertools import pairwise

import numpy as np
from hypothesis import strategies as st
from shapely import STRtree, box

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
        edges = np.array([(s.x, s.y, s.x + w, s.y + h) for s, (w, h) in zip(spots, lying, strict=True)])
        off = (edges < -1e-6) | (edges > np.array([width, height, width, height]) + 1e-6)
        found += [f"{spots[k]} is off the area" for k in np.flatnonzero(off.any(axis=1))]
        # Grown by half the gap with square corners: two that stay apart are a gap apart in x or in y.
        grown = box(*(edges + (gap / 2 - 1e-6) * np.array([-1.0, -1.0, 1.0, 1.0])).T)
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


@cache
def a_kind(kind: str, seed: int) -> list[Piece]:
    if kind in ("wide bands", "bands"):
        return a_register(seed, *((36, 57) if kind == "wide bands" else (18, 45)))
    return a_mixed_list(seed, large=kind == "large groups") if kind != "small" else a_list(seed)


@cache
def a_packing(kind: str, seed: int, gap: float = 2.0) -> Packing:
    """The pieces of a kind as they are packed: several tests look at the same."""
    return pack(a_kind(kind, seed), WIDTH, 243.0, gap)


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


def sizes() -> st.SearchStrategy[tuple[float, float]]:
    side = st.floats(0.5, 100.0) | st.sampled_from([14.0, 16.0, 20.0, 25.0, 48.5, 100.0])
    return st.tuples(side, side)


def by_page(packing: Packing) -> list[list[PackedSpot]]:
    return [[spot for spot in packing.spots if spot.page == page] for page in range(packing.pages)]
