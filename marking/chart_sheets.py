"""The sheet of the wall chart: views of sockets from above, tables and words, as large as the paper allows."""

from __future__ import annotations

import math
from collections.abc import Sequence

from .blocks import columns_for, listed, paragraph, stacked, table
from .chart import (
    PRACTICE,
    TURNS_DEG,
    UNITS,
    Rows,
    direction_words,
    factor_rows,
    measure_rows,
    place_rows,
    pound_rows,
    steps,
    torque_rows,
)
from .drawing import Document, Drawing, Group, Text, moved, scaled
from .errors import LayoutError
from .fonts import SEMIBOLD, printable
from .job_sheets import MAX_TITLE
from .opening import corner_radius_mm, draw_socket, socket_reach_mm
from .paper import Paper
from .sheet import GAP_MM, Sheet
from .socket import POINTS
from .words import CAUTIONS

DEFAULT_TITLE = "Torque, then turn: where common turns end"

OD_MM, CORNER_MM, DRIVE_MM = 30.0, 11.0, 10.0
"""The sockets shown: outside diameter, radius of the opening's corners, driving square (our choice: to no scale)."""

STATEMENT_PT, DETAIL_PT, POINTS_PT, POINTS_WORD_PT = 16.0, 9.0, 15.0, 6.5
TURN_COLUMN_MM = 12.0
VIEW_GAP_MM = 3.0
ROW_MM = 4.2
TABLE_GAP_MM = 7.0
TABLE_SHARES = (0.31, 0.4, 0.29)
"""Space between the tables at the foot, and how they share the width (our choice)."""

WIDTH_MM = 183.0
"""Width that the chart is laid out for, that of an A4 sheet's content; larger paper enlarges it, type and all."""

LEAST_SCALE = 0.85
"""Smaller than this the type is too small for a wall (our choice); letter paper takes 0.91, with a long title 0.90."""

RULER_NOTE = (
    "The chart is to no scale. Its angles are true as long as both rulers are equally long; print the other sheets at "
    "100 % (“actual size”)."
)

MOST_GAP_MM = 9.0
"""Widest space between the chart's parts, where the paper is longer than they need."""


def chart_document(paper: Paper, clockwise: bool = True, title: str = "") -> Document:
    """Return the wall chart on one upright page; `clockwise` tells how the thread tightens, seen from the drive end.

    The chart is enlarged to the paper. Raises LayoutError for paper smaller than A4 or letter and CharacterError for a
    title that cannot be printed.
    """
    upright = paper.turned if paper.width_mm > paper.height_mm else paper
    points = ", ".join(map(str, POINTS[:-1])) + f" and {POINTS[-1]} points"
    hand = "right-hand thread" if clockwise else "left-hand thread"
    header = (printable(title, "title", MAX_TITLE) or DEFAULT_TITLE, f"wall chart · {points} · {hand}")
    sheet = Sheet(upright, header, RULER_NOTE)
    sheet.new_page()
    sheet.put(_fitted(sheet, clockwise))
    return Document(sheet.pages(), header[0], header[1])


def _fitted(sheet: Sheet, clockwise: bool) -> Drawing:
    """The chart as large as the sheet's page allows, spread over its height.

    Raises LayoutError where its type would be too small.
    """
    width, height = sheet.room_mm()
    usual = stacked(_parts(clockwise, WIDTH_MM), GAP_MM, "wall-chart")
    scale = min(width / WIDTH_MM, height / usual.height_mm)
    if scale < LEAST_SCALE:
        paper = sheet.paper
        raise LayoutError(
            f"the wall chart does not fit on {paper.width_mm:.0f} × {paper.height_mm:.0f} mm with its margins",
            "A4, letter or larger", "choose --paper a4, letter or a3, or a smaller --margin", scale,
        )  # fmt: skip
    parts = _parts(clockwise, width / scale)
    spare = (height / scale - math.fsum(part.height_mm for part in parts)) / (len(parts) - 1)
    body = stacked(parts, min(MOST_GAP_MM, max(GAP_MM, spare)), "wall-chart")
    content = scaled(body.content, scale, scale)
    assert isinstance(content, Group)
    return Drawing(body.width_mm * scale, body.height_mm * scale, content)


