"""Packs rectangular pieces on pages in rows, so that little stock is wasted and a person finds each piece again.

A page is filled row by row from the top; a row is made of columns, in which pieces stand below one another. A piece may
be turned by a quarter: pieces that lie upright in one column may stand turned in columns side by side instead. What
makes a row is a subset sum over widths, kept as the bits of one integer. Pieces are drawn from a window over the groups
still to come, so that a group, once begun, is finished on the same page or the next.
"""

from __future__ import annotations

import itertools
import math
from collections import defaultdict, deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from .errors import LayoutError

STEP_MM = 0.1
"""Widths are rounded up to this where rows are composed (our choice)."""

SLACK_MM = 1e-9
"""What rounding may add to a height or width that just fits."""

TRIES = ((1.5, 1.2), (1.0, 3.0), (0.5, 20.0), (0.25, 20.0), (0.0, 20.0))
"""Tries for a page: area of the groups to choose from, in pages, and what an area that is due is worth (measured).

The last one places only what is due: that this is possible was seen before the groups were left to this page."""

ENOUGH_TRIES = 2
"""After so many sound pages the best is taken (measured)."""

FULL = 0.8
"""A sound page that is worth this share of its area is taken without a further try (measured)."""

LEFT_COST = 0.1
"""What an area costs, in tries compared, that is left to the next page by groups begun (measured)."""

MOST_CHOICE = 160
"""Pieces to choose from beside those of begun groups: keeps pages of many tiny pieces quick (our choice)."""

MOST_BEGUN = 0.4
"""A group of several is begun while this, in pages, is not exceeded by what is left of those begun on the page and by
`PART_LEFT` of its own area (measured)."""

PART_LEFT = 0.3
"""Part of a group to begin that may have to go to the next page (measured)."""

MOST_LEFT = 0.62
"""Most of the groups begun on a page, in pages, that may be left to the next (measured)."""

BEGUN_WORTH = 1.2
"""Worth of an area of groups begun on the page compared with others, so that they are finished there (measured)."""

WAIT_WORTH, MOST_WAIT_WORTH = 0.1, 3.0
"""What an area gains in worth with every page that could have held it, up to a limit: nothing may wait for ever, and
batches of one group follow each other closely (measured)."""

SIBLING_WAIT = 2
"""Pages more for which a batch counts as waiting when others of its group are placed already (measured)."""

TURNED_WORTH = 0.98
"""Worth of an area that is turned compared with an upright one: words are read upright more easily (our choice)."""

LARGEST_BATCH = 0.5
"""A group larger than this many pages is placed in several batches (our choice)."""

FILLS = (0.9, 0.7)
"""A row is tried with only those columns that fill this share of its height (measured).

More than none, as the highest piece in reach always fills a column of its own height."""

MOST_HEIGHTS = 3
"""Row heights tried among those of upright pieces, and as many among those of turned ones (measured)."""


class Piece(NamedTuple):
    """A rectangle to place, upright as it is; pieces of one `group` belong to one socket."""

    key: int
    width_mm: float
    height_mm: float
    group: str


class Spot(NamedTuple):
    """Where a piece lies: page from 0, lower left corner in mm from that of the area, place such as "A3".

    The letter is the row from the top; the number counts from the left, downwards where pieces are stacked in a row.
    The corner is that of the box as it lies: one `turned` by a quarter is as wide as the piece is high.
    """

    key: int
    page: int
    x: float
    y: float
    place: str
    turned: bool = False


class Packing(NamedTuple):
    """All pieces in the order of pages and places.

    `area_use` is the pieces' share of the area used: full pages, and the last one down to its lowest piece.
    """

    spots: tuple[Spot, ...]
    pages: int
    area_use: float


class _Lying(NamedTuple):
    """A piece in one of its two ways to lie: sizes on the page; `steps` is its width with the gap beside it."""

    number: int
    width_mm: float
    height_mm: float
    steps: int
    turned: bool


class _Item(NamedTuple):
    """A piece while it is placed: its number in the input, the ways to lie that fit on the page and the lower height of
    them, its area in mm², and the number of the batch it goes with."""

    number: int
    upright: _Lying | None
    turned: _Lying | None
    least_mm: float
    mm2: float
    batch: int


