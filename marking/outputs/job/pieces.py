"""What is cut out of a job's pages: bands, part rings, pointers, as pieces to be packed."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache, partial
from itertools import chain, product
from typing import NamedTuple

from ...drawing.fonts import BODY_PT, NOTE_PT
from ...drawing.primitives import Drawing, Group, moved
from ...quantities.shown import shown_length
from ...readouts import Joined
from ...readouts.band.figure import Band, draw_band
from ...readouts.part_ring.figure import draw_ring
from ...readouts.part_ring.layout import RingLayout
from ...readouts.trim_band.figure import draw_trim_band
from ...readouts.witness_pointer import POINTER_HEIGHT_MM, POINTER_WIDTH_MM, Pointer, draw_pointer
from ...sheets.blocks import captioned, entries, in_circle, level, noted, paragraph, stacked
from ...sheets.pieces import PIECE_GAP_MM, Piece, drawn
from .band_plan import JobPlan
from .trim_plan import TrimJobPlan
from .words import band_caption, pointer_captions, ring_caption, trim_caption

CAPTION_MM = 90.0
"""Least width of the words below a band."""

TOGETHER_MM = 80.0
"""Highest block of a band's copies with one caption; of more, each has its own (our choice)."""

BESIDE_MM, BELOW_MM = 45.0, 55.0
"""Width of the words beside a ring, least width of those below it."""

MOST_COLUMNS, MOST_ROWS = 20, 3
"""Widest block of pointers, and rows of one where they are too many for a single block."""

COPY_GAP_MM = 1.5
"""Space between the copies of a band (our choice: one cut of the scissors goes between them)."""

HOLE_MM = 1.5
"""Least space between a ring's bore and the words in its hole (our choice)."""

NOTHING = Drawing(0.0, 0.0, Group("pointers", ()))

ONE_BLOCK, MOST_SPLIT_ROWS, POINTER_GAP_MM = 24, 4, 0.3
"""Most pointers in a single block, most rows of one beside other pieces, and the space between them."""

LEAST_LIST_MM = 70.0
"""Least width of the list of an extra beside its figure (our choice)."""

LIST, CLOSE_LIST = (BODY_PT, 1.15, 0.4), (7.5, 1.1, 0.2)
"""Type, line pitch over type and space above a step of the list of an extra, and of one that is set close (our choice).
"""

LEAST_WORDS_MM = 40.0
"""Least width of the words below pointers: below a single one they would stand a word a line (our choice)."""

WORDS_MM = (140.0, 108.0, 80.0, 66.0, 55.0, 40.0, 28.0)
"""Widths in which words of a piece are tried where they stand alone, besides the page's."""


class Strip(NamedTuple):
    """What is cut out of a band's tape, the words below it, and what finds no room on it."""

    drawing: Drawing
    captions: Sequence[str]
    below: Sequence[str] = ()

    def captioned(self, width: float) -> Piece:
        """The strip with its words below it."""
        return drawn(captioned(self.drawing, said_once([self]), min(CAPTION_MM, width)))


def band_strips(plan: JobPlan, copies: int, width: float) -> list[Strip]:
    """Return the copies of every band, those of one piece together, side by side as far as `width` holds them."""
    found = []
    for band, cuts in zip(plan.bands, plan.cuts, strict=True):
        strip = draw_band(band, cuts)
        for number, piece in enumerate(strip.pieces, 1):
            found += _copies(plan, copies, strip, piece, number, width)
    return found


