"""A job on one page: its pieces, their words and notes packed above the card's edge, and the card below it."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache, partial
from itertools import chain

from ...drawing.primitives import Drawing, moved
from ...readouts import Joined
from ...readouts.part_ring.layout import RingLayout
from ...readouts.witness_pointer import Pointer
from ...sheets.blocks import stacked
from ...sheets.furniture import RULER_INSIDE_MM
from ...sheets.paper import Paper
from ...sheets.pieces import Piece, Spot, drawn, laid, lowest, packed, reach_mm
from ...sheets.sheet import Sheet
from .card import SETTINGS, Card, Note, Setting, head, settings_for, too_full, whole
from .pieces import (
    ONE_BLOCK,
    Strip,
    figure_pieces,
    rings_with_words,
    said_once,
    split_pointers,
    words_alone,
)
from .words import pointer_captions

NOTES_MM = (108.0, 94.0, 85.0, 78.0, 65.0, 50.0, 38.0)
"""Widths of marks and reading errors above the card's edge, where there is room for them."""

WIDE_MM = 55.0
"""Least width of words below pieces where there is room for it."""

MOST_WAYS = 60
"""Ways to lay pieces that words are tried with, those that reach down least: some 800 jobs gained nothing from more."""

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
    """Put all of a job on one page, if it fits there: its pieces, and below them the card, set as close as need be."""
    if len(pieces.pointers) > ONE_BLOCK:
        return False
    close, full = card._replace(close=True), paper._replace(full=True)
    # the table of marks gives way before the page does, then columns alike, at last the margins; before each of those
    # the notes go above the card's edge
    cards = card, close, close._replace(uneven=True)
    inside = full._replace(ruler_inside=True)
    pages = [(paper, cards, False), (full, cards[1:], False), (inside, cards[1:], False)]
    for page, tried, tight in [*pages, *([(inside, cards[1:], True)] if pieces.figures else [])]:
        ruler_mm = RULER_INSIDE_MM if page.ruler_inside else (0.0, 0.0)
        area = page.content_width_mm - ruler_mm[0], ruler_mm[1]
        placed, captions = _placed(pieces, area[0], tight)
        if not placed or _below(sheet, page, close, SETTINGS[-1], placed[0], area) is None:
            continue  # there is more of it than room, whatever the words
        ways = cache(partial(_lowest, placed, captions, card.notes, area[0], SETTINGS[-1 if tight else -2]))
        for own in (own._replace(above=above) for own in tried for above in (False, True)):
            draw_page = _closest_needed(sheet, page, own, ways(own.above), area)
            if draw_page is not None:
                sheet.new_page(page, titled=False)
                sheet.put(draw_page())
                return True
    return False


Area = tuple[float, float]
"""The width of what stands above a card, and its least height."""


def _closest_needed(
    sheet: Sheet, page: Paper, card: Card, ways: Sequence[Sequence[Spot]], area: Area
) -> Callable[[], Drawing] | None:
    """What draws pieces and the card, set no closer than need be; None where it does not fit however close it is."""
    fitted = cache(partial(_first_on_one_page, sheet, page, card, ways, area))
    settings = settings_for(page)
    if fitted(settings[0]) is not None or fitted(settings[-1]) is None:
        return fitted(settings[0])
    first = bisect_left(settings, True, 1, len(settings) - 1, key=lambda one: fitted(one) is not None)
    return fitted(settings[first])


def _first_on_one_page(
    sheet: Sheet, page: Paper, card: Card, ways: Sequence[Sequence[Spot]], area: Area, setting: Setting
) -> Callable[[], Drawing] | None:
    """What draws pieces in the first of their ways below which the card fits, with it; None where there is none."""
    found = (_on_one_page(sheet, page, card, setting, spots, area) for spots in ways)
    return next((draw_page for draw_page in found if draw_page is not None), None)


def _on_one_page(
    sheet: Sheet, page: Paper, card: Card, setting: Setting, spots: Sequence[Spot], area: Area
) -> Callable[[], Drawing] | None:
    """What draws placed pieces in an area, and the card below them as wide as the page; None where it does not fit."""
    found = _below(sheet, page, card, setting, spots, area)
    if found is None:
        return None
    top, above_mm, room = found
    body = whole(card, top.width_mm, room, [setting])
    return None if body is None else partial(_drawn_page, spots, (area[0], above_mm), top, body)