class _Column(NamedTuple):
    """Pieces below one another in a row; `steps` is its width with the gap beside it."""

    steps: int
    width_mm: float
    height_mm: float
    mm2: float
    pieces: tuple[_Lying, ...]


class _Choice(NamedTuple):
    """Columns to be taken together: their steps, the area of their pieces, and that of the part of a row they take."""

    steps: int
    mm2: float
    taken_mm2: float
    columns: tuple[_Column, ...]


class _Row(NamedTuple):
    """Columns side by side; `height_mm` is that of the highest one."""

    height_mm: float
    columns: tuple[_Column, ...]

    @property
    def pieces(self) -> Iterator[_Lying]:
        return (piece for column in self.columns for piece in column.pieces)


class _Area(NamedTuple):
    """What every page offers."""

    width_mm: float
    height_mm: float
    gap_mm: float

    @property
    def mm2(self) -> float:
        return self.width_mm * self.height_mm

    @property
    def steps(self) -> int:
        return math.floor((self.width_mm + self.gap_mm) / STEP_MM + 1e-6)

    def lying(self, number: int, width_mm: float, height_mm: float, turned: bool) -> _Lying | None:
        """A piece as it lies on a page, None where it does not fit or has no size."""
        if not (0 < width_mm <= self.width_mm + SLACK_MM and 0 < height_mm <= self.height_mm + SLACK_MM):
            return None
        steps = min(self.steps, math.ceil((width_mm + self.gap_mm) / STEP_MM - 1e-6))
        return _Lying(number, width_mm, height_mm, steps, turned)


def pack(pieces: Sequence[Piece], width_mm: float, height_mm: float, gap_mm: float = 3.0) -> Packing:
    """Return where each piece lies on pages with an area of `width_mm` × `height_mm`, `gap_mm` between pieces.

    Pieces are turned by a quarter where that saves stock. The same input gives the same packing; the run time grows as
    the number of pieces. A group lies on one page or on two that follow each other; one that is larger than half a page
    is spread in parts of which each does. Three squares of 59 mm make one row of an area 183 mm wide:
    3 · 59 + 2 · 3 = 183.
    Raises LayoutError for a piece that is larger than the area both upright and turned, or has no size.
    """
    area = _Area(width_mm, height_mm, gap_mm)
    coming, due = deque(_batches(pieces, area)), list[_Item]()
    waited: dict[int, int] = defaultdict(int)
    spots: list[Spot] = []
    begun: set[str] = set()
    page, depth = 0, 0.0
    while coming or due:
        rows, due = _next_page(due, coming, waited, area)
        for piece, x, y, place in _placed(rows, area):
            spots.append(Spot(pieces[piece.number].key, page, x, y, place, piece.turned))
            begun.add(pieces[piece.number].group)
        for batch in coming:
            if batch[0].batch not in waited:
                break
            waited[batch[0].batch] += SIBLING_WAIT * (pieces[batch[0].number].group in begun)
        depth = math.fsum(row.height_mm + gap_mm for row in rows) - gap_mm
        page += 1
    used = math.fsum(piece.width_mm * piece.height_mm for piece in pieces)
    whole = (page - 1) * area.mm2 + depth * width_mm
    return Packing(tuple(spots), page, used / whole if page else 0.0)


def _batches(pieces: Sequence[Piece], area: _Area) -> list[list[_Item]]:
    """Return the pieces by group, in the order in which the groups first appear; large groups in several batches."""
    groups: dict[str, list[int]] = defaultdict(list)
    for number, piece in enumerate(pieces):
        groups[piece.group].append(number)
    batches: list[list[_Item]] = []
    for numbers in groups.values():
        room = 0.0
        for number in numbers:
            _, width, height, _ = pieces[number]
            room -= (width + area.gap_mm) * (height + area.gap_mm)
            if room < 0 or number == numbers[0]:
                batches.append([])
                room = LARGEST_BATCH * area.mm2
            batches[-1].append(_item(number, pieces[number], len(batches), area))
    return batches


