"""Pages for cutters and engravers: pieces alone, what is cut, folded, marked and lettered apart, each cut line once."""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Iterator, Sequence
from functools import partial
from typing import Any

from ..drawing.primitives import (
    Arc,
    Document,
    Drawing,
    Group,
    Line,
    Page,
    Placed,
    Polyline,
    Primitive,
    Text,
    moved,
    worked,
)
from ..drawing.strokes import STROKES, Layer, layer_of
from ..errors import OutputError, within
from ..fields import PIECES
from ..quantities.angles import Point, polar
from ..quantities.parse import parse_length
from ..quantities.units import Given
from .overlaps import once

MAX_KERF_MM = 2.0
"""The widest kerf believed (our choice)."""

CHORD_DEG = 0.5
"""What of an arc that meets other lines becomes one straight stroke: off by less than 1e-5 of its radius."""

GRID_MM = 1e-6
"""Ends of lines that are nearer than this are one point."""

Strokes = Line | Polyline | Arc


def cut_out(document: Document, pieces: str, kerf: Given | None = None) -> Document:
    """Return a document's pieces alone, where they lie on its pages; pages without any are left out.

    `pieces` are names out of `PIECES`, with commas between them, or "all". What is cut is drawn in solid lines in a
    group of its own, "cut", every line once; with a `kerf` outlines grow by half of it and holes shrink by half of it.
    Nothing else moves. Raises OutputError for pieces that are not there and RangeError for a kerf beyond 2 mm.
    """
    names = _names(pieces)
    kerf_mm = 0.0 if kerf is None else parse_length(kerf, "kerf", zero=True).mm
    within("the kerf is {} mm", kerf_mm, 0.0, MAX_KERF_MM, "kerf", "{:g}".format, " mm")
    done = list(worked(document.pages, partial(_cut_page, names=names, kerf_mm=kerf_mm)))
    there = {name for _, found in done for name in found}
    lacking = [name for name in names if name not in there] if pieces.strip().lower() != "all" else []
    if lacking or not there:
        expected = ", ".join(name for name in PIECES if name in there) or "pages with something to cut out"
        what = f"there is no {' and no '.join(lacking)}" if lacking else "there are no pieces"
        raise OutputError(f"{what} on these pages", expected, "check {@pieces}", pieces, field="pieces")
    return document._replace(pages=tuple(page for page, _ in done if page.placed))


def _names(pieces: str) -> tuple[str, ...]:
    asked = tuple(dict.fromkeys(filter(None, (name.strip().lower() for name in pieces.split(",")))))
    if asked == ("all",):
        return tuple(PIECES)
    for name in asked or ("",):
        if name not in PIECES:
            raise OutputError(f"no piece is called {name!r}", ", ".join([*PIECES, "all"]), "", pieces, field="pieces")
    return asked


def _cut_page(page: Page, names: Collection[str], kerf_mm: float) -> tuple[Page, set[str]]:
    """A page with the pieces of these names alone, and what other pieces it had as well."""
    every = [(name, piece) for placed in page.placed for name, piece in _pieces(_at_place(placed))]
    own = tuple(piece for name, piece in every if name in names)
    found = {name for name, _ in every}
    if not own:
        return page._replace(placed=()), found
    drawing = Drawing(page.width_mm, page.height_mm, Group("pieces", own))
    return layered(page._replace(placed=(Placed(drawing, 0.0, 0.0),)), kerf_mm), found


def _at_place(placed: Placed) -> Group:
    return moved(placed.drawing.content, placed.x, placed.y)


def _pieces(group: Group) -> Iterator[tuple[str, Group]]:
    """The outermost groups that are pieces, each with the name of its kind."""
    name = next((name for name, groups in PIECES.items() if group.name in groups), None)
    if name is not None:
        yield name, group
        return
    for item in group.items:
        if isinstance(item, Group):
            yield from _pieces(item)


def layered(page: Page, kerf_mm: float = 0.0) -> Page:
    """Return a page with a group for each layer, "mark", "text", "fold" and "cut", in the order in which machines work.

    All lines are solid: dashes are strokes of their own. Raises OutputError for a page stretched for a printer.
    """
    if page.stretched:
        raise OutputError(
            "these pages are corrected for a printer, and would be cut to a wrong size", "pages at their true size",
            "leave {@printer} and {@ruler} out", field="printer",
        )  # fmt: skip
    groups = [_at_place(placed) for placed in page.placed]
    marks, letters, folds = ([_filtered(group, layer) for group in groups] for layer in ("mark", "text", "fold"))
    cuts = [line for group in groups for line in _cuts(group)]
    cut_sides = (side for line in cuts for side in itertools.pairwise(corners(line)))
    content = Group("layers", (
        Group("mark", once(marks, cut_sides)), Group("text", tuple(letters)), Group("fold", tuple(folds)),
        Group("cut", tuple(cut_lines(cuts, kerf_mm))),
    ))  # fmt: skip
    return page._replace(placed=(Placed(Drawing(page.width_mm, page.height_mm, content), 0.0, 0.0),))


def _layer(item: Primitive) -> Layer:
    return "text" if isinstance(item, Text) else layer_of(item.role)


def _cuts(group: Group) -> Iterator[Strokes]:
    for item in group.items:
        if isinstance(item, Group):
            yield from _cuts(item)
        elif not isinstance(item, Text) and layer_of(item.role) == "cut":
            yield item


