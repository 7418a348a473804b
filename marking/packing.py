"""Packs rectangular pieces on pages in rows, so that little stock is wasted and a person finds each piece again.

A page is filled row by row from the top. A row is as high as one of its pieces; lower pieces stand below one another in
columns. Which columns make a row is a subset sum over their widths, kept as the bits of one integer. Pieces are drawn
from a window over the groups still to come, so that a group, once begun, is finished on the same page or the next.
"""

from __future__ import annotations

import math
from collections import defaultdict, deque
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from .errors import LayoutError

STEP_MM = 0.05
"""Widths are rounded up to this where rows are composed (our choice)."""

WINDOWS = (2.0, 1.0, 0.5, 0.25, 0.0)
"""Area of the groups to choose from, in pages; the first that leaves no more than `MOST_LEFT` is taken (measured)."""

MOST_CHOICE = 160
"""Pieces to choose from beside those of begun groups: keeps pages of many tiny pieces quick (our choice)."""

MOST_BEGUN = 0.4
"""While more than this, in pages, is left of the groups begun on a page, no further group of several is (measured)."""

MOST_LEFT = 0.62
"""Most of the groups begun on a page, in pages, that may be left to the next: so much surely fits there (measured)."""

LARGEST_BATCH = 0.5
"""A group larger than this many pages is placed in several batches (our choice)."""

FILLS = (0.93, 0.78, 0.0)
"""A row is tried with only those columns that fill this share of its height (measured)."""

MOST_HEIGHTS = 6
"""Row heights tried for one row, the highest included."""


class Piece(NamedTuple):
    """A rectangle to place, upright as it is; pieces of one `group` belong to one socket."""

    key: int
    width_mm: float
    height_mm: float
    group: str


class Spot(NamedTuple):
    """Where a piece lies: page from 0, lower left corner in mm from that of the area, place such as "A3".

    The letter is the row from the top; the number counts from the left, downwards where pieces are stacked in a row.
    """

    key: int
    page: int
    x: float
    y: float
    place: str


class Packing(NamedTuple):
    """All pieces in the order of pages and places.

    `area_use` is the pieces' share of the area used: full pages, and the last one down to its lowest piece.
    """

    spots: tuple[Spot, ...]
    pages: int
    area_use: float


class _Item(NamedTuple):
    """A piece while it is placed: its number in the input, sizes in mm, and the number of the batch it goes with."""

    number: int
    width_mm: float
    height_mm: float
    mm2: float
    batch: int


class _Column(NamedTuple):
    """Items below one another in a row; `steps` is its width with the gap beside it."""

    steps: int
    mm2: float
    items: tuple[_Item, ...]


class _Row(NamedTuple):
    """Columns side by side; `height_mm` is that of the highest piece."""

    height_mm: float
    columns: tuple[_Column, ...]

    @property
    def items(self) -> Iterator[_Item]:
        return (item for column in self.columns for item in column.items)


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

    def column(self, items: Sequence[_Item]) -> _Column:
        width = max(item.width_mm for item in items)
        steps = min(self.steps, math.ceil((width + self.gap_mm) / STEP_MM - 1e-6))
        return _Column(steps, sum(item.mm2 for item in items), tuple(items))


def pack(pieces: Sequence[Piece], width_mm: float, height_mm: float, gap_mm: float = 3.0) -> Packing:
    """Return where each piece lies on pages with an area of `width_mm` × `height_mm`, `gap_mm` between pieces.

    Pieces are not turned. The same input gives the same packing; the run time grows as the number of pieces. A group
    lies on one page or on two that follow each other; one that is larger than half a page is spread in parts of which
    each does. Three squares of 59 mm make one row of an area 183 mm wide: 3 · 59 + 2 · 3 = 183.
    Raises LayoutError for a piece that is larger than the area or has no size.
    """
    area = _Area(width_mm, height_mm, gap_mm)
    coming, due = deque(_batches(pieces, area)), list[_Item]()
    spots: list[Spot] = []
    page, used, depth = 0, 0.0, 0.0
    while coming or due:
        rows, due = _next_page(due, coming, area)
        for number, x, y, place in _placed(rows, area):
            spots.append(Spot(pieces[number].key, page, x, y, place))
        used += sum(item.mm2 for row in rows for item in row.items)
        depth = sum(row.height_mm + gap_mm for row in rows) - gap_mm
        page += 1
    whole = (page - 1) * area.mm2 + depth * width_mm
    return Packing(tuple(spots), page, used / whole if page else 0.0)