def _item(number: int, piece: Piece, batch: int, area: _Area) -> _Item:
    width, height = piece.width_mm, piece.height_mm
    upright = area.lying(number, width, height, False)
    turned = area.lying(number, height, width, True) if width != height else None
    if upright is None and turned is None:
        raise LayoutError(
            f"a part of {width:.4g} × {height:.4g} mm does not fit on the page",
            f"at most {area.width_mm:.4g} × {area.height_mm:.4g} mm", "choose a larger --paper", piece,
        )  # fmt: skip
    least = min(way.height_mm for way in (upright, turned) if way)
    return _Item(number, upright, turned, least, width * height, batch)


def _mm2(items: Iterable[_Item]) -> float:
    return math.fsum([item.mm2 for item in items])


def _next_page(
    due: list[_Item], coming: deque[list[_Item]], waited: dict[int, int], area: _Area
) -> tuple[list[_Row], list[_Item]]:
    """Return the rows of one page and what is left of the batches begun on it; takes these out of `coming`.

    `waited` counts for every batch the pages on which it could have been begun and was not.
    """
    sound: list[_Page] = []
    for choice in TRIES:
        page = _Page(due, coming, waited, choice, area)
        page.fill()
        if page.sound:
            sound.append(page)
            if len(sound) == ENOUGH_TRIES or page.merit >= FULL * area.mm2:
                break
    best = max(sound, key=lambda page: page.merit, default=page)
    for _ in range(best.seen):
        coming.popleft()
    coming.extendleft(reversed(best.fresh.values()))
    for batch in best.fresh:
        waited[batch] += 1
    return best.rows, best.due + best.begun


class _Page:
    """A page being filled: with what is `due` on it, what was `begun` on it, and `fresh` batches of the window."""

    def __init__(
        self,
        due: Sequence[_Item],
        coming: Iterable[list[_Item]],
        waited: Mapping[int, int],
        choice: tuple[float, float],
        area: _Area,
    ) -> None:
        self.due, self.begun = list(due), list[_Item]()
        self.fresh: dict[int, list[_Item]] = {}
        self.seen = 0
        self.rows: list[_Row] = []
        self._coming, self._waited, self._area = iter(coming), waited, area
        self._window_mm2, self._due_worth = choice[0] * area.mm2, choice[1]
        self._room_mm = area.height_mm

    @property
    def sound(self) -> bool:
        """Whether all that was due lies on the page, and all that is left of begun groups finds room on the next."""
        if self.due or _mm2(self.begun) > MOST_LEFT * self._area.mm2:
            return False
        following = _Page(self.begun, (), {}, TRIES[-1], self._area)
        following.fill()
        return not following.due

    @property
    def merit(self) -> float:
        """Area that the page holds, less what its begun groups leave to the next."""
        return math.fsum(column.mm2 for row in self.rows for column in row.columns) - LEFT_COST * _mm2(self.begun)

    def fill(self) -> None:
        """Add rows until nothing in reach fits below them."""
        while True:
            self._look_ahead()
            fresh = [item for batch in self.fresh.values() if self._may_begin(batch) for item in batch]
            worth = {item.number: item.mm2 * self._fresh_worth(item.batch) for item in fresh}
            worth |= {item.number: item.mm2 * BEGUN_WORTH for item in self.begun}
            worth |= {item.number: item.mm2 * self._due_worth for item in self.due}
            row = _best_row(self.due, self.begun + fresh, worth, self._room_mm, self._area)
            if row is None:
                return
            self.rows.append(row)
            self._room_mm -= row.height_mm + self._area.gap_mm
            placed = {piece.number for piece in row.pieces}
            for batch in {item.batch: None for item in fresh if item.number in placed}:
                self.begun += self.fresh.pop(batch)
            self.due = [item for item in self.due if item.number not in placed]
            self.begun = [item for item in self.begun if item.number not in placed]

    def _fresh_worth(self, batch: int) -> float:
        return min(MOST_WAIT_WORTH, 1.0 + WAIT_WORTH * self._waited.get(batch, 0))

    def _may_begin(self, batch: Sequence[_Item]) -> bool:
        """Whether what is left of begun groups stays small enough with this one; a group of one leaves nothing."""
        if len(batch) == 1 or not self.begun:
            return True
        return _mm2(self.begun) + PART_LEFT * _mm2(batch) <= MOST_BEGUN * self._area.mm2

    def _look_ahead(self) -> None:
        """Widen the choice to the window, or to one batch for a page that would be empty."""
        in_reach = math.fsum(map(_mm2, self.fresh.values()))
        count = sum(map(len, self.fresh.values()))
        while (in_reach < self._window_mm2 and count < MOST_CHOICE) or not (
            self.due or self.begun or self.fresh or self.rows
        ):
            batch = next(self._coming, None)
            if batch is None:
                return
            self.fresh[batch[0].batch] = batch
            in_reach += _mm2(batch)
            count += len(batch)
            self.seen += 1


