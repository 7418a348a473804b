"""What goes into a bag beside its pieces: the label, with a code for scanners, and a card that says how to use them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import groupby
from typing import NamedTuple

from ...drawing.emphasis import left_hand, left_hand_size_mm, underlined
from ...drawing.fonts import BODY_PT, NOTE_PT, SEMIBOLD, line_pitch_mm, text_width_mm, wrap
from ...drawing.primitives import Drawing, Group, Line, Polyline, Primitive, Text, moved
from ...errors import LayoutError
from ...sheets.blocks import LEFT_CELL, cell_line, listed

WIDTHS_MM = (40.0, 46.0, 52.0, 60.0, 70.0, 82.0)
"""Widths of a label: the one that takes least paper is chosen."""

EDGE_MM, FLAT_MM, FLAT_LEFT_PT = 1.0, 12.0, 6.0
"""Of a low label: space at its edges, its least height, and the size of LEFT-HAND."""

SIDE_MM = 2.0

ID_SIZES_PT = (18.0, 14.0, 11.0, 9.0, 7.0, 6.0)

ID_LINES = 2

MOST_LINES = 24
"""Most lines of words on a label: more are left out, as they stand in the index."""

HANG_MM = 2.0
"""How far the further lines of a text are indented."""

LEFT_PT = 10.0
"""Size of LEFT-HAND on a label."""

MODULE_MM, QUIET = 0.45, 4
"""Side of a module of the code, which a hand-held scanner and 300 dpi resolve (our choice); modules kept free round it
(ISO/IEC 18004)."""

CARD_MM = 92.0

_Line = tuple[float, str]  # how far it is indented, and its text


class Label(NamedTuple):
    """A bag's label: `id` large and, if it has a `code`, as one; words below it, each text on lines of its own.

    It says LEFT-HAND where all of it is `left`, else behind each text that ends with `LEFT_CELL`.

    With `steps` it is a card instead.
    """

    id: str
    words: tuple[str, ...]
    left: bool = False
    code: bool = True
    steps: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """What it is called: "S19 (tag)"."""
        return f"{self.id} ({'card' if self.steps else 'tag'})"


@lru_cache(maxsize=256)
def draw_label(label: Label, widest_mm: float = math.inf, highest_mm: float = math.inf) -> Drawing:
    """Return a label, no larger than it needs, or a card. On low stock its words stand beside its id.

    Raises LayoutError when it is too large for the stock.
    """
    if label.steps:
        return _card(label)
    ways = [_label(label, width) for width in WIDTHS_MM]
    ways += [_flat(label, highest_mm)] if highest_mm < math.inf else []
    fits = [way for way in ways if _holds(way, widest_mm, highest_mm)]
    if not fits:
        raise LayoutError(
            f"the label of {label.id} does not fit on the stock", f"more than {widest_mm:g} × {highest_mm:g} mm",
            "leave out {@tags}, or choose a larger {@paper}", field="tags",
        )  # fmt: skip
    return min(fits, key=lambda drawing: drawing.width_mm * drawing.height_mm)


def _holds(drawing: Drawing, widest: float, highest: float) -> bool:
    return drawing.width_mm <= widest + 1e-6 and drawing.height_mm <= highest + 1e-6


def _flat(label: Label, highest: float) -> Drawing:
    """A label as high as its stock, up to that of a code: id, words and code beside each other."""
    code = list(_code(label.id)) if label.code else []
    side = max((x for shape in code for x, _ in shape.points), default=0.0)
    quiet = QUIET * MODULE_MM
    height = min(highest, max(side + 2 * quiet, FLAT_MM))
    code = code if side + 2 * quiet <= height else []
    left_mm = left_hand_size_mm(FLAT_LEFT_PT)[1] + 0.6 if label.left else 0.0
    size = next((pt for pt in ID_SIZES_PT if pt * 0.42 + left_mm <= height - 2 * EDGE_MM), ID_SIZES_PT[-1])
    items: list[Primitive] = [*underlined(Text(EDGE_MM, height - EDGE_MM - size * 0.33, label.id, size, SEMIBOLD))]
    if label.left:
        items += left_hand(EDGE_MM, EDGE_MM, FLAT_LEFT_PT)
    x = EDGE_MM + max(text_width_mm(label.id, size, SEMIBOLD), left_hand_size_mm(FLAT_LEFT_PT)[0] * label.left) + 2.0
    pitch = line_pitch_mm(NOTE_PT)
    for k, column in enumerate(_columns(label.words, int((height - 2 * EDGE_MM) / pitch))):
        if k:  # lines beside each other are not to be read as one
            items.append(Line(x - EDGE_MM, EDGE_MM, x - EDGE_MM, height - EDGE_MM, "rule"))
        for number, (indent, line) in enumerate(column, 1):
            items += cell_line(x + indent, height - EDGE_MM - pitch * (number - 0.28), line, NOTE_PT)
        x += _wide(column, NOTE_PT) + 2 * EDGE_MM
    x -= EDGE_MM
    if code:
        items += [moved(shape, x + quiet, (height - side) / 2) for shape in code]
        x += side + 2 * quiet
    return Drawing(x, height, Group("tag", (_outline(x, height), *items), (("id", label.id),)))


def _label(label: Label, width: float) -> Drawing:
    code = list(_code(label.id)) if label.code else []
    side = max((x for shape in code for x, _ in shape.points), default=0.0)
    quiet = QUIET * MODULE_MM
    room = width - 2 * SIDE_MM - (side + quiet if code else 0.0)
    size, shown = _sized(label.id, room)
    pitch = line_pitch_mm(BODY_PT)
    words = _words(label.words, width - 2 * SIDE_MM)
    left_mm = left_hand_size_mm(LEFT_PT)[1] + 0.6 if label.left else 0.0
    head = max(len(shown) * size * 0.42 + left_mm, side + 2 * quiet - SIDE_MM if code else 0.0)
    height = SIDE_MM + head + 1.0 + pitch * len(words) + SIDE_MM
    rule = height - SIDE_MM - head - 0.5
    items: list[Primitive] = [_outline(width, height)]
    for number, line in enumerate(shown, 1):
        y = height - SIDE_MM - number * size * 0.42 + size * 0.09
        items += underlined(Text(SIDE_MM, y, line, size, SEMIBOLD))
    if label.left:
        items += left_hand(SIDE_MM, rule + 0.6, LEFT_PT)
    items += [moved(shape, width - quiet - side, height - quiet - side) for shape in code]
    items.append(Line(SIDE_MM, rule, width - SIDE_MM, rule, "rule"))
    for number, (indent, text) in enumerate(words, 1):
        items += cell_line(SIDE_MM + indent, rule - 0.5 - pitch * (number - 0.28), text, BODY_PT)
    return Drawing(width, height, Group("tag", tuple(items), (("id", label.id),)))


def _sized(text: str, room: float) -> tuple[float, list[str]]:
    """The largest size at which an id takes at most two lines and breaks no word, and its lines."""
    for size in ID_SIZES_PT:
        lines = wrap(text, room, size, SEMIBOLD)
        if len(lines) <= ID_LINES and " ".join(lines) == " ".join(text.split()):
            return size, lines
    return size, lines


def _words(texts: Sequence[str], room: float) -> list[_Line]:
    """The words line by line, with "…" where some are left out."""
    every = [line for text in texts for line in _lines(text, room, BODY_PT)]
    if len(every) > MOST_LINES:
        indent, line = every[MOST_LINES - 1]
        last = wrap(line.removesuffix(LEFT_CELL), room - indent - text_width_mm(" …", BODY_PT), BODY_PT)[0]
        return [*every[: MOST_LINES - 1], (indent, f"{last} …")]
    return every


def _lines(text: str, room: float, size_pt: float) -> list[_Line]:
    """A text's lines, the further ones indented."""
    lines = wrap(text, room, size_pt)
    if len(lines) > 1:
        lines = wrap(text, room - HANG_MM, size_pt)
    return [(HANG_MM * bool(number), line) for number, line in enumerate(lines)]


