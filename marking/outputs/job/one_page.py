"""A job on one page: its pieces, their words and notes packed above the card's edge, and the card below it."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, partial
from itertools import chain
from typing import NamedTuple

from ...drawing.primitives import Drawing, moved
from ...readouts import Joined
from ...readouts.part_ring.layout import RingLayout
from ...readouts.witness_pointer import Pointer
from ...sheets.blocks import stacked
from ...sheets.furniture import RULER_INSIDE_MM
from ...sheets.paper import Paper
from ...sheets.pieces import ROUNDING_MM, Piece, Spot, added_within, drawn, laid, lowest, packed, reach_mm
from ...sheets.sheet import Sheet
from .card import SETTINGS, Card, Setting, head, too_full, whole
from .pieces import (
    ONE_BLOCK,
    Strip,
    figure_pieces,
    in_rows,
    ring_with_words,
    said_once,
    split_pointers,
    words_alone,
)
from .words import pointer_captions

NOTES_MM = (108.0, 94.0, 85.0, 78.0, 65.0, 50.0, 38.0)
"""Widths of marks and reading errors above the card's edge, where there is room for them."""

WIDE_MM = 55.0
"""Least width of words below pieces where there is room for it."""

EDGE_GAP_MM, HEAD_GAP_MM = 0.8, 0.5
"""Space above the card's edge, and below its head."""


@dataclass(frozen=True)
class Pieces:
    """What stands above the card: strips, rings in the user's unit, figures of extras, and pointers."""

    strips: Sequence[Strip]
    rings: Sequence[RingLayout]
    unit: str
    figures: Sequence[Joined]
    pointers: Sequence[Pointer]


def put_on_one_page(sheet: Sheet, paper: Paper, pieces: Pieces, card: Card) -> bool:
    """Put all of a job on one page, with the marks above the card's edge where they cost nothing, if it fits there."""
    if len(pieces.pointers) > ONE_BLOCK:
        return False
    width, _ = sheet.page_room_mm(paper, titled=False)
    closest = card.closer
    ways = [
        max(found, key=lambda spots: len(_with_notes(spots, closest, SETTINGS[-1], width)[-1].notes))
        for found in _lowest(pieces, width)
    ]
    uneven = closest._replace(uneven=True)
    bare = [own._replace(notes=own.notes[1:]) for own in (closest, uneven)]
    inside = paper._replace(ruler_inside=True)
    # the table of marks gives way before the page does, then columns alike, then the words in place of the table, at
    # last the upright ruler to a wider card
    tried = [
        *((paper, own, SETTINGS) for own in (card, closest, uneven)),
        *((paper, own, SETTINGS[-1:]) for own in bare),
        (inside, uneven, SETTINGS),
        *((inside, own, SETTINGS[-1:]) for own in bare),
    ]
    for page, own, settings in tried:
        fitted = cache(partial(_first_on_one_page, sheet, page, own, ways, width))
        draw_page = fitted(settings[0])
        if draw_page is None and fitted(settings[-1]) is not None:
            first = bisect_left(settings, True, 1, len(settings) - 1, key=lambda one: fitted(one) is not None)
            draw_page = fitted(settings[first])
        if draw_page is not None:
            sheet.new_page(page, titled=False)
            sheet.put(draw_page())
            return True
    return False


def _first_on_one_page(
    sheet: Sheet, page: Paper, card: Card, ways: Sequence[Sequence[Spot]], width: float, setting: Setting
) -> Callable[[], Drawing] | None:
    """What draws pieces in the first of their ways below which the card fits, with it; None where there is none."""
    found = (_on_one_page(sheet, page, card, setting, spots, width) for spots in ways)
    return next((draw_page for draw_page in found if draw_page is not None), None)


def _on_one_page(
    sheet: Sheet, page: Paper, card: Card, setting: Setting, spots: Sequence[Spot], width: float
) -> Callable[[], Drawing] | None:
    """What draws placed pieces in a width, and the card below them as wide as the page; None where it does not fit."""
    wide, height = sheet.page_room_mm(page, titled=False)
    top, above_mm = head(card, wide), max(reach_mm(spots), RULER_INSIDE_MM if page.ruler_inside else 0.0)
    room = height - above_mm - EDGE_GAP_MM - top.height_mm - HEAD_GAP_MM
    if too_full(card, wide, room, setting):
        return None
    for above in reversed(_with_notes(spots, card, setting, width)):
        body = whole(card._replace(above=frozenset(above.notes)), wide, room, [setting])
        if body is not None:
            return partial(_drawn_page, above.spots, (width, above_mm), top, body)
    return None


def _drawn_page(spots: Sequence[Spot], area: tuple[float, float], top: Drawing, body: Piece) -> Drawing:
    """Placed pieces in an area at the right of a page, and below them a card: its head, then what stands below that."""
    width, above_mm = area
    raised = moved(laid(spots, width).content, top.width_mm - width, above_mm - reach_mm(spots))
    card = stacked([top, body.draw()], HEAD_GAP_MM, "work-card")
    return stacked([Drawing(top.width_mm, above_mm, raised), card], EDGE_GAP_MM)


def _lowest(pieces: Pieces, width: float) -> list[list[Sequence[Spot]]]:
    """The ways to lay pieces, and their words where these find room, that reach down least; none where none fits.

    First those that put the bands' words below the bands before the pointers' find a place.
    """
    strips = [drawn(strip.drawing) for strip in pieces.strips]
    rings = [ring_with_words(ring, pieces.unit) for ring in pieces.rings]
    figures = [piece for extra in pieces.figures for piece in figure_pieces(extra, width)]
    captions = [
        pointer_captions(pieces.pointers),
        *said_once(strip.captions for strip in pieces.strips),
        *(outside for _, outside in rings if outside),
        *([extra.caption] for extra in pieces.figures),
    ]
    words = [words_alone(said, width) for said in captions]
    as_one = [words_alone([" ".join(f"{said.removesuffix('.')}." for said in chain(*captions))], width)]
    orders = [(figures, []), ([], figures), ([], in_rows(figures, width))] if figures else [([], [])]
    ways = (
        packed([*strips, *(ring for ring, _ in rings), *before, *blocks, *after], width)
        for blocks in split_pointers(pieces.pointers, width)
        for before, after in orders
    )
    placed = sorted((spots for spots, left in ways if not left), key=reach_mm)  # what is low soon ends the search
    wide = [[shape for shape in shapes if shape.width_mm >= WIDE_MM] for shapes in [*words[1:], words[0]]]
    below = lowest(placed, width, wide)
    tried = [lowest(placed, width, loose) for loose in (words, [shapes[::-1] for shapes in words], as_one)]
    if not all(tried):
        return []
    reached = min(reach_mm(found[0]) for found in (below, *tried)) + ROUNDING_MM
    least = [spots for found in (below, *tried) if reach_mm(found[0]) <= reached for spots in found]
    return [below, least]


class _Above(NamedTuple):
    """What stands above the card's edge: pieces and words in their places, and the numbers of the notes among them."""

    spots: Sequence[Spot]
    notes: tuple[int, ...] = ()


def _with_notes(spots: Sequence[Spot], card: Card, setting: Setting, width: float) -> list[_Above]:
    """Return placed pieces alone, then with one note more among them, all that reach no farther down with it."""
    ways, deepest = [_Above(spots)], reach_mm(spots)
    for number, note in enumerate(card.notes):
        shapes = (drawn(note(widest, setting, card.close)) for widest in NOTES_MM)
        if found := added_within(ways[-1].spots, shapes, width, deepest):
            ways.append(_Above(found, (*ways[-1].notes, number)))
    return ways