def _best_row(
    due: Sequence[_Item], others: Sequence[_Item], worth: Mapping[int, float], room_mm: float, area: _Area
) -> _Row | None:
    """Return the row worth most for the strip of the page that it takes, or None when nothing fits into `room_mm`.

    As long as something is due the row holds that piece of it that needs the highest row.
    """
    due = [item for item in due if item.least_mm <= room_mm + SLACK_MM]
    first = max(due, key=lambda item: item.least_mm, default=None)
    items = [first] if first else []
    items += sorted((item for item in due if item is not first), key=_widest_first)
    items += sorted((item for item in others if item.least_mm <= room_mm + SLACK_MM), key=_widest_first)
    least = min((item.least_mm for item in items), default=0.0)
    best, best_use = None, 0.0
    for height in _heights(items, first.least_mm if first else 0.0, room_mm):
        for row in _rows(items, height, first is not None, area):
            left = room_mm - row.height_mm - area.gap_mm
            cost = (row.height_mm if left >= least else room_mm) + area.gap_mm
            use = math.fsum([worth[p.number] * (TURNED_WORTH if p.turned else 1.0) for p in row.pieces]) / cost
            if use > best_use * (1 + 1e-9) or best is None:
                best, best_use = row, use
    return best


def _widest_first(item: _Item) -> float:
    return -item.upright.width_mm if item.upright else -math.inf


def _heights(items: Sequence[_Item], least_mm: float, room_mm: float) -> list[float]:
    """Return row heights to try, from `least_mm`: of upright pieces, of turned ones, and all that is left."""
    ways = [[item.upright for item in items], [item.turned for item in items]]
    found = [{way.height_mm for way in kind if way and least_mm <= way.height_mm <= room_mm} for kind in ways]
    upright, turned = (_some(sorted(kind, reverse=True)) for kind in found)
    return list(dict.fromkeys([*upright, *([least_mm] if least_mm else []), *turned, *([room_mm] if items else [])]))


def _some(values: list[float]) -> list[float]:
    """Return at most `MOST_HEIGHTS` of `values`, evenly chosen, the first included."""
    step = max(1.0, len(values) / MOST_HEIGHTS)
    return [values[int(k * step)] for k in range(min(len(values), MOST_HEIGHTS))]


def _rows(items: Iterable[_Item], height_mm: float, needs_first: bool, area: _Area) -> Iterator[_Row]:
    """Yield the rows of one height for each of `FILLS`, until one leaves nothing at its side."""
    units = _units(items, height_mm, area)
    for fill in FILLS:
        again, units = itertools.tee(units)
        columns = _composed(again, fill, needs_first, area)
        if columns:
            yield _Row(max(column.height_mm for column in columns), tuple(columns))
        if sum(column.steps for column in columns) == area.steps:
            return


def _units(items: Iterable[_Item], height_mm: float, area: _Area) -> Iterator[list[_Choice]]:
    """Yield sets of items of like width that make one column if upright, each set as the choices that it offers."""
    most = height_mm + SLACK_MM
    stack: list[_Item] = []
    depth = 0.0
    for item in items:
        if item.least_mm > most:
            continue
        upright = item.upright if item.upright and item.upright.height_mm <= most else None
        if stack and (upright is None or depth + upright.height_mm > most):
            yield _choices(stack, height_mm, area)
            stack, depth = [], 0.0
        if upright is None:
            yield _choices([item], height_mm, area)
            continue
        stack.append(item)
        depth += upright.height_mm + area.gap_mm
    if stack:
        yield _choices(stack, height_mm, area)