def _below(
    sheet: Sheet, page: Paper, card: Card, setting: Setting, spots: Sequence[Spot], area: Area
) -> tuple[Drawing, float, float] | None:
    """The head of a card below placed pieces, where that begins, and the height that it leaves; None if too little."""
    wide, height = sheet.page_room_mm(page, titled=False)
    top, above_mm = head(card, wide, close=setting.run_in), max(reach_mm(spots), area[1])
    room = height - above_mm - EDGE_GAP_MM - top.height_mm - HEAD_GAP_MM
    return None if too_full(card, wide, room, setting) else (top, above_mm, room)


def _drawn_page(spots: Sequence[Spot], area: Area, top: Drawing, body: Piece) -> Drawing:
    """Placed pieces in an area at the right of a page, and below them a card: its head, then what stands below that."""
    width, above_mm = area
    raised = moved(laid(spots, width).content, top.width_mm - width, above_mm - reach_mm(spots))
    card = stacked([top, body.draw()], HEAD_GAP_MM, "work-card")
    return stacked([Drawing(top.width_mm, above_mm, raised), card], EDGE_GAP_MM)


def _placed(pieces: Pieces, width: float, close: bool = False) -> tuple[list[Sequence[Spot]], list[Sequence[str]]]:
    """The ways to lay pieces in a width, first those that reach down least, and the words that stand with them.

    Where the lists of figures are set `close`, pointers may stand in any order.
    """
    strips = [drawn(strip.drawing) for strip in pieces.strips]
    rings, beside = rings_with_words(pieces.rings, pieces.unit)
    strips += rings
    both = [figure_pieces(extra, width, close=close) for extra in pieces.figures]
    figures, lists = [figure for figure, _ in both], [listed for _, listed in both]
    split = split_pointers(pieces.pointers, width)
    if close:
        split += [[block._replace(series="") for block in blocks] for blocks in split]
    ways = (packed([*chain(*order)], width) for blocks in split for order in _orders(strips, figures, lists, blocks))
    captions = [
        pointer_captions(pieces.pointers),
        said_once(pieces.strips),
        *([text] for text in beside),
        *(extra.captions for extra in pieces.figures if extra.captions),
    ]
    different = {frozenset((x, down, piece[:2]) for piece, x, down in spots): spots for spots, left in ways if not left}
    lowest_first: list[Sequence[Spot]] = sorted(different.values(), key=reach_mm)
    return lowest_first[:MOST_WAYS], captions


def _orders(
    strips: Sequence[Piece], figures: Sequence[Piece], lists: Sequence[Piece], blocks: Sequence[Piece]
) -> Sequence[Sequence[Sequence[Piece]]]:
    """The orders in which to pack pieces, such as proved to reach down least with one socket or another."""
    if not figures:
        return ((strips, blocks),)
    return (
        (strips, figures, lists, blocks),
        (strips, blocks, figures, lists),
        (strips, figures, blocks, lists),
        (strips, lists, figures, blocks),
        (figures, lists, blocks, strips),
    )


def _lowest(
    placed: Sequence[Sequence[Spot]],
    captions: Sequence[Sequence[str]],
    notes: Sequence[Note],
    width: float,
    setting: Setting,
    above: bool,
) -> list[Sequence[Spot]]:
    """Add words and, if they go `above` the card's edge, notes to placed pieces: the ways that reach down least.

    First one that puts the bands' words below the bands before the pointers' find a place.
    """
    words = [words_alone(said, width) for said in captions]
    as_one = [words_alone([" ".join(f"{said.removesuffix('.')}." for said in chain(*captions))], width)]
    wide = [[shape for shape in shapes if shape.width_mm >= WIDE_MM] for shapes in [*words[1:], words[0]]]
    noted = [[drawn(note(mm, setting, True)) for mm in NOTES_MM] for note in notes] if above else []
    below = lowest(placed, width, [*wide, *noted])[0]
    if reach_mm(below) <= reach_mm(placed[0]):
        return [below]  # as low as the lowest pieces
    others = (
        lowest(placed, width, [*loose, *noted])[0] for loose in (words, [shapes[::-1] for shapes in words], as_one)
    )
    least = min((below, *others), key=reach_mm)
    return [below] if least is below else [below, least]