def _columns(texts: Sequence[str], most: int) -> list[list[_Line]]:
    """Texts on columns of at most so many lines, none of them on two, that are the narrowest in all."""
    found = []
    for room in range(20, 400, 5):
        columns: list[list[_Line]] = [[]]
        for lines in (_lines(text, room, NOTE_PT) for text in texts):
            if len(columns[-1]) + len(lines) > most and columns[-1]:
                columns.append([])
            columns[-1] += lines
        if max(map(len, columns)) <= most:
            found.append(columns)
            if not any(indent for column in columns for indent, _ in column):
                break  # wider ones are the same
    return min(found, key=lambda columns: math.fsum(_wide(column, NOTE_PT) + 2 * EDGE_MM for column in columns))


def _wide(lines: Sequence[_Line], size_pt: float) -> float:
    return max((indent + text_width_mm(line, size_pt) for indent, line in lines), default=0.0)


def _outline(width: float, height: float) -> Polyline:
    return Polyline(((0.0, 0.0), (width, 0.0), (width, height), (0.0, height)), "cut", True)


def _code(text: str) -> Iterator[Polyline]:
    """A QR code (ISO/IEC 18004) from (0, 0) up, without the space round it: a filled bar for each run of modules."""
    import segno  # only labels need it

    rows = segno.make_qr(text, error="m").matrix
    for up, row in enumerate(reversed(rows)):
        at = 0
        for dark, run in groupby(row):
            begin, at = at, at + len(list(run))
            if dark:
                left, right = begin * MODULE_MM, at * MODULE_MM
                low, high = up * MODULE_MM, (up + 1) * MODULE_MM
                yield Polyline(((left, low), (right, low), (right, high), (left, high)), "code", True, 0.0)


def _card(label: Label) -> Drawing:
    room = CARD_MM - 2 * SIDE_MM
    steps = listed(f"{label.id} · {label.words[0]}" if label.words else label.id, label.steps, room, True, NOTE_PT)
    content = moved(steps.content, SIDE_MM, SIDE_MM)
    top = steps.height_mm + SIDE_MM
    height = top + (left_hand_size_mm(LEFT_PT)[1] + 0.6 if label.left else 0.0) + SIDE_MM
    hand = left_hand(SIDE_MM, top + 0.6, LEFT_PT) if label.left else ()
    return Drawing(CARD_MM, height, Group("card", (_outline(CARD_MM, height), content, *hand), (("id", label.id),)))