def _batches(pieces: Sequence[Piece], area: _Area) -> list[list[_Item]]:
    """Return the pieces by group, in the order in which the groups first appear; large groups in several batches."""
    groups: dict[str, list[int]] = defaultdict(list)
    for number, piece in enumerate(pieces):
        _check(piece, area)
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
            batches[-1].append(_Item(number, width, height, width * height, len(batches)))
    return batches


def _check(piece: Piece, area: _Area) -> None:
    if not (0 < piece.width_mm <= area.width_mm + 1e-6 and 0 < piece.height_mm <= area.height_mm + 1e-6):
        raise LayoutError(
            f"a part of {piece.width_mm:.4g} × {piece.height_mm:.4g} mm does not fit on the page",
            f"at most {area.width_mm:.4g} × {area.height_mm:.4g} mm", "choose a larger --paper", piece,
        )  # fmt: skip


def _next_page(due: list[_Item], coming: deque[list[_Item]], area: _Area) -> tuple[list[_Row], list[_Item]]:
    """Return the rows of one page and what is left of the batches begun on it; takes these out of `coming`."""
    for window in WINDOWS:
        page = _Page(due, coming, window * area.mm2, area)
        page.fill()
        if not page.due and sum(item.mm2 for item in page.begun) <= MOST_LEFT * area.mm2:
            break
    for _ in range(page.seen):
        coming.popleft()
    coming.extendleft(reversed(page.fresh.values()))
    return page.rows, page.due + page.begun


class _Page:
    """A page being filled: with what is `due` on it, what was `begun` on it, and `fresh` batches of the window."""

    def __init__(self, due: Sequence[_Item], coming: Iterable[list[_Item]], window_mm2: float, area: _Area) -> None:
        self.due, self.begun = list(due), list[_Item]()
        self.fresh: dict[int, list[_Item]] = {}
        self.seen = 0
        self.rows: list[_Row] = []
        self._coming, self._window_mm2, self._area = iter(coming), window_mm2, area
        self._room_mm = area.height_mm

    def fill(self) -> None:
        """Add rows until nothing in reach fits below them."""
        while True:
            self._look_ahead()
            full = sum(item.mm2 for item in self.begun) > MOST_BEGUN * self._area.mm2
            fresh = [item for batch in self.fresh.values() if len(batch) == 1 or not full for item in batch]
            row = _best_row(self.due, self.begun + fresh, self._room_mm, self._area)
            if row is None:
                return
            self.rows.append(row)
            self._room_mm -= row.height_mm + self._area.gap_mm
            for batch in {item.batch: None for item in row.items}:
                self.begun += self.fresh.pop(batch, [])
            placed = {item.number for item in row.items}
            self.due = [item for item in self.due if item.number not in placed]
            self.begun = [item for item in self.begun if item.number not in placed]

    def _look_ahead(self) -> None:
        """Widen the choice to the window, or to one batch where there is nothing else to place."""
        in_reach = sum(item.mm2 for batch in self.fresh.values() for item in batch)
        count = sum(map(len, self.fresh.values()))
        while (in_reach < self._window_mm2 and count < MOST_CHOICE) or not (self.due or self.begun or self.fresh):
            batch = next(self._coming, None)
            if batch is None:
                return
            self.fresh[batch[0].batch] = batch
            in_reach += sum(item.mm2 for item in batch)
            count += len(batch)
            self.seen += 1