def _parts(clockwise: bool, width: float) -> list[Drawing]:
    """The chart's parts from top to bottom."""
    views = _views(clockwise)
    beside = width - views.width_mm - GAP_MM
    words = [
        listed("How to tighten", steps(clockwise), beside, numbered=True),
        listed("Cautions", CAUTIONS, beside, numbered=False),
    ]
    tables = width - 2 * TABLE_GAP_MM
    measures, torques, units = (tables * share for share in TABLE_SHARES)
    last = [_measures(measures), _torques(torques), stacked([_factors(units), _pounds(units)], GAP_MM, "units")]
    return [
        _statement(clockwise, width),
        _row([views, stacked(words, GAP_MM, "words")], width),
        stacked([_places(width), paragraph(PRACTICE, width, DETAIL_PT)], 2.0, "places"),
        _row(last, width),
    ]


def _statement(clockwise: bool, width: float) -> Drawing:
    large, detail = direction_words(clockwise)
    parts = [paragraph(large, width, STATEMENT_PT, SEMIBOLD), paragraph(detail, width, DETAIL_PT)]
    return stacked(parts, 0.6, "statement")


def _views(clockwise: bool) -> Drawing:
    """Sockets of all points from above, two in a row."""
    cells = [_view(points, clockwise) for points in POINTS]
    rows = [_row(cells[k : k + 2], 2 * cells[k].width_mm) for k in range(0, len(cells), 2)]
    return stacked(rows, VIEW_GAP_MM, "views")


def _view(points: int, clockwise: bool) -> Drawing:
    """One socket from above, its number of points in the middle."""
    across_flats = OD_MM / 2 * CORNER_MM / corner_radius_mm(points, OD_MM / 2)
    socket = draw_socket(points, OD_MM, across_flats, clockwise=clockwise, turns_deg=TURNS_DEG, drive_mm=DRIVE_MM)
    name = (
        Text(0, -0.4, str(points), POINTS_PT, SEMIBOLD, "middle"),
        Text(0, -3.2, "points", POINTS_WORD_PT, anchor="middle"),
    )
    across, up = socket_reach_mm(OD_MM)
    return Drawing(2 * across, 2 * up, moved(Group("view", (socket, *name)), across, up))


def _places(width: float) -> Drawing:
    rest = (width - TURN_COLUMN_MM) / len(POINTS)
    columns = [("turn", TURN_COLUMN_MM), *((f"{points} points", rest) for points in POINTS)]
    return table("Where the turn ends, counted from START on corner 1", columns, place_rows(POINTS))


def _measures(width: float) -> Drawing:
    return _filled(
        "Degrees, turns, flats, notches", ("degrees", "turn", "flats of 60°", "notches of 30°"), measure_rows(), width
    )


def _torques(width: float) -> Drawing:
    return _filled("Torque: the same in every unit", UNITS, torque_rows(), width)


def _factors(width: float) -> Drawing:
    return _filled("Factors", ("unit", "N·m in one", "in one N·m"), factor_rows(), width)


def _pounds(width: float) -> Drawing:
    return _filled("From lbf·ft", ("lbf·ft", "lbf·in", "N·m"), pound_rows(), width)


def _filled(heading: str, titles: Sequence[str], rows: Rows, width: float) -> Drawing:
    """A table as wide as `width`, what its columns do not need shared among them."""
    columns = columns_for(titles, rows, width)
    more = (width - math.fsum(mm for _, mm in columns)) / len(columns)
    return table(heading, [(name, mm + more) for name, mm in columns], rows, ROW_MM)


def _row(parts: Sequence[Drawing], width: float) -> Drawing:
    """Drawings side by side, their tops level, spread over `width`."""
    height = max(part.height_mm for part in parts)
    gap = (width - math.fsum(part.width_mm for part in parts)) / (len(parts) - 1)
    groups, x = [], 0.0
    for part in parts:
        groups.append(moved(part.content, x, height - part.height_mm))
        x += part.width_mm + gap
    return Drawing(width, height, Group("row-of-parts", tuple(groups)))