def _copies(plan: JobPlan, of: int, strip: Band, piece: Drawing, number: int, width: float) -> list[Strip]:
    job = plan.job
    size = (job.length.text, job.socket.od_text, shown_length(job.stock_mm, "mm"))

    def captions(copies: range) -> list[str]:
        return [band_caption(copies, of, (number, len(strip.pieces)), size)]

    below = strip.below if number == 1 else ()
    across = max(1, int((width + PIECE_GAP_MM) / (piece.width_mm + PIECE_GAP_MM)))
    rows = -(-of // across)
    if rows * (piece.height_mm + PIECE_GAP_MM) <= TOGETHER_MM:
        block = _grid([piece] * of, across, COPY_GAP_MM)
        return [Strip(block, captions(range(1, of + 1)), below)]
    each = (range(copy, copy + 1) for copy in range(1, of + 1))
    return [Strip(piece, captions(copy), below) for copy in each]


def trim_strips(trim: TrimJobPlan) -> list[Strip]:
    """Return the copies of every trim band."""
    found = []
    for part in trim.parts:
        stock = shown_length(part.plan.job.stock_mm, "mm")
        for band in part.bands:
            drawing, below = draw_trim_band(band)
            others = [text for text in below if text != band.socket_line]
            found += [Strip(drawing, [trim_caption(band.socket_line, stock)], others)] * (trim.job.copies or 1)
    return found


def ring_pieces(ring: RingLayout, unit: str, width: float) -> list[Piece]:
    """Return a part ring with its words below it, and beside it where `width` has room for that."""
    drawing, words = draw_ring(ring), [ring_caption([ring], unit)]
    ways = [captioned(drawing, words, min(BELOW_MM, width))]
    if drawing.width_mm + PIECE_GAP_MM + BESIDE_MM <= width:
        text = stacked([paragraph(entry, BESIDE_MM, NOTE_PT) for entry in words], 1.0)
        left = drawing.width_mm + PIECE_GAP_MM
        ways.append(level([drawing, text], (0.0, left), left + BESIDE_MM, "captioned"))
    return [drawn(way) for way in ways]


def said_once(strips: Sequence[Strip]) -> list[str]:
    """Return the words below all strips, together as only the first ones name a band, and those alike once."""
    captions, below = (dict.fromkeys(chain(*said)) for said in zip(*(strip[1:] for strip in strips), strict=True))
    return [*captions, *([" · ".join(below)] if below else [])]


def rings_with_words(rings: Sequence[RingLayout], unit: str) -> tuple[list[Piece], list[str]]:
    """Return part rings, each with its words in the hole where they find room there, and the words that find none.

    Those are said once of rings that differ in their stages alone.
    """
    lettered = [_with_words_inside(ring, unit) for ring in rings]
    alike: dict[tuple[Sequence[float], bool], list[RingLayout]] = {}
    for ring, (_, inside) in zip(rings, lettered, strict=True):
        if not inside:
            alike.setdefault((ring.bores, ring.closed), []).append(ring)
    return [piece for piece, _ in lettered], [ring_caption(many, unit, len(many) > 1) for many in alike.values()]


@lru_cache(maxsize=16)  # laid in one width and another
def _with_words_inside(ring: RingLayout, unit: str) -> tuple[Piece, bool]:
    """Return a part ring with its words in its hole, briefer ones if need be; tell whether they find room there."""
    drawing, radius = draw_ring(ring), ring.innermost - HOLE_MM
    words = (ring_caption([ring], unit, brief) for brief in (False, True)) if ring.closed else ()
    found = (in_circle(text, radius, NOTE_PT) for text in words)
    inside = next((text for text in found if text is not None), None)
    if inside is None:
        return drawn(drawing), False
    x, y = -ring.box[0] - inside.width_mm / 2, -ring.box[1] - inside.height_mm / 2
    content = Group("captioned", (drawing.content, moved(inside.content, x, y)))
    return drawn(drawing._replace(content=content)), True


def words_alone(captions: Sequence[str], width: float) -> list[Piece]:
    """Return what stands below a piece as pieces of their own, from one as wide as the page to narrow ones."""
    widths = [width, *(mm for mm in WORDS_MM if mm < width)]
    return [drawn(stacked([paragraph(text, mm, NOTE_PT) for text in captions], 1.0)) for mm in widths]


def figure_pieces(
    extra: Joined, width: float, captions: Sequence[str] = (), close: bool = False
) -> tuple[Piece, Piece]:
    """Return the figure of an extra with captions, and its list, as wide as what is left beside it or as the page.

    Without captions the figure's corners are free. The list may be set `close`.
    """
    figure = drawn(captioned(extra.figure, captions, min(BELOW_MM, width)))
    if not captions:
        high = figure.height_mm
        figure = figure._replace(
            parts=[(one.left, one.right, high - one.top, high - one.bottom) for one in extra.taken]
        )
    rest = width - figure.width_mm - PIECE_GAP_MM
    wide = rest if rest >= LEAST_LIST_MM else width
    size_pt, leading, gap_mm = CLOSE_LIST if close else LIST
    steps = entries(extra.steps, wide, size_pt, leading)
    note = [paragraph(extra.note, wide, NOTE_PT)] if extra.note else []
    return figure, drawn(stacked([noted(extra.heading, (), wide, size_pt), *steps, *note], gap_mm))


def pointer_ways(wanted: Sequence[Pointer], width: float, height: float) -> list[list[Piece]]:
    """Return the ways to lay pointers: in blocks of more and more columns, those of one way equally wide.

    Before them, of many, those with a smaller block before wide ones. No block is higher than `height`, but one of a
    single row. The first bears the words.
    """
    parted, ways = [], []
    captions = pointer_captions(wanted)
    most = _columns_in(width, len(wanted))
    for columns in range(min(3, most), most + 1):
        words_mm = captioned(NOTHING, captions, max(LEAST_WORDS_MM, _across_mm(columns))).height_mm
        rows = max(1, int((height - words_mm) / (POINTER_HEIGHT_MM + POINTER_GAP_MM)))
        for down in [rows] if len(wanted) <= ONE_BLOCK else range(1, min(rows, MOST_ROWS) + 1):
            size = columns * down
            first = _pointer_block(wanted[:size], columns, captions)
            ways.append([first, *_blocks_of(wanted[size:], columns, down)])
            if len(wanted) > ONE_BLOCK:
                parted.append([first, *_blocks_of(wanted[size:], most, min(rows, MOST_ROWS))])
    return parted + ways


def _blocks_of(pointers: Sequence[Pointer], columns: int, rows: int) -> list[Piece]:
    """Pointers in blocks without words."""
    size = columns * rows
    blocks = (pointers[begin : begin + size] for begin in range(0, len(pointers), size))
    return [_pointer_block(block, columns, ()) for block in blocks]


def split_pointers(wanted: Sequence[Pointer], width: float) -> list[list[Piece]]:
    """Return the ways to lay pointers without words: in a block, then one of a few rows and the rest in one or two."""
    most = _columns_in(width, len(wanted))
    whole, parted = [], []
    for columns, rows in product(range(most, 0, -1), range(1, MOST_SPLIT_ROWS + 1)):
        first, rest = wanted[: columns * rows], wanted[columns * rows :]
        if not rest and len(first) <= columns * (rows - 1):
            continue  # as with a row less
        begun = _pointer_block(first, columns, ())
        if not rest:
            whole.append([begun])
            continue
        for across in dict.fromkeys(min(most, -(-len(rest) // down)) for down in (1, 2)):
            parted.append([begun, *_blocks_of(rest, across, len(rest))])
    return whole + parted


def _columns_in(width: float, count: int) -> int:
    """How many pointers of so many stand side by side."""
    return min(count, MOST_COLUMNS, int((width + POINTER_GAP_MM) / (POINTER_WIDTH_MM + POINTER_GAP_MM)))


def _across_mm(columns: int) -> float:
    return (POINTER_WIDTH_MM + POINTER_GAP_MM) * columns - POINTER_GAP_MM


def _pointer_block(block: Sequence[Pointer], columns: int, captions: Sequence[str]) -> Piece:
    """Pointers in rows, and the words below them."""
    width = max(LEAST_WORDS_MM if captions else 0.0, _across_mm(min(columns, len(block))))
    rows = -(-len(block) // columns)
    words = captioned(NOTHING, captions, width).height_mm
    height = (POINTER_HEIGHT_MM + POINTER_GAP_MM) * rows - POINTER_GAP_MM + words
    return Piece(width, height, partial(_draw_block, block, columns, captions, width), series="pointers")


def _draw_block(block: Sequence[Pointer], columns: int, captions: Sequence[str], width: float) -> Drawing:
    grid = _grid([draw_pointer(pointer) for pointer in block], columns, POINTER_GAP_MM, "pointers")
    return captioned(grid, captions, width)


def _grid(drawings: Sequence[Drawing], columns: int, gap_mm: float, name: str = "copies") -> Drawing:
    """Equal drawings in rows of `columns`."""
    rows = -(-len(drawings) // columns)
    across, down = drawings[0].width_mm + gap_mm, drawings[0].height_mm + gap_mm
    parts = [
        moved(drawing.content, across * (place % columns), down * (rows - 1 - place // columns))
        for place, drawing in enumerate(drawings)
    ]
    return Drawing(across * min(columns, len(drawings)) - gap_mm, down * rows - gap_mm, Group(name, tuple(parts)))