def _best_row(due: Sequence[_Item], others: Sequence[_Item], room_mm: float, area: _Area) -> _Row | None:
    """Return the row that fills its strip of the page best, or None when nothing fits into `room_mm`.

    As long as something is due the row is made for the highest piece of that, and prefers others that are due.
    """
    due = [item for item in due if item.height_mm <= room_mm + 1e-9]
    items = [*due, *(item for item in others if item.height_mm <= room_mm + 1e-9)]
    if not items:
        return None
    first = max(due, key=lambda item: item.height_mm) if due else None
    heights = [first.height_mm] if first else _some(sorted({item.height_mm for item in items}, reverse=True))
    least = min(item.height_mm for item in items)
    best, best_use = None, -1.0
    for height in heights:
        left = room_mm - height - area.gap_mm
        cost = (height + area.gap_mm if left >= least else room_mm + area.gap_mm) * area.width_mm
        columns = _columns([item for item in items if item is not first], height, area)
        shares = [column.mm2 / (column.items[0].width_mm * height) for column in columns]
        fitting: list[_Column] = []
        for fill in FILLS:
            fewer, fitting = fitting, [c for c, share in zip(columns, shares, strict=True) if share >= fill]
            if len(fewer) == len(fitting) and best is not None:
                continue
            row = _Row(height, _composed(first, fitting, area))
            use = sum(column.mm2 for column in row.columns) / cost
            if use > best_use + 1e-9:
                best, best_use = row, use
    return best


def _some(values: list[float]) -> list[float]:
    """Return at most `MOST_HEIGHTS` of `values`, evenly chosen, the first included."""
    step = max(1.0, len(values) / MOST_HEIGHTS)
    return [values[int(k * step)] for k in range(min(len(values), MOST_HEIGHTS))]


def _columns(items: Iterable[_Item], height_mm: float, area: _Area) -> list[_Column]:
    """Return columns no higher than `height_mm`: items of like width are stacked where two or more fit."""
    columns: list[_Column] = []
    low = []
    least = math.inf
    for item in items:
        if item.height_mm <= height_mm + 1e-9:
            low.append(item)
            least = min(least, item.height_mm)
    stack: list[_Item] = []
    for item in sorted(low, key=lambda item: -item.width_mm) if 2 * least + area.gap_mm <= height_mm else low:
        if stack and sum(other.height_mm + area.gap_mm for other in stack) + item.height_mm > height_mm + 1e-9:
            columns.append(area.column(stack))
            stack = []
        stack.append(item)
    return [*columns, area.column(stack)] if stack else columns


def _composed(first: _Item | None, columns: Sequence[_Column], area: _Area) -> tuple[_Column, ...]:
    """Return the columns whose widths fill the row best, `first` among them; earlier ones are preferred.

    Bit n of `sums` is set when some of the columns so far are n steps wide together.
    """
    start = [area.column([first])] if first else []
    room = area.steps - sum(column.steps for column in start)
    mask = (1 << (room + 1)) - 1
    history = [1]
    for column in columns:
        sums = history[-1]
        history.append(sums | (sums << column.steps & mask))
        if history[-1] >> room:
            break
    steps = history[-1].bit_length() - 1
    chosen = []
    for k in range(len(history) - 1, 0, -1):
        if not history[k - 1] >> steps & 1:
            chosen.append(columns[k - 1])
            steps -= columns[k - 1].steps
    return (*start, *chosen)


def _placed(rows: Iterable[_Row], area: _Area) -> Iterator[tuple[int, float, float, str]]:
    """Yield number, x, y and place of every item: the highest column of a row at the left, items hung from its top."""
    top = area.height_mm
    for k, row in enumerate(rows):
        x, count = 0.0, 0
        for column in sorted(row.columns, key=lambda column: -column.items[0].height_mm):
            y = top
            for item in column.items:
                y -= item.height_mm
                count += 1
                yield item.number, x, y, f"{_letters(k)}{count}"
                y -= area.gap_mm
            x += max(item.width_mm for item in column.items) + area.gap_mm
        top -= row.height_mm + area.gap_mm


def _letters(row: int) -> str:
    """Return A to Z for rows 0 to 25, then AA, AB, …."""
    return (_letters(row // 26 - 1) if row >= 26 else "") + chr(ord("A") + row % 26)