def _filtered(group: Group, layer: str) -> Group:
    """A group with what belongs to a layer alone, its lines solid."""
    found: list[Primitive | Group] = []
    for item in group.items:
        if isinstance(item, Group):
            within_it = _filtered(item, layer)
            found += [within_it] if within_it.items else []
        elif _layer(item) == layer:
            found.append(_solid(item))
    return Group(group.name, tuple(found), group.data)


def _solid(item: Primitive) -> Primitive | Group:
    """A stroke without dashes: that of a fold whole, any other one as a group of its dashes."""
    if isinstance(item, Text) or (isinstance(item, Polyline) and item.fill is not None):
        return item
    if layer_of(item.role) == "fold":
        return item._replace(role="fold-line")
    pattern = STROKES[item.role].dash_mm
    if not pattern:
        return item
    return Group(item.role, tuple(Polyline(run, "dash") for run in dashes(corners(item), pattern)), item.data)


def dashes(points: Sequence[Point], pattern: Sequence[float]) -> Iterator[tuple[Point, ...]]:
    """Yield the dashes along `points`; `pattern` tells the lengths of dashes and gaps, in turn."""
    lengths, inked = itertools.cycle(pattern), True
    left, run = next(lengths), [points[0]]
    for (x1, y1), (x2, y2) in itertools.pairwise(points):
        length, done = math.hypot(x2 - x1, y2 - y1), 0.0
        while length - done > left:
            done += left
            run.append((x1 + (x2 - x1) * done / length, y1 + (y2 - y1) * done / length))
            if inked:
                yield tuple(run)
            inked, left, run = not inked, next(lengths), run[-1:]
        left -= length - done
        run.append((x2, y2))
    if inked and math.dist(run[0], run[-1]) > GRID_MM:
        yield tuple(run)


def corners(item: Strokes) -> list[Point]:
    """Return the corners of a stroke, an arc's so close that it is off by less than 1e-5 of its radius."""
    if isinstance(item, Line):
        return [(item.x1, item.y1), (item.x2, item.y2)]
    if isinstance(item, Polyline):
        return [*item.points, item.points[0]] if item.closed or item.fill is not None else list(item.points)
    count = max(2, math.ceil(item.sweep_deg / CHORD_DEG))
    spokes = (polar(item.radius, item.start_deg + item.sweep_deg * k / count) for k in range(count + 1))
    return [(item.cx + x, item.cy + y) for x, y in spokes]


# -- cut lines


def cut_lines(lines: Sequence[Strokes], kerf_mm: float = 0.0) -> Iterator[Strokes]:
    """Yield cut lines joined to outlines, every stretch once: circles whole, outlines closed, slits open.

    With a kerf every outline is moved by half of it to the side of what falls off: outwards, that of a hole inwards.
    Raises OutputError where that would cut into another piece.
    """
    import shapely  # an extra: only machines need it

    circles: set[Any] = {line._replace(role="cut-line", data=()) for line in lines if _is_circle(line)}
    joined = _joined([corners(line) for line in lines if not _is_circle(line)])
    areas = {item: shapely.Polygon(corners(item)) for item in sorted(circles)}
    areas |= {line: shapely.Polygon(line) for line in joined if line.is_ring}
    for item, by_mm, area in _widened(areas, [line for line in joined if not line.is_ring], kerf_mm):
        if isinstance(item, Arc):
            yield item._replace(radius=item.radius + by_mm)
        else:
            yield Polyline(tuple(area.exterior.coords)[:-1], "cut-line", closed=True)
    yield from (Polyline(tuple(line.coords), "cut-line") for line in joined if not line.is_ring)


def _widened(areas: dict[Any, Any], slits: Sequence[Any], kerf_mm: float) -> list[tuple[Any, float, Any]]:
    """Every outline, by how much it is moved outwards for the kerf, and its area then."""
    import shapely

    if not kerf_mm:
        return [(item, 0.0, area) for item, area in areas.items()]
    holes = {item for item, area in areas.items() if sum(other.contains(area) for other in areas.values()) % 2 == 0}
    moves = {item: -kerf_mm / 2 if item in holes else kerf_mm / 2 for item in areas}
    found = [(item, by_mm, areas[item].buffer(by_mm, join_style="mitre")) for item, by_mm in moves.items()]
    pieces = [area for _, by_mm, area in found if by_mm > 0]
    meeting = any(one.intersection(other).area > GRID_MM for one, other in itertools.combinations(pieces, 2))
    if meeting or any(area.is_empty for _, _, area in found) or shapely.polygonize(slits).geoms:
        raise OutputError(
            f"a kerf of {kerf_mm:g} mm cuts into the piece beside it", "a kerf narrower than the gap between pieces",
            "write {@pieces} to several files: pointers lie closest", kerf_mm, field="kerf",
        )  # fmt: skip
    return found


def _is_circle(line: Strokes) -> bool:
    return isinstance(line, Arc) and line.sweep_deg >= 360.0


def _joined(lines: Sequence[Sequence[Point]]) -> list[Any]:
    """Lines that end at each other as one, what lies on another only once."""
    import shapely

    if not lines:
        return []
    every = shapely.union_all([shapely.set_precision(shapely.LineString(line), GRID_MM) for line in lines])
    merged = shapely.line_merge(every)
    return sorted(getattr(merged, "geoms", [merged]), key=lambda line: tuple(line.coords))