def _choices(items: Sequence[_Item], height_mm: float, area: _Area) -> list[_Choice]:
    """Return what may be taken of `items`: all in one column, if they fit upright, or the first columns if turned."""
    most = height_mm + SLACK_MM
    upright = [item.upright for item in items if item.upright and item.upright.height_mm <= most]
    choices = [_choice([_column(upright, area)], height_mm, area)] if upright else []
    columns: list[_Column] = []
    stack: list[_Lying] = []
    depth = 0.0
    for item in items:
        if item.turned is None or item.turned.height_mm > most:
            continue
        if stack and depth + item.turned.height_mm > most:
            columns.append(_column(stack, area))
            stack, depth = [], 0.0
        stack.append(item.turned)
        depth += item.turned.height_mm + area.gap_mm
    if stack:
        columns.append(_column(stack, area))
    return choices + [_choice(columns[:k], height_mm, area) for k in range(1, len(columns) + 1)]


def _column(pieces: Sequence[_Lying], area: _Area) -> _Column:
    gap = area.gap_mm
    steps, width, height, mm2 = 0, 0.0, -gap, 0.0
    for piece in pieces:
        if piece.width_mm > width:
            steps, width = piece.steps, piece.width_mm
        height += piece.height_mm + gap
        mm2 += piece.width_mm * piece.height_mm
    return _Column(steps, width, height, mm2, tuple(pieces))


def _choice(columns: Sequence[_Column], height_mm: float, area: _Area) -> _Choice:
    steps, mm2, width = 0, 0.0, -area.gap_mm
    for column in columns:
        steps += column.steps
        mm2 += column.mm2
        width += column.width_mm + area.gap_mm
    return _Choice(steps, mm2, width * height_mm, tuple(columns))


def _composed(units: Iterable[list[_Choice]], fill: float, needs_first: bool, area: _Area) -> list[_Column]:
    """Return the columns that fill the width best, one choice a unit at most; earlier units and choices are preferred.

    Only choices that fill the share `fill` are taken, except in the first unit if it is needed. Bit n of a number in
    `sums` is set when some of the choices so far are n steps wide together.
    """
    room = area.steps
    mask = (1 << (room + 1)) - 1
    sums, offers = [1], list[list[_Choice]]()
    for unit in units:
        needed = needs_first and not offers
        offer = unit if needed else [choice for choice in unit if choice.mm2 >= fill * choice.taken_mm2]
        if offer:
            before = sums[-1]
            after = 0 if needed else before
            for choice in offer:
                after |= before << choice.steps & mask
            offers.append(offer)
            sums.append(after)
            if after >> room:
                break
    steps = sums[-1].bit_length() - 1
    chosen: list[_Column] = []
    for k in range(len(offers) - 1, -1, -1):
        before = sums[k]
        if before >> steps & 1 and not (needs_first and k == 0):
            continue
        choice = next(c for c in offers[k] if c.steps <= steps and before >> (steps - c.steps) & 1)
        chosen += choice.columns
        steps -= choice.steps
    return chosen


def _placed(rows: Iterable[_Row], area: _Area) -> Iterator[tuple[_Lying, float, float, str]]:
    """Yield every piece with x, y and place: upright columns at the left, higher ones first, hung from the top."""
    top = area.height_mm
    for k, row in enumerate(rows):
        x, count = 0.0, 0
        for column in sorted(row.columns, key=lambda column: (column.pieces[0].turned, -column.height_mm)):
            y = top
            for piece in column.pieces:
                y -= piece.height_mm
                count += 1
                yield piece, x, y, f"{_letters(k)}{count}"
                y -= area.gap_mm
            x += column.width_mm + area.gap_mm
        top -= row.height_mm + area.gap_mm


def _letters(row: int) -> str:
    """Return A to Z for rows 0 to 25, then AA, AB, …."""
    return (_letters(row // 26 - 1) if row >= 26 else "") + chr(ord("A") + row % 26)
